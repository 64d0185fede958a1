// Conductor sizes of North America from 14 AWG to 500 kcmil, and their area.
//
// Values and pure functions; call from any thread.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "core/quantity/quantity.hpp"

namespace lullwatt::circuit {

// Rising; the sizes that branch circuits and feeders of a dwelling come in.
enum class WireSize : std::uint8_t {
    awg14,
    awg12,
    awg10,
    awg8,
    awg6,
    awg4,
    awg3,
    awg2,
    awg1,
    awg1_0,
    awg2_0,
    awg3_0,
    awg4_0,
    kcmil250,
    kcmil300,
    kcmil350,
    kcmil400,
    kcmil500,
};

inline constexpr std::array kWireSizes{
    WireSize::awg14,    WireSize::awg12,    WireSize::awg10,    WireSize::awg8,     WireSize::awg6,
    WireSize::awg4,     WireSize::awg3,     WireSize::awg2,     WireSize::awg1,     WireSize::awg1_0,
    WireSize::awg2_0,   WireSize::awg3_0,   WireSize::awg4_0,   WireSize::kcmil250, WireSize::kcmil300,
    WireSize::kcmil350, WireSize::kcmil400, WireSize::kcmil500,
};

enum class Metal : std::uint8_t { copper, aluminium };

struct CircularMilUnit;
using CircularMils = Quantity<CircularMilUnit, double>;

// Of the conductor. Source: NEC chapter 9 table 8.
[[nodiscard]] CircularMils area(WireSize size);

// "6 AWG", "1/0 AWG", "250 kcmil"
[[nodiscard]] std::string name(WireSize size);

// The size of exactly that name; empty for any other text.
[[nodiscard]] std::optional<WireSize> wire_size_of(std::string_view name);

}  // namespace lullwatt::circuit
