// Every mistake the charges of a tariff file can hold, with the whole message a person reads.
#include "io/tariff_file/tariff_file.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::io;

namespace {

struct Case {
    std::string yaml;
    std::vector<std::string> messages;
};

const std::string kHead = "format: 1\nname: t\ncurrency: USD\n";
const std::string kFlat = "revisions:\n  - from: 2025-01-01\n    windows: [{name: all, per_kwh: 0.10}]\n";

const std::vector<Case>& cases() {
    static const std::vector<Case> all = {
        {kFlat + "    blocks: [{name: tier, steps: []}]\n",
         {"t.yaml:7:27: revisions[0].blocks[0].steps: is an empty list. Allowed: at least one step. Mend: "
          "add one."}},
        {kFlat + "    blocks: [{name: tier, steps: [{up_to: 600 kWh, per_kwh: 0.1}]}]\n",
         {"t.yaml:7:43: revisions[0].blocks[0].steps[0].up_to '600 kWh': ends the last step, so more than "
          "this has no price. Mend: leave it out, or add a step for the rest."}},
        {kFlat + "    blocks: [{name: tier, steps: [{per_kwh: 0.1}, {per_kwh: 0.2}]}]\n",
         {"t.yaml:7:35: revisions[0].blocks[0].steps[0]: has no 'up_to', so the steps below it never count. "
          "Mend: say where it ends."}},
        {kFlat + "    blocks: [{name: tier, steps: [{up_to: 600 kWh, per_kwh: 0.1}, {up_to: 500 kWh, "
                 "per_kwh: 0.2}, {per_kwh: 0.3}]}]\n",
         {"t.yaml:7:75: revisions[0].blocks[0].steps[1].up_to '500 kWh': is not above the step before it. "
          "Allowed: ascending limits. Mend: put the steps in order."}},
        {kFlat + "    blocks: [{name: tier, windows: [night], steps: [{per_kwh: 0.1}]}]\n",
         {"t.yaml:7:37: revisions[0].blocks[0].windows[0] 'night': is no window of this revision. Allowed: "
          "all. Mend: correct the name."}},
        {kFlat + "    blocks: [{name: tier, seasons: [winter], steps: [{per_kwh: 0.1}]}]\n",
         {"t.yaml:7:37: revisions[0].blocks[0].seasons[0] 'winter': is no season of this file. Mend: add it "
          "under 'seasons'."}},
        {kFlat + "    blocks: [{name: tier, over: year, per: day, steps: [{per_kwh: 0.1}]}]\n",
         {"t.yaml:7:44: revisions[0].blocks[0].per 'day': stands beside an 'over' of its own. Allowed: one "
          "of the two. Mend: leave it out: 'up_to' is then for each day, season or year."}},
        {kFlat + "    blocks: [{name: tier, over: season, steps: [{per_kwh: 0.1}]}]\n",
         {"t.yaml:7:33: revisions[0].blocks[0].over 'season': names seasons, and the file has none. Mend: "
          "add 'seasons'."}},
        {kFlat + "    blocks: [{name: tier, steps: [{up_to: 600, per_kwh: 10.3}, {per_kwh: 0.2}]}]\n",
         {"t.yaml:7:43: revisions[0].blocks[0].steps[0].up_to '600': has no unit. Allowed: 0 kWh to 10000000 "
          "kWh, an energy such as '600 kWh' or '22.1918 kWh'. Mend: write the unit behind the number (Wh, "
          "kWh).",
          "t.yaml:7:57: revisions[0].blocks[0].steps[0].per_kwh '10.3': is more than a kilowatt-hour costs: "
          "were hundredths written for whole units? Allowed: a price below 2 USD per kWh. Mend: write "
          "'0.103', or state 'large_rates: yes'."}},
        {kFlat + "    demand: [{name: peak}]\n",
         {"t.yaml:7:14: revisions[0].demand[0]: has no price. Allowed: per_kw, or steps. Mend: add one of "
          "the two."}},
        {kFlat + "    demand: [{name: peak, per_kw: 3, steps: [{per_kw: 2}]}]\n",
         {"t.yaml:7:35: revisions[0].demand[0].per_kw '3': stands beside 'steps'. Allowed: per_kw, or steps. "
          "Mend: keep one of the two."}},
        {kFlat + "    demand: [{name: peak, per_kw: 337}]\n",
         {"t.yaml:7:35: revisions[0].demand[0].per_kw '337': is more than a kilowatt costs: were hundredths "
          "written for whole units? Allowed: a price below 100 USD per kW. Mend: write '3.37', or state "
          "'large_rates: yes'."}},
        {kFlat + "    demand: [{name: peak, per_kw: 3, interval: 7 min}]\n",
         {"t.yaml:7:48: revisions[0].demand[0].interval '7 min': does not divide a day. Allowed: such as 15 "
          "min, 30 min or 60 min. Mend: correct it."}},
        {kFlat + "    demand: [{name: peak, steps: [{up_to: 3 kW, per_kw: 3}, {amount: 20}]}]\n",
         {"t.yaml:7:61: revisions[0].demand[0].steps[1]: mixes amounts and prices per kW in one charge. "
          "Allowed: all of one kind. Mend: make two charges of it."}},
        {kFlat + "    demand: [{name: peak, steps: [{up_to: 3 kW, per_kw: 3, amount: 2}, {per_kw: 20}]}]\n",
         {"t.yaml:7:35: revisions[0].demand[0].steps[0]: has not exactly one price. Allowed: per_kw, or "
          "amount. Mend: keep one of the two.",
          "t.yaml:7:72: revisions[0].demand[0].steps[1]: mixes amounts and prices per kW in one charge. "
          "Allowed: all of one kind. Mend: make two charges of it."}},
        {kFlat + "    demand: [{name: peak, per_kw: 3, hours: [{from: \"16:00\", to: \"16:00\"}]}]\n",
         {"t.yaml:7:66: revisions[0].demand[0].hours[0].to '16:00': is where the hours begin, so they have "
          "no length. Allowed: a time other than 'from'. Mend: leave out both if all day is meant."}},
        {kFlat + "    demand: [{name: peak, per_kw: 3, hours: [{days: [monday]}]}]\n",
         {"t.yaml:7:54: revisions[0].demand[0].hours[0].days[0] 'monday': is no kind of day. Allowed: "
          "every-day | weekdays | weekends | holidays | mon | tue | wed | thu | fri | sat | sun. Mend: name "
          "it under 'day_types'."}},
        {kFlat + "    demand: [{name: peak, per_kw: 3, ratchet: {bills: 11}}]\n",
         {"t.yaml:7:47: revisions[0].demand[0].ratchet.share: is missing. Allowed: 0 % to 100 %, a "
          "percentage such as '80 %'. Mend: add it."}},
        {kFlat + "    demand: [{name: peak, per_kw: 3, measure: maximum}]\n",
         {"t.yaml:7:47: revisions[0].demand[0].measure 'maximum': is not one of the choices. Allowed: "
          "highest | mean-of-daily | given | contracted."}},
        {kFlat + "    fixed: [{name: basic}]\n",
         {"t.yaml:7:13: revisions[0].fixed[0]: has not exactly one amount. Allowed: amount, or by_fuse. "
          "Mend: add one of the two."}},
        {kFlat + "    fixed: [{name: basic, amount: 3, by_fuse: [{up_to: 16 A, amount: 2}]}]\n",
         {"t.yaml:7:13: revisions[0].fixed[0]: has not exactly one amount. Allowed: amount, or by_fuse. "
          "Mend: keep one of the two."}},
        {kFlat +
             "    fixed: [{name: basic, by_fuse: [{up_to: 25 A, amount: 2}, {up_to: 16 A, amount: 3}]}]\n",
         {"t.yaml:7:71: revisions[0].fixed[0].by_fuse[1].up_to '16 A': is not above the fuse before it. "
          "Allowed: ascending fuses. Mend: put them in order."}},
        {kFlat + "    fixed: [{name: basic, amount: 3, per: week}]\n",
         {"t.yaml:7:43: revisions[0].fixed[0].per 'week': is not one of the choices. Allowed: bill | month | "
          "day | year."}},
        {kFlat + "    minimums: [{name: least, amount: 3, of: [energie]}]\n",
         {"t.yaml:7:46: revisions[0].minimums[0].of[0] 'energie': is no line of this revision. Allowed: all, "
          "energy, adders, blocks, demand, fixed, export. Mend: did you mean 'energy'?"}},
        {kFlat + "    riders: [{name: rebate, percent: 10}]\n",
         {"t.yaml:7:38: revisions[0].riders[0].percent '10': has no unit. Allowed: -100 % to 100 %, a "
          "percentage such as '80 %'. Mend: write the unit behind the number (%)."}},
        {kFlat + "    taxes: [{name: a, percent: 5 %}, {name: a, percent: 2 %}]\n",
         {"t.yaml:7:45: revisions[0].taxes[1].name 'a': is used twice. Allowed: a name of its own. Mend: "
          "rename one of the two."}},
        {kFlat + "    taxes: [{name: a, percent: 5 %, of: [basic]}]\n",
         {"t.yaml:7:42: revisions[0].taxes[0].of[0] 'basic': is no line of this revision. Allowed: all, "
          "energy, adders, blocks, demand, fixed, export, minimum, riders. Mend: correct the name."}},
        {kFlat + "    export: {netting: 10 min}\n",
         {"t.yaml:7:23: revisions[0].export.netting '10 min': is not one of the choices. Allowed: none | 15 "
          "min | 30 min | 60 min | window | bill. Mend: did you mean '15 min'?"}},
        {kFlat + "    export: {bank: energy}\n",
         {"t.yaml:7:20: revisions[0].export.bank 'energy': keeps energy, which is left only after netting. "
          "Allowed: netting by minutes, window or bill. Mend: add 'netting', or bank money."}},
        {kFlat + "    export: {netting: bill, expires: 04-01}\n",
         {"t.yaml:7:38: revisions[0].export.expires '04-01': is of what is banked, and nothing is. Mend: add "
          "'bank: money' or 'bank: energy', or remove it."}},
        {kFlat + "    export: {netting: bill, bank: energy, expires: 04-01, pays_out: yes}\n",
         {"t.yaml:7:69: revisions[0].export.pays_out 'yes': is of banked money, and none is banked. Mend: "
          "add "
          "'bank: money', or remove it."}},
        {kFlat +
             "    blocks: [{name: tier, over: day, steps: [{per_kwh: 0.1}]}]\n    export: {netting: bill}\n",
         {"t.yaml:7:33: revisions[0].blocks[0].over 'day': counts each day's use, which netting over 'bill' "
          "leaves unknown. Allowed: netting: none or by minutes, or net: yes. Mend: add 'net: yes' where the "
          "block counts what a day took less what it gave."}},
        {kFlat + "    export: {netting: bill, bank: energy, settled_per_kwh: 0.03}\n",
         {"t.yaml:7:60: revisions[0].export.settled_per_kwh '0.03': has no day on which it is paid. Allowed: "
          "expires beside it. Mend: add 'expires'."}},
        {"proration: {whole_from: 25}\n" + kFlat + "    adders: []\n",
         {"t.yaml:4:12: proration: has only one of whole_from and whole_to. Allowed: both, or neither. Mend: "
          "add the other."}},
        {"proration: {whole_from: 30, whole_to: 25}\n" + kFlat + "    adders: []\n",
         {"t.yaml:4:39: proration.whole_to '25': is below 'whole_from'. Mend: swap the two."}},
        {"rounding: {lines: up}\n" + kFlat + "    adders: []\n",
         {"t.yaml:4:19: rounding.lines 'up': is not one of the choices. Allowed: nearest | down | exact."}},
        {"day_classes: {names: [plain, red, red], assumed: blue}\n" + kFlat + "    adders: []\n",
         {"t.yaml:4:35: day_classes.names[2] 'red': is named twice. Allowed: each class once. Mend: remove "
          "one of them.",
          "t.yaml:4:50: day_classes.assumed 'blue': is none of the classes. Allowed: plain, red, red."}},
        {"day_classes: {names: [plain, red], assumed: plain, most: [{class: blue, days: 3}]}\n" + kFlat +
             "    adders: []\n",
         {"t.yaml:4:67: day_classes.most[0].class 'blue': is none of the classes. Allowed: plain, red."}},
        {"revisions: [{from: 2025-01-01, windows: [{name: all, classes: [red], per_kwh: 0.1}]}]\n",
         {"t.yaml:4:54: revisions[0].windows[0].classes: is said in a file without classes of days. Mend: "
          "name them under 'day_classes'."}},
        {"day_classes: {names: [plain, red], assumed: plain}\nrevisions: [{from: 2025-01-01, windows: "
         "[{name: all, classes: [red], per_kwh: 0.1}]}]\n",
         {"t.yaml:5:32: revisions[0].windows: leave every day 00:00–24:00 on days of class plain without a "
          "price. Allowed: a window for every hour of every kind of day. Mend: add a last window without "
          "days and hours for the rest."}},
        {kFlat + "    adders: [{name: rider, windows: [al], per_kwh: 0.01, loss_factor: 7}]\n",
         {"t.yaml:7:38: revisions[0].adders[0].windows[0] 'al': is no window of this revision. Allowed: all. "
          "Mend: did you mean 'all'?",
          "t.yaml:7:71: revisions[0].adders[0].loss_factor '7': is out of range. Allowed: 0.5 to 2, a factor "
          "such as '1.0376', at most 6 decimals."}},
    };
    return all;
}

}  // namespace

TEST_CASE("each mistake in a charge is told whole, with its place and how to mend it") {
    for (const Case& each : cases()) {
        INFO(each.yaml);
        const auto read = read_tariff_text(kHead + each.yaml, "t.yaml", {});
        REQUIRE_FALSE(read.ok());
        std::vector<std::string> messages;
        for (const Fault& fault : read.faults()) messages.push_back(text(fault));
        CHECK(messages == each.messages);
    }
}

TEST_CASE("announced days are read from their file, or each mistake in it is told") {
    const std::string tariff =
        "day_classes: {names: [plain, red], assumed: plain, year_begins: 11-01, announced_from: "
        "announced-days.csv, "
        "most: [{class: red, days: 2}]}\n" +
        kFlat;
    const std::string folder = LULLWATT_SOURCE_DIR "/tests/unit/tariff_file/announced";
    const auto good = read_tariff_text(kHead + tariff, "t.yaml", folder + "/good");
    REQUIRE(good.ok());
    CHECK(good.value().classes->announced.size() == 4);
    const auto bad = read_tariff_text(kHead + tariff, "t.yaml", folder + "/bad");
    REQUIRE_FALSE(bad.ok());
    std::vector<std::string> messages;
    for (const Fault& fault : bad.faults()) {
        const std::string message = text(fault);
        messages.push_back(message.substr(message.find("announced-days.csv")));
    }
    CHECK(messages ==
          std::vector<std::string>{
              "announced-days.csv:3:1: date '2026-02-30': is a day that does not exist. Allowed: a date such "
              "as "
              "'2026-01-31'.",
              "announced-days.csv:4:12: class 'blue': is none of the tariff's classes. Allowed: plain, red.",
              "announced-days.csv:5:1: date '2025-11-01': is not after the row above it. Allowed: ascending "
              "dates, each "
              "once. Mend: put the rows in order.",
              "announced-days.csv:6:1: has not two fields. Allowed: a date and a class.",
              "announced-days.csv:8:12: class 'red': is one day more than a year has of it: 3 since "
              "2025-11-01. "
              "Allowed: at most 2 days. Mend: correct the row, or 'most' in the tariff file."});
}

TEST_CASE("a stray comma between two lines is told, and ends the reading") {
    const auto read = read_tariff_text("# a note\n,\nformat: 1\n" + kFlat, "t.yaml", {});
    REQUIRE_FALSE(read.ok());
    CHECK(
        text(read.faults().front()) ==
        "t.yaml:2:1: is not readable as YAML from here on. Allowed: 'key: value'. Mend: look at this line.");
}
