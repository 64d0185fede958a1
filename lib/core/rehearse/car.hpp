// A simulated car: it follows an offer after its response, takes what it can, sleeps and wakes.
//
// One thread; stepped once a second.
#pragma once

#include <deque>
#include <optional>
#include <vector>

#include "core/site/site.hpp"
#include "core/time/instant.hpp"

namespace lullwatt::rehearse {

struct CarTraits {
    WholeAmps most = WholeAmps(48);      // its charger's
    Seconds response{5};                 // from an offer in force to the current following it
    WattHours room = WattHours(60'000);  // at the register, until it is full
    int tapers_at_percent = 95;          // from there its current falls towards full; 100: never
    std::optional<Seconds> sleeps;       // takes nothing from then
    std::optional<Seconds> wakes;        // and takes again from then
};

class Car {
  public:
    explicit Car(const CarTraits& traits) : traits_(traits) {}

    // The current per leg during the second `at`, under what is offered in it. Whole steps: it draws the old
    // current until its response is over, then the new one.
    [[nodiscard]] Amps step(Seconds at, WholeAmps offer);
    // What the register counted in that second.
    void took(MilliwattHours energy) { taken_ += energy; }
    [[nodiscard]] bool sleeps(Seconds at) const;
    [[nodiscard]] bool full() const { return taken_ >= MilliwattHours(traits_.room); }

  private:
    [[nodiscard]] Amps accepts(Seconds at) const;

    CarTraits traits_;
    std::deque<WholeAmps> offers_;  // of the last seconds, the newest last
    MilliwattHours taken_;
};

}  // namespace lullwatt::rehearse
