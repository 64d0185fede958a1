// The options of commands that read the ledger, and what they lead to.
#pragma once

#include <optional>
#include <string>

#include "io/ledger/reader.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {

inline constexpr const char* kLedgerFile = "/var/lib/lullwatt/ledger.sqlite";

struct LedgerOption {
    SiteOption site;
    std::string ledger = kLedgerFile;
    std::string month;
    bool csv = false;
};

// --site, --ledger, --json and --csv.
void add_ledger_options(CLI::App& app, LedgerOption& option);

// The month asked for; none where none was. A fault where it is no month.
[[nodiscard]] io::Read<std::optional<date::year_month>> asked_month(const LedgerOption& option);

// House and ledger, or all faults of both.
struct HouseAndLedger {
    io::Household household;
    io::ledger::Reader reader;
};
[[nodiscard]] io::Read<HouseAndLedger> open_house_and_ledger(const LedgerOption& option, Instant now);

}  // namespace lullwatt::tools
