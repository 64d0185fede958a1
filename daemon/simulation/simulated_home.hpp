// Equipment, cars and meters of a simulated house, behind the ports that real ones will have: for showing
// what the daemon does, and for trying settings before anything is wired.
//
// Loop thread only. It lives by the daemon's clock, a second at a time; what a late loop missed is caught up.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <vector>

#include "core/rehearse/equipment.hpp"
#include "daemon/log/log.hpp"
#include "daemon/loop/loop.hpp"
#include "daemon/ports/alarm.hpp"
#include "daemon/ports/equipment.hpp"
#include "daemon/ports/house_meter.hpp"
#include "daemon/simulation/household_loads.hpp"

namespace lullwatt::daemon {

// What the ledger remembers of a point, so that a restart of the daemon is none of the equipment.
struct PointMemory {
    std::string point;
    WattHours energy_register;
    std::optional<WattHours> begun_at;  // of the transaction under way
};

class SimulatedHome final : public Equipment, public HouseMeters {
  public:
    struct Ports {
        Loop& loop;
        const Clock& clock;
        Alarms& alarms;
        Log log;
    };
    SimulatedHome(Ports ports, std::shared_ptr<const io::Household> household,
                  const std::vector<PointMemory>& memory);
    ~SimulatedHome() override;

    // New settings: points keep their car, register and offer by their name.
    void change(std::shared_ptr<const io::Household> household);

    void listen(EquipmentListener* listener) override;
    void offer(std::size_t point, const control::Write& write) override;
    [[nodiscard]] std::optional<Milliseconds> interval(std::size_t node) const override;
    void listen(std::function<void(const control::MeterSample&)> sampled) override {
        sampled_ = std::move(sampled);
    }

  private:
    struct PointState {
        std::string name;
        rehearse::Equipment equipment;
        std::vector<std::size_t> path;
        std::optional<std::size_t> car;
        bool transaction = false;
        bool told = false;  // has said all it knows to whoever listens now
    };
    [[nodiscard]] PointState new_point(std::size_t point, const PointMemory* memory) const;
    [[nodiscard]] rehearse::CarTraits traits(std::size_t car, WattHours already) const;
    [[nodiscard]] bool linked(std::size_t point) const;
    void go_on();
    void tick();
    void come_and_go(std::size_t point, Instant at);
    void tell(std::size_t point, Seconds at, BootTime boot);
    void sample(Seconds at, const Moment& moment);

    Ports ports_;
    std::shared_ptr<const io::Household> household_;
    std::unique_ptr<HouseholdLoads> loads_;
    BootTime begin_;
    Seconds done_{0};  // seconds lived through
    std::vector<PointState> points_;
    unsigned settings_ = 0;  // counts those taken: an answer from before them is about another point
    EquipmentListener* listener_ = nullptr;
    std::function<void(const control::MeterSample&)> sampled_;
    std::unique_ptr<Alarm> next_second_;
    std::shared_ptr<bool> alive_ = std::make_shared<bool>(true);
};

}  // namespace lullwatt::daemon
