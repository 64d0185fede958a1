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

std::vector<std::string> names(const std::vector<Held>& held) {
    std::vector<std::string> found;
    for (const Held& one : held) found.push_back(one.car);
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
    const auto held = [&](BoundKind kind, int node, int leg) {
        return names(held_by(site, bounded(kind, node, leg), others));
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
    // The greatest while the slot lasts; what ended before it does not count.
    CHECK(held_by(site, bounded(BoundKind::ceiling, 1, 0), others) ==
          std::vector<Held>{{"Heron", WholeAmps(9)}});
    Slot later = bounded(BoundKind::headroom, 0, 0);
    later.when = minutes(10, 15);
    CHECK(held_by(site, later, others).empty());
}
