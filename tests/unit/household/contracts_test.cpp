// A house's contracts with their tariffs: what is wrong between them, and what energy costs at each meter.
#include <fstream>
#include <string>
#include <vector>

#include "io/household/household.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace lullwatt::tests;
using namespace std::chrono_literals;

namespace {

constexpr Rate rate(std::int64_t ten_thousandths) { return Rate(ten_thousandths * 100'000'000); }

const std::string kHouse =
    "format: 1\nsite: {name: Home, zone: America/Halifax, currency: CAD}\n"
    "service: {supply: split-phase, leg_to_neutral: 120 V, rating: 100 A, continuous: nec}\n"
    "circuits:\n  - {name: garage, fed_from: service, rating: 40 A}\n  - {name: drive, fed_from: service, "
    "rating: 40 A}\n"
    "points:\n  - {name: wall, circuit: garage, hard_setting: 32 A}\n  - {name: post, circuit: drive, "
    "hard_setting: 32 A}\n"
    "cars:\n  - {name: Heron, point: wall, battery: 60 kWh, most: 32 A}\n"
    "loads: [{node: service, constant: 6 A, calculation: 60 A}]\n";

// A tariff of 0.10 from 22:00 to 06:00, else 0.20, with 10 % tax; and others beside it.
class House {
  public:
    House() {
        write("energy.yaml",
              "windows: [{name: night, from: \"22:00\", to: \"06:00\", per_kwh: 0.1}, {name: day, "
              "per_kwh: 0.2}]\n    taxes: [{name: sales tax, percent: 10 %}]");
        write("grid.yaml", "windows: [{name: transfer, per_kwh: 0.03}]");
        write("car.yaml", "windows: [{name: cars, per_kwh: 0.07}]");
    }
    void write(const char* name, const std::string& revision, const char* currency = "CAD",
               const char* from = "2020-01-01") const {
        std::ofstream(folder_.file(name))
            << "format: 1\nname: " << name << "\ncurrency: " << currency << "\nrevisions:\n  - from: " << from
            << "\n    " << revision << "\n";
    }
    [[nodiscard]] std::string file(const char* name) const { return folder_.file(name); }
    [[nodiscard]] Read<Household> load(const std::string& contracts) const {
        std::ofstream(folder_.file("site.yaml")) << kHouse << contracts;
        return load_household(folder_.file("site.yaml"), utc(2026, 1, 10));
    }
    [[nodiscard]] std::vector<std::string> faults(const std::string& contracts) const {
        const auto read = load(contracts);
        std::vector<std::string> texts;
        if (read.ok()) return texts;
        const std::string where = folder_.file("");
        for (Fault fault : read.faults()) {
            fault.file = fault.file.substr(where.size());
            texts.push_back(text(fault));
        }
        return texts;
    }

  private:
    Folder folder_;
};

Household loaded(const Read<Household>& read) {
    if (!read.ok()) FAIL(text(read.faults().front()));
    return read.value();
}

// The price of a point at noon by the household's clock, UTC−4.
tariff::PricePiece at_noon(const Household& household, std::size_t point) {
    const Instant midnight = utc(2026, 1, 10, 4h);
    const auto curve = prices(household, point, {midnight, midnight + 24h});
    if (!curve.ok()) FAIL(text(curve.faults().front()));
    return tariff::price_at(curve.value(), midnight + 12h);
}

}  // namespace

TEST_CASE("grid and energy of one meter add up, each with its own taxes") {
    const House house;
    const auto household = loaded(
        house.load("contracts:\n  - {name: grid, tariff: grid.yaml, taxes: [{name: city tax, percent: 50 "
                   "%}]}\n  - {name: energy, tariff: energy.yaml}\n"));
    const auto noon = at_noon(household, 0);
    CHECK(noon.rate == rate(2300));
    CHECK(noon.marginal == rate(2200 + 450));
    CHECK(noon.name == "day");
}

TEST_CASE("a meter of the car's own prices that car's energy instead of the house's contracts") {
    const House house;
    const auto household = loaded(
        house.load("contracts:\n  - {name: house, tariff: energy.yaml}\n  - {name: car, tariff: car.yaml, "
                   "node: garage}\n"));
    CHECK(at_noon(household, 0).rate == rate(700));
    CHECK(at_noon(household, 1).rate == rate(2000));
    SECTION("what is lost before that meter is the house's") {
        const Instant noon = utc(2026, 1, 10, 16h);
        const auto above = prices_at(household, 0, {noon, noon + 1h});
        REQUIRE(above.ok());
        CHECK(above.value().front().rate == rate(2000));
    }
}

TEST_CASE("energy at a node that no contract bills has no price") {
    const House house;
    const auto household = loaded(
        house.load("contracts:\n  - {name: wall, tariff: car.yaml, node: garage}\n  - {name: post, tariff: "
                   "car.yaml, node: drive}\n"));
    CHECK(at_noon(household, 1).rate == rate(700));
    const Instant noon = utc(2026, 1, 10, 16h);
    const auto none = prices_at(household, 0, {noon, noon + 1h});
    REQUIRE_FALSE(none.ok());
    CHECK(none.faults().front().what == "bill nothing taken at service");
}

TEST_CASE("hours without a price are told by the contract's tariff") {
    const House house;
    house.write("energy.yaml", "windows: [{name: all day, per_kwh: 0.1}]", "CAD", "2026-01-09");
    const auto household =
        loaded(house.load("contracts:\n  - {name: grid, tariff: grid.yaml}\n  - {name: energy, tariff: "
                          "energy.yaml}\n"));
    const auto before = prices(household, 0, {utc(2026, 1, 8), utc(2026, 1, 10)});
    REQUIRE_FALSE(before.ok());
    REQUIRE(before.faults().size() == 1);
    CHECK(before.faults()[0].file.ends_with("energy.yaml"));
    CHECK(before.faults()[0].what == "have no price from 2026-01-08T00:00Z to 2026-01-09T04:00Z");
}

TEST_CASE("where a tariff's revisions go by bills, the contract's dates decide") {
    const House house;
    std::ofstream(house.file("energy.yaml"))
        << "format: 1\nname: energy\ncurrency: CAD\nrevisions_by: bill-begin\nrevisions:\n  - from: "
           "2020-01-01\n    windows: [{name: old, per_kwh: 0.1}]\n  - from: 2026-01-05\n    windows: "
           "[{name: new, per_kwh: 0.2}]\n";
    const auto on_the_10th = [&](const char* bills) {
        return at_noon(loaded(house.load(std::string("contracts:\n  - {name: energy, tariff: energy.yaml, ") +
                                         bills + "}\n")),
                       0)
            .name;
    };
    CHECK(on_the_10th("bills: {day: 6}") == "new");
    CHECK(on_the_10th("bills: {day: 12}") == "old");
    CHECK(on_the_10th("reads: [2025-12-08, 2026-01-09, 2026-02-08]") == "new");
}

TEST_CASE("a figure that a charge goes by and its contract does not state is told at the contract") {
    const House house;
    house.write(
        "grid.yaml",
        "windows: [{name: transfer, per_kwh: 0.03}]\n    fixed:\n      - {name: fee, by_fuse: [{up_to: "
        "16 A, amount: 20}, {up_to: 25 A, amount: 38}]}\n      - {name: ordered, each: "
        "contracted-kilowatt, amount: 1.1}\n    demand:\n      - {name: share, measure: given, steps: "
        "[{per_kw: 2}]}");
    SECTION("none of them") {
        CHECK(house.faults("contracts:\n  - {name: energy, tariff: energy.yaml}\n  - {name: grid, tariff: "
                           "grid.yaml}\n") ==
              std::vector<std::string>{
                  "site.yaml:15:5: contracts[1].fuse: is missing: the tariff's 'fee' goes by it. Allowed: "
                  "whole amperes. Mend: add 'fuse: 25 A' with the household's own figure.",
                  "site.yaml:15:5: contracts[1].contracted_power: is missing: the tariff's 'ordered' goes by "
                  "it. Allowed: a power. Mend: add 'contracted_power: 9 kW' with the household's own figure.",
                  "site.yaml:15:5: contracts[1].given_peak: is missing: the tariff's 'share' goes by it. "
                  "Allowed: a power. Mend: add 'given_peak: 4.2 kW' with the household's own figure."});
    }
    SECTION("a tariff alone cannot state them") {
        const auto told = house.faults("tariff: grid.yaml\n");
        REQUIRE(told.size() == 3);
        CHECK(told[0] ==
              "site.yaml:13:9: tariff 'grid.yaml': has a charge, 'fee', by the main fuse, which is stated "
              "nowhere. Allowed: a contract that states fuse. Mend: write the tariff as a contract, with "
              "'fuse: 25 A'.");
    }
    SECTION("a fuse above all that have an amount") {
        CHECK(house.faults("contracts:\n  - {name: grid, tariff: grid.yaml, fuse: 35 A, contracted_power: 9 "
                           "kW, given_peak: 4 kW}\n") ==
              std::vector<std::string>{
                  "site.yaml:14:43: contracts[0].fuse '35 A': is above every fuse the tariff's 'fee' has an "
                  "amount for. Allowed: at most 25 A. Mend: correct it, or add the amount to the tariff."});
    }
    SECTION("all stated") {
        CHECK(house
                  .faults("contracts:\n  - {name: grid, tariff: grid.yaml, fuse: 25 A, contracted_power: 9 "
                          "kW, given_peak: 4 kW}\n")
                  .empty());
    }
}

TEST_CASE("a tariff in another currency is told where the site names it, and each broken tariff once") {
    const House house;
    house.write("grid.yaml", "windows: [{name: transfer, per_kwh: 0.03}]", "USD");
    CHECK(
        house.faults("contracts:\n  - {name: energy, tariff: energy.yaml}\n  - {name: grid, tariff: "
                     "grid.yaml}\n") ==
        std::vector<std::string>{
            "site.yaml:15:26: contracts[1].tariff 'grid.yaml': is in USD, and the site in CAD. Allowed: the "
            "same currency in both files. Mend: correct one of them."});
    CHECK(house.faults("tariff: grid.yaml\n") ==
          std::vector<std::string>{"site.yaml:13:9: tariff 'grid.yaml': is in USD, and the site in CAD. "
                                   "Allowed: the same currency in both files. Mend: correct one of them."});
    house.write("grid.yaml", "windows: [{name: transfer, per_kwh: much}]");
    const auto told = house.faults(
        "contracts:\n  - {name: house, tariff: grid.yaml}\n  - {name: car, tariff: grid.yaml, node: "
        "garage}\n");
    REQUIRE(told.size() == 1);
    CHECK(told[0].starts_with("grid.yaml:6:41: revisions[0].windows[0].per_kwh 'much': "));
}
