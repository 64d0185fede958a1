// Figures that no bill could hold are told when the file is read.
#include <string>
#include <vector>

#include "io/tariff_file/tariff_file.hpp"
#include "support/catch.hpp"

using namespace lullwatt;

namespace {

// What is wrong with a file whose one revision ends with `charges`.
std::vector<std::string> told(const std::string& charges, const std::string& head = {}) {
    const auto read = io::read_tariff_text("format: 1\nname: a\ncurrency: CAD\n" + head +
                                               "revisions:\n  - from: 2026-01-01\n"
                                               "    windows: [{name: all, per_kwh: 0.1}]\n" +
                                               charges,
                                           "t.yaml", "nowhere");
    std::vector<std::string> messages;
    if (!read.ok()) {
        for (const io::Fault& fault : read.faults()) messages.push_back(text(fault));
    }
    return messages;
}

using Told = std::vector<std::string>;

}  // namespace

TEST_CASE("percentages make at most ten times of a sum") {
    CHECK(told("    riders: [{name: a, percent: 100 %}, {name: b, percent: 100 %, compound: yes}]\n"
               "    taxes: [{name: c, percent: 100 %}]\n")
              .empty());
    CHECK(told("    riders: [{name: a, percent: 100 %}, {name: b, percent: 100 %, compound: yes}]\n"
               "    taxes: [{name: c, percent: 100 %}, {name: d, percent: 30 %}]\n") ==
          Told{"t.yaml:5:5: revisions[0]: has percentages that make more than ten times of a sum. Allowed: "
               "riders and taxes below that. Mend: look for a lost decimal point."});
}

TEST_CASE("prices for power stay below a million together") {
    const std::string large = "large_rates: yes\n";
    CHECK(told("    demand: [{name: a, per_kw: 999999}]\n", large).empty());
    CHECK(told("    demand: [{name: a, per_kw: 999999}, {name: b, per_kw: 2}]\n", large) ==
          Told{"t.yaml:6:5: revisions[0]: adds up to more than a million per kW. Allowed: prices of demand "
               "below that together. Mend: look for a lost decimal point."});
}

TEST_CASE("blocks count among the prices for a kilowatt-hour") {
    const std::string block = "    blocks: [{name: a, steps: [{per_kwh: 1000000}]}]\n";
    CHECK(told(block, "large_rates: yes\n") ==
          Told{"t.yaml:6:5: revisions[0]: adds up to more than a million per kWh. Allowed: prices, adders "
               "and taxes below that together. Mend: look for a lost decimal point."});
}

TEST_CASE("amounts stay below a million together, fuses and steps of power among them") {
    const Told more = {
        "t.yaml:5:5: revisions[0]: adds up to more than a million in amounts. Allowed: amounts and minimums "
        "below that together. Mend: look for a lost decimal point."};
    CHECK(told("    fixed: [{name: a, by_fuse: [{up_to: 25 A, amount: 600000}, {up_to: 35 A, amount: "
               "600000}]}]\n") == more);
    CHECK(told("    demand: [{name: a, steps: [{up_to: 2 kW, amount: 600000}, {amount: 600000}]}]\n") ==
          more);
    CHECK(told("    fixed: [{name: a, amount: 600000}]\n    minimums: [{name: b, amount: 600000}]\n") ==
          more);
}

TEST_CASE("a demand charge's factors multiply to at most ten") {
    CHECK(told("    demand: [{name: a, per_kw: 1, factors: [5, 2]}]\n").empty());
    CHECK(told("    demand: [{name: a, per_kw: 1, factors: [10, 10, 10, 0.001]}]\n") ==
          Told{"t.yaml:7:35: revisions[0].demand[0].factors: multiply to more than ten. Allowed: a product "
               "of at "
               "most 10. Mend: look for a lost decimal point."});
}

TEST_CASE("a whole month's days that cannot be read are told once") {
    CHECK(told("", "proration: {whole_from: 0, whole_to: 35}\n") ==
          Told{"t.yaml:4:25: proration.whole_from '0': is out of range. Allowed: 1 to 31, a whole number "
               "such as "
               "'3'."});
}
