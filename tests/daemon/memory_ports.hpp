// The daemon's ports in memory: a clock that a test moves, a store and equipment that remember.
//
// One thread.
#pragma once

#include <algorithm>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "daemon/ports/alarm.hpp"
#include "daemon/ports/equipment.hpp"
#include "daemon/ports/house_meter.hpp"
#include "daemon/ports/notifier.hpp"
#include "daemon/ports/store.hpp"

namespace lullwatt::tests {

class MemoryClock final : public daemon::Clock, public daemon::Alarms {
  public:
    explicit MemoryClock(Instant wall) : now_{wall, BootTime(std::chrono::hours{1})} {}
    [[nodiscard]] daemon::Moment now() const override { return now_; }
    [[nodiscard]] std::unique_ptr<daemon::Alarm> alarm(std::function<void()> ring) override {
        auto appointment = std::make_shared<Appointment>(Appointment{{}, std::move(ring)});
        appointments_.push_back(appointment);
        return std::make_unique<MemoryAlarm>(std::move(appointment));
    }
    // Rings what falls due on the way, each at its time.
    void pass(Seconds time) {
        const BootTime end = now_.boot + time;
        const Instant wall_end = now_.wall + time;
        while (const auto due = next(end)) {
            now_.boot = std::max(now_.boot, *due->at);
            now_.wall = wall_end - std::chrono::ceil<Seconds>(end - now_.boot);
            due->at.reset();
            due->ring();
        }
        now_ = {wall_end, end};
    }

    void set_wall(Seconds by) { now_.wall += by; }

    // As if the loop had stood still: nothing rings meanwhile.
    void stall(Seconds time) {
        now_.boot += time;
        now_.wall += time;
    }

  private:
    struct Appointment {
        std::optional<BootTime> at;
        std::function<void()> ring;
    };
    class MemoryAlarm final : public daemon::Alarm {
      public:
        explicit MemoryAlarm(std::shared_ptr<Appointment> appointment)
            : appointment_(std::move(appointment)) {}
        void set(BootTime at) override { appointment_->at = at; }
        void clear() override { appointment_->at.reset(); }

      private:
        std::shared_ptr<Appointment> appointment_;
    };
    std::shared_ptr<Appointment> next(BootTime end) const {
        std::shared_ptr<Appointment> first;
        for (const auto& each : appointments_) {
            const auto appointment = each.lock();
            if (appointment && appointment->at && *appointment->at <= end &&
                (!first || *appointment->at < *first->at))
                first = appointment;
        }
        return first;
    }
    daemon::Moment now_;
    std::vector<std::weak_ptr<Appointment>> appointments_;
};

class MemoryEquipment final : public daemon::Equipment {
  public:
    void listen(daemon::EquipmentListener* listener) override { heard_by = listener; }
    void offer(std::size_t point, const control::Write& write) override { offers.emplace_back(point, write); }
    daemon::EquipmentListener* heard_by = nullptr;
    std::vector<std::pair<std::size_t, control::Write>> offers;
};

class MemoryMeters final : public daemon::HouseMeters {
  public:
    [[nodiscard]] std::optional<Milliseconds> interval(std::size_t node) const override {
        const auto found = intervals.find(node);
        return found == intervals.end() ? std::nullopt : std::optional(found->second);
    }
    void listen(std::function<void(const control::MeterSample&)> sampled) override {
        heard_by = std::move(sampled);
    }
    std::map<std::size_t, Milliseconds> intervals;
    std::function<void(const control::MeterSample&)> heard_by;
};

class MemoryStore final : public daemon::Store {
  public:
    void post(io::ledger::Row row, Done done = {}) override {
        rows.push_back(std::move(row));
        if (!done || !io::ledger::is_durable(rows.back())) return;
        if (stalls) {
            waiting_.push_back(std::move(done));
        } else {
            done(refuses ? std::nullopt : std::optional(++last_));
        }
    }
    // What waited stands on the disk.
    void go_on() {
        stalls = false;
        for (const Done& done : std::exchange(waiting_, {})) done(++last_);
    }
    [[nodiscard]] std::string trouble() const override { return refuses ? "the disk is full" : ""; }
    template <class Kind>
    [[nodiscard]] std::vector<Kind> all() const {
        std::vector<Kind> found;
        for (const auto& row : rows) {
            if (const auto* kind = std::get_if<Kind>(&row)) found.push_back(*kind);
        }
        return found;
    }
    std::vector<io::ledger::Row> rows;
    bool refuses = false;
    bool stalls = false;  // nothing is acknowledged

  private:
    io::ledger::Id last_ = 0;
    std::vector<Done> waiting_;
};

}  // namespace lullwatt::tests
