// What `check` says of a house whose files are in order.
#include <fmt/format.h>

#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;

namespace {

// A house of 200 A that draws at most 60.3 A, and two points on one circuit.
std::string two_points(const char* circuit, const char* control, const char* car = "most: 32 A") {
    return fmt::format(
        "format: 1\nsite: {{name: Home, zone: America/Halifax, currency: CAD}}\n"
        "service: {{supply: split-phase, leg_to_neutral: 120 V, rating: 200 A, continuous: nec}}\n"
        "circuits: [{{name: garage, fed_from: service, {}}}]\n"
        "points:\n  - {{name: wall, circuit: garage, hard_setting: 32 A, control: {}}}\n"
        "  - {{name: drive, circuit: garage, hard_setting: 32 A, control: {}}}\n"
        "cars: [{{name: Heron, point: wall, battery: 60 kWh, {}}}]\n"
        "loads: [{{constant: 6 A, calculation: 60.3 A}}]\ntariff: {}\n",
        circuit, control, control, car, config("tariffs/two-rate.yaml"));
}

Ran checked(const std::string& site) {
    const Folder folder;
    std::ofstream(folder.file("site.yaml")) << site;
    return lullwatt_run({"check", "--site", folder.file("site.yaml")});
}

void says(const Ran& ran, const std::string& sentence) {
    INFO(ran.out << ran.err);
    CHECK(ran.out.find(sentence) != std::string::npos);
}

}  // namespace

TEST_CASE("points set by hand that overload a circuit only together are told with each other's name") {
    const Ran ran = checked(two_points("rating: 60 A", "by-hand"));
    CHECK(ran.exit == Exit::refused);
    says(ran,
         "NOT SAFE AT EVERY HOUR: garage, leg L1, together with drive, would carry 64 A where 48 A may "
         "flow for hours; have its installer set 16 A or less\n");
    says(ran, "garage, leg L1, together with wall, would carry 64 A");

    const Ran none = checked(two_points("rating: 40 A", "by-hand"));
    says(none, "there is no safe setting here beside drive as set: have them set lower\n");
}

TEST_CASE("check names the tightest place below the service, and rounds what may flow up") {
    const Ran ran = checked(two_points("rating: 50 A", "driven"));
    CHECK(ran.exit == Exit::done);
    says(ran, "worst load L1 60.3 A");
    says(ran, ", leg L1 may see at most 111 A (56 % of 200 A) for 15 min, then 73 A\n");  // 110.3, 72.3
    says(ran,
         "the tightest place: if this server dies with the house at its worst, garage, leg L1 may see "
         "at most 50 A (100 % of 50 A) for 15 min, then 12 A\n");
}

TEST_CASE("a limit rounds down to a tenth of an ampere") {
    const Ran ran = checked(two_points("rating: 50 A, meter_resolution: 0.14 A", "driven"));
    says(ran, "garage: 50 A, for hours 39.8 A (80 %, nec");
}

TEST_CASE("a charger of three legs at a point with one is told and reckoned on that leg") {
    const std::string site = two_points("rating: 50 A, legs: [L2]", "driven", "most: 32 A, legs: 3");
    says(checked(site), "Heron: its charger uses 3 legs, wall has one; it is reckoned with L2 alone\n");
    CHECK(checked(two_points("rating: 50 A", "driven")).out.find("its charger uses") == std::string::npos);
}

TEST_CASE("check tells prices that are long ended, and is done all the same") {
    const Folder folder;
    const auto check_with = [&](const char* dates) {
        std::string site = two_points("rating: 100 A", "by-hand");
        site.replace(site.find("tariff: "), std::string::npos, "tariff: prices.yaml\n");
        std::ofstream(folder.file("site.yaml")) << site;
        std::ofstream(folder.file("prices.yaml")) << fmt::format(
            "format: 1\nname: a\ncurrency: CAD\nrevisions: [{{{}, windows: [{{name: w, per_kwh: 0.1}}]}}]\n",
            dates);
        return lullwatt_run({"check", "--site", folder.file("site.yaml")});
    };
    const Ran ended = check_with("from: 2020-01-01, to: 2020-12-31");
    CHECK(ended.exit == Exit::done);
    says(ended,
         "  OLD PRICES: " + folder.file("prices.yaml") + ":4:36: revisions[0].to '2020-12-31': ended ");
    const Ran holds = check_with("from: 2020-01-01, to: 2199-12-31");
    CHECK(holds.exit == Exit::done);
    CHECK(holds.out.find("OLD PRICES") == std::string::npos);
}
