#include "core/account/demand.hpp"

#include <algorithm>
#include <map>
#include <optional>

#include "core/account/use.hpp"
#include "core/tariff/window.hpp"

namespace lullwatt::account {
namespace {

using tariff::DemandCharge;
using tariff::Tariff;

// Mean power of an energy; 1 mWh in an hour is 1 mW.
Milliwatts mean_power(Wide milliwatt_hours, Seconds length) {
    return Milliwatts(static_cast<std::int64_t>(nearest_quotient(milliwatt_hours * 3600, length.count())));
}

// The share of an interval that counts, by the tariff's clock; 0: it does not.
class Counting {
  public:
    Counting(const Tariff& tariff, const Zone& clock, const DemandCharge& charge)
        : tariff_(tariff), clock_(clock), charge_(charge) {}

    [[nodiscard]] CivilDate day(Instant at) const { return tariff::tariff_day(tariff_, clock_.civil(at)); }

    std::int64_t share(Interval when) {
        const std::int64_t at_begin = share_at(when.begin);
        return at_begin == 0 ? 0 : std::min(at_begin, share_at(when.end - Seconds{1}));
    }

  private:
    std::int64_t share_at(Instant at) {
        const CivilTime label = clock_.civil(at);
        const CivilDate date = tariff::tariff_day(tariff_, label);
        if (date_ != date) {
            kind_ = tariff::day_kind(tariff_, date);
            date_ = date;
        }
        if (!tariff::holds_season(charge_.seasons, kind_.season)) return 0;
        if (charge_.hours.empty()) return tariff::kWhole;
        const Seconds time = label - date::floor<date::days>(label);
        const auto found = std::ranges::find_if(charge_.hours, [&](const tariff::DemandHours& hours) {
            const bool in = hours.from < hours.to ? hours.from <= time && time < hours.to
                                                  : hours.from <= time || time < hours.to;
            const bool on = kind_.holiday ? hours.days.holidays : hours.days.weekdays[kind_.weekday];
            return in && on && tariff::holds_season(hours.seasons, kind_.season);
        });
        return found == charge_.hours.end() ? 0 : found->share;
    }

    const Tariff& tariff_;
    const Zone& clock_;
    const DemandCharge& charge_;
    std::optional<CivilDate> date_;
    tariff::DayKind kind_;
};

void keep(std::vector<IntervalDemand>& found, Counting& counting, Interval when, Wide milliwatt_hours) {
    const std::int64_t share = counting.share(when);
    if (share == 0) return;
    const Milliwatts power = mean_power(milliwatt_hours, when.length());
    found.push_back({when, counting.day(when.begin),
                     Milliwatts(static_cast<std::int64_t>(
                         nearest_quotient(static_cast<Wide>(power.count()) * share, tariff::kWhole)))});
}

// The clock-aligned interval that holds an instant.
Interval aligned(const Zone& clock, Instant at, Seconds length) {
    const Seconds offset = clock.offset_at(at);
    const auto local = (at + offset).time_since_epoch();
    const Seconds begin = local - (local % length + length) % length - offset;
    return {Instant{begin}, Instant{begin + length}};
}

void by_clock(std::vector<IntervalDemand>& found, Counting& counting, const Zone& clock,
              const DemandCharge& charge, Interval span, const EnergySeries& series) {
    Interval open{};
    Wide energy = 0;
    Seconds covered{0};
    const auto close = [&] {
        if (covered > Seconds{0} && covered == open.length()) keep(found, counting, open, energy);
        energy = 0;
        covered = Seconds{0};
    };
    for (const EnergyReading& reading : series) {
        if (reading.when.end <= span.begin || span.end <= reading.when.begin) continue;
        if (reading.when.length() > charge.interval) {
            close();
            // One that a bill's edge cuts counts in the bill it begins in.
            if (span.begin <= reading.when.begin) keep(found, counting, reading.when, reading.energy.count());
            continue;
        }
        Instant at = reading.when.begin;
        while (at < reading.when.end) {
            const Interval slot = aligned(clock, at, charge.interval);
            if (slot.begin != open.begin) {
                close();
                open = slot;
            }
            const Instant until = std::min(slot.end, reading.when.end);
            energy += nearest_quotient(static_cast<Wide>(reading.energy.count()) * (until - at).count(),
                                       reading.when.length().count());
            covered += until - at;
            at = until;
        }
    }
    close();
}

// Intervals that end with a reading, as a meter counts them that adds up sub-intervals.
void rolling(std::vector<IntervalDemand>& found, Counting& counting, const DemandCharge& charge,
             Interval span, const EnergySeries& series) {
    std::size_t run = 0;  // first reading of the stretch without gaps
    std::size_t tail = 0;
    Wide inside = 0;  // energy of the readings tail to head
    for (std::size_t head = 0; head < series.size(); ++head) {
        const EnergyReading& last = series[head];
        if (head > 0 && series[head - 1].when.end != last.when.begin) {
            run = tail = head;
            inside = 0;
        }
        inside += last.energy.count();
        if (last.when.length() > charge.interval) {
            if (span.begin <= last.when.begin && last.when.end <= span.end)
                keep(found, counting, last.when, last.energy.count());
            continue;
        }
        const Instant begin = last.when.end - charge.interval;
        while (series[tail].when.end <= begin) inside -= series[tail++].energy.count();
        if (begin < series[run].when.begin || begin < span.begin || span.end < last.when.end) continue;
        const EnergyReading& first = series[tail];
        const Wide cut = nearest_quotient(static_cast<Wide>(first.energy.count()) *
                                              std::max<std::int64_t>(0, (begin - first.when.begin).count()),
                                          first.when.length().count());
        keep(found, counting, {begin, last.when.end}, inside - cut);
    }
}

// The highest of each day or week; a week by its Monday.
std::vector<IntervalDemand> highest_of_each(const std::vector<IntervalDemand>& intervals,
                                            DemandCharge::Distinct distinct) {
    std::map<date::sys_days, IntervalDemand> best;
    for (const IntervalDemand& interval : intervals) {
        date::sys_days key{interval.day};
        if (distinct == DemandCharge::Distinct::weeks) key -= date::weekday{key} - date::Monday;
        const auto [at, fresh] = best.try_emplace(key, interval);
        if (!fresh && at->second.power < interval.power) at->second = interval;
    }
    std::vector<IntervalDemand> found;
    for (const auto& [key, interval] : best) found.push_back(interval);
    return found;
}

Milliwatts mean_of(const std::vector<IntervalDemand>& of) {
    Wide sum = 0;
    for (const IntervalDemand& interval : of) sum += interval.power.count();
    return Milliwatts(static_cast<std::int64_t>(nearest_quotient(sum, static_cast<std::int64_t>(of.size()))));
}

Milliwatts rounded_to(Milliwatts power, const DemandCharge& charge) {
    const std::int64_t step = charge.round_to.count();
    if (step == 0) return power;
    const std::int64_t up = charge.rounding == DemandCharge::Rounding::nearest ? step / 2
                            : charge.rounding == DemandCharge::Rounding::up    ? step - 1
                                                                               : 0;
    return Milliwatts((power.count() + up) / step * step);
}

}  // namespace

std::vector<IntervalDemand> demand_intervals(const Tariff& tariff, const Zone& clock,
                                             const DemandCharge& charge, DateSpan days,
                                             const EnergySeries& series) {
    std::vector<IntervalDemand> found;
    Counting counting(tariff, clock, charge);
    const Interval span = instants_of(tariff, clock, days);
    if (charge.rolling) {
        rolling(found, counting, charge, span, series);
    } else {
        by_clock(found, counting, clock, charge, span, series);
    }
    return found;
}

MeasuredDemand measured_demand(const DemandCharge& charge, const std::vector<IntervalDemand>& intervals) {
    if (intervals.empty()) return {};
    const bool daily = charge.measure == DemandCharge::Measure::mean_of_daily;
    if (daily) {
        auto of = highest_of_each(intervals, DemandCharge::Distinct::days);
        return {mean_of(of), of};
    }
    auto of = charge.distinct == DemandCharge::Distinct::no ? intervals
                                                            : highest_of_each(intervals, charge.distinct);
    const auto count = std::min(of.size(), static_cast<std::size_t>(charge.highest_of));
    std::ranges::stable_sort(of, std::ranges::greater{}, &IntervalDemand::power);
    of.resize(count);
    std::ranges::sort(of, {}, [](const IntervalDemand& interval) { return interval.when.begin; });
    return {mean_of(of), of};
}

Milliwatts billed_demand(const DemandCharge& charge, Milliwatts measured, const Carried& before) {
    // Peaks of the last `bills` bills, whether or not the charge counted in each.
    const auto past = [&](int bills) {
        std::vector<Milliwatts> found;
        for (const Carried::Peak& peak : before.peaks) {
            if (peak.charge == charge.name && before.bills - peak.number <= bills)
                found.push_back(std::max(peak.power, charge.least_each));
        }
        return found;
    };
    Milliwatts billed = std::max(measured, charge.least_each);
    if (charge.mean_of_bills > 1) {
        Wide sum = billed.count();
        const auto others = past(charge.mean_of_bills - 1);
        for (const Milliwatts peak : others) sum += peak.count();
        billed = Milliwatts(
            static_cast<std::int64_t>(nearest_quotient(sum, static_cast<Wide>(others.size()) + 1)));
    }
    if (charge.ratchet) {
        for (const Milliwatts peak : past(charge.ratchet->months)) {
            billed = std::max(billed,
                              Milliwatts(static_cast<std::int64_t>(nearest_quotient(
                                  static_cast<Wide>(peak.count()) * charge.ratchet->share, tariff::kWhole))));
        }
    }
    return std::max(rounded_to(billed, charge), charge.least);
}

}  // namespace lullwatt::account
