// The current a node's other loads will probably draw: per quarter hour and leg, from history, a profile or a
// constant. It may plan money; it is never a safety figure (that is worst_load.hpp).
//
// Immutable once built; safe to read from any thread.
#pragma once

#include <array>
#include <chrono>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <variant>
#include <vector>

#include "core/site/history.hpp"
#include "core/site/leg_split.hpp"
#include "core/site/site.hpp"
#include "core/time/instant.hpp"
#include "core/time/zone.hpp"

namespace lullwatt::site {

struct LoadPiece {
    Interval when;
    LegAmps amps;
};

// Households keep two kinds of days; holidays go with the weekend.
enum class DayKind : std::uint8_t { weekday, rest_day };

// True for a holiday by the site's calendar. It must know every date asked of it, in history and ahead.
using IsHoliday = std::function<bool(CivilDate)>;

[[nodiscard]] DayKind day_kind(CivilDate date, const IsHoliday& is_holiday);

struct ConstantLoad {
    LegAmps amps;
};

// What a household says of its days: each step holds from its time of day to the next one's.
struct LoadProfile {
    struct Step {
        std::chrono::minutes from;  // since 00:00 by the site's clock
        LegAmps amps;
    };
    using Day = std::vector<Step>;  // ascending, the first at 00:00, all before 24:00
    Day weekday;
    Day rest_day;
};

// All of these are ours.
struct ForecastOptions {
    double quantile = 0.95;           // above 0, at most 1
    date::days season{28};            // days of the year this near the date count as its season, in any year
    std::size_t fewest_samples = 10;  // with fewer, the season is doubled, then dropped, then the day's kind
};

// A quantile of what was recorded on days of the same kind, at the same quarter hour of the clock, in the
// same season. The quantile is by nearest rank: of n samples in ascending order the ⌈q·n⌉-th, so it is always
// something that did happen.
class HistoryLoad {
  public:
    // Readings longer than an hour say nothing of the time of day and are left out; finer ones than a quarter
    // hour are averaged to it; a quarter hour less than half covered is left out. Empty when nothing is left.
    [[nodiscard]] static std::optional<HistoryLoad> from(const MeterHistory& history, const LegSplit& split,
                                                         const Zone& zone, const IsHoliday& is_holiday,
                                                         ForecastOptions options = {});

    // For the quarter hour that holds the label `at`, on a day of this kind.
    [[nodiscard]] LegAmps at(CivilTime label, DayKind kind) const;

  private:
    struct Sample {
        date::local_days date;
        LegAmps amps;
    };
    using Samples = std::vector<Sample>;  // ascending by date
    static constexpr std::size_t kQuarters = 96;

    explicit HistoryLoad(ForecastOptions options) : options_(options) {}
    [[nodiscard]] const Samples& samples(DayKind kind, std::size_t quarter) const {
        return samples_[static_cast<std::size_t>(kind)][quarter];
    }
    [[nodiscard]] std::vector<LegAmps> like(CivilTime label, DayKind kind) const;

    ForecastOptions options_;
    std::array<std::array<Samples, kQuarters>, 2> samples_;
};

using LoadSource = std::variant<ConstantLoad, LoadProfile, HistoryLoad>;

// The forecast over `span` in ascending pieces without gaps, cut wherever it may change.
// REQUIRES: `span` is not empty and within zone.known().
[[nodiscard]] std::vector<LoadPiece> forecast(const LoadSource& source, Interval span, const Zone& zone,
                                              const IsHoliday& is_holiday);

}  // namespace lullwatt::site
