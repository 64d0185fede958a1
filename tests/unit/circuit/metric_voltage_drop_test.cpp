#include "core/circuit/metric_voltage_drop.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

namespace {

constexpr MetricSupply kSingle{};
constexpr MetricSupply kThree{Phases::three, Volts(230), Volts(400)};
DropPerMetre per_metre(double value) { return {MilliohmsPerMetre(value), Evidence::one_source}; }

}  // namespace

TEST_CASE("three phases drop between lines, in per cent of 400 V, and heat three conductors") {
    const MetricDrop drop = drop_over(per_metre(3.8), kThree, Metres(20), Amps(32));
    CHECK(drop.drop.count() == Approx(2.432));
    CHECK(drop.percent.count() == Approx(0.608));
    // A conductor of 3.8/√3 mΩ/m: 3 × 32² × 20 m × 2.1939 mΩ/m.
    CHECK(drop.loss.count() == Approx(134.795).epsilon(1e-5));
}

TEST_CASE("a single phase heats both conductors") {
    const MetricDrop drop = drop_over(per_metre(7.3), kSingle, Metres(25), Amps(32));
    CHECK(drop.loss.count() == Approx(32 * 5.84));
}

TEST_CASE("a cable without length or current drops nothing") {
    CHECK(drop_over(per_metre(7.3), kSingle, Metres(0), Amps(32)).drop == Volts(0));
    CHECK(drop_over(per_metre(7.3), kSingle, Metres(25), Amps(0)).loss == Watts(0));
}

TEST_CASE("the formula gives a single phase twice one conductor, and three phases √3 times") {
    const auto single =
        drop_by_formula(ConductorClass::copper, SquareMillimetres(6), kSingle, Metres(25), Amps(32));
    CHECK(single.drop.count() == Approx(6.0));  // 2 × 0.0225 × 25 / 6 × 32
    CHECK(single.loss.count() == Approx(192));
    const auto three =
        drop_by_formula(ConductorClass::copper, SquareMillimetres(10), kThree, Metres(20), Amps(32));
    CHECK(three.drop.count() == Approx(1.44 * 1.7320508));
    CHECK(three.loss.count() == Approx(138.24));
    const auto aluminium =
        drop_by_formula(ConductorClass::aluminium, SquareMillimetres(16), kSingle, Metres(25), Amps(32));
    CHECK(aluminium.drop.count() == Approx(3.6));
}

TEST_CASE("reactance counts only where the power factor is below 1") {
    const auto drop = [](double power_factor) {
        return drop_by_formula(ConductorClass::copper, SquareMillimetres(35), kSingle, Metres(100), Amps(100),
                               power_factor);
    };
    CHECK(drop(1).drop.count() == Approx(2 * 0.0225 * 100 / 35 * 100));
    CHECK(drop(0.8).drop.count() == Approx(2 * 100 * (0.0225 * 100 / 35 * 0.8 + 0.008 * 0.6)));
    CHECK(drop(0.8).loss == drop(1).loss);
}

TEST_CASE("beyond 100 m a little more may drop, never more than 0.5 %") {
    const auto limit = [](double metres) {
        return drop_limit(DropUse::other, SupplyOrigin::public_network, Metres(metres)).count();
    };
    CHECK(limit(0) == 5);
    CHECK(limit(100) == 5);
    CHECK(limit(150) == Approx(5.25));
    CHECK(limit(200) == Approx(5.5));
    CHECK(limit(1000) == Approx(5.5));
}

TEST_CASE("a size that no table has gives nothing") {
    CHECK_FALSE(tabulated_drop(Insulation::pvc_70, Phases::single, SquareMillimetres(5)));
    CHECK_FALSE(tabulated_drop(Insulation::xlpe_90, Phases::single, SquareMillimetres(1)));
    CHECK_FALSE(resistance_at_20(ConductorClass::aluminium, SquareMillimetres(6)));
    CHECK_FALSE(resistance_at_20(ConductorClass::copper_flexible, SquareMillimetres(50)));
    CHECK_FALSE(resistance_at_20(ConductorClass::copper, SquareMillimetres(70)));
}

TEST_CASE("figures of drop say how well they are attested") {
    const auto evidence = [](Insulation insulation, Phases phases, double size) {
        return tabulated_drop(insulation, phases, SquareMillimetres(size))->evidence;
    };
    CHECK(evidence(Insulation::pvc_70, Phases::single, 6) == Evidence::one_source);
    CHECK(evidence(Insulation::pvc_70, Phases::single, 10) == Evidence::two_sources);
    CHECK(evidence(Insulation::pvc_70, Phases::three, 10) == Evidence::one_source);
    CHECK(evidence(Insulation::xlpe_90, Phases::three, 25) == Evidence::two_sources);
}
