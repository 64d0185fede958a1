// Names that would stand for two prices, or for two charges that bills remember by name.
#include "core/tariff/window.hpp"
#include "io/tariff_file/tariff_file.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using date::operator""_y;

namespace {

const std::string kHead =
    "format: 1\nname: t\ncurrency: USD\n"
    "seasons: [{name: winter, from: 11-01, to: 04-30}, {name: summer, from: 05-01, to: 10-31}]\n"
    "revisions:\n  - from: 2025-01-01\n";
const std::string kFlat = "    windows: [{name: all, per_kwh: 0.10}]\n";
// Two prices of one name in summer, one in winter.
const std::string kTwice =
    "    windows: [{name: off, seasons: [summer], days: [weekends], per_kwh: 0.05}, {name: off, seasons: "
    "[summer], per_kwh: 0.20}, {name: off, per_kwh: 0.10}]\n";

std::vector<std::string> told(const std::string& rest) {
    const auto read = io::read_tariff_text(kHead + rest, "t.yaml", {});
    std::vector<std::string> messages;
    if (read.ok()) return messages;
    for (const io::Fault& fault : read.faults()) messages.push_back(text(fault));
    return messages;
}

using Told = std::vector<std::string>;

}  // namespace

TEST_CASE("a name has one price in a season where all its windows cost the same") {
    const auto read = io::read_tariff_text(
        kHead +
            "    windows: [{name: off, seasons: [summer], to: \"07:00\", per_kwh: 0.05}, {name: off, "
            "seasons: [summer], from: \"23:00\", per_kwh: 0.05}, {name: off, seasons: [winter], per_kwh: "
            "0.1}, {name: day, seasons: [summer], per_kwh: 0.2}, {name: day, seasons: [summer], days: "
            "[sun], from: \"08:00\", to: \"09:00\", per_kwh: 0.2, export_per_kwh: 0.1}]\n"
            "    export: {per_kwh: 0.01}\n",
        "t.yaml", {});
    // The last window is hidden; the file is refused for that alone.
    REQUIRE_FALSE(read.ok());
    CHECK(read.faults().size() == 1);
    tariff::Revision revision;
    revision.windows = {{.name = "off", .seasons = {0}, .rate = Rate(1)},
                        {.name = "off", .seasons = {0, 1}, .rate = Rate(1)},
                        {.name = "off", .seasons = {1}, .rate = Rate(2)},
                        {.name = "paid", .rate = Rate(1)},
                        {.name = "paid", .rate = Rate(1), .export_rate = Rate(1)}};
    CHECK(tariff::has_one_price(revision, 0, "off"));
    CHECK_FALSE(tariff::has_one_price(revision, 1, "off"));
    CHECK_FALSE(tariff::has_one_price(revision, 0, "paid"));
    CHECK(tariff::has_one_price(revision, 0, "none"));
}

TEST_CASE("an override by the name of two prices is told") {
    CHECK(told(kTwice + "overrides: [{from: 2026-07-01, to: 2026-07-02, name: off}]\n") ==
          Told{"t.yaml:8:54: overrides[0].name 'off': names windows of several prices. Allowed: the name of "
               "one price in each season. Mend: rename one of the windows, or add 'per_kwh' here."});
    CHECK(
        told(kTwice + "overrides: [{from: 2026-07-01, to: 2026-07-02, name: off, per_kwh: 0.3}]\n").empty());
    SECTION("not for a revision that was over by then") {
        CHECK(told(kTwice + "  - from: 2026-01-01\n    windows: [{name: off, per_kwh: 0.1}]\n"
                            "overrides: [{from: 2026-07-01, to: 2026-07-02, name: off}]\n")
                  .empty());
    }
}

TEST_CASE("charges that bills remember by their name have one of their own, or seasons of their own") {
    const std::string steps = "steps: [{up_to: 10 kWh, per_kwh: 0.1}, {per_kwh: 0.2}]";
    CHECK(
        told(kFlat + "    blocks: [{name: a, over: year, " + steps + "}, {name: a, over: season, " + steps +
             "}]\n") ==
        Told{"t.yaml:8:100: revisions[0].blocks[1].name 'a': is used twice for use that adds up over bills. "
             "Allowed: a name of its own, or seasons of its own. Mend: rename one of the two."});
    CHECK(told(kFlat + "    blocks: [{name: a, over: season, seasons: [winter], " + steps +
               "}, {name: a, over: season, seasons: [summer], " + steps + "}]\n")
              .empty());
    CHECK(told(kFlat + "    blocks: [{name: a, " + steps + "}, {name: a, over: year, " + steps + "}]\n")
              .empty());
    CHECK(
        told(kFlat + "    demand: [{name: a, per_kw: 1}, {name: a, interval: 60 min, per_kw: 2}]\n") ==
        Told{"t.yaml:8:43: revisions[0].demand[1].name 'a': is used twice: bills would take one's peaks for "
             "the other's. Allowed: a name of its own, or seasons of its own. Mend: rename one of the "
             "two."});
    CHECK(told(kFlat + "    demand: [{name: a, seasons: [winter], per_kw: 1}, {name: a, seasons: [summer], "
                       "per_kw: 2}]\n")
              .empty());
}
