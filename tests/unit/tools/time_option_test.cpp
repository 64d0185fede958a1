#include "tools/lullwatt/time_option.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::tools;
using namespace std::chrono_literals;

namespace {

const Zone kZone = Zone::fixed(-4h);
const Instant kNow{1792000800s};  // 2026-10-14T18:00:00Z, 14:00 by the clock

}  // namespace

TEST_CASE("times are read by the site's clock, as instants, or as the next such time of day") {
    CHECK(parse_time("2026-10-14T18:00", kZone, kNow) == Instant{1792015200s});
    CHECK(parse_time("2026-10-14 18:00:30", kZone, kNow) == Instant{1792015230s});
    CHECK(parse_time("2026-10-14T18:00Z", kZone, kNow) == kNow);
    CHECK(parse_time("2026-10-14T20:00+02:00", kZone, kNow) == kNow);
    CHECK(parse_time("15:00", kZone, kNow) == kNow + 1h);
    CHECK(parse_time("14:00", kZone, kNow) == kNow + 24h);
    CHECK(parse_time("00:00", kZone, kNow) == kNow + 10h);
}

TEST_CASE("of a time that stands twice the first within the span is meant") {
    // At 05:00Z the clock goes from 02:00 back to 01:00.
    const Instant back{1793509200s};
    const Zone zone("Test", {{back - 2400h, -3h, "DT"}, {back, -4h, "ST"}}, {back - 2400h, back + 2400h});
    const CivilTime label = zone.civil(back + 30min);
    const auto of = [&](const std::string& text, Interval span) {
        const auto found = parse_time_within(text, zone, span);
        REQUIRE(found);
        return *found;
    };
    for (const std::string text : {"01:30", "2026-11-01T01:30"}) {
        INFO(text);
        CHECK(of(text, {back - 3h, back + 6h}).at == back - 30min);
        CHECK(of(text, {back - 30min, back + 6h}).at == back - 30min);
        CHECK(of(text, {back - 20min, back + 6h}).at == back + 30min);
        CHECK(of(text, {back - 20min, back + 6h}).label == label);
        CHECK(of(text, {back + 30min, back + 30h}).at == back + 30min);
    }
    CHECK(of("01:30", {back + 31min, back + 30h}).at == back + 24h + 30min);
    CHECK(of("01:30", {back - 20min, back + 10min}).at == back + 24h + 30min);  // none is in it
    CHECK(of("2026-11-01T01:30-03:00", {back - 20min, back + 6h}).at == back - 30min);
    CHECK_FALSE(of("2026-11-01T01:30-03:00", {back - 3h, back + 6h}).label);
    CHECK_FALSE(parse_time_within("soon", zone, {back - 3h, back + 6h}));
}

TEST_CASE("what is no time is refused") {
    for (const char* bad : {"", "tomorrow", "25:00", "24:00", "18", "18:0", "18:00 ", "2026-02-30T10:00",
                            "2026-10-14", "2026-10-14T18:00Zx", "9999-01-01T00:00", "12:61"}) {
        INFO(bad);
        CHECK_FALSE(parse_time(bad, kZone, kNow).has_value());
    }
}
