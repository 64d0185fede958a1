#include "support/instances.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace lullwatt::support {
namespace {

using plan::Problem;
using plan::Slot;

constexpr std::int64_t kTenThousandth = 100'000'000;  // of the currency, as a Rate counts
constexpr int kSlotsAnHour = 12;

bool by_the_hour(Family family) {
    return family == Family::hourly || family == Family::negative || family == Family::with_floor;
}

// In ten-thousandths of the currency per kWh; noise adds hundred-thousandths.
std::vector<Rate> prices(Family family, int slots, Dice& dice) {
    const std::int64_t low = dice.between(600, 1100);
    const std::int64_t middle = low + dice.between(200, 700);
    const std::int64_t high = middle + dice.between(200, 900);
    const auto begin = static_cast<int>(dice.between(0, 24 * kSlotsAnHour - 1));
    std::int64_t walk = dice.between(500, 2000);
    const std::int64_t bottom = family == Family::negative ? -900 : 100;
    std::vector<Rate> out;
    for (int t = 0; t < slots; ++t) {
        const int hour = (begin + t) / kSlotsAnHour % 24;
        if (t % kSlotsAnHour == 0) walk = std::max(bottom, walk + dice.between(-450, 450));
        std::int64_t price = hour < 6                                                ? low
                             : (hour >= 7 && hour < 11) || (hour >= 17 && hour < 21) ? high
                                                                                     : middle;
        if (by_the_hour(family)) price = walk;
        if (family == Family::blocked) price = dice.between(500, 2500);
        std::int64_t rate = price * kTenThousandth;
        if (family == Family::noise) rate += dice.between(-1000, 1000) * (kTenThousandth / 10);
        out.emplace_back(rate);
    }
    return out;
}

// The house's load leaves the car a changing share of its 16 to 48 A.
std::vector<WholeAmps> headroom(Family family, int slots, Dice& dice) {
    const auto car = static_cast<int>(dice.between(2, 6)) * 8;
    std::int64_t base = dice.between(0, car / 2);
    std::vector<WholeAmps> out;
    for (int t = 0; t < slots; ++t) {
        if (t % kSlotsAnHour == 0) base = std::clamp<std::int64_t>(base + dice.between(-8, 8), 0, car);
        std::int64_t most = car - base + dice.between(-3, 6);
        if (family == Family::blocked && dice.one_in(4)) most = 0;
        if (family == Family::steady) most = car;
        out.emplace_back(static_cast<int>(std::clamp<std::int64_t>(most, 0, car)));
    }
    return out;
}

std::int64_t start_cost(Family family, Dice& dice) {
    if (family == Family::blocked) return dice.between(6, 60) * 10'000;
    return dice.one_in(8) ? 0 : dice.between(1, 10) * 10'000;
}

}  // namespace

std::string_view name(Family family) {
    switch (family) {
        case Family::time_of_use:
            return "time of use";
        case Family::noise:
            return "noise";
        case Family::hourly:
            return "hourly";
        case Family::blocked:
            return "blocked";
        case Family::steady:
            return "steady";
        case Family::negative:
            return "negative";
        case Family::odd_lengths:
            return "odd lengths";
        case Family::with_floor:
            return "with floor";
    }
    return "";
}

Problem instance(Family family, int slots, std::uint64_t seed) {
    Dice dice(seed * 64 + static_cast<std::uint64_t>(family));
    const std::vector<Rate> rates = prices(family, slots, dice);
    const std::vector<WholeAmps> most = headroom(family, slots, dice);

    Problem problem;
    problem.per_ampere = Watts(std::array{240, 208, 230, 690}[static_cast<std::size_t>(dice.between(0, 3))]);
    problem.start_cost = Money(start_cost(family, dice));
    Instant at{std::chrono::hours(24 * 365 * 56)};
    double fits = 0;
    for (int t = 0; t < slots; ++t) {
        std::int64_t minutes = 5;
        if (family == Family::odd_lengths && (t == 0 || dice.one_in(12))) minutes = dice.between(1, 4);
        const Instant end = at + std::chrono::minutes(minutes);
        const auto i = static_cast<std::size_t>(t);
        problem.slots.push_back({{at, end}, rates[i], most[i], {}});
        at = end;
        if (most[i] >= problem.least) fits += most[i].count() * static_cast<double>(minutes);
    }
    fits *= problem.per_ampere.count() / 60 * 1000;  // mWh
    const double share = dice.one_in(16) ? 1.1 : static_cast<double>(dice.between(100, 900)) / 1000;
    problem.need = MilliwattHours(std::min<std::int64_t>(std::llround(fits * share), 100'000'000));
    if (family == Family::with_floor) {
        problem.floor = MilliwattHours(problem.need.count() * dice.between(0, 60) / 100);
    }
    return problem;
}

}  // namespace lullwatt::support
