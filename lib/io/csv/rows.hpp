// Rows of comma-separated values (RFC 4180) with the place of every field, so that a fault can name it.
//
// Pure; call from any thread. A reader of our own: the C++ libraries in Debian 12 either want delimiter and
// columns at compile time (libfccp) or tell no line and column (libcsv).
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lullwatt::io {

struct CsvField {
    std::string text;  // without its quotes and without blanks around it
    int column = 1;    // 1-based, in bytes, where it begins
};

struct CsvRow {
    int line = 1;  // 1-based, where it begins
    std::vector<CsvField> fields;
    bool unclosed_quote = false;  // the text ended inside quotes
};

// Every row that is not blank. Lines end with LF, CR LF or CR; quoted fields may hold delimiters, line ends
// and doubled quotes. A UTF-8 byte-order mark is skipped.
[[nodiscard]] std::vector<CsvRow> csv_rows(std::string_view text, char delimiter);

}  // namespace lullwatt::io
