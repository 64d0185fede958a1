#include "daemon/clock/appointments.hpp"

#include <utility>

namespace lullwatt::daemon {

struct Appointments::Appointment {
    std::optional<BootTime> at;
    std::function<void()> ring;
};

class Appointments::Entry final : public Alarm {
  public:
    explicit Entry(std::shared_ptr<Appointment> appointment) : appointment_(std::move(appointment)) {}
    void set(BootTime at) override { appointment_->at = at; }
    void clear() override { appointment_->at.reset(); }

  private:
    std::shared_ptr<Appointment> appointment_;
};

std::unique_ptr<Alarm> Appointments::alarm(std::function<void()> ring) {
    auto appointment = std::make_shared<Appointment>(Appointment{{}, std::move(ring)});
    std::erase_if(all_, [](const auto& each) { return each.expired(); });
    all_.push_back(appointment);
    return std::make_unique<Entry>(std::move(appointment));
}

std::optional<BootTime> Appointments::next() const {
    std::optional<BootTime> earliest;
    for (const auto& each : all_) {
        const auto appointment = each.lock();
        if (appointment && appointment->at && (!earliest || *appointment->at < *earliest))
            earliest = appointment->at;
    }
    return earliest;
}

void Appointments::ring_one(BootTime at) {
    for (const auto& each : all_) {
        const auto appointment = each.lock();
        if (!appointment || appointment->at != at) continue;
        appointment->at.reset();
        appointment->ring();
        return;
    }
}

}  // namespace lullwatt::daemon
