// Strong types for the units of the trade: a number with a unit never crosses a function's boundary bare.
//
// Values only; safe to use from any thread.
#pragma once

#include <compare>
#include <concepts>
#include <cstdint>

namespace lullwatt {

// One unit. Quantities of the same unit add and compare; of different units they do not compile.
template <class Unit, class Count>
class Quantity {
  public:
    using count_type = Count;

    constexpr Quantity() = default;
    constexpr explicit Quantity(Count count) : count_(count) {}

    [[nodiscard]] constexpr Count count() const { return count_; }

    constexpr Quantity& operator+=(Quantity other) {
        count_ += other.count_;
        return *this;
    }
    constexpr Quantity& operator-=(Quantity other) {
        count_ -= other.count_;
        return *this;
    }
    friend constexpr Quantity operator+(Quantity a, Quantity b) { return a += b; }
    friend constexpr Quantity operator-(Quantity a, Quantity b) { return a -= b; }
    friend constexpr Quantity operator-(Quantity a) { return Quantity(-a.count_); }
    friend constexpr Quantity operator*(Quantity a, Count factor) { return Quantity(a.count_ * factor); }
    friend constexpr Quantity operator*(Count factor, Quantity a) { return Quantity(factor * a.count_); }
    friend constexpr Quantity operator/(Quantity a, Count divisor) requires std::floating_point<Count> {
        return Quantity(a.count_ / divisor);
    }
    friend constexpr auto operator<=>(Quantity, Quantity) = default;

  private:
    Count count_{};
};

struct AmpereUnit;
struct VoltUnit;
struct WattUnit;
struct VoltAmpereUnit;
struct MetreUnit;
struct WattHourUnit;
struct MilliwattHourUnit;
struct KilometreUnit;
struct MilliwattUnit;

using Amps = Quantity<AmpereUnit, double>;  // measured and rated current
using Volts = Quantity<VoltUnit, double>;
using Watts = Quantity<WattUnit, double>;
using VoltAmperes = Quantity<VoltAmpereUnit, double>;
using Metres = Quantity<MetreUnit, double>;
using Kilometres = Quantity<KilometreUnit, double>;
using WattHours = Quantity<WattHourUnit, std::int64_t>;    // what a register counts
using Milliwatts = Quantity<MilliwattUnit, std::int64_t>;  // a bill's demand: kilowatts to six decimals

// Energy where a source is finer than a watt-hour. Every watt-hour is one exactly; the way back rounds.
class MilliwattHours : public Quantity<MilliwattHourUnit, std::int64_t> {
  public:
    using Quantity::Quantity;
    constexpr MilliwattHours(WattHours whole) : Quantity(whole.count() * 1000) {}  // NOLINT: lossless
    constexpr MilliwattHours(Quantity<MilliwattHourUnit, std::int64_t> same) : Quantity(same) {}  // NOLINT
};

// Nearest watt-hour, halves away from zero.
[[nodiscard]] constexpr WattHours nearest_watt_hours(MilliwattHours energy) {
    const std::int64_t half = energy.count() < 0 ? -500 : 500;
    return WattHours((energy.count() + half) / 1000);
}

// A setpoint or an installer's setting: whole amperes, as the control pilot and the open protocols carry it.
class WholeAmps {
  public:
    constexpr WholeAmps() = default;
    constexpr explicit WholeAmps(int count) : count_(count) {}
    constexpr operator Amps() const { return Amps(count_); }  // NOLINT: lossless
    [[nodiscard]] constexpr int count() const { return count_; }
    friend constexpr WholeAmps operator+(WholeAmps a, WholeAmps b) { return WholeAmps(a.count_ + b.count_); }
    friend constexpr WholeAmps operator-(WholeAmps a, WholeAmps b) { return WholeAmps(a.count_ - b.count_); }
    friend constexpr auto operator<=>(WholeAmps, WholeAmps) = default;

  private:
    int count_ = 0;
};

// The one whole current from 6 to 80 A that no duty cycle of the control pilot grants: one range ends at
// 51 A, the next begins above 52.5 A. Source: IEC 61851-1:2017 Annex A, as core/circuit/pilot.hpp has it.
inline constexpr WholeAmps kNotOnThePilot{52};

// The greatest whole amperes not above `current`; never negative. A current within 1e-9 A of a whole number
// counts as that number, so that 0.8 × 60 A is 48 A and not 47.
[[nodiscard]] constexpr WholeAmps floor_amps(Amps current) {
    const double nudged = current.count() + 1e-9;
    return WholeAmps(nudged <= 0 ? 0 : static_cast<int>(nudged));
}

// The least whole amperes not below `current`, with the same allowance; never negative.
[[nodiscard]] constexpr WholeAmps ceil_amps(Amps current) {
    const WholeAmps below = floor_amps(current);
    return current.count() <= below.count() + 1e-9 ? below : WholeAmps(below.count() + 1);
}

// Percent of a battery's usable energy, 0 to 100.
struct StateOfCharge {
    double percent = 0;
    friend constexpr auto operator<=>(StateOfCharge, StateOfCharge) = default;
};

}  // namespace lullwatt
