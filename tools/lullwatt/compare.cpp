#include <memory>
#include <ostream>
#include <utility>

#include <CLI/CLI.hpp>
#include <date/date.h>

#include "core/account/cars_part.hpp"
#include "io/tariff_file/tariff_file.hpp"
#include "io/usage/usage.hpp"
#include "tools/lullwatt/bill_options.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/compare_text.hpp"
#include "tools/lullwatt/priced_bills.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {
namespace {

struct CompareCommand {
    BillOptions bill;
    std::vector<std::string> tariffs;
    std::vector<std::string> cars;
};

// What is the same for every tariff.
struct Usage {
    BillUsage bill;
    account::Metered with;
    std::optional<account::Metered> without_cars;
};

io::Read<Usage> read_usage_of(const CompareCommand& command) {
    auto bill = bill_usage(command.bill);
    if (!bill.ok()) return bill.faults();
    Usage usage{std::move(bill).value(), {}, {}};
    usage.with = std::get<account::Metered>(usage.bill.usage);
    std::vector<EnergySeries> cars;
    for (const std::string& file : command.cars) {
        auto read = io::read_usage(file, {});
        if (!read.ok()) return read.faults();
        cars.push_back(std::move(read).value().readings);
    }
    if (cars.empty()) return usage;
    MilliwattHours missing;
    usage.without_cars = account::without(usage.with, cars, missing);
    if (missing > MilliwattHours(0)) {
        usage.bill.warnings.push_back(
            {command.cars.front(), 0, 0, "",
             "counts more than the house's meter: " + decimal_text(missing.count(), 6) + " kWh are left out",
             "", "", "look at both meters' clocks"});
    }
    return usage;
}

struct Priced {
    ComparedTariff compared;
    std::string currency;
    BillSpans spans;
    Seconds without_readings{0};
};

// A year under one tariff; a tariff that cannot be priced says why and does not spoil the others.
io::Read<Priced> priced(const CompareCommand& command, const std::string& file, const Usage& usage) {
    auto read = io::read_tariff_file(file);
    if (!read.ok()) return read.faults();
    Priced result{{file, read.value().name, {}, {}, {}}, read.value().currency, {}};
    const auto tariff = asked_prices(command.bill, std::move(read).value(), file);
    if (!tariff.ok()) {
        result.compared.refused = tariff.faults().front().what;
        return result;
    }
    const auto clock = bill_clock(command.bill, tariff.value(), file, usage.bill);
    if (!clock.ok()) return clock.faults();
    tariff::BillDates dates;
    dates.day = command.bill.bill_day;
    auto spans = bill_spans(command.bill, tariff.value(), clock.value(), dates, usage.bill);
    if (!spans.ok()) return spans.faults();
    result.spans = std::move(spans).value();
    auto& list = result.spans.spans;
    if (list.size() > 12) list.erase(list.begin(), list.end() - 12);
    const auto priced_with = [&](const account::Metered& metered) {
        return priced_bills(tariff.value(), clock.value(), dates, list, metered, usage.bill.terms);
    };
    const auto made = priced_with(usage.with);
    if (const auto* refusal = std::get_if<account::Refusal>(&made)) {
        result.compared.refused = refusal->what + "; " + refusal->mend;
        return result;
    }
    const auto& bills = std::get<PricedBills>(made).bills;
    result.compared.year = account::year_of(bills);
    for (const auto& bill : bills) result.without_readings += bill.without_readings;
    if (!usage.without_cars) return result;
    const auto bare = priced_with(*usage.without_cars);
    result.compared.cars =
        result.compared.year.total - account::year_of(std::get<PricedBills>(bare).bills).total;
    return result;
}

Exit act(const CompareCommand& given, Shell& shell) {
    CompareCommand command = given;
    const auto refuse = [&](const io::Faults& faults) {
        print_faults(shell, faults, command.bill.json);
        return exit_of(faults);
    };
    if (command.bill.prices_of.empty())
        command.bill.prices_of = date::format("%F", date::floor<date::days>(system_now()));
    const auto usage = read_usage_of(command);
    if (!usage.ok()) return refuse(usage.faults());
    io::Faults faults;
    std::vector<Priced> all;
    for (const std::string& file : command.tariffs) {
        auto one = priced(command, file, usage.value());
        if (one.ok()) {
            all.push_back(std::move(one).value());
        } else {
            faults.insert(faults.end(), one.faults().begin(), one.faults().end());
        }
    }
    for (const Priced& one : all) {
        if (one.currency == all.front().currency) continue;
        faults.push_back({one.compared.file, 0, 0, "currency", "is not that of the first tariff",
                          one.currency, all.front().currency, "compare tariffs of one currency"});
    }
    if (!faults.empty()) return refuse(faults);
    if (!all.front().compared.refused.empty())
        return refuse({{all.front().compared.file, 0, 0, "", all.front().compared.refused, "", "", ""}});
    std::vector<ComparedTariff> tariffs;
    for (Priced& one : all) tariffs.push_back(std::move(one.compared));
    const CompareWords words{all.front().spans.spans, command.bill.prices_of, all.front().currency,
                             minor_digits(all.front().currency).value_or(2), all.front().without_readings};
    if (command.bill.json) {
        shell.out << compare_json(tariffs, words) << '\n';
        return Exit::done;
    }
    for (const io::Fault& warning : usage.value().bill.warnings) shell.err << io::text(warning) << '\n';
    shell.out << (command.bill.csv ? compare_csv(tariffs, words) : compare_text(tariffs, words));
    return Exit::done;
}

}  // namespace

Command add_compare(CLI::App& app) {
    auto command = std::make_shared<CompareCommand>();
    CLI::App* parsed =
        app.add_subcommand("compare", "What a year of usage would cost under each of several tariffs");
    parsed->add_option("tariffs", command->tariffs, "Tariff files, the present one first.")->required();
    add_period_options(*parsed, command->bill);
    add_reading_options(*parsed, command->bill);
    parsed->get_option("--readings")->required();
    parsed->add_option("--car", command->cars, "What a car's own meter recorded; once for each.");
    add_terms_options(*parsed, command->bill);
    parsed->add_flag("--csv", command->bill.csv, "Every bill's cost as comma-separated values.")
        ->excludes("--json");
    parsed->footer(
        "Up to twelve bills, the latest ones, at the prices of today unless --prices-of says otherwise.\n"
        "Example:\n"
        "  lullwatt compare --readings history/house.csv --zone America/Halifax now.yaml night.yaml "
        "flat.yaml");
    return {parsed, [command](Shell& shell) { return act(*command, shell); }};
}

}  // namespace lullwatt::tools
