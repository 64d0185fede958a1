#include "core/control/wanted.hpp"

#include "support/catch.hpp"
#include "support/limiter_bench.hpp"

using namespace lullwatt;
using namespace lullwatt::control;
using namespace std::chrono_literals;
using lullwatt::tests::boot;

namespace {

const Instant kEvening{Seconds{1'790'000'000}};
const PointPlan kPlan{.pieces = {{{kEvening, kEvening + 1h}, WholeAmps(0)},
                                 {{kEvening + 1h, kEvening + 2h}, WholeAmps(0)},
                                 {{kEvening + 2h, kEvening + 4h}, WholeAmps(20)},
                                 {{kEvening + 4h, kEvening + 8h}, WholeAmps(0)}},
                      .slack = {}};

WantedInput input() {
    return {.plan = &kPlan,
            .offered = WholeAmps(16),
            .standing = WholeAmps(6),
            .most = WholeAmps(40),
            .start = boot(0)};
}

Wanted asked(const WantedInput& of, Seconds after = 0s) {
    return wanted(of, {boot(0) + after, kEvening + after}, LimiterOptions{});
}

}  // namespace

TEST_CASE("a plan is read by the wall clock and a pause is one wait up to the next start") {
    CHECK(asked(input()).amps == WholeAmps(0));
    CHECK(asked(input()).reason.bind == Bind::waiting);
    CHECK(asked(input()).changes == boot(7200));
    CHECK(asked(input(), 2h).amps == WholeAmps(20));
    CHECK(asked(input(), 2h).reason.bind == Bind::plan);
    CHECK(asked(input(), 2h).changes == boot(4 * 3600));
    CHECK(asked(input(), 5h).changes == boot(8 * 3600));
    CHECK(asked(input(), 8h).amps == WholeAmps(6));
    CHECK(asked(input(), 8h).reason.bind == Bind::past_plan);
}

TEST_CASE("a hold comes before the plan and ends by the wall clock") {
    WantedInput held = input();
    held.hold = Hold{kEvening + 3h};
    CHECK(asked(held, 2h).reason.bind == Bind::hold);
    CHECK(asked(held, 2h).amps == WholeAmps(0));
    CHECK(asked(held, 2h).changes == boot(3 * 3600));
    CHECK(asked(held, 3h).amps == WholeAmps(20));
    CHECK(wanted(held, {boot(99'999), std::nullopt}, LimiterOptions{}).reason.bind == Bind::hold);
}

TEST_CASE("while the clock is unproven the site's choice holds") {
    WantedInput of = input();
    const auto chosen = [&of](WhenUnproven choice) {
        of.unproven = choice;
        const Wanted found = wanted(of, {boot(5), std::nullopt}, LimiterOptions{});
        CHECK(found.reason.bind == Bind::clock_unproven);
        return found.amps;
    };
    CHECK(chosen(WhenUnproven::wait) == WholeAmps(0));
    CHECK(chosen(WhenUnproven::standing) == WholeAmps(6));
    CHECK(chosen(WhenUnproven::charge) == WholeAmps(40));
}

TEST_CASE("until a first plan comes, what the equipment offers is kept for two minutes, then standing") {
    WantedInput of = input();
    of.plan = nullptr;
    CHECK(asked(of, 119s).amps == WholeAmps(16));
    CHECK(asked(of, 119s).reason.bind == Bind::no_plan_yet);
    CHECK(asked(of, 120s).amps == WholeAmps(6));
    of.reported = false;
    CHECK(asked(of).amps == WholeAmps(6));
    CHECK(asked(of).reason.bind == Bind::unheard);
}

TEST_CASE("after an interruption of the supply a point waits") {
    WantedInput of = input();
    of.waits_until = boot(7300);
    CHECK(asked(of, 2h).reason.bind == Bind::interruption);
    CHECK(asked(of, 2h).amps == WholeAmps(0));
    CHECK(asked(of, 7300s).amps == WholeAmps(20));
}
