// What the simulated house draws besides its cars, at any second of any day.
//
// One thread.
#pragma once

#include <map>
#include <vector>

#include "core/rehearse/house.hpp"
#include "io/household/household.hpp"

namespace lullwatt::daemon {

class HouseholdLoads {
  public:
    // REQUIRES: the household outlives it.
    explicit HouseholdLoads(const io::Household& household) : household_(household) {}

    // Per node: what hangs there and deeper. REQUIRES: `at` within the zone's known time.
    [[nodiscard]] std::vector<site::LegAmps> draw(Instant at);

  private:
    struct Day {
        Instant midnight;
        std::vector<std::vector<rehearse::LoadRun>> runs;  // per node
    };
    [[nodiscard]] const Day& day(date::local_days date);

    const io::Household& household_;
    std::map<date::local_days, Day> days_;  // the last ones asked about
};

}  // namespace lullwatt::daemon
