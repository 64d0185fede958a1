#include "core/circuit/conductor.hpp"

#include <limits>

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;
using enum ConductorRule;
using enum WireSize;

namespace {

using Rules = std::vector<ConductorRule>;
using Lacks = std::vector<ConductorLack>;

ConductorCase nm_b(double continuous, double device) {
    return {.continuous = Amps(continuous), .device = Amps(device)};
}
ConductorCase method_75(double continuous, double device) {
    return {.continuous = Amps(continuous),
            .device = Amps(device),
            .wiring = Wiring::other_75,
            .terminals = Terminals::marked_75};
}
ConductorCase canadian(double continuous, double device, Terminals terminals) {
    return {.code = Code::cec,
            .edition = 2024,
            .continuous = Amps(continuous),
            .device = Amps(device),
            .wiring = Wiring::nmd90,
            .terminals = terminals};
}

void check_figures(const ConductorJudgement& judged, ConductorRule rule, double current, double limit) {
    REQUIRE(judged.find(rule) != nullptr);
    CHECK(judged.find(rule)->current.count() == Approx(current));
    CHECK(judged.find(rule)->limit.count() == Approx(limit));
}

}  // namespace

TEST_CASE("48 A on 6 AWG NM-B behind 60 A is refused, and the next size up does not cure it") {
    const auto judged = judge_conductor(nm_b(48, 60), awg6);
    CHECK_FALSE(judged.suits());
    CHECK(judged.unmet() == Rules{before_correction});
    check_figures(judged, before_correction, 60, 55);
    check_figures(judged, protection, 60, 60);
    CHECK(judged.rounded_up);
    CHECK(judged.allowed == Column::c60);
    CHECK(judged.reason == ColumnReason::cable);
    SECTION("also with terminals marked 75 °C") {
        auto marked = nm_b(48, 60);
        marked.terminals = Terminals::marked_75;
        CHECK(judge_conductor(marked, awg6).unmet() == Rules{before_correction});
    }
    SECTION("4 AWG NM-B and 6 AWG in a 75 °C method are offered") {
        const auto options = wire_options(nm_b(48, 60));
        REQUIRE(options.size() == 4);
        CHECK(options[0].smallest == awg4);
        CHECK(options[0].conductor.wiring == Wiring::nm_b);
        CHECK(options[1].smallest == awg3);
        CHECK(options[1].conductor.metal == Metal::aluminium);
        CHECK(options[2].smallest == awg6);
        CHECK(options[2].conductor.wiring == Wiring::other_75);
        CHECK(options[2].conductor.terminals == Terminals::marked_75);
        CHECK(options[3].smallest == awg4);
    }
}

TEST_CASE("40 A behind 50 A suits 6 AWG NM-B and 8 AWG at 75 °C") {
    CHECK(judge_conductor(nm_b(40, 50), awg6).suits());
    CHECK(judge_conductor(nm_b(40, 50), awg8).unmet() == Rules{before_correction, protection});
    const auto judged = judge_conductor(method_75(40, 50), awg8);
    CHECK(judged.suits());
    check_figures(judged, before_correction, 50, 50);
    CHECK_FALSE(judged.rounded_up);
}

TEST_CASE("each condition of a conductor can be the one that is not met") {
    SECTION("the device's share") {
        const auto judged = judge_conductor(method_75(48, 50), awg4);
        CHECK(judged.unmet() == Rules{device_share});
        check_figures(judged, device_share, 48, 40);
    }
    SECTION("after correction") {
        // 30 A x 0.65 x 0.80, and 20 A is the next size up of it.
        auto hot = method_75(16, 20);
        hot.wiring = Wiring::other_90;
        hot.ambient = Celsius(65);
        hot.conductors = 4;
        const auto judged = judge_conductor(hot, awg12);
        CHECK(judged.unmet() == Rules{after_correction});
        check_figures(judged, after_correction, 16, 15.6);
        check_figures(judged, protection, 20, 20);
    }
    SECTION("protection") {
        const auto judged = judge_conductor(method_75(16, 60), awg8);
        CHECK(judged.unmet() == Rules{protection});
        check_figures(judged, protection, 60, 50);
    }
    SECTION("a small conductor") {
        const auto judged = judge_conductor(method_75(16, 25), awg12);
        CHECK(judged.unmet() == Rules{small_conductor});
        check_figures(judged, small_conductor, 25, 20);
    }
}

TEST_CASE("several receptacles forbid the next size up") {
    auto receptacles = method_75(50, 70);
    CHECK(judge_conductor(receptacles, awg6).suits());
    CHECK(judge_conductor(receptacles, awg6).rounded_up);
    receptacles.several_receptacles = true;
    CHECK(judge_conductor(receptacles, awg6).unmet() == Rules{protection});
}

TEST_CASE("correction starts in the insulation's own column and ends at the terminals'") {
    ConductorCase raceway = method_75(40, 50);
    raceway.wiring = Wiring::thhn_in_raceway;
    const auto cool = judge_conductor(raceway, awg8);
    CHECK(cool.own == Column::c90);
    CHECK(cool.allowed == Column::c75);
    CHECK(cool.reason == ColumnReason::terminals);
    CHECK(cool.corrected == Amps(50));
    raceway.ambient = Celsius(50);
    CHECK(judge_conductor(raceway, awg8).corrected->count() == Approx(0.82 * 55));
    raceway.conductors = 6;
    CHECK(judge_conductor(raceway, awg8).corrected->count() == Approx(0.82 * 0.80 * 55));
    raceway.entered_factor = 0.9;
    CHECK(judge_conductor(raceway, awg8).corrected->count() == Approx(0.82 * 0.80 * 0.9 * 55));
    SECTION("a cold place lifts nothing above the terminals") {
        raceway = method_75(40, 50);
        raceway.ambient = Celsius(0);
        CHECK(judge_conductor(raceway, awg8).corrected == Amps(50));
    }
}

TEST_CASE("by C22.1 a lasting load has 80 % of the ampacity") {
    const auto unmarked = judge_conductor(canadian(40, 50, Terminals::unmarked), awg8);
    CHECK(unmarked.unmet() == Rules{before_correction, protection});
    check_figures(unmarked, before_correction, 40, 32);
    CHECK(judge_conductor(canadian(40, 50, Terminals::marked_75), awg8).suits());
    SECTION("and no next size up is taken") {
        const auto judged = judge_conductor(canadian(48, 60, Terminals::unmarked), awg6);
        check_figures(judged, protection, 60, 55);
        CHECK(judged.unmet() == Rules{before_correction, protection});
    }
    SECTION("and the cable itself holds nothing back") {
        const auto options = wire_options(canadian(48, 60, Terminals::unmarked));
        CHECK(options[0].smallest == awg4);
        CHECK(options[2].smallest == awg6);
        CHECK(options[2].conductor.wiring == Wiring::nmd90);
    }
    SECTION("corrections are entered") {
        auto hot = canadian(40, 50, Terminals::marked_75);
        hot.ambient = Celsius(40);
        CHECK(judge_conductor(hot, awg8).lacks == Lacks{ConductorLack::corrections_not_known});
        CHECK(smallest_conductor(hot) == std::nullopt);
        hot.entered_factor = 0.8;
        CHECK(judge_conductor(hot, awg8).corrected->count() == Approx(44));
        CHECK(smallest_conductor(hot) == awg6);
        hot = canadian(40, 50, Terminals::marked_75);
        hot.conductors = 4;
        CHECK(judge_conductor(hot, awg8).lacks == Lacks{ConductorLack::corrections_not_known});
    }
}

TEST_CASE("what cannot be judged is no conductor that suits, and says why") {
    SECTION("an edition") {
        for (const int edition : {2014, 2026}) {
            auto other = nm_b(16, 20);
            other.edition = edition;
            CHECK(judge_conductor(other, awg4).lacks == Lacks{ConductorLack::edition_not_known});
            CHECK_FALSE(judge_conductor(other, awg4).suits());
        }
        auto old = canadian(16, 20, Terminals::unmarked);
        old.edition = 2012;
        CHECK(judge_conductor(old, awg4).lacks == Lacks{ConductorLack::edition_not_known});
    }
    SECTION("a cable of the other code") {
        auto other = nm_b(16, 20);
        other.wiring = Wiring::nmd90;
        CHECK(judge_conductor(other, awg4).lacks == Lacks{ConductorLack::wiring_of_other_code});
        other = canadian(16, 20, Terminals::unmarked);
        other.wiring = Wiring::nm_b;
        CHECK(judge_conductor(other, awg4).lacks == Lacks{ConductorLack::wiring_of_other_code});
    }
    SECTION("aluminium of 14 AWG") {
        auto aluminium = method_75(8, 15);
        aluminium.metal = Metal::aluminium;
        CHECK(judge_conductor(aluminium, awg14).lacks == Lacks{ConductorLack::size_not_in_table});
        CHECK(judge_conductor(aluminium, awg14).find(before_correction) == nullptr);
        CHECK(smallest_conductor(aluminium) == awg12);
    }
    SECTION("a place hotter than the table") {
        auto hot = method_75(16, 20);
        hot.ambient = Celsius(71);
        CHECK(judge_conductor(hot, awg4).lacks == Lacks{ConductorLack::ambient_beyond_table});
        CHECK(judge_conductor(hot, awg4).find(after_correction) == nullptr);
        hot.ambient = Celsius(std::numeric_limits<double>::quiet_NaN());
        CHECK(judge_conductor(hot, awg4).lacks == Lacks{ConductorLack::ambient_beyond_table});
    }
    SECTION("an entered factor that is none") {
        for (const double factor : {0.0, -0.5, 1.1, std::numeric_limits<double>::quiet_NaN()}) {
            auto entered = method_75(16, 20);
            entered.entered_factor = factor;
            CHECK(judge_conductor(entered, awg4).lacks == Lacks{ConductorLack::factor_out_of_range});
        }
    }
    SECTION("a load beyond the largest size") {
        CHECK(smallest_conductor(method_75(400, 500)) == std::nullopt);
        CHECK(judge_conductor(method_75(400, 500), kcmil500).unmet() ==
              Rules{before_correction, after_correction, protection});
    }
}
