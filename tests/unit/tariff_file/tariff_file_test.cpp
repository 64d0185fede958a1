#include "io/tariff_file/tariff_file.hpp"

#include <filesystem>

#include "core/tariff/coverage.hpp"
#include "support/catch.hpp"
#include "support/tariff_reading.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace std::chrono_literals;
using date::operator""_y;
using date::sys_days;

namespace {

tariff::Tariff good(const std::string& yaml) {
    const auto read = read_tariff_text("format: 1\nname: T\ncurrency: CAD\n" + yaml, "t.yaml", "/nowhere");
    if (!read.ok()) FAIL(text(read.faults().front()));
    return read.value();
}

Rate total(const tariff::Tariff& tariff, const Zone& clock, Instant at) {
    const auto priced = tariff::price_curve(tariff, clock, {at, at + 1s});
    return std::get<tariff::PriceCurve>(priced).front().marginal;
}

}  // namespace

TEST_CASE("the shortest tariff file is one price") {
    const auto tariff = good("revisions:\n  - {from: 2026-01-01, windows: [{name: all, per_kwh: 0.132}]}\n");
    CHECK(std::holds_alternative<tariff::SiteClock>(tariff.clock));
    CHECK(tariff.revisions[0].windows[0].rate == Rate(132'000'000'000));
    CHECK(tariff.revisions[0].windows[0].days == tariff::DaySet::every_day());
    CHECK(tariff.day_start == 0s);
}

TEST_CASE("a day may start late, or after noon the evening before") {
    const auto start = [](const std::string& time) {
        return good("day_starts: \"" + time +
                    "\"\nrevisions:\n  - {from: 2026-01-01, windows: [{name: all, per_kwh: 0.132}]}\n")
            .day_start;
    };
    CHECK(start("06:00") == 6h);
    CHECK(start("12:00") == 12h);
    CHECK(start("12:01") == -(11h + 59min));
    CHECK(start("23:00") == -1h);
}

TEST_CASE("words for days become sets of days") {
    const auto tariff = good(
        "holidays: {days: [{name: New Year, date: 01-01}]}\n"
        "revisions:\n  - from: 2026-01-01\n    windows:\n"
        "      - {name: a, days: [mon, holidays], per_kwh: 0.1}\n"
        "      - {name: b, days: [weekends], per_kwh: 0.1}\n"
        "      - {name: c, days: [weekdays, sat], per_kwh: 0.1}\n");
    const auto& windows = tariff.revisions[0].windows;
    CHECK(windows[0].days == tariff::DaySet{{false, true, false, false, false, false, false}, true});
    CHECK(windows[1].days == tariff::DaySet{{true, false, false, false, false, false, true}, false});
    CHECK(windows[2].days == tariff::DaySet{{false, true, true, true, true, true, true}, false});
}

TEST_CASE("a season of two parts is listed twice under one name") {
    const auto tariff = good(
        "seasons:\n"
        "  - {name: mild, from: 04-01, to: 06-30}\n"
        "  - {name: hot, from: 07-01, to: 08-31}\n"
        "  - {name: mild, from: 09-01, to: 10-31}\n"
        "  - {name: cold, from: 11-01, to: 03-31}\n"
        "revisions:\n  - from: 2026-01-01\n    windows:\n"
        "      - {name: mild, seasons: [mild], per_kwh: 0.1}\n"
        "      - {name: other, seasons: [hot, cold], per_kwh: 0.2}\n");
    CHECK(tariff.revisions[0].windows[0].seasons == std::vector<std::size_t>{0, 2});
}

TEST_CASE("holidays by every kind of rule fall where the rule says") {
    const auto tariff = good(
        "holidays:\n  observed: nearest-weekday\n  days:\n"
        "    - {name: fixed, date: 07-04}\n"
        "    - {name: nth, weekday: thu, of: 11, nth: 4}\n"
        "    - {name: last, weekday: mon, of: 5, nth: -1}\n"
        "    - {name: before, weekday: mon, on_or_before: 05-24}\n"
        "    - {name: after, weekday: fri, on_or_after: 11-23}\n"
        "    - {name: easter, easter: -2}\n"
        "    - {name: once, on: 2026-08-11}\n"
        "    - {name: stays, date: 08-15, observed: as-is}\n"
        "    - {name: eve, date: 12-26, only_if_weekday: yes}\n"
        "    - {name: old, date: 06-01, last_year: 2025}\n"
        "revisions:\n  - {from: 2026-01-01, windows: [{name: all, per_kwh: 0.1}]}\n");
    std::vector<std::string> days;
    for (const auto& day : tariff.holidays.in_year(2026)) {
        days.push_back(date::format("%m-%d ", sys_days{day.observed}) + day.name);
    }
    // 2026: July 4 and August 15 are Saturdays, so is December 26.
    CHECK(days == std::vector<std::string>{"04-03 easter", "05-18 before", "05-25 last", "07-03 fixed",
                                           "08-11 once", "08-15 stays", "11-26 nth", "11-27 after"});
}

TEST_CASE("every tariff of the tree is accepted and prices ten years", "[files]") {
    std::size_t files = 0;
    for (const char* folder : {"/config", "/tests/reference/tariffs"}) {
        for (const auto& entry :
             std::filesystem::recursive_directory_iterator(std::string(LULLWATT_SOURCE_DIR) + folder)) {
            const auto& path = entry.path();
            const bool tariff_file =
                path.extension() == ".yaml" &&
                (path.parent_path().filename() == "tariffs" || path.filename() == "tariff.yaml");
            if (!tariff_file) continue;
            INFO(path);
            const auto read = read_tariff_file(path);
            if (!read.ok()) FAIL_CHECK(text(read.faults().front()));
            if (!read.ok()) continue;
            ++files;
            CHECK(tariff::holes(read.value()).empty());
            const auto priced = tariff::price_curve(read.value(), Zone::fixed(0s),
                                                    {sys_days{2026_y / 2 / 1}, sys_days{2036_y / 2 / 1}});
            CHECK(std::holds_alternative<tariff::PriceCurve>(priced));
        }
    }
    CHECK(files >= 10);
}

TEST_CASE("Tidewater's night: 18.6 kWh cost 2.09, tax and rider included") {
    const auto tariff = testing::read_tariff("config/tariffs/tidewater-night.yaml");
    const Zone clock = Zone::fixed(-4h);
    const Instant midnight = sys_days{2026_y / 1 / 14} + 4h;  // Wednesday
    const auto cost = [&](Seconds at) {
        return rounded(MilliwattHours(18'600'000) * total(tariff, clock, midnight + at), 2);
    };
    CHECK(cost(2h) == Money(2'090'000));   // (0.0855 + 0.0131) × 1.14 × 18.6 = 2.0907
    CHECK(cost(12h) == Money(3'740'000));  // (0.1635 + 0.0131) × 1.14 × 18.6 = 3.7446
    CHECK(cost(18h) == Money(5'550'000));  // (0.2485 + 0.0131) × 1.14 × 18.6 = 5.5470
}
