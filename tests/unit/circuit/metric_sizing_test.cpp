#include "core/circuit/metric_sizing.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

namespace {

RunCase run_32(double metres) {
    return {.cable = {.design_current = Amps(32),
                      .device = {DeviceType::breaker, Amps(32)},
                      .kind = {CableTable::bs_4d5, CableMethod::C, Phases::single}},
            .length = Metres(metres)};
}

}  // namespace

TEST_CASE("a longer run takes a larger cable though the smaller carries the current") {
    const auto near_by = smallest_cable(run_32(10));
    CHECK(near_by.smallest == SquareMillimetres(4));
    const auto far = smallest_cable(run_32(50));
    CHECK(far.smallest == SquareMillimetres(10));
    REQUIRE(far.tried.size() == kCableSizes.size());
    CHECK(far.tried[3].cable.suits());
    CHECK_FALSE(far.tried[3].drop_met);
    CHECK(far.tried[3].drop->percent.count() == Approx(5.078).margin(0.001));
}

TEST_CASE("a drop of exactly what is allowed is allowed") {
    RunCase run = run_32(25);
    run.drop_allowed = Percent(100 * 5.84 / 230);
    CHECK(judge_run(run, SquareMillimetres(6)).suits());
    run.drop_allowed = Percent(2.539);
    CHECK_FALSE(judge_run(run, SquareMillimetres(6)).suits());
}

TEST_CASE("where no size suits there is none, and each says why") {
    SECTION("too long for the largest that the table has") {
        const auto search = smallest_cable(run_32(500));
        CHECK_FALSE(search.smallest);
        CHECK_FALSE(search.tried[5].drop_met);
        CHECK(search.tried[6].cable.lacks.size() == 1);
    }
    SECTION("no larger cable cures a device that is too small") {
        RunCase run = run_32(10);
        run.cable.device.rating = Amps(25);
        const auto search = smallest_cable(run);
        CHECK_FALSE(search.smallest);
        for (const auto& tried : search.tried) {
            CHECK_FALSE(tried.cable.find(CableRule::design_within_device)->met);
        }
    }
}
