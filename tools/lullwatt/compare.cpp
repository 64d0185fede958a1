#include <algorithm>
#include <cassert>
#include <memory>
#include <optional>
#include <ostream>
#include <utility>

#include <CLI/CLI.hpp>
#include <date/date.h>
#include <fmt/format.h>

#include "core/account/cars_part.hpp"
#include "core/account/known_before.hpp"
#include "io/tariff_file/tariff_file.hpp"
#include "io/usage/usage.hpp"
#include "tools/lullwatt/bill_options.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/compare_text.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {
namespace {

constexpr std::size_t kMostBills = 12;

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

// A tariff read, with the bills its clock makes of the readings.
struct Asked {
    ComparedTariff compared;
    std::optional<tariff::Tariff> tariff;  // none: it has no prices of the day asked for
    std::string currency;
    std::optional<Zone> clock;
    BillSpans spans;
};

bool typed_wrong(const io::Faults& faults) { return exit_of(faults) == Exit::usage; }

io::Read<Asked> asked(const CompareCommand& command, const std::string& file, const Usage& usage) {
    auto read = io::read_tariff_file(file);
    if (!read.ok()) return read.faults();
    Asked result;
    result.compared.file = file;
    result.compared.name = read.value().name;
    result.currency = read.value().currency;
    auto tariff = asked_prices(command.bill, std::move(read).value(), file);
    if (!tariff.ok()) {
        if (typed_wrong(tariff.faults())) return tariff.faults();
        result.compared.refused = tariff.faults();
        return result;
    }
    auto clock = bill_clock(command.bill, tariff.value(), file, usage.bill);
    if (!clock.ok()) return clock.faults();
    tariff::BillDates dates;
    dates.day = command.bill.bill_day;
    auto spans = bill_spans(command.bill, tariff.value(), clock.value(), dates, usage.bill);
    if (!spans.ok()) return spans.faults();
    result.spans = std::move(spans).value();
    result.clock = std::move(clock).value();
    result.tariff = std::move(tariff).value();
    return result;
}

// One list for all tariffs, whatever clock each goes by: the bills that every one of them makes of the
// readings; where none has a whole one, the days they share.
std::vector<account::DateSpan> common_spans(const std::vector<Asked>& all) {
    std::optional<std::vector<account::DateSpan>> common;
    account::DateSpan shared;
    for (const Asked& one : all) {
        if (!one.tariff) continue;
        const auto& own = one.spans.spans;
        const account::DateSpan days{own.front().from, own.back().to};
        if (!common) {
            common = own;
            shared = days;
            continue;
        }
        std::erase_if(*common, [&](const account::DateSpan& span) {
            return std::ranges::none_of(own, [&](const account::DateSpan& other) {
                return other.from == span.from && other.to == span.to;
            });
        });
        shared = {std::max(shared.from, days.from), std::min(shared.to, days.to)};
    }
    if (!common) return {};
    if (common->empty() && shared.from < shared.to) return {shared};
    return *common;
}

// Days with readings at either end that make no whole bill.
std::vector<account::DateSpan> left_out(const BillSpans& own, const std::vector<account::DateSpan>& bills) {
    const account::DateSpan days =
        own.left_out.value_or(account::DateSpan{own.spans.front().from, own.spans.back().to});
    std::vector<account::DateSpan> found;
    if (days.from < bills.front().from) found.push_back({days.from, bills.front().from});
    if (bills.back().to < days.to) found.push_back({bills.back().to, days.to});
    return found;
}

// The latest twelve are shown. Those before are priced too where a charge counts them.
struct Bills {
    std::vector<account::DateSpan> all;
    std::size_t shown = 0;  // the first of them
};

std::string missing_terms(const tariff::Tariff& tariff, const account::Terms& terms) {
    std::vector<std::string> options;
    const auto need = [&](bool needed, const char* option) {
        if (needed && std::ranges::find(options, option) == options.end()) options.emplace_back(option);
    };
    using tariff::DemandCharge;
    using tariff::FixedCharge;
    for (const auto& revision : tariff.revisions) {
        for (const FixedCharge& charge : revision.fixed) {
            const bool fuse = !charge.by_fuse.empty() || charge.each == FixedCharge::Each::ampere_of_fuse;
            need(fuse && !terms.fuse, "--fuse");
            need(charge.each == FixedCharge::Each::contracted_kilowatt && !terms.contracted,
                 "--contracted-kw");
        }
        for (const DemandCharge& charge : revision.demand) {
            need(charge.measure == DemandCharge::Measure::contracted && !terms.contracted, "--contracted-kw");
            need(charge.measure == DemandCharge::Measure::given && !terms.given_peak, "--peak-kw");
        }
    }
    return fmt::format("{}", fmt::join(options, " and "));
}

io::Faults refused(const Asked& one, const account::Refusal& refusal, const account::Terms& terms) {
    io::Fault fault = refusal_fault(one.compared.file, refusal);
    const std::string options = missing_terms(*one.tariff, terms);
    if (!options.empty()) fault.mend += " (give " + options + ")";
    return {std::move(fault)};
}

// A year under one tariff; a tariff that cannot be priced says why and does not spoil the others.
void price(Asked& one, const Usage& usage, const Bills& bills) {
    const bool earlier = account::counts_earlier_bills(*one.tariff);
    const auto from = bills.all.begin() + (earlier ? 0 : static_cast<std::ptrdiff_t>(bills.shown));
    const std::vector<account::DateSpan> spans(from, bills.all.end());
    const std::size_t shown = earlier ? bills.shown : 0;
    const auto price_of = [&](const account::Metered& metered) -> std::optional<std::vector<account::Bill>> {
        auto found = account::bills(*one.tariff, *one.clock, spans, metered, usage.bill.terms);
        if (const auto* refusal = std::get_if<account::Refusal>(&found)) {
            one.compared.refused = refused(one, *refusal, usage.bill.terms);
            return std::nullopt;
        }
        auto& list = std::get<std::vector<account::Bill>>(found);
        list.erase(list.begin(), list.begin() + static_cast<std::ptrdiff_t>(shown));
        assert(list.size() == bills.all.size() - bills.shown);
        return std::move(list);
    };
    const auto with = price_of(usage.with);
    if (!with) return;
    one.compared.year = account::year_of(*with);
    for (const account::Bill& bill : *with) {
        one.compared.without_readings += bill.without_readings;
        if (bill.assumed)
            one.compared.assumed += account::assumed_energy(*one.tariff, *one.clock, bill.days, usage.with);
    }
    one.compared.begun_midway = account::unknown_before(*one.tariff, spans, shown);
    if (!usage.without_cars) return;
    const auto bare = price_of(*usage.without_cars);
    if (!bare) return;
    one.compared.cars.emplace();
    for (std::size_t i = 0; i < with->size(); ++i)
        one.compared.cars->push_back((*with)[i].total - (*bare)[i].total);
}

io::Read<std::vector<Asked>> asked_all(const CompareCommand& command, const Usage& usage) {
    io::Faults faults;
    std::vector<Asked> all;
    for (const std::string& file : command.tariffs) {
        auto one = asked(command, file, usage);
        if (one.ok()) {
            all.push_back(std::move(one).value());
            continue;
        }
        for (const io::Fault& fault : one.faults()) {
            // What is typed wrong is wrong for every tariff.
            if (std::ranges::find(faults, fault) == faults.end()) faults.push_back(fault);
        }
    }
    for (const Asked& one : all) {
        if (one.currency == all.front().currency) continue;
        faults.push_back({one.compared.file, 0, 0, "currency", "is not that of the first tariff",
                          one.currency, all.front().currency, "compare tariffs of one currency"});
    }
    if (faults.empty() && !all.front().compared.refused.empty()) faults = all.front().compared.refused;
    if (!faults.empty()) return faults;
    return all;
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
    auto read = asked_all(command, usage.value());
    if (!read.ok()) return refuse(read.faults());
    std::vector<Asked> all = std::move(read).value();
    Bills bills{common_spans(all), 0};
    if (bills.all.empty())
        return refuse({{kCommandLine, 0, 0, "--readings", "hold no day of every tariff's clock",
                        command.bill.readings, "", "give readings of more days"}});
    if (bills.all.size() > kMostBills) bills.shown = bills.all.size() - kMostBills;
    std::vector<ComparedTariff> tariffs;
    for (Asked& one : all) {
        if (one.tariff) price(one, usage.value(), bills);
        tariffs.push_back(std::move(one.compared));
    }
    if (!tariffs.front().refused.empty()) return refuse(tariffs.front().refused);
    const auto first = bills.all.begin() + static_cast<std::ptrdiff_t>(bills.shown);
    const CompareWords words{{first, bills.all.end()},
                             command.bill.prices_of,
                             all.front().currency,
                             minor_digits(all.front().currency).value_or(2),
                             left_out(all.front().spans, bills.all),
                             usage.value().bill.warnings};
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
    parsed->add_option("--car", command->cars, "What a car's own meter recorded; once for each.")
        ->allow_extra_args(false);
    add_terms_options(*parsed, command->bill);
    parsed->add_flag("--csv", command->bill.csv, "Every bill's cost as comma-separated values.")
        ->excludes("--json");
    parsed->footer(
        "Up to twelve bills, the latest ones, at the prices of today unless --prices-of says otherwise.\n"
        "Example:\n"
        "  lullwatt compare --readings history/house.csv --zone America/Halifax now.yaml night.yaml "
        "flat.yaml\n"
        "  lullwatt compare --readings house.csv --car car.csv now.yaml night.yaml");
    return {parsed, [command](Shell& shell) { return act(*command, shell); }};
}

}  // namespace lullwatt::tools
