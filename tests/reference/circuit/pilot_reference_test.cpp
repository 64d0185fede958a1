// The pilot's duty cycles as test instruments' tables print them.
#include <sstream>

#include "core/circuit/pilot.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

// IEC 61851-1:2017 Annex A in the copies of two makers of test instruments and one of automation;
// SAE J1772 (2017-10) p. 17 agrees from 10 to 96 %.
TEST_CASE("a duty cycle reads as the printed tables say", "[check:pilot-duty-to-current]") {
    struct Row {
        double duty, amps;
    };
    for (const Row row : {Row{10, 6}, Row{16, 9.6}, Row{25, 15}, Row{50, 30}, Row{85, 51}, Row{86, 55},
                          Row{90, 65}, Row{95, 77.5}, Row{96, 80}}) {
        INFO(row.duty << " %");
        for (const auto standard : {PilotStandard::iec_61851_1, PilotStandard::sae_j1772}) {
            CHECK(pilot_reading(Percent(row.duty), standard).current.count() ==
                  Approx(row.amps).epsilon(1e-12));
        }
    }
}

// The other way, D = I/0.6 up to 51 A and I/2.5 + 64 above: the formulas of the same tables, to their two
// decimals.
TEST_CASE("a current is sent as the printed tables say", "[check:pilot-current-to-duty]") {
    std::istringstream amps("6 8 10 12 13 15 16 20 24 30 32 40 48 51 60 64 72 80");
    std::istringstream duties(
        "10 13.33 16.67 20 21.67 25 26.67 33.33 40 50 53.33 66.67 80 85 88 89.6 92.8 96");
    int rows = 0;
    for (double current = 0, duty = 0; amps >> current && duties >> duty; ++rows) {
        INFO(current << " A");
        const auto signal = pilot_signal(Amps(current));
        REQUIRE(signal);
        CHECK(signal->duty.count() == Approx(duty).margin(0.005));
        CHECK(signal->current == Amps(current));
        CHECK(pilot_reading(signal->duty).current.count() == Approx(current));
    }
    CHECK(rows == 18);
}

// Type 2 plugs: exallievi.itispaleocapa.it (school journal, 2012), and a published sequence diagram of the
// pilot.
TEST_CASE("a cable's resistor reads as printed", "[check:cable-coding]") {
    CHECK(cable_rating(Ohms(1500)) == Amps(13));
    CHECK(cable_rating(Ohms(680)) == Amps(20));
    CHECK(cable_rating(Ohms(220)) == Amps(32));
    CHECK(cable_rating(Ohms(100)) == Amps(63));
}
