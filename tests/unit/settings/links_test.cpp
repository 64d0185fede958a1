// How equipment and meters are reached, as the site file says, and what is simulated behind them.
#include "unit/settings/site_file_cases.hpp"

using namespace lullwatt;
using namespace lullwatt::tests;
using namespace std::chrono_literals;

TEST_CASE("a site file that links nothing says so, and is whole") {
    const auto read = io::read_site_text(kGood, "site.yaml", ".");
    REQUIRE(read.ok());
    CHECK(read.value().links.none());
    CHECK_FALSE(read.value().links.all_simulated());
    CHECK(read.value().links.points == std::vector{io::Link::none});
    CHECK(read.value().links.meters.size() == 2);
}

TEST_CASE("a point and a meter may lead to a simulated house, with loads at hours of its own") {
    std::string yaml = kGood;
    const auto put = [&](const std::string& what, const std::string& with) {
        yaml.replace(yaml.find(what), what.size(), with);
    };
    put("continuous: nec}", "continuous: nec, meter: simulated, meter_interval: 10 s}");
    put("hard_setting: 40 A}", "hard_setting: 40 A, link: simulated}");
    yaml +=
        "simulation: {seed: 9, household: no, loads: [{name: oven, current: 20 A, from: \"23:40\", lasts: 35 "
        "min},\n  {name: kettle, node: garage, current: 12 A, legs: [L2], from: \"07:00\", lasts: 3 min}]}\n";
    const auto read = io::read_site_text(yaml, "site.yaml", ".");
    REQUIRE(read.ok());
    const io::SiteFile& site = read.value();
    CHECK(site.links.all_simulated());
    CHECK(site.links.points == std::vector{io::Link::simulated});
    CHECK(site.links.meters[0].link == io::Link::simulated);
    CHECK(site.links.meters[0].interval == 10s);
    CHECK(site.links.meters[1].link == io::Link::none);
    CHECK(site.simulation.seed == 9);
    CHECK_FALSE(site.simulation.household);
    REQUIRE(site.simulation.loads.size() == 2);
    CHECK(site.simulation.loads[0].amps == site::LegAmps{Amps(20), Amps(20), Amps(0)});
    CHECK(site.simulation.loads[0].from == 23h + 40min);
    CHECK(site.simulation.loads[0].lasts == 35min);
    CHECK(site.simulation.loads[1].node == 1);
    CHECK(site.simulation.loads[1].amps == site::LegAmps{Amps(0), Amps(12), Amps(0)});
}

TEST_CASE("links that cannot be are told with their mend") {
    check_messages({
        {"a word that is no link",
         "hard_setting: 40 A}",
         "hard_setting: 40 A, link: simulatd}",
         {"site.yaml:7:61: points[0].link 'simulatd': is not one of the choices. Allowed: none | simulated. "
          "Mend: did you mean 'simulated'?"}},
        {"a point set by hand",
         "hard_setting: 40 A}",
         "hard_setting: 40 A, control: by-hand, link: simulated}",
         {"site.yaml:7:79: points[0].link 'simulated': leads to a point that is set by hand. Allowed: none. "
          "Mend: remove it, or write 'control: driven'."}},
        {"an interval of no meter",
         "continuous: nec}",
         "continuous: nec, meter_interval: 1 s}",
         {"site.yaml:3:103: service.meter_interval '1 s': stands without a meter. Allowed: both or neither. "
          "Mend: say what its meter is, or remove the interval."}},
        {"a meter too slow to keep a limit",
         "continuous: nec}",
         "continuous: nec, meter: simulated, meter_interval: 60 s}",
         {"site.yaml:3:121: service.meter_interval '60 s': is out of range. Allowed: 1 s to 30 s, a duration "
          "such as '30 s', '5 min' or '2 h'."}},
        {"a simulation that nothing leads to",
         "tariff: tariff.yaml",
         "tariff: tariff.yaml\nsimulation: {}",
         {"site.yaml:13:1: simulation: is of a house that nothing leads to. Allowed: beside 'link: "
          "simulated' or 'meter: simulated'. Mend: remove it, or link a point or a meter to it."}},
    });
}
