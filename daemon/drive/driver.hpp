// Live control: the limiter between what is heard of house and equipment, and what is offered.
//
// Loop thread only. Decides at once after whatever was heard, and again when the limiter asked to be.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <vector>

#include "core/control/limiter.hpp"
#include "daemon/drive/events.hpp"
#include "daemon/drive/minutes.hpp"
#include "daemon/drive/sessions.hpp"
#include "daemon/log/log.hpp"
#include "daemon/ports/alarm.hpp"
#include "daemon/ports/equipment.hpp"
#include "daemon/ports/house_meter.hpp"
#include "io/household/household.hpp"

namespace lullwatt::daemon {

// The kind of event that counts as a write: docs/daemon.md.
inline constexpr const char* kOffered = "offered";

struct DriverPorts {
    const Clock& clock;
    Alarms& alarms;
    Equipment& equipment;
    HouseMeters& meters;
    Sessions& sessions;
    Minutes& minutes;
    Events& events;
    Log log;
};

class Driver final : public EquipmentListener {
  public:
    // `changed`: a car came or went, or a transaction began or ended at a point; called from within the
    // loop's event. `seed`: of the waits after an interruption of the supply. `writes`: into each point's
    // equipment before; empty: none.
    Driver(DriverPorts ports, std::shared_ptr<const io::Household> household, std::uint64_t seed,
           std::vector<control::WritesSoFar> writes, std::function<void(std::size_t point)> changed);
    ~Driver() override;

    void change(std::shared_ptr<const io::Household> household);
    void trust_wall(bool proven);
    void plan(std::size_t point, control::PointPlan plan);
    void hold(std::size_t point, std::optional<Instant> until);

    // As last decided; empty before the first time.
    [[nodiscard]] const std::optional<control::Decision>& decision() const { return decision_; }
    // Everything last heard of a point, newest word by word; empty: nothing since the start.
    [[nodiscard]] const std::optional<control::PointReport>& heard(std::size_t point) const {
        return heard_[point];
    }
    // Whether any equipment or meter has told anything since the start.
    [[nodiscard]] bool ever_heard() const { return ever_heard_; }
    // Into a point's equipment, whose memory wears.
    [[nodiscard]] const control::WritesSoFar& writes(std::size_t point) const {
        return limiter_->writes(point);
    }
    [[nodiscard]] std::optional<site::LegAmps> house(std::size_t node) const { return limiter_->house(node); }

    void link(std::size_t point, bool up) override;
    void restarted(std::size_t point, BootTime at) override;
    void reported(std::size_t point, const control::PointReport& report) override;
    void answered(std::size_t point, std::uint64_t write, bool accepted) override;
    void began(std::size_t point, const TransactionBegun& begun,
               std::function<void(std::optional<std::int64_t>)> recorded) override;
    void ended(std::size_t point, const TransactionEnded& ended) override;

  private:
    [[nodiscard]] control::LimiterSettings settings() const;
    void sampled(const control::MeterSample& sample);
    void decide();
    void say(std::size_t point, const control::PointDecision& decided);

    DriverPorts ports_;
    std::shared_ptr<const io::Household> household_;
    std::uint64_t seed_;
    std::function<void(std::size_t)> changed_;
    bool proven_ = false;
    bool ever_heard_ = false;
    std::unique_ptr<control::Limiter> limiter_;
    std::optional<control::Decision> decision_;
    std::vector<std::optional<control::PointReport>> heard_;
    std::vector<std::optional<WholeAmps>> said_;  // setpoints that stand in the log
    std::vector<bool> lost_;                      // links
    std::unique_ptr<Alarm> look_again_;
};

}  // namespace lullwatt::daemon
