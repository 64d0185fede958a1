// Tables typed as text: a line of column names after a word of its own, then lines of a key and one figure
// for each column; "-" where the document has none.
#pragma once

#include <map>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

namespace lullwatt::tests {

struct TextRow {
    double key;
    std::map<std::string, std::optional<double>> cells;
};

inline std::vector<TextRow> text_table(const std::string& text) {
    std::istringstream lines(text);
    std::string line, word;
    std::getline(lines, line);
    std::istringstream header(line);
    header >> word;
    std::vector<std::string> names;
    while (header >> word) names.push_back(word);
    std::vector<TextRow> rows;
    while (std::getline(lines, line)) {
        std::istringstream in(line);
        TextRow row;
        in >> row.key;
        for (const std::string& name : names) {
            in >> word;
            row.cells[name] = word == "-" ? std::nullopt : std::optional(std::stod(word));
        }
        rows.push_back(row);
    }
    return rows;
}

}  // namespace lullwatt::tests
