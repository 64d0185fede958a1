// Tables of conductors typed as text: lines of a size, "6" or "1/0" AWG or "250" kcmil, and its figures; "-"
// where the document has none.
#pragma once

#include <optional>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "core/circuit/wire_size.hpp"

namespace lullwatt::tests {

struct WireRow {
    circuit::WireSize size;
    std::vector<std::optional<double>> cells;
};

inline std::vector<WireRow> wire_table(const std::string& text) {
    std::vector<WireRow> rows;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        std::istringstream in(line);
        std::string word;
        in >> word;
        auto size = circuit::wire_size_of(word + " AWG");
        if (!size) size = circuit::wire_size_of(word + " kcmil");
        if (!size) throw std::invalid_argument("no conductor size: " + line);
        WireRow row{*size, {}};
        while (in >> word) row.cells.push_back(word == "-" ? std::nullopt : std::optional(std::stod(word)));
        rows.push_back(row);
    }
    return rows;
}

}  // namespace lullwatt::tests
