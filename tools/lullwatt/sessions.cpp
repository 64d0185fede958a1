#include <memory>

#include <CLI/CLI.hpp>

#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/ledger_option.hpp"

namespace lullwatt::tools {
namespace {

struct SessionsCommand {
    LedgerOption ledger;
    std::int64_t number = 0;
    bool show = false;
};

Exit act(const SessionsCommand& command, Shell& shell) {
    const AskedOfLedger asked{
        .month = command.ledger.month,
        .number = command.show ? std::optional(command.number) : std::nullopt,
        .csv = command.ledger.csv,
    };
    return answer_from_ledger(command.ledger, "sessions", asked, shell, sessions_answer);
}

}  // namespace

Command add_sessions(CLI::App& app) {
    auto command = std::make_shared<SessionsCommand>();
    CLI::App* parsed = app.add_subcommand("sessions", "What each charging session took and cost");
    add_ledger_options(*parsed, command->ledger);
    parsed->add_option("--month", command->ledger.month,
                       "Those of a month, YYYY-MM, instead of the last 31 days.");
    CLI::App* show = parsed->add_subcommand("show", "One session with its cost lines");
    show->add_option("NUMBER", command->number, "Its number in the list.")->required();
    show->fallthrough();
    show->callback([command] { command->show = true; });
    parsed->footer(
        "The cost is that of the hours charged in, under the revision of the tariff in force, tax in it. 'At "
        "once' is "
        "the\nsame energy at full current from plugging in; 'timer' from the start of the cheapest price.\n"
        "Examples:\n"
        "  lullwatt sessions\n"
        "  lullwatt sessions --month 2026-10 --csv\n"
        "  lullwatt sessions show 12");
    return {parsed, [command](Shell& shell) { return act(*command, shell); }};
}

}  // namespace lullwatt::tools
