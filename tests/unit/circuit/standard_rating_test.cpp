#include "core/circuit/standard_rating.hpp"

#include <limits>

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;
using enum OvercurrentDevice;

TEST_CASE("the next standard rating is the least not below the current") {
    CHECK(next_standard_rating(2023, breaker, Amps(60)) == Amps(60));
    CHECK(next_standard_rating(2023, breaker, Amps(60.01)) == Amps(70));
    CHECK(next_standard_rating(2023, breaker, Amps(6000)) == Amps(6000));
    CHECK(next_standard_rating(2023, breaker, Amps(6001)) == std::nullopt);
    SECTION("ten amperes are a breaker's from 2023, a fuse's always") {
        CHECK(next_standard_rating(2020, breaker, Amps(9)) == Amps(15));
        CHECK(next_standard_rating(2023, breaker, Amps(9)) == Amps(10));
        CHECK(next_standard_rating(2020, fuse, Amps(9)) == Amps(10));
    }
    SECTION("a current that is no number has none") {
        CHECK(next_standard_rating(2023, breaker, Amps(std::numeric_limits<double>::quiet_NaN())) ==
              std::nullopt);
    }
}

TEST_CASE("ratings of an edition that is not known are none") {
    for (const int edition : {0, 2008, 2014, 2018, 2026}) {
        CHECK(standard_ratings(edition, breaker).empty());
        CHECK(next_standard_rating(edition, breaker, Amps(40)) == std::nullopt);
        CHECK(least_device(edition, breaker, Amps(32)) == std::nullopt);
    }
}

TEST_CASE("what lasts counts 125 %, the rest as it is") {
    CHECK(required_rating(Amps(48)) == Amps(60));
    CHECK(required_rating(Amps(40), Amps(10)) == Amps(60));
    CHECK(least_device(2023, breaker, Amps(48)) == Amps(60));
    CHECK(least_device(2023, breaker, Amps(48.1)) == Amps(70));
    CHECK(least_device(2023, breaker, Amps(16), Amps(0.5)) == Amps(25));
}

TEST_CASE("the next size up protects a conductor whose ampacity is no standard rating") {
    CHECK(protection_limit(2023, breaker, Amps(55)).rating == Amps(60));
    CHECK(protection_limit(2023, breaker, Amps(55)).rounded_up);
    SECTION("a standard rating is not exceeded") {
        CHECK(protection_limit(2023, breaker, Amps(50)).rating == Amps(50));
        CHECK_FALSE(protection_limit(2023, breaker, Amps(50)).rounded_up);
        CHECK_FALSE(protection_limit(2023, breaker, 0.8 * Amps(75)).rounded_up);
    }
    SECTION("several receptacles: the ampacity itself") {
        CHECK(protection_limit(2023, breaker, Amps(55), true).rating == Amps(55));
        CHECK_FALSE(protection_limit(2023, breaker, Amps(55), true).rounded_up);
    }
    SECTION("up to 800 A") {
        CHECK(protection_limit(2023, breaker, Amps(760)).rating == Amps(800));
        CHECK(protection_limit(2023, breaker, Amps(801)).rating == Amps(801));
        CHECK(protection_limit(2023, breaker, Amps(7000)).rating == Amps(7000));
    }
    SECTION("fuses between 600 and 700 A come in 601 A") {
        CHECK(protection_limit(2023, fuse, Amps(600.5)).rating == Amps(601));
        CHECK(protection_limit(2023, breaker, Amps(600.5)).rating == Amps(700));
    }
    SECTION("an edition that is not known rounds nothing up") {
        CHECK(protection_limit(2014, breaker, Amps(55)).rating == Amps(55));
    }
}
