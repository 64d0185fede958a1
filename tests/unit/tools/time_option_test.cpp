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

TEST_CASE("what is no time is refused") {
    for (const char* bad : {"", "tomorrow", "25:00", "24:00", "18", "18:0", "18:00 ", "2026-02-30T10:00",
                            "2026-10-14", "2026-10-14T18:00Zx", "9999-01-01T00:00", "12:61"}) {
        INFO(bad);
        CHECK_FALSE(parse_time(bad, kZone, kNow).has_value());
    }
}
