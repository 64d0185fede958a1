#include <memory>
#include <ostream>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "io/fault/printable.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/ledger_option.hpp"
#include "tools/lullwatt/option_fault.hpp"

namespace lullwatt::tools {
namespace {

struct LedgerCommand {
    std::string ledger;
    std::string head;
    bool json = false;
};

Exit refuse(const io::Faults& faults, const LedgerCommand& command, Shell& shell) {
    print_faults(shell, faults, command.json);
    return exit_of(faults);
}

Exit verify(const LedgerCommand& command, Shell& shell) {
    const auto kept = io::ledger::parse_head(command.head);
    if (!command.head.empty() && !kept) {
        return refuse(
            {{kCommandLine, 0, 0, "--head", "is no head of a chain", command.head,
              "links:64 hexadecimal digits, as a report prints it", "copy it whole from the report"}},
            command, shell);
    }
    auto opened = io::ledger::Reader::open(command.ledger);
    if (!opened.ok()) return refuse(opened.faults(), command, shell);
    io::ledger::Reader reader = std::move(opened).value();
    const auto verified = reader.verify(kept);
    if (!verified.ok()) return refuse(verified.faults(), command, shell);
    const std::string& what = verified.value().what;
    const std::string head = io::ledger::text(verified.value().head);
    if (command.json) {
        shell.out << nlohmann::ordered_json{{"holds", what.empty()},
                                            {"against_head", kept.has_value()},
                                            {"what", what},
                                            {"head", head}}
                         .dump(2)
                  << '\n';
    } else if (!what.empty()) {
        shell.out << fmt::format("ALTERED OR DAMAGED: {}.\n", what);
    } else {
        shell.out << fmt::format(
            "The chain holds: {} links. Head: {}\n{}\n", verified.value().head.links, head,
            kept ? "The head you gave is in it: nothing before it was altered."
                 : "Without a head kept elsewhere this shows damage, not a chain made anew: give "
                   "one with --head.");
    }
    return what.empty() ? Exit::done : Exit::refused;
}

}  // namespace

Command add_ledger(CLI::App& app) {
    auto command = std::make_shared<LedgerCommand>();
    CLI::App* parsed = app.add_subcommand("ledger", "Whether the ledger is as it was written");
    parsed->require_subcommand(1);
    CLI::App* check = parsed->add_subcommand("verify", "Every chained row against its link");
    check->add_option("--ledger", command->ledger, "The ledger that lullwattd writes. It is never changed.")
        ->default_str(kLedgerFile);
    command->ledger = kLedgerFile;
    check->add_option("--head", command->head, "The head of the chain that a report printed.");
    check->add_flag("--json", command->json, "Answer as JSON.");
    check->footer("Example:\n  lullwatt ledger verify --head 57:2c833c15…");
    return {parsed, [command](Shell& shell) { return verify(*command, shell); }};
}

}  // namespace lullwatt::tools
