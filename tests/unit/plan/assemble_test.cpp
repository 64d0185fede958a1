#include "core/plan/assemble.hpp"

#include "core/plan/exact.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;
using namespace std::chrono_literals;

namespace {

struct Night {
    site::Site site{
        .leg_to_neutral = Volts(120),
        .nodes = {{.name = "service", .rating = Amps(100), .legs = {site::Leg::L1, site::Leg::L2}}},
        .points = {{.name = "garage",
                    .circuit = 0,
                    .legs = {site::Leg::L1, site::Leg::L2},
                    .hard_setting = WholeAmps(40)}}};
    vehicle::Car car{.name = "car", .battery = WattHours(60'000), .most = WholeAmps(32), .legs = 1};
    site::SiteLoads loads = site::SiteLoads(1);
    site::Unattended unattended{WholeAmps(6)};
    tariff::PriceCurve prices{{{Instant{0s}, Instant{86400s}}, Rate(1), Rate(1), "day"}};

    Problem between(Seconds begin, Seconds end, const Hold& hold = {}) const {
        const Request request{.present = {Instant{begin}, Instant{end}}, .need = WattHours(1000)};
        return assemble(site, 0, car, loads, unattended, prices, Zone::fixed(0s), request, hold);
    }
};

}  // namespace

TEST_CASE("slots stand on the grid, split where a price falls off it, rounded inwards at both ends") {
    Night night;
    night.prices = {{{Instant{0s}, Instant{607s}}, Rate(1), Rate(1), "day"},
                    {{Instant{607s}, Instant{86400s}}, Rate(2), Rate(2), "night"}};
    const Problem problem = night.between(31s, 1000s);
    std::vector<long> marks;
    for (const Slot& slot : problem.slots) marks.push_back(slot.when.begin.time_since_epoch().count());
    CHECK(marks == std::vector<long>{60, 300, 600, 900});
    CHECK(problem.slots.back().when.end == Instant{960s});
}

TEST_CASE("nothing is left when ready-by is less than a minute away") {
    CHECK(Night{}.between(61s, 119s).slots.empty());
    CHECK(Night{}.between(600s, 300s).slots.empty());
}

TEST_CASE("the car's own limit and a hold are named") {
    const Problem problem = Night{}.between(0s, 1200s, Interval{Instant{300s}, Instant{600s}});
    REQUIRE(problem.slots.size() == 4);
    CHECK(problem.slots[0].most == WholeAmps(32));
    CHECK(problem.slots[0].bound.kind == BoundKind::car);
    CHECK(problem.slots[1].most == WholeAmps(0));
    CHECK(problem.slots[1].bound.kind == BoundKind::hold);
    CHECK(problem.per_ampere == Watts(240));
}

TEST_CASE("an overhead is rounded up to what shares a twelfth of an ampere's watts with it") {
    const auto counted = [](double lost, double per_ampere) {
        return countable_overhead(Watts(lost), Watts(per_ampere)).count();
    };
    CHECK(counted(0, 240) == 0);
    CHECK(counted(200, 240) == 200);
    CHECK(counted(199, 240) == 200);
    CHECK(counted(201, 240) == 210);
    CHECK(counted(199, 690) == 207);
    CHECK(counted(100, 127) == 127);  // a prime number of watts has no share but itself

    Night night;
    const Request request{
        .present = {Instant{0s}, Instant{3600s}}, .need = WattHours(1000), .overhead = Watts(199)};
    const Problem problem = assemble(night.site, 0, night.car, night.loads, night.unattended, night.prices,
                                     Zone::fixed(0s), request);
    CHECK(problem.overhead == Watts(200));
}

TEST_CASE("an outside ceiling lowers the slots of its hours, which split at its edges, and is named") {
    Night night;
    site::TimedCeiling ceiling{.from = 7min, .to = 17min + 30s, .most = Amps(12), .basis = "notice"};
    ceiling.days.fill(true);
    night.site.nodes[0].ceilings = {ceiling};
    const Problem problem = night.between(0s, 1500s);
    std::vector<long> marks;
    for (const Slot& slot : problem.slots) {
        marks.push_back(slot.when.begin.time_since_epoch().count());
        const bool within = slot.when.begin >= Instant{420s} && slot.when.begin < Instant{1050s};
        CHECK(slot.most == WholeAmps(within ? 12 : 32));
        CHECK(slot.bound == (within ? Bound{BoundKind::ceiling, 0, 0} : Bound{BoundKind::car}));
    }
    // The minute in which it ends begins a slot, which it still lowers.
    CHECK(marks == std::vector<long>{0, 300, 420, 600, 900, 1020, 1200});
}

TEST_CASE("an unbalance limit caps a car on one leg, and is named") {
    Night night;
    night.site.nodes[0].unbalance = Amps(10);
    CHECK(night.between(0s, 300s).slots[0].most == WholeAmps(32));
    night.site.points[0].legs = {site::Leg::L2};
    const Problem problem = night.between(0s, 300s);
    CHECK(problem.slots[0].most == WholeAmps(10));
    CHECK(problem.slots[0].bound == Bound{BoundKind::unbalance, 0, 1});
}
