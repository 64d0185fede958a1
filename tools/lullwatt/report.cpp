#include <memory>
#include <ostream>

#include <CLI/CLI.hpp>
#include <date/date.h>

#include "io/report/month_report.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/ledger_option.hpp"
#include "tools/lullwatt/ledger_text.hpp"

namespace lullwatt::tools {
namespace {

Exit refuse(const io::Faults& faults, const LedgerOption& option, Shell& shell) {
    print_faults(shell, faults, option.site.json);
    return exit_of(faults);
}

Exit act(const LedgerOption& option, Shell& shell) {
    const Instant now = system_now();
    const auto month = asked_month(option);
    if (!month.ok()) return refuse(month.faults(), option, shell);
    auto opened = open_house_and_ledger(option, now);
    if (!opened.ok()) return refuse(opened.faults(), option, shell);
    HouseAndLedger open = std::move(opened).value();
    const CivilDate today{date::floor<date::days>(open.household.zone.civil(now))};
    const date::year_month asked = month.value().value_or(today.year() / today.month());
    const auto report = io::month_report(open.reader, open.household, asked, now);
    if (!report.ok()) return refuse(report.faults(), option, shell);
    const io::SiteFile& site = open.household.site;
    const ReportWords words{site.name, site.currency, site.currency_digits, open.household.zone};
    if (option.site.json) {
        shell.out << report_json(report.value(), words) << '\n';
    } else {
        shell.out << (option.csv ? report_csv(report.value(), words) : report_text(report.value(), words));
    }
    return Exit::done;
}

}  // namespace

Command add_report(CLI::App& app) {
    auto option = std::make_shared<LedgerOption>();
    CLI::App* parsed = app.add_subcommand("report", "What a month of charging took and cost");
    add_ledger_options(*parsed, *option);
    parsed->add_option("--month", option->month, "The month, YYYY-MM. Without it: this one, so far.");
    parsed->footer(
        "The cars' part is the bill with them less the bill without; the sessions sum to it. The head of the "
        "chain, "
        "kept\nelsewhere, later shows whether the ledger was altered before it was printed.\n"
        "Examples:\n"
        "  lullwatt report --month 2026-10\n"
        "  lullwatt report --month 2026-10 --csv > october.csv");
    return {parsed, [option](Shell& shell) { return act(*option, shell); }};
}

}  // namespace lullwatt::tools
