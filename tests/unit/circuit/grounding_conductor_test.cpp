#include "core/circuit/grounding_conductor.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

TEST_CASE("circuit conductors of the least size ask for no more than the table") {
    const auto found = *grounding_conductor(Metal::copper, Amps(60), WireSize::awg6, WireSize::awg6);
    CHECK(found.size == WireSize::awg10);
    CHECK(found.needed == area(WireSize::awg10));
    CHECK(found.chosen == area(WireSize::awg10));
    CHECK_FALSE(found.just_missed);
    CHECK_FALSE(found.capped);
}

TEST_CASE("circuit conductors smaller than the least ask for no less than the table") {
    const auto found = *grounding_conductor(Metal::copper, Amps(60), WireSize::awg4, WireSize::awg6);
    CHECK(found.size == WireSize::awg10);
    CHECK(found.needed == area(WireSize::awg10));
}

TEST_CASE("a needed area that is exactly a size is that size, and no size more") {
    // Divided first, 211,600 / 10,380 × 10,380 would come out above 211,600.
    const auto found = *grounding_conductor(Metal::copper, Amps(30), WireSize::awg10, WireSize::awg4_0);
    CHECK(found.needed == area(WireSize::awg4_0));
    CHECK(found.size == WireSize::awg4_0);
    CHECK_FALSE(found.capped);
}

TEST_CASE("the grounding conductor is no larger than the circuit conductors") {
    SECTION("where the proportion asks for more") {
        const auto found = *grounding_conductor(Metal::copper, Amps(60), WireSize::awg14, WireSize::awg10);
        CHECK(found.needed > area(WireSize::awg10));
        CHECK(found.size == WireSize::awg10);
        CHECK(found.chosen == area(WireSize::awg10));
        CHECK(found.capped);
        CHECK_FALSE(found.just_missed);
    }
    SECTION("where it asks for more than there is") {
        const auto found =
            *grounding_conductor(Metal::copper, Amps(1200), WireSize::awg3_0, WireSize::kcmil500);
        CHECK(found.needed == area(WireSize::kcmil500));
        CHECK(found.size == WireSize::kcmil500);
        const auto more =
            *grounding_conductor(Metal::aluminium, Amps(1200), WireSize::awg3_0, WireSize::kcmil500);
        CHECK(more.needed > area(WireSize::kcmil500));
        CHECK(more.size == WireSize::kcmil500);
        CHECK(more.capped);
    }
}

TEST_CASE("a size that lacks more than 1 % is not told as just missed") {
    // 20 A, 12 → 8 AWG: 16,510 needed, 10 AWG lacks more than a third.
    const auto found = *grounding_conductor(Metal::copper, Amps(20), WireSize::awg12, WireSize::awg8);
    CHECK(found.size == WireSize::awg8);
    CHECK_FALSE(found.just_missed);
    CHECK(found.lacking == Percent(0));
}

TEST_CASE("aluminium has its own column") {
    const auto found = *grounding_conductor(Metal::aluminium, Amps(60), WireSize::awg4, WireSize::awg2);
    CHECK(found.tabulated == WireSize::awg8);
    CHECK(found.needed.count() == Approx(26248.4).margin(0.1));  // 16,510 × 66,360 / 41,740
    CHECK(found.size == WireSize::awg4);
    CHECK(found.just_missed == WireSize::awg6);  // 26,240
}

TEST_CASE("a device above the table has no grounding conductor") {
    CHECK_FALSE(grounding_conductor(Metal::copper, Amps(1200.5), WireSize::kcmil500, WireSize::kcmil500));
    CHECK_FALSE(tabulated_grounding(Metal::aluminium, Amps(1600)));
}

TEST_CASE("half an ampere above a row is the next row's") {
    CHECK(tabulated_grounding(Metal::copper, Amps(60)) == WireSize::awg10);
    CHECK(tabulated_grounding(Metal::copper, Amps(60.5)) == WireSize::awg8);
}
