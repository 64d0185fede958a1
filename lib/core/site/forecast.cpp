#include "core/site/forecast.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace lullwatt::site {
namespace {

using namespace std::chrono_literals;

constexpr Seconds kQuarterHour = 15min;
constexpr Seconds kLongestReading = 1h;

struct Label {
    date::local_days date;
    Seconds time_of_day;
};

Label split_label(CivilTime at) {
    const auto day = date::floor<date::days>(at);
    return {day, at - day};
}

// Asks the calendar once per day: runs of the same date are the rule.
class DayKinds {
  public:
    explicit DayKinds(const IsHoliday& is_holiday) : is_holiday_(is_holiday) {}
    DayKind operator()(date::local_days date) {
        if (date != date_) kind_ = day_kind(CivilDate{date}, is_holiday_);
        date_ = date;
        return kind_;
    }

  private:
    const IsHoliday& is_holiday_;
    date::local_days date_ = date::local_days::min();
    DayKind kind_ = DayKind::weekday;
};

// Quarter hours of UTC. Every zone's offset since 1972 is a multiple of 15 min, so they are the clock's too.
Instant quarter_begin(Instant at) { return date::floor<std::chrono::duration<int, std::ratio<900>>>(at); }

// Adds up the current of the quarter hours that readings cover in full or in part.
class QuarterHours {
  public:
    template <class Take>
    void add(Interval when, const LegAmps& amps, const Take& take) {
        for (Instant at = when.begin; at < when.end;) {
            const Instant begin = quarter_begin(at);
            if (begin != begin_) flush(take);
            begin_ = begin;
            const Instant until = std::min(begin + kQuarterHour, when.end);
            const auto seconds = static_cast<double>((until - at).count());
            for (std::size_t leg = 0; leg < amps.size(); ++leg) ampere_seconds_[leg] += amps[leg] * seconds;
            covered_ += until - at;
            at = until;
        }
    }

    template <class Take>
    void flush(const Take& take) {
        if (2 * covered_ >= kQuarterHour) {
            LegAmps mean{};
            for (std::size_t leg = 0; leg < mean.size(); ++leg) {
                mean[leg] = ampere_seconds_[leg] / static_cast<double>(covered_.count());
            }
            take(begin_, mean);
        }
        ampere_seconds_ = {};
        covered_ = {};
    }

  private:
    Instant begin_ = Instant::min();
    LegAmps ampere_seconds_{};  // amperes × seconds
    Seconds covered_{};
};

// By nearest rank; `values` are not empty.
Amps quantile(std::vector<Amps>& values, double share) {
    const auto n = static_cast<double>(values.size());
    const auto rank = static_cast<std::size_t>(std::ceil(share * n - 1e-9));  // 0.95 × 20 is 19, not 19.0…01
    const auto place = values.begin() + static_cast<std::ptrdiff_t>(std::max<std::size_t>(rank, 1) - 1);
    std::nth_element(values.begin(), place, values.end());
    return *place;
}

// The same day of another year; February 29 is the 28th where there is none.
date::local_days in_year(date::year_month_day day, date::year year) {
    const date::year_month_day moved = year / day.month() / day.day();
    return date::local_days{moved.ok() ? moved : year / day.month() / date::last};
}

const LoadProfile::Day& day_of(const LoadProfile& profile, DayKind kind) {
    return kind == DayKind::weekday ? profile.weekday : profile.rest_day;
}

struct Held {
    LegAmps amps;
    Seconds until;  // the time of day at which it may change
};

Held held(const LoadProfile& profile, DayKind kind, Seconds time_of_day) {
    const LoadProfile::Day& day = day_of(profile, kind);
    assert(!day.empty() && day.front().from == 0min);
    const auto next = std::ranges::upper_bound(day, time_of_day, {}, &LoadProfile::Step::from);
    return {std::prev(next)->amps, next == day.end() ? Seconds{24h} : Seconds{next->from}};
}

}  // namespace

DayKind day_kind(CivilDate date, const IsHoliday& is_holiday) {
    const date::weekday weekday{date::local_days{date}};
    const bool weekend = weekday == date::Saturday || weekday == date::Sunday;
    return weekend || is_holiday(date) ? DayKind::rest_day : DayKind::weekday;
}

std::optional<HistoryLoad> HistoryLoad::from(const MeterHistory& history, const LegSplit& split,
                                             const Zone& zone, const IsHoliday& is_holiday,
                                             ForecastOptions options) {
    assert(options.quantile > 0 && options.quantile <= 1);
    HistoryLoad load(options);
    bool any = false;
    DayKinds kinds(is_holiday);
    const auto take = [&](Instant begin, const LegAmps& amps) {
        if (!zone.known().contains(begin)) return;
        any = true;
        const auto [date, time_of_day] = split_label(zone.civil(begin));
        const auto quarter = static_cast<std::size_t>(time_of_day / kQuarterHour);
        load.samples_[static_cast<std::size_t>(kinds(date))][quarter].push_back({date, amps});
    };
    QuarterHours quarters;
    for (const HistoryRow& row : history.rows) {
        if (row.when.length() > kLongestReading) continue;
        quarters.add(row.when, mean_amps(row, history.legs, split), take);
    }
    quarters.flush(take);
    if (!any) return std::nullopt;
    return load;
}

// Samples of ever wider seasons until there are enough of them.
std::vector<LegAmps> HistoryLoad::like(CivilTime label, DayKind kind) const {
    const auto [date, time_of_day] = split_label(label);
    const auto quarter = static_cast<std::size_t>(time_of_day / kQuarterHour);
    const Samples& same_kind = samples(kind, quarter);
    std::vector<LegAmps> found;
    const auto take = [&found](auto from, auto to) {
        for (auto sample = from; sample != to; ++sample) found.push_back(sample->amps);
    };
    for (date::days reach = options_.season; reach < date::days{183} && !same_kind.empty(); reach *= 2) {
        found.clear();
        const date::year first = CivilDate{same_kind.front().date}.year() - date::years{1};
        const date::year last = CivilDate{same_kind.back().date}.year() + date::years{1};
        for (date::year year = first; year <= last; ++year) {
            const date::local_days middle = in_year(CivilDate{date}, year);
            take(std::ranges::lower_bound(same_kind, middle - reach, {}, &Sample::date),
                 std::ranges::upper_bound(same_kind, middle + reach, {}, &Sample::date));
        }
        if (found.size() >= options_.fewest_samples) return found;
    }
    found.clear();
    take(same_kind.begin(), same_kind.end());
    if (found.size() >= options_.fewest_samples) return found;
    const Samples& other_kind =
        samples(kind == DayKind::weekday ? DayKind::rest_day : DayKind::weekday, quarter);
    take(other_kind.begin(), other_kind.end());
    if (!found.empty()) return found;
    for (const auto& quarters : samples_) {  // this quarter hour was never recorded: any may stand for it
        for (const Samples& any : quarters) take(any.begin(), any.end());
    }
    return found;
}

LegAmps HistoryLoad::at(CivilTime label, DayKind kind) const {
    const std::vector<LegAmps> found = like(label, kind);
    assert(!found.empty());
    LegAmps amps{};
    std::vector<Amps> values(found.size());
    for (std::size_t leg = 0; leg < amps.size(); ++leg) {
        std::ranges::transform(found, values.begin(), [leg](const LegAmps& sample) { return sample[leg]; });
        amps[leg] = quantile(values, options_.quantile);
    }
    return amps;
}

namespace {

// The piece that begins at `at`, not yet cut to the span asked for.
struct PieceAt {
    Instant at;
    const Zone& zone;
    DayKinds& kinds;

    LoadPiece operator()(const ConstantLoad& load) const { return {{at, zone.known().end}, load.amps}; }

    LoadPiece operator()(const LoadProfile& profile) const {
        const auto [date, time_of_day] = split_label(zone.civil(at));
        const Held step = held(profile, kinds(date), time_of_day);
        return {{at, std::min(at + (step.until - time_of_day), zone.next_change(at))}, step.amps};
    }

    LoadPiece operator()(const HistoryLoad& load) const {
        const CivilTime label = zone.civil(at);
        const DayKind kind = kinds(split_label(label).date);
        return {{at, quarter_begin(at) + kQuarterHour}, load.at(label, kind)};
    }
};

}  // namespace

std::vector<LoadPiece> forecast(const LoadSource& source, Interval span, const Zone& zone,
                                const IsHoliday& is_holiday) {
    assert(span.begin < span.end && zone.known().contains(span.begin) && span.end <= zone.known().end);
    std::vector<LoadPiece> pieces;
    DayKinds kinds(is_holiday);
    for (Instant at = span.begin; at < span.end; at = pieces.back().when.end) {
        LoadPiece piece = std::visit(PieceAt{at, zone, kinds}, source);
        piece.when.end = std::min(piece.when.end, span.end);
        pieces.push_back(piece);
    }
    return pieces;
}

}  // namespace lullwatt::site
