// Whatever bytes stand in a meter's file, reading it gives readings or faults: it neither crashes nor hangs,
// and what it gives keeps the rules of a history.
#include <algorithm>
#include <rapidcheck.h>

#include "io/csv/interval_csv.hpp"
#include "io/greenbutton/greenbutton.hpp"
#include "io/history/history.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/samples.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace std::chrono_literals;

namespace {

// A valid text with some stretches cut, doubled or overwritten.
std::string mutated(std::string text) {
    const int changes = *rc::gen::inRange(1, 8);
    for (int i = 0; i < changes && !text.empty(); ++i) {
        const auto at = *rc::gen::inRange<std::size_t>(0, text.size());
        const auto length = *rc::gen::inRange<std::size_t>(0, 12);
        switch (*rc::gen::inRange(0, 4)) {
            case 0:
                text.erase(at, length);
                break;
            case 1:
                text.insert(at, text.substr(at, length * 5));
                break;
            case 2:
                text[at] = *rc::gen::arbitrary<char>();
                break;
            default:
                text.replace(at, 1,
                             *rc::gen::element<std::string>("9", "-", "<", "\"", ",", "\n", "&", "e9"));
                break;
        }
    }
    return text;
}

template <class Rows>
void check_ascending(const Rows& rows) {
    for (std::size_t i = 0; i < rows.size(); ++i) {
        RC_ASSERT(rows[i].when.begin < rows[i].when.end);
        if (i > 0) RC_ASSERT(rows[i - 1].when.end <= rows[i].when.begin);
    }
}

CsvMap any_map() {
    CsvMap map;
    map.time = {std::size_t{1}};
    map.readings = {{std::size_t{2}, site::Leg::L1}, {std::size_t{3}, site::Leg::L2}};
    map.is_register = *rc::gen::arbitrary<bool>();
    map.label = *rc::gen::element(LabelMeans::start, LabelMeans::end);
    map.unit = *rc::gen::element(CsvUnit::kilowatt_hours, CsvUnit::watt_hours);
    if (*rc::gen::arbitrary<bool>()) map.register_digits = *rc::gen::inRange(1, 10);
    map.may_be_negative = *rc::gen::arbitrary<bool>();
    return map;
}

const std::string kTable =
    "time,a,b\n2026-10-31 23:30,1.5,2\n2026-11-01 00:00,1,\"2\"\n2026-11-01 00:30,3,2\n2026-11-01 01:00,4,2\n"
    "2026-11-01 01:30,5,2\n2026-11-01 01:00,6,2\n2026-11-01 01:30,7,2\n2026-11-01 02:00,8,2\n";

}  // namespace

TEST_CASE("any table of readings is readings or faults") {
    REQUIRE(rc::check([] {
        const bool noise = *rc::gen::inRange(0, 4) == 0;
        const std::string text = noise ? *rc::gen::arbitrary<std::string>() : mutated(kTable);
        const auto read = read_interval_csv(text, "t.csv", any_map(), tests::halifax());
        if (!read.ok()) {
            RC_ASSERT(!read.faults().empty());
            return;
        }
        check_ascending(read.value().history.rows);
    }));
}

TEST_CASE("any history file is a history or faults, and a history survives its file") {
    REQUIRE(rc::check([] {
        site::MeterHistory history{"house", {site::Leg::L1, site::Leg::L3}, {}};
        Instant at = tests::utc(2026, 1, 1);
        for (int i = *rc::gen::inRange(0, 20); i > 0; --i) {
            at += Seconds{*rc::gen::inRange(0, 3)};
            site::HistoryRow row{{at, at + Seconds{*rc::gen::inRange(1, 4000)}}, {}, Quality::measured};
            row.energy[0] = MilliwattHours(*rc::gen::inRange(-1'000'000, 1'000'000'000));
            row.energy[2] = MilliwattHours(*rc::gen::inRange(-1'000'000, 1'000'000'000));
            row.quality = *rc::gen::element(Quality::measured, Quality::estimated, Quality::questionable);
            at = row.when.end;
            history.rows.push_back(row);
        }
        const auto same = parse_history(history_text(history), "h.csv");
        RC_ASSERT(same.ok());
        RC_ASSERT(same.value() == history);
        const auto other = parse_history(mutated(history_text(history)), "h.csv");
        if (other.ok()) check_ascending(other.value().rows);
    }));
}

TEST_CASE("any feed is meters or faults") {
    const std::string file =
        tests::bytes_of(tests::committed("reference/greenbutton/coastal-2011-clock-change-days.xml"));
    const std::string feed = file.substr(file.find("<feed"));
    int read_whole = 0;
    REQUIRE(rc::check([&] {
        const bool noise = *rc::gen::inRange(0, 4) == 0;
        const auto read =
            parse_green_button(noise ? *rc::gen::arbitrary<std::string>() : mutated(feed), "f.xml");
        if (!read.ok()) {
            RC_ASSERT(!read.faults().empty());
            return;
        }
        for (const GreenButtonMeter& meter : read.value().meters) {
            if (!meter.series.ok()) continue;
            ++read_whole;
            check_ascending(meter.series.value().kept);
            RC_ASSERT(meter.series.value().kept.size() == meter.series.value().costs.size());
        }
    }));
    CHECK(read_whole > 0);  // else this tried nothing
}
