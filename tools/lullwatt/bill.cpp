#include <memory>
#include <ostream>

#include <CLI/CLI.hpp>
#include <date/date.h>
#include <fmt/format.h>

#include "io/printed_bill/printed_bill.hpp"
#include "io/tariff_file/tariff_file.hpp"
#include "tools/lullwatt/bill_options.hpp"
#include "tools/lullwatt/bill_text.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/priced_bills.hpp"
#include "tools/lullwatt/printed_text.hpp"
#include "tools/lullwatt/site_contract.hpp"
#include "tools/lullwatt/site_option.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

struct BillCommand {
    BillOptions bill;
    std::string tariff;
    std::string printed;
    std::string site;
    std::string contract;
};

io::Read<PricedBills> bills_of(const BillCommand& command, const tariff::Tariff& tariff, const Zone& clock,
                               const tariff::BillDates& dates, const BillUsage& usage,
                               const BillSpans& spans) {
    auto priced = priced_bills(tariff, clock, dates, spans.spans, usage.usage, usage.terms);
    if (const auto* refusal = std::get_if<account::Refusal>(&priced))
        return io::Faults{refusal_fault(command.tariff, *refusal)};
    return std::get<PricedBills>(std::move(priced));
}

// The bills asked for, in words, as JSON or as CSV.
Exit show(const BillCommand& command, const tariff::Tariff& tariff, const Zone& clock,
          const tariff::BillDates& dates, const BillUsage& usage, Shell& shell) {
    const auto refuse = [&](const io::Faults& faults) {
        print_faults(shell, faults, command.bill.json);
        return exit_of(faults);
    };
    const auto spans = bill_spans(command.bill, tariff, clock, dates, usage);
    if (!spans.ok()) return refuse(spans.faults());
    const auto priced = bills_of(command, tariff, clock, dates, usage, spans.value());
    if (!priced.ok()) return refuse(priced.faults());
    const std::vector<account::Bill>& bills = priced.value().bills;
    const BillWords words{tariff.name,   tariff.currency,     minor_digits(tariff.currency).value_or(2),
                          clock,         priced.value().note, left_out(spans.value(), spans.value().spans),
                          usage.warnings};
    if (command.bill.json) {
        shell.out << bills_json(bills, words) << '\n';
        return Exit::done;
    }
    for (const io::Fault& warning : usage.warnings) shell.err << io::text(warning) << '\n';
    shell.out << (command.bill.csv ? bills_csv(bills) : bills_text(bills, words));
    return Exit::done;
}

// The printed bill's days and use go into the question as if they had been typed as options.
Exit beside_printed(const BillCommand& command, const tariff::Tariff& tariff, Shell& shell) {
    const auto refuse = [&](const io::Faults& faults) {
        print_faults(shell, faults, command.bill.json);
        return exit_of(faults);
    };
    const auto printed = io::read_printed_bill(command.printed);
    if (!printed.ok()) return refuse(printed.faults());
    BillOptions options = command.bill;
    options.from = day_text(printed.value().days.from);
    options.to = day_text(printed.value().days.to);
    const bool typed = !printed.value().usage.taken.empty() && options.readings.empty();
    if (typed && options.kwh.empty() && options.register_reads.empty()) options.kwh = {"0"};
    auto usage = bill_usage(options);
    if (!usage.ok()) return refuse(usage.faults());
    BillUsage use = std::move(usage).value();
    if (typed) use.usage = printed.value().usage;
    const auto clock = bill_clock(options, tariff, command.tariff, use);
    if (!clock.ok()) return refuse(clock.faults());
    const auto priced = bills_of(command, tariff, clock.value(), {}, use, {{printed.value().days}, {}});
    if (!priced.ok()) return refuse(priced.faults());
    const account::Bill& bill = priced.value().bills.front();
    const BillWords words{tariff.name,   tariff.currency,     minor_digits(tariff.currency).value_or(2),
                          clock.value(), priced.value().note, {},
                          use.warnings};
    const auto compared = account::compare_printed(bill, printed.value().lines, printed.value().total);
    for (const io::Fault& warning : use.warnings)
        if (!command.bill.json) shell.err << io::text(warning) << '\n';
    shell.out << (command.bill.json ? printed_json(compared, bill, words) + "\n"
                                    : printed_text(compared, bill, words));
    if (!command.bill.json && !words.note.empty()) shell.out << words.note << '\n';
    return Exit::done;
}

// A contract of the site as if its tariff, clock, figures and meter had been given as options.
Exit bill_of_site(const BillCommand& given, Shell& shell) {
    auto contract = site_contract(given.site, given.contract, given.bill);
    if (!contract.ok()) {
        print_faults(shell, contract.faults(), given.bill.json);
        return exit_of(contract.faults());
    }
    SiteContract found = std::move(contract).value();
    BillCommand command = given;
    command.bill = found.asked;
    command.tariff = found.supply.contract.tariff.string();
    found.usage.terms.months = months_of(found.asked, found.supply, found.usage);
    return show(command, found.supply.tariff, found.supply.clock, found.supply.contract.bills, found.usage,
                shell);
}

Exit act(const BillCommand& command, Shell& shell) {
    if (command.tariff.empty()) return bill_of_site(command, shell);
    const auto refuse = [&](const io::Faults& faults) {
        print_faults(shell, faults, command.bill.json);
        return exit_of(faults);
    };
    auto read = io::read_tariff_file(command.tariff);
    if (!read.ok()) return refuse(read.faults());
    const auto tariff = asked_prices(command.bill, std::move(read).value(), command.tariff);
    if (!tariff.ok()) return refuse(tariff.faults());
    if (!command.printed.empty()) return beside_printed(command, tariff.value(), shell);
    const auto usage = bill_usage(command.bill);
    if (!usage.ok()) return refuse(usage.faults());
    const auto clock = bill_clock(command.bill, tariff.value(), command.tariff, usage.value());
    if (!clock.ok()) return refuse(clock.faults());
    tariff::BillDates dates;
    dates.day = command.bill.bill_day;
    return show(command, tariff.value(), clock.value(), dates, usage.value(), shell);
}

}  // namespace

Command add_bill(CLI::App& app) {
    auto command = std::make_shared<BillCommand>();
    CLI::App* parsed = app.add_subcommand("bill", "What usage costs under a tariff, line by line");
    parsed->add_option("--tariff", command->tariff,
                       "The tariff file. Without it: a contract of the site, with its meter's readings.");
    parsed
        ->add_option("--site", command->site,
                     "The site file. Without it: $LULLWATT_SITE, else /etc/lullwatt/site.yaml.")
        ->excludes("--tariff");
    parsed
        ->add_option("--contract", command->contract, "Which of the site's contracts, where it has several.")
        ->excludes("--tariff");
    add_period_options(*parsed, command->bill);
    add_reading_options(*parsed, command->bill);
    add_typed_options(*parsed, command->bill);
    add_terms_options(*parsed, command->bill);
    parsed
        ->add_option("--printed", command->printed,
                     "A printed bill typed as docs/printed-bills.md says: lays it beside ours.")
        ->excludes("--from", "--to", "--month");
    // A contract has its own clock, dates and figures.
    for (const char* option : {"--zone", "--bill-day", "--prices-of", "--fuse", "--contracted-kw",
                               "--peak-kw", "--months", "--printed"})
        parsed->get_option(option)->needs("--tariff");
    parsed->add_flag("--csv", command->bill.csv, "Lines as a table of comma-separated values.")
        ->excludes("--json", "--printed");
    parsed->footer(
        "Examples:\n"
        "  lullwatt bill --site my-house/site.yaml --month 2026-01\n"
        "  lullwatt bill --tariff tariff.yaml --readings history/house.csv --month 2026-01\n"
        "  lullwatt bill --tariff tariff.yaml --month 2026-01 --kwh night=304 --kwh day=371.54\n"
        "  lullwatt bill --tariff tariff.yaml --from 2026-01-12 --to 2026-02-11 --register 8865:9975");
    return {parsed, [command](Shell& shell) { return act(*command, shell); }};
}

}  // namespace lullwatt::tools
