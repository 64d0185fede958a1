// Days by names of their own, orders, and revisions with a last day.
#include <string>
#include <vector>

#include "core/tariff/price_curve.hpp"
#include "io/tariff_file/tariff_file.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using date::sys_days;
using date::operator""_y;

namespace {

const std::string kHead = "format: 1\nname: T\ncurrency: CAD\n";

using Messages = std::vector<std::string>;

Messages messages(const std::string& yaml) {
    const auto read = io::read_tariff_text(yaml, "t.yaml", ".");
    Messages texts;
    if (read.ok()) return texts;
    for (const io::Fault& fault : read.faults()) texts.push_back(text(fault));
    return texts;
}

tariff::Tariff good(const std::string& yaml) {
    const auto read = io::read_tariff_text(yaml, "t.yaml", ".");
    if (!read.ok()) FAIL(text(read.faults().front()));
    return read.value();
}

// Which price holds at a wall-clock time of a clock without changes.
std::string name_at(const tariff::Tariff& tariff, CivilTime label) {
    const Instant at{label.time_since_epoch()};
    const auto priced = tariff::price_curve(tariff, Zone::fixed(0s), {at, at + 1s});
    return std::holds_alternative<tariff::PriceCurve>(priced) ? std::get<tariff::PriceCurve>(priced)[0].name
                                                              : "none";
}

}  // namespace

TEST_CASE("days may have names of their own, and times need no quotes") {
    const auto tariff = good(R"(format: 1
name: T
currency: CAD
day_types:
  - {name: market days, days: [tue, fri]}
  - {name: busy days, days: [market days, holidays]}
holidays: {days: [{name: Feast, date: 08-15}]}
revisions:
  - from: 2026-01-01
    windows:
      - {name: busy, days: [busy days], from: 07:00, to: 12:00, per_kwh: 0.2}
      - {name: quiet, per_kwh: 0.1}
)");
    CHECK(name_at(tariff, date::local_days{2026_y / 6 / 2} + 8h) == "busy");   // a Tuesday
    CHECK(name_at(tariff, date::local_days{2026_y / 6 / 3} + 8h) == "quiet");  // a Wednesday
    CHECK(name_at(tariff, date::local_days{2026_y / 8 / 15} + 8h) == "busy");  // the feast
    CHECK(name_at(tariff, date::local_days{2026_y / 6 / 2} + 12h) == "quiet");
}

TEST_CASE("an order prices whole days as one of the windows, by the revision in force") {
    const auto tariff = good(R"(format: 1
name: T
currency: CAD
revisions:
  - {from: 2026-01-01, windows: [{name: low, to: 06:00, per_kwh: 0.10}, {name: high, per_kwh: 0.20}]}
  - {from: 2026-04-01, windows: [{name: low, to: 06:00, per_kwh: 0.11}, {name: high, per_kwh: 0.20}]}
overrides:
  - {from: 2026-03-31, to: 2026-04-01, name: low}
)");
    const auto priced = tariff::price_curve(
        tariff, Zone::fixed(0s), {sys_days{2026_y / 3 / 30} + 12h, sys_days{2026_y / 4 / 2} + 12h});
    const auto& pieces = std::get<tariff::PriceCurve>(priced);
    REQUIRE(pieces.size() == 4);
    CHECK(pieces[1].name == "low");
    CHECK(pieces[1].when == Interval{sys_days{2026_y / 3 / 31}, sys_days{2026_y / 4 / 1}});
    CHECK(pieces[2].rate == Rate(110'000'000'000));
    CHECK(pieces[2].when.end == sys_days{2026_y / 4 / 2} + 6h);
    CHECK(pieces[3].name == "high");
}

TEST_CASE("nothing is priced after a revision's last day") {
    const auto tariff = good(R"(format: 1
name: T
currency: CAD
revisions:
  - {from: 2026-01-01, to: 2026-01-31, windows: [{name: all, per_kwh: 0.1}]}
)");
    CHECK(name_at(tariff, date::local_days{2026_y / 1 / 31} + 23h + 59min) == "all");
    CHECK(name_at(tariff, date::local_days{2026_y / 2 / 1}) == "none");
}

TEST_CASE("a faulty tariff: days are called by words the file knows") {
    CHECK(messages(kHead + R"(day_types:
  - {name: club, days: [tue, thrusday]}
  - {name: weekdays, days: [mon]}
  - {name: empty, days: []}
revisions:
  - from: 2026-01-01
    windows:
      - {name: a, days: [clubs], per_kwh: 0.1}
      - {name: b, days: [market day], per_kwh: 0.1}
      - {name: b, days: [], per_kwh: 0.1}
      - {name: c, days: [holidays], per_kwh: 0.1}
      - {name: d, per_kwh: 0.1}
)") == Messages{
           R"(t.yaml:5:30: day_types[0].days[1] 'thrusday': is no kind of day. Allowed: every-day | weekdays | weekends | holidays | mon | tue | wed | thu | fri | sat | sun. Mend: name it under 'day_types'.)",
           R"(t.yaml:6:12: day_types[1].name 'weekdays': has a meaning already. Allowed: a name not used yet. Mend: give it another name.)",
           R"(t.yaml:7:19: day_types[2].days: is an empty list. Allowed: every-day | weekdays | weekends | holidays | mon | tue | wed | thu | fri | sat | sun | club. Mend: name the days.)",
           R"(t.yaml:11:26: revisions[0].windows[0].days[0] 'clubs': is no kind of day. Allowed: every-day | weekdays | weekends | holidays | mon | tue | wed | thu | fri | sat | sun | club | empty. Mend: did you mean 'club'?)",
           R"(t.yaml:12:26: revisions[0].windows[1].days[0] 'market day': is no kind of day. Allowed: every-day | weekdays | weekends | holidays | mon | tue | wed | thu | fri | sat | sun | club | empty. Mend: name it under 'day_types'.)",
           R"(t.yaml:13:19: revisions[0].windows[2].days: is an empty list. Allowed: every-day | weekdays | weekends | holidays | mon | tue | wed | thu | fri | sat | sun | club | empty. Mend: name the days.)",
           R"(t.yaml:14:26: revisions[0].windows[3].days[0] 'holidays': is said of a tariff without holidays. Mend: list them under 'holidays', or remove the word.)",
       });
}

TEST_CASE("a faulty tariff: an empty list says neither all nor none") {
    CHECK(messages(kHead + R"(revisions:
  - from: 2026-01-01
    windows:
      - {name: a, seasons: [], per_kwh: 0.1}
      - {name: b, per_kwh: 0.1}
holidays: {days: []}
)") == Messages{
           R"(t.yaml:7:19: revisions[0].windows[0].seasons: is an empty list. Mend: name the seasons, or leave it out if all are meant.)",
           R"(t.yaml:9:12: holidays.days: is an empty list. Allowed: at least one holiday. Mend: leave out 'holidays' if there are none.)",
       });
}

TEST_CASE("a faulty tariff: a revision with a last day leaves no gap and no overlap") {
    CHECK(messages(kHead + R"(revisions:
  - {from: 2026-01-01, to: 2026-03-31, windows: [{name: a, per_kwh: 0.1}]}
  - {from: 2026-05-01, to: 2026-06-30, windows: [{name: a, per_kwh: 0.1}]}
  - {from: 2026-06-30, to: 2026-06-01, windows: [{name: a, per_kwh: 0.1}]}
)") == Messages{
           R"(t.yaml:6:12: revisions[1].from '2026-05-01': leaves the days from 2026-04-01 on without a price. Allowed: no gap between revisions. Mend: add the revision that is missing, or leave out the 'to' above.)",
           R"(t.yaml:7:12: revisions[2].from '2026-06-30': is within the revision above it, which holds to 2026-06-30. Allowed: a date after 2026-06-30. Mend: leave out that revision's 'to', or mend it.)",
           R"(t.yaml:7:28: revisions[2].to '2026-06-01': is before 'from'. Allowed: a date from 2026-06-30 on. Mend: swap the two, or mend the year.)",
       });
}

TEST_CASE("a faulty tariff: an override has its days in order, its own, and a price") {
    CHECK(messages(kHead + R"(revisions:
  - {from: 2026-01-01, windows: [{name: low, per_kwh: 0.1}]}
overrides:
  - {from: 2026-03-24, to: 2026-03-01, name: low}
  - {from: 2026-04-01, to: 2026-04-30, name: lwo}
  - {from: 2026-04-30, to: 2026-05-02, name: order, per_kwh: 7.4}
)") == Messages{
           R"(t.yaml:7:28: overrides[0].to '2026-03-01': is before 'from'. Allowed: a date from 2026-03-24 on. Mend: swap the two, or mend the year.)",
           R"(t.yaml:8:46: overrides[1].name 'lwo': is no window of this file, and no price stands beside it. Allowed: the name of a window, or 'per_kwh' beside a name of its own. Mend: add 'per_kwh'.)",
           R"(t.yaml:9:12: overrides[2].from '2026-04-30': overlaps the override 'lwo' of 2026-04-01 to 2026-04-30. Allowed: days that no other override names. Mend: shorten one of them.)",
           R"(t.yaml:9:62: overrides[2].per_kwh '7.4': is more than a kilowatt-hour costs: were hundredths written for whole units? Allowed: a price below 2 CAD per kWh. Mend: write '0.074', or state 'large_rates: yes'.)",
       });
}
