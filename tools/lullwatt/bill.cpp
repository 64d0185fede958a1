#include <algorithm>
#include <memory>
#include <ostream>

#include <CLI/CLI.hpp>
#include <date/date.h>
#include <fmt/format.h>

#include "io/household/household.hpp"
#include "io/printed_bill/printed_bill.hpp"
#include "io/tariff_file/tariff_file.hpp"
#include "tools/lullwatt/bill_options.hpp"
#include "tools/lullwatt/bill_text.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/priced_bills.hpp"
#include "tools/lullwatt/printed_text.hpp"
#include "tools/lullwatt/site_option.hpp"

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
    const BillWords words{tariff.name, tariff.currency, minor_digits(tariff.currency).value_or(2), clock,
                          priced.value().note};
    if (command.bill.json) {
        shell.out << bills_json(bills, words) << '\n';
        return Exit::done;
    }
    for (const io::Fault& warning : usage.warnings) shell.err << io::text(warning) << '\n';
    shell.out << (command.bill.csv ? bills_csv(bills) : bills_text(bills, words));
    if (spans.value().left_out && !command.bill.csv)
        shell.out << "Days at the ends that make no whole bill are left out.\n";
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
    options.from = date::format("%F", date::sys_days{printed.value().days.from});
    options.to = date::format("%F", date::sys_days{printed.value().days.to});
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
    const BillWords words{tariff.name, tariff.currency, minor_digits(tariff.currency).value_or(2),
                          clock.value(), priced.value().note};
    const auto compared = account::compare_printed(bill, printed.value().lines, printed.value().total);
    shell.out << (command.bill.json ? printed_json(compared, bill, words) + "\n"
                                    : printed_text(compared, bill, words));
    if (!command.bill.json && !words.note.empty()) shell.out << words.note << '\n';
    return Exit::done;
}

// The contract asked for, or the only one.
io::Read<std::size_t> chosen_supply(const BillCommand& command, const io::Household& household) {
    std::string names;
    for (std::size_t i = 0; i < household.supplies.size(); ++i) {
        const std::string& name = household.supplies[i].contract.name;
        if (name == command.contract) return i;
        names += (names.empty() ? "" : ", ") + name;
    }
    if (command.contract.empty() && household.supplies.size() == 1) return std::size_t{0};
    return io::Faults{
        {kCommandLine, 0, 0, "--contract",
         command.contract.empty() ? "is missing, and the site has several" : "is no contract of the site",
         command.contract, names, "name one of them"}};
}

// Whole milliwatt-hours, each reading for itself.
void multiply(EnergySeries& series, std::int64_t multiplier) {
    for (EnergyReading& reading : series) {
        reading.energy = MilliwattHours(static_cast<std::int64_t>(
            nearest_quotient(static_cast<Wide>(reading.energy.count()) * multiplier, tariff::kWhole)));
    }
}

// The contract's months are those of its own bills; any other days are as many as they come nearest to.
int months_of(const BillCommand& command, const io::Supply& supply, const BillUsage& usage) {
    const int of_contract = supply.contract.terms.months;
    const auto asked = bill_spans(command.bill, supply.tariff, supply.clock, supply.contract.bills, usage);
    if (!asked.ok()) return of_contract;
    const account::DateSpan span = asked.value().spans.front();
    if (tariff::bill_of(supply.contract.bills, span.from) == span) return of_contract;
    return std::max(1, (span.days() * 24 + 365) / 730);
}

// A contract of the site as if its tariff, clock, figures and meter had been given as options.
Exit bill_of_site(const BillCommand& given, Shell& shell) {
    const auto refuse = [&](const io::Faults& faults) {
        print_faults(shell, faults, given.bill.json);
        return exit_of(faults);
    };
    BillCommand command = given;
    SiteOption option;
    option.site = command.site;
    const auto household = io::load_household(site_path(option), system_now());
    if (!household.ok()) return refuse(household.faults());
    const auto chosen = chosen_supply(command, household.value());
    if (!chosen.ok()) return refuse(chosen.faults());
    const io::Supply& supply = household.value().supplies[chosen.value()];
    const auto& load = household.value().site.loads[supply.contract.node];
    const bool typed = !command.bill.kwh.empty() || !command.bill.register_reads.empty();
    if (command.bill.readings.empty() && !typed && load && load->history)
        command.bill.readings = load->history->string();
    command.tariff = supply.contract.tariff.string();
    const std::int64_t multiplier = supply.contract.multiplier;
    if (command.bill.multiplier.empty()) command.bill.multiplier = decimal_text(multiplier, 6);
    auto usage = bill_usage(command.bill);
    if (!usage.ok()) return refuse(usage.faults());
    BillUsage use = std::move(usage).value();
    use.terms = supply.contract.terms;
    use.terms.months = months_of(command, supply, use);
    if (auto* metered = std::get_if<account::Metered>(&use.usage)) {
        multiply(metered->taken, multiplier);
        multiply(metered->given, multiplier);
    }
    return show(command, supply.tariff, supply.clock, supply.contract.bills, use, shell);
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
        ->excludes("--json");
    parsed->footer(
        "Examples:\n"
        "  lullwatt bill --site my-house/site.yaml --month 2026-01\n"
        "  lullwatt bill --tariff tariff.yaml --readings history/house.csv --month 2026-01\n"
        "  lullwatt bill --tariff tariff.yaml --month 2026-01 --kwh night=304 --kwh day=371.54\n"
        "  lullwatt bill --tariff tariff.yaml --from 2026-01-12 --to 2026-02-11 --register 8865:9975");
    return {parsed, [command](Shell& shell) { return act(*command, shell); }};
}

}  // namespace lullwatt::tools
