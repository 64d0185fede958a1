#include <memory>
#include <ostream>

#include <CLI/CLI.hpp>
#include <date/date.h>
#include <fmt/format.h>

#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/ledger_option.hpp"
#include "tools/lullwatt/ledger_text.hpp"

namespace lullwatt::tools {
namespace {

constexpr date::days kRecent{31};

struct SessionsCommand {
    LedgerOption ledger;
    std::int64_t number = 0;
    bool show = false;
};

Exit refuse(const io::Faults& faults, const SessionsCommand& command, Shell& shell) {
    print_faults(shell, faults, command.ledger.site.json);
    return exit_of(faults);
}

Exit show_one(const SessionsCommand& command, HouseAndLedger& open, Shell& shell) {
    const auto stored = open.reader.session_of(command.number);
    if (!stored.ok()) return refuse(stored.faults(), command, shell);
    if (!stored.value()) {
        const auto transaction = open.reader.transaction(command.number);
        const bool unsettled = transaction.ok() && transaction.value();
        return refuse(
            {{kCommandLine, 0, 0, "show",
              unsettled ? "is plugged in still, or not settled yet" : "is no session of this ledger",
              std::to_string(command.number), "a number that 'lullwatt sessions' lists",
              unsettled ? "ask again when it has ended" : "list them with 'lullwatt sessions'"}},
            command, shell);
    }
    const Zone& zone = open.household.zone;
    if (command.ledger.site.json) {
        shell.out << session_json(*stored.value(), zone) << '\n';
    } else {
        shell.out << (command.ledger.csv ? session_csv(*stored.value(), zone)
                                         : session_text(*stored.value(), zone));
    }
    return Exit::done;
}

Exit list(const SessionsCommand& command, HouseAndLedger& open, Instant now, Shell& shell) {
    const auto month = asked_month(command.ledger);
    if (!month.ok()) return refuse(month.faults(), command, shell);
    const Zone& zone = open.household.zone;
    Interval when{now - kRecent, now + date::days{1}};
    std::string asked = "in the last 31 days; --month YYYY-MM asks about others";
    if (month.value()) {
        const date::local_days first{*month.value() / 1};
        const date::local_days next{(*month.value() + date::months{1}) / 1};
        const Interval known = zone.known();
        // Far from now the zone is not known: UTC will do to find sessions.
        const bool near = known.contains(Instant{first.time_since_epoch()} - date::days{2}) &&
                          known.contains(Instant{next.time_since_epoch()} + date::days{2});
        when = near ? Interval{zone.instant(first), zone.instant(next)}
                    : Interval{Instant{first.time_since_epoch()}, Instant{next.time_since_epoch()}};
        asked = "in " + command.ledger.month;
    }
    const auto sessions = open.reader.sessions(when);
    if (!sessions.ok()) return refuse(sessions.faults(), command, shell);
    if (command.ledger.site.json) {
        shell.out << sessions_json(sessions.value(), zone) << '\n';
    } else {
        shell.out << (command.ledger.csv ? sessions_csv(sessions.value(), zone)
                                         : sessions_text(sessions.value(), zone, asked));
    }
    return Exit::done;
}

Exit act(const SessionsCommand& command, Shell& shell) {
    const Instant now = system_now();
    auto opened = open_house_and_ledger(command.ledger, now);
    if (!opened.ok()) return refuse(opened.faults(), command, shell);
    HouseAndLedger open = std::move(opened).value();
    return command.show ? show_one(command, open, shell) : list(command, open, now, shell);
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
