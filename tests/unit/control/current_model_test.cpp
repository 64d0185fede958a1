#include "core/control/current_model.hpp"

#include <limits>

#include "support/catch.hpp"
#include "support/limiter_bench.hpp"

using namespace lullwatt;
using namespace lullwatt::control;
using lullwatt::tests::boot;
using lullwatt::tests::both;

namespace {

constexpr WholeAmps kStanding{6};

// A point that was offered 32 A long ago and draws it.
CurrentModel charging_at_32() {
    CurrentModel model(tests::kBothLegs, LimiterOptions{});
    model.report({.taken = boot(0), .status = PointStatus::charging, .offer = WholeAmps(32)}, kStanding);
    return model;
}

Command command(std::uint64_t number, double sent, int amps, double ends = 10'000) {
    return {
        .number = number, .sent = boot(sent), .amps = WholeAmps(amps), .ends = boot(ends), .then = kStanding};
}

void send(CurrentModel& model, std::uint64_t number, double sent, int amps, double ends = 10'000) {
    model.sent(command(number, sent, amps, ends));
    model.accepted(number, boot(sent));
}

double low(const CurrentModel& model, double at) {
    return site::on(model.current(boot(at)).low, site::Leg::L1).count();
}
double high(const CurrentModel& model, double at) {
    return site::on(model.current(boot(at)).high, site::Leg::L1).count();
}

}  // namespace

TEST_CASE("a car is between old and new offer for a response and the meter's lag, then at the new one") {
    CurrentModel model = charging_at_32();
    send(model, 1, 100, 16);
    CHECK(low(model, 99) == 32);
    CHECK(low(model, 103) == 16);
    CHECK(high(model, 103) == 32);
    CHECK(high(model, 105.9) == 32);
    CHECK(high(model, 106) == 16);
    CHECK(site::on(model.current(boot(103)).high, site::Leg::L3) == Amps(0));
}

TEST_CASE("the old offer counts until the equipment has answered") {
    CurrentModel model = charging_at_32();
    model.sent(command(1, 100, 16));
    CHECK(high(model, 130) == 32);
    CHECK(low(model, 130) == 16);
    model.accepted(1, boot(130));
    CHECK(high(model, 136) == 16);
}

TEST_CASE("a refused write never happened") {
    CurrentModel model = charging_at_32();
    model.sent(command(1, 100, 16));
    model.refused(1);
    CHECK(low(model, 120) == 32);
}

TEST_CASE("a lease that ends is followed by standing") {
    CurrentModel model = charging_at_32();
    send(model, 1, 100, 16, 200);
    CHECK(low(model, 199) == 16);
    CHECK(high(model, 203) == 16);
    CHECK(low(model, 203) == 6);
    CHECK(high(model, 206) == 6);
}

TEST_CASE("a settled report below the offer caps the model, and no report lifts it above the offer") {
    CurrentModel model = charging_at_32();
    SECTION("a car that takes 16 of 32 A") {
        model.report({.taken = boot(50), .current = both(16)}, kStanding);
        CHECK(low(model, 51) == 16);
        CHECK(high(model, 51) == 16);
        SECTION("offered more, it is known at 16 A until a settled report says otherwise") {
            send(model, 1, 100, 40);
            CHECK(high(model, 110) == 16);
            model.report({.taken = boot(103), .current = both(20)}, kStanding);  // not settled: still rising
            CHECK(high(model, 110) == 16);
            model.report({.taken = boot(110), .current = both(40)}, kStanding);
            CHECK(high(model, 111) == 40);
        }
    }
    SECTION("a report taken before the car had time to follow says nothing") {
        send(model, 1, 100, 40);
        model.report({.taken = boot(102), .current = both(32)}, kStanding);
        CHECK(high(model, 110) == 40);
    }
    SECTION("more than was offered is not believed") {
        model.report({.taken = boot(50), .current = both(45)}, kStanding);
        CHECK(high(model, 51) == 32);
    }
    SECTION("one leg of two") {
        model.report({.taken = boot(50), .current = site::LegAmps{Amps(32), Amps(0), Amps(0)}}, kStanding);
        CHECK(site::on(model.current(boot(51)).low, site::Leg::L1) == Amps(32));
        CHECK(site::on(model.current(boot(51)).low, site::Leg::L2) == Amps(0));
    }
}

TEST_CASE("a car that is suspended draws nothing but keeps what it is offered from others") {
    CurrentModel model = charging_at_32();
    model.report({.taken = boot(50), .status = PointStatus::suspended_by_car}, kStanding);
    CHECK(high(model, 51) == 0);
    CHECK(model.reserved(boot(51)) == WholeAmps(32));
    model.report({.taken = boot(60), .status = PointStatus::charging}, kStanding);
    CHECK(high(model, 61) == 32);
}

TEST_CASE("amperes are free once the fall is measured or the old lease has ended") {
    CurrentModel model = charging_at_32();
    send(model, 1, 100, 30, 400);
    model.report({.taken = boot(110), .current = both(30)}, kStanding);
    send(model, 2, 120, 10, 1000);
    CHECK(model.expected(boot(121)) == WholeAmps(10));
    CHECK(model.reserved(boot(130)) == WholeAmps(30));
    SECTION("measured") {
        model.report({.taken = boot(130), .current = both(12)}, kStanding);
        CHECK(model.reserved(boot(131)) == WholeAmps(30));
        model.report({.taken = boot(132), .current = both(10)}, kStanding);
        CHECK(model.reserved(boot(133)) == WholeAmps(10));
    }
    SECTION("a current that is no number measures no fall") {
        model.report({.taken = boot(130), .current = both(std::numeric_limits<double>::quiet_NaN())},
                     kStanding);
        CHECK(model.reserved(boot(131)) == WholeAmps(30));
        CHECK(high(model, 140) == 10);
    }
    SECTION("ended") {
        CHECK(model.reserved(boot(399)) == WholeAmps(30));
        CHECK(model.reserved(boot(400)) == WholeAmps(10));
    }
}

TEST_CASE("a write that nobody answers is not relied on after five seconds") {
    CurrentModel model = charging_at_32();
    model.sent(command(1, 100, 10));
    CHECK(model.expected(boot(104)) == WholeAmps(10));
    CHECK(model.expected(boot(105)) == WholeAmps(32));
    CHECK(model.unanswered(boot(105)));
    model.sent(command(2, 105, 10));  // sent again: in doubt until somebody answers
    CHECK_FALSE(model.unanswered(boot(106)));
    CHECK(model.expected(boot(106)) == WholeAmps(32));
    model.accepted(2, boot(107));
    CHECK(model.expected(boot(107)) == WholeAmps(10));
}

TEST_CASE("equipment that started again may offer what it was told or its standing current") {
    CurrentModel model = charging_at_32();
    model.started_over(kStanding, boot(100));
    CHECK(low(model, 110) == 6);
    CHECK(high(model, 110) == 32);
    CHECK(model.reserved(boot(110)) == WholeAmps(32));
}

TEST_CASE("a car that leaves takes its profile along") {
    CurrentModel model = charging_at_32();
    model.report({.taken = boot(50), .status = PointStatus::empty}, kStanding);
    CHECK(model.newest()->at(boot(51)) == kStanding);
    CHECK(model.reserved(boot(51)) == WholeAmps(0));
}

TEST_CASE("the response is learned from three reports of a second's spacing") {
    CurrentModel model = charging_at_32();
    CHECK(model.response() == Seconds{5});
    int offer = 32;
    for (std::uint64_t round = 1; round <= 3; ++round) {
        const double at = static_cast<double>(round) * 100;
        const int next = offer == 32 ? 16 : 32;
        send(model, round, at, next);
        for (const int second : {1, 2, 3}) {
            model.report({.taken = boot(at + second), .current = both(second < 3 ? offer : next)}, kStanding);
        }
        offer = next;
    }
    CHECK(model.response() == Seconds{3});
}

TEST_CASE(
    "what is remembered stays bounded for a car that is plugged in for months, restarts of its equipment "
    "too") {
    CurrentModel model = charging_at_32();
    for (int day = 1; day <= 200; ++day) {
        const double at = day * 1000.0;
        if (day % 3 == 0) model.started_over(kStanding, boot(at));
        send(model, static_cast<std::uint64_t>(day), at + 1, 16 + day % 2, at + 900);
        model.report({.taken = boot(at + 20), .current = both(16)}, kStanding);
        CHECK(model.remembered() <= 6);
        CHECK(high(model, at + 60) == 16);
    }
}
