// The night of a whole house as the daemon asks for it: who is on a cable now is planned together, the others
// on what those leave.
//
// A pure function of what the loop gathered; the worker's thread calls it.
#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <stop_token>
#include <vector>

#include "core/control/input.hpp"
#include "tools/lullwatt/night.hpp"

namespace lullwatt::daemon {

using HouseholdPtr = std::shared_ptr<const io::Household>;

// Something was told, set or is due: everything is planned from now on, at once. Else what is under way goes
// on to the next slot of the grid: from an odd minute on, a fraction of a cent would change it each time.
enum class From : bool { now, next_slot };

// One car's question, with what only the loop knows of it.
struct CarAsked {
    tools::QuestionOptions options;
    plan::Hold hold;
    WattHours done;                // of its need
    control::PointPlan under_way;  // goes on until the next slot
    bool here = true;              // on its cable, or asked about
    bool asked = true;             // an answer is wanted
};

struct HouseAsked {
    HouseholdPtr household;
    Instant now;
    From from = From::now;
    std::vector<CarAsked> cars;
};

struct HouseNight {
    tools::Night night;
    std::vector<io::Faults> faults;  // one per car asked; those with any are not in the night
};

// Counted effort: the same question has the same answer on any computer.
[[nodiscard]] HouseNight plan_house(const HouseAsked& asked, const std::stop_token& stop);

// What the plan has at an instant; none: nothing is planned for then.
[[nodiscard]] std::optional<WholeAmps> amps_at(const control::PointPlan& plan, Instant at);

}  // namespace lullwatt::daemon
