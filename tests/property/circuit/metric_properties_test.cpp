// Properties of circuit sizing by IEC and BS 7671, on random circuits (seed fixed; printed on failure).
#include <algorithm>
#include <cmath>
#include <rapidcheck.h>

#include "core/circuit/diversity.hpp"
#include "core/circuit/metric_cable_tables.hpp"
#include "core/circuit/metric_sizing.hpp"
#include "core/circuit/pilot.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

namespace {

double any_between(int low, int high, int steps_per_unit = 10) {
    return *rc::gen::inRange(low * steps_per_unit, high * steps_per_unit + 1) /
           static_cast<double>(steps_per_unit);
}

Grouping any_grouping(CableMethod method) {
    using enum Grouping;
    switch (method) {
        case CableMethod::C:
            return *rc::gen::element(enclosed, single_layer_wall);
        case CableMethod::D:
            return *rc::gen::element(direct_in_ground, ducts_in_ground);
        case CableMethod::D1:
            return ducts_in_ground;
        case CableMethod::D2:
            return direct_in_ground;
        case CableMethod::E:
            return *rc::gen::element(enclosed, single_layer_tray);
        default:
            return enclosed;
    }
}

bool buried(const RunCase& run) {
    const Grouping grouping = run.cable.surroundings.grouping;
    return grouping == Grouping::direct_in_ground || grouping == Grouping::ducts_in_ground;
}

// A circuit of any tabulated kind whose device is the point's own rating or the next.
RunCase any_run() {
    const auto rows = capacity_rows();
    const CableKind kind = rows[*rc::gen::inRange<std::size_t>(0, rows.size())].kind;
    const auto type = *rc::gen::element(DeviceType::breaker, DeviceType::fuse_gg);
    const Amps current{any_between(6, 80)};
    RunCase run{.cable = {.design_current = current,
                          .device = {type, *next_rating_up(type, current)},
                          .kind = kind,
                          .surroundings = {.ambient = Celsius(any_between(-10, 55)),
                                           .grouping = any_grouping(kind.method),
                                           .circuits = *rc::gen::inRange(1, 7)}},
                .supply = {kind.phases, Volts(230), Volts(400)},
                .length = Metres(any_between(1, 120)),
                .drop_allowed = Percent(any_between(1, 8))};
    if (*rc::gen::inRange(0, 3) == 0) run.cable.surroundings.thermal_insulation = any_between(0, 1, 20);
    if (buried(run)) run.cable.surroundings.soil = KelvinMetresPerWatt(any_between(0, 3));
    return run;
}

// mm² of the smallest cable; more than any where none suits.
double smallest(const RunCase& run) {
    return smallest_cable(run).smallest.value_or(SquareMillimetres(1e9)).count();
}

}  // namespace

TEST_CASE("more current never takes a smaller cable") {
    REQUIRE(rc::check([] {
        const RunCase run = any_run();
        RunCase more = run;
        more.cable.design_current += Amps(any_between(0, 40));
        more.cable.device.rating = *next_rating_up(run.cable.device.type, more.cable.design_current);
        RC_ASSERT(smallest(run) <= smallest(more));
    }));
}

TEST_CASE("a larger device before the same point never takes a smaller cable") {
    REQUIRE(rc::check([] {
        const RunCase run = any_run();
        RunCase more = run;
        more.cable.device.rating += Amps(any_between(0, 40));
        RC_ASSERT(smallest(run) <= smallest(more));
    }));
}

TEST_CASE("a longer run or a tighter limit never takes a smaller cable") {
    REQUIRE(rc::check([] {
        const RunCase run = any_run();
        RunCase longer = run;
        longer.length += Metres(any_between(0, 100));
        RC_ASSERT(smallest(run) <= smallest(longer));
        RunCase tighter = run;
        tighter.drop_allowed -= Percent(any_between(0, 1));
        RC_ASSERT(smallest(run) <= smallest(tighter));
    }));
}

TEST_CASE("a hotter place never takes a smaller cable") {
    REQUIRE(rc::check([] {
        const RunCase run = any_run();
        RunCase hotter = run;
        hotter.cable.surroundings.ambient += Celsius(any_between(0, 40));
        RC_ASSERT(smallest(run) <= smallest(hotter));
    }));
}

TEST_CASE("more circuits together never take a smaller cable") {
    REQUIRE(rc::check([] {
        const RunCase run = any_run();
        RunCase more = run;
        more.cable.surroundings.circuits += *rc::gen::inRange(0, 20);
        RC_ASSERT(smallest(run) <= smallest(more));
    }));
}

TEST_CASE("drier soil or more insulation never takes a smaller cable") {
    REQUIRE(rc::check([] {
        const RunCase run = any_run();
        RunCase drier = run;
        if (drier.cable.surroundings.soil)
            *drier.cable.surroundings.soil += KelvinMetresPerWatt(any_between(0, 2));
        drier.cable.surroundings.thermal_insulation *= any_between(0, 1, 20);
        RC_ASSERT(smallest(run) <= smallest(drier));
    }));
}

TEST_CASE("a cable that suits bears its device, and its drop is allowed") {
    REQUIRE(rc::check([] {
        const RunCase run = any_run();
        for (const auto& tried : smallest_cable(run).tried) {
            if (!tried.suits()) continue;
            double capacity = tried.cable.tabulated->current.count();
            for (const auto& factor : tried.cable.factors) capacity *= factor.value;
            RC_ASSERT(run.cable.design_current <= run.cable.device.rating);
            RC_ASSERT(run.cable.device.rating.count() <= capacity + 1e-9);
            RC_ASSERT(operating_current(run.cable.device)->count() <= 1.45 * capacity + 2e-9);
            RC_ASSERT(tried.drop->percent.count() <= run.drop_allowed.count() + 1e-9);
        }
    }));
}

TEST_CASE("a refusal names an unmet condition with figures that show it") {
    REQUIRE(rc::check([] {
        RunCase run = any_run();
        if (*rc::gen::inRange(0, 4) == 0) run.cable.device.rating = Amps(any_between(6, 80));
        for (const auto& tried : smallest_cable(run).tried) {
            const bool unmet =
                std::ranges::any_of(tried.cable.rules, [](const RuleOutcome& rule) { return !rule.met; });
            RC_ASSERT(tried.drop);
            RC_ASSERT(tried.suits() == (!unmet && tried.cable.lacks.empty() && tried.drop_met));
            for (const auto& rule : tried.cable.rules) RC_ASSERT(rule.met || rule.current > rule.limit);
            RC_ASSERT(tried.drop_met || tried.drop->percent > run.drop_allowed);
        }
    }));
}

TEST_CASE("a larger cable of a kind carries more and drops less") {
    for (const auto& row : capacity_rows()) {
        const auto amps = row.amps;
        const auto printed = std::ranges::count_if(amps, [](double value) { return value > 0; });
        CHECK(printed >= 3);
        for (std::size_t at = 1; at < amps.size(); ++at) {
            if (amps[at - 1] > 0 && amps[at] > 0) CHECK(amps[at - 1] < amps[at]);
        }
    }
    for (const auto insulated : {Insulation::pvc_70, Insulation::xlpe_90}) {
        for (const auto phases : {Phases::single, Phases::three}) {
            for (std::size_t at = 1; at < kCableSizes.size(); ++at) {
                CHECK(tabulated_drop(insulated, phases, kCableSizes[at - 1])->value >
                      tabulated_drop(insulated, phases, kCableSizes[at])->value);
            }
        }
    }
}

TEST_CASE("the pilot never grants more than is wanted, and at most 1.5 A less within its range") {
    REQUIRE(rc::check([] {
        const Amps wanted{any_between(6, 80, 1000)};
        const auto signal = pilot_signal(wanted);
        RC_ASSERT(signal);
        const PilotReading read = pilot_reading(signal->duty);
        RC_ASSERT(read.current.count() <= wanted.count() + 1e-9);
        RC_ASSERT(read.current.count() >= wanted.count() - 1.5 - 1e-9);
        RC_ASSERT(std::abs((read.current - signal->current).count()) < 1e-9);
    }));
}

TEST_CASE("the longest run drops what is allowed and no more") {
    REQUIRE(rc::check([] {
        const DropPerMetre per_metre{MilliohmsPerMetre(any_between(1, 40)), Evidence::one_source};
        const MetricSupply supply{*rc::gen::element(Phases::single, Phases::three), Volts(230), Volts(400)};
        const Amps current{any_between(1, 100)};
        const Percent limit{any_between(1, 8)};
        const Metres run = longest_run(per_metre, supply, current, limit);
        RC_ASSERT(std::abs((drop_over(per_metre, supply, run, current).percent - limit).count()) < 1e-9);
    }));
}

TEST_CASE("more load never lessens a household's demand, and what is left of its fuse fits") {
    REQUIRE(rc::check([] {
        std::vector<HouseholdLoad> loads;
        const int count = *rc::gen::inRange(0, 12);
        for (int at = 0; at < count; ++at) {
            loads.push_back({.name = "load",
                             .use = static_cast<HouseholdUse>(*rc::gen::inRange(0, 8)),
                             .current = Amps(any_between(0, 60)),
                             .with_socket = *rc::gen::arbitrary<bool>()});
        }
        const Amps before = household_demand(loads).total;
        const Amps fuse = kMainFuses[*rc::gen::inRange<std::size_t>(0, kMainFuses.size())];
        const MainFuseCheck check = check_main_fuse(before, fuse);
        RC_ASSERT(!check.fits || at_most(before + check.left, fuse));
        RC_ASSERT(check.fits || check.left == WholeAmps(0));
        if (loads.empty()) return;
        loads[*rc::gen::inRange<std::size_t>(0, loads.size())].current += Amps(any_between(0, 20));
        RC_ASSERT(household_demand(loads).total >= before - Amps(1e-9));
        loads.push_back({.name = "car", .use = HouseholdUse::charging_point, .current = Amps(32)});
        RC_ASSERT(household_demand(loads).total >= before + Amps(32 - 1e-9));
    }));
}
