#include <algorithm>

#include <fmt/format.h>

#include "io/tariff_file/charge_sections.hpp"
#include "io/tariff_file/charge_words.hpp"
#include "io/tariff_file/magnitude.hpp"

namespace lullwatt::io {
namespace {

using tariff::DemandCharge;

constexpr Seconds kDay{86400};

void check_hours(const Section& section, Seconds from, Seconds to, Faults& faults) {
    if (from == kDay)
        faults.push_back(section.fault("from", "is the day's end", "a time below 24:00", "write 00:00"));
    if (from == to)
        faults.push_back(section.fault("to", "is where the hours begin, so they have no length",
                                       "a time other than 'from'", "leave out both if all day is meant"));
}

tariff::DemandHours read_demand_hours(const Section& section, const ChargeContext& context, Faults& faults) {
    tariff::DemandHours hours;
    hours.seasons = season_indices(section, context.tariff, faults);
    if (section.stated("days")) hours.days = context.words.days_of(section, faults);
    take(section, "from", hours.from);
    take(section, "to", hours.to);
    take_percent(section, "counts", hours.share);
    check_hours(section, hours.from, hours.to, faults);
    return hours;
}

// Ours: a kilowatt of a month's peak costs at most some fifty times what is improbable for a kilowatt-hour.
void check_demand_magnitude(const Section& section, const Section& file, Faults& faults) {
    constexpr std::int64_t kTimes = 50;
    const auto* rate = section.find<DemandRate>("per_kw");
    const auto* currency = file.find<std::string>("currency");
    const auto* silenced = file.find<bool>("large_rates");
    if (rate == nullptr || currency == nullptr || (silenced != nullptr && *silenced)) return;
    const auto limit = implausible_rate(*currency);
    if (!limit || rate->count() < limit->count() * kTimes) return;
    faults.push_back(section.fault(
        "per_kw", "is more than a kilowatt costs: were hundredths written for whole units?",
        fmt::format("a price below {} {} per kW", decimal_text(limit->count() * kTimes, 12), *currency),
        fmt::format("write '{}', or state 'large_rates: yes'", decimal_text(rate->count() / 100, 12))));
}

void read_demand_steps(const Section& section, const Section& file, DemandCharge& charge, Faults& faults) {
    if (section.stated("per_kw") == section.stated("steps"))
        faults.push_back(section.fault(
            section.stated("per_kw") ? "per_kw" : "",
            section.stated("per_kw") ? "stands beside 'steps'" : "has no price", "per_kw, or steps",
            section.stated("per_kw") ? "keep one of the two" : "add one of the two"));
    if (const auto* rate = section.find<DemandRate>("per_kw")) charge.steps.push_back({{}, *rate, {}});
    check_demand_magnitude(section, file, faults);
    const auto& steps = section.sections("steps");
    for (const Section& step : steps) {
        DemandCharge::Step& read = charge.steps.emplace_back();
        if (const auto* limit = step.find<Milliwatts>("up_to")) read.up_to = *limit;
        take(step, "per_kw", read.rate);
        check_demand_magnitude(step, file, faults);
        if (const auto* amount = step.find<Money>("amount")) read.amount = *amount;
        if (step.stated("per_kw") == step.stated("amount"))
            faults.push_back(
                step.fault("", "has not exactly one price", "per_kw, or amount", "keep one of the two"));
        if (step.stated("amount") != steps.front().stated("amount"))
            faults.push_back(step.fault("", "mixes amounts and prices per kW in one charge",
                                        "all of one kind", "make two charges of it"));
    }
    check_steps<Milliwatts>(section, steps, faults);
}

bool share_any(const std::vector<std::size_t>& some, const std::vector<std::size_t>& others) {
    return some.empty() || others.empty() || std::ranges::any_of(some, [&](std::size_t one) {
               return std::ranges::find(others, one) != others.end();
           });
}

// Whether an interval has its first and last second in these hours, or in these and some that adjoin them.
bool may_hold_interval(const DemandCharge& charge, const tariff::DemandHours& hours) {
    const auto within_day = [](Seconds time) { return (time + kDay) % kDay; };
    const Seconds length = hours.to == hours.from ? kDay : within_day(hours.to - hours.from);
    const Seconds late = charge.rolling ? Seconds{0} : within_day(-hours.from) % charge.interval;
    if (late + charge.interval <= length) return true;
    return std::ranges::any_of(charge.hours, [&](const tariff::DemandHours& other) {
        return within_day(other.from) == within_day(hours.to) ||
               within_day(other.to) == within_day(hours.from);
    });
}

void check_demand_hours(const Section& section, const DemandCharge& charge, Faults& faults) {
    if (charge.interval <= Seconds{0} || kDay.count() % charge.interval.count() != 0) return;  // told
    const auto& sections = section.sections("hours");
    for (std::size_t i = 0; i < sections.size(); ++i) {
        const tariff::DemandHours& hours = charge.hours[i];
        if (hours.from < kDay && hours.from != hours.to && !may_hold_interval(charge, hours))
            faults.push_back(sections[i].fault(
                "", "hold no whole interval, so they never count",
                fmt::format("hours of at least one interval of {} min{}", charge.interval.count() / 60,
                            charge.rolling ? "" : " by the clock"),
                "widen them, or shorten 'interval'"));
        if (!share_any(charge.seasons, hours.seasons))
            faults.push_back(sections[i].fault("seasons", "are none that the charge itself counts in", "",
                                               "correct one of the two lists"));
    }
}

// A figure that is stated is billed as it is; a mean of days takes each day's highest.
void check_measure(const Section& section, const DemandCharge& charge, Faults& faults) {
    const auto idle = [&](std::string_view key, const char* measure) {
        if (section.stated(key))
            faults.push_back(section.fault(key, fmt::format("does nothing beside 'measure: {}'", measure), "",
                                           "remove it, or measure otherwise"));
    };
    const bool given = charge.measure == DemandCharge::Measure::given;
    if (given || charge.measure == DemandCharge::Measure::contracted) {
        for (const std::string_view key :
             {"interval", "rolling", "hours", "highest_of", "distinct", "mean_of_bills", "ratchet"})
            idle(key, given ? "given" : "contracted");
    }
    if (charge.measure == DemandCharge::Measure::mean_of_daily) {
        for (const std::string_view key : {"highest_of", "distinct"}) idle(key, "mean-of-daily");
    }
    if (section.stated("rounding") && charge.round_to.count() == 0)
        faults.push_back(section.fault("rounding", "stands without 'round_to', so nothing is rounded", "",
                                       "add 'round_to', such as '0.1 kW', or remove it"));
}

}  // namespace

DemandCharge read_demand(const Section& section, const ChargeContext& context, Faults& faults) {
    DemandCharge charge;
    take(section, "name", charge.name);
    charge.seasons = season_indices(section, context.tariff, faults);
    take_choice(section, "measure",
                std::array<std::string_view, 4>{"highest", "mean-of-daily", "given", "contracted"},
                charge.measure);
    take(section, "interval", charge.interval);
    if (charge.interval <= Seconds{0} || kDay.count() % charge.interval.count() != 0)
        faults.push_back(section.fault("interval", "does not divide a day",
                                       "such as 15 min, 30 min or 60 min", "correct it"));
    take(section, "rolling", charge.rolling);
    for (const Section& hours : section.sections("hours"))
        charge.hours.push_back(read_demand_hours(hours, context, faults));
    if (section.stated("hours") && section.sections("hours").empty())
        faults.push_back(section.fault("hours", "is an empty list", "at least one stretch of hours",
                                       "leave it out where all hours count"));
    if (const auto* count = section.find<long long>("highest_of"))
        charge.highest_of = static_cast<int>(*count);
    take_choice(section, "distinct", std::array<std::string_view, 3>{"no", "days", "weeks"}, charge.distinct);
    if (const auto* count = section.find<long long>("mean_of_bills"))
        charge.mean_of_bills = static_cast<int>(*count);
    take(section, "least_each", charge.least_each);
    take(section, "least", charge.least);
    for (const Section& ratchet : section.sections("ratchet")) {
        DemandCharge::Ratchet& read = charge.ratchet.emplace(DemandCharge::Ratchet{});
        take_percent(ratchet, "share", read.share);
        if (const auto* count = ratchet.find<long long>("bills")) read.months = static_cast<int>(*count);
    }
    take(section, "round_to", charge.round_to);
    take_choice(section, "rounding", std::array<std::string_view, 3>{"nearest", "up", "down"},
                charge.rounding);
    for (const auto& element : section.list("factors")) {
        if (const auto* factor = std::get_if<Factor>(&element.value))
            charge.factors.push_back(factor->millionths);
    }
    if (charge.factors.size() > 6)
        faults.push_back(section.fault("factors", "are too many", "at most 6", "multiply some of them"));
    take_choice(section, "per", kPerWords, charge.per);
    if (const auto* band = section.find<std::string>("band")) charge.whole_band = *band == "whole";
    read_demand_steps(section, context.file, charge, faults);
    check_demand_hours(section, charge, faults);
    check_measure(section, charge, faults);
    return charge;
}

}  // namespace lullwatt::io
