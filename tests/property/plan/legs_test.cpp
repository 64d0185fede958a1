// On random sites, cars and nights, what joint plans load on the legs of every node, added up leg by leg as
// the cars really draw (seeds fixed; printed on failure).
#include <algorithm>
#include <array>
#include <rapidcheck.h>

#include "core/plan/assemble_joint.hpp"
#include "core/plan/joint.hpp"
#include "support/catch.hpp"
#include "support/sanitized.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;
using namespace std::chrono_literals;
using site::Leg;
using site::Legs;

namespace {

const Legs kAll{Leg::L1, Leg::L2, Leg::L3};

struct Case {
    site::Site site;
    std::vector<Wanted> wanted;
    std::vector<std::array<int, 3>> legs;  // 1 where the car draws on it
    tariff::PriceCurve prices;
    site::SiteLoads loads = site::SiteLoads(2);
};

// A three-phase service and a feeder below it; cars of one, two or three legs at points of as many or more.
Case any_case() {
    Case made;
    made.site = {.supply = site::Supply::three_phase,
                 .leg_to_neutral = Volts(230),
                 .nodes = {{.name = "service", .rating = Amps(100), .legs = kAll},
                           {.name = "feeder", .parent = 0, .rating = Amps(80), .legs = kAll}}};
    for (Instant at{0s}; at < Instant{2h}; at += 900s)
        made.prices.push_back({{at, at + 900s}, Rate(1), Rate(*rc::gen::inRange(1, 9)), "price"});
    const auto cars = *rc::gen::inRange<std::size_t>(1, 5);
    for (std::size_t i = 0; i < cars; ++i) {
        const int first = *rc::gen::inRange(0, 3);
        const int wired = *rc::gen::inRange(1, 4);
        const int used = *rc::gen::inRange(1, wired + 1);
        Legs at_point;
        std::array<int, 3> at_car{};
        int left = used;
        for (int leg = 0; leg < 3; ++leg) {
            const bool is = wired == 3 || (wired == 1 && leg == first) || (wired == 2 && leg != first);
            if (is) at_point.add(static_cast<Leg>(leg));
            if (is && left-- > 0) at_car[static_cast<std::size_t>(leg)] = 1;
        }
        made.legs.push_back(at_car);
        made.site.points.push_back({.name = "point",
                                    .circuit = *rc::gen::inRange<std::size_t>(0, 2),
                                    .legs = at_point,
                                    .hard_setting = WholeAmps(32),
                                    .fewest_car_legs = used});
        made.wanted.push_back({.point = i,
                               .car = {.name = std::string(1, static_cast<char>('a' + i)),
                                       .battery = WattHours(60'000),
                                       .most = WholeAmps(32),
                                       .legs = used},
                               .request = {.present = {Instant{0s}, Instant{2h}},
                                           .need = WattHours(*rc::gen::inRange(500, 12'000))}});
    }
    return made;
}

// What the house takes of each leg of each node, another figure every half hour, and the worst it may take.
void let_the_house_draw(Case& of) {
    for (site::NodeLoads& node : of.loads) {
        const int most = *rc::gen::inRange(1, 80);
        for (Instant at{0s}; at < Instant{2h}; at += 1800s) {
            node.forecast.push_back({{at, at + 1800s}, {}});
            for (Amps& leg : node.forecast.back().amps) leg = Amps(*rc::gen::inRange(0, most));
        }
        site::LegAmps worst;
        for (Amps& leg : worst) leg = Amps(most + *rc::gen::inRange(0, 15));
        node.worst.fill(worst);
    }
}

// Whole amperes that the cars below a node draw on each of its legs in a slot.
std::array<int, 3> drawn_at(const Case& of, const JointPlan& plan, std::size_t node, std::size_t t) {
    std::array<int, 3> drawn{};
    for (std::size_t i = 0; i < plan.cars.size(); ++i) {
        if (of.site.points[i].circuit < node) continue;
        for (std::size_t leg = 0; leg < 3; ++leg)
            drawn[leg] += of.legs[i][leg] * plan.cars[i].slots[t].amps.count();
    }
    return drawn;
}

// The greatest difference between two legs of a node in any slot.
int unbalance(const Case& of, const JointPlan& plan, std::size_t node) {
    int greatest = 0;
    for (std::size_t t = 0; t < plan.cars[0].slots.size(); ++t) {
        const std::array<int, 3> drawn = drawn_at(of, plan, node, t);
        greatest = std::max(greatest, *std::ranges::max_element(drawn) - *std::ranges::min_element(drawn));
    }
    return greatest;
}

JointPlan planned(Case& of) {
    for (Wanted& one : of.wanted) one.prices = &of.prices;
    const site::Unattended none(of.site.points.size());
    Budget budget;
    budget.pricings = 300;
    return solve_joint(assemble_joint(of.site, of.wanted, of.loads, none, Zone::fixed(0s)), budget);
}

}  // namespace

TEST_CASE("unbalance: no joint plan loads a leg further above another than a node's limit") {
    int without = 0;
    int kept = 0;
    REQUIRE(rc::check([&] {
        Case made = any_case();
        const auto node = *rc::gen::inRange<std::size_t>(0, 2);
        const int limit = *rc::gen::inRange(6, 40);
        const int free = unbalance(made, planned(made), node);
        made.site.nodes[node].unbalance = Amps(limit);
        const int held = unbalance(made, planned(made), node);
        RC_ASSERT(held <= limit);
        without += free > limit ? 1 : 0;
        kept += free > limit && held > 0 ? 1 : 0;
    }));
    // The limit was of use, and did not simply forbid charging.
    CHECK(without > (tests::kSanitized ? 8 : 20));
    CHECK(kept > (tests::kSanitized ? 4 : 10));
}

TEST_CASE("legs: house and cars load no leg of a node above its limit, and at worst none above its rating") {
    int full = 0;
    int at_worst = 0;
    REQUIRE(rc::check([&] {
        Case made = any_case();
        let_the_house_draw(made);
        const JointPlan plan = planned(made);
        for (std::size_t node = 0; node < made.site.nodes.size(); ++node) {
            const double rating = made.site.nodes[node].rating.count();
            const double limit = 0.8 * rating;
            const site::NodeLoads& house = made.loads[node];
            const std::size_t slots = plan.cars[0].slots.size();  // equally long
            for (std::size_t t = 0; t < slots; ++t) {
                const std::array<int, 3> drawn = drawn_at(made, plan, node, t);
                const site::LegAmps& forecast = house.forecast[t * house.forecast.size() / slots].amps;
                for (std::size_t leg = 0; leg < 3; ++leg) {
                    if (drawn[leg] == 0) continue;  // the house alone may be above either
                    const double with = drawn[leg] + forecast[leg].count();
                    const double worst = drawn[leg] + house.worst[0][leg].count();
                    RC_ASSERT(with <= limit);
                    RC_ASSERT(worst <= rating);
                    full += with == limit ? 1 : 0;
                    at_worst += worst == rating ? 1 : 0;
                }
            }
        }
    }));
    // Both were as high as may be.
    CHECK(full > (tests::kSanitized ? 1 : 5));
    CHECK(at_worst > (tests::kSanitized ? 5 : 20));
}
