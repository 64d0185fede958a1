#include "core/control/ceiling_now.hpp"

#include "support/catch.hpp"
#include "support/limiter_bench.hpp"

using namespace lullwatt;
using namespace lullwatt::control;
using namespace std::chrono_literals;

namespace {

const Zone kUtc = Zone::fixed(0s);
const Instant kMonday = Instant{date::sys_days{date::year{2026} / 6 / 1}};

// 80 A for hours; 30 A from 17 to 21 h, 20 A from 21 to 22 h.
site::Node node() {
    site::Node made{.name = "service", .rating = Amps(100)};
    site::TimedCeiling ceiling{.from = 17h, .to = 21h, .most = Amps(30), .basis = "notice"};
    ceiling.days.fill(true);
    made.ceilings.push_back(ceiling);
    ceiling.from = 21h;
    ceiling.to = 22h;
    ceiling.most = Amps(20);
    made.ceilings.push_back(ceiling);
    return made;
}

std::optional<Ceiling> at(Seconds time_of_day) {
    return ceiling_now(node(), kUtc, {tests::boot(1000), kMonday + time_of_day});
}

}  // namespace

TEST_CASE("a node's ceiling now ends when the next may begin, and the least of all follows if nobody asks") {
    REQUIRE(at(18h));
    CHECK(at(18h)->most == Amps(30));
    CHECK(at(18h)->until == tests::boot(1000) + 3h);
    CHECK(at(18h)->when_lost == Amps(20));
    CHECK(at(21h)->most == Amps(20));
    CHECK(at(22h)->most == Amps(80));
    CHECK(at(22h)->until == tests::boot(1000) + 19h);
    CHECK(at(16h)->most == Amps(80));
    CHECK(at(16h)->until == tests::boot(1000) + 1h);
}

TEST_CASE("a node's ceiling while the clock is unproven is the least of all") {
    const auto found = ceiling_now(node(), kUtc, {tests::boot(1000), std::nullopt});
    REQUIRE(found);
    CHECK(found->most == Amps(20));
    CHECK(found->when_lost == Amps(20));
}

TEST_CASE("a node without ceilings has none now") {
    site::Node bare = node();
    bare.ceilings.clear();
    CHECK_FALSE(ceiling_now(bare, kUtc, {tests::boot(0), kMonday}));
    CHECK_FALSE(ceiling_now(bare, kUtc, {tests::boot(0), std::nullopt}));
}
