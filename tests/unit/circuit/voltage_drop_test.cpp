#include "core/circuit/voltage_drop.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

namespace {

constexpr RunSupply kSingle{Volts(240)};
constexpr RunSupply kThree{Volts(208), Phases::three};

}  // namespace

TEST_CASE("a foot is 0.3048 m") { CHECK(feet(Metres(30.48)).count() == Approx(100)); }

TEST_CASE("single-phase drop and loss are of both conductors") {
    const RunDrop run = run_drop(OhmsPerThousandFeet(0.5), kSingle, Feet(100), Amps(40));
    CHECK(run.drop.count() == Approx(4));  // 2 × 0.05 Ω × 40 A
    CHECK(run.percent.count() == Approx(4 / 2.4));
    CHECK(run.loss.count() == Approx(160));
}

TEST_CASE("three-phase drop is between lines, and the loss of three conductors") {
    const RunDrop run = run_drop(OhmsPerThousandFeet(0.5), kThree, Feet(100), Amps(40));
    CHECK(run.drop.count() == Approx(3.4641).margin(0.0001));
    CHECK(run.percent.count() == Approx(3.4641 / 2.08).margin(0.0001));
    CHECK(run.loss.count() == Approx(240));
    const RunDrop by_k = run_drop_by_k(Metal::copper, WireSize::awg6, kThree, Feet(100), Amps(48));
    CHECK(by_k.drop.count() == Approx(1.7320508 * 12.9 * 48 * 100 / 26'240));
}

TEST_CASE("reactance drops voltage and heats nothing") {
    // 4/0 AWG copper in PVC: Z at 0.85 is larger than R; of 12 AWG smaller. Both lose by R.
    for (const WireSize size : {WireSize::awg4_0, WireSize::awg12}) {
        INFO(name(size));
        const AcImpedance impedance = *ac_impedance(Metal::copper, Conduit::pvc, size);
        const RunDrop run = run_drop(impedance, 0.85, kSingle, Feet(100), Amps(40));
        CHECK(run.drop.count() == Approx(8 * effective_impedance(impedance, 0.85).count()));
        CHECK(run.loss.count() == Approx(320 * impedance.resistance.count()));
    }
}

TEST_CASE("at a power factor of 1 the reactance counts for nothing") {
    const AcImpedance impedance = *ac_impedance(Metal::copper, Conduit::steel, WireSize::awg4_0);
    CHECK(effective_impedance(impedance, 1) == impedance.resistance);
    CHECK(run_drop(impedance, 1, kSingle, Feet(80), Amps(40)).drop ==
          run_drop(impedance.resistance, kSingle, Feet(80), Amps(40)).drop);
}

TEST_CASE("the longest run drops exactly what is allowed") {
    const auto resistance = *dc_resistance(Metal::aluminium, Build::stranded, WireSize::awg4);
    for (const RunSupply& supply : {kSingle, kThree}) {
        const Feet longest = longest_run(resistance, supply, Amps(48), kTotalDrop);
        CHECK(run_drop(resistance, supply, longest, Amps(48)).percent.count() == Approx(5));
    }
}

TEST_CASE("a cooler conductor resists less, a hotter one more") {
    const OhmsPerThousandFeet at_75(0.491);
    CHECK(at_temperature(at_75, Metal::copper, Celsius(75)) == at_75);
    CHECK(at_temperature(at_75, Metal::copper, Celsius(90)).count() == Approx(0.491 * 1.04845));
    CHECK(at_temperature(at_75, Metal::aluminium, Celsius(25)).count() == Approx(0.491 * 0.835));
}

TEST_CASE("what the tables lack is not made up") {
    CHECK_FALSE(dc_resistance(Metal::copper, Build::solid, WireSize::awg6));
    CHECK_FALSE(dc_resistance(Metal::copper, Build::stranded, WireSize::kcmil250));
    CHECK_FALSE(ac_impedance(Metal::aluminium, Conduit::pvc, WireSize::awg14));
    CHECK_FALSE(ac_impedance(Metal::copper, Conduit::steel, WireSize::kcmil250));
}

TEST_CASE("no current or no length drops nothing") {
    CHECK(run_drop(OhmsPerThousandFeet(0.5), kSingle, Feet(0), Amps(40)).drop == Volts(0));
    CHECK(run_drop_by_k(Metal::copper, WireSize::awg6, kSingle, Feet(100), Amps(0)).loss == Watts(0));
}
