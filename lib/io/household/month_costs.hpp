// What one night of a car may add to the bill beside each kilowatt-hour's price by the hour: the peak and the
// steps of every contract, from what the meters have recorded of the bill so far.
//
// Pure functions over values; call from any thread.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/plan/assemble_joint.hpp"
#include "core/plan/month.hpp"
#include "io/household/household.hpp"

namespace lullwatt::io {

// What the household says where the meters' readings do not; ours.
struct MonthSoFar {
    std::optional<Milliwatts> peak;     // the highest this bill has counted
    std::optional<MilliwattHours> use;  // energy this bill has counted
};

// Where a figure of the bill so far comes from.
enum class Known : std::uint8_t {
    stated,    // the household said so
    readings,  // the meter's, up to an instant
    nothing,   // nobody knows
};

struct ToldPeak {
    std::string contract;
    std::string charge;
    tariff::DateSpan bill;
    Milliwatts so_far;  // that the bill has counted; 0 where nothing is known
    Known known = Known::nothing;
    Instant until;         // of the readings
    bool by_slot = false;  // it counts at any moment, so each slot counts as an interval of its own
    // What is free goes beyond that figure: by what the house does tonight, or by what other points draw.
    bool by_house = false;
    bool by_others = false;
};

struct ToldSteps {
    std::string contract;
    std::string block;
    tariff::DateSpan counts;  // the days over which its use adds up
    MilliwattHours so_far;    // counted until the readings end
    MilliwattHours expected;  // counted from there until the count closes, the car aside
    Known known = Known::nothing;
    Instant until;
    std::vector<std::string> steps;  // "first 600 kWh", beside the account's steps
};

// A block of whose use nothing is known.
struct UnknownUse {
    std::string block;
    CivilDate from;      // the first day that counts
    bool ahead = false;  // it begins to count within the night
    bool asked = false;  // MonthSoFar::use would tell it
    friend bool operator==(const UnknownUse&, const UnknownUse&) = default;
};

struct MonthOfNight {
    plan::MonthCosts costs;
    std::vector<ToldPeak> peaks;           // beside costs.peaks
    std::vector<ToldSteps> steps;          // beside costs.steps
    std::vector<std::string> not_counted;  // charges for power that a plan does not reckon with, by name
    std::vector<UnknownUse> at_dearest;    // they count at their dearest step
};

// Of the contracts that bill what a point takes, `beside` what other points of theirs will take. REQUIRES:
// the loads cover the problem's slots and the demand intervals they touch; all of it is priced.
[[nodiscard]] MonthOfNight month_of_night(const Household& household, std::size_t point,
                                          const plan::Problem& problem, const site::SiteLoads& loads,
                                          Instant now, const MonthSoFar& stated,
                                          const std::vector<plan::Taken>& beside = {});

}  // namespace lullwatt::io
