// Simulated supply equipment: it keeps a profile with its lease, counts energy, reports, loses its link,
// starts again.
//
// One thread; stepped once a second.
#pragma once

#include <optional>
#include <vector>

#include "core/control/decision.hpp"
#include "core/control/input.hpp"
#include "core/rehearse/car.hpp"

namespace lullwatt::rehearse {

struct EquipmentTraits {
    site::Legs legs;
    Watts watts_per_ampere;  // of all its legs together
    WholeAmps hard_setting;
    WholeAmps standing;  // its default profile
    Seconds reports_every{10};
    Seconds starts_in{20};  // from power or reset until it answers again
    bool tells_offer = true;
    WattHours counted{0};  // what its register shows at first
};

class Equipment {
  public:
    // With nothing plugged in.
    explicit Equipment(const EquipmentTraits& traits) : traits_(traits), register_(traits.counted) {}
    Equipment(const EquipmentTraits& traits, const CarTraits& car) : Equipment(traits) { plug_in(car); }

    void plug_in(const CarTraits& car) { car_.emplace(car); }
    // Its profile ends with the transaction: what stays is standing.
    void unplug();
    [[nodiscard]] site::Legs legs() const { return traits_.legs; }

    // What it offers, and what the car draws on each of its legs, in the second `at`.
    void step(Seconds at);
    [[nodiscard]] WholeAmps offer() const { return offer_; }
    [[nodiscard]] Amps current() const { return current_; }
    [[nodiscard]] WattHours energy_register() const { return nearest_watt_hours(register_); }

    // A profile from the second after `at` on. False while it does not answer.
    [[nodiscard]] bool write(const control::Write& write, Seconds at);
    [[nodiscard]] int writes() const { return writes_; }
    void restart(Seconds at);
    [[nodiscard]] bool answers(Seconds at) const { return at >= answers_from_; }

    // What it says in that second, if anything: all when `anew` (a link that came up), else a status that
    // changed, and current and register when they are due. `by_boot`: that second by boot time.
    [[nodiscard]] std::optional<control::PointReport> report(Seconds at, BootTime by_boot, bool anew);

  private:
    [[nodiscard]] control::PointStatus status(Seconds at) const;

    EquipmentTraits traits_;
    std::optional<Car> car_;
    std::vector<control::Period> profile_;
    Seconds profile_from_{0};
    WholeAmps offer_;
    Amps current_;
    MilliwattHours register_;
    std::int64_t watt_seconds_ = 0;  // not yet in the register
    Seconds answers_from_{0};
    int writes_ = 0;
    std::optional<control::PointStatus> told_;
};

}  // namespace lullwatt::rehearse
