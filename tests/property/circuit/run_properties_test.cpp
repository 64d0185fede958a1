// What holds for any fill, any grounding conductor and any run of North
// America.
#include <algorithm>
#include <rapidcheck.h>

#include "core/circuit/grounding_conductor.hpp"
#include "core/circuit/raceway.hpp"
#include "core/circuit/voltage_drop.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

namespace {

Raceway any_raceway() { return *rc::gen::element(Raceway::emt, Raceway::pvc_40, Raceway::pvc_80); }

WireSize any_wire(WireSize last = WireSize::kcmil500) {
    return kWireSizes[*rc::gen::inRange<std::size_t>(0, static_cast<std::size_t>(last) + 1)];
}

Metal any_metal() { return *rc::gen::element(Metal::copper, Metal::aluminium); }

// At least three, for two have less room than three.
ConductorMix any_mix() {
    ConductorMix mix;
    const int kinds = *rc::gen::inRange(1, 4);
    for (int kind = 0; kind < kinds; ++kind) {
        mix.push_back({*rc::gen::inRange(0, 6), any_wire(WireSize::awg4_0)});
    }
    mix.front().count += 3;
    return mix;
}

// The place of the raceway, or one past the last where none is wide enough.
std::size_t place(std::optional<TradeSize> size) {
    return size ? static_cast<std::size_t>(*size) : kTradeSizes.size();
}

RunSupply any_supply() {
    return {Volts(*rc::gen::element(120, 208, 240)), *rc::gen::element(Phases::single, Phases::three)};
}

std::optional<RunDrop> any_form(int form, Metal metal, WireSize size, const RunSupply& supply, Feet length,
                                Amps current) {
    if (form == 0) return run_drop_by_k(metal, size, supply, length, current);
    std::optional<OhmsPerThousandFeet> ohms;
    if (form == 1) ohms = dc_resistance(metal, Build::stranded, size);
    const auto table = ac_impedance(metal, Conduit::steel, size);
    if (form == 2 && table) ohms = effective_impedance(*table, 0.95);
    return ohms ? std::optional(run_drop(*ohms, supply, length, current)) : std::nullopt;
}

}  // namespace

TEST_CASE("more conductors, or thicker ones, never need a narrower raceway") {
    REQUIRE(rc::check([] {
        const Raceway raceway = any_raceway();
        ConductorMix mix = any_mix();
        const auto before = place(smallest_raceway(raceway, mix));
        Conductors& changed = mix[*rc::gen::inRange<std::size_t>(0, mix.size())];
        if (*rc::gen::arbitrary<bool>()) {
            changed.count += *rc::gen::inRange(1, 4);
        } else {
            changed.size = std::max(changed.size, any_wire(WireSize::awg4_0));
        }
        RC_ASSERT(place(smallest_raceway(raceway, mix)) >= before);
    }));
}

TEST_CASE(
    "what fits leaves the part of the area that table 1 keeps free, in "
    "any wider raceway too") {
    REQUIRE(rc::check([] {
        const Raceway raceway = any_raceway();
        const ConductorMix mix = any_mix();
        bool fitted = false;
        for (const TradeSize size : kTradeSizes) {
            const auto fill = raceway_fill(raceway, size, mix);
            RC_ASSERT(fill.has_value());
            RC_ASSERT(fill->fits() || !fitted);
            fitted = fill->fits();
            if (fitted) RC_ASSERT(fill->area.count() <= 0.4 * inside(raceway, size).count() + 1e-9);
        }
    }));
}

TEST_CASE("the most conductors of one size fit, and one more does not") {
    REQUIRE(rc::check([] {
        const Raceway raceway = any_raceway();
        const TradeSize size = kTradeSizes[*rc::gen::inRange<std::size_t>(0, kTradeSizes.size())];
        const WireSize wire = any_wire(WireSize::awg4_0);
        const int most = *most_conductors(raceway, size, wire);
        RC_ASSERT(raceway_fill(raceway, size, {{most, wire}})->fits());
        RC_ASSERT(!raceway_fill(raceway, size, {{most + 1, wire}})->fits());
    }));
}

TEST_CASE(
    "a grounding conductor has the area asked for or is the circuit's "
    "own size") {
    REQUIRE(rc::check([] {
        const WireSize minimum = any_wire();
        const WireSize installed = any_wire();
        const auto of =
            grounding_conductor(any_metal(), Amps(*rc::gen::inRange(1, 1201)), minimum, installed);
        RC_ASSERT(of.has_value());
        RC_ASSERT(of->chosen == area(of->size));
        RC_ASSERT(of->size <= installed);
        if (of->capped) {
            RC_ASSERT(of->size == installed);
            RC_ASSERT(of->chosen < of->needed);
        } else {
            RC_ASSERT(of->chosen >= of->needed);
            if (of->just_missed) RC_ASSERT(area(*of->just_missed) < of->needed);
        }
    }));
}

TEST_CASE(
    "a thicker circuit or a greater device never has a thinner grounding "
    "conductor") {
    REQUIRE(rc::check([] {
        const Metal metal = any_metal();
        const WireSize minimum = any_wire();
        WireSize installed = any_wire();
        Amps device(*rc::gen::inRange(1, 1201));
        const auto before = grounding_conductor(metal, device, minimum, installed);
        if (*rc::gen::arbitrary<bool>()) {
            installed = std::max(installed, any_wire());
        } else {
            device = std::max(device, Amps(*rc::gen::inRange(1, 1201)));
        }
        RC_ASSERT(grounding_conductor(metal, device, minimum, installed)->size >= before->size);
    }));
}

TEST_CASE("more current, a longer run or a thinner wire never loses less") {
    REQUIRE(rc::check([] {
        const RunSupply supply = any_supply();
        const int form = *rc::gen::inRange(0, 3);
        const Metal metal = any_metal();
        const WireSize size = any_wire(WireSize::awg4_0);
        const Amps current(*rc::gen::inRange(1, 3200) / 10.0);
        const Feet length(*rc::gen::inRange(1, 50'000) / 10.0);
        const auto before = any_form(form, metal, size, supply, length, current);
        const auto after = any_form(form, metal, std::min(size, any_wire()), supply,
                                    length + Feet(*rc::gen::inRange(0, 1000) / 10.0),
                                    current + Amps(*rc::gen::inRange(0, 500) / 10.0));
        if (!before || !after) return;  // aluminium of 14 AWG is not in table 9
        RC_ASSERT(after->drop >= before->drop);
        RC_ASSERT(after->percent >= before->percent);
        RC_ASSERT(after->loss >= before->loss);
    }));
}

TEST_CASE(
    "the longest run of North American wire loses what is allowed and a "
    "longer one more") {
    REQUIRE(rc::check([] {
        const RunSupply supply = any_supply();
        const Amps current(*rc::gen::inRange(1, 3200) / 10.0);
        const auto ohms = *dc_resistance(any_metal(), Build::stranded, any_wire(WireSize::awg4_0));
        const Percent limit(*rc::gen::inRange(1, 100) / 10.0);
        const Feet run = longest_run(ohms, supply, current, limit);
        RC_ASSERT(run_drop(ohms, supply, run, current).percent.count() <= limit.count() * (1 + 1e-12));
        RC_ASSERT(run_drop(ohms, supply, run * 1.000001, current).percent > limit);
    }));
}
