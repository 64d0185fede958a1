// Conductors of cars' circuits as printed, and where a print does not follow from its own tables.
#include <algorithm>

#include "core/circuit/conductor.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;
using enum WireSize;

namespace {

ConductorCase circuit_of(double equipment, double device, Metal metal, Terminals terminals) {
    return {.continuous = Amps(equipment),
            .device = Amps(device),
            .metal = metal,
            .wiring = Wiring::other_75,
            .terminals = terminals};
}
std::optional<WireSize> smallest(double equipment, double device, Metal metal,
                                 Terminals terminals = Terminals::marked_75) {
    return smallest_conductor(circuit_of(equipment, device, metal, terminals));
}

}  // namespace

// 48 A: wireref.com (circuit sizes), forums.mikeholt.com/threads/ev-charger.2572317 and a trade page. 32 A
// and 60 A copper, 60 A aluminium: wireref.com and the trade page. 40 and 80 A follow from NEC 310.16.
TEST_CASE("conductors of cars' circuits at 75 °C are those printed", "[check:nec-car-circuits]") {
    using enum Metal;
    CHECK(smallest(32, 40, copper) == awg8);
    CHECK(smallest(40, 50, copper) == awg8);
    CHECK(smallest(40, 50, aluminium) == awg6);
    CHECK(smallest(48, 60, copper) == awg6);
    CHECK(smallest(48, 60, aluminium) == awg4);
    CHECK(smallest(60, 80, copper) == awg4);
    CHECK(smallest(80, 100, copper) == awg3);
    CHECK(smallest(80, 100, aluminium) == awg1);
}

// The same pages print 6 AWG aluminium for 32 A and 2 AWG for 60 A in a 75 °C column.
TEST_CASE("two printed aluminium sizes are larger than the 75 °C column asks",
          "[check:nec-car-circuits-larger]") {
    using enum Metal;
    SECTION("32 A: 8 AWG carries 40 A at 75 °C; the printed 6 AWG is the 60 °C column's") {
        CHECK(smallest(32, 40, aluminium) == awg8);
        CHECK(smallest(32, 40, aluminium, Terminals::unmarked) == awg6);
        CHECK(judge_conductor(circuit_of(32, 40, aluminium, Terminals::marked_75), awg6).suits());
    }
    SECTION("60 A: 3 AWG carries the 75 A asked, and 80 A is its next size up; 2 AWG needs none") {
        CHECK(smallest(60, 80, aluminium) == awg3);
        CHECK(judge_conductor(circuit_of(60, 80, aluminium, Terminals::marked_75), awg3).rounded_up);
        const auto printed = judge_conductor(circuit_of(60, 80, aluminium, Terminals::marked_75), awg2);
        CHECK(printed.suits());
        CHECK_FALSE(printed.rounded_up);
    }
}

// 334.80 and 210.19: forums.mikeholt.com/threads/ev-charger.2572317 and a second discussion. 8 AWG NM-B 40 A
// against 50 A in conduit: diy.stackexchange.com/questions/169297.
TEST_CASE("cable held to 60 °C needs a larger conductor", "[check:nm-b-60]") {
    ConductorCase cable{.continuous = Amps(48), .device = Amps(60)};
    CHECK(smallest_conductor(cable) == awg4);
    const auto refused = judge_conductor(cable, awg6);
    CHECK(refused.unmet() == std::vector{ConductorRule::before_correction});
    CHECK(refused.tabulated->ampacity == Amps(55));
    cable.terminals = Terminals::marked_75;
    CHECK(judge_conductor(cable, awg8).tabulated->ampacity == Amps(40));
    cable.wiring = Wiring::thhn_in_raceway;
    CHECK(judge_conductor(cable, awg8).tabulated->ampacity == Amps(50));
}

// voltagelab.com and tradehub.tools (nine of 12 AWG THHN); wiresizes.com (12 AWG at 75 °C and 40 °C).
TEST_CASE("a judged conductor is derated as printed", "[check:derated-conductors]") {
    ConductorCase many{.continuous = Amps(16),
                       .device = Amps(20),
                       .wiring = Wiring::thhn_in_raceway,
                       .terminals = Terminals::marked_75,
                       .conductors = 9};
    CHECK(judge_conductor(many, awg12).corrected->count() == Approx(21));
    const ConductorCase hot{.continuous = Amps(16),
                            .device = Amps(20),
                            .wiring = Wiring::other_75,
                            .terminals = Terminals::marked_75,
                            .ambient = Celsius(40)};
    CHECK(judge_conductor(hot, awg12).corrected->count() == Approx(22));
}

// C22.1 8-104(6), 4-006: a copy of its section 8 (2021/2024 wording) and the transcription of C22.1:24;
// 40 A behind 50 A: sparkshift.app, section 86. Sizes worked by hand from table 2.
TEST_CASE("Canadian circuits of cars have the column of their terminals", "[check:cec-car-circuits]") {
    struct Row {
        double equipment, device;
        WireSize unmarked, marked;
    };
    for (const Row row : {Row{32, 40, awg8, awg8}, Row{40, 50, awg6, awg8}, Row{48, 60, awg4, awg6}}) {
        INFO(row.equipment << " A");
        ConductorCase circuit{.code = Code::cec,
                              .edition = 2024,
                              .continuous = Amps(row.equipment),
                              .device = Amps(row.device),
                              .wiring = Wiring::nmd90};
        CHECK(smallest_conductor(circuit) == row.unmarked);
        circuit.terminals = Terminals::marked_75;
        CHECK(smallest_conductor(circuit) == row.marked);
    }
}

// 334.104, from memory.
TEST_CASE("NM-B is made of 14 to 2 AWG copper and 12 to 2 AWG aluminium", "[check:nm-b-sizes]") {
    const auto made = [](Metal metal, WireSize size) {
        ConductorCase cable{.continuous = Amps(1), .device = Amps(15), .metal = metal};
        const auto lacks = judge_conductor(cable, size).lacks;
        return std::find(lacks.begin(), lacks.end(), ConductorLack::size_not_of_cable) == lacks.end();
    };
    CHECK(made(Metal::copper, awg14));
    CHECK(made(Metal::copper, awg2));
    CHECK_FALSE(made(Metal::copper, awg1));
    CHECK_FALSE(made(Metal::aluminium, awg14));
    CHECK(made(Metal::aluminium, awg12));
    CHECK_FALSE(made(Metal::aluminium, awg1_0));
}
