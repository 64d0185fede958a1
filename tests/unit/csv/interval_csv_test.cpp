#include "io/csv/interval_csv.hpp"

#include "support/catch.hpp"
#include "support/house.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace std::chrono_literals;
using tests::halifax;
using tests::utc;

namespace {

CsvMap map_of_start() {
    CsvMap map;
    map.time = {std::string("time")};
    map.readings = {{std::string("kWh"), {}}};
    map.label = LabelMeans::start;
    return map;
}

std::string told(const Faults& faults) {
    std::string out;
    for (const Fault& fault : faults) out += text(fault) + "\n";
    return out;
}

// What reading says: its warnings, or its faults.
std::string told(const std::string& text, const CsvMap& map, const Zone& clock = halifax()) {
    const auto read = read_interval_csv(text, "house.csv", map, clock);
    return told(read.ok() ? read.value().warnings : read.faults());
}

std::vector<Instant> beginnings(const std::string& text, const CsvMap& map, const Zone& clock = halifax()) {
    const auto read = read_interval_csv(text, "house.csv", map, clock);
    if (!read.ok()) FAIL(told(read.faults()));
    std::vector<Instant> found;
    for (const site::HistoryRow& row : read.value().history.rows) found.push_back(row.when.begin);
    return found;
}

}  // namespace

TEST_CASE("in the hour a clock repeats the order of rows decides") {
    const Instant first = utc(2026, 11, 1, 4h);  // 01:00 ADT
    const std::vector<Instant> halves = {first - 30min, first,         first + 30min,
                                         first + 1h,    first + 90min, first + 2h};
    SECTION("labels of beginnings") {
        CHECK(beginnings("time,kWh\n2026-11-01 00:30,1\n2026-11-01 01:00,1\n2026-11-01 01:30,1\n"
                         "2026-11-01 01:00,1\n2026-11-01 01:30,1\n2026-11-01 02:00,1\n",
                         map_of_start()) == halves);
    }
    SECTION("labels of ends") {
        CsvMap map = map_of_start();
        map.label = LabelMeans::end;
        CHECK(beginnings("time,kWh\n2026-11-01 01:00,1\n2026-11-01 01:30,1\n2026-11-01 01:00,1\n"
                         "2026-11-01 01:30,1\n2026-11-01 02:00,1\n2026-11-01 02:30,1\n",
                         map) == halves);
    }
    SECTION("newest first the order is turned round") {
        CHECK(beginnings("time,kWh\n2026-11-01 02:00,1\n2026-11-01 01:30,1\n2026-11-01 01:00,1\n"
                         "2026-11-01 01:30,1\n2026-11-01 01:00,1\n2026-11-01 00:30,1\n",
                         map_of_start()) == halves);
    }
    SECTION("given once, the second pass is a gap and told") {
        CHECK(
            told("time,kWh\n2026-11-01 00:30,1\n2026-11-01 01:00,1\n2026-11-01 01:30,1\n2026-11-01 02:00,1\n",
                 map_of_start()) ==
            "house.csv:5:1: time '2026-11-01 02:00, 3600 s are missing before it': comes after a gap without "
            "readings.\n");
    }
}

TEST_CASE("24:00 is the midnight that ends a day") {
    CsvMap map = map_of_start();
    map.label = LabelMeans::end;
    CHECK(beginnings("time,kWh\n2026-01-14T23:00,1\n2026-01-14T24:00,1\n2026-01-15T01:00,1\n", map) ==
          std::vector<Instant>{utc(2026, 1, 15, 2h), utc(2026, 1, 15, 3h), utc(2026, 1, 15, 4h)});
}

TEST_CASE("what is missing is a gap and told, never 0") {
    SECTION("an empty cell") {
        const std::string text =
            "time,kWh\n2026-01-14 00:00,1\n2026-01-14 01:00,\n2026-01-14 02:00,1\n2026-01-14 03:00,1\n";
        CHECK(beginnings(text, map_of_start()).size() == 3);
        CHECK(
            told(text, map_of_start()) ==
            "house.csv:3:18: kWh: has no value: left as a gap.\n"
            "house.csv:4:1: time '2026-01-14 02:00, 3600 s are missing before it': comes after a gap without "
            "readings.\n");
    }
    SECTION("means no house draws") {
        CHECK(told("time,kWh\n2026-01-14 00:00,981\n2026-01-14 01:00,930\n", map_of_start()) ==
              "house.csv: has means above 100 kW, the first from 2026-01-14T04:00:00Z. Mend: check the unit: "
              "no house "
              "draws that.\n");
    }
}

TEST_CASE("a register is read as its differences") {
    CsvMap map = map_of_start();
    map.is_register = true;
    const auto energies = [&](const std::string& text) {
        const auto read = read_interval_csv("time,kWh\n" + text, "house.csv", map, halifax());
        REQUIRE(read.ok());
        std::vector<std::int64_t> found;
        for (const site::HistoryRow& row : read.value().history.rows)
            found.push_back(row.energy[0].count() / 1000);
        return found;
    };
    const std::string over =
        "2026-01-14 00:00,99950\n2026-01-14 01:00,99951.5\n2026-01-14 02:00,40\n2026-01-14 03:00,41\n";
    SECTION("rolling over where its digits say so") {
        map.register_digits = 5;
        CHECK(energies(over) == std::vector<std::int64_t>{1'500, 88'500, 1'000});
    }
    SECTION("taken for a reset where they are not given") {
        CHECK(energies(over) == std::vector<std::int64_t>{1'500, 1'000});
        CHECK(told("time,kWh\n" + over, map) ==
              "house.csv:4:18: kWh '99951.5 to 40': went back: taken for a reset, and left as a gap. Mend: "
              "if the "
              "register rolled over, give its number of digits.\n");
    }
    SECTION("taken for a reset where rolling over would be further than half way round") {
        map.register_digits = 6;
        CHECK(energies(over) == std::vector<std::int64_t>{1'500, 1'000});
        CHECK(told("time,kWh\n" + over, map) ==
              "house.csv:4:18: kWh '99951.5 to 40': went back further than by rolling over: taken for a "
              "reset, and left "
              "as a gap.\n");
    }
    SECTION("one difference over a gap") {
        const std::string gap =
            "2026-01-14 00:00,10\n2026-01-14 01:00,11\n2026-01-14 03:00,15\n2026-01-14 04:00,16\n";
        CHECK(energies(gap) == std::vector<std::int64_t>{1'000, 4'000, 1'000});
        CHECK(told("time,kWh\n" + gap, map) ==
              "house.csv:4:1: time '2026-01-14 03:00, 3600 s are missing before it': comes after a gap: one "
              "difference covers it.\n");
    }
}

TEST_CASE("decimals that binary arithmetic left behind do not count") {
    const auto read =
        read_interval_csv("time,kWh\n2026-01-14 00:00,0.48700000000000004\n2026-01-14 01:00,.5\n",
                          "house.csv", map_of_start(), halifax());
    REQUIRE(read.ok());
    CHECK(read.value().history.rows[0].energy[0] == MilliwattHours(487'000));
    CHECK(read.value().history.rows[1].energy[0] == MilliwattHours(500'000));
}

TEST_CASE("a faulty table is refused with every fault's place, and what to do") {
    struct Case {
        std::string text;
        std::string message;
        CsvMap map = map_of_start();
    };
    CsvMap net = map_of_start();
    net.interval = 15min;
    CsvMap numbered = map_of_start();
    numbered.readings = {{std::size_t{3}, {}}};
    CsvMap pattern = map_of_start();
    pattern.time_pattern = "%d/%m/%Y %H:%M";
    CsvMap comma = map_of_start();
    comma.delimiter = ';';
    comma.decimal = ',';
    const std::string begin = "time,kWh\n2026-03-08 00:00,1\n2026-03-08 01:00,1\n";
    const std::vector<Case> cases = {
        {"", "house.csv: holds no readings. Mend: name the file that was downloaded.\n"},
        {std::string("t\0i\0m\0e\0", 8),
         "house.csv: is not plain text in UTF-8. Mend: save it as CSV in UTF-8.\n"},
        {"time,kWh\n", "house.csv: holds no readings. Mend: name the file that was downloaded.\n"},
        {"when,kWh\n2026-01-14 00:00,1\n", "house.csv:1: 'time': names no column. Allowed: when, kWh.\n"},
        {"time,kWh,kWh\n2026-01-14 00:00,1,1\n",
         "house.csv:1: 'kWh': names more than one column. Mend: give the column's number instead.\n"},
        {begin, "house.csv:1: '3': has no such column. Allowed: 1 to 2. Mend: is the delimiter right?\n",
         numbered},
        {begin + "2026-03-08 02:00,1\n",
         "house.csv:4:1: time '2026-03-08 02:00': does not exist: the clock America/Halifax skips it. Mend: "
         "if the "
         "meter's clock never changes, give its offset from UTC instead of the zone.\n"},
        {begin + "2026-03-08 01:00,1\n",
         "house.csv:4:1: time '2026-03-08 01:00, also on line 3': stands twice. Mend: delete the wrong one "
         "of the two "
         "lines.\n"},
        {begin + "2026-03-08 00:00,1\n2026-03-08 03:00,1\n",
         "house.csv:4:1: time '2026-03-08 00:00, after 2026-03-08 01:00 on line 3': is earlier than the "
         "label before "
         "it. Mend: sort the rows by time.\n"},
        {begin + "2026-03-08 03:20,1\n",
         "house.csv:4:1: time '2026-03-08 03:20, 4800 s after line 3': is not a whole number of intervals of "
         "3600 s "
         "after the label before it.\n"},
        {begin + "2026-03-08 03:00,-1\n",
         "house.csv:4:18: kWh '-1': is negative. Allowed: 0 or more. Mend: if the meter counts net of "
         "export, say "
         "so.\n"},
        {begin + "2026-03-08 03:00,n/a\n2026-03-08 04:00,\"1,5\"\n",
         "house.csv:4:18: kWh 'n/a': is not a number. Allowed: digits with at most one decimal '.', no "
         "separators of "
         "thousands. Mend: give the decimal mark, or name the right column.\n"
         "house.csv:5:18: kWh '1,5': is not a number. Allowed: digits with at most one decimal '.', no "
         "separators of "
         "thousands. Mend: give the decimal mark, or name the right column.\n"},
        {"time;kWh\n2026-01-14 00:00;1.234,5\n2026-01-14 01:00;1,5\n",
         "house.csv:2:18: kWh '1.234,5': is not a number. Allowed: digits with at most one decimal ',', no "
         "separators "
         "of thousands. Mend: give the decimal mark, or name the right column.\n",
         comma},
        {begin + "2026-03-08 03:00\n",
         "house.csv:4: '1': has another number of columns than the first line. Allowed: 2. Mend: is the "
         "delimiter "
         "right, and every text that holds it quoted?\n"},
        {begin + "\"2026-03-08 03:00,1\n",
         "house.csv:4: opens a quote that is never closed. Mend: close or drop it.\n"},
        {begin + "8 March 03:00,1\n",
         "house.csv:4:1: time '8 March 03:00': is not a time as the map says. Allowed: ISO 8601, such as "
         "2026-03-01T14:15 or 2026-03-01 14:15:00-04:00. Mend: give the pattern of the times, such as "
         "%d.%m.%Y "
         "%H:%M.\n"},
        {"time,kWh\n08/03/2026 00:00,1\n31/02/2026 01:00,1\n08/03/2026 01:00,1\n",
         "house.csv:3:1: time '31/02/2026 01:00': is not a time as the map says. Allowed: the pattern "
         "%d/%m/%Y %H:%M. "
         "Mend: give the pattern of the times, such as %d.%m.%Y %H:%M.\n",
         pattern},
        {"time,kWh\n2026-01-14 00:00,1\n",
         "house.csv: holds one reading, so how long it lasted is not known. Mend: give the interval's "
         "length.\n"},
        {begin,
         "house.csv: has labels that are mostly 3600 s apart. Allowed: the interval given, 900 s. Mend: "
         "correct the "
         "interval.\n",
         net},
        {"time,kWh\n2026-01-14 00:00,1\n2026-01-15 00:00,1\n",
         "house.csv: '86400 s': has intervals too long to say anything of the time of day. Allowed: up to "
         "3600 s. "
         "Mend: ask the utility for finer data.\n"},
        {"time,kWh\n2150-01-14 00:00,1\n2150-01-14 01:00,1\n",
         "house.csv:2:1: time '2150-01-14 00:00': is outside the time the clock is known for. Allowed: "
         "1970-01-01T00:00:00Z to 2030-03-17T17:46:40Z.\n"
         "house.csv:3:1: time '2150-01-14 01:00': is outside the time the clock is known for. Allowed: "
         "1970-01-01T00:00:00Z to 2030-03-17T17:46:40Z.\n"},
    };
    for (const Case& faulty : cases) {
        INFO(faulty.text);
        CHECK(told(faulty.text, faulty.map) == faulty.message);
    }
}

TEST_CASE("a table wrong on every line names twenty and counts the rest") {
    std::string text = "time,kWh\n";
    for (int line = 0; line < 500; ++line) text += "never,1\n";
    const auto read = read_interval_csv(text, "house.csv", map_of_start(), halifax());
    REQUIRE_FALSE(read.ok());
    REQUIRE(read.faults().size() == 21);
    CHECK(io::text(read.faults()[20]) == "house.csv: time: and 480 more: is not a time as the map says.");
}
