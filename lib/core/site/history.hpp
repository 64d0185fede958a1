// What a house meter recorded, leg by leg where it tells them apart, and how newer readings join older ones.
//
// Values; safe to read from any thread. io/history keeps them in files.
#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <vector>

#include "core/quantity/quantity.hpp"
#include "core/site/site.hpp"
#include "core/time/energy_series.hpp"
#include "core/time/instant.hpp"

namespace lullwatt::site {

using LegEnergy = std::array<MilliwattHours, 3>;

struct HistoryRow {
    Interval when;
    LegEnergy energy;  // per leg; the total in the first place where the meter tells no legs apart
    Quality quality = Quality::measured;
    friend bool operator==(const HistoryRow&, const HistoryRow&) = default;
};

struct MeterHistory {
    std::string meter;
    Legs legs;                     // legs the meter tells apart; none: totals only
    std::vector<HistoryRow> rows;  // ascending, not empty each, without overlaps; a gap is a gap in the data
    friend bool operator==(const MeterHistory&, const MeterHistory&) = default;
};

// All legs together.
[[nodiscard]] MilliwattHours total(const HistoryRow& row);
[[nodiscard]] EnergySeries totals(const MeterHistory& history);

// An offered reading that covers time for which another one is already held.
struct Disagreement {
    HistoryRow held;
    HistoryRow offered;
};

struct Merged {
    MeterHistory history;
    std::size_t added = 0;
    std::size_t known = 0;  // offered rows that were held already, to the watt-hour's thousandth
    std::vector<Disagreement> disagreements;
};

// Adds what is new and never changes what is held: an offered row that overlaps a held one is either the same
// or a disagreement, and the held one stays. REQUIRES: held.legs == offered.legs.
[[nodiscard]] Merged merge(const MeterHistory& held, const MeterHistory& offered);

}  // namespace lullwatt::site
