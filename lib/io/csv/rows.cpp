#include "io/csv/rows.hpp"

#include <utility>

namespace lullwatt::io {
namespace {

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view kBlank = " \t";
    const auto begin = text.find_first_not_of(kBlank);
    if (begin == text.npos) return {};
    return text.substr(begin, text.find_last_not_of(kBlank) - begin + 1);
}

class Reader {
  public:
    Reader(std::string_view text, char delimiter) : text_(text), delimiter_(delimiter) {
        if (text_.starts_with("\xEF\xBB\xBF")) text_.remove_prefix(3);
    }

    std::vector<CsvRow> rows() {
        std::vector<CsvRow> rows;
        while (at_ < text_.size()) {
            CsvRow row = next_row();
            const bool blank = row.fields.size() == 1 && row.fields.front().text.empty();
            if (!blank || row.unclosed_quote) rows.push_back(std::move(row));
        }
        return rows;
    }

  private:
    [[nodiscard]] bool at_line_end() const {
        return at_ == text_.size() || text_[at_] == '\n' || text_[at_] == '\r';
    }

    void take_line_end() {
        if (at_ == text_.size()) return;
        const bool pair = text_[at_] == '\r' && at_ + 1 < text_.size() && text_[at_ + 1] == '\n';
        at_ += pair ? 2 : 1;
        ++line_;
        line_begin_ = at_;
    }

    CsvRow next_row() {
        CsvRow row;
        row.line = line_;
        while (true) {
            row.fields.push_back(next_field(row));
            if (at_line_end()) break;
            ++at_;  // the delimiter
        }
        take_line_end();
        return row;
    }

    CsvField next_field(CsvRow& row) {
        while (at_ < text_.size() && text_[at_] == ' ' && delimiter_ != ' ') ++at_;
        CsvField field;
        field.column = static_cast<int>(at_ - line_begin_) + 1;
        if (at_ < text_.size() && text_[at_] == '"') field.text = quoted(row);
        const std::size_t begin = at_;
        while (!at_line_end() && text_[at_] != delimiter_) ++at_;
        field.text += trimmed(text_.substr(begin, at_ - begin));
        return field;
    }

    std::string quoted(CsvRow& row) {
        std::string out;
        for (++at_; at_ < text_.size(); ++at_) {
            if (text_[at_] == '"') {
                ++at_;
                if (at_ == text_.size() || text_[at_] != '"') return out;
            }
            out += text_[at_];
            if (text_[at_] == '\n') {
                ++line_;
                line_begin_ = at_ + 1;
            }
        }
        row.unclosed_quote = true;
        return out;
    }

    std::string_view text_;
    char delimiter_;
    std::size_t at_ = 0;
    std::size_t line_begin_ = 0;
    int line_ = 1;
};

}  // namespace

std::vector<CsvRow> csv_rows(std::string_view text, char delimiter) { return Reader(text, delimiter).rows(); }

}  // namespace lullwatt::io
