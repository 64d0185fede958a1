// One car of a joint problem, planned exactly on prices with a surcharge and on the room that is left.
//
// Pure functions; call from any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/plan/joint.hpp"
#include "core/plan/joint_grid.hpp"

namespace lullwatt::plan {

// Counts pricings against the budget.
class Work {
  public:
    explicit Work(const Budget& budget) : budget_(budget) {}
    void count(std::int64_t pricings = 1) { used_ += pricings; }
    [[nodiscard]] std::int64_t used() const { return used_; }
    // Only `share` of the budget, from 0 to 1, is to be used up to here.
    [[nodiscard]] bool spent(double share = 1) const {
        return static_cast<double>(used_) >= share * static_cast<double>(budget_.pricings) || stopped();
    }
    [[nodiscard]] bool stopped() const { return budget_.stop && budget_.stop(); }
    // The same while shortfalls are looked into.
    [[nodiscard]] bool hurried() const { return stopped() || (budget_.hurry && budget_.hurry()); }
    [[nodiscard]] const Budget& budget() const { return budget_; }

  private:
    const Budget& budget_;
    std::int64_t used_ = 0;
};

struct Priced {
    std::vector<int> amps;
    Wide cost = 0;  // surcharges included
};

// One car's own grid. `room`: amperes per slot, above which it may not go; `surcharge`: per slot, added to
// the cost of a unit; empty: none.
[[nodiscard]] Grid car_alone(const JointGrid& grid, std::size_t car, std::int64_t target,
                             const std::vector<int>& room, const std::vector<Wide>& surcharge);

// The cheapest plan of one car, exactly. Empty where the room does not carry the target, or what is forced.
[[nodiscard]] std::optional<Priced> best_response(const JointGrid& grid, std::size_t car, std::int64_t target,
                                                  const std::vector<int>& room,
                                                  const std::vector<Wide>& surcharge, Work& work);

// Units that a car can get at most in this room.
[[nodiscard]] std::int64_t carried(const JointGrid& grid, std::size_t car, const std::vector<int>& room);

// Amperes per slot that the rows leave a car beside the others' `amps`.
[[nodiscard]] std::vector<int> room_beside(const JointGrid& grid, std::size_t car, const JointAmps& amps);

}  // namespace lullwatt::plan
