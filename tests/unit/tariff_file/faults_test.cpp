// Every mistake a tariff file can hold, with the whole message a person reads.
#include "io/tariff_file/tariff_file.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::io;

namespace {

struct Case {
    std::string rule;
    std::string yaml;
    std::vector<std::string> messages;
};

const std::string kHead = "format: 1\nname: T\ncurrency: CAD\n";
const std::string kOneRevision = "revisions:\n  - from: 2026-01-01\n    windows:\n";
const std::string kPlain = kOneRevision + "      - {name: all, per_kwh: 0.1}\n";

const std::vector<Case>& cases() {
    static const std::vector<Case> all = {
        {"an hour of one day in one season without a price",
         kHead +
             "seasons:\n  - {name: winter, from: 11-01, to: 04-30}\n  - {name: summer, from: 05-01, to: "
             "10-31}\n" +
             kOneRevision +
             "      - {name: weekdays, days: [weekdays, sun], per_kwh: 0.2}\n      - {name: saturday, days: "
             "[sat], to: \"23:00\", per_kwh: 0.1}\n      - {name: summer night, seasons: [summer], days: "
             "[sat], from: \"23:00\", per_kwh: 0.1}\n",
         {"t.yaml:9:5: revisions[0].windows: leave Saturday 23:00–24:00 in season winter without a price. "
          "Allowed: a window for every hour of every kind of day. Mend: add a last window without days and "
          "hours for the rest."}},
        {"holidays without a price where there are holidays",
         kHead + "holidays:\n  days:\n    - {name: New Year, date: 01-01}\n" + kOneRevision +
             "      - {name: work, days: [weekdays], per_kwh: 0.2}\n      - {name: free, days: [weekends], "
             "per_kwh: 0.1}\n",
         {"t.yaml:9:5: revisions[0].windows: leave holidays 00:00–24:00 without a price. Allowed: a window "
          "for every hour of every kind of day. Mend: add a last window without days and hours for the "
          "rest."}},
        {"every day alike is told once",
         kHead + kOneRevision + "      - {name: day, from: \"07:00\", to: \"22:30\", per_kwh: 0.2}\n",
         {"t.yaml:6:5: revisions[0].windows: leave every day 00:00–07:00 without a price. Allowed: a window "
          "for every hour of every kind of day. Mend: add a last window without days and hours for the rest.",
          "t.yaml:6:5: revisions[0].windows: leave every day 22:30–24:00 without a price. Allowed: a window "
          "for every hour of every kind of day. Mend: add a last window without days and hours for the "
          "rest."}},
        {"a window wholly behind others",
         kHead + kOneRevision +
             "      - {name: low, from: \"22:00\", to: \"06:00\", per_kwh: 0.1}\n      - {name: rest, "
             "per_kwh: 0.2}\n      - {name: late, from: \"23:00\", to: \"24:00\", per_kwh: 0.05}\n",
         {"t.yaml:9:9: revisions[0].windows[2]: never counts: the windows above it hold all of its hours. "
          "Mend: move it up, or remove it."}},
        {"holidays named, none listed",
         kHead + kOneRevision +
             "      - {name: free, days: [weekends, holidays], per_kwh: 0.1}\n      - {name: rest, per_kwh: "
             "0.2}\n",
         {"t.yaml:7:39: revisions[0].windows[0].days[1] 'holidays': is said of a tariff without holidays. "
          "Mend: list them under 'holidays', or remove the word."}},
        {"revisions out of order and twice",
         kHead + "revisions:\n  - from: 2026-01-01\n    windows: [{name: all, per_kwh: 0.1}]\n  - from: "
                 "2025-01-01\n    windows: [{name: all, per_kwh: 0.1}]\n  - from: 2025-01-01\n    windows: "
                 "[{name: all, per_kwh: 0.1}]\n",
         {"t.yaml:7:11: revisions[1].from '2025-01-01': is before the revision above it. Allowed: a date "
          "after 2026-01-01. Mend: put the revisions in order, oldest first.",
          "t.yaml:9:11: revisions[2].from '2025-01-01': begins on the same day as the revision above it. "
          "Allowed: each date once. Mend: remove one of the two."}},
        {"dates that do not exist",
         kHead + "seasons:\n  - {name: winter, from: 11-01, to: 02-30}\n  - {name: summer, from: 03-01, to: "
                 "10-31}\nrevisions:\n  - from: 2026-02-29\n    windows: [{name: all, per_kwh: 0.1}]\n",
         {"t.yaml:5:37: seasons[0].to '02-30': is a day that does not exist. Allowed: a month and day such "
          "as '11-01'.",
          "t.yaml:8:11: revisions[0].from '2026-02-29': is a day that does not exist. Allowed: a date such "
          "as '2026-01-31'."}},
        {"a date out of all proportion",
         kHead + "revisions:\n  - from: 0226-01-01\n    windows: [{name: all, per_kwh: 0.1}]\n",
         {"t.yaml:5:11: revisions[0].from '0226-01-01': is no date of a tariff in use. Allowed: a date from "
          "1970 to 2199."}},
        {"seasons that leave days out",
         kHead +
             "seasons:\n  - {name: winter, from: 11-01, to: 04-29}\n  - {name: summer, from: 05-01, to: "
             "10-31}\n" +
             kPlain,
         {"t.yaml:4:1: seasons: leave out 04-30. Allowed: every day of the year in exactly one season. Mend: "
          "correct their first and last days."}},
        {"seasons that overlap",
         kHead +
             "seasons:\n  - {name: winter, from: 11-01, to: 04-30}\n  - {name: summer, from: 04-30, to: "
             "10-31}\n" +
             kPlain,
         {"t.yaml:4:1: seasons: overlap on 04-30. Allowed: every day of the year in exactly one season. "
          "Mend: correct their first and last days."}},
        {"a season that is not there",
         kHead +
             "seasons:\n  - {name: winter, from: 11-01, to: 04-30}\n  - {name: summer, from: 05-01, to: "
             "10-31}\n" +
             kOneRevision +
             "      - {name: peak, seasons: [wintre], from: \"16:00\", to: \"21:00\", per_kwh: 0.2}\n      - "
             "{name: rest, per_kwh: 0.1}\n",
         {"t.yaml:10:32: revisions[0].windows[0].seasons[0] 'wintre': is no season of this file. Allowed: "
          "winter, summer. Mend: did you mean 'winter'?"}},
        {"a season where there are none",
         kHead + kOneRevision + "      - {name: all, seasons: [winter], per_kwh: 0.1}\n",
         {"t.yaml:7:31: revisions[0].windows[0].seasons[0] 'winter': is no season of this file. Mend: add it "
          "under 'seasons'."}},
        {"a kind of day that is not there",
         kHead + kOneRevision + "      - {name: all, days: [workdays], per_kwh: 0.1}\n",
         {"t.yaml:7:28: revisions[0].windows[0].days[0] 'workdays': is no kind of day. Allowed: "
          "every-day | weekdays | weekends | holidays | mon | tue | wed | thu | fri | sat | sun. Mend: did "
          "you mean 'weekdays'?"}},
        {"cents for dollars",
         kHead + kOneRevision + "      - {name: all, per_kwh: 9.8}\n",
         {"t.yaml:7:30: revisions[0].windows[0].per_kwh '9.8': is more than a kilowatt-hour costs: were "
          "hundredths written for whole units? Allowed: a price below 2 CAD per kWh. Mend: write '0.098', or "
          "state 'large_rates: yes'."}},
        {"cents for dollars in an adder",
         kHead + kOneRevision +
             "      - {name: all, per_kwh: 0.098}\n    adders:\n      - {name: rider, per_kwh: -2.14}\n",
         {"t.yaml:9:32: revisions[0].adders[0].per_kwh '-2.14': is more than a kilowatt-hour costs: were "
          "hundredths written for whole units? Allowed: a price below 0.5 CAD per kWh. Mend: write '-0.0214', "
          "or state 'large_rates: yes'."}},
        {"a share for a percentage, without unit",
         kHead + kPlain + "    taxes:\n      - {name: tax, percent: 0.13}\n",
         {"t.yaml:9:30: revisions[0].taxes[0].percent '0.13': has no unit. Allowed: 0 % to 100 %, a "
          "percentage such as '80 %'. Mend: write the unit behind the number (%)."}},
        {"a share for a percentage, with unit",
         kHead + kPlain + "    taxes:\n      - {name: tax, percent: 0.14 %}\n",
         {"t.yaml:9:30: revisions[0].taxes[0].percent '0.14 %': is hardly a tax: was a share written for a "
          "percentage? Mend: write '14 %', or state 'small_taxes: yes'."}},
        {"a holiday without a rule",
         kHead + "holidays:\n  days:\n    - {name: Founders Day}\n" + kPlain,
         {"t.yaml:6:7: holidays.days[0]: has not exactly one rule that says when it falls. Allowed: date; or "
          "weekday with of and nth; or weekday with on_or_before; or weekday with on_or_after; or easter; or "
          "on. Mend: keep one of them."}},
        {"a holiday with two rules",
         kHead + "holidays:\n  days:\n    - {name: Founders Day, date: 06-01, easter: -2}\n" + kPlain,
         {"t.yaml:6:7: holidays.days[0]: has not exactly one rule that says when it falls. Allowed: date; or "
          "weekday with of and nth; or weekday with on_or_before; or weekday with on_or_after; or easter; or "
          "on. Mend: keep one of them."}},
        {"half a rule",
         kHead + "holidays:\n  days:\n    - {name: Founders Day, weekday: mon, of: 6}\n" + kPlain,
         {"t.yaml:6:7: holidays.days[0]: has not exactly one rule that says when it falls. Allowed: date; or "
          "weekday with of and nth; or weekday with on_or_before; or weekday with on_or_after; or easter; or "
          "on. Mend: keep one of them."}},
        {"a holiday that never falls",
         kHead + "holidays:\n  days:\n    - {name: Founders Day, weekday: mon, of: 6, nth: 0}\n" + kPlain,
         {"t.yaml:6:7: holidays.days[0]: can never fall. Allowed: first_year up to last_year; nth from 1 to "
          "5, or -1 to -5; no 02-29 for on_or_before and on_or_after. Mend: correct the rule."}},
        {"a wrong word in a holiday is one message",
         kHead + "holidays:\n  days:\n    - {name: Founders Day, date: 06-01, only_if_weekday: maybe}\n" +
             kPlain,
         {"t.yaml:6:58: holidays.days[0].only_if_weekday 'maybe': is neither yes nor no. Allowed: 'yes' or "
          "'no'."}},
        {"a window without length",
         kHead + kOneRevision +
             "      - {name: low, from: \"07:00\", to: \"07:00\", per_kwh: 0.1}\n      - {name: rest, "
             "per_kwh: 0.2}\n",
         {"t.yaml:7:40: revisions[0].windows[0].to '07:00': is where the window begins, so it has no length. "
          "Allowed: a time other than 'from'. Mend: leave out 'from' and 'to' if all day is meant."}},
        {"a window from the day's end",
         kHead + kOneRevision +
             "      - {name: low, from: \"24:00\", to: \"07:00\", per_kwh: 0.1}\n      - {name: rest, "
             "per_kwh: 0.2}\n",
         {"t.yaml:7:27: revisions[0].windows[0].from '24:00': is the day's end. Allowed: a time below 24:00. "
          "Mend: write 00:00."}},
        {"past midnight of a window that ends before",
         kHead + kOneRevision +
             "      - {name: low, from: \"05:00\", to: \"07:00\", past_midnight: day-before, per_kwh: 0.1}\n "
             "     - {name: rest, per_kwh: 0.2}\n",
         {"t.yaml:7:64: revisions[0].windows[0].past_midnight 'day-before': is said of a window that ends "
          "before midnight. Allowed: a window whose 'to' is before its 'from'. Mend: remove it."}},
        {"a time that is none",
         kHead + kOneRevision +
             "      - {name: low, from: \"7\", to: \"25:00\", per_kwh: 0.1}\n      - {name: rest, per_kwh: "
             "0.2}\n",
         {"t.yaml:7:27: revisions[0].windows[0].from '7': is not a time of day. Allowed: a time of day such "
          "as '07:00'. Mend: write hours and minutes as HH:MM.",
          "t.yaml:7:36: revisions[0].windows[0].to '25:00': is not a time of day. Allowed: a time of day "
          "such as '07:00'. Mend: write hours and minutes as HH:MM."}},
        {"a price that is none",
         kHead + kOneRevision + "      - {name: all, per_kwh: \"0,12\"}\n",
         {"t.yaml:7:30: revisions[0].windows[0].per_kwh '0,12': is not an amount. Allowed: a price per kWh "
          "such as '0.0951', at most 12 decimals. Mend: write digits and at most one point, no currency "
          "sign."}},
        {"no currency, a wrong one",
         std::string("format: 1\nname: T\ncurrency: dollars\n") + kPlain,
         {"t.yaml:3:11: currency 'dollars': is no currency code. Allowed: three capitals of ISO 4217 (the "
          "codes of April 2023, and XCG and ZWG), such as CAD. Mend: write the code of the bill's "
          "currency."}},
        {"two clocks",
         kHead + "zone: Europe/London\noffset: \"+00:00\"\n" + kPlain,
         {"t.yaml:5:9: offset '+00:00': stands beside 'zone'. Allowed: one clock, or none for the site's. "
          "Mend: remove one of them."}},
        {"a day that starts at its end",
         kHead + "day_starts: \"24:00\"\n" + kPlain,
         {"t.yaml:4:13: day_starts '24:00': is the day's end. Allowed: a time below 24:00. Mend: write "
          "00:00."}},
        {"overrides backwards and one over another",
         kHead + kPlain +
             "overrides:\n  - {from: 2026-03-24, to: 2026-05-07, name: by order, per_kwh: 0.05}\n  - {from: "
             "2026-05-07, to: 2026-05-10, name: again, per_kwh: 0.05}\n  - {from: 2026-07-02, to: "
             "2026-07-01, name: late, per_kwh: 0.05}\n",
         {"t.yaml:10:12: overrides[1].from '2026-05-07': overlaps the override 'by order' of 2026-03-24 to "
          "2026-05-07. Allowed: days that no other override names. Mend: shorten one of them.",
          "t.yaml:11:28: overrides[2].to '2026-07-01': is before 'from'. Allowed: a date from 2026-07-02 on. "
          "Mend: swap the two, or mend the year."}},
        {"no revisions, no windows",
         kHead + "revisions: []\n",
         {"t.yaml:4:1: revisions: is an empty list. Allowed: at least one revision. Mend: add its first."}},
        {"a revision without windows",
         kHead + "revisions:\n  - from: 2026-01-01\n  - from: 2027-01-01\n    windows: []\n",
         {"t.yaml:5:5: revisions[0].windows: is missing. Allowed: a list of windows, or 'prices_from'. Mend: "
          "add at least one window.",
          "t.yaml:7:5: revisions[1].windows: holds no window. Allowed: at least one window. Mend: add one."}},
        {"announced prices beside windows, and no file",
         kHead + "prices_from: prices.csv\n" + kPlain,
         {"t.yaml:4:14: prices_from 'prices.csv': has no fallback for hours that are not announced. Allowed: "
          "fallback_per_kwh beside it. Mend: add the price to assume, on the dear side.",
          "t.yaml:7:5: revisions[0].windows: stands beside 'prices_from', which would hide it. Allowed: "
          "adders and taxes only. Mend: remove the windows or 'prices_from'.",
          "/nowhere/prices.csv: cannot be read. Mend: check its name and who may read it."}},
        {"a fallback for nothing",
         kHead + "fallback_per_kwh: 0.3\nprices_every: 15 min\n" + kPlain,
         {"t.yaml:4:19: fallback_per_kwh '0.3': is of no use without 'prices_from'. Mend: name the file of "
          "announced prices, or remove this.",
          "t.yaml:5:15: prices_every '15 min': is of no use without 'prices_from'. Mend: name the file of "
          "announced prices, or remove this."}},
        {"another format, an unknown key, a key missing",
         std::string("format: 2\nname: T\ncurency: CAD\n") + kPlain,
         {"t.yaml:1:1: currency: is missing. Allowed: text. Mend: add it.",
          "t.yaml:1:9: format '2': is newer than this program. Allowed: 1. Mend: bring the program up to date, "
          "or write the file by format 1.",
          "t.yaml:3:1: curency: is not a key of a tariff file. Allowed: format, name, currency, zone, "
          "offset, summer_time, day_starts, large_rates, small_taxes, revisions_by, seasons_by, "
          "usage_by_days, proration, "
          "rounding, day_classes, seasons, holidays, day_types, revisions, overrides, "
          "prices_from, prices_every, prices_per, fallback_per_kwh. Mend: did you mean 'currency'?"}},
        {"two mistakes of different kinds in one file",
         kHead + kOneRevision + "      - {name: low, from: \"22:00\", to: \"06:00\", per_kwh: 9.8}\n",
         {"t.yaml:6:5: revisions[0].windows: leave every day 06:00–22:00 without a price. Allowed: a window "
          "for every hour of every kind of day. Mend: add a last window without days and hours for the rest.",
          "t.yaml:7:58: revisions[0].windows[0].per_kwh '9.8': is more than a kilowatt-hour costs: were "
          "hundredths written for whole units? Allowed: a price below 2 CAD per kWh. Mend: write '0.098', or "
          "state 'large_rates: yes'."}},
        {"more than fits",
         kHead + "large_rates: yes\n" + kOneRevision + "      - {name: all, per_kwh: 9000000}\n",
         {"t.yaml:6:5: revisions[0]: adds up to more than a million per kWh. Allowed: prices, adders and "
          "taxes below that together. Mend: look for a lost decimal point."}},
    };
    return all;
}

}  // namespace

TEST_CASE("each mistake in a tariff file is told whole, with its place and how to mend it") {
    for (const Case& each : cases()) {
        INFO(each.rule);
        const auto read = read_tariff_text(each.yaml, "t.yaml", "/nowhere");
        std::vector<std::string> messages;
        if (!read.ok()) {
            for (const Fault& fault : read.faults()) messages.push_back(text(fault));
        }
        CHECK(messages == each.messages);
    }
}

TEST_CASE("what is no tariff file at all is one message, not a crash") {
    for (const std::string yaml : {"", "[", "- a", "format: {a: b}", "revisions: [[[[]]]]", "revisions: 7",
                                   "seasons: [3]", "holidays: [x]", "revisions: [{windows: {}}]"}) {
        INFO(yaml);
        CHECK_FALSE(read_tariff_text(yaml, "t.yaml", "/nowhere").ok());
    }
}

TEST_CASE("a levy that is truly small and a price that is truly large can be said") {
    const auto read = read_tariff_text(kHead + "large_rates: yes\nsmall_taxes: yes\n" + kOneRevision +
                                           "      - {name: all, per_kwh: 9.8}\n    taxes:\n" +
                                           "      - {name: levy, percent: 0.14 %}\n",
                                       "t.yaml", "/nowhere");
    REQUIRE(read.ok());
    CHECK(read.value().revisions[0].windows[0].rate == Rate(9'800'000'000'000));
    CHECK(read.value().revisions[0].taxes[0].millionths == 1'400);
}
