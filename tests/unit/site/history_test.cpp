#include "core/site/history.hpp"

#include "support/catch.hpp"
#include "support/house.hpp"

using namespace lullwatt;
using namespace lullwatt::site;
using namespace std::chrono_literals;
using tests::row;

namespace {

const Instant kNoon = tests::utc(2026, 1, 14, 12h);

MeterHistory house(std::vector<HistoryRow> rows) { return {"house", {}, std::move(rows)}; }

}  // namespace

TEST_CASE("merging adds what is new on either side and in gaps") {
    const auto merged =
        merge(house({row(kNoon, 1h, {10}), row(kNoon + 2h, 1h, {30})}),
              house({row(kNoon - 1h, 1h, {5}), row(kNoon + 1h, 1h, {20}), row(kNoon + 3h, 1h, {40})}));
    CHECK(merged.added == 3);
    CHECK(merged.known == 0);
    CHECK(merged.disagreements.empty());
    CHECK(merged.history == house({row(kNoon - 1h, 1h, {5}), row(kNoon, 1h, {10}), row(kNoon + 1h, 1h, {20}),
                                   row(kNoon + 2h, 1h, {30}), row(kNoon + 3h, 1h, {40})}));
}

TEST_CASE("merging never changes a reading that is held") {
    const MeterHistory held = house({row(kNoon, 1h, {10}), row(kNoon + 1h, 1h, {20})});
    SECTION("the same again is known") {
        const auto merged = merge(held, held);
        CHECK(merged.known == 2);
        CHECK(merged.added == 0);
        CHECK(merged.history == held);
    }
    SECTION("another energy is a disagreement") {
        const auto merged = merge(held, house({row(kNoon, 1h, {11})}));
        REQUIRE(merged.disagreements.size() == 1);
        CHECK(merged.disagreements[0].held == held.rows[0]);
        CHECK(merged.disagreements[0].offered == row(kNoon, 1h, {11}));
        CHECK(merged.history == held);
    }
    SECTION("so is another interval over the same time") {
        const auto merged = merge(held, house({row(kNoon + 45min, 15min, {2}), row(kNoon + 1h, 15min, {5})}));
        CHECK(merged.disagreements.size() == 2);
        CHECK(merged.history == held);
    }
}

TEST_CASE("the total of a row is all its legs together") {
    CHECK(total(row(kNoon, 1h, {10, 20, 30})) == MilliwattHours(60'000));
    const MeterHistory history = house({row(kNoon, 1h, {10}, Quality::estimated)});
    CHECK(totals(history) == EnergySeries{{{kNoon, kNoon + 1h}, WattHours(10), Quality::estimated}});
}
