#include "core/circuit/diversity.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

namespace {

HouseholdLoad load(HouseholdUse use, double amps, bool with_socket = false) {
    return {.name = "load", .use = use, .current = Amps(amps), .with_socket = with_socket};
}
double total(std::vector<HouseholdLoad> loads) { return household_demand(loads).total.count(); }

}  // namespace

TEST_CASE("each row of the guide counts its loads together") {
    using enum HouseholdUse;
    SECTION("lighting") { CHECK(total({load(lighting, 6), load(lighting, 4)}) == Approx(6.6)); }
    SECTION("heating and power") {
        CHECK(total({load(heating_and_power, 8)}) == Approx(8));
        CHECK(total({load(heating_and_power, 8), load(heating_and_power, 12)}) == Approx(15));
    }
    SECTION("cooking") {
        CHECK(total({load(cooking, 8)}) == Approx(8));
        CHECK(total({load(cooking, 8, true)}) == Approx(13));
        CHECK(total({load(cooking, 8, true), load(cooking, 7, true)}) == Approx(10 + 0.3 * 5 + 2 * 5));
        CHECK(total({load(cooking, 20), load(cooking, 10)}) == Approx(16));
    }
    SECTION("showers") {
        CHECK(total({load(instantaneous_water, 20), load(instantaneous_water, 40),
                     load(instantaneous_water, 30)}) == Approx(75));
    }
    SECTION("no diversity") {
        CHECK(total({load(without_diversity, 13), load(without_diversity, 26)}) == Approx(39));
    }
    SECTION("rings and radials") {
        CHECK(total({load(final_circuit, 20), load(final_circuit, 32), load(final_circuit, 32)}) ==
              Approx(52.8));
    }
    SECTION("other fixed equipment") {
        CHECK(total({load(socket_or_fixed, 5), load(socket_or_fixed, 10)}) == Approx(12));
    }
    SECTION("charging points") {
        CHECK(total({load(charging_point, 32), load(charging_point, 16)}) == Approx(48));
    }
}

TEST_CASE("a sheet names each row's loads and the rule's words, and adds up") {
    const std::vector<HouseholdLoad> loads{{"car", HouseholdUse::charging_point, Amps(32)},
                                           {"upstairs", HouseholdUse::lighting, Amps(6)},
                                           {"downstairs", HouseholdUse::lighting, Amps(6)},
                                           {"shower", HouseholdUse::instantaneous_water, Amps(37)}};
    const auto sheet = household_demand(loads);
    REQUIRE(sheet.lines.size() == 3);
    CHECK(sheet.lines[0].loads == std::vector<std::string>{"upstairs", "downstairs"});
    CHECK(sheet.lines[0].connected == Amps(12));
    CHECK(sheet.lines[0].demand.count() == Approx(7.92));
    CHECK(sheet.lines[0].rule == "66 % of total (On-Site Guide A2)");
    CHECK(sheet.lines[2].rule == "100 % of each point's rated current (BS 7671 722.311)");
    CHECK(sheet.total.count() == Approx(76.92));
    CHECK(household_demand({}).lines.empty());
    CHECK(household_demand({}).total == Amps(0));
}

TEST_CASE("what is left of the main fuse is whole amperes, never rounded up") {
    const auto check = check_main_fuse(Amps(76.92), Amps(80));
    CHECK(check.fits);
    CHECK(check.left == WholeAmps(3));
    CHECK(check_main_fuse(Amps(80), Amps(80)).fits);
    CHECK_FALSE(check_main_fuse(Amps(80.01), Amps(80)).fits);
    CHECK(check_main_fuse(Amps(80.01), Amps(80)).left == WholeAmps(0));
}

TEST_CASE("phases are compared between the most and the least loaded") {
    const auto check = [](double a, double b, double c) {
        return check_unbalance({Amps(a), Amps(b), Amps(c)}, kGermanUnbalance, Volts(230));
    };
    CHECK(check(20, 0, 0).within);
    CHECK(check(20, 0, 0).apparent == VoltAmperes(4600));
    CHECK_FALSE(check(0, 32, 0).within);
    CHECK(check(0, 32, 0).difference == Amps(32));
    CHECK(check(0, 32, 0).most == Amps(20));
    CHECK(check(32, 32, 16).within);
    CHECK_FALSE(check(20.1, 10, 0).within);
}
