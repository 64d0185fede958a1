// A tariff of blocks alone, and what would silently be free.
#include "io/tariff_file/tariff_file.hpp"
#include "support/catch.hpp"

using namespace lullwatt;

namespace {

const std::string kHead =
    "format: 1\nname: t\ncurrency: CAD\nseasons:\n  - {name: winter, from: 11-01, to: 03-31}\n"
    "  - {name: summer, from: 04-01, to: 10-31}\nrevisions:\n  - from: 2025-01-01\n";

std::vector<std::string> said(const std::string& revision) {
    const auto read = io::read_tariff_text(kHead + revision, "t.yaml", ".");
    std::vector<std::string> messages;
    if (read.ok()) return messages;
    for (const io::Fault& fault : read.faults()) messages.push_back(io::text(fault));
    return messages;
}

const std::string kWinter = "    blocks: [{name: tier, seasons: [winter], steps: [{per_kwh: 0.1}]}]\n";

}  // namespace

TEST_CASE("without windows each season is held by a block or an adder, or is said to be free") {
    CHECK(
        said(kWinter) ==
        std::vector<std::string>{
            "t.yaml:9:5: revisions[0].blocks: leave season summer without a price. Allowed: a block or an "
            "adder in every season. Mend: add one; where energy is free then, state 'windows: [{name: free, "
            "per_kwh: 0}]'."});
    CHECK(said(kWinter + "    adders: [{name: part, seasons: [summer], per_kwh: 0.05}]\n").empty());
    CHECK(said(kWinter + "    windows: [{name: free, per_kwh: 0}]\n").empty());
    CHECK(said("    blocks: [{name: tier, steps: [{per_kwh: 0.1}]}]\n").empty());
}

TEST_CASE("hours of a demand charge are not empty, and name holidays only where some are listed") {
    const std::string windows = "    windows: [{name: all, per_kwh: 0.1}]\n";
    const auto empty = said(windows + "    demand: [{name: peak, per_kw: 3, hours: []}]\n");
    REQUIRE(empty.size() == 1);
    CHECK(empty.front().find("demand[0].hours: is an empty list.") != std::string::npos);
    const auto holidays =
        said(windows + "    demand: [{name: peak, per_kw: 3, hours: [{days: [holidays]}]}]\n");
    REQUIRE(holidays.size() == 1);
    CHECK(holidays.front().find("'holidays': is said of a tariff without holidays.") != std::string::npos);
}
