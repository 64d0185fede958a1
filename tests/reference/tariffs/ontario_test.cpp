// Ontario's two time-of-use plans, hour by hour, against a second reading of the published rules that shares
// nothing with the library: no calendar library, holidays as lists of dates, changes of the clock as
// instants.
#include <array>
#include <string>

#include "support/catch.hpp"
#include "support/tariff_reading.hpp"

using namespace lullwatt;

namespace {

struct Date {
    int year, month, day;
    friend constexpr auto operator<=>(const Date&, const Date&) = default;
};

// Days off-peak as holidays. Computed from O. Reg. 95/05 as amended; 2025 and 2026 agree with the calendar of
// the Ontario Electricity Financial Corporation ("PPA schedule").
constexpr std::array kHolidays = {
    Date{2025, 1, 1}, Date{2025, 2, 17}, Date{2025, 4, 18},  Date{2025, 5, 19},  Date{2025, 7, 1},
    Date{2025, 8, 4}, Date{2025, 9, 1},  Date{2025, 10, 13}, Date{2025, 12, 25}, Date{2025, 12, 26},
    Date{2026, 1, 1}, Date{2026, 2, 16}, Date{2026, 4, 3},   Date{2026, 5, 18},  Date{2026, 7, 1},
    Date{2026, 8, 3}, Date{2026, 9, 7},  Date{2026, 10, 12}, Date{2026, 12, 25}, Date{2026, 12, 28},
    Date{2027, 1, 1}, Date{2027, 2, 15}, Date{2027, 3, 26},  Date{2027, 5, 24},  Date{2027, 7, 1},
    Date{2027, 8, 2}, Date{2027, 9, 6},  Date{2027, 10, 11}, Date{2027, 12, 27}, Date{2027, 12, 28},
    Date{2028, 1, 3}, Date{2028, 2, 21}, Date{2028, 4, 14},  Date{2028, 5, 22},  Date{2028, 7, 3},
    Date{2028, 8, 7}, Date{2028, 9, 4},  Date{2028, 10, 9},  Date{2028, 12, 25}, Date{2028, 12, 26},
};

// 02:00 standard on the second Sunday of March to 02:00 daylight on the first of November; 2026 and 2027 as
// listed for America/Toronto, 2025 and 2028 by the same rule (03-09, 11-02; 03-12, 11-05).
struct Summer {
    long long begin, end;
};
constexpr std::array kSummers = {Summer{1741503600, 1762063200}, Summer{1772953200, 1793512800},
                                 Summer{1805007600, 1825567200}, Summer{1836457200, 1857016800}};

// A wall clock walked hour by hour from 2025-01-01 00:00, a Wednesday.
class WallClock {
  public:
    [[nodiscard]] long long utc() const { return utc_; }
    [[nodiscard]] Date date() const { return date_; }
    [[nodiscard]] int hour() const { return hour_; }
    [[nodiscard]] bool weekend() const { return weekday_ >= 5; }  // 0 is Monday

    void next_hour() {
        const bool was_summer = summer();
        utc_ += 3600;
        int step = 1;
        if (summer() && !was_summer) step = 2;
        if (!summer() && was_summer) step = 0;
        hour_ += step;
        if (hour_ < 24) return;
        hour_ -= 24;
        weekday_ = (weekday_ + 1) % 7;
        const std::array lengths = {31, date_.year % 4 == 0 ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30,
                                    31};
        if (++date_.day <= lengths[static_cast<std::size_t>(date_.month - 1)]) return;
        date_.day = 1;
        if (++date_.month <= 12) return;
        date_.month = 1;
        ++date_.year;
    }

  private:
    [[nodiscard]] bool summer() const {
        for (const Summer& each : kSummers) {
            if (each.begin <= utc_ && utc_ < each.end) return true;
        }
        return false;
    }

    long long utc_ = 1735707600;  // 2025-01-01T05:00Z
    Date date_{2025, 1, 1};
    int hour_ = 0;
    int weekday_ = 2;
};

bool day_off(const WallClock& clock) {
    for (const Date& holiday : kHolidays) {
        if (holiday == clock.date()) return true;
    }
    return clock.weekend();
}

struct Expected {
    std::string name;
    int mills;  // tenths of a cent per kWh
};

Expected time_of_use(const WallClock& clock) {
    const bool first = clock.date() < Date{2025, 11, 1};
    const Expected off{"off-peak", first ? 76 : 98};
    const Expected mid{"mid-peak", first ? 122 : 157};
    const Expected on{"on-peak", first ? 158 : 203};
    const int hour = clock.hour();
    if (day_off(clock) || hour < 7 || hour >= 19) return off;
    const bool noon = hour >= 11 && hour < 17;
    const bool summer = clock.date().month >= 5 && clock.date().month <= 10;
    return noon == summer ? on : mid;
}

Expected overnight(const WallClock& clock) {
    const int hour = clock.hour();
    if (hour < 7 || hour == 23) return {"ultra-low overnight", 28};
    if (day_off(clock)) return {"weekend off-peak", 76};
    if (hour >= 16 && hour < 21) return {"on-peak", 284};
    return {"mid-peak", 122};
}

Instant at(long long utc) { return Instant{Seconds{utc}}; }

// Every hour of 2025 to 2028, at its first and its last second. Returns how many there were.
int compare(const std::string& file, Expected (*oracle)(const WallClock&)) {
    const Interval years{at(1735707600), at(1861938000)};  // to 2029-01-01T05:00Z
    const auto curve = testing::curve(testing::read_tariff(file), years);
    int hours = 0;
    int wrong = 0;
    for (WallClock clock; clock.date().year < 2029; clock.next_hour(), ++hours) {
        const Expected expected = oracle(clock);
        for (const int second : {0, 3599}) {
            const auto& piece = tariff::price_at(curve, at(clock.utc() + second));
            if (piece.name == expected.name && piece.rate == Rate(expected.mills * 1'000'000'000LL)) continue;
            ++wrong;
            UNSCOPED_INFO(clock.date().year << '-' << clock.date().month << '-' << clock.date().day << ' '
                                            << clock.hour() << ":00 is " << piece.name << ", not "
                                            << expected.name);
        }
    }
    CHECK(wrong == 0);
    return hours;
}

const tariff::PricePiece& price(const tariff::PriceCurve& curve, date::sys_days day, Seconds utc) {
    return tariff::price_at(curve, day + utc);
}

}  // namespace

TEST_CASE("Ontario time-of-use, every hour of four years", "[check:ontario-time-of-use]") {
    // 1,461 days of 24 hours in the mean.
    CHECK(compare("tests/reference/tariffs/ontario-time-of-use.yaml", time_of_use) == 35'064);
}

TEST_CASE("Ontario ultra-low overnight, every hour of four years", "[check:ontario-overnight]") {
    CHECK(compare("tests/reference/tariffs/ontario-overnight.yaml", overnight) == 35'064);
}

TEST_CASE("Ontario overnight: a Saturday at two is overnight, not weekend", "[check:ontario-overnight]") {
    using namespace std::chrono_literals;
    using date::operator""_y;
    const date::sys_days saturday{2026_y / 1 / 17};
    const auto curve = testing::curve(testing::read_tariff("tests/reference/tariffs/ontario-overnight.yaml"),
                                      {saturday, saturday + 48h});
    CHECK(price(curve, saturday, 5h + 2h).name == "ultra-low overnight");
    CHECK(price(curve, saturday, 5h + 7h).name == "weekend off-peak");
    CHECK(price(curve, saturday, 5h + 23h).name == "ultra-low overnight");
}

TEST_CASE("Ontario time-of-use: on the first of May the peaks swap and the price set stays",
          "[check:ontario-time-of-use]") {
    using namespace std::chrono_literals;
    using date::operator""_y;
    const date::sys_days april{2026_y / 4 / 30};  // Thursday, then Friday
    const auto curve = testing::curve(
        testing::read_tariff("tests/reference/tariffs/ontario-time-of-use.yaml"), {april, april + 72h});
    CHECK(price(curve, april, 4h + 8h).name == "on-peak");
    CHECK(price(curve, april, 4h + 12h).name == "mid-peak");
    CHECK(price(curve, april, 28h + 8h).name == "mid-peak");
    CHECK(price(curve, april, 28h + 12h).name == "on-peak");
    CHECK(price(curve, april, 28h + 12h).rate == Rate(203'000'000'000));
}

TEST_CASE("Ontario time-of-use: each November a new set of prices", "[check:ontario-time-of-use]") {
    using namespace std::chrono_literals;
    using date::operator""_y;
    struct Set {
        CivilDate working_day;  // in winter
        int off, mid, on;       // tenths of a cent
    };
    // 2022: Wellington North Power; 2023, 2024: Hydro Hawkesbury; 2025: Ontario Energy Board, 2025-10-17.
    constexpr std::array kSets = {Set{2022_y / 11 / 1, 74, 102, 151}, Set{2023_y / 10 / 31, 74, 102, 151},
                                  Set{2023_y / 11 / 1, 87, 122, 182}, Set{2024_y / 10 / 31, 87, 122, 182},
                                  Set{2024_y / 11 / 1, 76, 122, 158}, Set{2025_y / 11 / 3, 98, 157, 203}};
    const auto tariff = testing::read_tariff("tests/reference/tariffs/ontario-time-of-use.yaml");
    for (const Set& set : kSets) {
        const date::sys_days day{set.working_day};
        const auto curve = testing::curve(tariff, {day + 4h, day + 36h});  // from midnight, summer time, on
        const bool summer = set.working_day.month() == date::October;
        // At 09:00 and 13:00 by the clock, four or five hours behind: mid and on change places by season.
        const Rate morning = price(curve, day, 13h).rate;
        const Rate noon = price(curve, day, 17h).rate;
        CHECK(morning == Rate((summer ? set.mid : set.on) * 1'000'000'000LL));
        CHECK(noon == Rate((summer ? set.on : set.mid) * 1'000'000'000LL));
        CHECK(price(curve, day, 26h).rate == Rate(set.off * 1'000'000'000LL));
    }
}
