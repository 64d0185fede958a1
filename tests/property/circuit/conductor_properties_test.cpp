// Properties of every conductor's judgement, on random circuits (seeds fixed;
// printed on failure).
#include <algorithm>
#include <rapidcheck.h>

#include "core/circuit/conductor.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

namespace {

template <class Enum>
Enum any(int values) {
    return static_cast<Enum>(*rc::gen::inRange(0, values));
}

// Tenths, so that currents fall on, just below and just above the tables'
// figures.
Amps any_current() { return Amps(*rc::gen::inRange(10, 1600) / 10.0); }

ConductorCase any_case() {
    ConductorCase circuit;
    circuit.code = *rc::gen::inRange(0, 4) == 0 ? Code::cec : Code::nec;
    circuit.edition = circuit.code == Code::cec ? 2024 : *rc::gen::element(2017, 2020, 2023);
    circuit.continuous = any_current();
    circuit.device_type = any<OvercurrentDevice>(2);
    circuit.device = *least_device(2023, circuit.device_type, circuit.continuous);
    circuit.metal = any<Metal>(2);
    circuit.wiring = any<Wiring>(6);
    circuit.terminals = any<Terminals>(3);
    circuit.several_receptacles = *rc::gen::arbitrary<bool>();
    if (circuit.code == Code::cec) {
        circuit.entered_factor = *rc::gen::inRange(30, 101) / 100.0;
    } else {
        circuit.ambient = Celsius(*rc::gen::inRange(-100, 700) / 10.0);
        circuit.conductors = *rc::gen::inRange(1, 25);
    }
    return circuit;
}

// Beyond all sizes where none suits.
int rank(const ConductorCase& circuit) {
    const auto size = smallest_conductor(circuit);
    return size ? static_cast<int>(*size) : static_cast<int>(kWireSizes.size());
}

// The smallest that suits or one of the next, so that most cases have something
// to say.
WireSize size_near(const ConductorCase& circuit) {
    const int size = rank(circuit) + *rc::gen::inRange(-1, 3);
    return static_cast<WireSize>(std::clamp(size, 0, static_cast<int>(kWireSizes.size()) - 1));
}

}  // namespace

TEST_CASE("more current never asks for a smaller conductor") {
    REQUIRE(rc::check([] {
        const ConductorCase less = any_case();
        ConductorCase more = less;
        more.continuous += any_current();
        RC_ASSERT(rank(more) >= rank(less));  // behind the same device
        more.device = *least_device(2023, more.device_type, more.continuous);
        RC_ASSERT(rank(more) >= rank(less));
    }));
}

TEST_CASE("a larger device never asks for a smaller conductor") {
    REQUIRE(rc::check([] {
        const ConductorCase less = any_case();
        ConductorCase more = less;
        more.device += any_current();
        RC_ASSERT(rank(more) >= rank(less));
    }));
}

TEST_CASE("a hotter place never asks for a smaller conductor") {
    REQUIRE(rc::check([] {
        const ConductorCase cooler = any_case();
        ConductorCase hotter = cooler;
        hotter.ambient += Celsius(*rc::gen::inRange(1, 500) / 10.0);
        RC_ASSERT(rank(hotter) >= rank(cooler));
    }));
}

TEST_CASE("more conductors together never ask for a smaller one") {
    REQUIRE(rc::check([] {
        const ConductorCase fewer = any_case();
        ConductorCase more = fewer;
        more.conductors += *rc::gen::inRange(1, 40);
        RC_ASSERT(rank(more) >= rank(fewer));
    }));
}

TEST_CASE("a lower entered factor never asks for a smaller conductor") {
    REQUIRE(rc::check([] {
        ConductorCase higher = any_case();
        higher.entered_factor = *rc::gen::inRange(30, 101) / 100.0;
        ConductorCase lower = higher;
        lower.entered_factor = *higher.entered_factor * *rc::gen::inRange(50, 100) / 100.0;
        RC_ASSERT(rank(lower) >= rank(higher));
    }));
}

TEST_CASE("above the smallest conductor that suits, all that can be judged suit") {
    REQUIRE(rc::check([] {
        const ConductorCase circuit = any_case();
        for (const WireSize size : kWireSizes) {
            if (static_cast<int>(size) < rank(circuit)) continue;
            const auto judged = judge_conductor(circuit, size);
            RC_ASSERT(judged.suits() || !judged.lacks.empty());
        }
    }));
}

TEST_CASE(
    "a conductor that suits carries what every rule asks, with nothing "
    "rounded") {
    REQUIRE(rc::check([] {
        const ConductorCase circuit = any_case();
        const WireSize size = size_near(circuit);
        const auto judged = judge_conductor(circuit, size);
        if (!judged.suits()) return;
        const double tiny = 1e-8;
        const double continuous = circuit.continuous.count();
        const double ampacity = judged.tabulated->ampacity.count();
        RC_ASSERT(1.25 * continuous <= ampacity + tiny);
        RC_ASSERT(1.25 * continuous <= circuit.device.count() + tiny);
        RC_ASSERT(continuous <= judged.corrected->count() + tiny);
        RC_ASSERT(judged.corrected->count() <= ampacity);
        if (circuit.wiring == Wiring::nm_b)
            RC_ASSERT(ampacity == tabulated_ampacity(circuit.metal, size, Column::c60)->ampacity.count());
        const bool within = circuit.device.count() <= judged.corrected->count() + tiny;
        RC_ASSERT(judged.rounded_up != within);
        if (!within) {
            RC_ASSERT(circuit.code == Code::nec && !circuit.several_receptacles);
            for (const Amps rating : standard_ratings(circuit.edition, circuit.device_type))
                RC_ASSERT(rating >= circuit.device || rating < *judged.corrected);
        }
    }));
}

TEST_CASE("a thousandth of an ampere too much is refused") {
    REQUIRE(rc::check([] {
        ConductorCase circuit = any_case();
        const WireSize size = size_near(circuit);
        const auto before = judge_conductor(circuit, size);
        if (!before.suits()) return;
        circuit.continuous = before.tabulated->ampacity / 1.25;
        RC_ASSERT(judge_conductor(circuit, size).find(ConductorRule::before_correction)->met);
        circuit.continuous += Amps(0.001);
        RC_ASSERT(!judge_conductor(circuit, size).find(ConductorRule::before_correction)->met);
        circuit.continuous = *before.corrected + Amps(0.001);
        RC_ASSERT(!judge_conductor(circuit, size).find(ConductorRule::after_correction)->met);
    }));
}

TEST_CASE("a refusal names what is not met or what is lacking") {
    REQUIRE(rc::check([] {
        ConductorCase circuit = any_case();
        circuit.continuous = any_current();
        const auto judged = judge_conductor(circuit, any<WireSize>(static_cast<int>(kWireSizes.size())));
        RC_ASSERT(judged.suits() == (judged.lacks.empty() && judged.unmet().empty()));
        for (const auto& outcome : judged.outcomes)
            RC_ASSERT(outcome.met == (outcome.current.count() <= outcome.limit.count() + 1e-9));
        for (const auto rule : judged.unmet())
            RC_ASSERT(judged.find(rule)->current > judged.find(rule)->limit);
        // What is judged in part only has a lack for it.
        if (!judged.find(ConductorRule::protection)) RC_ASSERT(!judged.lacks.empty());
    }));
}
