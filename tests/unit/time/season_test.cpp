#include "core/time/season.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace date::literals;

TEST_CASE("a season holds its first and its last day") {
    const Season summer{may / 1, oct / 31};
    CHECK_FALSE(summer.contains(2026_y / apr / 30));
    CHECK(summer.contains(2026_y / may / 1));
    CHECK(summer.contains(2026_y / oct / 31));
    CHECK_FALSE(summer.contains(2026_y / nov / 1));
}

TEST_CASE("a season whose last day comes before its first crosses the new year") {
    const Season winter{nov / 1, apr / 30};
    CHECK(winter.contains(2026_y / nov / 1));
    CHECK(winter.contains(2026_y / dec / 31));
    CHECK(winter.contains(2027_y / jan / 1));
    CHECK(winter.contains(2027_y / apr / 30));
    CHECK_FALSE(winter.contains(2027_y / may / 1));
    CHECK_FALSE(winter.contains(2026_y / oct / 31));
}

TEST_CASE("a season may be one day, or all but one") {
    CHECK(Season{jul / 1, jul / 1}.contains(2026_y / jul / 1));
    CHECK_FALSE(Season{jul / 1, jul / 1}.contains(2026_y / jul / 2));
    CHECK_FALSE(Season{jul / 2, jun / 30}.contains(2026_y / jul / 1));
    CHECK(Season{jul / 2, jun / 30}.contains(2026_y / jun / 30));
}

TEST_CASE("a season that ends or begins on February 29 does so on the day that exists") {
    const Season until{dec / 1, feb / 29};
    const Season from{feb / 29, mar / 31};
    SECTION("in a leap year") {
        CHECK(until.contains(2028_y / feb / 29));
        CHECK_FALSE(until.contains(2028_y / mar / 1));
        CHECK(from.contains(2028_y / feb / 29));
        CHECK_FALSE(from.contains(2028_y / feb / 28));
    }
    SECTION("in a common year") {
        CHECK(until.contains(2027_y / feb / 28));
        CHECK_FALSE(until.contains(2027_y / mar / 1));
        CHECK(from.contains(2027_y / mar / 1));
        CHECK_FALSE(from.contains(2027_y / feb / 28));
    }
    SECTION("one written to February 28 leaves the leap day out") {
        CHECK_FALSE(Season{dec / 1, feb / 28}.contains(2028_y / feb / 29));
    }
}
