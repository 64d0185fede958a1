#include "core/site/worst_load.hpp"

#include <algorithm>
#include <cassert>

namespace lullwatt::site {
namespace {

using namespace std::chrono_literals;

constexpr Seconds kTwelveMonths = date::days{365};
constexpr double kEnoughCovered = 0.95;

// Gives the part of `when` inside each hour of the clock with that hour's number.
template <class Take>
void each_clock_hour(Interval when, const Zone& zone, const Take& take) {
    for (Instant at = when.begin; at < when.end;) {
        const CivilTime label = zone.civil(at);
        const Seconds of_day = label - date::floor<date::days>(label);
        const Seconds to_next = 1h - of_day % Seconds{1h};
        const Instant until = std::min({at + to_next, zone.next_change(at), when.end});
        take(static_cast<std::size_t>(of_day / 1h), until - at);
        at = until;
    }
}

struct Recorded {
    WorstLoad worst;
    std::array<Seconds, 24> covered{};
    Seconds coarse{};
};

void raise(WorstLoad& worst, std::size_t hour, Leg leg, Amps amps, const WorstOrigin& origin) {
    Amps& held = worst.by_hour[hour][static_cast<std::size_t>(leg)];
    if (amps <= held) return;
    held = amps;
    worst.origin[hour][static_cast<std::size_t>(leg)] = origin;
}

void take_row(Recorded& recorded, const HistoryRow& row, const WorstLoadInput& input, const Zone& zone) {
    const Interval inside{std::max(row.when.begin, recorded.worst.months.begin), row.when.end};
    if (inside.begin >= inside.end) return;
    if (std::ranges::any_of(row.energy, [](MilliwattHours energy) { return energy < MilliwattHours(0); })) {
        ++recorded.worst.negative_readings;
    }
    const auto factor = peak_factor(row.when.length());
    if (!factor) {
        recorded.coarse += inside.length();
        return;
    }
    const LegAmps mean = mean_amps(row, input.history->legs, input.split);
    each_clock_hour(inside, zone, [&](std::size_t hour, Seconds length) {
        if (row.quality == Quality::measured) recorded.covered[hour] += length;
        for (const Leg leg : kLegs) {
            raise(recorded.worst, hour, leg, on(mean, leg) * *factor,
                  {WorstSource::history, row.when, *factor});
        }
    });
}

HistoryLack lack_of(const Recorded& recorded) {
    if (recorded.worst.least_covered >= kEnoughCovered) return HistoryLack::none;
    const bool coarse = recorded.coarse > (1 - kEnoughCovered) * kTwelveMonths;
    return coarse ? HistoryLack::too_coarse : HistoryLack::gaps;
}

// What the last twelve months of the history say, and whether they may be believed.
WorstLoad from_history(const WorstLoadInput& input, const Zone& zone) {
    if (input.history == nullptr || input.history->rows.empty()) return WorstLoad();
    const MeterHistory& history = *input.history;
    const Instant end = history.rows.back().when.end;
    Recorded recorded;
    recorded.worst.months = {end - kTwelveMonths, end};
    if (history.rows.front().when.begin > recorded.worst.months.begin) {
        recorded.worst.lack = HistoryLack::too_short;
        return recorded.worst;
    }
    for (auto& legs : recorded.worst.origin) legs.fill({WorstSource::history, {}, 1.0, {}});
    for (const HistoryRow& row : history.rows) take_row(recorded, row, input, zone);

    std::array<Seconds, 24> whole{};
    each_clock_hour(recorded.worst.months, zone,
                    [&](std::size_t hour, Seconds length) { whole[hour] += length; });
    double least = 1;
    for (std::size_t hour = 0; hour < whole.size(); ++hour) {
        const auto covered = static_cast<double>(recorded.covered[hour].count());
        least = std::min(least, covered / static_cast<double>(whole[hour].count()));
    }
    recorded.worst.least_covered = least;
    recorded.worst.lack = lack_of(recorded);
    return recorded.worst;
}

// Twelve months are lacking: one figure for the whole day.
void fall_back(WorstLoad& worst, const WorstLoadInput& input) {
    const LegAmps& amps = input.stated ? input.stated->amps : input.calculation;
    const WorstOrigin origin =
        input.stated ? WorstOrigin{WorstSource::stated_worst, {}, 1.0, input.stated->reason} : WorstOrigin{};
    worst.by_hour.fill(amps);
    for (auto& legs : worst.origin) legs.fill(origin);
}

}  // namespace

Amps WorstLoad::greatest(Leg leg) const {
    const auto less = [leg](const LegAmps& a, const LegAmps& b) { return on(a, leg) < on(b, leg); };
    return on(*std::ranges::max_element(by_hour, less), leg);
}

std::optional<double> peak_factor(Seconds mean_over) {
    if (mean_over <= 1min) return 1.0;
    if (mean_over <= 15min) return 1.25;
    if (mean_over <= 1h) return 1.6;
    return std::nullopt;
}

WorstLoad worst_load(const WorstLoadInput& input, const Zone& zone) {
    WorstLoad worst = from_history(input, zone);
    if (worst.lack != HistoryLack::none) fall_back(worst, input);
    for (const StatedLoad& load : input.loads) {
        for (std::size_t hour = 0; hour < worst.by_hour.size(); ++hour) {
            for (const Leg leg : kLegs) {
                raise(worst, hour, leg, on(load.amps, leg), {WorstSource::stated_load, {}, 1.0, load.name});
            }
        }
    }
    return worst;
}

}  // namespace lullwatt::site
