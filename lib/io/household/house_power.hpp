// What a house draws at a contract's meter: expected by the forecast, and as the meter has counted it.
//
// Values and pure functions; call from any thread.
#pragma once

#include <vector>

#include "core/plan/assemble_joint.hpp"
#include "io/household/household.hpp"

namespace lullwatt::io {

// Everything of a contract's node that is no car, as its meter will count it.
class HousePower {
  public:
    // REQUIRES: `loads` outlives it.
    HousePower(const Household& household, const Contract& contract, const site::SiteLoads& loads);

    // Expected mean over `when`; 0 where the forecast says nothing. REQUIRES: `when` not empty.
    [[nodiscard]] Milliwatts mean(Interval when) const;

  private:
    [[nodiscard]] double milliwatts(const site::LoadPiece& piece) const;

    Volts volts_;
    const std::vector<site::LoadPiece>& pieces_;
    double scale_ = 1;
};

// What the contract's meter has counted, readings that end after `until` aside; empty where nothing is
// recorded. What it counted backwards is 0.
[[nodiscard]] EnergySeries readings_until(const Household& household, const Supply& supply, Instant until);

// What draws take over `span`.
[[nodiscard]] MilliwattHours energy_of(const std::vector<plan::Taken::Draw>& draws, Interval span);

}  // namespace lullwatt::io
