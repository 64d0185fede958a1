#include "core/plan/assemble_joint.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;
using namespace std::chrono_literals;
using site::Leg;

namespace {

const site::Legs kBoth{Leg::L1, Leg::L2};

// A split-phase service with a sub-panel; two points on the panel, one of them on a single leg, one set by
// hand on the service.
struct House {
    site::Site site{
        .leg_to_neutral = Volts(120),
        .nodes = {{.name = "service", .rating = Amps(100), .legs = kBoth},
                  {.name = "garage",
                   .kind = site::NodeKind::feeder,
                   .parent = 0,
                   .rating = Amps(50),
                   .legs = kBoth}},
        .points = {{.name = "left", .circuit = 1, .legs = kBoth, .hard_setting = WholeAmps(40)},
                   {.name = "right", .circuit = 1, .legs = {Leg::L2}, .hard_setting = WholeAmps(16)},
                   {.name = "drive",
                    .circuit = 0,
                    .legs = kBoth,
                    .hard_setting = WholeAmps(10),
                    .control = site::Control::by_hand}}};
    site::SiteLoads loads = site::SiteLoads(2);
    site::Unattended unattended{WholeAmps(6), WholeAmps(6), WholeAmps(10)};
    tariff::PriceCurve prices{{{Instant{0s}, Instant{86400s}}, Rate(1), Rate(1), "day"}};

    Wanted wanted(std::size_t point, const char* name, Seconds begin, Seconds end) const {
        return {.point = point,
                .car = {.name = name, .battery = WattHours(60'000), .most = WholeAmps(32), .legs = 1},
                .request = {.present = {Instant{begin}, Instant{end}}, .need = WattHours(1000)},
                .prices = &prices};
    }
    JointProblem joint(const std::vector<Wanted>& cars) const {
        return assemble_joint(site, cars, loads, unattended, Zone::fixed(0s));
    }
};

const SharedRow* row(const JointProblem& problem, int node, int leg, BoundKind kind) {
    for (const SharedRow& r : problem.rows) {
        if (r.node == node && r.leg == leg && r.kind == kind) return &r;
    }
    return nullptr;
}

}  // namespace

TEST_CASE("joint: one car wanted has the slots, prices and limits it has alone") {
    House house;
    house.loads[0].forecast = {{{Instant{0s}, Instant{700s}}, {Amps(70), Amps(80), Amps(0)}},
                               {{Instant{700s}, Instant{9000s}}, {Amps(20), Amps(50), Amps(0)}}};
    const Wanted one = house.wanted(0, "a", 60s, 1800s);
    const JointProblem joint = house.joint({one});
    const Problem alone = assemble(house.site, 0, one.car, house.loads, house.unattended, house.prices,
                                   Zone::fixed(0s), one.request);
    // The other driven point counts with its standing current in both.
    REQUIRE(joint.slots.size() == alone.slots.size());
    for (std::size_t t = 0; t < alone.slots.size(); ++t) {
        CHECK(joint.slots[t] == alone.slots[t].when);
        CHECK(joint.cars[0].slots[t].most == alone.slots[t].most);
        CHECK(joint.cars[0].slots[t].bound == alone.slots[t].bound);
    }
    CHECK(joint.rows.empty());
}

TEST_CASE("joint: rows stand where two wanted cars load the same leg of a node") {
    House house;
    house.loads[0].forecast = {{{Instant{0s}, Instant{9000s}}, {Amps(5), Amps(25.5), Amps(0)}}};
    house.loads[0].worst.fill({Amps(30), Amps(60), Amps(0)});
    const JointProblem joint = house.joint({house.wanted(0, "a", 0s, 900s), house.wanted(1, "b", 0s, 900s)});
    CHECK(joint.rows.size() == 4);  // headroom and lease, on L2 of both nodes
    // 100 × 0.8 − 25.5 − the 10 A set by hand; rating − 60 − 10.
    const SharedRow* const service = row(joint, 0, 1, BoundKind::headroom);
    REQUIRE(service != nullptr);
    CHECK(service->capacity.front() == WholeAmps(44));
    CHECK(service->cars == std::vector<std::size_t>{0, 1});
    REQUIRE(row(joint, 0, 1, BoundKind::lease) != nullptr);
    CHECK(row(joint, 0, 1, BoundKind::lease)->capacity.front() == WholeAmps(30));
    // The point by hand does not hang on the panel.
    REQUIRE(row(joint, 1, 1, BoundKind::headroom) != nullptr);
    CHECK(row(joint, 1, 1, BoundKind::headroom)->capacity.front() == WholeAmps(40));
    CHECK(joint.cars[0].per_ampere == Watts(240));
    CHECK(joint.cars[1].per_ampere == Watts(120));
}

TEST_CASE("joint: a lease never takes the standing currents of the wanted points") {
    House house;
    house.loads[0].worst.fill({Amps(30), Amps(99), Amps(0)});
    const JointProblem joint = house.joint({house.wanted(0, "a", 0s, 900s), house.wanted(1, "b", 0s, 900s)});
    CHECK(row(joint, 0, 1, BoundKind::lease)->capacity.front() == WholeAmps(12));
}

TEST_CASE("joint: a car is away outside its own presence, and nothing is asked of a forecast there") {
    House house;
    house.loads[1].forecast = {{{Instant{0s}, Instant{600s}}, {Amps(0), Amps(10), Amps(0)}},
                               {{Instant{600s}, Instant{3600s}}, {Amps(0), Amps(20), Amps(0)}}};
    const JointProblem joint =
        house.joint({house.wanted(0, "a", 0s, 600s), house.wanted(1, "b", 1200s, 1800s)});
    CHECK(joint.slots.front().begin == Instant{0s});
    CHECK(joint.slots.back().end == Instant{1800s});
    for (std::size_t t = 0; t < joint.slots.size(); ++t) {
        CHECK((joint.cars[0].slots[t].most > WholeAmps(0)) == (joint.slots[t].begin < Instant{600s}));
        CHECK((joint.cars[1].slots[t].most > WholeAmps(0)) == (joint.slots[t].begin >= Instant{1200s}));
    }
}

TEST_CASE(
    "joint: a block set by hand is a load where money is planned, and its whole setting where a link may be "
    "lost") {
    House house;
    const Taken block{.point = 2, .draws = {{{Instant{600s}, Instant{1200s}}, WholeAmps(8)}}};
    const JointProblem problem = assemble_joint(house.site, {house.wanted(0, "a", 0s, 1800s)}, house.loads,
                                                house.unattended, Zone::fixed(0s), {block});
    const SharedRow* headroom = row(problem, 0, 0, BoundKind::headroom);
    const SharedRow* lease = row(problem, 0, 0, BoundKind::lease);
    REQUIRE(headroom != nullptr);
    REQUIRE(lease != nullptr);
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        const bool during = problem.slots[t].begin >= Instant{600s} && problem.slots[t].end <= Instant{1200s};
        CHECK(headroom->capacity[t] == WholeAmps(during ? 72 : 80));  // 100 A × 0.80, less 8 A
        CHECK(lease->capacity[t] == WholeAmps(90));                   // 100 A less the 10 A of its setting
    }
    CHECK(row(problem, 1, 0, BoundKind::headroom) == nullptr);  // the block is not on the sub-panel
}

TEST_CASE(
    "joint: a point set by hand that is wanted shares headroom, and of a lease its whole setting is gone") {
    House house;
    house.loads[0].worst.fill({Amps(30), Amps(60), Amps(0)});
    house.loads[0].forecast = {{{Instant{0s}, Instant{9000s}}, {Amps(5), Amps(25.5), Amps(0)}}};
    const JointProblem problem = house.joint(
        {house.wanted(0, "a", 0s, 900s), house.wanted(2, "hand", 0s, 900s), house.wanted(1, "b", 0s, 900s)});
    CHECK(problem.cars[0].manner == Manner::driven);
    CHECK(problem.cars[1].manner == Manner::one_block);
    // 100 A × 0.80 − 25.5 A, for all three; 100 A − 60 A − the 10 A of the setting, for the driven two.
    const SharedRow* const headroom = row(problem, 0, 1, BoundKind::headroom);
    const SharedRow* const lease = row(problem, 0, 1, BoundKind::lease);
    REQUIRE(headroom != nullptr);
    REQUIRE(lease != nullptr);
    CHECK(headroom->cars == std::vector<std::size_t>{0, 1, 2});
    CHECK(headroom->capacity.front() == WholeAmps(54));
    CHECK(lease->cars == std::vector<std::size_t>{0, 2});
    CHECK(lease->capacity.front() == WholeAmps(30));
    // One driven car beside it: the same on L1, where it is alone with it.
    REQUIRE(row(problem, 0, 0, BoundKind::lease) != nullptr);
    CHECK(row(problem, 0, 0, BoundKind::lease)->cars == std::vector<std::size_t>{0});
    CHECK(row(problem, 0, 0, BoundKind::lease)->capacity.front() == WholeAmps(60));
}

TEST_CASE("joint: what another driven car takes is missing in both rows, and splits slots") {
    House house;
    const Taken other{.point = 1, .draws = {{{Instant{700s}, Instant{900s}}, WholeAmps(16)}}};
    const JointProblem problem = assemble_joint(house.site, {house.wanted(0, "a", 0s, 1800s)}, house.loads,
                                                house.unattended, Zone::fixed(0s), {other});
    const SharedRow* headroom = row(problem, 1, 1, BoundKind::headroom);
    const SharedRow* lease = row(problem, 1, 1, BoundKind::lease);
    REQUIRE(headroom != nullptr);
    REQUIRE(lease != nullptr);
    bool split = false;
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        const bool during = problem.slots[t].begin >= Instant{700s} && problem.slots[t].end <= Instant{900s};
        split = split || problem.slots[t].begin == Instant{700s};
        CHECK(headroom->capacity[t] == WholeAmps(during ? 24 : 40));
        CHECK(lease->capacity[t] == WholeAmps(during ? 34 : 50));
    }
    CHECK(split);
    CHECK(row(problem, 1, 0, BoundKind::headroom) == nullptr);  // the other car is on L2 alone
}

TEST_CASE("joint: an outside ceiling is a row of its own, as low as its hours say") {
    House house;
    house.loads[0].forecast = {{{Instant{0s}, Instant{9000s}}, {Amps(5), Amps(6.5), Amps(0)}}};
    site::TimedCeiling ceiling{.from = 10min, .to = 20min, .most = Amps(30), .basis = "notice"};
    ceiling.days.fill(true);
    house.site.nodes[0].ceilings = {ceiling};
    const JointProblem joint =
        house.joint({house.wanted(0, "a", 0s, 1800s), house.wanted(1, "b", 0s, 1800s)});
    const SharedRow* const outside = row(joint, 0, 1, BoundKind::ceiling);
    REQUIRE(outside != nullptr);
    CHECK(outside->cars == std::vector<std::size_t>{0, 1});
    for (std::size_t t = 0; t < joint.slots.size(); ++t) {
        const bool within = joint.slots[t].begin >= Instant{600s} && joint.slots[t].begin < Instant{1200s};
        // 30 − 6.5 − the 10 A set by hand; otherwise 80 − 6.5 − 10.
        CHECK(outside->capacity[t] == WholeAmps(within ? 13 : 63));
    }
    CHECK(row(joint, 1, 1, BoundKind::ceiling) == nullptr);
    CHECK(row(joint, 0, 0, BoundKind::ceiling) == nullptr);  // one car alone is on L1
}

TEST_CASE("joint: cars on one leg share what may be unbalanced, cars on all legs have no part in it") {
    House house;
    house.site.nodes[1].unbalance = Amps(20);
    house.site.points[2] = {.name = "third", .circuit = 1, .legs = {Leg::L2}, .hard_setting = WholeAmps(32)};
    house.unattended[2] = WholeAmps(6);
    const auto cars = {house.wanted(0, "a", 0s, 900s), house.wanted(1, "b", 0s, 900s),
                       house.wanted(2, "c", 0s, 900s)};
    const JointProblem joint = house.joint(cars);
    const SharedRow* const both = row(joint, 1, 1, BoundKind::unbalance);
    REQUIRE(both != nullptr);
    CHECK(both->cars == std::vector<std::size_t>{1, 2});
    CHECK(both->capacity.front() == WholeAmps(20));
    CHECK(row(joint, 1, 0, BoundKind::unbalance) == nullptr);
    CHECK(row(joint, 0, 1, BoundKind::unbalance) == nullptr);
    // One of them alone: the other counts with its standing current, as a limit of the car's own.
    const JointProblem one = house.joint({house.wanted(1, "b", 0s, 900s)});
    CHECK(one.rows.empty());
    CHECK(one.cars[0].slots[0].most == WholeAmps(14));
    CHECK(one.cars[0].slots[0].bound == Bound{BoundKind::unbalance, 1, 1});
    // What another is planned to draw is missing in the row.
    const Taken taken{.point = 2, .draws = {{{Instant{300s}, Instant{600s}}, WholeAmps(9)}}};
    const JointProblem beside = assemble_joint(house.site, {house.wanted(1, "b", 0s, 900s)}, house.loads,
                                               house.unattended, Zone::fixed(0s), {taken});
    const SharedRow* const left = row(beside, 1, 1, BoundKind::unbalance);
    REQUIRE(left != nullptr);
    for (std::size_t t = 0; t < beside.slots.size(); ++t) {
        const bool during = beside.slots[t].begin >= Instant{300s} && beside.slots[t].end <= Instant{600s};
        CHECK(left->capacity[t] == WholeAmps(during ? 11 : 20));
    }
}

TEST_CASE(
    "joint: cars share what is granted to a node, all legs together and the house by its power factor") {
    House house;
    house.site.nodes[0].granted = site::GrantedPower{VoltAmperes(12'000), 0.8};  // 100 A of all legs together
    house.loads[0].forecast = {{{Instant{0s}, Instant{9000s}}, {Amps(20), Amps(12), Amps(0)}}};  // 40 A
    const auto both = house.joint({house.wanted(0, "a", 60s, 1800s), house.wanted(1, "b", 60s, 1800s)});
    const SharedRow* granted = row(both, 0, -1, BoundKind::granted);
    REQUIRE(granted != nullptr);
    CHECK(granted->cars == std::vector<std::size_t>{0, 1});
    // 20 A go to the point set by hand, on two legs; the rest serves two legs of either car.
    CHECK(granted->capacity.front() == WholeAmps(20));
    CHECK(row(both, 1, -1, BoundKind::granted) == nullptr);
    const auto one = house.joint({house.wanted(0, "a", 60s, 1800s)});
    CHECK(row(one, 0, -1, BoundKind::granted) == nullptr);
    CHECK(one.cars[0].slots.front().most == WholeAmps(17));  // beside the standing current of the other

    SECTION("what is planned already is taken from it") {
        const auto beside = assemble_joint(
            house.site, {house.wanted(0, "a", 60s, 1800s)}, house.loads, house.unattended, Zone::fixed(0s),
            {{.point = 1, .draws = {{{Instant{0s}, Instant{9000s}}, WholeAmps(16)}}}});
        const SharedRow* left = row(beside, 0, -1, BoundKind::granted);
        REQUIRE(left != nullptr);
        CHECK(left->capacity.front() == WholeAmps(12));  // (40 - 16) / 2
    }
}
