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
#include "tools/lullwatt/printed_text.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {
namespace {

struct BillCommand {
    BillOptions bill;
    std::string tariff;
    std::string printed;
};

io::Read<std::vector<account::Bill>> bills_of(const BillCommand& command, const tariff::Tariff& tariff,
                                              const Zone& clock, const BillUsage& usage,
                                              const BillSpans& spans) {
    if (const auto* metered = std::get_if<account::Metered>(&usage.usage)) {
        auto bills = account::bills(tariff, clock, spans.spans, *metered, usage.terms);
        if (const auto* refusal = std::get_if<account::Refusal>(&bills))
            return io::Faults{refusal_fault(command.tariff, *refusal)};
        return std::get<std::vector<account::Bill>>(std::move(bills));
    }
    auto bill = account::bill(tariff, clock, spans.spans.front(), usage.usage, usage.terms, {});
    if (const auto* refusal = std::get_if<account::Refusal>(&bill))
        return io::Faults{refusal_fault(command.tariff, *refusal)};
    return std::vector{std::get<account::Bill>(std::move(bill))};
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
    const auto bills = bills_of(command, tariff, clock.value(), use, {{printed.value().days}, {}});
    if (!bills.ok()) return refuse(bills.faults());
    const account::Bill& bill = bills.value().front();
    const BillWords words{tariff.name, tariff.currency, minor_digits(tariff.currency).value_or(2),
                          clock.value()};
    const auto compared = account::compare_printed(bill, printed.value().lines, printed.value().total);
    shell.out << (command.bill.json ? printed_json(compared, bill, words) + "\n"
                                    : printed_text(compared, bill, words));
    return Exit::done;
}

Exit act(const BillCommand& command, Shell& shell) {
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
    const auto spans = bill_spans(command.bill, tariff.value(), clock.value(), usage.value());
    if (!spans.ok()) return refuse(spans.faults());
    const auto bills = bills_of(command, tariff.value(), clock.value(), usage.value(), spans.value());
    if (!bills.ok()) return refuse(bills.faults());
    const BillWords words{tariff.value().name, tariff.value().currency,
                          minor_digits(tariff.value().currency).value_or(2), clock.value()};
    if (command.bill.json) {
        shell.out << bills_json(bills.value(), words) << '\n';
        return Exit::done;
    }
    for (const io::Fault& warning : usage.value().warnings) shell.err << io::text(warning) << '\n';
    shell.out << (command.bill.csv ? bills_csv(bills.value()) : bills_text(bills.value(), words));
    if (spans.value().left_out && !command.bill.csv)
        shell.out << "Days at the ends that make no whole bill are left out.\n";
    return Exit::done;
}

}  // namespace

Command add_bill(CLI::App& app) {
    auto command = std::make_shared<BillCommand>();
    CLI::App* parsed = app.add_subcommand("bill", "What usage costs under a tariff, line by line");
    parsed->add_option("--tariff", command->tariff, "The tariff file.")->required();
    add_period_options(*parsed, command->bill);
    add_reading_options(*parsed, command->bill);
    add_typed_options(*parsed, command->bill);
    add_terms_options(*parsed, command->bill);
    parsed
        ->add_option("--printed", command->printed,
                     "A printed bill typed as docs/printed-bills.md says: lays it beside ours.")
        ->excludes("--from", "--to", "--month");
    parsed->add_flag("--csv", command->bill.csv, "Lines as a table of comma-separated values.")
        ->excludes("--json");
    parsed->footer(
        "Examples:\n"
        "  lullwatt bill --tariff tariff.yaml --readings history/house.csv --month 2026-01\n"
        "  lullwatt bill --tariff tariff.yaml --month 2026-01 --kwh night=304 --kwh day=371.54\n"
        "  lullwatt bill --tariff tariff.yaml --from 2026-01-12 --to 2026-02-11 --register 8865:9975");
    return {parsed, [command](Shell& shell) { return act(*command, shell); }};
}

}  // namespace lullwatt::tools
