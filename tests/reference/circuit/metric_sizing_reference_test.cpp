// Whole examples of cable sizing, printed and by hand.
#include "core/circuit/metric_sizing.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

namespace {

CableCase point(double current, const CableKind& kind, const Surroundings& around = {}) {
    return {.design_current = Amps(current),
            .device = {DeviceType::breaker, Amps(current)},
            .kind = kind,
            .surroundings = around};
}

std::optional<SquareMillimetres> smallest(const CableCase& cable) {
    const MetricSupply supply{cable.kind.phases, Volts(230), Volts(400)};
    return smallest_cable({.cable = cable, .supply = supply, .length = Metres(5)}).smallest;
}

double needed(const CableJudgement& judged) {
    return judged.find(CableRule::tabulated_at_least)->current.count();
}

}  // namespace

// "Basic Electrical Installation Work" pp. 300-301 (copy at zdroje.elektrika.cz), 17th edition: a shower of 6
// kW in a loft of 35 °C, insulation touching one side, which it reads in the column of method A. The run's
// length is not legible.
TEST_CASE("6 kW in a hot loft needs 10 mm², for 34.04 A are more than 34", "[check:loft-6-kw]") {
    CableCase cable =
        point(32, {CableTable::bs_4d1a, CableMethod::A, Phases::single}, {.ambient = Celsius(35)});
    cable.design_current = Amps(6000.0 / 230);
    CHECK(cable.design_current.count() == Approx(26.09).margin(0.005));
    const auto six = judge_cable(cable, SquareMillimetres(6));
    CHECK(needed(six) == Approx(34.04).margin(0.005));
    CHECK_FALSE(six.suits());
    const auto ten = judge_cable(cable, SquareMillimetres(10));
    CHECK(ten.suits());
    CHECK(ten.tabulated->current == Amps(46));
    CHECK(smallest(cable) == SquareMillimetres(10));
    CHECK(tabulated_drop(Insulation::pvc_70, Phases::single, SquareMillimetres(10))->value ==
          MilliohmsPerMetre(4.4));
    for (const CableMethod better : {CableMethod::B, CableMethod::C}) {  // trunking, clipped direct
        cable.kind.method = better;
        CHECK(judge_cable(cable, SquareMillimetres(6)).suits());
    }
}

// A page (address not kept) with Ca 0.87 (40 °C) and Cg 0.80 (two circuits) asks for 46 A and calls 6 mm² of
// 47 A "insufficient". It is not: 32 / 0.87 / 0.80 = 45.98 A, which 47 A covers; the page's conclusion is
// wrong.
TEST_CASE("45.98 A are within 47 A, whatever a page concludes", "[check:refuted-6-mm2]") {
    const CableCase cable = point(32, {CableTable::bs_4d5, CableMethod::C, Phases::single},
                                  {.ambient = Celsius(40), .circuits = 2});
    const auto judged = judge_cable(cable, SquareMillimetres(6));
    CHECK(needed(judged) == Approx(45.98).margin(0.005));
    CHECK(judged.tabulated->current == Amps(47));
    CHECK(judged.suits());
    CHECK(smallest(cable) == SquareMillimetres(6));
}

// By hand from the tables: two circuits bunched at 35 °C.
TEST_CASE("32 A beside another circuit at 35 °C needs 42.55 A", "[check:bunched-32-a]") {
    const auto cable = [](CableTable table, CableMethod method) {
        return point(32, {table, method, Phases::single}, {.ambient = Celsius(35), .circuits = 2});
    };
    const auto clipped = judge_cable(cable(CableTable::bs_4d5, CableMethod::C), SquareMillimetres(6));
    CHECK(needed(clipped) == Approx(42.55).margin(0.005));
    CHECK(clipped.suits());
    CHECK(smallest(cable(CableTable::bs_4d5, CableMethod::C)) == SquareMillimetres(6));
    CHECK(smallest(cable(CableTable::iec_pvc, CableMethod::B1)) == SquareMillimetres(10));
    CHECK(smallest(cable(CableTable::iec_pvc, CableMethod::B2)) == SquareMillimetres(10));
}

// By hand from the tables: three-phase points in an insulated wall.
TEST_CASE("22 kW in an insulated wall takes 10 mm², 11 kW 2.5 mm²", "[check:wall-22-kw]") {
    const CableKind in_wall{CableTable::iec_pvc, CableMethod::A2, Phases::three};
    const auto six = judge_cable(point(32, in_wall), SquareMillimetres(6));
    CHECK_FALSE(six.suits());
    CHECK(six.capacity == Amps(29));
    CHECK(judge_cable(point(32, in_wall), SquareMillimetres(10)).capacity == Amps(39));
    CHECK(smallest(point(32, in_wall)) == SquareMillimetres(10));
    CHECK(smallest(point(16, in_wall)) == SquareMillimetres(2.5));
    CHECK(judge_cable(point(16, in_wall), SquareMillimetres(2.5)).capacity == Amps(17.5));
}

// IEC 60364-4-43 cl. 433.1; squotipedia.co.uk (BS 7671 wiring requirements): a point of 32 A on a device of
// 32 A is usual.
TEST_CASE("a point of 32 A on a device of 32 A is accepted", "[check:point-on-its-own-rating]") {
    const auto judged =
        judge_cable(point(32, {CableTable::bs_4d5, CableMethod::C, Phases::single}), SquareMillimetres(6));
    CHECK(judged.suits());
    CHECK(judged.rules.size() == 4);
}
