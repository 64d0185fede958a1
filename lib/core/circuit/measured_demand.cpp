#include "core/circuit/measured_demand.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/circuit/pilot.hpp"

namespace lullwatt::circuit {
namespace {

constexpr Seconds kQuarterHour{900};
constexpr Seconds kHour{3600};
constexpr Seconds kDay{86400};
constexpr int kYear = 365;           // days
constexpr int kShortRecording = 30;  // days, exception to 220.87
constexpr int kRecent = 60;          // days, ours
constexpr double kCovered = 0.99;    // ours: a hundredth missing may hide a peak, more surely does
constexpr double kNecFactor = 1.25;
constexpr double kCecShare = 0.80;  // 8-104(6): equipment marked 80 %

struct Look {
    Seconds longest{0};
    Seconds span{0};
    Seconds covered{0};
    std::size_t not_measured = 0;
};

Look look_at(const EnergySeries& series) {
    Look look;
    if (series.empty()) return look;
    look.span = series.back().when.end - series.front().when.begin;
    for (const EnergyReading& reading : series) {
        look.longest = std::max(look.longest, Seconds{reading.when.length()});
        if (reading.quality == Quality::measured) {
            look.covered += reading.when.length();
        } else {
            ++look.not_measured;
        }
    }
    return look;
}

std::string days(Seconds span) { return std::to_string(span.count() / kDay.count()) + " days"; }

std::string percent(double share) { return std::to_string(static_cast<int>(share * 100)) + " %"; }

// The cars' part taken out, reading by reading; nothing where the two do not go together.
std::optional<EnergySeries> without_cars(const EnergySeries& all, const EnergySeries& cars) {
    EnergySeries rest;
    std::size_t at = 0;
    for (const EnergyReading& reading : all) {
        while (at < cars.size() && cars[at].when.begin < reading.when.begin) ++at;
        if (at == cars.size() || cars[at].when != reading.when) return std::nullopt;
        // A car's meter that counts more than the house's, or guesses, is not believed.
        if (cars[at].energy > reading.energy || cars[at].quality != Quality::measured) return std::nullopt;
        rest.push_back(reading);
        rest.back().energy = reading.energy - cars[at].energy;
    }
    return rest;
}

struct Peak {
    VoltAmperes power;
    std::optional<Interval> when;
};

Peak peak_of(const EnergySeries& series, double power_factor) {
    Peak peak;
    for (const EnergyReading& reading : series) {
        const VoltAmperes power(mean_power(reading).count() / power_factor);
        if (power > peak.power) peak = {.power = power, .when = reading.when};
    }
    return peak;
}

// Any quarter of an hour lies within two neighbouring readings of that length, so it holds no more than both.
VoltAmperes sliding(const EnergySeries& series, double power_factor) {
    MilliwattHours most;
    for (std::size_t at = 0; at < series.size(); ++at) {
        MilliwattHours both = series[at].energy;
        if (at + 1 < series.size() && series[at + 1].when.begin == series[at].when.end)
            both += series[at + 1].energy;
        most = std::max(most, both);
    }
    return VoltAmperes(static_cast<double>(most.count()) / 1000 / 0.25 / power_factor);
}

bool all_quarter_hours(const EnergySeries& series) {
    return !series.empty() && std::ranges::all_of(series, [](const EnergyReading& reading) {
        return reading.when.length() == kQuarterHour;
    });
}

void judge_length(const MeasuredInput& input, const Look& look, MeasuredDemand& result) {
    const bool nec = input.code == Code::nec;
    const bool year = look.span >= kDay * kYear;
    const bool short_form = nec && !year && look.span >= kDay * kShortRecording;
    result.conditions.push_back(
        {nec ? "220.87" : "8-106(8)",
         nec ? "a year of data, or 30 days on the most loaded leg" : "the most recent 12 months",
         days(look.span), year || short_form});
    const double share = look.span.count() == 0 ? 0
                                                : static_cast<double>(look.covered.count()) /
                                                      static_cast<double>(look.span.count());
    result.conditions.push_back(
        {"ours", "measured readings for 99 % of that time",
         percent(share) + ", " + std::to_string(look.not_measured) + " readings estimated or questionable",
         share >= kCovered});
    if (!short_form) return;
    result.conditions.push_back({"220.87 Exception",
                                 "recorded on each leg, so that the most loaded one is known",
                                 input.legs.empty() ? "totals only" : "leg by leg", !input.legs.empty()});
    result.conditions.push_back({"220.87 Exception", "the building occupied meanwhile",
                                 input.occupied ? "stated" : "not stated", input.occupied});
    result.conditions.push_back(
        {"220.87 Exception", "heating or cooling and other seasonal loads added",
         input.seasonal ? std::to_string(std::lround(input.seasonal->count())) + " VA stated" : "not stated",
         input.seasonal.has_value()});
}

void judge_age(const MeasuredInput& input, Instant now, MeasuredDemand& result) {
    const Seconds age = input.total.empty() ? Seconds{0} : now - input.total.back().when.end;
    const bool recent = !input.total.empty() && age <= kDay * kRecent && age >= -kDay;
    result.conditions.push_back({input.code == Code::nec ? "220.87" : "8-106(8)",
                                 "data that ends now, or at most 60 days ago",
                                 input.total.empty() ? "no data"
                                 : age < -kDay       ? "it ends in the future"
                                                     : "it ends " + days(std::max(age, Seconds{0})) + " ago",
                                 recent});
}

void judge_interval(const MeasuredInput& input, const Look& look, MeasuredDemand& result) {
    const std::string found = std::to_string(look.longest.count() / 60) + " min";
    if (input.code == Code::nec) {
        result.conditions.push_back({"220.87", "means of 15 min or less; an hour's mean hides its peak",
                                     found, look.longest <= kQuarterHour && look.longest > Seconds{0}});
        return;
    }
    const bool fine = look.longest <= kQuarterHour;
    result.conditions.push_back(
        {"8-106(8)", "means of 15 min or less, or of an hour with the authority's correction factor",
         found + (fine                      ? ""
                  : input.hourly_correction ? ", factor stated"
                                            : ", no factor stated"),
         look.longest > Seconds{0} &&
             (fine || (look.longest <= kHour && input.hourly_correction.has_value()))});
}

void judge_cars(const MeasuredInput& input, bool subtracted, MeasuredDemand& result) {
    static constexpr std::array kWords = {"no car charged", "cars charged whenever they were plugged in",
                                          "cars were held back or shifted"};
    const bool held = input.cars == CarsInData::held_back;
    std::string figures = kWords[static_cast<std::size_t>(input.cars)];
    if (held)
        figures += subtracted ? "; their metered energy is taken out"
                              : "; their energy was not metered interval by interval, as part of the house's";
    result.conditions.push_back({input.code == Code::nec ? "220.87" : "8-106",
                                 "no load held back or shifted while recording", figures,
                                 !held || subtracted});
    result.calculated = held && subtracted;
}

}  // namespace

bool MeasuredDemand::usable() const {
    return std::ranges::all_of(conditions, [](const Condition& one) { return one.met; });
}

Amps MeasuredDemand::left() const { return std::max(Amps(0), limit - demand * factor); }

std::optional<WholeAmps> MeasuredDemand::largest_setting(double share, Amps others) const {
    const WholeAmps most = settable(floor_amps((left() - others) / share));
    if (most < WholeAmps(6)) return std::nullopt;
    return most;
}

MeasuredDemand measured_demand(const MeasuredInput& input, Instant now) {
    MeasuredDemand result;
    const Look look = look_at(input.total);
    judge_length(input, look, result);
    judge_age(input, now, result);
    judge_interval(input, look, result);
    result.conditions.push_back(
        {input.code == Code::nec ? "220.87" : "8-106", "no generation or storage behind the meter",
         input.generation_or_storage ? "there is some" : "none stated", !input.generation_or_storage});
    const bool held = input.cars == CarsInData::held_back;
    const auto rest = held ? without_cars(input.total, input.cars_metered) : std::optional(input.total);
    judge_cars(input, rest.has_value(), result);

    const EnergySeries& house = rest ? *rest : input.total;
    const double correction = look.longest > kQuarterHour ? input.hourly_correction.value_or(1) : 1;
    const Peak peak = peak_of(house, input.power_factor);
    result.greatest = peak.power * correction;
    result.when = peak.when;
    if (all_quarter_hours(house)) result.sliding_bound = sliding(house, input.power_factor);
    const double volts = input.across.count() * (input.three_phase ? std::sqrt(3.0) : 1);
    Amps demand(result.greatest.count() / volts);
    const double leg_volts =
        input.three_phase ? input.across.count() / std::sqrt(3.0) : input.across.count() / 2;
    // With the cars taken out of the total, their share of each leg is not known: the legs stand as recorded.
    for (const EnergySeries& leg : input.legs)
        demand =
            std::max(demand, Amps(peak_of(leg, input.power_factor).power.count() * correction / leg_volts));
    result.demand = demand + Amps(input.seasonal.value_or(VoltAmperes(0)).count() / volts);
    result.factor = input.code == Code::nec ? kNecFactor : 1;
    result.limit = input.code == Code::nec ? input.service : input.service * kCecShare;
    return result;
}

}  // namespace lullwatt::circuit
