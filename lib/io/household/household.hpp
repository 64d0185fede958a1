// Everything a question about one house needs: its site file and all that it points at, read and checked
// together.
//
// A value; safe to read from any thread. Load it before threads start (io/zone says why).
#pragma once

#include <filesystem>
#include <optional>
#include <vector>

#include "core/site/forecast.hpp"
#include "core/site/headroom.hpp"
#include "core/site/standing.hpp"
#include "core/site/worst_load.hpp"
#include "core/tariff/price_curve.hpp"
#include "core/time/zone.hpp"
#include "io/fault/fault.hpp"
#include "io/household/supplies.hpp"
#include "io/settings/site_file.hpp"

namespace lullwatt::io {

struct Household {
    SiteFile site;
    Zone zone;
    std::vector<Supply> supplies;  // one per contract of the site
    std::vector<std::optional<site::LoadSource>>
        expected;  // one per node; none: nothing but cars hangs on it
    std::vector<std::optional<site::MeterHistory>> histories;  // one per node, as the meters recorded them
    std::vector<site::WorstLoad> worst;    // one per node; all 0 where nothing hangs on it
    std::vector<site::Standing> standing;  // one per point
    site::Unattended unattended;
};

// Faults of the site file, the tariff files, the zone and the meter history, all of them at once; a tariff in
// another currency, or one that goes by a figure its contract does not state; a stated standing current that
// does not fit; meter data too short with nothing to stand in for it. The clocks are known from a year before
// the history's begin, or `now`, to two years after `now`.
[[nodiscard]] Read<Household> load_household(const std::filesystem::path& site_file, Instant now);

// Forecast and worst load of every node. REQUIRES: span within the clocks' known time.
[[nodiscard]] site::SiteLoads loads(const Household& household, Interval span);

// Indices into Household::supplies of those that bill energy taken at `node`: several of one meter, or those
// of a meter of its own. Never empty at a point's circuit.
[[nodiscard]] std::vector<std::size_t> supplies_at(const Household& household, std::size_t node);

// What energy taken at a node, or by a point, costs over `span`, all its contracts added up; or which hours
// one of them has no price for; or that none bills it.
[[nodiscard]] Read<tariff::PriceCurve> prices_at(const Household& household, std::size_t node, Interval span);
[[nodiscard]] Read<tariff::PriceCurve> prices(const Household& household, std::size_t point, Interval span);

}  // namespace lullwatt::io
