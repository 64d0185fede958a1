#include "core/account/use.hpp"

#include <algorithm>
#include <utility>

#include "core/account/blocks.hpp"
#include "core/tariff/window.hpp"

namespace lullwatt::account {
namespace {

using tariff::Stretch;
using tariff::Tariff;

// The part of a reading before `at`, so that parts of one reading sum to it exactly.
MilliwattHours before(const EnergyReading& reading, Instant at) {
    if (at <= reading.when.begin) return MilliwattHours(0);
    if (reading.when.end <= at) return reading.energy;
    const Wide elapsed = (at - reading.when.begin).count();
    return MilliwattHours(static_cast<std::int64_t>(
        nearest_quotient(reading.energy.count() * elapsed, reading.when.length().count())));
}

// Finds, or begins, the use at a stretch's price. Stretches mostly come back to one of the last few.
std::size_t use_at(const Tariff& tariff, std::vector<WindowUse>& uses, const Stretch& stretch) {
    const bool announced = tariff.announced && (stretch.name == "announced" || stretch.name == "assumed");
    for (std::size_t i = uses.size(); i-- > 0;) {
        WindowUse& use = uses[i];
        if (use.revision != stretch.revision || use.season != stretch.season || use.name != stretch.name)
            continue;
        if (!announced && (use.rate != stretch.rate || use.export_rate != stretch.export_rate ||
                           use.loss_factor != stretch.loss_factor))
            continue;
        use.varies = use.varies || use.rate != stretch.rate;
        return i;
    }
    const CivilDate next{date::sys_days{stretch.day} + date::days{1}};
    uses.push_back({stretch.revision,
                    stretch.season,
                    stretch.name,
                    stretch.rate,
                    false,
                    stretch.export_rate,
                    stretch.loss_factor,
                    {stretch.day, next},
                    {},
                    {},
                    {},
                    {}});
    return uses.size() - 1;
}

template <class Is>
bool any_block(const Tariff& tariff, const std::vector<Segment>& segments, Is is) {
    return std::ranges::any_of(segments, [&](const Segment& segment) {
        return std::ranges::any_of(tariff.revisions[segment.revision].blocks, is);
    });
}

bool counts_each_day(const tariff::BlockCharge& block) {
    return block.over == tariff::BlockCharge::Over::day;
}

void put_day(Use& use, std::size_t window, CivilDate day, MilliwattHours energy, bool given) {
    if (use.by_day.empty() || use.by_day.back().day != day || use.by_day.back().window != window)
        use.by_day.push_back({window, day, {}, {}});
    (given ? use.by_day.back().given : use.by_day.back().taken) += energy;
}

// Energy taken and given was put one after the other.
void sort_days(Use& use) {
    std::ranges::stable_sort(use.by_day, {},
                             [](const DayUse& day) { return std::pair(day.day, day.window); });
    std::vector<DayUse> sorted;
    for (const DayUse& day : use.by_day) {
        if (sorted.empty() || sorted.back().day != day.day || sorted.back().window != day.window) {
            sorted.push_back(day);
            continue;
        }
        sorted.back().taken += day.taken;
        sorted.back().given += day.given;
    }
    use.by_day = std::move(sorted);
}

// Adds a series to the uses of its stretches.
class Cutter {
  public:
    Cutter(Use& use, const tariff::Stretches& stretches, std::vector<std::size_t> uses, bool by_day)
        : use_(use), stretches_(stretches), uses_(std::move(uses)), by_day_(by_day) {}

    void add(const EnergySeries& series, bool given) {
        std::size_t at = 0;
        const Interval span{stretches_.front().when.begin, stretches_.back().when.end};
        const auto first = std::ranges::upper_bound(
            series, span.begin, {}, [](const EnergyReading& reading) { return reading.when.end; });
        for (auto reading = first; reading != series.end() && reading->when.begin < span.end; ++reading) {
            while (stretches_[at].when.end <= reading->when.begin) ++at;
            for (std::size_t i = at; i < stretches_.size(); ++i) {
                const Interval when = stretches_[i].when;
                if (reading->when.end <= when.begin) break;
                const auto energy = MilliwattHours(before(*reading, when.end) - before(*reading, when.begin));
                put(i, energy, given != (energy.count() < 0));
            }
        }
    }

  private:
    void put(std::size_t stretch, MilliwattHours energy, bool given) {
        WindowUse& window = use_.windows[uses_[stretch]];
        if (energy.count() < 0) energy = MilliwattHours(-energy);
        (given ? window.given : window.taken) += energy;
        (given ? window.given_cost : window.taken_cost) += energy * stretches_[stretch].rate;
        if (by_day_) put_day(use_, uses_[stretch], stretches_[stretch].day, energy, given);
    }

    Use& use_;
    const tariff::Stretches& stretches_;
    std::vector<std::size_t> uses_;  // beside the stretches
    bool by_day_;
};

// A day under each revision and season in turn, as typed totals are spread over.
struct Stay {
    std::size_t revision = 0;
    std::optional<std::size_t> season;
    DateSpan days;
};

std::optional<std::vector<Stay>> stays(const Tariff& tariff, DateSpan days) {
    std::vector<Stay> found;
    for (auto at = date::sys_days{days.from}; at < date::sys_days{days.to}; at += date::days{1}) {
        const CivilDate day{at};
        const tariff::Revision* revision = tariff::revision_of(tariff, day);
        if (revision == nullptr) return std::nullopt;
        const auto index = static_cast<std::size_t>(revision - tariff.revisions.data());
        const auto season = tariff::season_of(tariff, day);
        if (found.empty() || found.back().revision != index || found.back().season != season)
            found.push_back({index, season, {day, day}});
        found.back().days.to = CivilDate{at + date::days{1}};
    }
    return found;
}

Refusal without_prices(const Tariff& tariff, DateSpan days) {
    auto at = date::sys_days{days.from};
    while (tariff::revision_of(tariff, CivilDate{at}) != nullptr) at += date::days{1};
    const CivilDate day{at};
    const auto two = [](unsigned part) { return (part < 10 ? "-0" : "-") + std::to_string(part); };
    return {"the tariff has no prices for " + std::to_string(static_cast<int>(day.year())) +
                two(static_cast<unsigned>(day.month())) + two(static_cast<unsigned>(day.day())),
            "add the revision that held on that day"};
}

std::vector<Segment> segments_of(const std::vector<Stay>& stays) {
    std::vector<Segment> segments;
    for (const Stay& stay : stays) {
        if (segments.empty() || segments.back().revision != stay.revision)
            segments.push_back({stay.revision, stay.days});
        segments.back().days.to = stay.days.to;
    }
    return segments;
}

// Names of windows that can hold in these days, each once.
std::vector<std::string> names_in(const Tariff& tariff, const std::vector<Stay>& stays) {
    std::vector<std::string> names;
    for (const Stay& stay : stays) {
        for (const tariff::Window& window : tariff.revisions[stay.revision].windows) {
            if (tariff::holds_season(window.seasons, stay.season) &&
                std::ranges::find(names, window.name) == names.end())
                names.push_back(window.name);
        }
    }
    return names;
}

std::string list_of(const std::vector<std::string>& names) {
    std::string text;
    for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
    return text;
}

const tariff::Window* window_in(const Tariff& tariff, const Stay& stay, const std::string& name) {
    return tariff::window_named(tariff.revisions[stay.revision], {stay.season}, name);
}

// Evenly, in whole milliwatt-hours that sum to the energy.
void spread_days(Use& use, std::size_t window, DateSpan days, MilliwattHours energy, bool given) {
    const auto until = [&](int day) {
        return static_cast<std::int64_t>(
            nearest_quotient(static_cast<Wide>(energy.count()) * day, days.days()));
    };
    for (int day = 0; day < days.days(); ++day) {
        const CivilDate date{date::sys_days{days.from} + date::days{day}};
        put_day(use, window, date, MilliwattHours(until(day + 1) - until(day)), given);
    }
}

std::optional<Refusal> spread(const Tariff& tariff, const std::vector<Stay>& stays,
                              const Typed::Energy& typed, bool given, bool by_day, Use& use) {
    const auto names = names_in(tariff, stays);
    if (names.empty())
        return Refusal{"prices by the hour are announced, so totals cannot be priced",
                       "give the meter's readings"};
    if (typed.window.empty() && names.size() > 1)
        return Refusal{"one total cannot be priced: prices differ by the hour",
                       "give the energy of each of " + list_of(names) + ", or the meter's readings"};
    const std::string& name = typed.window.empty() ? names.front() : typed.window;
    for (const Stay& stay : stays) {
        if (!tariff::has_one_price(tariff.revisions[stay.revision], stay.season, name))
            return Refusal{"'" + name + "' has several prices in one season, so its total cannot be priced",
                           "give the meter's readings, or rename one of the windows"};
    }
    std::int64_t all_days = 0;
    for (const Stay& stay : stays) {
        if (window_in(tariff, stay, name) != nullptr) all_days += stay.days.days();
    }
    if (all_days == 0) return Refusal{"'" + name + "' is no price of these days", "one of " + list_of(names)};
    std::int64_t days_before = 0;
    for (const Stay& stay : stays) {
        const tariff::Window* window = window_in(tariff, stay, name);
        if (window == nullptr) continue;
        const auto until = [&](std::int64_t days) {
            return nearest_quotient(static_cast<Wide>(typed.energy.count()) * days, all_days);
        };
        const std::int64_t days_after = days_before + stay.days.days();
        const MilliwattHours energy(static_cast<std::int64_t>(until(days_after) - until(days_before)));
        days_before = days_after;
        Stretch stretch;
        stretch.day = stay.days.from;
        stretch.revision = stay.revision;
        stretch.season = stay.season;
        stretch.name = name;
        stretch.rate = window->rate;
        stretch.export_rate = window->export_rate;
        stretch.loss_factor = window->loss_factor;
        const std::size_t at = use_at(tariff, use.windows, stretch);
        WindowUse& into = use.windows[at];
        into.days.to = std::max(into.days.to, stay.days.to);
        (given ? into.given : into.taken) += energy;
        (given ? into.given_cost : into.taken_cost) += energy * window->rate;
        if (by_day) spread_days(use, at, stay.days, energy, given);
    }
    return std::nullopt;
}

std::optional<Refusal> spread_all(const Tariff& tariff, const std::vector<Stay>& stays, const Typed& typed,
                                  bool by_day, Use& use) {
    for (const Typed::Energy& energy : typed.taken) {
        if (auto refusal = spread(tariff, stays, energy, false, by_day, use)) return refusal;
    }
    for (const Typed::Energy& energy : typed.given) {
        if (auto refusal = spread(tariff, stays, energy, true, by_day, use)) return refusal;
    }
    sort_days(use);
    return std::nullopt;
}

Typed totals_of(const Use& use) {
    Typed totals;
    for (const WindowUse& window : use.windows) {
        totals.taken.push_back({window.name, window.taken});
        if (window.given.count() != 0) totals.given.push_back({window.name, window.given});
    }
    return totals;
}

void cut(const Tariff& tariff, const tariff::Stretches& stretches, const Metered& metered, bool by_day,
         Use& use) {
    std::vector<std::size_t> uses;
    uses.reserve(stretches.size());
    for (const Stretch& stretch : stretches) {
        uses.push_back(use_at(tariff, use.windows, stretch));
        WindowUse& window = use.windows[uses.back()];
        window.days.to = std::max(window.days.to, CivilDate{date::sys_days{stretch.day} + date::days{1}});
        use.assumed = use.assumed || stretch.assumed;
    }
    Cutter cutter(use, stretches, std::move(uses), by_day);
    cutter.add(metered.taken, false);
    cutter.add(metered.given, true);
    sort_days(use);
}

}  // namespace

Seconds uncovered(const EnergySeries& series, Interval span) {
    Seconds covered{0};
    const auto first = std::ranges::upper_bound(
        series, span.begin, {}, [](const EnergyReading& reading) { return reading.when.end; });
    for (auto at = first; at != series.end() && at->when.begin < span.end; ++at) {
        const EnergyReading& reading = *at;
        const Instant begin = std::max(reading.when.begin, span.begin);
        const Instant end = std::min(reading.when.end, span.end);
        if (begin < end) covered += end - begin;
    }
    return span.length() - covered;
}

Interval instants_of(const Tariff& tariff, const Zone& clock, DateSpan days) {
    const auto begin = [&](CivilDate day) { return clock.instant(date::local_days{day} + tariff.day_start); };
    return {begin(days.from), begin(days.to)};
}

int days_in(const Tariff& tariff, DateSpan days, const std::vector<std::size_t>& seasons) {
    if (seasons.empty()) return days.days();
    int count = 0;
    for (auto at = date::sys_days{days.from}; at < date::sys_days{days.to}; at += date::days{1}) {
        if (tariff::holds_season(seasons, tariff::season_of(tariff, CivilDate{at}))) ++count;
    }
    return count;
}

std::variant<Use, Refusal> use_of(const Tariff& tariff, const Zone& clock, DateSpan days,
                                  const std::variant<Metered, Typed>& usage) {
    const auto over = stays(tariff, days);
    if (!over) return without_prices(tariff, days);
    Use use;
    use.segments = segments_of(*over);
    const bool each_day = any_block(tariff, use.segments, counts_each_day);
    // A year or season that begins within the bill takes its own days' energy.
    const bool by_day = each_day || any_block(tariff, use.segments, [&](const tariff::BlockCharge& block) {
                            return counts_of(tariff, block, days).size() > 1;
                        });
    if (const auto* typed = std::get_if<Typed>(&usage)) {
        if (each_day)
            return Refusal{"blocks of each day's use cannot be told from totals",
                           "give the meter's readings"};
        if (auto refusal = spread_all(tariff, *over, *typed, by_day, use)) return *refusal;
        return use;
    }
    const auto& metered = std::get<Metered>(usage);
    const Interval span = instants_of(tariff, clock, days);
    const auto found = tariff::stretches(tariff, clock, span);
    if (!std::holds_alternative<tariff::Stretches>(found))
        return Refusal{"the tariff leaves hours of these days without a price", "add a window for them"};
    cut(tariff, std::get<tariff::Stretches>(found), metered, by_day, use);
    use.without_readings = uncovered(metered.taken, span);
    if (tariff.usage_by_days && !tariff.announced && !each_day && over->size() > 1) {
        const Typed totals = totals_of(use);
        use.windows.clear();
        use.by_day.clear();
        if (auto refusal = spread_all(tariff, *over, totals, by_day, use)) return *refusal;
    }
    return use;
}

}  // namespace lullwatt::account
