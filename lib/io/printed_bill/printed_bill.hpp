// A printed bill typed from paper (docs/printed-bills.md).
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "core/account/printed.hpp"
#include "io/fault/fault.hpp"
#include "io/settings/option.hpp"

namespace lullwatt::io {

struct PrintedBill {
    account::DateSpan days;
    account::Typed usage;  // empty: readings say it
    std::vector<account::PrintedLine> lines;
    std::optional<Money> total;
};

[[nodiscard]] Read<PrintedBill> read_printed_bill(const std::filesystem::path& file);
[[nodiscard]] Read<PrintedBill> read_printed_text(const std::string& text, const std::string& name);

extern const Table kPrintedBillTable;

}  // namespace lullwatt::io
