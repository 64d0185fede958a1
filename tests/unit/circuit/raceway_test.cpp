#include "core/circuit/raceway.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

TEST_CASE("one conductor may take 53 %, two 31 %, more 40 % of a raceway") {
    const auto allowed = [](const ConductorMix& mix) {
        return raceway_fill(Raceway::emt, TradeSize::one, mix)->allowed.count();
    };
    CHECK(allowed({{1, WireSize::awg6}}) == Approx(0.864 * 0.53));
    CHECK(allowed({{2, WireSize::awg6}}) == Approx(0.864 * 0.31));
    CHECK(allowed({{1, WireSize::awg6}, {1, WireSize::awg10}}) == Approx(0.864 * 0.31));
    CHECK(allowed({{2, WireSize::awg6}, {1, WireSize::awg10}}) == Approx(0.864 * 0.40));  // printed as 0.346
}

TEST_CASE("new conductors fit with what is in the conduit already, or not") {
    // 48 A: two 6 AWG and a 10 AWG ground, 0.1225 sq in, through a 3/4 EMT of 0.213.
    const ConductorMix alone{{2, WireSize::awg6}, {1, WireSize::awg10}};
    CHECK(raceway_fill(Raceway::emt, TradeSize::three_quarters, alone)->fits());
    ConductorMix beside = alone;
    beside.push_back({6, WireSize::awg12});  // 0.0798 more
    CHECK(raceway_fill(Raceway::emt, TradeSize::three_quarters, beside)->fits());
    beside.push_back({1, WireSize::awg12});  // 0.2156 in all
    const auto fill = raceway_fill(Raceway::emt, TradeSize::three_quarters, beside);
    CHECK(fill->count == 10);
    CHECK(fill->area.count() == Approx(0.2156));
    CHECK_FALSE(fill->fits());
    CHECK(smallest_raceway(Raceway::emt, beside) == TradeSize::one);
}

TEST_CASE("three conductors of 0.1225 sq in miss a 1/2 conduit by the least") {
    const ConductorMix mix{{2, WireSize::awg6}, {1, WireSize::awg10}};
    CHECK_FALSE(raceway_fill(Raceway::emt, TradeSize::half, mix)->fits());  // 0.122
    CHECK(smallest_raceway(Raceway::emt, mix) == TradeSize::three_quarters);
}

TEST_CASE("a thin third conductor takes two thick ones to a smaller raceway, as table 1 has it") {
    CHECK(smallest_raceway(Raceway::emt, {{2, WireSize::awg6}}) == TradeSize::three_quarters);
    CHECK(smallest_raceway(Raceway::emt, {{2, WireSize::awg6}, {1, WireSize::awg14}}) == TradeSize::half);
}

TEST_CASE("the walls of PVC take room") {
    const ConductorMix mix{{3, WireSize::awg8}};  // 0.1098
    CHECK(smallest_raceway(Raceway::emt, mix) == TradeSize::half);
    CHECK(smallest_raceway(Raceway::pvc_40, mix) == TradeSize::half);
    CHECK(smallest_raceway(Raceway::pvc_80, mix) == TradeSize::three_quarters);
}

TEST_CASE("the most conductors of one size") {
    CHECK(most_conductors(Raceway::pvc_80, TradeSize::half, WireSize::awg6) == 1);
    CHECK(most_conductors(Raceway::emt, TradeSize::half, WireSize::awg1) == 1);
    CHECK(most_conductors(Raceway::emt, TradeSize::half, WireSize::awg4_0) == 0);
    CHECK(most_conductors(Raceway::emt, TradeSize::two, WireSize::awg4_0) == 4);
}

TEST_CASE("a conductor that table 5 lacks is not judged") {
    const ConductorMix mix{{2, WireSize::awg6}, {1, WireSize::kcmil250}};
    CHECK_FALSE(raceway_fill(Raceway::emt, TradeSize::two, mix));
    CHECK_FALSE(smallest_raceway(Raceway::emt, mix));
    CHECK_FALSE(most_conductors(Raceway::emt, TradeSize::two, WireSize::kcmil250));
}

TEST_CASE("what no raceway holds has none") {
    CHECK_FALSE(smallest_raceway(Raceway::emt, {{5, WireSize::awg4_0}}));
}
