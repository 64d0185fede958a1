// The options of commands that read the ledger, and what they lead to.
#pragma once

#include <string>

#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/ledger_answer.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {

inline constexpr const char* kLedgerFile = "/var/lib/lullwatt/ledger.sqlite";

struct LedgerOption {
    SiteOption site;
    std::string ledger = kLedgerFile;
    std::string socket;  // of the daemon; empty: the usual one
    std::string month;
    bool csv = false;
};

// --site, --socket, --ledger, --json and --csv.
void add_ledger_options(CLI::App& app, LedgerOption& option);

// Asks the daemon where it runs, and the files where it does not, or where the options name them.
[[nodiscard]] Exit answer_from_ledger(const LedgerOption& option, const std::string& command,
                                      const AskedOfLedger& asked, Shell& shell,
                                      io::Read<Answer> (*answer)(io::ledger::Reader&, const io::Household&,
                                                                 const AskedOfLedger&, Instant));

}  // namespace lullwatt::tools
