// `lullwatt compare` as a household would use it.
#include <date/date.h>

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
    says(ran, "  Barrow flat: -142.72 price per kWh, -114.97 riders, taxes and rounding\n");
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
    says(ran,
         "   -  " + file +
             ": 'fuse' goes by the main fuse, which is not stated. Mend: state the fuse (give --fuse).\n");
    options.emplace_back("--csv");
    says(lullwatt_run(options), "\n" + file + ",,,,,\"" + file + ": 'fuse' goes by the main fuse");
    options.pop_back();
    options.insert(options.end(), {"--fuse", "16"});
    says(lullwatt_run(options), "By fuse");
}

TEST_CASE("tariffs of two currencies are not ranked") {
    const Ran ran = compare({}, {"flat", "four-period"});
    CHECK(ran.exit == Exit::refused);
    CHECK(ran.err.find("currency 'USD': is not that of the first tariff. Allowed: CAD.") !=
          std::string::npos);
}

TEST_CASE("tariffs on clocks far apart are compared over the bills that both make of the readings") {
    const Folder folder;
    const std::string readings = folder.file("two-months.csv");
    std::ofstream(readings) << "# lullwatt history 1\n# meter: house\n# legs: total\nstart,seconds,total\n"
                               "2026-01-01T00:00:00Z,5011200,1000000\n";
    const auto flat = [&](const char* name, const char* offset) {
        std::ofstream(folder.file(name))
            << "format: 1\nname: Flat " << offset << "\ncurrency: CAD\noffset: \"" << offset
            << "\"\nrevisions: [{from: 2024-01-01, windows: [{name: all, per_kwh: 0.1}]}]\n";
        return folder.file(name);
    };
    const Ran ran = lullwatt_run({"compare", "--prices-of", "2026-11-01", "--readings", readings,
                                  flat("zero.yaml", "+00:00"), flat("east.yaml", "+05:00"), "--json"});
    INFO(ran.out << ran.err);
    CHECK(ran.exit == Exit::done);
    says(ran, "\"from\": \"2026-01-01\",\n  \"to\": \"2026-02-01\",\n  \"bills\": 1");
    says(ran, "\"from\": \"2026-02-01\",\n      \"to\": \"2026-02-28\"");
}

TEST_CASE("what a charge counts of earlier bills is known from readings before the twelve, and told if not") {
    const Folder folder;
    const std::string yearly = folder.file("yearly.yaml");
    std::ofstream(yearly) << "format: 1\nname: Yearly\ncurrency: CAD\noffset: \"+00:00\"\nrevisions:\n"
                             "  - from: 2024-01-01\n    windows: [{name: all, per_kwh: 0.1}]\n"
                             "    blocks: [{name: bulk, over: year, year_begins: 07-01, steps: [{up_to: 1200 "
                             "kWh, per_kwh: 0}, {per_kwh: 0.1}]}]\n";
    // 200 kWh in each of `months` calendar months up to 2026-12.
    const auto cost = [&](int months) {
        const std::string readings = folder.file("months.csv");
        std::ofstream file(readings);
        file << "# lullwatt history 1\n# meter: house\n# legs: total\nstart,seconds,total\n";
        const auto last = date::year{2026} / 12;
        for (auto month = last - date::months{months - 1}; month <= last; month += date::months{1}) {
            const date::sys_days begin{month / 1};
            const std::chrono::seconds length = date::sys_days{(month + date::months{1}) / 1} - begin;
            file << date::format("%FT00:00:00Z", begin) << ',' << length.count() << ",200000\n";
        }
        file.close();
        return lullwatt_run({"compare", "--prices-of", "2026-11-01", "--readings", readings, yearly});
    };
    // January to June go on from July to December before: all above the limit. From July on: all below.
    const Ran known = cost(18);
    says(known, "   1.     360.00         now  Yearly\n");
    CHECK(known.out.find("BEGUN MIDWAY") == std::string::npos);
    const Ran unknown = cost(12);
    says(unknown, "   1.     240.00         now  Yearly\n");
    says(unknown,
         "BEGUN MIDWAY: Yearly counts earlier bills (bulk);\n  those before 2026-01-01 are not known and "
         "count "
         "as nothing.\n");
}

TEST_CASE("an option of the cars takes one file, and tariffs may follow it") {
    const Folder folder;
    const std::string car = folder.file("car.csv");
    std::ofstream(car) << "# lullwatt history 1\n# meter: car\n# legs: total\nstart,seconds,total\n"
                          "2026-01-14T18:00:00Z,3600,300\n";
    const Ran ran = compare({"--car", car, "--car", car}, {"two-rate", "flat"});
    CHECK(ran.exit == Exit::done);
    says(ran, "cars' part");
    const Ran csv = compare({"--csv", "--car", car}, {"two-rate"});
    says(csv, "file,bill_from,bill_to,cost,cars,refused\n");
    says(csv, "2026-01-01,2026-02-01,");
    says(csv, ",0.05,\n");
}

TEST_CASE("energy at prices nobody has announced is told, and much of it takes a tariff out of the ranking") {
    const Folder folder;
    std::ofstream(folder.file("prices.csv")) << "start,price\n2026-01-01T00:00Z,0.10\n";
    const std::string hourly = folder.file("hourly.yaml");
    std::ofstream(hourly)
        << "format: 1\nname: Hourly\ncurrency: CAD\noffset: \"+00:00\"\n"
           "prices_from: prices.csv\nfallback_per_kwh: 0.01\nrevisions: [{from: 2024-01-01}]\n";
    const std::string readings = folder.file("day.csv");
    std::ofstream(readings) << "# lullwatt history 1\n# meter: house\n# legs: total\nstart,seconds,total\n"
                               "2026-01-01T00:00:00Z,3600,1000\n2026-01-01T01:00:00Z,82800,3000\n";
    const std::vector<std::string> options{"compare",
                                           "--prices-of",
                                           "2026-11-01",
                                           "--zone",
                                           "America/Halifax",
                                           "--readings",
                                           readings,
                                           config("tariffs/flat.yaml"),
                                           hourly};
    const auto asked = [&](const char* form) {
        auto all = options;
        if (*form != 0) all.emplace_back(form);
        return lullwatt_run(all);
    };
    const Ran ran = asked("");
    says(ran, "   ~        0.13");
    says(ran, "ASSUMED: 3");
    says(ran, "of Hourly are at prices nobody has announced, so it has no place in the ranking.\n");
    says(asked("--json"), "\"ranked\": false,\n      \"assumed\": true,\n      \"assumed_kwh\": \"3");
}

TEST_CASE("an option that is no date is told once, as a fault of the command line") {
    const Ran ran = lullwatt_run({"compare", "--prices-of", "soon", "--zone", "America/Halifax", "--readings",
                                  config("harbour-row-9/history/house.csv"), config("tariffs/flat.yaml"),
                                  config("tariffs/two-rate.yaml")});
    CHECK(ran.exit == Exit::usage);
    CHECK(ran.err.find("--prices-of 'soon'") == ran.err.rfind("--prices-of 'soon'"));
}
