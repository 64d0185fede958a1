// What the commands say of a house's contracts, and of what their money leaves out.
#include <nlohmann/json.hpp>

#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;

namespace {

const std::string kHouse =
    "format: 1\nsite: {name: Home, zone: America/Halifax, currency: CAD}\n"
    "service: {supply: split-phase, leg_to_neutral: 120 V, rating: 100 A, continuous: nec}\n"
    "circuits:\n  - {name: garage, fed_from: service, rating: 40 A}\n"
    "points:\n  - {name: wall, circuit: garage, hard_setting: 32 A}\n"
    "cars:\n  - {name: Heron, point: wall, battery: 60 kWh, most: 32 A}\n"
    "loads: [{node: service, constant: 6 A, calculation: 60 A}]\n";

std::string tariff(const std::string& name, const std::string& charges) {
    return "format: 1\nname: " + name + "\ncurrency: CAD\nrevisions:\n  - from: 2020-01-01\n" + charges;
}

const std::string kTwoRate =
    "    windows: [{name: low, from: \"22:00\", to: \"06:00\", per_kwh: 0.1}, {name: high, per_kwh: 0.2}]\n";
const std::string kBlocks =
    "    blocks: [{name: steps, steps: [{up_to: 600 kWh, per_kwh: 0.05}, {per_kwh: "
    "0.15}]}]\n";
const std::string kDemand = "    demand: [{name: power, steps: [{per_kw: 8}]}]\n";

// Answers of a house whose tariff is "tariff.yaml".
class House {
  public:
    explicit House(const std::string& charges, const std::string& contracts = "tariff: tariff.yaml\n") {
        std::ofstream(folder_.file("site.yaml")) << kHouse << contracts;
        std::ofstream(folder_.file("tariff.yaml")) << tariff("House", charges);
        std::ofstream(folder_.file("car.yaml"))
            << tariff("Car", "    windows: [{name: cars, per_kwh: 0.07}]\n");
    }
    [[nodiscard]] std::string answer(const char* command, bool json = false) const {
        std::vector<std::string> arguments = {command, "--site", folder_.file("site.yaml")};
        if (std::string(command) != "check")
            arguments.insert(arguments.end(),
                             {"--need", "10", "--at", "2026-01-14T18:00", "--ready-by", "07:00"});
        if (json) arguments.emplace_back("--json");
        const Ran ran = lullwatt_run(arguments);
        INFO(ran.err);
        REQUIRE(ran.exit == Exit::done);
        return ran.out;
    }
    [[nodiscard]] nlohmann::json notes(const char* command) const {
        return nlohmann::json::parse(answer(command, true)).at("notes");
    }

    [[nodiscard]] std::string bill(std::vector<std::string> asked) const {
        std::vector<std::string> arguments = {"bill", "--site", folder_.file("site.yaml"), "--kwh", "100"};
        arguments.insert(arguments.end(), asked.begin(), asked.end());
        const Ran ran = lullwatt_run(arguments);
        INFO(ran.err);
        REQUIRE(ran.exit == Exit::done);
        return ran.out;
    }

  private:
    Folder folder_;
};

constexpr const char* kBlocksNote = "Blocks count at their dearest step.";
constexpr const char* kDemandNote = "Demand charges are not counted: this tariff charges the highest power.";

}  // namespace

TEST_CASE("when, plan and why say that blocks count at their dearest step and demand is not counted") {
    for (const char* command : {"when", "plan", "why"}) {
        INFO(command);
        const House whole(kTwoRate + kBlocks + kDemand);
        CHECK(whole.answer(command).find(kBlocksNote) != std::string::npos);
        CHECK(whole.answer(command).find(kDemandNote) != std::string::npos);
        CHECK(whole.notes(command) == nlohmann::json{kBlocksNote, kDemandNote});
        CHECK(House(kTwoRate + kDemand).notes(command) == nlohmann::json{kDemandNote});
        const House plain(kTwoRate);
        CHECK(plain.answer(command).find("not counted") == std::string::npos);
        CHECK(plain.answer(command).find("dearest step") == std::string::npos);
        CHECK(plain.notes(command) == nlohmann::json::array());
    }
}

TEST_CASE("a charge of a contract that does not bill the car is not told of its money") {
    const House house(kTwoRate + kDemand,
                      "contracts:\n  - {name: house, tariff: tariff.yaml}\n  - {name: car, tariff: car.yaml, "
                      "node: garage}\n");
    CHECK(house.notes("when") == nlohmann::json::array());
    CHECK(house.answer("plan").find(" cars ") != std::string::npos);
}

TEST_CASE("prices nobody has announced are told by plan and why as by when") {
    for (const char* command : {"when", "plan", "why"}) {
        const Ran ran = lullwatt_run({command, "--site", config("norra-angen/site.yaml"), "--need", "18.6",
                                      "--at", "2026-10-28T18:00"});
        INFO(command << ran.err);
        CHECK(ran.out.find("Prices of Thu 00:00–07:00 are assumed, for none are announced.") !=
              std::string::npos);
    }
}

TEST_CASE("check tells each contract with its tariff, its meter and its next bill") {
    const House house(
        kTwoRate,
        "contracts:\n  - {name: house, tariff: tariff.yaml, bills: {day: 12}}\n  - "
        "{name: car, tariff: car.yaml, node: garage, bills: {every: 12 months, from_month: 4}}\n");
    const std::string text = house.answer("check");
    INFO(text);
    CHECK(text.find("  contract house: House, metered at service, next bill from ") != std::string::npos);
    CHECK(text.find("  contract car: Car, metered at garage, next bill from ") != std::string::npos);
    const auto contracts = nlohmann::json::parse(house.answer("check", true)).at("contracts");
    REQUIRE(contracts.size() == 2);
    CHECK(contracts[0].at("name") == "house");
    CHECK(contracts[0].at("tariff") == "House");
    CHECK(contracts[1].at("node") == "garage");
    CHECK(contracts[1].at("next_bill").get<std::string>().ends_with("-04-01"));
    CHECK(contracts[0].at("next_bill").get<std::string>().ends_with("-12"));
}

TEST_CASE("a contract's months are those of its own bills, other days the months they come nearest to") {
    const House house(
        "    windows: [{name: all, per_kwh: 0}]\n"
        "    fixed: [{name: basic, amount: 10, per: month}]\n",
        "contracts: [{name: grid, tariff: tariff.yaml, bills: {day: 1, every: 3 months}}]\n");
    const auto basic = [&](const std::vector<std::string>& asked, const std::string& amount) {
        const std::string text = house.bill(asked);
        INFO(text);
        CHECK(text.find("total     " + amount + "\n") != std::string::npos);
    };
    basic({"--from", "2026-04-01", "--to", "2026-07-01"}, "30.00");
    basic({"--month", "2026-05"}, "10.00");
    basic({"--from", "2026-04-01", "--to", "2026-06-01"}, "20.00");
    basic({"--from", "2026-05-01", "--to", "2026-05-07"}, "10.00");
}
