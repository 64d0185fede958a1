#include "io/report/month_report.hpp"

#include <fstream>

#include "io/ledger/ledger.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using tests::utc;

namespace {

// The demo house under a tariff of two tiers a month: 0.1180 up to 600 kWh in summer, then 0.1390.
io::Household tiered_house(const tests::Folder& folder) {
    std::string text = tests::whole(tests::config("harbour-row-9/site.yaml"));
    const auto point_at = [&](const std::string& name, const std::string& to) {
        text.replace(text.find(name), name.size(), to);
    };
    point_at("history/house.csv", tests::config("harbour-row-9/history/house.csv"));
    point_at("../tariffs/tidewater-night.yaml", tests::config("tariffs/tiers-by-month.yaml"));
    std::ofstream(folder.file("site.yaml")) << text;
    auto household = io::load_household(folder.file("site.yaml"), utc(2026, 10, 25));
    if (!household.ok()) FAIL(io::text(household.faults().front()));
    return std::move(household).value();
}

// 9 kWh on an October night, and the house's meter for the whole month, constant, but silent for some time of
// the charge.
void write_ledger(const std::string& file, std::optional<Watts> house, Seconds silent = Seconds{0},
                  Watts seen_of_charge = Watts(4'500), bool amperes = false) {
    auto opened = io::ledger::Ledger::open(file);
    REQUIRE(opened.ok());
    io::ledger::Ledger ledger = std::move(opened).value();
    const Interval charging{utc(2026, 10, 21, 3h), utc(2026, 10, 21, 5h)};
    const auto start = ledger.append(
        io::ledger::TransactionStart{{charging.begin}, "left point", "Heron", "", WattHours(0)});
    const auto id = std::get<io::ledger::Appended>(start).row;
    account::Session session{.plugged_in = charging, .energy = WattHours(9'000)};
    for (Instant at = charging.begin; at < charging.end; at += 15min)
        session.parts.push_back({{at, at + 15min},
                                 WattHours(1'125),
                                 WattHours(0),
                                 "day",
                                 Rate(139'000'000'000),
                                 Rate(139'000'000'000)});
    static_cast<void>(ledger.append(io::ledger::SessionRow{id, session, "CAD", 2, "2026b"}));
    for (Instant at = utc(2026, 10, 1, 3h); house && at < utc(2026, 11, 1, 3h); at += 60s) {
        if (charging.begin <= at && at < charging.begin + silent) continue;
        const Watts load = charging.contains(at) ? *house + seen_of_charge : *house;
        io::ledger::Minute minute{"service", site::Leg::L1, at, io::ledger::Spread<Watts>{load, load, load}};
        const Amps current(load.count() / 120);
        if (amperes) minute.load = io::ledger::Spread<Amps>{current, current, current};
        static_cast<void>(ledger.append(minute));
    }
    REQUIRE_FALSE(ledger.commit().has_value());
}

io::MonthReport october(const std::string& file, const io::Household& household) {
    auto reader = io::ledger::Reader::open(file);
    REQUIRE(reader.ok());
    io::ledger::Reader open = std::move(reader).value();
    auto report = io::month_report(open, household, date::year{2026} / 10, utc(2026, 11, 5));
    if (!report.ok()) FAIL(io::text(report.faults().front()));
    return std::move(report).value();
}

}  // namespace

TEST_CASE("under tiers the cars' part depends on what the house used, where the ledger has it") {
    const tests::Folder folder;
    const io::Household household = tiered_house(folder);
    const std::string file = folder.file("ledger.sqlite");
    // 9 kWh with delivery 0.0145 × 1.0330, less 12.5 %, and tax 13 % on the energy alone.
    SECTION("a house that leaves them in the first tier") {
        write_ledger(file, Watts(300));
        const auto report = october(file, household);
        REQUIRE_FALSE(report.cars_alone);
        REQUIRE(report.month.total.count() == Approx(1'190'000).margin(20'000));
        REQUIRE(report.month.sessions[0].cost == report.month.total);
    }
    SECTION("a house that has used it up: the cars are in the second") {
        write_ledger(file, Watts(2'000));
        const auto report = october(file, household);
        REQUIRE_FALSE(report.cars_alone);
        REQUIRE(report.month.total.count() == Approx(1'380'000).margin(20'000));
    }
    SECTION("a meter that tells amperes counts at the nominal voltage, and that is told") {
        write_ledger(file, Watts(2'000), 0s, Watts(4'500), true);
        const auto report = october(file, household);
        REQUIRE_FALSE(report.cars_alone);
        REQUIRE(report.house_from_amperes);
        REQUIRE(report.month.total.count() == Approx(1'380'000).margin(20'000));
    }
    SECTION("without the house's use they are reckoned alone, and that is told") {
        write_ledger(file, {});
        const auto report = october(file, household);
        REQUIRE(report.cars_alone);
        REQUIRE(report.month.total.count() == Approx(1'190'000).margin(20'000));
    }
    SECTION("a meter that was silent while they charged is no measure") {
        write_ledger(file, Watts(300), 20min);
        REQUIRE(october(file, household).cars_alone);
    }
    SECTION("a meter that missed the cars is no measure") {
        write_ledger(file, Watts(300), 0s, Watts(1'000));
        REQUIRE(october(file, household).cars_alone);
        REQUIRE(october(file, household).month.total.count() == Approx(1'190'000).margin(20'000));
    }
}
