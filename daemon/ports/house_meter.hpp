// The meters of the house's nodes, whatever protocol is behind them.
//
// Loop thread only. A sample carries node, arrival, direction and resolution, as amperes per leg.
#pragma once

#include <cstddef>
#include <functional>
#include <optional>

#include "core/control/input.hpp"

namespace lullwatt::daemon {

class HouseMeters {
  public:
    HouseMeters() = default;
    HouseMeters(const HouseMeters&) = delete;
    HouseMeters& operator=(const HouseMeters&) = delete;
    virtual ~HouseMeters() = default;
    // Between two samples of a node's meter; none: it has no meter.
    [[nodiscard]] virtual std::optional<Milliseconds> interval(std::size_t node) const = 0;
    virtual void listen(std::function<void(const control::MeterSample&)> sampled) = 0;
};

}  // namespace lullwatt::daemon
