// `lullwatt bill` refuses energies no household uses, and options that would be ignored.
#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;

namespace {

Ran bill(std::vector<std::string> options) {
    options.insert(options.begin(), {"bill", "--tariff", config("tariffs/flat.yaml"), "--zone", "UTC",
                                     "--prices-of", "2026-11-01", "--month", "2026-01"});
    return lullwatt_run(std::move(options));
}

void refused(const Ran& ran, const std::string& sentence) {
    INFO(ran.out << ran.err);
    CHECK(ran.exit != Exit::done);
    CHECK(ran.out.empty());
    CHECK(ran.err.find(sentence) != std::string::npos);
}

std::string rows(int count, const std::string& energy) {
    std::string text = "# lullwatt history 1\n# meter: house\n# legs: total\nstart,seconds,total\n";
    for (int i = 0; i < count; ++i)
        text += "2026-01-" + std::to_string(10 + i) + "T00:00:00Z,3600," + energy + "\n";
    return text;
}

}  // namespace

TEST_CASE("a bill's energy is at most a million kilowatt-hours, however it is given") {
    CHECK(bill({"--register", "0:1000000"}).exit == Exit::done);
    refused(bill({"--register", "0:1000000.001"}),
            "--register '0:1000000.001': counts more than a household uses.");
    refused(bill({"--register", "0:9000000000000"}), "counts more than a household uses");
    refused(bill({"--register", "0:1", "--multiplier", "9000000"}), "counts more than a household uses");
    refused(bill({"--kwh", "all day=1000000", "--kwh", "other=1"}),
            "--kwh: comes to more than a household uses.");
}

TEST_CASE("a reading no household makes is told with its line, and many of them with their bill") {
    const Folder folder;
    const std::string file = folder.file("usage.csv");
    std::ofstream(file) << rows(1, "9000000000000000");
    refused(bill({"--readings", file}),
            ":5:27: energy '9000000000000000': is more than a household uses. Allowed: up to 1000000000 Wh a "
            "reading. Mend: look at the unit.");
    std::ofstream(file) << rows(20, "1000000000000");
    refused(bill({"--readings", file}), ":24:27: energy '1000000000000': is more than a household uses.");
    std::ofstream(file) << rows(2, "1000000000");
    refused(
        bill({"--readings", file}),
        "the readings of the bill from 2026-01-01 come to more than 1000000 kWh. Mend: look at their unit.");
    std::ofstream(file) << rows(2, "500000000");
    CHECK(bill({"--readings", file}).exit == Exit::done);
}

TEST_CASE("options that would be ignored are refused") {
    const std::string readings = config("harbour-row-9/history/house.csv");
    refused(bill({"--kwh", "12", "--multiplier", "40"}), "--multiplier requires --register");
    refused(bill({"--readings", readings, "--multiplier", "40"}), "--multiplier requires --register");
    refused(bill({"--readings", readings, "--kw", "5"}), "--readings excludes --kw");
    refused(bill({"--readings", readings, "--given-kwh", "5"}), "--readings excludes --given-kwh");
    refused(bill({"--kwh", "12", "--register-digits", "5"}), "--register-digits requires --register");
}

TEST_CASE("a contract's meter may have a multiplier, on its readings and its registers") {
    const Folder folder;
    const std::string site = folder.file("site.yaml");
    std::ofstream(site)
        << "format: 1\nsite: {name: Home, zone: UTC, currency: CAD}\n"
           "service: {supply: split-phase, leg_to_neutral: 120 V, rating: 100 A, continuous: nec}\n"
           "circuits:\n  - {name: garage, fed_from: service, rating: 40 A}\n"
           "points:\n  - {name: wall, circuit: garage, hard_setting: 32 A}\n"
           "cars:\n  - {name: Heron, point: wall, battery: 60 kWh, most: 32 A}\n"
           "loads: [{node: service, constant: 6 A, calculation: 60 A}]\n"
           "contracts: [{name: grid, tariff: t.yaml, multiplier: 40}]\n";
    std::ofstream(folder.file("t.yaml"))
        << "format: 1\nname: t\ncurrency: CAD\nrevisions: [{from: 2020-01-01, windows: [{name: all, per_kwh: "
           "0.1}]}]\n";
    const std::string file = folder.file("usage.csv");
    std::ofstream(file) << rows(2, "1000.5");
    const auto taken = [&](std::vector<std::string> options) {
        options.insert(options.begin(), {"bill", "--site", site, "--month", "2026-01"});
        const Ran ran = lullwatt_run(options);
        const auto at = ran.out.find("Taken: ");
        return at == std::string::npos ? ran.err : ran.out.substr(at, ran.out.find('\n', at) - at);
    };
    CHECK(taken({"--readings", file}) == "Taken: 80.04 kWh.");
    CHECK(taken({"--register", "100:110"}) == "Taken: 400 kWh.");
    CHECK(taken({"--register", "100:110", "--multiplier", "2"}) == "Taken: 20 kWh.");
    CHECK(taken({"--kwh", "12"}) == "Taken: 12 kWh.");
    CHECK(taken({"--kwh", "12", "--fuse", "25"}).find("--fuse requires --tariff") != std::string::npos);
}
