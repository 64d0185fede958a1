// Options that could never act are told, so that nobody believes they do.
#include "io/tariff_file/tariff_file.hpp"
#include "support/catch.hpp"

using namespace lullwatt;

namespace {

const std::string kSeasons =
    "seasons: [{name: winter, from: 11-01, to: 04-30}, {name: summer, from: 05-01, to: 10-31}]\n";
const std::string kFlat = "revisions:\n  - from: 2025-01-01\n    windows: [{name: all, per_kwh: 0.10}]\n";

// "steps: what is wrong", without file and mend.
std::vector<std::string> told(const std::string& rest, const std::string& currency = "USD") {
    const auto read =
        io::read_tariff_text("format: 1\nname: t\ncurrency: " + currency + "\n" + rest, "t.yaml", {});
    std::vector<std::string> messages;
    if (read.ok()) return messages;
    for (const io::Fault& fault : read.faults()) {
        CHECK(fault.line > 0);
        messages.push_back(fault.key.substr(fault.key.rfind("]") + 1) + ": " + fault.what);
    }
    return messages;
}

std::vector<std::string> demand(const std::string& options) {
    return told(kSeasons + kFlat + "    demand: [{name: peak, per_kw: 3, " + options + "}]\n");
}

using Told = std::vector<std::string>;

}  // namespace

TEST_CASE("hours of demand that hold no interval are told") {
    const Told none = {": hold no whole interval, so they never count"};
    CHECK(demand("interval: 60 min, hours: [{from: \"16:00\", to: \"16:30\"}]") == none);
    CHECK(demand("interval: 60 min, hours: [{from: \"16:00\", to: \"17:00\"}]").empty());
    CHECK(demand("interval: 60 min, hours: [{from: \"23:30\", to: \"00:30\"}]") == none);
    CHECK(demand("interval: 60 min, hours: [{from: \"23:00\", to: \"00:00\"}]").empty());
    SECTION("by the clock, or rolling") {
        CHECK(demand("interval: 30 min, hours: [{from: \"16:10\", to: \"16:50\"}]") == none);
        CHECK(demand("interval: 30 min, rolling: yes, hours: [{from: \"16:10\", to: \"16:50\"}]").empty());
    }
    SECTION("unless they adjoin others, with which they hold one") {
        CHECK(demand("interval: 60 min, hours: [{from: \"16:00\", to: \"16:30\"}, {from: \"16:30\", to: "
                     "\"20:00\", counts: 50 %}]")
                  .empty());
    }
    SECTION("in seasons the charge leaves out") {
        const Told season = {".seasons: are none that the charge itself counts in"};
        CHECK(demand("seasons: [summer], hours: [{seasons: [winter], from: \"16:00\", to: \"20:00\"}]") ==
              season);
        CHECK(demand("seasons: [summer], hours: [{seasons: [winter, summer], from: \"16:00\"}]").empty());
    }
}

TEST_CASE("what a measure of demand has no use for is told") {
    CHECK(demand("measure: given, mean_of_bills: 12, ratchet: {share: 60 %}") ==
          Told{".mean_of_bills: does nothing beside 'measure: given'",
               ".ratchet: does nothing beside 'measure: given'"});
    CHECK(demand("measure: contracted, interval: 30 min, hours: [{from: \"16:00\"}]") ==
          Told{".interval: does nothing beside 'measure: contracted'",
               ".hours: does nothing beside 'measure: contracted'"});
    CHECK(demand("measure: given, least: 3 kW, round_to: 0.1 kW, rounding: up").empty());
    CHECK(demand("measure: mean-of-daily, highest_of: 3") ==
          Told{".highest_of: does nothing beside 'measure: mean-of-daily'"});
    CHECK(demand("measure: mean-of-daily, mean_of_bills: 12").empty());
    CHECK(demand("rounding: up") == Told{".rounding: stands without 'round_to', so nothing is rounded"});
}

TEST_CASE("amounts and prices that are never taken are told") {
    CHECK(told(kFlat +
               "    fixed: [{name: fuse, each: ampere-of-fuse, by_fuse: [{up_to: 16 A, amount: 2}]}]\n") ==
          Told{".each: does nothing beside 'by_fuse', whose amounts stand whole"});
    CHECK(told(kFlat + "    export: {netting: bill, bank: energy, per_kwh: 0.04}\n") ==
          Told{".export.per_kwh: is never paid: what is left is banked as energy"});
    CHECK(told(kFlat + "    export: {netting: bill, bank: money, per_kwh: 0.04}\n").empty());
    const std::string pays =
        "revisions:\n  - from: 2025-01-01\n    windows: [{name: all, per_kwh: 0.10, export_per_kwh: 0.05}]\n";
    CHECK(told(pays) == Told{".export_per_kwh: is never paid: the revision has no 'export'"});
    CHECK(told(pays + "    export: {netting: none}\n").empty());
    CHECK(told(pays + "    export: {netting: window, bank: energy}\n") ==
          Told{".export_per_kwh: is never paid: what is left is banked as energy"});
}

TEST_CASE("a total's step fits the currency's minor unit") {
    const auto step = [](const std::string& text, const std::string& currency) {
        return told("rounding: {total_step: " + text + "}\n" + kFlat, currency);
    };
    CHECK(step("0.003", "USD") == Told{"rounding.total_step: does not fit the minor unit of USD"});
    CHECK(step("0.05", "USD").empty());
    CHECK(step("0.005", "USD").empty());
    CHECK(step("0.015", "USD") == Told{"rounding.total_step: does not fit the minor unit of USD"});
    CHECK(step("10", "JPY").empty());
    CHECK(step("1.5", "JPY") == Told{"rounding.total_step: does not fit the minor unit of JPY"});
    CHECK(told("rounding: {total: exact, total_step: 0.05}\n" + kFlat) ==
          Told{"rounding.total_step: does nothing beside 'total: exact'"});
}
