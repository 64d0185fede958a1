// What a run of bills comes to, and what makes one tariff dearer than another.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <array>
#include <vector>

#include "core/account/bill.hpp"

namespace lullwatt::account {

// The lines of a bill as a household tells them apart.
enum class Share : std::uint8_t { hours, blocks, demand, fixed, exported, percentages };
inline constexpr std::size_t kShareCount = 6;

struct YearCost {
    Money total;
    std::array<Money, kShareCount> by_share{};  // by Share; they sum to the total
    std::vector<Money> bills;
    MilliwattHours taken;
    bool assumed = false;
};

[[nodiscard]] Share share_of(Part part);
[[nodiscard]] YearCost year_of(const std::vector<Bill>& bills);

// Which shares make `other` dearer (positive) or cheaper than `now`, the largest first; those alike are left
// out.
struct Driver {
    Share share = Share::hours;
    Money more;
};
[[nodiscard]] std::vector<Driver> drivers(const YearCost& now, const YearCost& other);

}  // namespace lullwatt::account
