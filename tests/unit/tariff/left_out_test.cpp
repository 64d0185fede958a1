#include "core/tariff/left_out.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::tariff;
using date::sys_days;
using date::operator""_y;

namespace {

const Zone kUtc = Zone::fixed(Seconds{0});
const Interval kJanuary{sys_days{2026_y / 1 / 10}, sys_days{2026_y / 1 / 11}};
const Interval kJuly{sys_days{2026_y / 7 / 10}, sys_days{2026_y / 7 / 11}};

// One price at all hours, in a winter and a summer.
Tariff plain() {
    return {.name = "test",
            .seasons = {{"winter", {date::month{11} / 1, date::month{3} / 31}},
                        {"summer", {date::month{4} / 1, date::month{10} / 31}}},
            .revisions = {{2020_y / 1 / 1, {{.name = "energy"}}, {}, {}}}};
}

BlockCharge steps(Rate first, Rate rest) {
    return {.name = "energy", .steps = {{MilliwattHours(600'000'000), first}, {std::nullopt, rest}}};
}

}  // namespace

TEST_CASE("a tariff of windows alone leaves nothing out") {
    const LeftOut left = left_out(plain(), kUtc, kJanuary);
    CHECK_FALSE(left.blocks);
    CHECK_FALSE(left.demand);
}

TEST_CASE("blocks are left out where their steps have several prices, in the season they count in") {
    Tariff tariff = plain();
    tariff.revisions[0].blocks = {steps(Rate(1), Rate(2))};
    CHECK(left_out(tariff, kUtc, kJanuary).blocks);
    CHECK_FALSE(left_out(tariff, kUtc, kJanuary).demand);
    SECTION("one price for all steps is told by the curve") {
        tariff.revisions[0].blocks = {steps(Rate(2), Rate(2))};
        CHECK_FALSE(left_out(tariff, kUtc, kJanuary).blocks);
    }
    SECTION("blocks of another season") {
        tariff.revisions[0].blocks[0].seasons = {1};
        CHECK_FALSE(left_out(tariff, kUtc, kJanuary).blocks);
        CHECK(left_out(tariff, kUtc, kJuly).blocks);
    }
}

TEST_CASE("demand is left out where what is drawn decides it, in the season and the revision it counts in") {
    Tariff tariff = plain();
    tariff.revisions[0].demand = {{.name = "power"}};
    CHECK(left_out(tariff, kUtc, kJanuary).demand);
    SECTION("the mean of each day's highest") {
        tariff.revisions[0].demand[0].measure = DemandCharge::Measure::mean_of_daily;
        CHECK(left_out(tariff, kUtc, kJanuary).demand);
    }
    SECTION("a figure that stands whatever is drawn") {
        for (const auto measure : {DemandCharge::Measure::given, DemandCharge::Measure::contracted}) {
            tariff.revisions[0].demand[0].measure = measure;
            CHECK_FALSE(left_out(tariff, kUtc, kJanuary).demand);
        }
    }
    SECTION("of another season") {
        tariff.revisions[0].demand[0].seasons = {0};
        CHECK(left_out(tariff, kUtc, kJanuary).demand);
        CHECK_FALSE(left_out(tariff, kUtc, kJuly).demand);
    }
    SECTION("of a revision that has ended") {
        tariff.revisions.push_back({2026_y / 3 / 1, {{.name = "energy"}}, {}, {}});
        CHECK(left_out(tariff, kUtc, kJanuary).demand);
        CHECK_FALSE(left_out(tariff, kUtc, kJuly).demand);
    }
}
