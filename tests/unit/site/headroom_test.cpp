#include "core/site/headroom.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::site;

namespace {

constexpr Interval kHour{Instant{Seconds{0}}, Instant{Seconds{3600}}};

// A 100 A split-phase service with a 60 A circuit: continuously 80 A and 48 A.
Site two_nodes() {
    Site site;
    site.supply = Supply::split_phase;
    site.leg_to_neutral = Volts(120);
    site.nodes = {{.name = "service", .rating = Amps(100), .legs = {Leg::L1, Leg::L2}},
                  {.name = "circuit",
                   .kind = NodeKind::circuit,
                   .parent = 0,
                   .rating = Amps(60),
                   .legs = {Leg::L1, Leg::L2}}};
    site.points = {{.name = "wall", .circuit = 1, .legs = {Leg::L1, Leg::L2}, .hard_setting = WholeAmps(48)}};
    return site;
}

Ceiling with_house(LegAmps expected, const std::optional<Relief>& relief = {}) {
    const Site site = two_nodes();
    SiteLoads loads(2);
    loads[0].forecast = {{kHour, expected}};
    return ceiling(site, 0, loads, {WholeAmps(0)}, Zone::fixed(Seconds{0}), kHour, relief);
}

}  // namespace

TEST_CASE("the leg with the least room limits the point") {
    const Ceiling found = with_house({Amps(40), Amps(55), Amps(0)});
    CHECK(found.most == WholeAmps(25));
    CHECK(found.limiter == Limiter::headroom);
    CHECK(found.node == 0);
    CHECK(found.leg == Leg::L2);
    CHECK(with_house({Amps(60), Amps(55), Amps(0)}).leg == Leg::L1);
}

TEST_CASE("one ampere of relief at a node is one ampere more where that node limits, and nothing where not") {
    CHECK(with_house({Amps(40), Amps(55), Amps(0)}, Relief{0, Amps(1)}).most == WholeAmps(26));
    CHECK(with_house({Amps(40), Amps(55), Amps(0)}, Relief{1, Amps(1)}).most == WholeAmps(25));
}
