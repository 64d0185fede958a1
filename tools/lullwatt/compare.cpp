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
#include "tools/lullwatt/option_fault.hpp"
#include "tools/lullwatt/site_contract.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {
namespace {

constexpr std::size_t kMostBills = 12;

struct CompareCommand {
    BillOptions bill;
    std::string site;
    std::string contract;
    std::vector<std::string> tariffs;
    std::vector<std::string> cars;
};

// What is the same for every tariff.
struct Usage {
    BillUsage bill;
    tariff::BillDates dates;
    bool of_site = false;
    account::Metered with;
    std::optional<account::Metered> without_cars;
};

io::Read<Usage> with_cars(const CompareCommand& command, BillUsage bill, tariff::BillDates dates) {
    Usage usage{std::move(bill), std::move(dates), !command.site.empty(), {}, {}};
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

// REQUIRES: `read` goes by the bills of `usage`.
io::Read<Asked> asked(const CompareCommand& command, tariff::Tariff read, const std::string& file,
                      const Usage& usage) {
    Asked result;
    result.compared.file = file;
    result.compared.name = read.name;
    result.currency = read.currency;
    auto tariff = asked_prices(command.bill, std::move(read), file);
    if (!tariff.ok()) {
        if (typed_wrong(tariff.faults())) return tariff.faults();
        result.compared.refused = tariff.faults();
        return result;
    }
    auto clock = bill_clock(command.bill, tariff.value(), file, usage.bill);
    if (!clock.ok()) return clock.faults();
    auto spans = bill_spans(command.bill, tariff.value(), clock.value(), usage.dates, usage.bill);
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

// The usage typed, or that of the site's contract, which then is the present one.
io::Read<Usage> usage_of(CompareCommand& command, std::optional<io::Supply>& present) {
    if (command.site.empty()) {
        auto bill = bill_usage(command.bill);
        if (!bill.ok()) return bill.faults();
        tariff::BillDates dates;
        dates.day = command.bill.bill_day;
        return with_cars(command, std::move(bill).value(), dates);
    }
    auto contract = site_contract(command.site, command.contract, command.bill);
    if (!contract.ok()) return contract.faults();
    SiteContract found = std::move(contract).value();
    command.bill = found.asked;
    command.bill.zone = found.zone;
    present = std::move(found.supply);
    return with_cars(command, std::move(found.usage), present->contract.bills);
}

// The latest twelve are shown. Those before are priced too where a charge counts them.
struct Bills {
    std::vector<account::DateSpan> all;
    std::size_t shown = 0;  // the first of them
};

// What a charge goes by and is not stated, as options or as keys of the contract.
std::string missing_terms(const tariff::Tariff& tariff, const account::Terms& terms, bool of_site) {
    std::vector<std::string> options;
    const auto need = [&](bool needed, const char* option) {
        if (needed && std::ranges::find(options, option) == options.end()) options.emplace_back(option);
    };
    const char* contracted = of_site ? "contracted_power" : "--contracted-kw";
    using tariff::DemandCharge;
    using tariff::FixedCharge;
    for (const auto& revision : tariff.revisions) {
        for (const FixedCharge& charge : revision.fixed) {
            const bool fuse = !charge.by_fuse.empty() || charge.each == FixedCharge::Each::ampere_of_fuse;
            need(fuse && !terms.fuse, of_site ? "fuse" : "--fuse");
            need(charge.each == FixedCharge::Each::contracted_kilowatt && !terms.contracted, contracted);
        }
        for (const DemandCharge& charge : revision.demand) {
            need(charge.measure == DemandCharge::Measure::contracted && !terms.contracted, contracted);
            need(charge.measure == DemandCharge::Measure::given && !terms.given_peak,
                 of_site ? "given_peak" : "--peak-kw");
        }
    }
    return fmt::format("{}", fmt::join(options, " and "));
}

io::Faults refused(const Asked& one, const account::Refusal& refusal, const Usage& usage) {
    io::Fault fault = refusal_fault(one.compared.file, refusal);
    const std::string options = missing_terms(*one.tariff, usage.bill.terms, usage.of_site);
    if (!options.empty())
        fault.mend += fmt::format(" ({} {})", usage.of_site ? "state in the contract" : "give", options);
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
            one.compared.refused = refused(one, *refusal, usage);
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

// What was typed wrong is wrong for every tariff, and told once.
void add_new(io::Faults& faults, const io::Faults& more) {
    for (const io::Fault& fault : more) {
        if (std::ranges::find(faults, fault) == faults.end()) faults.push_back(fault);
    }
}

// The contract's own tariff first, where a site is asked about; its taxes and bill dates hold for all.
io::Read<std::vector<Asked>> asked_all(const CompareCommand& command,
                                       const std::optional<io::Supply>& present, const Usage& usage) {
    io::Faults faults;
    std::vector<Asked> all;
    const auto add = [&](tariff::Tariff tariff, const std::string& file) {
        auto one = asked(command, std::move(tariff), file, usage);
        if (one.ok()) {
            all.push_back(std::move(one).value());
        } else {
            add_new(faults, one.faults());
        }
    };
    if (present) add(present->tariff, present->contract.tariff.string());
    for (const std::string& file : command.tariffs) {
        auto read = io::read_tariff_file(file);
        if (!read.ok()) {
            add_new(faults, read.faults());
            continue;
        }
        add(present ? io::billed_by(present->contract, std::move(read).value()) : std::move(read).value(),
            file);
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
    std::optional<io::Supply> present;
    const auto usage = usage_of(command, present);
    if (!usage.ok()) return refuse(usage.faults());
    auto read = asked_all(command, present, usage.value());
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
    parsed
        ->add_option("tariffs", command->tariffs,
                     "Tariff files, the present one first; with --site the contract's comes before them.")
        ->required();
    parsed->add_option("--site", command->site,
                       "The site file: its contract's tariff is the present one, priced with its readings, "
                       "figures, dates and taxes, as are the others.");
    parsed
        ->add_option("--contract", command->contract, "Which of the site's contracts, where it has several.")
        ->needs("--site");
    add_period_options(*parsed, command->bill);
    add_reading_options(*parsed, command->bill);
    parsed->add_option("--car", command->cars, "What a car's own meter recorded; once for each.")
        ->allow_extra_args(false);
    add_terms_options(*parsed, command->bill);
    command->bill.totals = false;
    // A contract has its own clock, dates and figures.
    for (const char* option : {"--zone", "--bill-day", "--fuse", "--contracted-kw", "--peak-kw", "--months"})
        parsed->get_option(option)->excludes("--site");
    parsed->add_flag("--csv", command->bill.csv, "Every bill's cost as comma-separated values.")
        ->excludes("--json");
    parsed->footer(
        "Up to twelve bills, the latest ones, at the prices of today unless --prices-of says otherwise.\n"
        "Examples:\n"
        "  lullwatt compare --site my-house/site.yaml night.yaml flat.yaml\n"
        "  lullwatt compare --readings history/house.csv --zone America/Halifax now.yaml night.yaml "
        "flat.yaml\n"
        "  lullwatt compare --readings house.csv --car car.csv now.yaml night.yaml");
    return {parsed, [command](Shell& shell) { return act(*command, shell); }};
}

}  // namespace lullwatt::tools
