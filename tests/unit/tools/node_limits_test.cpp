// Outside ceilings and unbalance between legs, as the commands tell them.
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;
using nlohmann::json;

namespace {

// One car on a 100 A service beside a house of 6 A; the low price begins at 22:00 on a Wednesday.
struct House {
    House(const std::string& service, const std::string& circuit, const std::string& control = "driven") {
        std::ofstream(folder.file("site.yaml")) << fmt::format(
            "format: 1\nsite: {{name: Home, zone: America/Halifax, currency: CAD}}\n"
            "service: {{supply: split-phase, leg_to_neutral: 120 V, rating: 100 A, continuous: nec, {}}}\n"
            "circuits: [{{name: wall, fed_from: service, rating: 50 A{}}}]\n"
            "points: [{{name: drive, circuit: wall, hard_setting: 32 A, control: {}}}]\n"
            "cars: [{{name: Heron, point: drive, battery: 60 kWh, most: 32 A, need: 20 kWh}}]\n"
            "loads: [{{constant: 6 A, calculation: 40 A}}]\ntariff: {}\n",
            service, circuit, control, "tariff.yaml");
        std::ofstream(folder.file("tariff.yaml"))
            << "format: 1\nname: Two\ncurrency: CAD\nrevisions:\n  - from: 2020-01-01\n"
               "    windows: [{name: low, from: \"22:00\", to: \"06:00\", per_kwh: 0.1}, "
               "{name: high, per_kwh: 0.2}]\n";
    }
    [[nodiscard]] std::string said(std::vector<std::string> arguments) const {
        arguments.insert(arguments.end(), {"--site", folder.file("site.yaml")});
        const Ran ran = lullwatt_run(arguments);
        INFO(ran.err);
        REQUIRE(ran.exit == Exit::done);
        return ran.out;
    }
    [[nodiscard]] json why(const std::string& slot) const {
        return json::parse(said({"why", "--slot", slot, "--json", "--at", "2026-01-14T18:00"}));
    }
    Folder folder;
};

bool has(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

const char* const kCeiling =
    "ceilings: [{from: \"22:00\", to: \"02:00\", days: [wed], most: 20 A, basis: operator's notice}]";

}  // namespace

TEST_CASE("why names the outside ceiling in its hours, and what one ampere more would be worth") {
    const House house(kCeiling, "");
    const json within = house.why("23:00");
    CHECK(within.at("room_amps") == 14);
    CHECK(within.at("amps") <= 14);
    CHECK(within.at("limited_by") == "ceiling");
    CHECK(house.why("01:55").at("room_amps") == 14);
    CHECK(house.why("02:00").at("room_amps") == 32);
    const std::string text = house.said({"why", "--slot", "23:00", "--at", "2026-01-14T18:00"});
    CHECK(has(text, "room   14 A, limited by the outside ceiling on service, leg L1\n"));
}

TEST_CASE("check lists ceilings, and what a dead computer would leave") {
    const House house(kCeiling, "");
    const std::string text = house.said({"check"});
    CHECK(
        has(text, "    outside ceiling 20 A from 22:00 to 02:00 of the next day, Wed: operator's notice\n"));
    CHECK(has(text,
              "    this program keeps a ceiling, the wiring does not: without it cars may draw 6 A on a leg, "
              "when a lease of up to 15 min has ended\n"));
    const json node = json::parse(house.said({"check", "--json"})).at("nodes")[0];
    CHECK(node.at("ceilings")[0].at("most_amps") == 20);
    CHECK(node.at("ceilings")[0].at("to") == "02:00");
    CHECK_FALSE(node.contains("unbalance_amps"));
}

TEST_CASE("why and check tell the limit on unbalance, for a car on one leg and not for one across both") {
    const House one("unbalance: 10 A", ", legs: [L2]");
    CHECK(one.why("23:00").at("room_amps") == 10);
    CHECK(one.why("23:00").at("limited_by") == "unbalance");
    CHECK(has(one.said({"why", "--slot", "23:00", "--at", "2026-01-14T18:00"}),
              "limited by the unbalance limit of service, leg L2\n"));
    CHECK(has(one.said({"check"}), "    cars may load one leg at most 10 A above another\n"));
    const House both("unbalance: 10 A", "");
    CHECK(both.why("23:00").at("room_amps") == 32);
}

TEST_CASE("check tells where points set by hand may pass the limit on unbalance") {
    const House house("unbalance: 10 A", ", legs: [L1]", "by-hand");
    CHECK(has(house.said({"check"}), "    ABOVE THAT BY HAND: cars set by hand may load L1 with 32 A;"));
    const House across("unbalance: 10 A", "", "by-hand");
    CHECK_FALSE(has(across.said({"check"}), "ABOVE THAT BY HAND"));
}
