#include "core/circuit/metric_rating.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

TEST_CASE("the next rating up is the current's own where there is one") {
    CHECK(next_rating_up(DeviceType::breaker, Amps(32)) == Amps(32));
    CHECK(next_rating_up(DeviceType::breaker, Amps(32.01)) == Amps(40));
    CHECK(next_rating_up(DeviceType::breaker, Amps(0)) == Amps(6));
    CHECK(next_rating_up(DeviceType::fuse_gg, Amps(13)) == Amps(16));
    CHECK_FALSE(next_rating_up(DeviceType::breaker, Amps(125.5)));
    CHECK_FALSE(next_rating_up(DeviceType::other, Amps(10)));
}

TEST_CASE("a rating belongs to its own standard") {
    CHECK(is_standard_rating({DeviceType::breaker, Amps(13)}));
    CHECK_FALSE(is_standard_rating({DeviceType::fuse_gg, Amps(13)}));
    CHECK(is_standard_rating({DeviceType::fuse_gg, Amps(160)}));
    CHECK_FALSE(is_standard_rating({DeviceType::breaker, Amps(160)}));
    CHECK_FALSE(is_standard_rating({DeviceType::other, Amps(30)}));
}

TEST_CASE("a device of another standard operates where it is said to, and nowhere else") {
    CHECK(operating_current({DeviceType::other, Amps(30), Amps(45)}) == Amps(45));
    CHECK_FALSE(operating_current({DeviceType::other, Amps(30)}));
}

TEST_CASE("a breaker meets 1.45 Iz by itself once In is at most Iz, a fuse does not") {
    const Amps cable{32};
    CHECK(at_most(*operating_current({DeviceType::breaker, Amps(32)}), operating_limit(cable)));
    CHECK_FALSE(at_most(*operating_current({DeviceType::fuse_gg, Amps(32)}), operating_limit(cable)));
    CHECK(at_most(*operating_current({DeviceType::fuse_gg, Amps(32)}), operating_limit(Amps(35.2))));
    CHECK_FALSE(at_most(*operating_current({DeviceType::fuse_gg, Amps(10)}), operating_limit(Amps(13))));
    CHECK(at_most(*operating_current({DeviceType::fuse_gg, Amps(10)}), operating_limit(Amps(13.1))));
}
