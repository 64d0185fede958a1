#include "core/circuit/metric_rating.hpp"

#include <algorithm>
#include <array>

namespace lullwatt::circuit {
namespace {

template <class... Ratings>
constexpr auto amps(Ratings... ratings) {
    return std::array<Amps, sizeof...(ratings)>{Amps(ratings)...};
}

// IEC 60898-1, preferred values of rated current.
constexpr auto kBreakers = amps(6, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125);
// IEC 60269, gG. 355 A is sold too (from memory) and left out.
constexpr auto kFuses = amps(2, 4, 6, 10, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400,
                             500, 630, 800, 1000, 1250);

double fuse_factor(Amps rating) { return rating < Amps(16) ? 1.31 : 1.10; }

}  // namespace

std::span<const Amps> device_ratings(DeviceType type) {
    switch (type) {
        case DeviceType::breaker:
            return kBreakers;
        case DeviceType::fuse_gg:
            return kFuses;
        case DeviceType::other:
            break;
    }
    return {};
}

bool is_standard_rating(const OverloadDevice& device) {
    return std::ranges::binary_search(device_ratings(device.type), device.rating);
}

std::optional<Amps> next_rating_up(DeviceType type, Amps current) {
    const auto ratings = device_ratings(type);
    const auto at =
        std::ranges::find_if(ratings, [current](Amps rating) { return at_most(current, rating); });
    if (at == ratings.end()) return std::nullopt;
    return *at;
}

ConventionalCurrents conventional_currents(Amps breaker) { return {1.13 * breaker, 1.45 * breaker}; }

std::optional<Amps> operating_current(const OverloadDevice& device) {
    switch (device.type) {
        case DeviceType::breaker:
            return conventional_currents(device.rating).trips;
        case DeviceType::fuse_gg:
            return 1.45 * fuse_factor(device.rating) * device.rating;
        case DeviceType::other:
            break;
    }
    return device.operating_current;
}

}  // namespace lullwatt::circuit
