// Which lines a minimum or a percentage may be taken of, and what naming one includes.
#include "io/tariff_file/tariff_file.hpp"
#include "support/billing.hpp"

using namespace lullwatt;
using date::operator""_y;
using testing::text_of;
using testing::total;

namespace {

const std::string kHead =
    "format: 1\nname: t\ncurrency: USD\noffset: \"+00:00\"\n"
    "revisions:\n  - from: 2025-01-01\n    windows: [{name: all, per_kwh: 0.10}]\n"
    "    fixed: [{name: basic, amount: 10}]\n";

std::vector<std::string> told(const std::string& charges) {
    const auto read = io::read_tariff_text(kHead + charges, "t.yaml", {});
    std::vector<std::string> messages;
    if (read.ok()) return messages;
    for (const io::Fault& fault : read.faults()) messages.push_back(text(fault));
    return messages;
}

// Lines for 1,000 kWh.
std::string lines(const std::string& charges) {
    const auto read = io::read_tariff_text(kHead + charges, "t.yaml", {});
    if (!read.ok()) FAIL(text(read.faults().front()));
    return text_of(testing::bill(read.value(), {2026_y / 1 / 1, 2026_y / 2 / 1}, total(1'000'000'000)));
}

using Told = std::vector<std::string>;

}  // namespace

TEST_CASE("a percentage that another names is counted, with or without compound") {
    const std::string expected =
        "all 1000 x 0.1 = 100.00; basic = 10.00; first 10 % = 11.00; second 50 % = 5.50; total 126.50";
    CHECK(lines("    taxes: [{name: first, percent: 10 %}, {name: second, percent: 50 %, of: [first]}]\n") ==
          expected);
    CHECK(lines("    taxes: [{name: first, percent: 10 %}, {name: second, percent: 50 %, of: [first], "
                "compound: yes}]\n") == expected);
    SECTION("of riders too, by name and by word") {
        CHECK(
            lines(
                "    riders: [{name: first, percent: 10 %}, {name: second, percent: 50 %, of: [first]}]\n") ==
            expected);
        CHECK(lines("    riders: [{name: first, percent: 10 %}, {name: second, percent: 50 %, of: "
                    "[riders]}]\n") == expected);
    }
    SECTION("beside charges; a tax that is not named stays out") {
        CHECK(lines("    taxes: [{name: first, percent: 10 %}, {name: other, percent: 1 %}, {name: second, "
                    "percent: 50 %, of: [basic, first]}]\n") ==
              "all 1000 x 0.1 = 100.00; basic = 10.00; first 10 % = 11.00; other 1 % = 1.10; second 50 % = "
              "10.50; total 132.60");
    }
}

TEST_CASE("the price of one more kilowatt-hour counts the percentage that is named as the bill does") {
    const auto read = io::read_tariff_text(
        kHead + "    taxes: [{name: first, percent: 10 %}, {name: second, percent: 50 %, of: [first]}]\n",
        "t.yaml", {});
    REQUIRE(read.ok());
    const Instant day = date::sys_days{2026_y / 1 / 1};
    const auto curve = tariff::price_curve(read.value(), Zone::fixed(Seconds{0}), {day, day + Seconds{3600}});
    CHECK(std::get<tariff::PriceCurve>(curve).front().marginal == Rate(115'000'000'000));
}

TEST_CASE("lines that can never count are told") {
    SECTION("a minimum is of charges only") {
        CHECK(
            told("    riders: [{name: fee, percent: 2 %}]\n    minimums: [{name: least, amount: 3, of: [all, "
                 "fee]}]\n") ==
            Told{"t.yaml:10:51: revisions[0].minimums[0].of[1] 'fee': is made after this line, so it never "
                 "counts. Allowed: charges only: minimums come before riders and taxes. Mend: remove it, or "
                 "put the lines in order."});
        CHECK(
            told("    minimums: [{name: least, amount: 3, of: [riders]}]\n") ==
            Told{"t.yaml:9:46: revisions[0].minimums[0].of[0] 'riders': is made after this line, so it never "
                 "counts. Allowed: charges only: minimums come before riders and taxes. Mend: remove it, or "
                 "put the lines in order."});
        CHECK(told("    minimums: [{name: a, amount: 3}, {name: b, amount: 4, of: [a]}]\n").size() == 1);
    }
    SECTION("a rider is not of itself, of one below it, nor of a tax") {
        CHECK(told("    riders: [{name: fee, percent: 2 %, of: [fee]}]\n") ==
              Told{"t.yaml:9:45: revisions[0].riders[0].of[0] 'fee': is the line itself. Allowed: charges, "
                   "minimums and the riders above it. Mend: remove it, or put the lines in order."});
        CHECK(told("    riders: [{name: fee, percent: 2 %, of: [next]}, {name: next, percent: 1 %}]\n") ==
              Told{"t.yaml:9:45: revisions[0].riders[0].of[0] 'next': is made after this line, so it never "
                   "counts. Allowed: charges, minimums and the riders above it. Mend: remove it, or put the "
                   "lines in order."});
        CHECK(told("    riders: [{name: fee, percent: 2 %, of: [tax]}]\n    taxes: [{name: tax, percent: 5 "
                   "%}]\n")
                  .size() == 1);
        CHECK(told("    riders: [{name: fee, percent: 2 %, of: [riders]}]\n").size() == 1);
    }
    SECTION("a tax is not of one below it") {
        CHECK(
            told("    taxes: [{name: a, percent: 2 %, of: [b]}, {name: b, percent: 1 %}]\n") ==
            Told{"t.yaml:9:42: revisions[0].taxes[0].of[0] 'b': is made after this line, so it never counts. "
                 "Allowed: charges, minimums, riders and the taxes above it. Mend: remove it, or put the "
                 "lines in order."});
    }
    SECTION("a charge of the same name may be meant") {
        CHECK(told("    riders: [{name: basic, percent: 2 %, of: [basic]}]\n").empty());
    }
    SECTION("compound against what 'of' names") {
        CHECK(
            told("    taxes: [{name: a, percent: 5 %}, {name: b, percent: 5 %, of: [a], compound: no}]\n") ==
            Told{
                "t.yaml:9:81: revisions[0].taxes[1].compound 'no': leaves out what 'of' names. Allowed: yes, "
                "or nothing. Mend: remove it, or the percentage from 'of'."});
        CHECK(
            told("    taxes: [{name: a, percent: 5 %}, {name: b, percent: 5 %, of: [basic], compound: "
                 "yes}]\n") ==
            Told{"t.yaml:9:85: revisions[0].taxes[1].compound 'yes': adds nothing: 'of' names no percentage "
                 "above it. Mend: name it in 'of', or remove one of the two."});
    }
}
