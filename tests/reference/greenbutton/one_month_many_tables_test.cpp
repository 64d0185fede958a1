// The committed month, written as the tables utilities write: each must give back the same watt-hours.
#include <functional>

#include <date/date.h>

#include "io/csv/interval_csv.hpp"
#include "io/greenbutton/greenbutton.hpp"
#include "io/zone/zone.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/samples.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace std::chrono_literals;
using tests::utc;

namespace {

const EnergySeries& month() {
    static const EnergySeries series =
        read_green_button(tests::committed("reference/greenbutton/hourlyForMonthMar.xml"))
            .value()
            .meters[0]
            .series.value()
            .kept;
    return series;
}

Zone zone(const std::string& name) {
    const auto read = load_zone(name, {utc(2011, 2, 1), utc(2011, 5, 1)}, utc(2011, 3, 1));
    REQUIRE(read.ok());
    return read.value();
}

std::string decimal(std::int64_t count, int scale, char mark = '.') {
    std::string text = decimal_text(count, scale);
    std::ranges::replace(text, '.', mark);
    return text;
}

std::string label(const Zone& clock, Instant at) { return date::format("%F %H:%M", clock.civil(at)); }

// One row per reading, its label and its value as `write` says, after a row of headings.
std::string table(const std::function<std::string(const EnergyReading&)>& write) {
    std::string text = "time,energy\n";
    for (const EnergyReading& reading : month()) text += write(reading) + "\n";
    return text;
}

EnergySeries read_back(const std::string& text, const CsvMap& map, const Zone& clock) {
    const auto read = read_interval_csv(text, "month.csv", map, clock);
    if (!read.ok()) FAIL(io::text(read.faults().front()));
    CHECK(read.value().warnings.empty());
    return site::totals(read.value().history);
}

CsvMap map_of(CsvUnit unit) {
    CsvMap map;
    map.time = {std::string("time")};
    map.readings = {{std::string("energy"), {}}};
    map.unit = unit;
    map.label = LabelMeans::start;
    return map;
}

}  // namespace

TEST_CASE("one month, whatever unit it is written in, is one series") {
    const Zone clock = zone("America/New_York");
    SECTION("kWh") {
        CHECK(read_back(table([&](const EnergyReading& r) {
                            return label(clock, r.when.begin) + "," + decimal(r.energy.count(), 6);
                        }),
                        map_of(CsvUnit::kilowatt_hours), clock) == month());
    }
    SECTION("Wh") {
        CHECK(read_back(table([&](const EnergyReading& r) {
                            return label(clock, r.when.begin) + "," + decimal(r.energy.count(), 3);
                        }),
                        map_of(CsvUnit::watt_hours), clock) == month());
    }
    SECTION("mean kW over the hour") {
        CHECK(read_back(table([&](const EnergyReading& r) {
                            return label(clock, r.when.begin) + "," + decimal(r.energy.count(), 6);
                        }),
                        map_of(CsvUnit::mean_kilowatts), clock) == month());
    }
    SECTION("mean W over the hour") {
        CHECK(read_back(table([&](const EnergyReading& r) {
                            return label(clock, r.when.begin) + "," + decimal(r.energy.count(), 3);
                        }),
                        map_of(CsvUnit::mean_watts), clock) == month());
    }
    SECTION("a register of five digits that rolls over on the way") {
        std::int64_t count = 98'500'000'000;  // milliwatt-hours: 98,500 kWh
        std::string text = "time,energy\n" + label(clock, month().front().when.begin) + ",98500\n";
        for (const EnergyReading& r : month()) {
            count = (count + r.energy.count()) % 100'000'000'000;
            text += label(clock, r.when.end) + "," + decimal(count, 6) + "\n";
        }
        CsvMap map = map_of(CsvUnit::kilowatt_hours);
        map.label.reset();
        map.is_register = true;
        map.register_digits = 5;
        const auto read = read_interval_csv(text, "month.csv", map, clock);
        REQUIRE(read.ok());
        CHECK(site::totals(read.value().history) == month());
        REQUIRE(read.value().warnings.size() == 1);
        CHECK(read.value().warnings[0].what == "went back: taken for rolling over");
    }
}

TEST_CASE("one month, whatever its labels, is one series") {
    const auto name = GENERATE("America/New_York", "Europe/Stockholm", "");
    const Zone clock = *name == '\0' ? Zone::fixed(-5h) : zone(name);
    const auto energy = [](const EnergyReading& r) { return "," + decimal(r.energy.count(), 6); };
    CAPTURE(clock.name());
    CsvMap map = map_of(CsvUnit::kilowatt_hours);
    SECTION("the beginning of the interval") {
        CHECK(read_back(table([&](const auto& r) { return label(clock, r.when.begin) + energy(r); }), map,
                        clock) == month());
    }
    SECTION("its end") {
        map.label = LabelMeans::end;
        CHECK(read_back(table([&](const auto& r) { return label(clock, r.when.end) + energy(r); }), map,
                        clock) == month());
    }
    SECTION("newest first") {
        std::string text;
        for (const EnergyReading& r : month()) text.insert(0, label(clock, r.when.begin) + energy(r) + "\n");
        CHECK(read_back("time,energy\n" + text, map, clock) == month());
    }
    SECTION("a pattern, semicolons and decimal commas") {
        map.time_pattern = "%d.%m.%Y %H:%M";
        map.delimiter = ';';
        map.decimal = ',';
        std::string text = "time;energy\n";
        for (const EnergyReading& r : month()) {
            text += date::format("%d.%m.%Y %H:%M", clock.civil(r.when.begin)) + ";" +
                    decimal(r.energy.count(), 6, ',') + "\r\n";
        }
        CHECK(read_back(text, map, clock) == month());
    }
    SECTION("date and time of day in two columns, tabs, quotes, no headings") {
        map.time = {std::size_t{1}, std::size_t{2}};
        map.readings = {{std::size_t{4}, {}}};
        map.delimiter = '\t';
        map.header = false;
        std::string text;
        for (const EnergyReading& r : month()) {
            text += date::format("%F\t%H:%M\t\"say \"\"A\"\"\t, 1\"\t", clock.civil(r.when.begin)) +
                    decimal(r.energy.count(), 6) + "\n";
        }
        CHECK(read_back(text, map, clock) == month());
    }
    SECTION("labels with their own offset, read on any clock") {
        const std::string text = table([&](const auto& r) {
            return date::format("%FT%H:%M:00", r.when.begin - 5h) + "-05:00" + energy(r);
        });
        CHECK(read_back(text, map, clock) == month());
    }
}

TEST_CASE("one month leg by leg adds up to the same series") {
    const Zone clock = zone("America/New_York");
    CsvMap map = map_of(CsvUnit::watt_hours);
    map.readings = {{std::string("b"), site::Leg::L2}, {std::string("a"), site::Leg::L1}};
    std::string text = "time,a,b\n";
    for (const EnergyReading& r : month()) {
        text += label(clock, r.when.begin) + ",100," + decimal(r.energy.count() - 100'000, 3) + "\n";
    }
    const auto read = read_interval_csv(text, "month.csv", map, clock);
    REQUIRE(read.ok());
    CHECK(read.value().history.legs == site::Legs{site::Leg::L1, site::Leg::L2});
    CHECK(read.value().history.rows[0].energy[0] == MilliwattHours(100'000));
    CHECK(site::totals(read.value().history) == month());
}
