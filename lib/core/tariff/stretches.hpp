// Time cut where anything about a kilowatt-hour's price may change, with all that settles the price there.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/tariff/tariff.hpp"
#include "core/time/zone.hpp"

namespace lullwatt::tariff {

struct Stretch {
    Interval when;
    CivilDate day;             // by the tariff's clock and day
    std::size_t revision = 0;  // index into Tariff::revisions
    std::optional<std::size_t> season = {};
    std::string name;
    Rate rate;  // the window's, order's or announced one: without adders, losses and tax
    std::optional<Rate> export_rate = {};
    std::int64_t loss_factor = kWhole;
    bool assumed = false;  // by a price or a class of day that nobody has announced
};

// Ascending, without gaps or overlaps; neighbours may be alike.
using Stretches = std::vector<Stretch>;

// Time that no revision or no window prices; never empty.
using Uncovered = std::vector<Interval>;

// `clock` is the tariff's own (Tariff::clock). REQUIRES: span not empty and within clock.known().
[[nodiscard]] std::variant<Stretches, Uncovered> stretches(const Tariff& tariff, const Zone& clock,
                                                           Interval span);

// Whether the energy of a stretch is of those a charge counts.
[[nodiscard]] bool applies(const Adder& adder, const Stretch& stretch);
[[nodiscard]] bool applies(const BlockCharge& block, const Stretch& stretch);

}  // namespace lullwatt::tariff
