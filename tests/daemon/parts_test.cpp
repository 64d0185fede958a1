// Parts of the daemon that need no process: what repeats, what is trusted, what is asked, what is cancelled.
#include <atomic>
#include <future>

#include "daemon/clock/trust.hpp"
#include "daemon/log/repeats.hpp"
#include "daemon/planner/worker.hpp"
#include "daemon/socket/json.hpp"
#include "daemon/wishes/wishes.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"

using namespace lullwatt;
using namespace lullwatt::daemon;
using namespace std::chrono_literals;
using lullwatt::tests::utc;

TEST_CASE("the same message passes at most once a minute, with the number of those it stands for") {
    Repeats repeats;
    const BootTime begin(1h);
    CHECK(repeats.pass("meter", "silent for 16 s", begin) == 0U);
    CHECK_FALSE(repeats.pass("meter", "silent for 17 s", begin + 1s));
    CHECK_FALSE(repeats.pass("meter", "silent for 75 s", begin + 59'999ms));
    CHECK(repeats.pass("planner", "no price", begin + 2s) == 0U);  // another one is another one
    CHECK(repeats.pass("meter", "silent for 76 s", begin + 60s) == 2U);
    CHECK(repeats.pass("meter", "silent for 2 min", begin + 120s) == 0U);
}

TEST_CASE("what was withheld is said when its minute is over, though nothing follows") {
    Repeats repeats;
    const BootTime begin(1h);
    CHECK(repeats.pass("meter", "silent for 16 s", begin));
    CHECK_FALSE(repeats.pass("meter", "silent for 17 s", begin + 1s));
    CHECK(repeats.overdue(begin + 59s).empty());
    const auto overdue = repeats.overdue(begin + 60s);
    REQUIRE(overdue.size() == 1);
    CHECK(overdue[0].text == "silent for 17 s");
    CHECK(overdue[0].count == 1);
    CHECK_FALSE(repeats.pass("meter", "silent for 77 s", begin + 61s));  // it was said just now
    CHECK(repeats.all().size() == 1);
}

TEST_CASE("a flood of different messages is bounded in memory and loses none") {
    Repeats repeats;
    for (int each = 0; each < 100'000; ++each) {
        REQUIRE(repeats.pass("message " + std::to_string(each), "", BootTime(1h)) == 0U);
    }
}

TEST_CASE("the wall clock is believed by evidence only") {
    const Instant now = utc(2026, 10, 20);
    CHECK(trust({.wall = now}) == Trust::unproven);
    CHECK(trust({.wall = now, .synchronized = true}) == Trust::synchronized);
    CHECK(trust({.wall = now, .stated = true}) == Trust::stated);
    CHECK(trust({.wall = now, .synchronized = true, .last_recorded = now - 1h}) == Trust::synchronized);
    SECTION("never where it is earlier than the ledger's last row") {
        CHECK(trust({.wall = now, .synchronized = true, .last_recorded = now + 31s}) == Trust::before_ledger);
        CHECK(trust({.wall = now, .stated = true, .last_recorded = now + 1h}) == Trust::before_ledger);
        CHECK_FALSE(proven(Trust::before_ledger));
        CHECK(trust({.wall = now, .synchronized = true, .last_recorded = now + 30s}) == Trust::synchronized);
    }
}

TEST_CASE("the worker does one thing after another and forgets what was cancelled") {
    std::promise<void> go;
    std::atomic<int> done = 0;
    Worker worker;
    REQUIRE(worker.submit([&](const std::stop_token&) { go.get_future().wait(); }));
    const auto cancelled = worker.submit([&](const std::stop_token&) { done += 100; });
    REQUIRE(worker.submit([&](const std::stop_token&) { done += 1; }));
    REQUIRE(cancelled);
    std::stop_source source = *cancelled;
    source.request_stop();
    CHECK_FALSE(worker.idle());
    go.set_value();
    worker.wait_until_idle();
    CHECK(done == 1);
    CHECK(worker.idle());
}

TEST_CASE("a job in hand hears of its cancelling, and of the worker's end") {
    std::promise<void> begun;
    std::promise<bool> heard;
    {
        Worker worker;
        REQUIRE(worker.submit([&](const std::stop_token& stop) {
            begun.set_value();
            while (!stop.stop_requested()) std::this_thread::yield();
            heard.set_value(true);
        }));
        begun.get_future().wait();
    }
    CHECK(heard.get_future().get());
}

TEST_CASE("too many jobs are refused rather than kept") {
    std::promise<void> go;
    Worker worker;
    std::promise<void> begun;
    REQUIRE(worker.submit([&](const std::stop_token&) {
        begun.set_value();
        go.get_future().wait();
    }));
    begun.get_future().wait();
    for (std::size_t each = 0; each < Worker::kMostWaiting; ++each) {
        REQUIRE(worker.submit([](const std::stop_token&) {}));
    }
    CHECK_FALSE(worker.submit([](const std::stop_token&) {}));
    go.set_value();
}

TEST_CASE("what is to run next goes before all that waits, and is taken where that is too much") {
    std::promise<void> go;
    std::promise<void> begun;
    std::string order;
    Worker worker;
    REQUIRE(worker.submit([&](const std::stop_token&) {
        begun.set_value();
        go.get_future().wait();
    }));
    begun.get_future().wait();
    for (std::size_t each = 0; each < Worker::kMostWaiting; ++each)
        REQUIRE(worker.submit([&order](const std::stop_token&) { order += 'q'; }));
    REQUIRE(worker.submit([&order](const std::stop_token&) { order += 'p'; }, Worker::Turn::next));
    go.set_value();
    worker.wait_until_idle();
    CHECK(order == "p" + std::string(Worker::kMostWaiting, 'q'));
}

TEST_CASE("a request is one flat object of text") {
    const auto request = parse_request("{\"do\":\"need\",\"car\":\"Heron\",\"need\":\"18.6\"}");
    REQUIRE(request.ok());
    CHECK(request.value().command == "need");
    CHECK(request.value().fields == std::map<std::string, std::string>{{"car", "Heron"}, {"need", "18.6"}});
    std::string many = "{\"do\":\"now\"";
    for (int each = 0; each < 40; ++each) many += ",\"f" + std::to_string(each) + "\":\"\"";
    const auto refused = parse_request(many + "}");
    REQUIRE_FALSE(refused.ok());
    CHECK(refused.faults().front().what == "has too many fields");
}

TEST_CASE(
    "of several holds the latest that concerns a car counts, and a need replaces the car's earlier one") {
    Wishes wishes;
    const Instant now = utc(2026, 10, 20);
    wishes.tell(Held{"", now, now + 1h});
    wishes.tell(Held{"Heron", now, now + 2h});
    CHECK(wishes.held_until("Heron", now) == now + 2h);
    CHECK(wishes.held_until("Plover", now) == now + 1h);
    CHECK_FALSE(wishes.held_until("Plover", now + 1h));
    wishes.forget_hold("Heron");
    CHECK(wishes.held_until("Heron", now) == now + 1h);
    wishes.tell(OneOff{"Heron", {{"need", "5"}}, now, now + 12h});
    wishes.tell(OneOff{"Heron", {{"need", "6"}}, now, now + 12h});
    REQUIRE(wishes.needs.size() == 1);
    CHECK(wishes.need_of("Heron")->fields.at("need") == "6");
    CHECK(wishes.need_of("Plover") == nullptr);
    CHECK(wishes.forget_past(now + 12h));
    CHECK(wishes == Wishes{});
    CHECK_FALSE(wishes.forget_past(now + 12h));
}
