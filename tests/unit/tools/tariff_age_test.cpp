// When `check` doubts that a tariff's prices are still the utility's.
#include "tools/lullwatt/tariff_age.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using date::operator""_y;

TEST_CASE("prices that have ended, end soon or are over a year old are told") {
    io::Supply supply{{.name = "grid", .tariff = "grid.yaml"}, {}, Zone::fixed(Seconds{0})};
    supply.tariff.revisions = {{.from = 2024_y / 11 / 1}, {.from = 2025_y / 11 / 1}};
    const auto told = [&](CivilDate today) { return tools::tariff_age(supply, today); };
    CHECK(told(2026_y / 11 / 1) == "");
    CHECK(told(2026_y / 11 / 2) ==
          "OLD PRICES: the newest of grid.yaml hold since 2025-11-01; look for a newer price sheet and add "
          "it as a "
          "revision.");
    supply.tariff.revisions.back().to = 2026_y / 10 / 31;
    CHECK(told(2026_y / 9 / 1) == "");
    CHECK(told(2026_y / 9 / 2) ==
          "PRICES END: those of grid.yaml hold to 2026-10-31; add the revision that follows.");
    CHECK(told(2026_y / 11 / 1) ==
          "NO PRICES: those of grid.yaml ended on 2026-10-31; add the revision that followed.");
}
