#include "tools/lullwatt/ledger_option.hpp"

#include <cstdlib>
#include <ostream>
#include <utility>

#include <CLI/CLI.hpp>

#include "tools/lullwatt/daemon_client.hpp"

namespace lullwatt::tools {
void add_ledger_options(CLI::App& app, LedgerOption& option) {
    add_site_option(app, option.site);
    add_socket_option(app, option.socket);
    app.add_option("--ledger", option.ledger,
                   "The ledger that lullwattd writes. It is read beside it and never changed.")
        ->capture_default_str();
    app.add_flag("--csv", option.csv, "Answer as a table of comma-separated values.")->excludes("--json");
}

Exit answer_from_ledger(const LedgerOption& option, const std::string& command, const AskedOfLedger& asked,
                        Shell& shell,
                        io::Read<Answer> (*answer)(io::ledger::Reader&, const io::Household&,
                                                   const AskedOfLedger&, Instant)) {
    const bool json = option.site.json;
    const bool socket_named = !option.socket.empty() || std::getenv("LULLWATT_SOCKET") != nullptr;
    const bool files_meant = !option.site.site.empty() || option.ledger != kLedgerFile ||
                             (!socket_named && std::getenv("LULLWATT_SITE") != nullptr);
    if (!files_meant) {
        Fields fields;
        if (!asked.month.empty()) fields.emplace_back("month", asked.month);
        if (asked.number) fields.emplace_back("number", std::to_string(*asked.number));
        if (asked.csv) fields.emplace_back("csv", "yes");
        if (const auto answered = ask_daemon(socket_path(option.socket), command, fields, json, shell))
            return *answered;
    }
    const Instant now = system_now();
    auto household = io::load_household(site_path(option.site), now);
    auto reader = io::ledger::Reader::open(option.ledger);
    io::Faults faults;
    if (!household.ok()) faults = household.faults();
    if (!reader.ok()) faults.insert(faults.end(), reader.faults().begin(), reader.faults().end());
    if (faults.empty()) {
        io::ledger::Reader open = std::move(reader).value();
        const auto found = answer(open, household.value(), asked, now);
        if (found.ok()) {
            shell.out << (json ? found.value().json + "\n" : found.value().text);
            return Exit::done;
        }
        faults = found.faults();
    }
    print_faults(shell, faults, json);
    return exit_of(faults);
}

}  // namespace lullwatt::tools
