#include "core/rehearse/equipment.hpp"

#include <cmath>

namespace lullwatt::rehearse {

void Equipment::step(Seconds at) {
    WholeAmps offer = traits_.standing;
    Seconds from = profile_from_;
    for (const control::Period& period : profile_) {
        if (!period.length || at < from + std::chrono::floor<Seconds>(*period.length)) {
            offer = period.amps;
            break;
        }
        from += std::chrono::floor<Seconds>(*period.length);
    }
    const bool power = at >= answers_from_;
    offer_ = power ? std::min(offer, traits_.hard_setting) : WholeAmps(0);
    current_ = car_ ? car_->step(at, offer_) : Amps(0);
    if (!power) current_ = Amps(0);  // its relay is open
    // Whole watt-seconds; 3.6 of them are a milliwatt-hour.
    watt_seconds_ += std::llround(current_.count() * traits_.watts_per_ampere.count());
    const MilliwattHours counted(watt_seconds_ * 10 / 36);
    watt_seconds_ -= counted.count() * 36 / 10;
    register_ += counted;
    if (car_) car_->took(counted);
}

bool Equipment::write(const control::Write& write, Seconds at) {
    if (!answers(at)) return false;
    profile_ = write.periods;
    profile_from_ = at;
    ++writes_;
    return true;
}

void Equipment::unplug() {
    car_.reset();
    profile_.clear();
}

void Equipment::restart(Seconds at) {
    profile_.clear();
    answers_from_ = at + traits_.starts_in;
    told_.reset();
}

control::PointStatus Equipment::status(Seconds at) const {
    if (!car_) return control::PointStatus::empty;
    if (car_->full()) return control::PointStatus::suspended_by_car;
    if (offer_ == WholeAmps(0)) return control::PointStatus::suspended_by_us;
    return car_->sleeps(at) ? control::PointStatus::suspended_by_car : control::PointStatus::charging;
}

std::optional<control::PointReport> Equipment::report(Seconds at, BootTime by_boot, bool anew) {
    if (!answers(at)) return std::nullopt;
    const bool due = at % traits_.reports_every == Seconds{0};
    const control::PointStatus now = status(at);
    if (!anew && !due && told_ == now) return std::nullopt;
    control::PointReport report{.taken = by_boot, .status = now};
    told_ = now;
    if (anew || due) {
        site::LegAmps drawn{};
        for (const site::Leg leg : site::kLegs) {
            if (traits_.legs.has(leg)) drawn[static_cast<std::size_t>(leg)] = current_;
        }
        report.current = drawn;
        report.energy_register = energy_register();
        if (traits_.tells_offer) report.offer = offer_;
    }
    return report;
}

}  // namespace lullwatt::rehearse
