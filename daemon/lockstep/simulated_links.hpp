// Equipment and meters whose other end is the simulator that is also the master of time.
//
// Loop thread only. One JSON object a line, points and nodes by name:
//   heard  {"meter": {"node": "service", "amps": [40.1, 38.0], "resolution": 0.1, "feeding": [false, true]}}
//          {"report": {"point": "left point", "status": "charging", "offer": 20, "amps": [19.8, 19.8],
//                      "register_wh": 1234, "age_ms": 0}}          every field but the point may be missing
//          {"link": {"point": "left point", "up": false}}
//          {"restarted": {"point": "left point"}}
//          {"answer": {"point": "left point", "write": 3, "accepted": true}}
//          {"begun": {"point": "left point", "register_wh": 1234, "token": ""}}
//          {"ended": {"point": "left point", "register_wh": 9876, "reason": ""}}
//   told   {"offer": {"point": "left point", "write": 3, "reduces": false, "periods": [{"amps": 20, "ms":
//   900000},
//                     {"amps": 6}]}}
//          {"recorded": {"point": "left point", "transaction": 7}}     null where it could not be recorded
// Which nodes have a meter stands in the first line: {"begin": {…, "meters_ms": {"service": 1000}}}.
#pragma once

#include <functional>
#include <memory>
#include <string>

#include "daemon/lockstep/lockstep.hpp"
#include "daemon/log/log.hpp"
#include "daemon/ports/equipment.hpp"
#include "daemon/ports/house_meter.hpp"
#include "io/household/household.hpp"

namespace lullwatt::daemon {

class SimulatedLinks final : public Equipment, public HouseMeters {
  public:
    using Household = std::function<std::shared_ptr<const io::Household>()>;
    // REQUIRES: lockstep outlives it.
    SimulatedLinks(Lockstep& lockstep, Household household, Log log)
        : lockstep_(lockstep), household_(std::move(household)), log_(std::move(log)) {}

    // A line of the simulator's that is no matter of time.
    void take(const std::string& line);

    void listen(EquipmentListener* listener) override { listener_ = listener; }
    void offer(std::size_t point, const control::Write& write) override;
    [[nodiscard]] std::optional<Milliseconds> interval(std::size_t node) const override;
    void listen(std::function<void(const control::MeterSample&)> sampled) override {
        sampled_ = std::move(sampled);
    }

  private:
    Lockstep& lockstep_;
    Household household_;
    Log log_;
    EquipmentListener* listener_ = nullptr;
    std::function<void(const control::MeterSample&)> sampled_;
};

}  // namespace lullwatt::daemon
