#include "core/control/house_watch.hpp"

#include "support/catch.hpp"
#include "support/limiter_bench.hpp"

using namespace lullwatt;
using namespace lullwatt::control;
using lullwatt::tests::boot;
using lullwatt::tests::both;
using site::Leg;
using Verdict = HouseWatch::Verdict;

namespace {

constexpr Amps kLimit{80};
constexpr Amps kRating{100};

HouseWatch watch(Seconds interval = Seconds{1}) { return {interval, boot(0), LimiterOptions{}}; }

void heard(HouseWatch& house, double at, double amps) { house.sample(boot(at), both(amps), {}, {}); }

}  // namespace

TEST_CASE("a meter is stale after 15 s, or 2.5 of its intervals where that is longer") {
    HouseWatch every_second = watch();
    heard(every_second, 10, 40);
    CHECK_FALSE(every_second.stale(boot(25)));
    CHECK(every_second.stale(boot(25.001)));
    HouseWatch every_ten = watch(Seconds{10});
    heard(every_ten, 10, 40);
    CHECK_FALSE(every_ten.stale(boot(35)));
    CHECK(every_ten.stale(boot(35.001)));
    CHECK(watch().stale(boot(15.001)));  // never heard: from the start
}

TEST_CASE("after a stall nothing heard before counts") {
    HouseWatch house = watch();
    heard(house, 10, 40);
    house.forget(boot(12));
    CHECK(house.stale(boot(12)));
    heard(house, 13, 40);
    CHECK_FALSE(house.stale(boot(13)));
    CHECK_FALSE(house.greatest(Leg::L1, boot(13), Seconds{2}));
}

TEST_CASE("lowering takes the cars at their most, raising at their least, and neither goes below nothing") {
    HouseWatch house = watch();
    house.sample(boot(1), both(50), both(16), both(32));
    CHECK(house.house_for_lowering(Leg::L1) == Amps(18));
    CHECK(house.house_for_raising(Leg::L1) == Amps(34));
    house.sample(boot(2), both(10), both(16), both(32));
    CHECK(house.house_for_lowering(Leg::L1) == Amps(0));
    CHECK(house.house_for_raising(Leg::L1) == Amps(0));
}

TEST_CASE("the greatest of a time is known only where the meter was heard all along") {
    HouseWatch house = watch();
    for (int second = 1; second <= 61; ++second) heard(house, second, second == 5 ? 70 : 20);
    CHECK_FALSE(house.greatest(Leg::L1, boot(60.9), Seconds{60}));
    CHECK(house.greatest(Leg::L1, boot(61), Seconds{60}) == Amps(70));
    CHECK(house.greatest(Leg::L1, boot(65), Seconds{60}) == Amps(70));
    CHECK(house.greatest(Leg::L1, boot(65.1), Seconds{60}) == Amps(20));
    heard(house, 80, 20);  // 19 s of silence
    CHECK_FALSE(house.greatest(Leg::L1, boot(81), Seconds{60}));
}

TEST_CASE("a leg comes down at once above the rating, above the limit after two samples or three seconds") {
    HouseWatch house = watch();
    heard(house, 10, 101);
    CHECK(house.judge(Leg::L1, Amps(101), kLimit, kRating, boot(10)) == Verdict::above_rating_once);

    SECTION("above the rating for two samples") {
        heard(house, 11, 101);
        CHECK(house.judge(Leg::L1, Amps(101), kLimit, kRating, boot(11)) == Verdict::above_rating);
    }
    SECTION("above the rating for three seconds") {
        CHECK(house.judge(Leg::L1, Amps(101), kLimit, kRating, boot(12.9)) == Verdict::above_rating_once);
        CHECK(house.judge(Leg::L1, Amps(101), kLimit, kRating, boot(13)) == Verdict::above_rating);
    }
    SECTION("two samples") {
        heard(house, 11, 70);
        CHECK(house.judge(Leg::L1, Amps(70), kLimit, kRating, boot(11)) == Verdict::keep);
        heard(house, 12, 90);
        CHECK(house.judge(Leg::L1, Amps(90), kLimit, kRating, boot(12)) == Verdict::keep);
        CHECK(house.judge(Leg::L1, Amps(90), kLimit, kRating, boot(12.5)) ==
              Verdict::keep);  // the same sample
        heard(house, 13, 90);
        CHECK(house.judge(Leg::L1, Amps(90), kLimit, kRating, boot(13)) == Verdict::above_limit);
    }
    SECTION("one of a slow meter, and three seconds") {
        heard(house, 20, 70);
        CHECK(house.judge(Leg::L1, Amps(70), kLimit, kRating, boot(20)) == Verdict::keep);
        CHECK_FALSE(house.judged_again());
        heard(house, 30, 90);
        CHECK(house.judge(Leg::L1, Amps(90), kLimit, kRating, boot(30)) == Verdict::keep);
        CHECK(house.judged_again() == boot(33));
        CHECK(house.judge(Leg::L1, Amps(90), kLimit, kRating, boot(33)) == Verdict::above_limit);
    }
    SECTION("an inrush of one sample is no load") {
        heard(house, 11, 95);
        CHECK(house.judge(Leg::L2, Amps(95), kLimit, kRating, boot(11)) == Verdict::keep);
        heard(house, 12, 50);
        CHECK(house.judge(Leg::L2, Amps(50), kLimit, kRating, boot(12)) == Verdict::keep);
        heard(house, 13, 95);
        CHECK(house.judge(Leg::L2, Amps(95), kLimit, kRating, boot(13)) == Verdict::keep);
    }
}

TEST_CASE("a silence over a minute is remembered with its end") {
    HouseWatch house = watch();
    heard(house, 10, 40);
    CHECK_FALSE(house.silence(boot(70)));
    REQUIRE(house.silence(boot(71)));
    CHECK(house.silence(boot(71))->begin == boot(10));
    CHECK_FALSE(house.silence(boot(71))->end);
    heard(house, 100, 40);
    CHECK(house.silence(boot(150))->end == boot(100));
}
