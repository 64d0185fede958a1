// Several cars of one house on one night, as the commands tell it.
#include <algorithm>
#include <cmath>
#include <map>

#include <nlohmann/json.hpp>

#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;
using nlohmann::json;

namespace {

// Two driven points at the end of a feeder of 30 A: 24 A for both.
const std::string kTight =
    "format: 1\nsite: {name: Home, zone: America/Halifax, currency: CAD}\n"
    "service: {supply: split-phase, leg_to_neutral: 120 V, rating: 125 A, continuous: nec}\n"
    "feeders:\n  - {name: yard, fed_from: service, rating: 30 A}\n"
    "circuits:\n  - {name: left, fed_from: yard, rating: 30 A}\n  - {name: right, fed_from: yard, rating: 30 "
    "A}\n"
    "cars:\n  - {name: Heron, point: left wall, battery: 60 kWh, most: 32 A, need: 20 kWh}\n"
    "  - {name: Plover, point: right wall, battery: 40 kWh, most: 16 A, need: 12 kWh}\n"
    "loads: [{node: service, constant: 6 A, calculation: 60 A}]\ntariff: tariff.yaml\n";

std::string points(const char* left_control) {
    return std::string("points:\n  - {name: left wall, circuit: left, hard_setting: 24 A, control: ") +
           left_control + "}\n  - {name: right wall, circuit: right, hard_setting: 24 A}\n";
}

class House {
  public:
    explicit House(const std::string& site) {
        std::ofstream(folder_.file("site.yaml")) << site;
        std::ofstream(folder_.file("tariff.yaml"))
            << "format: 1\nname: Two\ncurrency: CAD\nrevisions:\n  - from: 2020-01-01\n"
               "    windows: [{name: low, from: \"22:00\", to: \"06:00\", per_kwh: 0.1}, "
               "{name: high, per_kwh: 0.2}]\n";
    }
    [[nodiscard]] Ran run(std::vector<std::string> arguments) const {
        arguments.insert(arguments.end(), {"--site", folder_.file("site.yaml"), "--at", "2026-01-14T18:00"});
        return lullwatt_run(arguments);
    }
    [[nodiscard]] std::string said(const std::vector<std::string>& arguments) const {
        const Ran ran = run(arguments);
        INFO(ran.err);
        REQUIRE(ran.exit == Exit::done);
        return ran.out;
    }
    [[nodiscard]] json told(std::vector<std::string> arguments) const {
        arguments.insert(arguments.end(), {"--json", "--proof-time", "60"});
        return json::parse(said(arguments));
    }

  private:
    Folder folder_;
};

bool has(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

// Amperes of all cars of the answer by the begin of their slots.
std::map<std::string, int> drawn(const json& answer) {
    std::map<std::string, int> sum;
    for (const json& car : answer.at("cars")) {
        for (const json& slot : car.at("slots")) sum[slot.at("begin")] += slot.at("amps").get<int>();
    }
    return sum;
}

}  // namespace

TEST_CASE("plan without --car plans every car together, within the feeder they share, and proves it") {
    const House house(kTight + points("driven"));
    const json all = house.told({"plan"});
    REQUIRE(all.at("cars").size() == 2);
    CHECK(all.at("cars")[0].at("car") == "Heron");
    CHECK(all.at("cars")[1].at("car") == "Plover");
    for (const auto& [begin, amps] : drawn(all)) {
        INFO(begin);
        CHECK(amps <= 24);
    }
    for (const json& car : all.at("cars")) CHECK(car.at("plan").at("short_wh") == 0);
    const json& together = all.at("together");
    CHECK(together.at("proven") == true);
    CHECK(together.at("shortfalls_proven") == true);
    CHECK(together.at("gap").get<double>() <= 1e-6);
    CHECK(together.at("cars") == 2);
    // 32 kWh in 8 cheap hours of 24 A × 240 V = 46 kWh: all of it is cheap.
    CHECK(all.at("cars")[0].at("plan").at("cost") == "2.00");
    const std::string text = house.said({"plan"});
    CHECK(has(text, "Proof: 2 cars together; no plan costs less than "));
    CHECK(has(text, ": proven.\n"));
}

TEST_CASE("a car that no solver knows is named with its reason, and keeps to the feeder") {
    const auto with = [](const char* setting) {
        std::string site = kTight + points("driven");
        const std::string end = "need: 12 kWh}";
        site.replace(site.find(end), end.size(), std::string("need: 12 kWh, ") + setting + "}");
        return House(site);
    };
    SECTION("no pause, nothing short: the bound holds still") {
        const House house = with("wakes: no");
        const json all = house.told({"plan"});
        for (const auto& [begin, amps] : drawn(all)) CHECK(amps <= 24);
        CHECK(all.at("together").at("proven") == true);
        CHECK(all.at("cars")[1].at("plan").at("starts") == 1);
        CHECK(has(house.said({"plan"}),
                  "Plover does not go on after a pause: it is planned together with the "));
    }
    SECTION("a cap that is in reach") {
        CHECK(has(with("price_cap: 0.15").said({"plan"}), "Plover has a price cap: it is planned together "));
    }
    SECTION("a cap that is not") {
        CHECK(!has(with("price_cap: 0.25").said({"plan"}), "Plover has a price"));
    }
    SECTION("a floor comes first, and the bound holds still") {
        const House house = with("wakes: no, floor: 3 kWh");
        const json all = house.told({"plan"});
        const json& car = all.at("cars")[1];
        CHECK(car.at("plan").at("begin_amps") == 16);
        CHECK(car.at("plan").at("begin") == car.at("plugged_in"));
        CHECK(all.at("together").at("proven") == true);
        CHECK(has(house.said({"plan"}), "Proof: 2 cars"));
    }
}

TEST_CASE("one ampere more is worth what all cars together then cost less, as in a house that has it") {
    // 55 kWh in 8 cheap hours of 24 A × 240 V = 46 kWh: what one ampere more takes is not paid dearly.
    std::string site = kTight + points("driven");
    const auto put = [&site](const std::string& old, const std::string& instead) {
        site.replace(site.find(old), old.size(), instead);
    };
    put("need: 20 kWh", "need: 30 kWh");
    put("need: 12 kWh", "need: 25 kWh");
    const json why = House(site).told({"why", "--car", "Heron", "--slot", "23:00"});
    const json& worths = why.at("one_ampere_more");
    const auto yard =
        std::find_if(worths.begin(), worths.end(), [](const json& row) { return row.at("node") == "yard"; });
    REQUIRE(yard != worths.end());
    CHECK(yard->at("all_cars_together") == true);
    CHECK(yard->at("proven") == true);
    const auto cost = [](const json& answer) {
        return std::stod(answer.at("together").at("cost_with_starts").get<std::string>());
    };
    put("fed_from: service, rating: 30 A", "fed_from: service, rating: 31.25 A");  // 25 A for hours
    const double saved = cost(why) - cost(House(site).told({"plan"}));
    CHECK(saved > 0.15);
    CHECK(std::abs(std::stod(yard->at("cost_with_starts").get<std::string>()) + saved) < 1e-5);
    CHECK(has(House(site).said({"why", "--car", "Heron", "--slot", "23:00"}),
              "  1 A more  at yard, all night, "
              "all cars together: saves 0."));
}

TEST_CASE("the reason of a slot names the node and leg that the other car uses up") {
    const House house(kTight + points("driven"));
    const json all = house.told({"plan"});
    bool kept_off_or_low = false;
    int held = 0;
    for (std::size_t i = 0; i < 2; ++i) {
        const json& car = all.at("cars")[i];
        for (const json& slot : car.at("slots")) {
            for (const json& one : slot.at("held_by")) {
                // What the other takes is just what is missing to the 24 A of both.
                CHECK(one.at("car") == (i == 0 ? "Plover" : "Heron"));
                CHECK(one.at("amps").get<int>() + slot.at("room_amps").get<int>() == 24);
                if (slot.at("amps") != slot.at("room_amps")) continue;
                CHECK(has(slot.at("reason"), "headroom of yard, leg L1, beside " +
                                                 one.at("car").get<std::string>() + "'s " +
                                                 std::to_string(one.at("amps").get<int>()) + " A"));
                ++held;
            }
            const bool below = slot.at("why") == "below-minimum";
            if (below) CHECK(slot.at("room_amps").get<int>() < 6);
            CHECK(slot.at("amps").get<int>() <= slot.at("room_amps").get<int>());
            kept_off_or_low = kept_off_or_low || has(slot.at("reason"), "headroom of yard, leg L1");
        }
    }
    CHECK(kept_off_or_low);
    CHECK(held > 0);
    const std::string text = house.said({"plan"});
    CHECK(has(text, "; limited by headroom of yard, leg L1, beside Plover's 8 A\n"));
    CHECK(has(text, "0 A left, below the least current: headroom of yard, leg L1, beside Heron's 24 A\n"));
    CHECK(has(house.said({"why", "--car", "Plover", "--slot", "23:00"}),
              "  room   0 A, limited by headroom of yard, leg L1, beside Heron's 24 A\n"));
    CHECK(!has(house.said({"plan", "--car", "Heron", "--alone"}), "beside Plover's"));
    // why says the same of the slot.
    const json& slot = all.at("cars")[1].at("slots").back();
    const json why = house.told({"why", "--car", "Plover", "--slot", "06:55"});
    CHECK(why.at("begin") == slot.at("begin"));
    CHECK(why.at("amps") == slot.at("amps"));
    CHECK(why.at("beside")[0].at("car") == "Heron");
}

TEST_CASE("cars that take room only together are named together") {
    // 72 A for hours and 10 A of the house's leave 62 A: 32 A beside one of 24 A, not beside two.
    const House house(
        "format: 1\nsite: {name: Home, zone: America/Halifax, currency: CAD}\n"
        "service: {supply: split-phase, leg_to_neutral: 120 V, rating: 90 A, continuous: cec}\n"
        "circuits:\n  - {name: a, fed_from: service, rating: 40 A}\n"
        "  - {name: b, fed_from: service, rating: 40 A}\n  - {name: c, fed_from: service, rating: 40 A}\n"
        "points:\n  - {name: left, circuit: a, hard_setting: 32 A}\n"
        "  - {name: middle, circuit: b, hard_setting: 24 A}\n"
        "  - {name: right, circuit: c, hard_setting: 24 A}\n"
        "cars:\n  - {name: Heron, point: left, battery: 90 kWh, most: 32 A, need: 80 kWh}\n"
        "  - {name: Bow and Arrow, point: middle, battery: 90 kWh, most: 32 A, need: 80 kWh}\n"
        "  - {name: Dunlin, point: right, battery: 90 kWh, most: 32 A, need: 80 kWh}\n"
        "loads: [{node: service, constant: 10 A, worst: 20 A, worst_reason: a test's}]\n"
        "tariff: tariff.yaml\n");
    const std::string text = house.said({"when", "--car", "Heron"});
    INFO(text);
    CHECK(has(text, " it uses all that Bow and Arrow and Dunlin as planned leave it, about "));
}

TEST_CASE("when counts the other car as planned and says so, unless it is to be left out") {
    const House house(kTight + points("driven"));
    const std::string with = house.said({"when", "--car", "Heron", "--need", "40"});
    CHECK(has(with, "Counted beside it as planned: Plover at right wall, 12.0 kWh, "));
    const std::string without = house.said({"when", "--car", "Heron", "--need", "40", "--alone"});
    CHECK(!has(without, "Plover"));
    const json counted = house.told({"when", "--car", "Heron", "--need", "40"});
    const json alone = house.told({"when", "--car", "Heron", "--need", "40", "--alone"});
    CHECK(counted.at("beside").size() == 1);
    CHECK(alone.at("beside").empty());
    CHECK(counted.at("together").at("proven") == true);
    CHECK(!alone.contains("together"));
    // 40 kWh and 12 kWh do not both fit into the cheap hours of one feeder.
    const auto cost = [](const json& answer) {
        return std::stod(answer.at("plan").at("proof").at("cost_with_starts").get<std::string>());
    };
    CHECK(cost(counted) > 0);
}

TEST_CASE("a point set by hand and a driven car are planned together, the block in one piece") {
    const House house(kTight + points("by-hand"));
    const json all = house.told({"plan"});
    CHECK(all.at("together").at("cars") == 2);
    CHECK(all.at("together").at("shortfalls_proven") == true);
    CHECK(all.at("together").at("proven") == true);
    for (const auto& [begin, amps] : drawn(all)) {
        INFO(begin);
        CHECK(amps <= 24);
    }
    // Of the 30 A that a lost link may leave flowing 24 A are set by hand: 6 A × 240 V are 11.52 kWh in 8
    // cheap hours, and 0.48 kWh are dear.
    const json& heron = all.at("cars")[0];
    CHECK(heron.at("plan").at("starts") == 1);
    CHECK(heron.at("plan").at("cost") == "2.00");
    CHECK(all.at("cars")[1].at("plan").at("cost") == "1.25");
    int current = 0;
    for (const json& slot : heron.at("slots")) {
        const int amps = slot.at("amps");
        if (amps > 0 && current > 0) CHECK(amps == current);
        current = std::max(current, amps);
    }
    const std::string text = house.said({"plan"});
    CHECK(has(text, "Heron is set by hand, in one block: it is planned together with the others"));
    CHECK(!has(text, "planned first"));
}

TEST_CASE("when tells what to set by hand beside a driven car, and why tells of its slots") {
    const House house(kTight + points("by-hand"));
    const std::string when = house.said({"when", "--car", "Heron"});
    CHECK(has(when, "Set the car to start at "));
    CHECK(has(when, "Counted beside it as planned: Plover at right wall, 12.0 kWh, "));
    const std::string beside = house.said({"when", "--car", "Plover"});
    CHECK(has(beside, "Counted beside it as planned: Heron at left wall, 20.0 kWh, "));
    const json plan = house.told({"plan"});
    for (const json& slot : plan.at("cars")[0].at("slots")) {
        if (slot.at("amps") == 0 && slot.at("room_amps").get<int>() >= 6)
            CHECK(slot.at("why") == "outside-block");
    }
    const json why = house.told({"why", "--car", "Heron", "--slot", "19:00"});
    CHECK(why.at("amps") == 0);
    CHECK(why.at("beside")[0].at("car") == "Plover");
}

TEST_CASE(
    "one cable charges one car a night: the one asked about, else the one ready first or needing most") {
    const auto plan = [](std::vector<std::string> more) {
        std::vector<std::string> arguments = {"plan", "--site", config("one-cable/site.yaml"), "--at",
                                              "2026-10-20T18:00"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        return lullwatt_run(arguments).out;
    };
    const std::string usual = plan({});
    CHECK(usual.starts_with("Curlew at garage wall"));
    CHECK(has(usual,
              "Curlew is on garage wall tonight, for it is to be ready first, or needs most; Dunlin is not"));
    CHECK(!has(usual, "Dunlin at garage wall"));
    const std::string asked = plan({"--car", "Dunlin"});
    CHECK(asked.starts_with("Dunlin at garage wall"));
    CHECK(has(asked, "Dunlin is on garage wall tonight, as asked; Curlew is not"));
}

TEST_CASE(
    "the time a proof may take is refused where it is none, and what fits no car is asked whose it is") {
    const House house(kTight + points("driven"));
    const Ran odd = house.run({"plan", "--proof-time", "soon"});
    CHECK(odd.exit == Exit::usage);
    CHECK(odd.err ==
          "command line: --proof-time 'soon': is no number of seconds. Allowed: 0 to 3600, as in '2' or "
          "'0.5'.\n");
    const Ran whose = house.run({"plan", "--need", "10"});
    CHECK(whose.exit == Exit::usage);
    CHECK(has(whose.err, "--car: is missing: there are several cars"));
    const Ran alone = house.run({"plan", "--alone"});
    CHECK(alone.exit == Exit::usage);
    CHECK(has(alone.err, "--car: is missing: there are several cars"));
    // However short the time, there is a plan.
    const json hurried = json::parse(house.said({"plan", "--json", "--proof-time", "0"}));
    for (const auto& [begin, amps] : drawn(hurried)) CHECK(amps <= 24);
    CHECK(hurried.at("together").at("gap").get<double>() >= 0);
}
