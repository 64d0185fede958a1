#include "core/circuit/standard_rating.hpp"

#include <algorithm>
#include <array>

namespace lullwatt::circuit {
namespace {

template <class... Ratings>
constexpr auto amps(Ratings... ratings) {
    return std::array<Amps, sizeof...(ratings)>{Amps(ratings)...};
}

// 240.6(A) as at callout.app/codes/nec-2023-240-6 and ecmweb.com (fuse and breaker ratings). 2023 adds 10 A:
// expertce.com, standard circuit breaker ratings. Fuses also come in 1, 3, 6, 10 and 601 A.
constexpr auto kBreakersOf2023 =
    amps(10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350,
         400, 450, 500, 600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000);
constexpr std::span<const Amps> kBreakersBefore2023 = std::span(kBreakersOf2023).subspan(1);
constexpr auto kFuses =
    amps(1, 3, 6, 10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250,
         300, 350, 400, 450, 500, 600, 601, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000);

constexpr Amps kMostRoundedUp(800);

}  // namespace

std::span<const Amps> standard_ratings(int edition, OvercurrentDevice device) {
    if (edition != 2017 && edition != 2020 && edition != 2023) return {};
    if (device == OvercurrentDevice::fuse) return kFuses;
    if (edition == 2023) return kBreakersOf2023;
    return kBreakersBefore2023;
}

std::optional<Amps> next_standard_rating(int edition, OvercurrentDevice device, Amps current) {
    const auto ratings = standard_ratings(edition, device);
    const auto at =
        std::ranges::find_if(ratings, [current](Amps rating) { return at_most(current, rating); });
    if (at == ratings.end()) return std::nullopt;
    return *at;
}

std::optional<Amps> least_device(int edition, OvercurrentDevice device, Amps continuous, Amps noncontinuous) {
    return next_standard_rating(edition, device, required_rating(continuous, noncontinuous));
}

ProtectionLimit protection_limit(int edition, OvercurrentDevice device, Amps ampacity,
                                 bool several_receptacles) {
    const auto next = next_standard_rating(edition, device, ampacity);
    if (!next || several_receptacles || *next > kMostRoundedUp || at_most(*next, ampacity))
        return {ampacity, false};
    return {*next, true};
}

}  // namespace lullwatt::circuit
