// Twelve bills of a year's readings against a script that shares nothing but the files.
#include <date/date.h>

#include "core/tariff/window.hpp"
#include "io/usage/usage.hpp"
#include "support/billing.hpp"
#include "support/process.hpp"
#include "support/samples.hpp"

using namespace lullwatt;
using date::operator""_y;

namespace {

// "2026-01 306.86\n" for each month of the year from `first` on.
std::string our_months(const std::filesystem::path& file, const std::string& zone_name, CivilDate first) {
    const auto usage = io::read_usage(file, {});
    REQUIRE(usage.ok());
    const auto tariff =
        tariff::with_prices_of(testing::read_tariff("config/tariffs/two-rate.yaml"), 2026_y / 11 / 1);
    REQUIRE(tariff);
    const account::DateSpan year{first, CivilDate{first + date::years{1}}};
    const Zone clock = testing::zone(
        zone_name, {date::sys_days{year.from} - date::days{400}, date::sys_days{year.to} + date::days{400}});
    const auto bills = account::bills(*tariff, clock, tariff::bills_in({}, year),
                                      account::Metered{usage.value().readings, {}}, {});
    REQUIRE(std::holds_alternative<std::vector<account::Bill>>(bills));
    std::string text;
    for (const auto& bill : std::get<std::vector<account::Bill>>(bills)) {
        text += date::format("%Y-%m ", date::sys_days{bill.days.from}) + money_text(bill.total, 2) + "\n";
    }
    return text;
}

std::string script_months(const std::filesystem::path& file, const std::string& zone_name) {
    const auto script = tests::committed("reference/bills/check_year.py");
    const auto ran = tests::run("python3 '" + script.string() + "' '" + file.string() + "' " + zone_name);
    REQUIRE(ran.status == 0);
    return ran.output;
}

}  // namespace

TEST_CASE("a year of the demo house in twelve bills, by another program", "[check:year-of-bills]") {
    if (!tests::python_can_judge()) SKIP_CASE("python3 with its zone data is not here");
    const std::filesystem::path house = LULLWATT_SOURCE_DIR "/config/harbour-row-9/history/house.csv";
    CHECK(our_months(house, "America/Halifax", 2025_y / 11 / 1) == script_months(house, "America/Halifax"));
}

TEST_CASE("a published year with two dirty days in twelve bills, by another program",
          "[check:year-of-bills]") {
    const auto file = tests::sample("Coastal_Single_Family_Jan_1_2011_to_Jan_1_2012.xml");
    if (!file) SKIP_CASE("LULLWATT_SAMPLES has no year file");
    if (!tests::python_can_judge()) SKIP_CASE("python3 with its zone data is not here");
    CHECK(our_months(*file, "America/Los_Angeles", 2011_y / 1 / 1) ==
          script_months(*file, "America/Los_Angeles"));
}
