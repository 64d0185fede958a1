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
    return charge;
}

}  // namespace lullwatt::io
