// Time that runs faster than the computer's.
#include "daemon/clock/fast_time.hpp"

#include "daemon/memory_ports.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"

using namespace lullwatt;
using namespace lullwatt::daemon;
using namespace std::chrono_literals;
using tests::utc;

TEST_CASE(
    "fast time rings each alarm at its own time, in order, and not before the computer's clock allows") {
    tests::MemoryClock computer(utc(2026, 11, 26));
    FastTime fast(computer, computer, utc(2026, 10, 20, 21h), 1000);
    const BootTime begin = fast.now().boot;
    std::vector<std::pair<std::string, Seconds>> rung;
    const auto note = [&](const char* name) {
        return [&rung, &fast, begin, name] {
            rung.emplace_back(name, std::chrono::floor<Seconds>(fast.now().boot - begin));
        };
    };
    const auto hour = fast.alarm(note("hour"));
    const auto minute = fast.alarm(note("minute"));
    const auto never = fast.alarm(note("never"));
    hour->set(begin + 1h);
    minute->set(begin + 1min);
    never->set(begin + 5min);
    never->clear();
    CHECK_FALSE(fast.go_on());  // a minute takes 60 ms
    computer.pass(1s);
    CHECK(fast.go_on());
    CHECK(fast.now().wall == utc(2026, 10, 20, 21h + 1min));
    CHECK_FALSE(fast.go_on());
    computer.pass(3s);
    CHECK(fast.go_on());
    CHECK_FALSE(fast.go_on());
    CHECK(rung == std::vector<std::pair<std::string, Seconds>>{{"minute", 1min}, {"hour", 1h}});
    CHECK(fast.now().wall == utc(2026, 10, 20, 22h));
}

TEST_CASE("an alarm that is past rings at once, and time does not go back for it") {
    tests::MemoryClock computer(utc(2026, 11, 26));
    FastTime fast(computer, computer, utc(2026, 10, 20, 21h), 60);
    int rung = 0;
    const auto alarm = fast.alarm([&] { ++rung; });
    alarm->set(fast.now().boot - 1h);
    const Moment before = fast.now();
    CHECK(fast.go_on());
    CHECK(rung == 1);
    CHECK(fast.now().boot == before.boot);
}
