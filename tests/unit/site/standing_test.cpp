#include "core/site/standing.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::site;
using namespace std::chrono_literals;

namespace {

constexpr Legs kBoth{Leg::L1, Leg::L2};

Node node(const char* name, NodeKind kind, std::optional<std::size_t> parent, double rating) {
    return {.name = name, .kind = kind, .parent = parent, .rating = Amps(rating), .legs = kBoth};
}

Point point(const char* name, std::size_t circuit, int setting) {
    return {.name = name, .circuit = circuit, .legs = kBoth, .hard_setting = WholeAmps(setting)};
}

// A service with one circuit and one point on it.
Site one_point(double service, double circuit, int setting) {
    return {.leg_to_neutral = Volts(120),
            .nodes = {node("service", NodeKind::service, {}, service),
                      node("car", NodeKind::circuit, 0, circuit)},
            .points = {point("garage", 1, setting)}};
}

// The house draws the same all day; 8 A more on L1 at 18 h.
SiteLoads house(const Site& site, double amps) {
    SiteLoads loads(site.nodes.size());
    for (LegAmps& hour : loads[0].worst) hour = {Amps(amps), Amps(amps), Amps(0)};
    loads[0].worst[18][0] = Amps(amps + 8);
    return loads;
}

Unattended unattended_of(const Site& site, const SiteLoads& loads) {
    return unattended(site, standing_currents(site, loads));
}

}  // namespace

TEST_CASE("auto standing gives points their minimum in the order of the file while it fits at any hour") {
    Site site = one_point(100, 50, 40);
    site.points.push_back(point("drive", 1, 40));

    SECTION("both fit") {
        const auto standing = standing_currents(site, house(site, 60));
        CHECK(standing[0].current == WholeAmps(6));
        CHECK(standing[1].current == WholeAmps(6));
    }
    SECTION("68 + 8 A of 80 A leave room for neither") {
        const auto standing = standing_currents(site, house(site, 68));
        CHECK(standing[0].current == WholeAmps(0));
        CHECK(standing[1].current == WholeAmps(0));
        REQUIRE(standing[0].excess);
        CHECK(standing[0].excess->would_carry == Amps(82));
        CHECK(standing[0].excess->may_carry == Amps(80));
        CHECK(standing[0].excess->fits == WholeAmps(4));
    }
    SECTION("62 + 8 A leave room for the first alone") {
        const auto standing = standing_currents(site, house(site, 62));
        CHECK(standing[0].current == WholeAmps(6));
        CHECK(standing[1].current == WholeAmps(0));
    }
}

TEST_CASE("a stated standing current is kept and its excess told") {
    Site site = one_point(100, 50, 40);
    site.points[0].standing = WholeAmps(20);
    CHECK(standing_currents(site, house(site, 60))[0].excess->fits == WholeAmps(12));
    site.points[0].standing_beyond_limit = true;
    CHECK_FALSE(standing_currents(site, house(site, 60))[0].excess);
    CHECK(standing_currents(site, house(site, 75))[0].excess);  // 83 + 20 A is above the 100 A rating itself
}

TEST_CASE("when the computer dies the leg sees the lease, then the standing current") {
    // 50 + 8 A of house, a 38 A setting: 96 A for the lease, 64 A afterwards.
    const Site site = one_point(100, 50, 38);
    const SiteLoads loads = house(site, 50);
    const auto moments = worst_moments(site, loads, unattended_of(site, loads));
    CHECK(moments[0].during_lease == Amps(96));
    CHECK(moments[0].afterwards == Amps(64));
    CHECK(moments[1].during_lease == Amps(88));  // L2 lacks the 8 A of 18 h
}

TEST_CASE("a lease never carries a leg past its rating while the house stays within its worst load") {
    const Site site = one_point(60, 60, 48);
    const SiteLoads loads = house(site, 30);
    const auto moments = worst_moments(site, loads, unattended_of(site, loads));
    CHECK(moments[0].during_lease == Amps(60));
}

TEST_CASE("the rating of a node below holds down what the service may see, and the tightest place is named") {
    Site site = one_point(100, 50, 40);
    site.points.push_back(point("drive", 1, 40));
    SiteLoads loads = house(site, 10);
    const auto seen = [&](std::size_t moment) {
        return worst_moments(site, loads, unattended_of(site, loads))[moment];
    };

    SECTION("two leases of 40 A do not both pass a 50 A circuit: 18 + 50 A, not 98 A") {
        CHECK(seen(0).during_lease == Amps(68));
        CHECK(seen(0).afterwards == Amps(30));
    }
    SECTION("the circuit's own load leaves less for them") {
        loads[1].worst[18] = {Amps(15), Amps(0), Amps(0)};
        CHECK(seen(0).during_lease == Amps(60));  // 10 A at other hours + 50 A; at 18 h 18 + 35 A
        CHECK(seen(2).during_lease == Amps(50));
    }
    SECTION("what flows unattended is not held down") {
        site.nodes[1].rating = Amps(10);
        CHECK(seen(0).during_lease == Amps(28));  // 18 + 10 A
        site.points[0].control = Control::by_hand;
        CHECK(seen(0).during_lease == Amps(58));  // 18 + 40 A that nobody lowers
    }
    SECTION("a feeder between them") {
        site.nodes = {node("service", NodeKind::service, {}, 100), node("feeder", NodeKind::feeder, 0, 30),
                      node("car", NodeKind::circuit, 1, 50)};
        for (Point& at : site.points) at.circuit = 2;
        loads = house(site, 10);
        CHECK(seen(0).during_lease == Amps(48));
        CHECK(seen(2).during_lease == Amps(30));
        CHECK(seen(4).during_lease == Amps(30));
    }
    SECTION("100 % of the circuit is tighter than 68 % of the service") {
        const auto place = tightest(site, worst_moments(site, loads, unattended_of(site, loads)));
        REQUIRE(place);
        CHECK(place->node == 1);
        CHECK(place->leg == Leg::L1);
        CHECK(place->during_lease == Amps(50));
    }
}

TEST_CASE("whole amperes of a load round up, of a limit down") {
    CHECK(ceil_amps(Amps(40.1)) == WholeAmps(41));
    CHECK(ceil_amps(Amps(0.8) * 60) == WholeAmps(48));
    CHECK(ceil_amps(Amps(0)) == WholeAmps(0));
    CHECK(floor_amps(Amps(39.9)) == WholeAmps(39));
}

TEST_CASE("a point set by hand is safe only if it fits with the worst load at every hour") {
    Site site = one_point(100, 50, 40);
    site.points[0].control = Control::by_hand;
    const auto excess = [&](double amps) {
        const SiteLoads loads = house(site, amps);
        return unsafe_by_hand(site, 0, loads, unattended_of(site, loads));
    };
    CHECK_FALSE(excess(32));
    REQUIRE(excess(33));
    CHECK(excess(33)->fits == WholeAmps(39));
    CHECK(excess(33)->node == 0);
    CHECK(excess(33)->leg == Leg::L1);
}

TEST_CASE("headroom is the least of setting, limit less forecast, and rating less worst load") {
    const Zone utc = Zone::fixed(0s);
    Site site = one_point(100, 50, 40);
    SiteLoads loads = house(site, 50);
    const Interval span{Instant{0s}, Instant{86400s}};
    loads[0].forecast = {{span, {Amps(20.5), Amps(10), Amps(0)}}};
    const auto at = [&](std::chrono::seconds begin) {
        return ceiling(site, 0, loads, unattended_of(site, loads), utc,
                       {Instant{begin}, Instant{begin + 300s}});
    };

    SECTION("the installer's setting") { CHECK(at(0s).most == WholeAmps(40)); }
    SECTION("the forecast: 80 − 45.5 A is 34 whole amperes") {
        loads[0].forecast[0].amps[0] = Amps(45.5);
        CHECK(at(0s).most == WholeAmps(34));
        CHECK(at(0s).limiter == Limiter::headroom);
        CHECK(at(0s).leg == Leg::L1);
    }
    SECTION("the lease: 100 − 65 A, and only where the hour or a lease into it touches 18 h") {
        loads[0].worst[18][0] = Amps(65);
        CHECK(at(18h).most == WholeAmps(35));
        CHECK(at(18h).limiter == Limiter::lease);
        CHECK(at(17h + 45min).most == WholeAmps(35));
        CHECK(at(17h + 40min).most == WholeAmps(40));
        CHECK(at(19h).most == WholeAmps(40));
    }
    SECTION("never below standing") {
        loads[0].worst[18][0] = Amps(98);
        site.points[0].standing = WholeAmps(8);
        CHECK(at(18h).most == WholeAmps(8));
    }
    SECTION("another point counts with what it draws unattended") {
        site.points.push_back(point("drive", 1, 40));
        CHECK(at(0s).most == WholeAmps(34));  // circuit limit 40 A less 6 A standing
        CHECK(at(0s).node == 1);
    }
    SECTION("a receptacle carries 80 % of its rating") {
        site.points[0].receptacle = Amps(30);
        CHECK(at(0s).most == WholeAmps(24));
        CHECK(at(0s).limiter == Limiter::receptacle);
    }
}

TEST_CASE("one ampere is worth what its legs carry") {
    CHECK(watts_per_ampere(Supply::split_phase, Volts(120), kBoth) == Watts(240));
    CHECK(watts_per_ampere(Supply::split_phase, Volts(120), {Leg::L1}) == Watts(120));
    CHECK(watts_per_ampere(Supply::two_legs_of_208, Volts(120), kBoth) == Watts(208));
    CHECK(watts_per_ampere(Supply::three_phase, Volts(230), {Leg::L1, Leg::L2, Leg::L3}) == Watts(690));
    CHECK(watts_per_ampere(Supply::three_phase, Volts(230), {Leg::L2}) == Watts(230));
    CHECK(watts_per_ampere(Supply::three_phase, Volts(230), kBoth) == Watts(460));
    CHECK(watts_per_ampere(Supply::three_phase, Volts(120), kBoth) == Watts(208));
}

TEST_CASE("a car loads both legs of a pair, else as many as it and the point have") {
    const Legs all{Leg::L1, Leg::L2, Leg::L3};
    const auto european = [](Legs point, int car) {
        return used_legs(Supply::three_phase, Volts(230), point, car);
    };
    CHECK(european(all, 1) == Legs{Leg::L1});
    CHECK(european(all, 2) == kBoth);
    CHECK(european(kBoth, 1) == Legs{Leg::L1});
    CHECK(european({Leg::L2}, 3) == Legs{Leg::L2});
    CHECK(used_legs(Supply::split_phase, Volts(120), kBoth, 1) == kBoth);
    CHECK(used_legs(Supply::split_phase, Volts(120), {Leg::L2}, 1) == Legs{Leg::L2});
    CHECK(used_legs(Supply::two_legs_of_208, Volts(120), kBoth, 1) == kBoth);
    CHECK(used_legs(Supply::three_phase, Volts(120), kBoth, 1) == kBoth);
}
