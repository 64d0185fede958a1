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
#include "io/settings/site_file.hpp"

namespace lullwatt::io {

struct Household {
    SiteFile site;
    Zone zone;
    tariff::Tariff tariff;
    Zone tariff_clock;
    std::vector<std::optional<site::LoadSource>>
        expected;                          // one per node; none: nothing but cars hangs on it
    std::vector<site::WorstLoad> worst;    // one per node; all 0 where nothing hangs on it
    std::vector<site::Standing> standing;  // one per point
    site::Unattended unattended;
};

// Faults of the site file, the tariff file, the zone and the meter history, all of them at once; a stated
// standing current that does not fit; a tariff in another currency; meter data too short with nothing to
// stand in for it. The clocks are known from a year before the history's begin, or `now`, to two years after
// `now`.
[[nodiscard]] Read<Household> load_household(const std::filesystem::path& site_file, Instant now);

// Forecast and worst load of every node. REQUIRES: span within the clocks' known time.
[[nodiscard]] site::SiteLoads loads(const Household& household, Interval span);

// What energy costs over `span`, or which hours have no price.
[[nodiscard]] Read<tariff::PriceCurve> prices(const Household& household, Interval span);

}  // namespace lullwatt::io
