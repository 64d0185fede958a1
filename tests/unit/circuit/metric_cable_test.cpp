#include "core/circuit/metric_cable.hpp"

#include <algorithm>

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

namespace {

constexpr CableKind kFlatClipped{CableTable::bs_4d5, CableMethod::C, Phases::single};
constexpr CableKind kInWall{CableTable::iec_pvc, CableMethod::A1, Phases::single};

// A 32 A point behind a 32 A breaker.
CableCase point_32(const CableKind& kind, const Surroundings& around = {}) {
    return {.design_current = Amps(32),
            .device = {DeviceType::breaker, Amps(32)},
            .kind = kind,
            .surroundings = around};
}

bool lacks(const CableJudgement& judged, CableLack lack) {
    return std::ranges::find(judged.lacks, lack) != judged.lacks.end();
}

CableLack lack(const CableKind& kind, double size) {
    return std::get<CableLack>(tabulated_current(kind, SquareMillimetres(size)));
}

double factor(const CableFactors& factors, FactorKind kind) {
    const auto at = std::ranges::find(factors.factors, kind, &CableFactor::kind);
    return at == factors.factors.end() ? -1 : at->value;
}

}  // namespace

TEST_CASE("a 32 A point on a 32 A device is accepted: nothing is added for its lasting hours") {
    const auto judged = judge_cable(point_32(kFlatClipped), SquareMillimetres(4));
    CHECK(judged.suits());
    CHECK(judged.standard_rating);
    CHECK(judged.capacity == Amps(37));
    CHECK(judged.tabulated->table == "BS 7671 4D5");
    REQUIRE(judged.find(CableRule::design_within_device));
    CHECK(judged.find(CableRule::design_within_device)->limit == Amps(32));
}

TEST_CASE("each unmet rule is named with both its figures") {
    SECTION("the point draws more than its device carries") {
        CableCase cable = point_32(kFlatClipped);
        cable.device.rating = Amps(25);
        const auto judged = judge_cable(cable, SquareMillimetres(6));
        CHECK_FALSE(judged.suits());
        const auto* rule = judged.find(CableRule::design_within_device);
        REQUIRE(rule);
        CHECK_FALSE(rule->met);
        CHECK(rule->current == Amps(32));
        CHECK(rule->limit == Amps(25));
        CHECK(judged.find(CableRule::device_within_capacity)->met);
    }
    SECTION("the device lets through more than the cable carries, by a hair") {
        const auto judged = judge_cable(point_32(kInWall, {.ambient = Celsius(35)}), SquareMillimetres(6));
        CHECK_FALSE(judged.suits());
        const auto* rule = judged.find(CableRule::tabulated_at_least);
        REQUIRE(rule);
        CHECK_FALSE(rule->met);
        CHECK(rule->current.count() == Approx(34.04).margin(0.005));
        CHECK(rule->limit == Amps(34));
        CHECK_FALSE(judged.find(CableRule::device_within_capacity)->met);
    }
    SECTION("a fuse operates too late for a cable that suits a breaker") {
        CableCase cable = point_32(kInWall);
        CHECK(judge_cable(cable, SquareMillimetres(6)).suits());
        cable.device.type = DeviceType::fuse_gg;
        const auto judged = judge_cable(cable, SquareMillimetres(6));
        CHECK_FALSE(judged.suits());
        CHECK(judged.find(CableRule::device_within_capacity)->met);
        const auto* rule = judged.find(CableRule::operates_within_overload);
        REQUIRE(rule);
        CHECK_FALSE(rule->met);
        CHECK(rule->current.count() == Approx(1.45 * 35.2));
        CHECK(rule->limit.count() == Approx(1.45 * 34));
    }
}

TEST_CASE("figures that are equal in decimals are equal") {
    // 20 A / 0.80 = 25 A, which 4 mm² carries in method A2; in binary the quotient may lie above.
    CableCase cable = point_32({CableTable::iec_pvc, CableMethod::A2, Phases::single}, {.circuits = 2});
    cable.design_current = cable.device.rating = Amps(20);
    CHECK(judge_cable(cable, SquareMillimetres(4)).suits());
    cable.kind.method = CableMethod::B2;  // 0.94 × 0.80 × 38 = 28.576
    cable.surroundings.ambient = Celsius(35);
    cable.device = {DeviceType::other, Amps(28.577), Amps(30)};
    CHECK_FALSE(judge_cable(cable, SquareMillimetres(6)).suits());
    cable.device.rating = Amps(28.576);
    CHECK(judge_cable(cable, SquareMillimetres(6)).suits());
}

TEST_CASE("what a table does not have is refused with the reason") {
    using enum CableMethod;
    CHECK(lack({CableTable::iec_pvc, D, Phases::single}, 6) == CableLack::method_of_old_edition);
    CHECK(lack({CableTable::iec_xlpe, D, Phases::three}, 6) == CableLack::method_of_old_edition);
    CHECK(lack({CableTable::iec_pvc, B, Phases::single}, 6) == CableLack::method_not_in_table);
    CHECK(lack({CableTable::bs_4d1a, A1, Phases::single}, 6) == CableLack::method_not_in_table);
    CHECK(lack({CableTable::bs_4d5, B, Phases::single}, 6) == CableLack::method_not_in_table);
    CHECK(lack({CableTable::bs_4d5, C, Phases::three}, 6) == CableLack::phases_not_in_table);
    CHECK(lack(kFlatClipped, 25) == CableLack::size_not_in_table);
    CHECK(lack(kFlatClipped, 7) == CableLack::size_not_in_table);
    CHECK(lack({CableTable::bs_4d5, m103, Phases::single}, 2.5) == CableLack::size_not_in_table);
}

TEST_CASE("figures of flat cable known from memory only are refused") {
    using enum CableMethod;
    for (const CableMethod method : {m100, m101, m102, A}) {
        for (const SquareMillimetres size : kCableSizes) {
            CHECK(lack({CableTable::bs_4d5, method, Phases::single}, size.count()) ==
                  CableLack::method_from_memory);
        }
    }
    const auto judged =
        judge_cable(point_32({CableTable::bs_4d5, m100, Phases::single}), SquareMillimetres(6));
    CHECK_FALSE(judged.suits());
    CHECK(lacks(judged, CableLack::method_from_memory));
    CHECK_FALSE(judged.capacity);
}

TEST_CASE("a capacity from the installer's sheet stands in for the table's") {
    CableCase cable =
        point_32({CableTable::bs_4d5, CableMethod::m100, Phases::single}, {.ambient = Celsius(35)});
    SECTION("Iz as it is") {
        cable.capacity = EnteredCapacity{Amps(33)};
        const auto judged = judge_cable(cable, SquareMillimetres(6));
        CHECK(judged.suits());
        CHECK(judged.capacity == Amps(33));
        CHECK(judged.factors.empty());
        CHECK_FALSE(judged.tabulated);
        CHECK_FALSE(judged.find(CableRule::tabulated_at_least));
    }
    SECTION("It corrected for the surroundings") {
        cable.capacity = EnteredCapacity{Amps(34), false};
        const auto judged = judge_cable(cable, SquareMillimetres(6));
        CHECK(judged.capacity->count() == Approx(0.94 * 34));
        CHECK_FALSE(judged.suits());
    }
}

TEST_CASE("between rows of a table the less favourable one holds") {
    const auto ambient = [](double celsius, const CableKind& kind = kInWall) {
        return factor(cable_factors(kind, {.ambient = Celsius(celsius)}), FactorKind::ambient);
    };
    CHECK(ambient(30.1) == 0.94);
    CHECK(ambient(35) == 0.94);
    CHECK(ambient(-20) == 1.22);
    CHECK(ambient(-20, kFlatClipped) == 1.03);
    CHECK(ambient(25.5, kFlatClipped) == 1.00);
    const auto bunched = [](int circuits) {
        return factor(cable_factors(kInWall, {.circuits = circuits}), FactorKind::grouping);
    };
    CHECK(bunched(10) == 0.45);
    CHECK(bunched(13) == 0.41);
    const CableKind buried{CableTable::iec_pvc, CableMethod::D2, Phases::single};
    const auto soil = [&](double resistivity) {
        const Surroundings around{.ambient = Celsius(20),
                                  .grouping = Grouping::direct_in_ground,
                                  .soil = KelvinMetresPerWatt(resistivity)};
        return factor(cable_factors(buried, around), FactorKind::soil);
    };
    CHECK(soil(0.2) == 1.88);
    CHECK(soil(1.1) == 1.28);
    CHECK(soil(2.6) == 0.90);
}

TEST_CASE("beyond a table's end there is no factor") {
    const auto lacking = [](const CableKind& kind, const Surroundings& around) {
        const auto lacks = cable_factors(kind, around).lacks;
        REQUIRE(lacks.size() == 1);
        CHECK_FALSE(judge_cable(point_32(kind, around), SquareMillimetres(35)).suits());
        return lacks.front();
    };
    const CableKind buried{CableTable::iec_xlpe, CableMethod::D1, Phases::single};
    const CableKind tray{CableTable::bs_4e4a, CableMethod::E, Phases::single};
    CHECK(lacking(kInWall, {.ambient = Celsius(61)}) == CableLack::hotter_than_table);
    CHECK(lacking(kInWall, {.circuits = 21}) == CableLack::circuits_beyond_table);
    CHECK(lacking(tray, {.grouping = Grouping::single_layer_tray, .circuits = 10}) ==
          CableLack::circuits_beyond_table);
    CHECK(lacking(buried, {.grouping = Grouping::ducts_in_ground, .soil = KelvinMetresPerWatt(3.5)}) ==
          CableLack::soil_beyond_table);
    CHECK(lacking(kInWall, {.thermal_insulation = 0}) == CableLack::factor_out_of_range);
    CHECK(lacking(kInWall, {.thermal_insulation = 1.1}) == CableLack::factor_out_of_range);
    CHECK(lacking(kInWall, {.other = -0.5}) == CableLack::factor_out_of_range);
}

TEST_CASE("a grouping must be one of the method's own") {
    const auto contradicts = [](CableTable table, CableMethod method, Grouping grouping) {
        const auto lacks = cable_factors({table, method, Phases::single}, {.grouping = grouping}).lacks;
        return lacks == std::vector{CableLack::laying_not_of_method};
    };
    CHECK(contradicts(CableTable::iec_pvc, CableMethod::A1, Grouping::single_layer_wall));
    CHECK(contradicts(CableTable::iec_pvc, CableMethod::C, Grouping::single_layer_tray));
    CHECK(contradicts(CableTable::iec_pvc, CableMethod::C, Grouping::direct_in_ground));
    CHECK(contradicts(CableTable::iec_pvc, CableMethod::D1, Grouping::direct_in_ground));
    CHECK(contradicts(CableTable::iec_pvc, CableMethod::D2, Grouping::ducts_in_ground));
    CHECK(contradicts(CableTable::iec_pvc, CableMethod::D2, Grouping::enclosed));
    CHECK_FALSE(contradicts(CableTable::iec_pvc, CableMethod::C, Grouping::single_layer_wall));
    CHECK_FALSE(contradicts(CableTable::bs_4e4a, CableMethod::E, Grouping::single_layer_tray));
    CHECK_FALSE(contradicts(CableTable::bs_4e4a, CableMethod::D, Grouping::ducts_in_ground));
    CHECK_FALSE(contradicts(CableTable::bs_4e4a, CableMethod::D, Grouping::direct_in_ground));
}

TEST_CASE("cables more than two diameters apart in a single layer are not grouped, bunched ones always") {
    const CableKind clipped{CableTable::iec_pvc, CableMethod::C, Phases::single};
    Surroundings around{.grouping = Grouping::single_layer_wall, .circuits = 5, .spaced = true};
    CHECK(factor(cable_factors(clipped, around), FactorKind::grouping) == 1.0);
    around.grouping = Grouping::enclosed;
    CHECK(factor(cable_factors(clipped, around), FactorKind::grouping) == 0.60);
}

TEST_CASE("a rating that no standard device has is told, an unknown operating current is a lack") {
    CableCase cable = point_32(kFlatClipped);
    cable.design_current = Amps(30);
    cable.device.rating = Amps(30);
    CHECK_FALSE(judge_cable(cable, SquareMillimetres(6)).standard_rating);
    CHECK(judge_cable(cable, SquareMillimetres(6)).suits());
    cable.device.type = DeviceType::other;
    const auto judged = judge_cable(cable, SquareMillimetres(6));
    CHECK(judged.standard_rating);
    CHECK(lacks(judged, CableLack::operating_current_missing));
    CHECK_FALSE(judged.suits());
}

TEST_CASE("figures say how well they are attested") {
    const auto evidence = [](CableTable table, CableMethod method, double size) {
        const auto found = tabulated_current({table, method, Phases::single}, SquareMillimetres(size));
        return std::get<TabulatedCurrent>(found).evidence;
    };
    CHECK(evidence(CableTable::iec_pvc, CableMethod::C, 6) == Evidence::two_sources);
    CHECK(evidence(CableTable::iec_pvc, CableMethod::A1, 1.5) == Evidence::disputed);
    CHECK(evidence(CableTable::iec_pvc, CableMethod::D1, 6) == Evidence::one_source);
    CHECK(evidence(CableTable::iec_xlpe, CableMethod::D2, 35) == Evidence::one_source);
    CHECK(evidence(CableTable::bs_4d1a, CableMethod::A, 6) == Evidence::one_source);
    CHECK(evidence(CableTable::bs_4d1a, CableMethod::A, 25) == Evidence::two_sources);
    CHECK(evidence(CableTable::bs_4d5, CableMethod::C, 6) == Evidence::two_sources);
    CHECK(evidence(CableTable::bs_4d5, CableMethod::C, 10) == Evidence::disputed);
    CHECK(evidence(CableTable::bs_4d5, CableMethod::m103, 6) == Evidence::one_source);
    CHECK(evidence(CableTable::bs_4e4a, CableMethod::D, 4) == Evidence::disputed);
    CHECK(evidence(CableTable::bs_4e4a, CableMethod::E, 4) == Evidence::two_sources);
}
