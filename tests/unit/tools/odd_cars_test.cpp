// Cars with a floor, a taper, an overhead, times out or a price cap, in a house of one point, as a shell
// would ask.
#include <nlohmann/json.hpp>

#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::tests;
using tools::Exit;

namespace {

// A point of 32 A behind 80 A that may flow; the house takes `evening` from 18:10 to 21:00, else 20 A.
struct House {
    Folder folder;
    std::string control = "driven";
    std::string evening = "20 A";
    std::string car;  // what its settings say beyond battery and most
    std::string windows = R"({name: day, from: "06:00", to: "22:00", per_kwh: 0.40},
          {name: night, from: "22:00", to: "06:00", per_kwh: 0.10})";
    std::string start_cost = "0";

    Ran run(std::vector<std::string> arguments) const {
        std::ofstream(folder.file("tariff.yaml"))
            << "format: 1\nname: T\ncurrency: CAD\nrevisions:\n  - from: 2025-01-01\n    windows: ["
            << windows << "]\n";
        std::string profile;
        for (const char* days : {"weekday", "rest-day"})
            profile += std::string("      - {days: ") + days + R"(, from: "00:00", current: 20 A})" +
                       "\n      - {days: " + days + R"(, from: "18:10", current: )" + evening +
                       "}\n      - {days: " + days + R"(, from: "21:00", current: 20 A})" + "\n";
        std::ofstream(folder.file("site.yaml"))
            << "format: 1\nsite: {name: House, zone: America/Halifax, currency: CAD}\n"
               "service: {supply: split-phase, leg_to_neutral: 120 V, rating: 100 A, continuous: cec}\n"
               "circuits:\n  - {name: circuit, fed_from: service, rating: 50 A}\n"
               "points:\n  - {name: wall, circuit: circuit, hard_setting: 32 A, control: "
            << control << "}\ncars:\n  - {name: Heron, point: wall, battery: 60 kWh, most: 32 A" << car
            << "}\nloads:\n  - node: service\n    worst: 30 A\n    worst_reason: a test's\n    profile:\n"
            << profile << "tariff: tariff.yaml\noptions: {start_cost: " << start_cost << "}\n";
        arguments.insert(arguments.begin() + 1, {"--site", folder.file("site.yaml")});
        return lullwatt_run(arguments);
    }
    std::string text(const std::vector<std::string>& arguments) const {
        const Ran ran = run(arguments);
        INFO(ran.err);
        REQUIRE(ran.exit == Exit::done);
        return ran.out;
    }
    nlohmann::json json(std::vector<std::string> arguments) const {
        arguments.emplace_back("--json");
        return nlohmann::json::parse(text(arguments));
    }
};

constexpr const char* kCommuter =
    R"(, consumption: 20 kWh/100km, habits: [{days: [every-day], leaves: "07:00", returns: "17:30", distance: 50 km}])";

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("when answers for a car that is full before a time out and has more to charge after it") {
    const House house{.car = kCommuter};
    const auto answer = house.json({"when", "--at", "2026-10-22T18:00", "--from-soc", "80", "--to-soc", "95",
                                    "--ready-by", "2026-10-24T06:00"});
    CHECK(answer["plan"]["short_wh"] == 0);
    CHECK(answer["at_once"]["short_wh"] == 0);
}

TEST_CASE("by hand a floor is not promised where beginning at once would leave the car short") {
    const House house{.control = "by-hand", .evening = "76 A", .car = ", floor: 2 kWh"};
    const std::string answer =
        house.text({"when", "--at", "2026-10-20T18:00", "--need", "20", "--ready-by", "06:00"});
    INFO(answer);
    CHECK(has(answer, "Set the car to start at 21:00 and "));
    CHECK(has(answer, "20.0 kWh, ready"));
    CHECK(has(answer, "The first 2.0 kWh has to wait"));
    CHECK_FALSE(has(answer, "starts at once"));
    CHECK_FALSE(has(answer, "short."));
}

TEST_CASE("a floor that a car which does not wake gives up is not promised") {
    const House house{.evening = "76 A", .car = ", wakes: no, floor: 3 kWh"};
    const std::string answer =
        house.text({"when", "--at", "2026-10-20T18:00", "--need", "20", "--ready-by", "06:00"});
    CHECK(has(answer, "It starts by itself at 22:00"));
    CHECK_FALSE(has(answer, "charged at once"));
}

TEST_CASE(
    "a plug-in that needs more above the price cap is not called as cheap, and is told with its energy") {
    const House house{.car = ", price_cap: 0.20",
                      .windows = R"({name: dear, from: "21:00", to: "18:00", per_kwh: 0.40},
          {name: cheap, from: "18:00", to: "20:00", per_kwh: 0.20},
          {name: free, from: "20:00", to: "21:00", per_kwh: 0.20})"};
    const auto answer =
        house.json({"when", "--at", "2026-10-20T18:00", "--need", "21", "--ready-by", "2026-10-20T22:00"});
    CHECK(answer["plan"]["above_cap_wh"] == 0);
    CHECK(answer["latest_cheapest"] == "2026-10-20T18:15:00-03:00");
    bool later = false;
    for (const auto& row : answer["plug_in"]) later |= row["above_cap_wh"] > 0;
    CHECK(later);
    CHECK(has(
        house.text({"when", "--at", "2026-10-20T18:00", "--need", "21", "--ready-by", "2026-10-20T22:00"}),
        "above cap"));
}

TEST_CASE("a cure is what the planner answers when it is asked for") {
    const House house{.car = kCommuter};
    const std::vector<std::string> asked = {"when",     "--at", "2026-10-22T03:00", "--from-soc", "20",
                                            "--to-soc", "90"};
    const auto answer = house.json(asked);
    REQUIRE(answer["plan"]["short_wh"] > 0);
    const std::string cure = answer["cures"]["ready_by"]["at"];
    CHECK(cure.substr(0, 16) > "2026-10-22T07:00");
    auto later = asked;
    later.insert(later.end(), {"--ready-by", cure.substr(0, 16)});
    const auto cured = house.json(later);
    CHECK(cured["plan"]["short_wh"] == 0);
    CHECK(cured["plan"]["cost"] == answer["cures"]["ready_by"]["cost"]);
    CHECK(cured["notes"].empty());  // it does not leave at 07:00 then
}

TEST_CASE("a shortfall says when the car charges where it does not use every hour") {
    const House house{.car = ", taper: [{from: 80 %, most: 16 A}, {from: 95 %, most: 0 A}]"};
    CHECK(has(house.text({"when", "--at", "2026-10-20T18:00", "--from-soc", "90", "--to-soc", "100",
                          "--ready-by", "06:00"}),
              "it charges from "));
    CHECK(has(house.text({"when", "--at", "2026-10-20T18:00", "--need", "60", "--ready-by", "19:00"}),
              "it uses every hour there is"));
}

TEST_CASE(
    "a time out for which the battery holds too little is warned of, and the next need by distance holds "
    "it") {
    const House house{.car = kCommuter};
    const std::vector<std::string> asked = {"--at", "2026-10-22T18:00", "--from-soc",      "5", "--to-soc",
                                            "30",   "--ready-by",       "2026-10-24T06:00"};
    auto arguments = asked;
    arguments.insert(arguments.begin(), "plan");
    // 3 kWh are in, 10 are driven; cheap hours in the first night bring them, were it not away first.
    const House poor{.car = kCommuter, .windows = R"({name: dear, from: "00:00", to: "18:00", per_kwh: 0.40},
          {name: dear evening, from: "18:00", to: "20:00", per_kwh: 0.40},
          {name: cheap, from: "20:00", to: "24:00", per_kwh: 0.10})"};
    arguments[2] = "2026-10-23T01:00";
    CHECK(has(poor.text(arguments), "NOT ENOUGH for Fri 07:00: "));
    arguments.emplace_back("--json");
    CHECK(poor.json({arguments.begin(), arguments.end() - 1})["warnings"].size() == 1);
    arguments = asked;
    arguments.insert(arguments.begin(), "plan");
    CHECK_FALSE(has(house.text(arguments), "NOT ENOUGH"));
    const auto by_distance = house.json(
        {"plan", "--at", "2026-10-22T18:00", "--distance", "60", "--ready-by", "2026-10-24T06:00"});
    CHECK(by_distance["need_wh"] == 13'333 + 11'111);
}

TEST_CASE("what a need at the register leaves out of the car is said") {
    const House house{.car = ", efficiency: 0.94, overhead: 300 W, taper: [{from: 60 %, most: 6 A}]"};
    const std::string text =
        house.text({"plan", "--at", "2026-10-20T18:00", "--need", "20", "--ready-by", "06:00"});
    CHECK(has(text, "That Heron takes less when it is fuller is left out"));
    CHECK(has(text, "What Heron loses in charging is left out"));
    CHECK_FALSE(
        has(house.text({"plan", "--at", "2026-10-20T18:00", "--from-soc", "40", "--ready-by", "06:00"}),
            "left out"));
}

TEST_CASE("the cheapest of the quiet nights is found for a car that tapers, too") {
    const House house{
        .car =
            R"(, consumption: 20 kWh/100km, taper: [{from: 80 %, most: 6 A}], habits: [{days: [weekdays], leaves: "07:00", returns: "17:30", distance: 90 km}])"};
    CHECK(has(house.text({"when", "--at", "2026-10-20T18:00", "--from-soc", "95", "--to-soc", "95"}),
              " night is cheapest, about "));
}

TEST_CASE("plug-ins are not offered while the car is away") {
    const House house{.car = kCommuter};
    const auto answer = house.json({"when", "--at", "2026-10-21T18:00", "--from-soc", "20", "--to-soc", "60",
                                    "--ready-by", "2026-10-23T06:30"});
    for (const auto& row : answer["plug_in"]) {
        const std::string at = row["at"];
        INFO(at);
        CHECK_FALSE((at > "2026-10-22T07:00" && at < "2026-10-22T17:30"));
    }
}

TEST_CASE("needs no battery takes and times that are none are refused with what is allowed") {
    const House house{.car = kCommuter};
    const auto refused = [&](const std::vector<std::string>& arguments) {
        const Ran ran = house.run(arguments);
        CHECK(ran.exit == Exit::usage);
        return ran.err;
    };
    CHECK(has(refused({"plan", "--need", "200"}),
              "--need '200': is more than an empty battery takes, 66.7 kWh"));
    CHECK(has(refused({"plan", "--distance", "2000"}),
              "--distance '2000': is more than an empty battery takes"));
    CHECK(has(refused({"why", "--slot", "x"}), "--slot 'x': is no time. Allowed: '18:00'"));
    CHECK(has(refused({"why", "--slot", "25:00"}), "is no time. "));
    CHECK(has(refused({"why", "--slot", ""}), "--slot: is empty"));
}

TEST_CASE("by hand the plan tells what the battery takes of the current that is set") {
    const House house{
        .control = "by-hand",
        .car = ", efficiency: 0.94, taper: [{from: 80 %, most: 16 A}, {from: 90 %, most: 4 A}]"};
    const auto answer = house.json({"plan", "--at", "2026-10-20T22:00", "--from-soc", "60", "--to-soc", "95",
                                    "--ready-by", "2026-10-21T06:00"});
    bool less = false;
    for (const auto& slot : answer["slots"]) less |= slot["drawn_amps"] < slot["amps"];
    CHECK(less);
    CHECK(has(house.text({"plan", "--at", "2026-10-20T22:00", "--from-soc", "60", "--to-soc", "95",
                          "--ready-by", "2026-10-21T06:00"}),
              "the battery takes 4 A of it"));
}
