// `lullwatt compare` as a household would use it.
#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;

namespace {

Ran compare(std::vector<std::string> options, const std::vector<std::string>& tariffs) {
    options.insert(options.begin(), {"compare", "--prices-of", "2026-11-01", "--zone", "America/Halifax",
                                     "--readings", config("harbour-row-9/history/house.csv")});
    for (const std::string& tariff : tariffs)
        options.push_back(config(("tariffs/" + tariff + ".yaml").c_str()));
    return lullwatt_run(options);
}

void says(const Ran& ran, const std::string& sentence) {
    INFO(ran.out << ran.err);
    CHECK(ran.out.find(sentence) != std::string::npos);
}

}  // namespace

TEST_CASE("tariffs are ranked against the present one, with what makes the difference") {
    const Ran ran = compare({}, {"two-rate", "tidewater-night", "flat"});
    CHECK(ran.exit == Exit::done);
    says(ran, "12 bills, 2025-11-01 to 2026-10-31, 16340.774 kWh, at the prices of 2026-11-01, CAD.\n");
    says(ran,
         "   1.    2156.98     -257.69  Barrow flat\n"
         "   2.    2414.67         now  Quarry Lane two-rate\n"
         "   3.    3085.18     +670.51  Tidewater Co-operative night\n");
    says(ran, "  Barrow flat: -142.72 prices by the hour, -114.97 riders, taxes and rounding\n");
    says(ran, "  Quarry Lane two-rate          ▅▇▆▆▅▄▄▃▃▃▃▄\n");
    says(ran, "were chosen under the present tariff");
}

TEST_CASE("the cars' part is what the bill would be less without them") {
    const Folder folder;
    const std::string car = folder.file("car.csv");
    // 0.3 kWh in dear hours: 0.05 with tax.
    std::ofstream(car) << "# lullwatt history 1\n# meter: car\n# legs: total\nstart,seconds,total\n"
                          "2026-01-14T18:00:00Z,3600,300\n";
    const Ran ran = compare({"--car", car, "--json"}, {"two-rate", "flat"});
    INFO(ran.out << ran.err);
    CHECK(ran.exit == Exit::done);
    says(ran, "\"cars\": \"0.05\"");
}

TEST_CASE("a tariff that cannot be priced says why and does not spoil the others") {
    const Folder folder;
    const std::string file = folder.file("fuse.yaml");
    std::ofstream(file)
        << "format: 1\nname: By fuse\ncurrency: CAD\nrevisions:\n  - {from: 2025-01-01, windows: [{name: "
           "all, per_kwh: 0.1}], fixed: [{name: fuse, by_fuse: [{up_to: 16 A, amount: 200}]}]}\n";
    auto options = std::vector<std::string>{"compare",
                                            "--prices-of",
                                            "2026-11-01",
                                            "--zone",
                                            "America/Halifax",
                                            "--readings",
                                            config("harbour-row-9/history/house.csv"),
                                            config("tariffs/flat.yaml"),
                                            file};
    const Ran ran = lullwatt_run(options);
    CHECK(ran.exit == Exit::done);
    says(ran, "   -  " + file + ": 'fuse' goes by the main fuse, which is not stated; state the fuse\n");
    options.insert(options.end(), {"--fuse", "16"});
    says(lullwatt_run(options), "By fuse");
}

TEST_CASE("tariffs of two currencies are not ranked") {
    const Ran ran = compare({}, {"flat", "four-period"});
    CHECK(ran.exit == Exit::refused);
    CHECK(ran.err.find("currency 'USD': is not that of the first tariff. Allowed: CAD.") !=
          std::string::npos);
}
