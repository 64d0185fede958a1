// A node's limits beside its rating: unbalance between legs, outside ceilings; with every fault's whole
// message.
#include <string>
#include <vector>

#include "io/settings/site_file.hpp"
#include "support/catch.hpp"
#include "unit/settings/site_file_cases.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace lullwatt::tests;
using namespace std::chrono_literals;

namespace {

using Texts = std::vector<std::string>;

std::string with(const std::string& service, const std::string& circuit = "") {
    std::string yaml = kGood;
    const auto put = [&](const std::string& behind, const std::string& what) {
        yaml.insert(yaml.find(behind) + behind.size(), what);
    };
    put("continuous: nec", service);
    put("rating: 50 A", circuit);
    return yaml;
}

std::vector<std::string> of_ceilings(const std::string& entries) {
    return messages(with(", ceilings: [" + entries + "]"));
}

}  // namespace

TEST_CASE("unbalance and ceilings are read at service and circuit") {
    const auto read = read_site_text(
        with(", unbalance: 20 A, ceilings: [{from: \"17:00\", to: \"21:00\", days: [weekdays], most: 16 A, "
             "basis: \"network operator's notice\"}, {from: \"22:00\", to: \"06:00\", most: 0 A, basis: "
             "test}]",
             ", unbalance: 6.5 A"),
        "site.yaml", ".");
    REQUIRE(read.ok());
    const auto& nodes = read.value().site.nodes;
    CHECK(nodes[0].unbalance == Amps(20));
    REQUIRE(nodes[0].ceilings.size() == 2);
    const site::TimedCeiling& evening = nodes[0].ceilings[0];
    CHECK(evening.from == 17h);
    CHECK(evening.to == 21h);
    CHECK(evening.days == std::array{false, true, true, true, true, true, false});
    CHECK(evening.most == Amps(16));
    CHECK(evening.basis == "network operator's notice");
    CHECK(nodes[0].ceilings[1].days == std::array{true, true, true, true, true, true, true});
    CHECK(nodes[0].ceilings[1].most == Amps(0));
    CHECK(nodes[1].unbalance == Amps(6.5));
    CHECK(nodes[1].ceilings.empty());
}

TEST_CASE("a point knows the fewest legs its cars charge on") {
    std::string yaml = kGood;
    const auto legs = [](const std::string& text) {
        const auto read = read_site_text(text, "site.yaml", ".");
        REQUIRE(read.ok());
        return read.value().site.points[0].fewest_car_legs;
    };
    const std::string car = "  - {name: Heron, point: wall, battery: 60 kWh, most: 32 A}\n";
    const auto at = yaml.find(car);
    CHECK(legs(yaml) == 1);
    yaml.replace(at, car.size(), "  - {name: Heron, point: wall, battery: 60 kWh, most: 32 A, legs: 3}\n");
    CHECK(legs(yaml) == 3);
    yaml.insert(at, "  - {name: Gull, point: wall, battery: 60 kWh, most: 32 A, legs: 2}\n");
    CHECK(legs(yaml) == 2);
}

TEST_CASE("unbalance needs several legs") {
    CHECK(messages(with("", ", legs: [L1], unbalance: 20 A")) ==
          Texts{"site.yaml:5:76: circuits[0].unbalance '20 A': has nothing to balance: there is one leg. "
                "Allowed: a node of several legs. Mend: remove it."});
    CHECK(messages(with(", unbalance: 4 A")) ==
          Texts{"site.yaml:3:98: service.unbalance '4 A': is out of range. Allowed: 6 A to 400 A, amperes "
                "such as '12.5 A'."});
}

TEST_CASE("a ceiling that is no ceiling is told with its mend") {
    CHECK(of_ceilings("{from: \"25:00\", to: \"21:00\", most: 16 A, basis: a}") ==
          Texts{"site.yaml:3:105: service.ceilings[0].from '25:00': is not a time of day. Allowed: a time of "
                "day such as '07:00'. Mend: write hours and minutes as HH:MM."});
    CHECK(of_ceilings("{from: \"24:00\", to: \"21:00\", most: 16 A, basis: a}") ==
          Texts{"site.yaml:3:105: service.ceilings[0].from '24:00': is the day's end. Allowed: 00:00 to "
                "23:59. Mend: write 00:00 for the midnight that begins a day."});
    CHECK(of_ceilings("{from: \"17:00\", to: \"17:00\", most: 16 A, basis: a}") ==
          Texts{"site.yaml:3:118: service.ceilings[0].to '17:00': is the time it begins. Allowed: another "
                "time than 'from'. Mend: write from 00:00 to 24:00 for a whole day."});
    CHECK(
        of_ceilings("{from: \"17:00\", to: \"21:00\", most: 80 A, basis: a}") ==
        Texts{
            "site.yaml:3:133: service.ceilings[0].most '80 A': is not below what service may carry for hours "
            "anyway, so it never acts. Allowed: below 80 A. Mend: correct it, or remove the ceiling."});
    CHECK(of_ceilings("{from: \"17:00\", to: \"21:00\", most: 79.9 A, basis: a}").empty());
    CHECK(of_ceilings("{from: \"17:00\", to: \"21:00\", days: [workdays], most: 16 A, basis: a}") ==
          Texts{"site.yaml:3:134: service.ceilings[0].days[0] 'workdays': is not one of the choices. "
                "Allowed: every-day | weekdays | weekends | mon | tue | wed | thu | fri | sat | sun. Mend: "
                "did you mean 'weekdays'?"});
    CHECK(of_ceilings("{from: \"17:00\", to: \"21:00\", days: [], most: 16 A, basis: a}") ==
          Texts{"site.yaml:3:127: service.ceilings[0].days: is an empty list. Allowed: at least one day. "
                "Mend: name the days, or leave it out for every day."});
    CHECK(of_ceilings("{from: \"17:00\", to: \"21:00\", most: 16 A}") ==
          Texts{"site.yaml:3:98: service.ceilings[0].basis: is missing. Allowed: text. Mend: add it."});
}

TEST_CASE("two ceilings at one time must agree") {
    const std::string evening = "{from: \"17:00\", to: \"21:00\", days: [weekdays], most: 16 A, basis: a}, ";
    CHECK(
        of_ceilings(evening + "{from: \"20:00\", to: \"22:00\", days: [fri], most: 10 A, basis: b}") ==
        Texts{"site.yaml:3:216: service.ceilings[1].most '10 A': is another than the 16 A of a ceiling above "
              "it, at the same time. Allowed: one current at any time. Mend: part their hours or days."});
    CHECK(
        of_ceilings(evening + "{from: \"20:00\", to: \"22:00\", days: [fri], most: 16 A, basis: b}").empty());
    CHECK(
        of_ceilings(evening + "{from: \"20:00\", to: \"22:00\", days: [sat], most: 10 A, basis: b}").empty());
    CHECK(
        of_ceilings(evening + "{from: \"21:00\", to: \"22:00\", days: [fri], most: 10 A, basis: b}").empty());
}
