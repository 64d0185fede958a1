// `lullwatt bill` of one month stands on the bills before it, as the list of all of them does.
#include <nlohmann/json.hpp>

#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;

namespace {

// What `bill` answers for the demo house, the prices of 2026-02-01 holding for all time.
Ran bill(const std::string& tariff, std::vector<std::string> options) {
    std::vector<std::string> all = {"bill",
                                    "--tariff",
                                    tariff,
                                    "--zone",
                                    "America/Halifax",
                                    "--readings",
                                    config("harbour-row-9/history/house.csv"),
                                    "--prices-of",
                                    "2026-02-01"};
    all.insert(all.end(), options.begin(), options.end());
    return lullwatt_run(all);
}

nlohmann::json bills(const std::string& tariff, std::vector<std::string> options) {
    options.emplace_back("--json");
    const Ran ran = bill(tariff, options);
    INFO(ran.err);
    REQUIRE(ran.exit == Exit::done);
    return nlohmann::json::parse(ran.out);
}

const char* kMonths[] = {"2025-11", "2025-12", "2026-03", "2026-04", "2026-10"};

}  // namespace

TEST_CASE("a month has one total, whether it is asked for or stands in the list") {
    for (const char* name : {"tariffs/yearly-blocks.yaml", "tariffs/energy-bank.yaml", "tariffs/flat.yaml"}) {
        const auto list = bills(config(name), {}).at("bills");
        for (const char* month : kMonths) {
            INFO(name << " " << month);
            const auto one = bills(config(name), {"--month", month}).at("bills");
            REQUIRE(one.size() == 1);
            const auto same = std::find_if(list.begin(), list.end(), [&](const auto& each) {
                return each.at("from") == one[0].at("from");
            });
            REQUIRE(same != list.end());
            CHECK(one[0] == *same);
        }
    }
}

TEST_CASE("bills from another day of the month go by that day before it too") {
    const auto list = bills(config("tariffs/yearly-blocks.yaml"), {"--bill-day", "12"}).at("bills");
    const auto one =
        bills(config("tariffs/yearly-blocks.yaml"), {"--from", "2026-09-12", "--to", "2026-10-12"})
            .at("bills");
    const auto same = std::find_if(list.begin(), list.end(),
                                   [](const auto& each) { return each.at("from") == "2026-09-12"; });
    REQUIRE(same != list.end());
    CHECK(one[0] == *same);
}

TEST_CASE("what starts at nothing is told where readings do not reach back, and only where it counts") {
    const auto note = [](const std::string& tariff, const char* month) {
        return bills(tariff, {"--month", month}).at("note").get<std::string>();
    };
    CHECK(note(config("tariffs/yearly-blocks.yaml"), "2025-12") ==
          "Bills before 2025-11-01 are unknown: 'energy' and 'peak' start at nothing there.");
    // April begins the year, and eleven bills back are not there yet.
    CHECK(note(config("tariffs/yearly-blocks.yaml"), "2026-04") ==
          "Bills before 2025-11-01 are unknown: 'peak' starts at nothing there.");
    CHECK(note(config("tariffs/yearly-blocks.yaml"), "2026-10").empty());
    CHECK(note(config("tariffs/flat.yaml"), "2025-12").empty());
    const Ran typed = lullwatt_run({"bill", "--tariff", config("tariffs/yearly-blocks.yaml"), "--zone",
                                    "America/Halifax", "--month", "2026-06", "--kwh", "700", "--kw", "5"});
    CHECK(typed.exit == Exit::done);
    CHECK(typed.out.find(
              "Bills before 2026-06-01 are unknown: 'energy' and 'peak' start at nothing there.\n") !=
          std::string::npos);
}
