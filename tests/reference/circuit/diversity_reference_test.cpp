// Household diversity as the guides print it.
#include "core/circuit/diversity.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

namespace {

double demand(HouseholdUse use, std::vector<double> amps) {
    std::vector<HouseholdLoad> loads;
    for (const double current : amps) loads.push_back({.name = "load", .use = use, .current = Amps(current)});
    return household_demand(loads).total.count();
}

}  // namespace

// electriciansforums.net thread 28769: 16 kW at 240 V is 66.7 A, 27.0 A after diversity (the page cuts to 66
// A and prints 26.8, which does not follow from its 16 kW); a cooker of 30 A counts 16 A.
TEST_CASE("cookers count as printed", "[check:cooker-diversity]") {
    CHECK(demand(HouseholdUse::cooking, {16000.0 / 240}) == Approx(27.0).margin(0.05));
    CHECK(demand(HouseholdUse::cooking, {66}) == Approx(26.8));
    CHECK(demand(HouseholdUse::cooking, {30}) == Approx(16));
}

// IET On-Site Guide Table A2, Electricians' Guide Table 6.2: tlc-direct.co.uk/Figures/Tab6.2.htm,
// wiki.diyfaq.org.uk (Diversity). The rows' percentages, applied to 100 A and 3 × 10 A by hand.
TEST_CASE("rows count by their printed percentages", "[check:household-diversity]") {
    struct Row {
        HouseholdUse use;
        double of_100, of_three_tens;
    };
    using enum HouseholdUse;
    for (const Row row :
         {Row{lighting, 66, 19.8}, Row{heating_and_power, 55, 20}, Row{cooking, 37, 16},
          Row{instantaneous_water, 100, 22.5}, Row{without_diversity, 100, 30}, Row{final_circuit, 100, 18},
          Row{socket_or_fixed, 100, 18}, Row{charging_point, 100, 30}}) {
        INFO("row " << static_cast<int>(row.use));
        CHECK(demand(row.use, {100}) == Approx(row.of_100));
        CHECK(demand(row.use, {10, 10, 10}) == Approx(row.of_three_tens));
    }
    const std::vector<HouseholdLoad> with_socket{{"cooker", cooking, Amps(30), true}};
    CHECK(household_demand(with_socket).total.count() == Approx(21));
}

// elekrechner.com (guide to wall boxes), VDE-AR-N 4100: 4.6 kVA or 20 A between phases.
TEST_CASE("in Germany phases may differ by 20 A, 4.6 kVA at 230 V", "[check:german-unbalance]") {
    const auto check = check_unbalance({Amps(20), Amps(0), Amps(0)}, kGermanUnbalance, Volts(230));
    CHECK(check.within);
    CHECK(check.apparent == VoltAmperes(4600));
    CHECK_FALSE(check_unbalance({Amps(21), Amps(0), Amps(0)}, kGermanUnbalance, Volts(230)).within);
}
