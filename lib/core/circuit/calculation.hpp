// A load calculation as a sheet that an electrician can follow: a rule, a quantity and a factor on every
// line.
//
// Plain values; safe to read from any thread.
#pragma once

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

#include "core/circuit/dwelling.hpp"

namespace lullwatt::circuit {

struct SheetLine {
    std::string rule;       // "220.82(B)(1)"
    std::string what;       // "floor area, 1500 sq ft at 3 VA"
    VoltAmperes connected;  // before the factor
    double factor = 1;
    VoltAmperes counted;
    bool from_memory = false;  // the factor was not found in any document read: look it up first
};

enum class Method : std::uint8_t { nec_optional, nec_existing, nec_standard, cec_dwelling };

// How an authority may read what the rules leave open about the cars' equipment …
enum class EquipmentReading : std::uint8_t { in_pool, outside_100, outside_125 };
// … and about heating and cooling that is there already (220.83(A)).
enum class ClimateReading : std::uint8_t { in_pool, outside_100 };

// One way to calculate: a method of an edition, and how its open questions are read.
struct Basis {
    Method method = Method::nec_optional;
    int edition = 2023;
    EquipmentReading equipment = EquipmentReading::in_pool;
    ClimateReading climate = ClimateReading::in_pool;
    bool adds_climate = false;  // 220.83(B): heating or cooling is added or made larger
    friend bool operator==(const Basis&, const Basis&) = default;
};

struct Calculation {
    std::vector<SheetLine> lines;
    VoltAmperes total;
    VoltAmperes to_least;  // of it: what no load asks for but the code's least service
    Amps demand;
    Amps rating;
    // An ampere more than the rating is one too many; a billionth is how computers count.
    [[nodiscard]] bool passes() const { return demand.count() <= rating.count() + 1e-9; }
};

// Why a method is not to be used here.
struct NotApplicable {
    std::string rule;
    std::string reason;
};

using Outcome = std::variant<Calculation, NotApplicable>;

}  // namespace lullwatt::circuit
