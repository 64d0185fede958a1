// Whose current it is that a limit leaves no more of.
#include "core/plan/held.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;
using site::Leg;

namespace {

Interval minutes(int from, int until) { return {Instant{Seconds{60 * from}}, Instant{Seconds{60 * until}}}; }

Slot bounded(BoundKind kind, int node, int leg) {
    return {minutes(5, 10), Rate(0), WholeAmps(6), {kind, node, leg}};
}

std::vector<std::string> names(const Holding& held) {
    std::vector<std::string> found;
    for (const Held& one : held.named) found.push_back(one.car);
    return found;
}

}  // namespace

TEST_CASE("those are named that draw in the slot from the node and leg that bound it") {
    const site::Legs both{Leg::L1, Leg::L2};
    const site::Site site{
        .leg_to_neutral = Volts(120),
        .nodes = {{.name = "service", .legs = both},
                  {.name = "garage", .kind = site::NodeKind::feeder, .parent = 0, .legs = both}},
        .points = {{.name = "left", .circuit = 1, .legs = both},
                   {.name = "right", .circuit = 1, .legs = {Leg::L2}},
                   {.name = "drive", .circuit = 0, .legs = both, .control = site::Control::by_hand}}};
    const std::vector<Taken> others = {
        {.point = 0,
         .draws = {{minutes(0, 5), WholeAmps(20)},
                   {minutes(5, 7), WholeAmps(8)},
                   {minutes(7, 10), WholeAmps(9)}},
         .car = "Heron"},
        {.point = 1, .draws = {{minutes(0, 10), WholeAmps(16)}}, .car = "Plover"},
        {.point = 2, .draws = {{minutes(0, 10), WholeAmps(10)}}, .car = "Dunlin"}};
    using Names = std::vector<std::string>;
    Holders holders(site, others);
    const auto held = [&](BoundKind kind, int node, int leg) {
        return names(holders.of(bounded(kind, node, leg)));
    };
    CHECK(held(BoundKind::headroom, 0, 0) == Names{"Heron", "Dunlin"});
    CHECK(held(BoundKind::headroom, 1, 1) == Names{"Heron", "Plover"});
    CHECK(held(BoundKind::ceiling, 1, 0) == Names{"Heron"});
    CHECK(held(BoundKind::lease, 0, 1) == Names{"Heron", "Plover"});  // by hand the whole setting counts
    CHECK(held(BoundKind::granted, 0, -1) == Names{"Heron", "Plover", "Dunlin"});
    CHECK(held(BoundKind::unbalance, 1, 1) == Names{"Plover"});
    for (const BoundKind kind : {BoundKind::installer_setting, BoundKind::receptacle, BoundKind::car,
                                 BoundKind::hold, BoundKind::away, BoundKind::peak})
        CHECK(held(kind, 0, 0).empty());
    CHECK(held(BoundKind::car, -1, -1).empty());
    // The greatest while the slot lasts; what ended before it does not count.
    CHECK(holders.of(bounded(BoundKind::ceiling, 1, 0)) == Holding{{{"Heron", WholeAmps(9)}}, 0});
    Slot later = bounded(BoundKind::headroom, 0, 0);
    later.when = minutes(10, 15);
    CHECK(holders.of(later) == Holding{});
}

TEST_CASE("of many that hold a slot the first are named and the rest counted") {
    const site::Site site{.leg_to_neutral = Volts(120),
                          .nodes = {{.name = "service", .legs = {Leg::L1}}},
                          .points = {{.name = "row", .circuit = 0, .legs = {Leg::L1}}}};
    std::vector<Taken> others;
    for (const char* car : {"a", "b", "c", "d", "e"})
        others.push_back({.point = 0, .draws = {{minutes(0, 10), WholeAmps(7)}}, .car = car});
    others[1].draws.clear();
    Holders holders(site, others);
    const Slot slot = bounded(BoundKind::headroom, 0, 0);
    CHECK(names(holders.of(slot)) == std::vector<std::string>{"a", "c", "d"});
    CHECK(holders.of(slot).others == 1);
    CHECK(holders.of(slot, 5).named.size() == 4);
    CHECK(holders.of(slot, 5).others == 0);
}
