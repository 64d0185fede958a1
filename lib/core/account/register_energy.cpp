#include "core/account/register_energy.hpp"

#include <algorithm>

namespace lullwatt::account {
namespace {

// Ours: mains voltage and metering above what is installed by the book, and a clock's error at either
// reading.
constexpr double kAbovePlate = 1.25;
constexpr Seconds kClockError{60};
// Ours: how far ahead a reading is looked for that shows this one to be wrong.
constexpr std::size_t kAhead = 3;

enum class Link : std::uint8_t { rise, rollover, reset, gap };

struct Kept {
    RegisterReading reading;
    Link link = Link::rise;  // to the reading before
    WattHours gained;        // since then
};

WattHours most_between(Instant from, Instant to, const RegisterRules& rules) {
    const auto seconds = static_cast<double>((to - from + kClockError).count());
    return WattHours(static_cast<std::int64_t>(rules.most.count() * kAbovePlate * seconds / 3600)) +
           rules.resolution;
}

bool can_rise(const RegisterReading& from, const RegisterReading& to, const RegisterRules& rules) {
    return from.value <= to.value && to.value - from.value <= most_between(from.at, to.at, rules);
}

// One reading an instant, ascending.
std::vector<RegisterReading> in_order(std::vector<RegisterReading> readings) {
    std::ranges::sort(readings);
    std::vector<RegisterReading> ordered;
    for (const RegisterReading& reading : readings) {
        if (!ordered.empty() && ordered.back().at == reading.at) {
            ordered.back() = reading;
        } else {
            ordered.push_back(reading);
        }
    }
    return ordered;
}

// Whether readings soon after go on from `before` as if this one had never been.
bool refuted(const RegisterReading& before, const std::vector<RegisterReading>& readings, std::size_t index,
             const RegisterRules& rules) {
    const std::size_t end = std::min(readings.size(), index + 1 + kAhead);
    for (std::size_t later = index + 1; later < end; ++later) {
        if (can_rise(before, readings[later], rules) && !can_rise(readings[index], readings[later], rules))
            return true;
    }
    return false;
}

// How a reading that is no plain rise goes on from the one before.
Kept explained(const RegisterReading& before, const RegisterReading& reading, const RegisterRules& rules) {
    const WattHours most = most_between(before.at, reading.at, rules);
    if (reading.value < before.value) {
        if (rules.rolls_at && before.value < *rules.rolls_at) {
            const WattHours gained = *rules.rolls_at - before.value + reading.value;
            if (gained <= most) return {reading, Link::rollover, gained};
        }
        if (reading.value <= most) return {reading, Link::reset, reading.value};
    }
    return {reading, Link::gap, WattHours(0)};
}

void take(std::vector<Kept>& kept, const RegisterReading& reading, const RegisterRules& rules) {
    const RegisterReading& before = kept.back().reading;
    if (can_rise(before, reading, rules)) {
        kept.push_back({reading, Link::rise, reading.value - before.value});
        return;
    }
    const Kept next = explained(before, reading, rules);
    const bool before_was_wrong = next.link == Link::gap && reading.value < before.value && kept.size() > 1 &&
                                  can_rise(kept[kept.size() - 2].reading, reading, rules);
    if (!before_was_wrong) {
        kept.push_back(next);
        return;
    }
    kept.pop_back();
    kept.push_back({reading, Link::rise, reading.value - kept.back().reading.value});
}

void tally(Counted& counted, const Kept& kept, Instant before, const RegisterRules& rules) {
    counted.steps.push_back({{before, kept.reading.at}, kept.gained});
    counted.energy += kept.gained;
    counted.resets += kept.link == Link::reset ? 1 : 0;
    counted.rollovers += kept.link == Link::rollover ? 1 : 0;
    counted.breaks += kept.link == Link::gap ? 1 : 0;
    if (kept.link == Link::reset || kept.link == Link::gap)
        counted.uncounted += most_between(before, kept.reading.at, rules) - kept.gained;
}

}  // namespace

WattHours shown_resolution(const std::vector<RegisterReading>& readings) {
    std::int64_t step = readings.empty() ? 1 : 1'000;
    for (const RegisterReading& reading : readings) {
        while (reading.value.count() % step != 0) step /= 10;
    }
    return WattHours(step);
}

Counted count_register(std::vector<RegisterReading> readings, const RegisterRules& rules) {
    const std::vector<RegisterReading> ordered = in_order(std::move(readings));
    std::vector<Kept> kept;
    for (std::size_t i = 0; i < ordered.size(); ++i) {
        if (kept.empty()) {
            kept.push_back({ordered[i], Link::rise, WattHours(0)});
        } else if (can_rise(kept.back().reading, ordered[i], rules) ||
                   !refuted(kept.back().reading, ordered, i, rules)) {
            take(kept, ordered[i], rules);
        }
    }
    Counted counted;
    counted.dropped = static_cast<int>(ordered.size() - kept.size());
    for (std::size_t i = 1; i < kept.size(); ++i) tally(counted, kept[i], kept[i - 1].reading.at, rules);
    return counted;
}

}  // namespace lullwatt::account
