// What holds for any raceway, grounding conductor and run of North America (seeds fixed; printed on failure).
#include <algorithm>
#include <rapidcheck.h>

#include "core/circuit/grounding_conductor.hpp"
#include "core/circuit/raceway.hpp"
#include "core/circuit/voltage_drop.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

namespace {

constexpr int kCovered = 13;  // sizes up to 4/0 AWG

template <class Enum>
Enum any(int values) {
    return static_cast<Enum>(*rc::gen::inRange(0, values));
}

WireSize any_size() { return any<WireSize>(static_cast<int>(kWireSizes.size())); }
WireSize any_covered() { return any<WireSize>(kCovered); }
Raceway any_raceway() { return any<Raceway>(3); }

ConductorMix any_mix() {
    ConductorMix mix;
    const int kinds = *rc::gen::inRange(1, 4);
    for (int kind = 0; kind < kinds; ++kind) mix.push_back({*rc::gen::inRange(1, 6), any_covered()});
    return mix;
}

int count(const ConductorMix& mix) {
    int sum = 0;
    for (const Conductors& some : mix) sum += some.count;
    return sum;
}

// Beyond all sizes where none holds them.
int rank(Raceway raceway, const ConductorMix& mix) {
    const auto size = smallest_raceway(raceway, mix);
    return size ? static_cast<int>(*size) : static_cast<int>(kTradeSizes.size());
}

RunSupply any_supply() {
    return *rc::gen::element(RunSupply{Volts(120)}, RunSupply{Volts(240)},
                             RunSupply{Volts(208), Phases::three});
}
Amps any_current() { return Amps(*rc::gen::inRange(1, 4000) / 10.0); }
Feet any_length() { return Feet(*rc::gen::inRange(1, 20000) / 10.0); }

// By each of the three ways.
RunDrop any_way(int way, Metal metal, WireSize size, double power_factor, const RunSupply& supply,
                Feet length, Amps current) {
    if (way == 0) return run_drop_by_k(metal, size, supply, length, current);
    if (way == 1) return run_drop(*dc_resistance(metal, Build::stranded, size), supply, length, current);
    return run_drop(*ac_impedance(metal, Conduit::steel, size), power_factor, supply, length, current);
}

Amps any_device() { return Amps(*rc::gen::inRange(1, 12001) / 10.0); }

}  // namespace

TEST_CASE("more conductors never take a smaller raceway, from three on or of one size") {
    REQUIRE(rc::check([] {
        const Raceway raceway = any_raceway();
        ConductorMix fewer = any_mix();
        const bool one_size = *rc::gen::arbitrary<bool>();
        if (one_size) fewer = {{*rc::gen::inRange(1, 4), fewer.front().size}};
        RC_PRE(one_size || count(fewer) >= 3);
        ConductorMix more = fewer;
        more.push_back({*rc::gen::inRange(1, 4), one_size ? fewer.front().size : any_covered()});
        RC_ASSERT(rank(raceway, more) >= rank(raceway, fewer));
    }));
}

TEST_CASE("a thicker conductor never takes a smaller raceway") {
    REQUIRE(rc::check([] {
        const Raceway raceway = any_raceway();
        const ConductorMix thin = any_mix();
        ConductorMix thick = thin;
        thick.front().size = std::max(thick.front().size, any_covered());
        RC_ASSERT(rank(raceway, thick) >= rank(raceway, thin));
    }));
}

TEST_CASE("the smallest raceway holds the conductors, and so does every larger one, no smaller does") {
    REQUIRE(rc::check([] {
        const Raceway raceway = any_raceway();
        const ConductorMix mix = any_mix();
        for (const TradeSize size : kTradeSizes) {
            const RacewayFill fill = *raceway_fill(raceway, size, mix);
            RC_ASSERT(fill.fits() == (static_cast<int>(size) >= rank(raceway, mix)));
            // Table 4 prints the 40 % rounded to thousandths.
            const double share = count(mix) == 1 ? 0.53 : count(mix) == 2 ? 0.31 : 0.40;
            if (fill.fits()) RC_ASSERT(fill.area.count() <= share * inside(raceway, size).count() + 0.0005);
        }
    }));
}

TEST_CASE("the most conductors fit, and one more does not") {
    REQUIRE(rc::check([] {
        const Raceway raceway = any_raceway();
        const TradeSize size = any<TradeSize>(6);
        const WireSize wire = any_covered();
        const int most = *most_conductors(raceway, size, wire);
        if (most > 0) RC_ASSERT(raceway_fill(raceway, size, {{most, wire}})->fits());
        for (int more = most + 1; more < most + 4; ++more)
            RC_ASSERT(!raceway_fill(raceway, size, {{more, wire}})->fits());
    }));
}

TEST_CASE("the grounding conductor is never smaller for a larger device") {
    REQUIRE(rc::check([] {
        const Metal metal = any<Metal>(2);
        const Amps device = any_device();
        const Amps larger = std::max(device, any_device());
        const WireSize minimum = any_size();
        const WireSize installed = any_size();
        RC_ASSERT(*tabulated_grounding(metal, larger) >= *tabulated_grounding(metal, device));
        RC_ASSERT(grounding_conductor(metal, larger, minimum, installed)->size >=
                  grounding_conductor(metal, device, minimum, installed)->size);
    }));
}

TEST_CASE("the grounding conductor is never smaller for larger circuit conductors") {
    REQUIRE(rc::check([] {
        const Metal metal = any<Metal>(2);
        const Amps device = any_device();
        const WireSize minimum = any_size();
        const WireSize less = any_size();
        const WireSize more = std::max(less, any_size());
        RC_ASSERT(grounding_conductor(metal, device, minimum, more)->size >=
                  grounding_conductor(metal, device, minimum, less)->size);
    }));
}

TEST_CASE("the grounding conductor has all the area needed, or is as large as the circuit conductors") {
    REQUIRE(rc::check([] {
        const Metal metal = any<Metal>(2);
        const WireSize installed = any_size();
        const auto found = *grounding_conductor(metal, any_device(), any_size(), installed);
        RC_ASSERT(found.chosen == area(found.size));
        RC_ASSERT(found.size <= installed);
        RC_ASSERT((found.chosen >= found.needed) != found.capped);
        if (found.capped) RC_ASSERT(found.size == installed);
        RC_ASSERT(found.needed >= area(found.tabulated));
        if (found.just_missed) {
            RC_ASSERT(area(*found.just_missed) < found.needed);
            RC_ASSERT(found.lacking > Percent(0) && found.lacking <= Percent(1));
        }
    }));
}

TEST_CASE("a longer run, more current or a thinner wire never drops or loses less") {
    REQUIRE(rc::check([] {
        const int way = *rc::gen::inRange(0, 3);
        const Metal metal = any<Metal>(2);
        const WireSize size = std::max(any_covered(), WireSize::awg12);
        const double power_factor = *rc::gen::inRange(80, 101) / 100.0;
        const RunSupply supply = any_supply();
        const Feet length = any_length();
        const Amps current = any_current();
        const auto run = [&](WireSize wire, Feet along, Amps amps) {
            return any_way(way, metal, wire, power_factor, supply, along, amps);
        };
        const RunDrop base = run(size, length, current);
        for (const RunDrop& worse :
             {run(size, length + any_length(), current), run(size, length, current + any_current()),
              run(std::min(size, std::max(any_covered(), WireSize::awg12)), length, current)}) {
            RC_ASSERT(worse.drop >= base.drop);
            RC_ASSERT(worse.percent >= base.percent);
            RC_ASSERT(worse.loss >= base.loss);
        }
    }));
}

TEST_CASE("a foot beyond the longest run drops too much") {
    REQUIRE(rc::check([] {
        const auto resistance = *dc_resistance(any<Metal>(2), Build::stranded, any_covered());
        const RunSupply supply = any_supply();
        const Amps current = any_current();
        const Percent limit = *rc::gen::element(kBranchDrop, kTotalDrop);
        const Feet longest = longest_run(resistance, supply, current, limit);
        RC_ASSERT(run_drop(resistance, supply, longest, current).percent.count() <= limit.count() + 1e-9);
        RC_ASSERT(run_drop(resistance, supply, longest + Feet(1), current).percent > limit);
    }));
}

TEST_CASE("aluminium never drops less than copper of its size") {
    REQUIRE(rc::check([] {
        const int way = *rc::gen::inRange(0, 3);
        const WireSize size = std::max(any_covered(), WireSize::awg12);
        const RunSupply supply = any_supply();
        const Feet length = any_length();
        const Amps current = any_current();
        RC_ASSERT(any_way(way, Metal::aluminium, size, 1, supply, length, current).drop >
                  any_way(way, Metal::copper, size, 1, supply, length, current).drop);
    }));
}
