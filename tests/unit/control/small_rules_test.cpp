// Calm time, budget of writes, waits after an interruption, and what a profile holds.
#include "core/control/calm_time.hpp"
#include "core/control/interruption.hpp"
#include "core/control/profile.hpp"
#include "core/control/write_budget.hpp"
#include "support/catch.hpp"
#include "support/limiter_bench.hpp"

using namespace lullwatt;
using namespace lullwatt::control;
using namespace std::chrono_literals;
using lullwatt::tests::boot;

namespace {

constexpr LimiterOptions kOptions{};
constexpr WholeAmps kStanding{6};

}  // namespace

TEST_CASE(
    "calm time doubles with each retreat within 15 min of a raise, to 16 min, and a calm hour resets it") {
    CalmTime calm(kOptions);
    double at = 0;
    std::vector<Milliseconds> lengths;
    for (int round = 0; round < 6; ++round) {
        calm.raised(boot(at));
        calm.retreated(boot(at + 900));
        at += 1000;
        lengths.push_back(calm.length(boot(at)));
    }
    CHECK(lengths == std::vector<Milliseconds>{2min, 4min, 8min, 16min, 16min, 16min});
    CHECK(calm.length(boot(5900 + 3599)) == 16min);
    CHECK(calm.length(boot(5900 + 3600)) == 60s);
}

TEST_CASE("a retreat long after a raise, or a second one after the same raise, doubles nothing") {
    CalmTime calm(kOptions);
    calm.raised(boot(0));
    calm.retreated(boot(901));
    CHECK(calm.length(boot(902)) == 60s);
    calm.raised(boot(1000));
    calm.retreated(boot(1010));
    calm.retreated(boot(1020));
    CHECK(calm.length(boot(1021)) == 2min);
}

TEST_CASE("writes are counted for ever and by the night from noon to noon") {
    const Zone zone = Zone::fixed(-4h);
    const Instant eight_in_the_evening{Seconds{1'790'035'200}};  // 2026-09-22 00:00 UTC
    WriteBudget budget({.ever = 1000, .tonight = 90, .night_ends = eight_in_the_evening + 16h}, boot(0),
                       kOptions);
    budget.look({boot(0), eight_in_the_evening}, zone);
    for (int write = 0; write < 6; ++write) budget.wrote();
    CHECK(budget.near_end());
    CHECK(budget.left() == 24);
    budget.look({boot(16 * 3600 - 1), eight_in_the_evening + 16h - 1s}, zone);
    CHECK(budget.left() == 24);
    budget.look({boot(16 * 3600), eight_in_the_evening + 16h}, zone);
    CHECK(budget.left() == 120);
    CHECK(budget.so_far().ever == 1006);
    CHECK(budget.so_far().night_ends == eight_in_the_evening + 40h);
}

TEST_CASE("with an unproven clock a night of writes lasts 24 h of running") {
    const Zone zone = Zone::fixed(0h);
    WriteBudget budget({}, boot(0), kOptions);
    budget.wrote();
    budget.look({boot(86'399), std::nullopt}, zone);
    CHECK(budget.left() == 119);
    budget.look({boot(86'400), std::nullopt}, zone);
    CHECK(budget.left() == 120);
}

TEST_CASE("equipment that starts again within a meter's silence, or soon after, lost its supply") {
    const HouseWatch::Silence open{boot(100), std::nullopt};
    const HouseWatch::Silence over{boot(100), boot(400)};
    CHECK(supply_was_interrupted(open, boot(150), kOptions));
    CHECK_FALSE(supply_was_interrupted(open, boot(99), kOptions));
    CHECK(supply_was_interrupted(over, boot(700), kOptions));
    CHECK_FALSE(supply_was_interrupted(over, boot(701), kOptions));
}

TEST_CASE("waits after an interruption lie between 10 and 20 min and differ from house to house") {
    Seconds least = 1h;
    Seconds most = 0s;
    for (std::uint64_t seed = 0; seed < 500; ++seed) {
        const Seconds wait = wait_after_interruption(seed, 0, kOptions);
        least = std::min(least, wait);
        most = std::max(most, wait);
    }
    CHECK(least >= 10min);
    CHECK(least < 11min);
    CHECK(most <= 20min);
    CHECK(most > 19min);
    CHECK(wait_after_interruption(7, 0, kOptions) == wait_after_interruption(7, 0, kOptions));
    CHECK(wait_after_interruption(7, 0, kOptions) != wait_after_interruption(7, 1, kOptions));
}

TEST_CASE("a setpoint above standing is a lease, one below a wait, and standing lasts") {
    const BootTime now = boot(1000);
    const auto made = [&](int setpoint, WholeAmps standing, std::optional<BootTime> until) {
        return profile({WholeAmps(setpoint), standing, 15min, until}, now, kOptions);
    };
    CHECK(made(20, kStanding, {}) == std::vector<Period>{{WholeAmps(20), 15min}, {kStanding, {}}});
    CHECK(made(6, kStanding, {}) == std::vector<Period>{{kStanding, {}}});
    CHECK(made(0, kStanding, boot(4600)) == std::vector<Period>{{WholeAmps(0), 1h}, {kStanding, {}}});
    CHECK(made(0, kStanding, {}) == std::vector<Period>{{WholeAmps(0), 1h}, {kStanding, {}}});
    CHECK(made(0, WholeAmps(0), {}) == std::vector<Period>{{WholeAmps(0), {}}});
}

TEST_CASE("a lease is renewed at two thirds and shortened when less is allowed") {
    const Command lease{
        .number = 1, .sent = boot(0), .amps = WholeAmps(20), .ends = boot(900), .then = kStanding};
    const ProfileWanted same{WholeAmps(20), kStanding, 15min, {}};
    CHECK_FALSE(needs_write(lease, same, boot(599), kOptions));
    CHECK(needs_write(lease, same, boot(600), kOptions));
    CHECK(due(lease, kStanding, kOptions) == boot(600));
    const Command hour{
        .number = 1, .sent = boot(0), .amps = WholeAmps(20), .ends = boot(3600), .then = kStanding};
    CHECK(needs_write(hour, same, boot(10), kOptions));
    CHECK_FALSE(needs_write(hour, {WholeAmps(20), kStanding, 60min, {}}, boot(10), kOptions));
}

TEST_CASE("waiting is one write") {
    const Command wait{
        .number = 1, .sent = boot(0), .amps = WholeAmps(0), .ends = boot(18'000), .then = kStanding};
    const auto until = [](double at) { return ProfileWanted{WholeAmps(0), kStanding, 15min, boot(at)}; };
    for (double at = 0; at < 18'000; at += 10)
        CHECK_FALSE(needs_write(wait, until(18'000), boot(at), kOptions));
    CHECK_FALSE(needs_write(wait, until(20'000), boot(17'000), kOptions));  // later: written before the end
    CHECK(needs_write(wait, until(20'000), boot(17'940), kOptions));
    CHECK(needs_write(wait, until(17'000), boot(10), kOptions));  // much earlier: a dead daemon would be late
    CHECK_FALSE(needs_write(wait, until(17'200), boot(10), kOptions));
}

TEST_CASE("what equipment was found to offer below its standing current is made to end") {
    const Command found{.sent = boot(0), .amps = WholeAmps(0), .then = kStanding};
    CHECK(needs_write(found, {WholeAmps(0), kStanding, 15min, boot(5000)}, boot(10), kOptions));
    CHECK_FALSE(needs_write(found, {WholeAmps(0), WholeAmps(0), 15min, boot(5000)}, boot(10), kOptions));
}
