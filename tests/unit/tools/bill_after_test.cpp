// What a bill leaves to the next one, and what it left out, in words and as JSON.
#include <nlohmann/json.hpp>

#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;

namespace {

Ran bill(std::vector<std::string> options) {
    std::vector<std::string> all = {"bill", "--tariff", config("tariffs/energy-bank.yaml"), "--zone",
                                    "America/Halifax"};
    all.insert(all.end(), options.begin(), options.end());
    return lullwatt_run(all);
}

bool says(const Ran& ran, const std::string& text) { return ran.out.find(text) != std::string::npos; }

}  // namespace

TEST_CASE("a bill says what energy is banked for the next") {
    const std::vector<std::string> month = {"--month", "2026-06", "--kwh", "300", "--given-kwh", "420"};
    const Ran words = bill(month);
    INFO(words.out << words.err);
    CHECK(says(words, "Banked for the next bill: 120 kWh.\n"));
    std::vector<std::string> machine = month;
    machine.emplace_back("--json");
    const auto json = nlohmann::json::parse(bill(machine).out);
    const auto& banked = json.at("bills").at(0).at("banked");
    CHECK(banked.at("energy") == nlohmann::json::parse(R"([{"price": "", "kwh": "120"}])"));
    CHECK(banked.at("money") == "0.00");
    CHECK_FALSE(says(bill({"--month", "2026-06", "--kwh", "300", "--given-kwh", "200"}), "Banked"));
}

TEST_CASE("days that make no whole bill are named, as JSON too") {
    const std::vector<std::string> all = {"--readings",  config("harbour-row-9/history/house.csv"),
                                          "--bill-day",  "12",
                                          "--prices-of", "2026-06-01"};
    CHECK(says(bill(all), "LEFT OUT: 2025-11-01 to 2025-11-11, which make no whole bill.\n"));
    std::vector<std::string> machine = all;
    machine.emplace_back("--json");
    const auto json = nlohmann::json::parse(bill(machine).out);
    CHECK(json.at("left_out").at(0) ==
          nlohmann::json::parse(R"({"from": "2025-11-01", "to": "2025-11-12"})"));
    CHECK(json.at("warnings").empty());
}

TEST_CASE("a printed bill is not laid beside ours as a table of lines") {
    const Ran ran = bill({"--printed", "bill.yaml", "--csv"});
    CHECK(ran.exit == Exit::usage);
    CHECK(ran.err.find("excludes") != std::string::npos);
}

TEST_CASE("readings given back come from a meter that counts that way") {
    const std::string taken = config("../tests/reference/greenbutton/hourlyForMonthMar.xml");
    const Ran ran = bill({"--readings", config("harbour-row-9/history/house.csv"), "--given", taken,
                          "--prices-of", "2026-06-01", "--month", "2026-06"});
    INFO(ran.out << ran.err);
    CHECK(ran.exit == Exit::usage);
    CHECK(ran.err.find("--given") != std::string::npos);
    CHECK(ran.err.find("counts energy that the house takes") != std::string::npos);
    const Ran unnamed = bill({"--readings", config("harbour-row-9/history/house.csv"), "--given", taken,
                              "--given-meter", "out", "--prices-of", "2026-06-01", "--month", "2026-06"});
    CHECK(unnamed.err.find("'out'") != std::string::npos);
}
