// What `circuit` says about the example dwellings and about households of the tests' own.
#include <fstream>

#include <nlohmann/json.hpp>

#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::tests;
using nlohmann::json;
using tools::Exit;

namespace {

std::string example(const std::string& name) {
    return std::string(LULLWATT_SOURCE_DIR) + "/docs/examples/" + name + "/site.yaml";
}

// A house of 200 A at 1500 sq ft with gas heat, and what of it a test changes.
struct House {
    std::string breaker = "60 A";
    std::string setting = "48 A";
    std::string wire;   // lines under `wire:`; empty: none
    std::string point;  // more keys of the point
    std::string dwelling = "  edition: 2023\n  area: 1500 sq ft\n";
    std::string continuous = "nec";

    [[nodiscard]] std::string write(const Folder& folder) const {
        const std::string path = folder.file("site.yaml");
        std::ofstream(path)
            << "format: 1\nsite: {name: House, zone: America/Chicago, currency: USD}\n"
               "service: {supply: split-phase, leg_to_neutral: 120 V, rating: 200 A, continuous: "
            << continuous << "}\ncircuits:\n  - name: garage\n    fed_from: service\n    rating: " << breaker
            << "\n"
            << (wire.empty() ? "" : "    wire:\n" + wire)
            << "points:\n  - {name: wall, circuit: garage, hard_setting: " << setting << point
            << "}\ncars:\n  - {name: Wren, point: wall, battery: 60 kWh, most: 48 A}\n"
               "loads:\n  - {node: service, constant: 5 A, calculation: 60 A}\ndwelling:\n"
            << dwelling << "tariff: " << LULLWATT_SOURCE_DIR << "/docs/examples/tariff-usd.yaml\n";
        return path;
    }
};

json answer(const std::string& site, std::vector<std::string> more = {}) {
    std::vector<std::string> arguments = {"circuit", "--site", site, "--json"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return json::parse(lullwatt_run(arguments).out);
}

const std::string kThhn =
    "      size: 6 AWG\n      wiring: thhn-in-raceway\n      length: 50 ft\n      raceway: emt\n";
const std::string kNmB = "      size: 6 AWG\n      wiring: nm-b\n      length: 50 ft\n";

}  // namespace

TEST_CASE("the sheets in docs/examples are what the command prints") {
    for (const std::string name : {"split-phase-100", "three-phase-25", "single-phase-80"}) {
        CAPTURE(name);
        const std::string sheet = std::string(LULLWATT_SOURCE_DIR) + "/docs/examples/" + name + "/sheet.txt";
        const Ran ran = lullwatt_run({"circuit", "--site", example(name)});
        CHECK(ran.err.empty());
        CHECK(ran.out == whole(sheet));
    }
}

TEST_CASE(
    "48 A on 6 AWG NM-B behind 60 A is refused by the wire's own column, and wires that would do are "
    "offered") {
    const Folder folder;
    const std::string site = House{.wire = kNmB}.write(folder);
    const Ran ran = lullwatt_run({"circuit", "--site", site});
    CHECK(ran.exit == Exit::refused);
    CHECK(ran.out.find("6 AWG      copper NM-B, terminals unmarked: installed, DOES NOT SUIT") !=
          ran.out.npos);
    CHECK(ran.out.find(
              "60.00 A against 55.00 A, NOT MET\n        (the next standard size of breaker does not cure "
              "this: the wire comes first)") != ran.out.npos);
    CHECK(ran.out.find("4 AWG      copper NM-B, terminals unmarked: would suit") != ran.out.npos);
    CHECK(ran.out.find("6 AWG      copper 75 C insulation, terminals marked 75 C: would suit") !=
          ran.out.npos);
    const json found = answer(site);
    CHECK(found["points"][0]["wires"][0]["most_amps"] == 44);  // 80 % of 55 A
    CHECK(found["points"][0]["most_amps"] == 44);
}

TEST_CASE("40 A on 50 A is accepted on the same wire") {
    const Folder folder;
    const std::string site = House{.breaker = "50 A", .setting = "40 A", .wire = kNmB}.write(folder);
    const Ran ran = lullwatt_run({"circuit", "--site", site});
    CHECK(ran.exit == Exit::done);
    CHECK(ran.out.starts_with(
        "wall: at most 40 A may be set by its installer, with no load management at all. It is "
        "set to 40 A: within.\n"));
}

TEST_CASE("what lies in a conduit makes its conductors hotter, and fills it") {
    const Folder folder;
    const std::string full = kThhn + "      terminals: marked-75\n      raceway_size: 3/4\n";
    const auto wiring = [&](const std::string& more) {
        return answer(
            House{.breaker = "50 A", .setting = "40 A", .wire = full + more}.write(folder))["wiring"][0];
    };
    CHECK(wiring("")["suits"] == true);
    // Ten current-carrying conductors: 75 A × 0.50 = 37.5 A, below 40 A (310.15(C)(1)).
    const json crowded = wiring("      already_inside: [8 x 12 AWG]\n      conductors: 10\n");
    CHECK(crowded["conductors"][0]["suits"] == false);
    CHECK(crowded["conductors"][0]["conditions"][2]["limit_amps"] == 37.5);
    CHECK(crowded["raceway_fits"] == false);  // 8 × 0.0133 + 2 × 0.0507 + 0.0211 = 0.2289 of 0.2132
}

TEST_CASE("beyond the tables nothing is printed as nought") {
    const Folder folder;
    const std::string large = "      size: 250 kcmil\n      wiring: other-75\n      length: 50 ft\n";
    const Ran ran = lullwatt_run({"circuit", "--site", House{.wire = large}.write(folder)});
    CHECK(ran.out.find("voltage drop: not checked, chapter 9 is known here up to 4/0 AWG") != ran.out.npos);
    CHECK(ran.out.find("drops 0.00 V") == ran.out.npos);
}

TEST_CASE("a receptacle caps at four fifths of its rating") {
    const Folder folder;
    const House house{
        .breaker = "50 A", .setting = "32 A", .point = ", connection: receptacle, receptacle: 40 A"};
    CHECK(answer(house.write(folder))["points"][0]["most_amps"] == 32);
}

TEST_CASE("a heat pump to come is heating added, and lowers what may be set") {
    const Folder folder;
    const std::string site = House{}.write(folder);
    const json without = answer(site);
    const json with = answer(site, {"--with", "heat pump 60 A", "--with", "hot tub 12 kW"});
    CHECK(with["added"][0] ==
          "with heat pump: 14400 VA, taken for a heat pump, so heating or cooling is added");
    CHECK(with["added"][1] == "with hot tub: 12000 VA, taken for a pool or spa heater");
    CHECK(with["points"][0]["service_most_amps"] < without["points"][0]["service_most_amps"]);
    bool by_b = false;
    for (const json& sheet : with["points"][0]["calculations"])
        by_b |= sheet["method"].get<std::string>().find("220.83(B)") != std::string::npos;
    CHECK(by_b);
}

TEST_CASE("2026 is used where its figures are known and refused where not") {
    const Folder folder;
    const json found = answer(House{}.write(folder), {"--edition", "2026"});
    int known = 0;
    for (const json& sheet : found["points"][0]["calculations"]) {
        const bool refused = sheet.contains("not_for_this_dwelling");
        CHECK(refused == (sheet["method"].get<std::string>().find("120.82") == std::string::npos));
        known += refused ? 0 : 1;
    }
    CHECK(known == 2);
}

TEST_CASE("what could not be judged is told first, and no figure stands in for it") {
    const Folder folder;
    SECTION("no described dwelling") {
        const Ran ran = lullwatt_run({"circuit", "--site", config("one-cable/site.yaml")});
        CHECK(ran.exit == Exit::refused);
        CHECK(ran.out.starts_with("garage wall: NOT KNOWN what may be set by its installer"));
        CHECK(ran.out.find("      ?  service: not checked; describe the house under 'dwelling'") !=
              ran.out.npos);
    }
    SECTION("a dwelling for which this edition has no method") {
        const std::string heated =
            "  edition: 2026\n  area: 1500 sq ft\n  climate:\n    - {name: furnace, kind: "
            "central-heat, nameplate: 10 kW}\n";
        const Ran ran = lullwatt_run({"circuit", "--site", House{.dwelling = heated}.write(folder)});
        CHECK(ran.exit == Exit::refused);
        CHECK(ran.out.find("no method below is for this dwelling in this edition") != ran.out.npos);
    }
    SECTION("a wire that no table has") {
        const std::string hot = kNmB + "      ambient: 89 C\n";
        const std::string site = House{.breaker = "50 A", .setting = "40 A", .wire = hot}.write(folder);
        const Ran ran = lullwatt_run({"circuit", "--site", site});
        CHECK(ran.out.starts_with("wall: NOT KNOWN what may be set by its installer"));
        CHECK(ran.out.find("      ?  wire of garage: could not be judged") != ran.out.npos);
        CHECK(answer(site)["points"][0]["most_amps"].is_null());
        CHECK(lullwatt_run({"check", "--site", site}).exit == Exit::refused);
    }
}

TEST_CASE("a cable thinner than its device lets nothing be set, and check says so") {
    const Folder folder;
    std::string text = whole(example("single-phase-80"));
    text.replace(text.find("size: 6 mm2"), 11, "size: 1.5 mm2");
    text.replace(text.find("../tariff-gbp.yaml"), 18,
                 std::string(LULLWATT_SOURCE_DIR) + "/docs/examples/tariff-gbp.yaml");
    std::ofstream(folder.file("thin.yaml")) << text;
    const Ran ran = lullwatt_run({"circuit", "--site", folder.file("thin.yaml")});
    CHECK(ran.exit == Exit::refused);
    CHECK(ran.out.starts_with("front point: NOTHING may be set by its installer"));
    const Ran check = lullwatt_run({"check", "--site", folder.file("thin.yaml")});
    CHECK(check.exit == Exit::refused);
    CHECK(check.out.find("ITS WIRE BEARS 0 A FOR HOURS") != check.out.npos);
}

TEST_CASE("a load to come is known by whole words, whatever their case") {
    const Folder folder;
    const std::string site = House{}.write(folder);
    const auto taken = [&](const std::string& load) {
        return answer(site, {"--with", load})["added"][0].get<std::string>();
    };
    CHECK(taken("Heat Pump 40 A") ==
          "with Heat Pump: 9600 VA, taken for a heat pump, so heating or cooling is added");
    CHECK(taken("mini-split 20 A").find("taken for a heat pump") != std::string::npos);
    CHECK(taken("space heater 5 kW").find("separate heaters") != std::string::npos);
    CHECK(taken("range hood 2 A").find("an appliance on its own circuit") != std::string::npos);
    CHECK(taken("second car 32 A") ==
          "with second car: 7680 VA, taken for cars' supply equipment set to 32 A");
    CHECK(lullwatt_run({"circuit", "--site", site, "--with", " 40 A"}).exit == Exit::usage);
    CHECK(json::accept(lullwatt_run({"circuit", "--site", site, "--json", "--with", "\xff 5 kW"}).out));
}

TEST_CASE("a feeder's wire carries its house too, and legs are not added up") {
    const Folder folder;
    const auto site = [&](const std::string& points, const std::string& load) {
        const std::string path = folder.file("feeder.yaml");
        std::ofstream(path) << "format: 1\nsite: {name: Barn, zone: America/Chicago, currency: USD}\n"
                               "service: {supply: split-phase, leg_to_neutral: 120 V, rating: 200 A, "
                               "continuous: nec}\nfeeders:\n"
                               "  - name: barn\n    fed_from: service\n    rating: 60 A\n    wire: {size: 6 "
                               "AWG, wiring: nm-b, length: 50 ft}\n"
                               "circuits:\n  - {name: wall, fed_from: barn, rating: 30 A}\n  - {name: door, "
                               "fed_from: barn, rating: 30 A}\n"
                               "points:\n"
                            << points
                            << "cars:\n  - {name: Wren, point: left, battery: 60 kWh, most: 24 A}\nloads:\n  "
                               "- {node: service, constant: 5 A}\n"
                            << load
                            << "dwelling: {edition: 2023, area: 1500 sq ft}\ntariff: " << LULLWATT_SOURCE_DIR
                            << "/docs/examples/tariff-usd.yaml\n";
        return path;
    };
    const std::string left = "  - {name: left, circuit: wall, hard_setting: 16 A}\n";
    const std::string house =
        "  - {node: barn, constant: 10 A, worst: 20 A, worst_reason: read off the clamp}\n";
    CHECK(answer(site(left, ""))["points"][0]["wires"][0]["most_amps"] == 44);
    CHECK(answer(site(left, house))["points"][0]["wires"][0]["most_amps"] == 24);
    CHECK(answer(site(left, house))["wiring"][0]["current_amps"] == 36);
    const std::string apart =
        "  - {name: left, circuit: wall, legs: [L1], hard_setting: 16 A}\n"
        "  - {name: right, circuit: door, legs: [L2], hard_setting: 12 A}\n";
    CHECK(answer(site(apart, ""))["wiring"][0]["current_amps"] == 16);
}

TEST_CASE("what circuit cannot take is told with its mend") {
    const Folder folder;
    const std::string site = House{}.write(folder);
    struct Case {
        std::vector<std::string> options;
        const char* message;
    };
    const std::vector<Case> cases = {
        {{"--point", "gate"},
         "command line: --point 'gate': names no point of this site. Allowed: "
         "wall. Mend: take one of these.\n"},
        {{"--edition", "2022"},
         "command line: --edition '2022': is no edition of the service's code that this program knows. "
         "Allowed: 2017, "
         "2020, 2023, 2026. Mend: take the one that your authority has adopted.\n"},
        {{"--with", "sauna"},
         "command line: --with 'sauna': is not a load with its size. Allowed: a "
         "name and a figure such as 'heat pump 40 "
         "A' or 'sauna 6 kW'. Mend: add the figure with its unit.\n"},
        {{"--with", "sauna 6 GW"},
         "command line: --with 'sauna 6 GW': is not a load with its size. "
         "Allowed: a name and a figure such as 'heat "
         "pump 40 A' or 'sauna 6 kW'. Mend: add the figure with its unit.\n"}};
    for (const Case& one : cases) {
        std::vector<std::string> arguments = {"circuit", "--site", site};
        arguments.insert(arguments.end(), one.options.begin(), one.options.end());
        const Ran ran = lullwatt_run(arguments);
        CHECK(ran.exit == Exit::usage);
        CHECK(ran.err == one.message);
    }
}

TEST_CASE("a dwelling's keys are held against the rules of its service") {
    const Folder folder;
    const auto faults = [&](const House& house) {
        return lullwatt_run({"circuit", "--site", house.write(folder)}).err;
    };
    CHECK(faults({.dwelling = "  area: 1500 sq ft\n"})
              .find("dwelling.edition: is missing. Allowed: required under nec and cec. Mend: add it, such "
                    "as 'edition: 2023'.") != std::string::npos);
    CHECK(faults({.dwelling = "  edition: 2019\n  area: 1500 sq ft\n"})
              .find("dwelling.edition '2019': is no edition of the NEC that this program knows. Allowed: "
                    "2017, 2020, 2023, 2026.") != std::string::npos);
    CHECK(faults({.dwelling = "  edition: 2023\n  area: 1500\n"}).find("dwelling.area '1500': has no unit") !=
          std::string::npos);
    CHECK(faults({.dwelling = "  edition: 2023\n  area: 1500 sq ft\n  household:\n    - {name: lights, use: "
                              "lighting, current: 3 A}\n"})
              .find("dwelling.household: is a matter of iec") != std::string::npos);
    CHECK(faults({.wire = kNmB + "      detached: yes\n"}).find("wiring 'nm-b': is a cable for dry places") !=
          std::string::npos);
    CHECK(faults({.dwelling = "  edition: 2023\n  area: 1500 sq ft\n  heating_excludes_cooling: yes\n"})
              .find("heating_excludes_cooling 'yes': is a matter of the CEC") != std::string::npos);
    CHECK(faults({.wire = kThhn}).find("raceway 'emt': stands alone") != std::string::npos);
    CHECK(faults({.wire = kNmB + "      raceway: emt\n      raceway_size: 1/2\n"})
              .find("raceway 'emt': is reckoned for single conductors, and the wiring is a cable") !=
          std::string::npos);
    const std::string full = kThhn + "      raceway_size: 1/2\n      already_inside: ";
    CHECK(faults({.wire = full + "[3 x 13 AWG]\n      conductors: 4\n"})
              .find("already_inside[0] '3 x 13 AWG': is no number of conductors with their size. Allowed: 14 "
                    "AWG to "
                    "4/0 AWG.") != std::string::npos);
    CHECK(faults({.wire = full + "[8 x 12 AWG]\n"})
              .find("already_inside: is told without how many conductors carry current together") !=
          std::string::npos);
}

TEST_CASE("the page for the electrician asks and decides nothing") {
    const Ran ran = lullwatt_run({"circuit", "--site", example("split-phase-100"), "--questions"});
    for (const char* asked : {"permit", "GFCI", "disconnect", "Grounding conductor", "Burial depth",
                              "Terminals", "Torque", "largest branch breaker", "Never open the panel"})
        CHECK(ran.out.find(asked) != ran.out.npos);
}
