// Forecast and worst load of the demo house against check_load.py, which shares with them only the history's
// file.
#include <array>
#include <sstream>
#include <string>

#include "core/site/forecast.hpp"
#include "core/site/worst_load.hpp"
#include "io/history/history.hpp"
#include "io/zone/zone.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/process.hpp"
#include "support/samples.hpp"

using namespace lullwatt;
using namespace lullwatt::site;
using namespace std::chrono_literals;
using date::operator""_y;

namespace {

const std::filesystem::path kHouse =
    std::filesystem::path(LULLWATT_SOURCE_DIR) / "config/harbour-row-9/history/house.csv";

MeterHistory house() {
    auto read = io::read_history(kHouse);
    REQUIRE(read.ok());
    return std::move(read).value();
}

Zone halifax() {
    const auto read = io::load_zone("America/Halifax", {tests::utc(2025, 1, 1), tests::utc(2027, 12, 31)},
                                    tests::utc(2026, 11, 1));
    REQUIRE(read.ok());
    return read.value();
}

// Thanksgiving, Christmas, Boxing and New Year's Day: enough to tell that holidays are heeded.
const std::vector<CivilDate> kHolidays = {2025_y / 12 / 25, 2025_y / 12 / 26, 2026_y / 1 / 1,
                                          2026_y / 10 / 12, 2027_y / 1 / 1};
bool is_holiday(CivilDate date) { return std::ranges::find(kHolidays, date) != kHolidays.end(); }

// A winter weekday, a Saturday, a holiday, both days the clocks change, the end of February.
const std::vector<CivilDate> kDays = {2026_y / 1 / 14, 2026_y / 1 / 17, 2027_y / 1 / 1,
                                      2026_y / 3 / 8,  2026_y / 11 / 1, 2027_y / 2 / 28};

std::string iso(CivilDate date) { return date::format("%F", date); }

// The judge's lines.
std::string judged(const std::string& split, const std::string& quantile) {
    std::string command = "python3 '" + (tests::committed("reference/load/check_load.py")).string() + "' '" +
                          kHouse.string() + "' America/Halifax 120 " + split + " " + quantile + " ";
    for (std::size_t i = 0; i < kHolidays.size(); ++i) command += (i == 0 ? "" : ",") + iso(kHolidays[i]);
    for (const CivilDate day : kDays) command += " " + iso(day);
    const tests::Process process = tests::run(command);
    REQUIRE(process.status == 0);
    return process.output;
}

bool near(Amps amps, double expected) { return std::abs(amps.count() - expected) < 1e-9; }

}  // namespace

TEST_CASE("forecast and worst load of the demo house agree with an independent reckoning",
          "[check:demo-house-load]") {
    if (!tests::python_can_judge()) SKIP_CASE("python3 with its zone data is not here");
    struct Setting {
        std::string split;
        std::string quantile;
    };
    const auto setting = GENERATE(Setting{"legs", "0.95"}, Setting{"total", "0.95"}, Setting{"legs", "0.5"});
    CAPTURE(setting.split, setting.quantile);
    MeterHistory history = house();
    if (setting.split == "total") {
        history.legs = {};
        for (HistoryRow& row : history.rows) row.energy = {total(row), MilliwattHours(0), MilliwattHours(0)};
    }
    const LegSplit split{{Leg::L1, Leg::L2}, Volts(120)};
    const Zone zone = halifax();
    const WorstLoad worst = worst_load({&history, split, {}, {}, {}}, zone);
    REQUIRE(worst.lack == HistoryLack::none);
    const LoadSource load =
        HistoryLoad::from(history, split, zone, is_holiday, {.quantile = std::stod(setting.quantile)})
            .value();

    std::istringstream lines(judged(setting.split, setting.quantile));
    std::string kind;
    std::int64_t which = 0;
    double l1 = 0;
    double l2 = 0;
    int hours = 0;
    int quarters = 0;
    int wrong = 0;
    while (lines >> kind >> which >> l1 >> l2) {
        LegAmps ours{};
        if (kind == "W") {
            ++hours;
            ours = worst.by_hour.at(static_cast<std::size_t>(which));
        } else {
            ++quarters;
            const Instant at{Seconds{which}};
            ours = forecast(load, {at, at + 15min}, zone, is_holiday).front().amps;
        }
        if (near(ours[0], l1) && near(ours[1], l2)) continue;
        if (++wrong == 1) UNSCOPED_INFO(kind << " " << which << ": " << ours[0].count() << " and not " << l1);
    }
    CHECK(hours == 24);
    CHECK(quarters == 4 * (24 * 4 + 23 + 25));
    CHECK(wrong == 0);
}

TEST_CASE("the demo house is quiet at night and busy on evenings, within a 125 A service") {
    const MeterHistory history = house();
    CHECK(history.rows.size() == 35'040);
    const WorstLoad worst = worst_load({&history, {{Leg::L1, Leg::L2}, Volts(120)}, {}, {}, {}}, halifax());
    for (const Leg leg : {Leg::L1, Leg::L2}) {
        CHECK(worst.greatest(leg).count() > 45 * 1.25);
        CHECK(worst.greatest(leg).count() < 55 * 1.25);
        for (std::size_t hour = 1; hour < 4; ++hour) CHECK(worst.at(leg, hour).count() < 25);
    }
    CHECK(worst.least_covered == 1.0);
}
