// Whether a conductor suits a lasting load and its device by NEC or C22.1, condition by condition, and the
// smallest that does.
//
// Plain values and pure functions; call from any thread. Help for a talk with a licensed electrician: the
// code book and the authority decide. Nothing is rounded but by the one rule that says so (240.4(B)). One
// conductor a phase; no 100 %-rated devices.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/circuit/ampacity_tables.hpp"
#include "core/circuit/standard_rating.hpp"

namespace lullwatt::circuit {

// What decides an insulation's own column and how far it may be used.
enum class Wiring : std::uint8_t {
    nm_b,   // NEC: 90 °C insulation, held to 60 °C (334.80); copper 14 to 2, aluminium 12 to 2 AWG
            // (334.104, from memory)
    nmd90,  // C22.1: 90 °C insulation; what holds it are its terminals
    thhn_in_raceway,  // 90 °C, dry places only; in a wet one THWN-2 is other_90 and THWN other_75
    other_60,
    other_75,
    other_90,
};

struct ConductorCase {
    Code code = Code::nec;
    int edition = 2023;  // NEC 2017, 2020, 2023; C22.1 2024
    Amps continuous;     // that lasts: what the equipment is set to by its installer
    Amps device;         // rating of the breaker or fuse; of C22.1 one marked for 80 %, or unmarked
    OvercurrentDevice device_type = OvercurrentDevice::breaker;
    Metal metal = Metal::copper;
    Wiring wiring = Wiring::nm_b;
    Terminals terminals = Terminals::unmarked;
    Celsius ambient{30};               // the hottest that the conductors' surroundings become
    int conductors = 2;                // current-carrying ones that lie together. REQUIRES: 1 or more
    bool several_receptacles = false;  // a branch circuit with more than one, for portable loads
    // Above 0, at most 1. NEC: whatever the tables do not hold, multiplied with them. C22.1: in place of its
    // tables 5A and 5C (so named from memory), which were found in no document read.
    std::optional<double> entered_factor = {};
};

// In the order in which they are judged. Each holds when `current` is at most `limit`.
enum class ConductorRule : std::uint8_t {
    device_share,       // continuous <= 80 % of the device (210.20(A), 625.41; 8-104(6))
    before_correction,  // NEC: 125 % of continuous <= ampacity (210.19(A)); C22.1: continuous <= 80 % of it
                        // (8-104(6)); in the column of terminals and cable, never cured by the next size up
    after_correction,   // continuous <= ampacity from the insulation's own column with every factor, capped
                        // by that of terminals and cable
    protection,         // device <= that ampacity, or by NEC 240.4(B) the next standard rating; C22.1
                        // 14-104(1) without what its table 13 adds, which was found in no document read
    small_conductor,    // device <= 240.4(D), 14-104(2); absent above 10 AWG
};

struct ConductorOutcome {
    ConductorRule rule = ConductorRule::device_share;
    Amps current;
    Amps limit;
    bool met = false;
};

// Why a conductor could not be judged, or only in part.
enum class ConductorLack : std::uint8_t {
    edition_not_known,
    wiring_of_other_code,   // nm_b by C22.1, nmd90 by NEC
    size_not_in_table,      // 14 AWG aluminium
    size_not_of_cable,      // NM-B is not made so
    ambient_beyond_table,   // hotter than the insulation's column reaches, or no number
    corrections_not_known,  // C22.1 above 30 °C or with more than three conductors: enter the factor
    factor_out_of_range,
};

// What holds the ampacity below that of the insulation's own column.
enum class ColumnReason : std::uint8_t { insulation, cable, terminals };

struct ConductorJudgement {
    WireSize size = WireSize::awg14;
    Column own = Column::c60;                        // of the insulation
    Column allowed = Column::c60;                    // of insulation, cable and terminals the least …
    ColumnReason reason = ColumnReason::insulation;  // … and which it is
    double ambient_factor = 1;
    double adjustment_factor = 1;
    double entered_factor = 1;
    std::optional<TabulatedAmpacity> tabulated;  // in the allowed column, before correction
    std::optional<Amps> corrected;               // own column × factors, capped
    bool rounded_up = false;                     // the device is met by the next size up only
    std::vector<ConductorOutcome> outcomes;      // all that could be judged
    std::vector<ConductorLack> lacks;

    [[nodiscard]] bool suits() const;                                 // no lack, and every rule met
    [[nodiscard]] const ConductorOutcome* find(ConductorRule) const;  // null where not judged
    [[nodiscard]] std::vector<ConductorRule> unmet() const;
};

// REQUIRES: currents are finite, above 0.
[[nodiscard]] ConductorJudgement judge_conductor(const ConductorCase& conductor, WireSize size);

// Of kWireSizes; empty where none suits: judge the largest to see why.
[[nodiscard]] std::optional<WireSize> smallest_conductor(const ConductorCase& conductor);

struct WireOption {
    ConductorCase conductor;           // the case as this option has it
    std::optional<WireSize> smallest;  // empty: none suits
};

// The same circuit in cable of the code's household kind (nm_b; nmd90 with terminals not marked for 75 °C)
// and in a 75 °C method with terminals marked 75 °C (the case's own wiring where it can, otherwise other_75),
// each in copper and aluminium: four, in that order.
[[nodiscard]] std::vector<WireOption> wire_options(const ConductorCase& conductor);

}  // namespace lullwatt::circuit
