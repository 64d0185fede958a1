// Published tariffs whose hours do not follow the household's clock, or follow it plainly.
#include "support/catch.hpp"
#include "support/tariff_reading.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using date::operator""_y;
using date::sys_days;

namespace {

// The names of the hours of a day by the local clock, as letters.
std::string letters(const tariff::PriceCurve& curve, const Zone& local, CivilDate day) {
    std::string text;
    const Interval span = civil_day(local, day);
    for (Instant hour = span.begin; hour < span.end; hour += 1h) {
        text += tariff::price_at(curve, hour).name.front();
    }
    return text;
}

}  // namespace

TEST_CASE("Powershift keeps GMT: its hours are an hour later by a summer clock", "[check:powershift-hours]") {
    // Power NI, "Powershift tariff": all times GMT, add one hour in summer. Low Mon-Fri 00-08, Sat/Sun 19-08;
    // normal Mon-Fri 08-16, Sat/Sun 08-19; peak Mon-Fri 16-19. Mon-Fri 19-24 not printed, taken as normal.
    const Interval year{sys_days{2026_y / 1 / 1}, sys_days{2027_y / 1 / 1}};
    const auto curve = testing::curve(testing::read_tariff("tests/reference/tariffs/powershift.yaml"), year);
    const Zone belfast = testing::zone("Europe/London", year);
    // The first letter is the hour from 00:00 by the local clock.
    CHECK(letters(curve, belfast, 2026_y / 1 / 14) == "llllllllnnnnnnnnpppnnnnn");  // Wednesday, winter
    CHECK(letters(curve, belfast, 2026_y / 7 / 15) == "nllllllllnnnnnnnnpppnnnn");  // Wednesday, summer
    CHECK(letters(curve, belfast, 2026_y / 7 / 18) == "nllllllllnnnnnnnnnnnllll");  // Saturday: Friday's hour
    CHECK(letters(curve, belfast, 2026_y / 7 / 19) == "lllllllllnnnnnnnnnnnllll");  // Sunday
    CHECK(letters(curve, belfast, 2026_y / 3 / 29) == "llllllllnnnnnnnnnnnllll");   // 23 hours
    CHECK(letters(curve, belfast, 2026_y / 10 / 25) == "lllllllllnnnnnnnnnnnlllll");  // 25 hours
}

TEST_CASE("a unit price with value added tax", "[check:power-ni-vat]") {
    // Power NI, "Pricing", from 2024-04-01: 28.31 p, with 5 % value added tax 29.73 p.
    const auto curve = testing::curve(testing::read_tariff("tests/reference/tariffs/powershift.yaml"),
                                      {sys_days{2026_y / 1 / 14}, sys_days{2026_y / 1 / 15}});
    const auto& normal = tariff::price_at(curve, sys_days{2026_y / 1 / 14} + 9h);
    CHECK(normal.rate == Rate(283'100'000'000));
    CHECK(rounded(MilliwattHours(1'000'000) * normal.marginal, 4) == Money(297'300));
}

TEST_CASE("River Falls: the energy of its five example bills", "[check:river-falls-bills]") {
    // "Time of Day Rates", 2020-09-29: 675.54 kWh cost 96.58, 88.14, 83.92 and 79.70 with 45, 35, 30 and 25 %
    // of it on-peak. The customer charge of 14.00 inside is inferred: one value fits them all.
    const sys_days day{2026_y / 7 / 15};  // Wednesday
    const auto curve = testing::curve(
        testing::read_tariff("tests/reference/tariffs/river-falls-time-of-day.yaml"), {day, day + 48h});
    const Rate on = tariff::price_at(curve, day + 5h + 7h).rate;
    const Rate off = tariff::price_at(curve, day + 5h + 19h).rate;
    CHECK(tariff::price_at(curve, day + 5h + 6h + 59min + 59s).rate == off);
    CHECK(tariff::price_at(curve, day + 5h + 18h + 59min + 59s).rate == on);
    const auto bill = [&](int percent) {
        const std::int64_t all = 675'540'000;
        const MilliwattHours peak(all / 100 * percent);
        return rounded(peak * on + (MilliwattHours(all) - peak) * off, 2) + Money(14'000'000);
    };
    CHECK(bill(45) == Money(96'580'000));
    CHECK(bill(35) == Money(88'140'000));
    CHECK(bill(30) == Money(83'920'000));
    CHECK(bill(25) == Money(79'700'000));
}

TEST_CASE("a meter on the daylight rule of before 2007: hours as the household's clock shows them",
          "[check:old-summer-time]") {
    // Published effective windows of 2014 (weekdays unless said): Mar 9 to Apr 5 partial 18-21; Apr 6 to 30
    // partial 17-20; May 1 to Oct 25 peak 13-19, partial 10-13 and 19-21, Saturday and Sunday partial 17-20;
    // Oct 26 to 31 peak 14-20, partial 11-14 and 20-22, Saturday and Sunday 18-21; the rest off-peak.
    const Interval year{sys_days{2014_y / 1 / 1}, sys_days{2015_y / 1 / 1}};
    const auto curve = testing::curve(testing::read_tariff("tests/reference/tariffs/old-summer-time.yaml"),
                                      {year.begin - 48h, year.end + 48h});
    const Zone local = testing::zone("America/Los_Angeles", year);
    const std::string winter = "ooooooooooooooooopppoooo";
    const std::string later = "oooooooooooooooooopppooo";
    const std::string summer = "oooooooooopppPPPPPPppooo";
    const std::string summer_later = "ooooooooooopppPPPPPPppoo";
    const auto marked = [&](CivilDate day) {
        std::string text;
        const Interval span = civil_day(local, day);
        for (Instant hour = span.begin; hour < span.end; hour += 1h) {
            const auto& name = tariff::price_at(curve, hour).name;
            text += name == "peak" ? 'P' : name.front();
        }
        return text;
    };
    CHECK(marked(2014_y / 3 / 7) == winter);  // Friday before the household's clock changes
    CHECK(marked(2014_y / 3 / 10) == later);
    CHECK(marked(2014_y / 4 / 4) == later);
    CHECK(marked(2014_y / 4 / 7) == winter);
    CHECK(marked(2014_y / 4 / 30) == winter);
    CHECK(marked(2014_y / 5 / 1) == summer);
    CHECK(marked(2014_y / 5 / 3) == winter);  // Saturday: partial 17 to 20
    CHECK(marked(2014_y / 10 / 24) == summer);
    CHECK(marked(2014_y / 10 / 27) == summer_later);
    CHECK(marked(2014_y / 10 / 31) == summer_later);
    CHECK(marked(2014_y / 10 / 26) == later);  // Sunday
    CHECK(marked(2014_y / 11 / 3) == winter);
}
