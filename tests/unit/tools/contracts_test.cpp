// What the commands say of a house's contracts, and of what their money leaves out.
#include <algorithm>

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
    using Words = std::vector<std::string>;
    [[nodiscard]] std::string answer(const char* command, bool json = false, const Words& more = {}) const {
        std::vector<std::string> arguments = {command, "--site", folder_.file("site.yaml")};
        if (std::string(command) != "check")
            arguments.insert(arguments.end(), {"--need", "10", "--at", "2026-01-14T18:00"});
        if (std::string(command) != "check" && std::ranges::find(more, "--ready-by") == more.end())
            arguments.insert(arguments.end(), {"--ready-by", "07:00"});
        arguments.insert(arguments.end(), more.begin(), more.end());
        if (json) arguments.emplace_back("--json");
        const Ran ran = lullwatt_run(arguments);
        INFO(ran.err);
        REQUIRE(ran.exit == Exit::done);
        return ran.out;
    }
    [[nodiscard]] nlohmann::json notes(const char* command, const Words& more = {}) const {
        return nlohmann::json::parse(answer(command, true, more)).at("notes");
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

constexpr const char* kBlocksNote =
    "What 'steps' has counted is not known: it counts at its dearest step. --month-use tells it.";
constexpr const char* kDemandNote =
    "What 'power' has counted of this bill is not known: the house alone is taken for it. --month-peak tells "
    "it.";

}  // namespace

TEST_CASE("when, plan and why say what of the bill so far is not known, and how to tell it") {
    for (const char* command : {"when", "plan", "why"}) {
        INFO(command);
        const House whole(kTwoRate + kBlocks + kDemand);
        CHECK(whole.answer(command).find(kBlocksNote) != std::string::npos);
        CHECK(whole.answer(command).find(kDemandNote) != std::string::npos);
        CHECK(whole.notes(command) == nlohmann::json{kDemandNote, kBlocksNote});
        CHECK(whole.notes(command, {"--month-use", "300", "--month-peak", "7.2"}) == nlohmann::json::array());
        CHECK(House(kTwoRate + kDemand).notes(command) == nlohmann::json{kDemandNote});
        CHECK(House(kTwoRate).notes(command) == nlohmann::json::array());
    }
}

TEST_CASE("a plan tells what it adds to the bill's peak, and keeps below what is free of it") {
    const House house(kTwoRate + kDemand);
    const auto plan = [&](const char* peak, const char* ready_by) {
        return nlohmann::json::parse(
            house.answer("plan", true, {"--month-peak", peak, "--ready-by", ready_by}));
    };
    // The house draws 12 A × 120 V = 1.44 kW; 10 kWh in four hours are 2.5 kW beside it.
    const auto free = plan("5", "22:00");
    CHECK(free["month"]["peaks"][0]["free_kw"] == "5");
    CHECK(free["month"]["peaks"][0]["cost"] == "0.00");
    CHECK(free["plan"]["cost"] == "2.00");
    const auto raised = plan("3.5", "22:00");
    CHECK(raised["month"]["peaks"][0]["free_kw"] == "3.5");
    CHECK(raised["plan"]["month_cost"] == raised["month"]["peaks"][0]["cost"]);
    CHECK(raised["plan"]["energy_cost"] == "2.00");
    // 500 units of 20 Wh in 16 quarter hours: one has 32, which are 2.56 kW, so 4.00 kW, 0.50 of them new,
    // at 8.
    CHECK(raised["month"]["peaks"][0]["with_plan_kw"] == "4");
    CHECK(raised["plan"]["cost"] == "6.00");
    CHECK(raised["month"]["proven"] == true);
}

TEST_CASE("a plan tells the step its energy falls in, and charges each part at its own") {
    const House house(kTwoRate + kBlocks);
    const auto json = nlohmann::json::parse(house.answer("plan", true, {"--month-use", "596"}));
    const auto& step = json["month"]["steps"][0];
    CHECK(step["step_before"] == "first 600 kWh");
    CHECK(step["step_after"] == "above 600 kWh");
    CHECK(step["car_wh"] == 10000);
    CHECK(step["cost"] == "1.10");          // 4 × 0.05 + 6 × 0.15
    CHECK(json["plan"]["cost"] == "2.10");  // and 10 × 0.10 at night
}

TEST_CASE("why tells what filling a slot would add to the peak") {
    const House house(kTwoRate + kDemand);
    const std::string text =
        house.answer("why", false, {"--month-peak", "3.5", "--slot", "23:00", "--ready-by", "06:00"});
    CHECK(text.find("limited by the peak the bill charges for") != std::string::npos);
    CHECK(text.find("raises the bill's peak from 3.5 kW to ") != std::string::npos);
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
