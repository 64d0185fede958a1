// The contracts of a site file: what they come to, and every fault a person can make in them.
#include <sstream>
#include <string>
#include <vector>

#include "io/settings/site_file.hpp"
#include "io/settings/site_tables.hpp"
#include "support/catch.hpp"
#include "support/shell.hpp"
#include "unit/settings/site_file_cases.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace lullwatt::tests;
using date::operator""_y;

namespace {

SiteFile site_with(const std::string& contracts) {
    std::string yaml = kGood;
    const std::string tariff = "tariff: tariff.yaml\n";
    yaml.replace(yaml.find(tariff), tariff.size(), contracts);
    const auto read = read_site_text(yaml, "site.yaml", "files");
    if (!read.ok()) FAIL(text(read.faults().front()));
    return read.value();
}

const std::vector<Case> kCases = {
    {"neither a tariff nor contracts",
     "tariff: tariff.yaml\n",
     "",
     {"site.yaml:1:1: tariff: is missing. Allowed: a file name, or contracts in its place. Mend: add it."}},
    {"both",
     "tariff: tariff.yaml\n",
     "tariff: tariff.yaml\ncontracts:\n  - {name: grid, tariff: grid.yaml}\n",
     {"site.yaml:12:9: tariff 'tariff.yaml': stands beside 'contracts'. Allowed: one of the two. Mend: make "
      "it "
      "the tariff of a contract, and remove it here."}},
    {"no contract in the list",
     "tariff: tariff.yaml\n",
     "contracts: []\n",
     {"site.yaml:12:1: contracts: is an empty list. Allowed: at least one contract. Mend: add it, or name "
      "the "
      "tariff with 'tariff: FILE' instead."}},
    {"contracts that are no list",
     "tariff: tariff.yaml\n",
     "contracts: grid.yaml\n",
     {"site.yaml:12:12: contracts 'grid.yaml': is not a list. Allowed: a list of mappings, each begun with "
      "'-'. Mend: begin each "
      "entry with '- '."}},
    {"a contract without tariff",
     "tariff: tariff.yaml\n",
     "contracts:\n  - {name: grid}\n",
     {"site.yaml:13:5: contracts[0].tariff: is missing. Allowed: a file name. Mend: add it."}},
    {"a name used twice",
     "tariff: tariff.yaml\n",
     "contracts:\n  - {name: grid, tariff: a.yaml}\n  - {name: grid, tariff: b.yaml}\n",
     {"site.yaml:14:12: contracts[1].name 'grid': is used twice. Allowed: a name of its own. Mend: rename "
      "one "
      "of the two."}},
    {"a meter at no node",
     "tariff: tariff.yaml\n",
     "contracts:\n  - {name: grid, tariff: a.yaml, node: garag}\n",
     {"site.yaml:13:40: contracts[0].node 'garag': names nothing: there is no node of that name. Allowed: "
      "service, garage. Mend: did you mean 'garage'?"}},
    {"a bill day that no month has",
     "tariff: tariff.yaml\n",
     "contracts:\n  - {name: grid, tariff: a.yaml, bills: {day: 32}}\n",
     {"site.yaml:13:47: contracts[0].bills.day '32': is out of range. Allowed: 1 to 31, a whole number such "
      "as "
      "'3'."}},
    {"a bill of a length no year is made of",
     "tariff: tariff.yaml\n",
     "contracts:\n  - {name: grid, tariff: a.yaml, bills: {every: 5 months}}\n",
     {"site.yaml:13:49: contracts[0].bills.every '5 months': is not one of the choices. Allowed: 1 month | 2 "
      "months | 3 months | 4 months | 6 months | 12 months. Mend: did you mean '2 months'?"}},
    {"readings out of order, twice the same day, and a slip of the year",
     "tariff: tariff.yaml\n",
     "contracts:\n  - {name: grid, tariff: a.yaml, reads: [2026-02-11, 2026-01-12, 2026-01-12, "
     "2029-02-11]}\n",
     {"site.yaml:13:54: contracts[0].reads[1] '2026-01-12': is not after the one before it. Allowed: a day 1 "
      "to 800 days after it. Mend: put the days in order, each once.",
      "site.yaml:13:66: contracts[0].reads[2] '2026-01-12': is not after the one before it. Allowed: a day 1 "
      "to 800 days after it. Mend: put the days in order, each once.",
      "site.yaml:13:78: contracts[0].reads[3] '2029-02-11': is 1126 days after the one before it. Allowed: a "
      "day 1 to 800 days after it. Mend: look at the year."}},
    {"readings every other month of bills that stand for one",
     "tariff: tariff.yaml\n",
     "contracts:\n  - {name: grid, tariff: a.yaml, reads: [2026-01-02, 2026-01-12, 2026-03-11, "
     "2026-05-12]}\n",
     {"site.yaml:13:34: contracts[0].reads: are about 2 months apart, and nothing says how many a bill "
      "stands "
      "for. Allowed: bills with every, or months, beside them. Mend: add 'bills: {every: 2 months}'."}},
    {"an empty list of readings, and a day the calendar has not",
     "tariff: tariff.yaml\n",
     "contracts:\n  - {name: grid, tariff: a.yaml, reads: []}\n  - {name: energy, tariff: b.yaml, reads: "
     "[2026-02-30, 2026-03-12, 2026-03-01]}\n",
     {"site.yaml:13:34: contracts[0].reads: is an empty list. Allowed: at least one day. Mend: name the "
      "days, "
      "or leave it out.",
      "site.yaml:14:44: contracts[1].reads[0] '2026-02-30': is a day that does not exist. Allowed: a date "
      "such "
      "as '2026-01-31'.",
      "site.yaml:14:68: contracts[1].reads[2] '2026-03-01': is not after the one before it. Allowed: a day 1 "
      "to 800 days after it. Mend: put the days in order, each once."}},
    {"figures without their units",
     "tariff: tariff.yaml\n",
     "contracts:\n  - {name: grid, tariff: a.yaml, fuse: 25, contracted_power: 9}\n",
     {"site.yaml:13:40: contracts[0].fuse '25': has no unit. Allowed: 1 A to 1200 A, whole amperes such as "
      "'25 "
      "A'. Mend: write the unit behind the number (A).",
      "site.yaml:13:62: contracts[0].contracted_power '9': has no unit. Allowed: 0 kW to 10000 kW, a power "
      "such as '7.2 kW' or '400 W'. Mend: write the unit behind the number (W, kW)."}},
    {"a tax without percent",
     "tariff: tariff.yaml\n",
     "contracts:\n  - {name: grid, tariff: a.yaml, taxes: [{name: city}]}\n",
     {"site.yaml:13:42: contracts[0].taxes[0].percent: is missing. Allowed: 0 % to 100 %, a percentage such "
      "as "
      "'80 %'. Mend: add it."}},
    {"points that no contract bills",
     "tariff: tariff.yaml\n",
     "contracts:\n  - {name: shed, tariff: a.yaml, node: shed}\nfeeders:\n  - {name: shed, fed_from: "
     "service, "
     "rating: 60 A}\n",
     {"site.yaml:12:1: contracts: bill nothing that wall takes: no meter is on its way. Allowed: a contract "
      "whose node is garage or above it. Mend: add one, such as that of service."}},
};

}  // namespace

TEST_CASE("every fault in a site file's contracts is told with its place and how to mend it") {
    check_messages(kCases);
}

TEST_CASE("a tariff alone is one contract at the service, billed by calendar months") {
    const SiteFile site = site_with("tariff: tariff.yaml\n");
    REQUIRE(site.contracts.size() == 1);
    const Contract& contract = site.contracts[0];
    CHECK(contract.name == "household");
    CHECK(contract.tariff == "files/tariff.yaml");
    CHECK(contract.node == 0);
    CHECK(tariff::bill_of(contract.bills, 2026_y / 2 / 11) ==
          tariff::DateSpan{2026_y / 2 / 1, 2026_y / 3 / 1});
    CHECK(contract.terms.months == 1);
    CHECK_FALSE(contract.terms.fuse);
}

TEST_CASE("a contract says its meter, bill dates, fuse, powers and taxes") {
    const SiteFile site = site_with(
        "contracts:\n  - name: grid\n    tariff: grid.yaml\n    bills: {day: 12, every: 2 months, "
        "from_month: "
        "2}\n    fuse: 25 A\n    contracted_power: 9 kW\n    given_peak: 4.217 kW\n    taxes:\n      - "
        "{name: "
        "city tax, percent: 4.75 %}\n  - {name: car, tariff: car.yaml, node: garage, months: 3}\n");
    REQUIRE(site.contracts.size() == 2);
    const Contract& grid = site.contracts[0];
    CHECK(tariff::bill_of(grid.bills, 2026_y / 3 / 1) == tariff::DateSpan{2026_y / 2 / 12, 2026_y / 4 / 12});
    CHECK(grid.terms.fuse == WholeAmps(25));
    CHECK(grid.terms.contracted == Milliwatts(9'000'000));
    CHECK(grid.terms.given_peak == Milliwatts(4'217'000));
    CHECK(grid.terms.months == 2);
    REQUIRE(grid.taxes.size() == 1);
    CHECK(grid.taxes[0].name == "city tax");
    CHECK(grid.taxes[0].millionths == 47'500);
    CHECK(site.contracts[1].node == 1);
    CHECK(site.contracts[1].terms.months == 3);
}

TEST_CASE("readings that are listed begin bills, and go on by the day of the last or by the rule") {
    const auto bills = [](const std::string& more) {
        return site_with("contracts:\n  - {name: grid, tariff: a.yaml, reads: [2026-01-12, 2026-02-11]" +
                         more + "}\n")
            .contracts[0]
            .bills;
    };
    CHECK(tariff::bill_of(bills(""), 2026_y / 2 / 10) == tariff::DateSpan{2026_y / 1 / 12, 2026_y / 2 / 11});
    CHECK(tariff::bill_of(bills(""), 2026_y / 2 / 20) == tariff::DateSpan{2026_y / 2 / 11, 2026_y / 3 / 11});
    CHECK(tariff::bill_of(bills(", bills: {day: 5}"), 2026_y / 2 / 20) ==
          tariff::DateSpan{2026_y / 2 / 11, 2026_y / 3 / 5});
    const auto every_other = bills(", bills: {every: 2 months}");
    CHECK(tariff::bill_of(every_other, 2026_y / 2 / 20) ==
          tariff::DateSpan{2026_y / 2 / 11, 2026_y / 4 / 11});
}

TEST_CASE("energy is billed by the nearest meter at or above it, by all contracts of that meter") {
    const SiteFile site = site_with(
        "contracts:\n  - {name: grid, tariff: a.yaml}\n  - {name: car, tariff: b.yaml, node: garage}\n  - "
        "{name: energy, tariff: c.yaml}\n");
    CHECK(contracts_at(site.contracts, site.site, 0) == std::vector<std::size_t>{0, 2});
    CHECK(contracts_at(site.contracts, site.site, 1) == std::vector<std::size_t>{1});
    const SiteFile house = site_with("contracts:\n  - {name: grid, tariff: a.yaml}\n");
    CHECK(contracts_at(house.contracts, house.site, 1) == std::vector<std::size_t>{0});
    const SiteFile car = site_with("contracts:\n  - {name: car, tariff: b.yaml, node: garage}\n");
    CHECK(contracts_at(car.contracts, car.site, 0).empty());
}

TEST_CASE("the example of contracts on the tariff format's page is read, each key of theirs in it") {
    const std::string page = whole(LULLWATT_SOURCE_DIR "/docs/tariff-format.md");
    const auto begin = page.find("    contracts:\n");
    REQUIRE(begin != std::string::npos);
    const std::string example = page.substr(begin, page.find("\n\n", begin) - begin);
    std::istringstream lines(example);
    std::string yaml;
    for (std::string line; std::getline(lines, line);) yaml += line.substr(4) + "\n";
    const SiteFile site = site_with(yaml);
    CHECK(site.contracts.size() == 3);
    CHECK(site.contracts[2].node == 1);
    CHECK(tariff::bill_of(site.contracts[1].bills, 2026_y / 5 / 1) ==
          tariff::DateSpan{2026_y / 4 / 12, 2026_y / 7 / 12});
    for (const Option& option : kContractTable.options) {
        INFO(option.key);
        CHECK(yaml.find(std::string(option.key) + ":") != std::string::npos);
    }
}
