#include "core/tariff/coverage.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::tariff;
using namespace std::chrono_literals;
using date::operator""_y;

namespace {

constexpr DaySet kWorkingDays{{false, true, true, true, true, true, false}, false};
constexpr DaySet kWeekends{{true, false, false, false, false, false, true}, false};

Window window(DaySet days, Seconds from = 0h, Seconds to = 24h, std::vector<std::size_t> seasons = {}) {
    return {.name = "w", .seasons = std::move(seasons), .days = days, .from = from, .to = to};
}

Tariff with(std::vector<Window> windows) {
    return {.revisions = {{2026_y / 1 / 1, std::move(windows), {}, {}}}};
}

HolidayCalendar new_year() {
    return {{{.name = "New Year", .when = FixedDate{date::January / 1}}}, Observance::as_is};
}

const std::vector<NamedSeason> kSeasons = {{"winter", {date::November / 1, date::April / 30}},
                                           {"summer", {date::May / 1, date::October / 31}}};

}  // namespace

TEST_CASE("weekdays and weekends cover a week where there are no holidays") {
    CHECK(holes(with({window(kWorkingDays), window(kWeekends)})).empty());
}

TEST_CASE("where there are holidays, they need a window too") {
    Tariff tariff = with({window(kWorkingDays), window(kWeekends)});
    tariff.holidays = new_year();
    const auto found = holes(tariff);
    REQUIRE(found.size() == 1);
    CHECK(found[0].days == std::vector<DayKind>{{std::nullopt, 0, true}});
    CHECK(found[0].to - found[0].from == 24h);
}

TEST_CASE("a hole names its hours and every kind of day that has it") {
    Tariff tariff = with({window(kWorkingDays), window(DaySet::every_day(), 0h, 23h),
                          window(DaySet::every_day(), 0h, 24h, {1})});
    tariff.seasons = kSeasons;
    const auto found = holes(tariff);
    REQUIRE(found.size() == 1);
    CHECK(found[0].from == 23h);
    CHECK(found[0].to == 24h);
    CHECK(found[0].days == std::vector<DayKind>{{0, 0, false}, {0, 6, false}});
}

TEST_CASE("a night that belongs to the evening before leaves the first night after it open") {
    DaySet friday;
    friday.weekdays[5] = true;
    Window night = window(friday, 22h, 6h);
    night.past_midnight = PastMidnight::day_before;
    DaySet not_saturday = DaySet::every_day();
    not_saturday.weekdays[6] = false;
    CHECK(holes(with({night, window(not_saturday), window(DaySet::every_day(), 6h, 24h)})).empty());
    night.past_midnight = PastMidnight::own_day;
    CHECK(holes(with({night, window(not_saturday), window(DaySet::every_day(), 6h, 24h)})).size() == 1);
}

TEST_CASE("a window is shadowed when others above it hold all of its hours together") {
    const auto found = shadowed(with({window(kWorkingDays), window(kWeekends), window(DaySet::every_day())}));
    REQUIRE(found.size() == 1);
    CHECK(found[0].window == 2);
    CHECK(found[0].hidden_by == std::vector<std::size_t>{0, 1});
    CHECK(shadowed(with({window(kWorkingDays), window(DaySet::every_day())})).empty());
}

TEST_CASE("every day of the year stands in one season") {
    Tariff tariff = with({});
    tariff.seasons = kSeasons;
    CHECK(season_faults(tariff).empty());
    tariff.seasons[1].days.last = date::October / 30;
    REQUIRE(season_faults(tariff).size() == 1);
    CHECK(season_faults(tariff)[0].day == date::October / 31);
    CHECK_FALSE(season_faults(tariff)[0].twice);
    tariff.seasons[1].days.last = date::November / 1;
    REQUIRE(season_faults(tariff).size() == 1);
    CHECK(season_faults(tariff)[0].day == date::November / 1);
    CHECK(season_faults(tariff)[0].twice);
}
