// `lullwatt bill` as a household would use it.
#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;

namespace {

const std::string kSeymour = LULLWATT_SOURCE_DIR "/tests/reference/tariffs/seymour.yaml";

Ran bill(std::vector<std::string> options, const std::string& tariff = kSeymour) {
    options.insert(options.begin(), {"bill", "--tariff", tariff});
    return lullwatt_run(std::move(options));
}

}  // namespace

TEST_CASE("a bill's lines stand in a table with how each came about") {
    const Ran ran = bill({"--month", "2026-01", "--kwh", "1200"});
    CHECK(ran.exit == Exit::done);
    CHECK(ran.out ==
          "Seymour residential: 2026-01-01 to 2026-01-31, 31 days, USD\n"
          "  power cost   1200 kWh x 0.085   102.00\n"
          "  energy        250 kWh x 0.064    16.00  first 250 kWh\n"
          "  energy        450 kWh x 0.049    22.05  above 250 kWh to 700 kWh\n"
          "  energy        500 kWh x 0.0446   22.30  above 700 kWh\n"
          "  base charge                       7.50\n"
          "  city tax          1 %             1.70  of 169.85\n"
          "  total                           171.55\n"
          "\nTaken: 1200 kWh.\n");
}

TEST_CASE("the same bill as JSON and as a table for other programs") {
    const Ran json = bill({"--month", "2026-01", "--kwh", "1200", "--json"});
    CHECK(json.out.find("\"total\": \"171.55\"") != std::string::npos);
    CHECK(json.out.find("\"rule\": \"above 250 kWh to 700 kWh\"") != std::string::npos);
    const Ran csv = bill({"--month", "2026-01", "--kwh", "1200", "--csv"});
    CHECK(csv.out.find("2026-01-01,2026-02-01,tax,city tax,1,%,,1.70,of 169.85\n") != std::string::npos);
}

TEST_CASE("a register's difference is what was used, over its rollover and times its multiplier") {
    const auto taken = [](std::vector<std::string> options) {
        options.insert(options.begin(), {"--month", "2026-01"});
        const Ran ran = bill(std::move(options));
        const auto at = ran.out.find("Taken: ");
        return at == std::string::npos ? ran.err : ran.out.substr(at, ran.out.find('\n', at) - at);
    };
    CHECK(taken({"--register", "8865:9975"}) == "Taken: 1110 kWh.");
    CHECK(taken({"--register", "99950:40", "--register-digits", "5"}) == "Taken: 90 kWh.");
    CHECK(taken({"--register", "100:110", "--multiplier", "40"}) == "Taken: 400 kWh.");
    CHECK(taken({"--register", "9975:8865"}) ==
          "command line: --register '9975:8865': went back. Allowed: a present reading above the previous "
          "one. Mend: "
          "say --register-digits where the meter rolled over; a meter that was exchanged is two bills.\n");
    CHECK(taken({"--register", "9975"}) ==
          "command line: --register '9975': is not two readings. Allowed: PREVIOUS:PRESENT in kWh, such as "
          "'8865:9975'.\n");
}

TEST_CASE("what the command line lacks or contradicts is told, with exit status 2") {
    const auto told = [](std::vector<std::string> options, const std::string& message) {
        const Ran ran = bill(std::move(options));
        CHECK(ran.exit == Exit::usage);
        CHECK(ran.err == message);
    };
    told({"--month", "2026-01"},
         "command line: --readings: is missing. Allowed: --readings, --kwh or --register. Mend: say what was "
         "used.\n");
    told({"--kwh", "12"},
         "command line: --month: is missing: totals say nothing of their days. Allowed: --month, or "
         "--from and --to.\n");
    told({"--month", "2026-13", "--kwh", "12"},
         "command line: --month '2026-13': is not a month. Allowed: YYYY-MM.\n");
    told({"--from", "2026-02-01", "--to", "2026-01-01", "--kwh", "12"},
         "command line: --to '2026-01-01': makes no bill with --from. Allowed: the day of the next reading, "
         "1 to 800 "
         "days after --from.\n");
    told({"--month", "2026-01", "--kwh", "-12"},
         "command line: --kwh '-12': is not an amount. Allowed: '1200', or 'night=304.5', up to 1000000.\n");
    told({"--month", "2026-01", "--kwh", "12", "--fuse", "16.7"},
         "command line: --fuse '16.7': is not an amount. Allowed: whole amperes above 0.\n");
    told({"--month", "2026-01", "--kwh", "twelve"},
         "command line: --kwh 'twelve': is not an amount. Allowed: '1200', or 'night=304.5', up to "
         "1000000.\n");
}

TEST_CASE("what the tariff cannot price is told at its file") {
    const Ran early = bill({"--month", "2019-01", "--kwh", "12"});
    CHECK(early.exit == Exit::refused);
    CHECK(early.err ==
          kSeymour + ": the tariff has no prices for 2019-01-01. Mend: add the revision that held on that day.\n");
    const Ran now = bill({"--month", "2019-01", "--kwh", "12", "--prices-of", "2026-01-01"});
    CHECK(now.exit == Exit::done);
}

TEST_CASE("a year of the demo house is twelve bills and their sum") {
    const Ran ran =
        lullwatt_run({"bill", "--tariff", config("tariffs/tidewater-night.yaml"), "--zone", "America/Halifax",
                      "--readings", config("harbour-row-9/history/house.csv")});
    INFO(ran.out << ran.err);
    CHECK(ran.exit == Exit::done);
    CHECK(std::ranges::count(ran.out, '\n') >= 13);
    CHECK(ran.out.find("  total") != std::string::npos);
}

TEST_CASE("without a tariff a contract of the site is billed, with its meter's readings") {
    const Ran ran = lullwatt_run({"bill", "--site", config("harbour-row-9/site.yaml"), "--month", "2026-01"});
    INFO(ran.out << ran.err);
    CHECK(ran.exit == Exit::done);
    CHECK(ran.out.find("Tidewater Co-operative night: 2026-01-01 to 2026-01-31, 31 days, CAD\n") == 0);
    CHECK(ran.out.find("Taken: 2091.09 kWh.") != std::string::npos);
    const Ran several =
        lullwatt_run({"bill", "--site", config("norra-angen/site.yaml"), "--month", "2026-09"});
    CHECK(several.exit == Exit::usage);
    CHECK(several.err.find("--contract: is missing, and the site has several. Allowed: grid, energy.") !=
          std::string::npos);
    const Ran grid = lullwatt_run({"bill", "--site", config("norra-angen/site.yaml"), "--contract", "grid",
                                   "--month", "2026-09", "--kwh", "310"});
    INFO(grid.out << grid.err);
    CHECK(grid.exit == Exit::done);
    CHECK(grid.out.find("SEK") != std::string::npos);
}

TEST_CASE("a printed bill is laid beside ours, and what cannot be compared apart") {
    const Folder folder;
    const std::string file = folder.file("printed.yaml");
    std::ofstream(file)
        << "format: 1\nfrom: 2026-01-01\nto: 2026-02-01\ntaken: [{energy: 1200 kWh}]\nlines:\n"
           "  - {name: power cost, kind: energy, amount: 102.00}\n"
           "  - {name: Energy blocks, kind: energy, amount: 60.35}\n"
           "  - {name: base charge, kind: fixed, amount: 7.50}\n"
           "  - {name: taxes, kind: tax, amount: 1.71}\n"
           "  - {name: late correction, kind: correction, amount: -3}\n"
           "total: 168.55\n";
    const Ran ran = bill({"--printed", file});
    CHECK(ran.exit == Exit::done);
    CHECK(ran.out ==
          "Seymour residential: 2026-01-01 to 2026-01-31, 31 days, USD\n"
          "                               printed        ours\n"
          "  power cost                    102.00      102.00\n"
          "  Energy blocks                  60.35       60.35\n"
          "  base charge                     7.50        7.50\n"
          "  taxes                           1.71        1.70  ours is 0.01 less\n"
          "  of these in all               171.56      171.55  ours is 0.01 less\n"
          "Not compared, for they do not follow from use and tariff:\n"
          "  late correction                -3.00              correction\n"
          "The printed lines come to 0.01 more than the printed total.\n"
          "Some lines differ: look at the tariff file, the days and the readings.\n");
    const Ran json = bill({"--printed", file, "--json"});
    CHECK(json.out.find("\"agrees\": false") != std::string::npos);
}
