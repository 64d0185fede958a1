#include "core/site/unbalance.hpp"

#include "core/site/standing.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::site;

namespace {

constexpr Interval kHour{Instant{Seconds{0}}, Instant{Seconds{3600}}};
const Legs kAll{Leg::L1, Leg::L2, Leg::L3};

// A 63 A three-phase service that bears 20 A between its legs, with one point per set of legs, up to 32 A.
Site three_phase(const std::vector<Legs>& points) {
    Site site{.supply = Supply::three_phase,
              .leg_to_neutral = Volts(230),
              .nodes = {{.name = "service", .rating = Amps(63), .legs = kAll, .unbalance = Amps(20)}}};
    for (const Legs legs : points)
        site.points.push_back({.name = "point", .legs = legs, .hard_setting = WholeAmps(32)});
    return site;
}

Ceiling of_first(const Site& site, const Unattended& unattended) {
    return ceiling(site, 0, SiteLoads(site.nodes.size()), unattended, Zone::fixed(Seconds{0}), kHour);
}

}  // namespace

TEST_CASE("unbalance: a car on one of three legs takes the limit at most, one on all legs what it may") {
    const Ceiling one = of_first(three_phase({{Leg::L2}}), {WholeAmps(0)});
    CHECK(one.most == WholeAmps(20));
    CHECK(one.limiter == Limiter::unbalance);
    CHECK(one.node == 0);
    CHECK(one.leg == Leg::L2);
    const Ceiling all = of_first(three_phase({kAll}), {WholeAmps(0)});
    CHECK(all.most == WholeAmps(32));
    CHECK(all.limiter == Limiter::installer_setting);
}

TEST_CASE("unbalance: a car of fewer legs than its three-leg point loads the first of them") {
    Site site = three_phase({kAll});
    site.points[0].fewest_car_legs = 1;
    CHECK(of_first(site, {WholeAmps(0)}).most == WholeAmps(20));
    CHECK(of_first(site, {WholeAmps(0)}).leg == Leg::L1);
    site.points[0].fewest_car_legs = 2;
    CHECK(of_first(site, {WholeAmps(0)}).most == WholeAmps(20));
    site.points[0].fewest_car_legs = 3;
    CHECK(of_first(site, {WholeAmps(0)}).most == WholeAmps(32));
}

TEST_CASE("unbalance: what other points draw unattended counts on its leg, and nowhere makes room") {
    const Unattended standing{WholeAmps(0), WholeAmps(6)};
    CHECK(of_first(three_phase({{Leg::L1}, {Leg::L1}}), standing).most == WholeAmps(14));
    CHECK(of_first(three_phase({{Leg::L1}, {Leg::L2}}), standing).most == WholeAmps(20));
    CHECK(of_first(three_phase({{Leg::L1}, kAll}), standing).most == WholeAmps(20));
}

TEST_CASE("unbalance: across the legs of a split-phase pair a car loads both alike") {
    Site site{.leg_to_neutral = Volts(120),
              .nodes = {{.name = "service",
                         .rating = Amps(100),
                         .legs = {Leg::L1, Leg::L2},
                         .unbalance = Amps(12)}},
              .points = {{.name = "wall", .legs = {Leg::L1, Leg::L2}, .hard_setting = WholeAmps(40)}}};
    site.points[0].fewest_car_legs = 1;  // it counts as its own
    CHECK(of_first(site, {WholeAmps(0)}).most == WholeAmps(40));
    site.points[0].legs = {Leg::L2};
    CHECK(of_first(site, {WholeAmps(0)}).most == WholeAmps(12));
}

TEST_CASE("unbalance: one ampere more of it is one ampere more for the car it limits") {
    const Site site = three_phase({{Leg::L1}});
    CHECK(ceiling(site, 0, SiteLoads(1), {WholeAmps(0)}, Zone::fixed(Seconds{0}), kHour, Relief{0, Amps(1)})
              .most == WholeAmps(21));
}

TEST_CASE("unbalance: automatic standing currents stay within it, a stated one that does not is told") {
    Site site = three_phase({{Leg::L1}, {Leg::L1}, {Leg::L1}, {Leg::L1}, {Leg::L2}});
    const SiteLoads loads(1);
    auto standing = standing_currents(site, loads);
    for (const std::size_t fits : {0U, 1U, 2U, 4U}) {
        CHECK(standing[fits].current == WholeAmps(6));
        CHECK_FALSE(standing[fits].excess);
    }
    CHECK(standing[3].current == WholeAmps(0));
    REQUIRE(standing[3].excess);
    CHECK(standing[3].excess->unbalance);
    CHECK(standing[3].excess->would_carry == Amps(24));
    CHECK(standing[3].excess->may_carry == Amps(20));
    CHECK(standing[3].excess->fits == WholeAmps(2));
    site.points[4].standing = WholeAmps(24);
    standing = standing_currents(site, loads);
    REQUIRE(standing[4].excess);
    CHECK(standing[4].excess->unbalance);
    CHECK(standing[4].excess->leg == Leg::L2);
}
