#include "tools/lullwatt/ledger_option.hpp"

#include <charconv>

#include <CLI/CLI.hpp>

namespace lullwatt::tools {
namespace {

std::optional<date::year_month> parse_month(const std::string& text) {
    if (text.size() != 7 || text[4] != '-') return std::nullopt;
    int year = 0;
    unsigned month = 0;
    const char* begin = text.data();
    const auto [year_end, year_error] = std::from_chars(begin, begin + 4, year);
    const auto [month_end, month_error] = std::from_chars(begin + 5, begin + 7, month);
    const bool digits = year_error == std::errc{} && month_error == std::errc{} && year_end == begin + 4 &&
                        month_end == begin + 7 && year >= 1970;
    const date::year_month read = date::year{year} / date::month{month};
    return digits && read.ok() ? std::optional(read) : std::nullopt;
}

}  // namespace

void add_ledger_options(CLI::App& app, LedgerOption& option) {
    add_site_option(app, option.site);
    app.add_option("--ledger", option.ledger,
                   "The ledger that lullwattd writes. It is read beside it and never changed.")
        ->capture_default_str();
    app.add_flag("--csv", option.csv, "Answer as a table of comma-separated values.")->excludes("--json");
}

io::Read<std::optional<date::year_month>> asked_month(const LedgerOption& option) {
    if (option.month.empty()) return std::optional<date::year_month>{};
    const auto month = parse_month(option.month);
    if (month) return month;
    return io::Faults{{kCommandLine, 0, 0, "--month", "is not a month", option.month,
                       "YYYY-MM, as in 2026-10", "write year and month in digits"}};
}

io::Read<HouseAndLedger> open_house_and_ledger(const LedgerOption& option, Instant now) {
    auto household = io::load_household(site_path(option.site), now);
    auto reader = io::ledger::Reader::open(option.ledger);
    io::Faults faults;
    if (!household.ok()) faults = household.faults();
    if (!reader.ok()) faults.insert(faults.end(), reader.faults().begin(), reader.faults().end());
    if (!faults.empty()) return faults;
    return HouseAndLedger{std::move(household).value(), std::move(reader).value()};
}

}  // namespace lullwatt::tools
