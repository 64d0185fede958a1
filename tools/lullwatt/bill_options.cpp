#include "tools/lullwatt/bill_options.hpp"

#include <algorithm>
#include <utility>

#include <CLI/CLI.hpp>
#include <date/date.h>
#include <fmt/format.h>

#include "core/tariff/own_clock.hpp"
#include "core/tariff/window.hpp"
#include "io/settings/scalar.hpp"
#include "io/usage/usage.hpp"
#include "io/zone/zone.hpp"
#include "tools/lullwatt/option_fault.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {
namespace {

using account::DateSpan;
using account::Metered;
using account::Typed;

constexpr std::int64_t kMostEnergy = 1'000'000'000'000;  // mWh of one bill: a million kWh

// A number without its unit, in 1e-6.
std::optional<std::int64_t> millionths(const std::string& text) { return parse_decimal(text, 6); }

// "1200" or "night=304": kilowatt-hours or kilowatts, by name.
struct Named {
    std::string name;
    std::int64_t millionths = 0;
};

std::vector<Named> named_amounts(const std::string& option, const std::vector<std::string>& texts,
                                 io::Faults& faults) {
    std::vector<Named> found;
    for (const std::string& text : texts) {
        const auto equals = text.rfind('=');
        const auto amount = millionths(equals == text.npos ? text : text.substr(equals + 1));
        if (!amount || *amount < 0 || *amount > kMostEnergy) {
            faults.push_back(
                option_fault(option, "is not an amount", text, "'1200', or 'night=304.5', up to 1000000"));
            continue;
        }
        found.push_back({equals == text.npos ? "" : text.substr(0, equals), *amount});
        const bool twice = std::ranges::any_of(found.begin(), found.end() - 1, [&](const Named& other) {
            return other.name == found.back().name;
        });
        if (twice) faults.push_back(option_fault(option, "is given twice for one name", text, "each once"));
    }
    return found;
}

// "8865:9975": what a register counted, times the meter's multiplier, over its rollover where digits are
// said.
std::optional<MilliwattHours> register_energy(const BillOptions& options, io::Faults& faults) {
    const auto colon = std::min(options.register_reads.find(':'), options.register_reads.size());
    const auto previous = millionths(options.register_reads.substr(0, colon)).value_or(-1);
    const auto present =
        millionths(options.register_reads.substr(std::min(colon + 1, options.register_reads.size())))
            .value_or(-1);
    const auto multiplier = millionths(options.multiplier.empty() ? "1" : options.multiplier);
    if (previous < 0 || present < 0) {
        faults.push_back(option_fault("--register", "is not two readings", options.register_reads,
                                      "PREVIOUS:PRESENT in kWh, such as '8865:9975'"));
        return std::nullopt;
    }
    if (!multiplier || *multiplier <= 0) {
        faults.push_back(option_fault("--multiplier", "is not a meter's multiplier", options.multiplier,
                                      "a number above 0"));
        return std::nullopt;
    }
    Wide counted = static_cast<Wide>(present) - previous;
    if (counted < 0 && options.register_digits) {
        Wide rollover = 1'000'000;
        for (int digit = 0; digit < *options.register_digits; ++digit) rollover *= 10;
        counted += rollover;
    }
    if (counted < 0) {
        faults.push_back(option_fault("--register", "went back", options.register_reads,
                                      "a present reading above the previous one",
                                      "say --register-digits where the meter rolled over; a meter that was "
                                      "exchanged is two bills"));
        return std::nullopt;
    }
    const Wide energy = nearest_quotient(counted * *multiplier, 1'000'000);
    if (energy > kMostEnergy) {
        faults.push_back(option_fault("--register", "counts more than a household uses",
                                      options.register_reads, "up to 1000000 kWh with the multiplier",
                                      "look for a lost decimal point, or --multiplier"));
        return std::nullopt;
    }
    return MilliwattHours(static_cast<std::int64_t>(energy));
}

void settle_terms(const BillOptions& options, account::Terms& terms, io::Faults& faults) {
    const auto take = [&](const char* option, const std::string& text, std::string_view unit, auto make) {
        if (text.empty()) return;
        const auto amount = millionths(text);
        const bool whole = !unit.starts_with("whole") || (amount && *amount % 1'000'000 == 0);
        if (!amount || !whole || *amount <= 0 || *amount > 1'000'000'000'000) {
            faults.push_back(option_fault(option, "is not an amount", text, fmt::format("{} above 0", unit)));
        } else {
            make(*amount);
        }
    };
    take("--fuse", options.fuse, "whole amperes",
         [&](std::int64_t amount) { terms.fuse = WholeAmps(static_cast<int>(amount / 1'000'000)); });
    take("--contracted-kw", options.contracted, "kilowatts",
         [&](std::int64_t amount) { terms.contracted = Milliwatts(amount); });
    take("--peak-kw", options.given_peak, "kilowatts",
         [&](std::int64_t amount) { terms.given_peak = Milliwatts(amount); });
    terms.months = options.months;
}

io::Read<Metered> read_metered(const BillOptions& options, io::Faults& warnings) {
    const auto meter = options.meter.empty() ? std::nullopt : std::optional(options.meter);
    auto taken = io::read_usage(options.readings, meter);
    if (!taken.ok()) return taken.faults();
    warnings = taken.value().warnings;
    if (taken.value().flow == io::Flow::received) {
        return io::Faults{option_fault("--readings", "counts energy from the house", options.readings,
                                       "readings of the energy taken", "give this one as --given")};
    }
    Metered metered{std::move(taken).value().readings, {}};
    if (options.given.empty()) return metered;
    auto given = io::read_usage(
        options.given, options.given_meter.empty() ? std::nullopt : std::optional(options.given_meter));
    if (!given.ok()) return given.faults();
    if (given.value().flow == io::Flow::delivered || given.value().flow == io::Flow::net) {
        return io::Faults{
            option_fault("--given", "counts energy that the house takes", options.given,
                         "readings of the energy given back",
                         given.value().flow == io::Flow::net
                             ? "give this one as --readings, which may count both ways"
                             : "give this one as --readings, or name another with --given-meter")};
    }
    warnings.insert(warnings.end(), given.value().warnings.begin(), given.value().warnings.end());
    metered.given = std::move(given).value().readings;
    return metered;
}

Typed typed_usage(const BillOptions& options, io::Faults& faults) {
    Typed typed;
    for (const Named& named : named_amounts("--kwh", options.kwh, faults))
        typed.taken.push_back({named.name, MilliwattHours(named.millionths)});
    for (const Named& named : named_amounts("--given-kwh", options.given_kwh, faults))
        typed.given.push_back({named.name, MilliwattHours(named.millionths)});
    for (const Named& named : named_amounts("--kw", options.kw, faults))
        typed.demand.push_back({named.name, Milliwatts(named.millionths)});
    if (!options.register_reads.empty()) {
        if (const auto energy = register_energy(options, faults)) typed.taken.push_back({"", *energy});
    }
    for (const auto* energies : {&typed.taken, &typed.given}) {
        Wide sum = 0;
        for (const Typed::Energy& energy : *energies) sum += energy.energy.count();
        if (sum <= kMostEnergy) continue;
        faults.push_back(option_fault(energies == &typed.taken ? "--kwh" : "--given-kwh",
                                      "comes to more than a household uses", "", "up to 1000000 in all",
                                      "look for a lost decimal point"));
    }
    return typed;
}

std::optional<CivilDate> date_of(const std::string& option, const std::string& text, io::Faults& faults) {
    const auto read = io::parse_scalar({.key = "date", .kind = io::Kind::date}, io::Kind::date, text);
    if (const auto* scalar = std::get_if<io::Scalar>(&read)) {
        const auto date = std::get<CivilDate>(*scalar);
        if (int{date.year()} >= 1970 && int{date.year()} < 2200) return date;
    }
    faults.push_back(option_fault(option, "is not a date", text, "a date such as '2026-01-31'"));
    return std::nullopt;
}

std::optional<DateSpan> asked_span(const BillOptions& options, io::Faults& faults) {
    if (!options.month.empty()) {
        const auto first = date_of("--month", options.month + "-01", faults);
        if (!first) {
            faults.back() = option_fault("--month", "is not a month", options.month, "YYYY-MM");
            return std::nullopt;
        }
        return DateSpan{*first, CivilDate{*first + date::months{1}}};
    }
    if (options.from.empty() && options.to.empty()) return std::nullopt;
    if (options.from.empty() || options.to.empty()) {
        faults.push_back(option_fault(options.from.empty() ? "--from" : "--to", "is missing beside the other",
                                      "", "both days"));
        return std::nullopt;
    }
    const auto from = date_of("--from", options.from, faults);
    const auto to = date_of("--to", options.to, faults);
    if (!from || !to) return std::nullopt;
    const DateSpan span{*from, *to};
    if (span.days() <= 0 || span.days() > 800) {
        faults.push_back(option_fault("--to", "makes no bill with --from", options.to,
                                      "the day of the next reading, 1 to 800 days after --from"));
        return std::nullopt;
    }
    return span;
}

Interval covered(const Metered& metered) {
    return {metered.taken.front().when.begin, metered.taken.back().when.end};
}

}  // namespace

void add_period_options(CLI::App& app, BillOptions& options) {
    app.add_option("--zone", options.zone, "The household's clock, where the tariff has none of its own.");
    app.add_option("--from", options.from, "The bill's first day: the day of its first reading.");
    app.add_option("--to", options.to, "The day of the next reading, which is the next bill's first day.");
    app.add_option("--month", options.month, "A calendar month, YYYY-MM, instead of --from and --to.")
        ->excludes("--from", "--to");
    app.add_option("--prices-of", options.prices_of,
                   "A day whose prices count for all of it: what usage of another time would cost then.");
    app.add_option("--bill-day", options.bill_day,
                   "Without any of these: one bill a month from this day on, as far as the readings go.")
        ->check(CLI::Range(1U, 31U))
        ->capture_default_str();
}

void add_reading_options(CLI::App& app, BillOptions& options) {
    app.add_option("--readings", options.readings,
                   "What the meter recorded: a Green Button file, or one `lullwatt import` wrote.");
    app.add_option("--meter", options.meter, "Which meter of a Green Button file.")->needs("--readings");
    app.add_option("--given", options.given, "The same of energy given back.")->needs("--readings");
    app.add_option("--given-meter", options.given_meter, "Which meter of its file that is.")
        ->needs("--given");
}

void add_typed_options(CLI::App& app, BillOptions& options) {
    auto* kwh =
        app.add_option("--kwh", options.kwh,
                       "Kilowatt-hours in all, or PRICE=KWH for each price by the hour; instead of readings.")
            ->excludes("--readings");
    app.add_option("--given-kwh", options.given_kwh, "The same of energy given back.")
        ->excludes("--readings");
    app.add_option("--kw", options.kw, "The highest power billed, or CHARGE=KW; beside --kwh.")
        ->excludes("--readings");
    app.add_option("--register", options.register_reads, "PREVIOUS:PRESENT instead of --kwh.")
        ->excludes("--readings")
        ->excludes(kwh);
    app.add_option("--multiplier", options.multiplier, "The meter's, on a register's difference.")
        ->needs("--register");
    app.add_option("--register-digits", options.register_digits,
                   "Before the point; says where it rolls over.")
        ->needs("--register")
        ->check(CLI::Range(3, 12));
}

void add_terms_options(CLI::App& app, BillOptions& options) {
    app.add_option("--fuse", options.fuse, "The main fuse in amperes, where charges go by it.");
    app.add_option("--contracted-kw", options.contracted, "The power ordered, where charges go by it.");
    app.add_option("--peak-kw", options.given_peak, "The utility's own figure, where a charge goes by one.");
    app.add_option("--months", options.months, "Months one bill stands for.")
        ->check(CLI::Range(1, 12))
        ->capture_default_str();
    app.add_flag("--json", options.json, "Answer as JSON.");
}

io::Read<BillUsage> bill_usage(const BillOptions& options) {
    io::Faults faults;
    BillUsage usage;
    settle_terms(options, usage.terms, faults);
    if (options.readings.empty()) {
        usage.usage = typed_usage(options, faults);
        if (options.kwh.empty() && options.register_reads.empty())
            faults.push_back(option_fault("--readings", "is missing", "",
                                          options.totals ? "--readings, --kwh or --register" : "--readings",
                                          "say what was used"));
    } else {
        auto metered = read_metered(options, usage.warnings);
        if (metered.ok()) {
            usage.usage = std::move(metered).value();
        } else {
            faults.insert(faults.end(), metered.faults().begin(), metered.faults().end());
        }
    }
    if (!faults.empty()) return faults;
    return usage;
}

io::Read<tariff::Tariff> asked_prices(const BillOptions& options, tariff::Tariff tariff,
                                      const std::string& file) {
    if (options.prices_of.empty()) return tariff;
    io::Faults faults;
    const auto date = date_of("--prices-of", options.prices_of, faults);
    if (!date) return faults;
    auto frozen = tariff::with_prices_of(tariff, *date);
    if (frozen) return *std::move(frozen);
    return io::Faults{{file, 0, 0, "revisions", "hold no prices on " + options.prices_of, "", "",
                       "add the revision, or name another day"}};
}

io::Read<Zone> bill_clock(const BillOptions& options, const tariff::Tariff& tariff, const std::string& file,
                          const BillUsage& usage) {
    const auto* own = std::get_if<std::string>(&tariff.clock);
    if (std::holds_alternative<tariff::SiteClock>(tariff.clock) && options.zone.empty()) {
        return io::Faults{option_fault("--zone", "is missing: the tariff goes by the household's clock", "",
                                       "a zone name such as 'America/Halifax'")};
    }
    io::Faults faults;
    const auto asked = asked_span(options, faults);
    if (!faults.empty()) return faults;
    const auto* metered = std::get_if<Metered>(&usage.usage);
    Interval needed = metered == nullptr ? Interval{system_now(), system_now()} : covered(*metered);
    if (asked) {
        const Interval span{date::sys_days{asked->from}, date::sys_days{asked->to}};
        needed = metered == nullptr
                     ? span
                     : Interval{std::min(span.begin, needed.begin), std::max(span.end, needed.end)};
    }
    needed = {needed.begin - date::days{400}, needed.end + date::days{400}};
    if (auto kept = tariff::own_clock(tariff, needed)) return *std::move(kept);
    auto clock = io::load_zone(own == nullptr ? options.zone : *own, needed, system_now());
    if (clock.ok()) return clock;
    faults = clock.faults();
    for (io::Fault& fault : faults) {
        fault.file = own == nullptr ? kCommandLine : file;
        if (own == nullptr) fault.key = "--zone";
    }
    return faults;
}

io::Read<BillSpans> bill_spans(const BillOptions& options, const tariff::Tariff& tariff, const Zone& clock,
                               const tariff::BillDates& dates, const BillUsage& usage) {
    io::Faults faults;
    const auto asked = asked_span(options, faults);
    if (!faults.empty()) return faults;
    if (asked) return BillSpans{{*asked}, {}};
    const auto* metered = std::get_if<Metered>(&usage.usage);
    if (metered == nullptr)
        return io::Faults{option_fault("--month", "is missing: totals say nothing of their days", "",
                                       "--month, or --from and --to")};
    const auto day_of = [&](Instant at) {
        return CivilDate{date::floor<date::days>(clock.civil(at) - tariff.day_start)};
    };
    const Interval when = covered(*metered);
    const CivilDate first = day_of(when.begin);
    const CivilDate last = day_of(when.end - Seconds{1});
    const DateSpan days{first, CivilDate{date::sys_days{last} + date::days{1}}};
    BillSpans found;
    for (const DateSpan bill : tariff::bills_in(dates, days)) {
        if (days.from <= bill.from && bill.to <= days.to) found.spans.push_back(bill);
    }
    if (found.spans.empty()) {
        found.spans.push_back(days);
    } else if (found.spans.front().from != days.from || found.spans.back().to != days.to) {
        found.left_out = days;
    }
    return found;
}

std::vector<DateSpan> left_out(const BillSpans& own, const std::vector<DateSpan>& bills) {
    const DateSpan days = own.left_out.value_or(DateSpan{own.spans.front().from, own.spans.back().to});
    std::vector<DateSpan> found;
    if (days.from < bills.front().from) found.push_back({days.from, bills.front().from});
    if (bills.back().to < days.to) found.push_back({bills.back().to, days.to});
    return found;
}

io::Fault refusal_fault(const std::string& file, const account::Refusal& refusal) {
    return {file, 0, 0, "", refusal.what, "", "", refusal.mend};
}

}  // namespace lullwatt::tools
