// What a copper cable of 1.5 to 35 mm² may carry by IEC 60364-5-52 or BS 7671, and whether it suits its
// device.
//
// Plain values and pure functions; call from any thread. Tables: IEC 60364-5-52:2009 B.52.2-B.52.5 and
// B.52.14-B.52.20, BS 7671 Appendix 4, as pages and catalogues print them (docs/checks.md); every figure says
// how well it is attested. Beyond a table nothing is guessed: it is a lack, and the figure is entered
// instead.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>
#include <variant>
#include <vector>

#include "core/circuit/metric_rating.hpp"
#include "core/circuit/metric_units.hpp"

namespace lullwatt::circuit {

inline constexpr std::array<SquareMillimetres, 8> kCableSizes{
    SquareMillimetres(1.5), SquareMillimetres(2.5), SquareMillimetres(4),  SquareMillimetres(6),
    SquareMillimetres(10),  SquareMillimetres(16),  SquareMillimetres(25), SquareMillimetres(35)};

enum class CableTable : std::uint8_t {
    iec_pvc,   // IEC 60364-5-52:2009 B.52.2 and B.52.4
    iec_xlpe,  // B.52.3 and B.52.5, conductor at 90 °C
    bs_4d1a,   // BS 7671: single-core PVC
    bs_4e1a,   // single-core at 90 °C
    bs_4d5,    // flat twin and earth, PVC, single-phase
    bs_4e4a,   // armoured, at 90 °C
};

// How the cable lies. IEC has A1 to D2, BS 7671 A to E and the numbered ones for flat cable.
enum class CableMethod : std::uint8_t {
    A,     // BS: in conduit in an insulating wall
    A1,    // IEC: the same, single-core
    A2,    // IEC: the same, one cable
    B,     // BS: in conduit or trunking on a wall
    B1,    // IEC: the same, single-core
    B2,    // IEC: the same, one cable
    C,     // clipped direct
    D,     // BS: in the ground. IEC's own D is of the edition of 2001 and refused: its figures are others
    D1,    // IEC: in a duct in the ground
    D2,    // IEC: direct in the ground
    E,     // BS: free air or perforated tray
    m100,  // BS, flat cable in ceilings and stud walls, as the next two: known from memory only, refused
    m101,
    m102,
    m103,  // BS, flat cable in a stud wall, insulation touching both its sides
};

struct CableKind {
    CableTable table = CableTable::iec_pvc;
    CableMethod method = CableMethod::C;
    Phases phases = Phases::single;
    friend constexpr bool operator==(const CableKind&, const CableKind&) = default;
};

[[nodiscard]] Insulation insulation(CableTable table);

// Why a table gives no figure.
enum class CableLack : std::uint8_t {
    method_not_in_table,
    method_of_old_edition,  // D with an IEC table
    method_from_memory,     // of flat cable: no page was found that prints it
    phases_not_in_table,    // three-phase flat cable
    size_not_in_table,
    hotter_than_table,
    circuits_beyond_table,
    laying_not_of_method,       // a grouping that cannot be with this method
    soil_beyond_table,          // drier than 3 K·m/W
    factor_out_of_range,        // an entered factor not above 0 and at most 1
    operating_current_missing,  // I2 of a device of another standard
};

struct TabulatedCurrent {
    Amps current;  // It: one circuit, air 30 °C, ground 20 °C, soil 2.5 K·m/W
    Evidence evidence = Evidence::one_source;
    std::string_view table;  // "IEC 60364-5-52:2009 B.52.2"
};

[[nodiscard]] std::variant<TabulatedCurrent, CableLack> tabulated_current(const CableKind& kind,
                                                                          SquareMillimetres size);

// How circuits lie together; it must be one of the method's own.
enum class Grouping : std::uint8_t {
    enclosed,           // bunched in air, on a surface, embedded or enclosed: A to C, E and m103
    single_layer_wall,  // C
    single_layer_tray,  // E, perforated
    direct_in_ground,   // D, D2; touching
    ducts_in_ground,    // D, D1; single-way, touching
};

struct Surroundings {
    Celsius ambient{30};  // of the air, or of the ground where the cable lies in it
    Grouping grouping = Grouping::enclosed;
    int circuits = 1;     // that lie together, this one among them. REQUIRES: 1 or more
    bool spaced = false;  // a single layer with more than two diameters between cables: no factor
    std::optional<KelvinMetresPerWatt> soil = {};  // only in the ground; empty: the tables' 2.5
    double thermal_insulation = 1;                 // Ci, entered
    double other = 1;                              // Cc, such as for a rewirable fuse; entered
};

enum class FactorKind : std::uint8_t { ambient, grouping, soil, thermal_insulation, other };

struct CableFactor {
    FactorKind kind = FactorKind::ambient;
    double value = 1;
    std::optional<Evidence> evidence = {};  // empty: entered, not tabulated
};

// Factors of the surroundings, in the order of FactorKind; soil only in the ground. Between two rows of a
// table the one that allows less holds: the hotter place, the larger group, the drier soil; nothing is
// interpolated. BS 7671 gives less at 25 °C than IEC, and below 25 °C no more than there.
struct CableFactors {
    std::vector<CableFactor> factors;
    std::vector<CableLack> lacks;
    [[nodiscard]] double product() const;  // 1 without factors
};
[[nodiscard]] CableFactors cable_factors(const CableKind& kind, const Surroundings& surroundings);

// A capacity from the installer's sheet.
struct EnteredCapacity {
    Amps current;
    bool corrected = true;  // Iz, for these surroundings; false: It, to be multiplied by the factors
};

struct CableCase {
    Amps design_current;  // Ib: the point's rated current; by IEC nothing is added for its lasting hours
    OverloadDevice device;
    CableKind kind;
    Surroundings surroundings;
    std::optional<EnteredCapacity> capacity = {};  // in place of the table's
};

// In the order in which they are judged.
enum class CableRule : std::uint8_t {
    design_within_device,     // Ib <= In
    device_within_capacity,   // In <= Iz
    tabulated_at_least,       // In / (Ca Cg Cs Ci Cc) <= It: the same seen from the table, absent without one
    operates_within_overload  // I2 <= 1.45 Iz
};

struct RuleOutcome {
    CableRule rule = CableRule::design_within_device;
    Amps current;  // left of the sign
    Amps limit;    // right of it; unrounded, and compared so
    bool met = false;
};

struct CableJudgement {
    SquareMillimetres size;
    std::optional<TabulatedCurrent> tabulated;  // empty where entered or lacking
    std::vector<CableFactor> factors;           // none with an entered Iz
    std::optional<Amps> capacity;               // Iz
    std::vector<RuleOutcome> rules;             // all that could be judged
    std::vector<CableLack> lacks;               // why one could not
    bool standard_rating = true;                // false: no rating of the device's standard; a caution only

    [[nodiscard]] bool suits() const;                        // no lack, and every rule met
    [[nodiscard]] const RuleOutcome* find(CableRule) const;  // null where not judged
};

// IEC 60364-4-43 cl. 433.1, BS 7671 cl. 433.1 and Appendix 4. REQUIRES: currents are finite, above 0.
[[nodiscard]] CableJudgement judge_cable(const CableCase& cable, SquareMillimetres size);

}  // namespace lullwatt::circuit
