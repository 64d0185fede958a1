#include "core/circuit/pilot.hpp"

#include <limits>

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

TEST_CASE("52 A does not exist on the pilot: 51 A is sent") {
    for (const double wanted : {51.0, 51.01, 52.0, 52.5}) {
        INFO(wanted << " A");
        const auto signal = pilot_signal(Amps(wanted));
        REQUIRE(signal);
        CHECK(signal->duty.count() == Approx(85.0));
        CHECK(signal->current == Amps(51));
    }
    CHECK(pilot_signal(Amps(53))->current == Amps(53));
    CHECK(pilot_signal(Amps(53))->duty.count() == Approx(85.2));
}

TEST_CASE("the pilot cannot say less than 6 A nor more than 80 A") {
    CHECK_FALSE(pilot_signal(Amps(5.99)));
    CHECK_FALSE(pilot_signal(Amps(0)));
    CHECK_FALSE(pilot_signal(Amps(-16)));
    CHECK_FALSE(pilot_signal(Amps(std::numeric_limits<double>::quiet_NaN())));
    CHECK(pilot_signal(Amps(100))->current == Amps(80));
    CHECK(pilot_signal(Amps(100))->duty == Percent(96));
}

TEST_CASE("the standards part at the edges of the range, and where one is silent nothing may be drawn") {
    struct Row {
        double duty, iec, sae;
    };
    for (const Row row :
         {Row{7.5, 0, 0}, Row{8, 6, 0}, Row{9, 6, 0}, Row{9.5, 6, 6}, Row{10, 6, 6}, Row{96, 80, 80},
          Row{96.5, 80, 80}, Row{96.6, 80, 0}, Row{97, 80, 0}, Row{97.1, 0, 0}, Row{100, 0, 0}}) {
        INFO(row.duty << " %");
        CHECK(pilot_reading(Percent(row.duty), PilotStandard::iec_61851_1).current.count() ==
              Approx(row.iec));
        CHECK(pilot_reading(Percent(row.duty), PilotStandard::sae_j1772).current.count() == Approx(row.sae));
    }
}

TEST_CASE("a duty cycle of 3 to 7 % asks for digital communication and grants nothing itself") {
    for (const double duty : {3.0, 5.0, 7.0}) {
        CHECK(pilot_reading(Percent(duty)) == PilotReading{PilotMeaning::digital_communication, Amps(0)});
    }
    CHECK(pilot_reading(Percent(2.9)).meaning == PilotMeaning::no_charging);
    CHECK(pilot_reading(Percent(7.1)).meaning == PilotMeaning::no_charging);
}

TEST_CASE("the least of pilot, cable and equipment holds") {
    const PilotReading pilot = pilot_reading(Percent(50));  // 30 A
    const auto limit = [&](std::optional<Amps> cable, double equipment) {
        return effective_limit(pilot, cable, Amps(equipment));
    };
    CHECK(limit(cable_rating(Ohms(680)), 32).current == Amps(20));
    CHECK(limit(cable_rating(Ohms(680)), 32).by == LimitedBy::cable);
    CHECK(limit(cable_rating(Ohms(220)), 16).current == Amps(16));
    CHECK(limit(cable_rating(Ohms(220)), 16).by == LimitedBy::equipment);
    CHECK(limit(std::nullopt, 32).current.count() == Approx(30));
    CHECK(limit(std::nullopt, 32).by == LimitedBy::pilot);
    CHECK(effective_limit(pilot_reading(Percent(100)), Amps(32), Amps(32)).current == Amps(0));
}

TEST_CASE("a resistor that is no coding gives no rating") {
    CHECK_FALSE(cable_rating(Ohms(0)));
    CHECK_FALSE(cable_rating(Ohms(400)));
    CHECK_FALSE(cable_rating(Ohms(5000)));
    CHECK(cable_rating(Ohms(1449)) == Amps(13));
}
