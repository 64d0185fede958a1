// W, the worst load: the most current a node's other loads may draw, per leg and hour of the day. Every
// fail-safe figure uses it (design §5); a forecast's quantile is never one.
//
// Values only; safe to read from any thread.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "core/site/history.hpp"
#include "core/site/leg_split.hpp"
#include "core/site/site.hpp"
#include "core/time/instant.hpp"
#include "core/time/zone.hpp"

namespace lullwatt::site {

// A single load of the house, such as a range, with what it draws on each leg.
struct StatedLoad {
    std::string name;
    LegAmps amps;
};

// A household's own figure for the worst load, and why it may be believed.
struct StatedWorst {
    LegAmps amps;
    std::string reason;
};

// Where a figure of W comes from.
enum class WorstSource : std::uint8_t { history, stated_load, stated_worst, load_calculation };

struct WorstOrigin {
    WorstSource source = WorstSource::load_calculation;
    Interval reading{};      // history: the reading that gave it; empty where none drew anything
    double factor = 1.0;     // history: what a mean of this length was multiplied by
    std::string words = {};  // stated load: its name; stated figure: its reason
};

// Why a history was not taken for twelve months of data.
enum class HistoryLack : std::uint8_t {
    none,        // it was taken
    no_history,  // there is none
    too_coarse,  // too much of it is readings longer than an hour
    too_short,   // it spans less than 365 days
    gaps,        // measured readings cover less than 95 % of some hour of the day
};

struct WorstLoad {
    std::array<LegAmps, 24> by_hour{};                  // by the site's clock
    std::array<std::array<WorstOrigin, 3>, 24> origin;  // beside by_hour
    HistoryLack lack = HistoryLack::no_history;
    Interval months{};                  // the twelve months looked at; empty without history
    double least_covered = 0;           // share of the worst covered hour of the day, 0 to 1
    std::size_t negative_readings = 0;  // export, which counted as 0

    // REQUIRES: hour < 24.
    [[nodiscard]] Amps at(Leg leg, std::size_t hour) const { return on(by_hour[hour], leg); }
    // Over all hours.
    [[nodiscard]] Amps greatest(Leg leg) const;
};

// What a mean is multiplied by, for the peaks inside it: 1.0 up to a minute, 1.25 up to 15 min, 1.6 up to an
// hour (ours; NEC 220.87 likewise adds a quarter to a metered maximum, from memory). Empty for longer means,
// which say nothing of a peak.
[[nodiscard]] std::optional<double> peak_factor(Seconds mean_over);

struct WorstLoadInput {
    const MeterHistory* history = nullptr;  // with every reading up to now; may be null
    LegSplit split;
    std::vector<StatedLoad> loads;      // the largest of a leg counts in every hour
    std::optional<StatedWorst> stated;  // used only without twelve months of data
    LegAmps calculation{};              // used only without either
};

// The greatest of history and stated loads where the history is twelve months of data: it spans the 365 days
// before its last reading's end, and measured readings no longer than an hour cover at least 95 % of every
// hour of the day (ours; estimated readings may raise W but cover nothing, for they hide peaks). Otherwise
// the stated figure, else the load calculation, and never less than a stated load. REQUIRES: the zone knows
// the time the history covers.
[[nodiscard]] WorstLoad worst_load(const WorstLoadInput& input, const Zone& zone);

}  // namespace lullwatt::site
