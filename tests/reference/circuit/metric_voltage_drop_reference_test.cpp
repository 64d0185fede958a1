// Voltage drop and resistance as tables print them.
#include "core/circuit/metric_voltage_drop.hpp"
#include "reference/circuit/metric_text_table.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;
using tests::text_table;

namespace {

constexpr MetricSupply kSingle{};
DropPerMetre per_metre(double value) { return {MilliohmsPerMetre(value), Evidence::one_source}; }

}  // namespace

// PVC: "Basic Electrical Installation Work" pp. 300-301 (copy at zdroje.elektrika.cz); 2.5 and 10 mm² also
// voltdropcalc.com. 90 °C: cse-distributors.co.uk (4E1B, 4E4B), electric-center.co.uk catalogue EC2425 p.
// 488.
TEST_CASE("drops per ampere and metre are those printed", "[check:bs-drop-tables]") {
    const auto rows = text_table(
        "mm2  pvc1  pvc3 xlpe1 xlpe3\n"
        "1.0    44    38     -     -\n"
        "1.5    29    25    31    27\n"
        "2.5    18    15    19    16\n"
        "4      11   9.5    12    10\n"
        "6     7.3   6.4   7.9   6.8\n"
        "10    4.4   3.8   4.7   4.0\n"
        "16    2.8   2.4   2.9   2.5\n"
        "25   1.75  1.50  1.90  1.65\n"
        "35   1.25  1.10  1.35  1.15\n");
    CHECK(rows.size() == 9);
    for (const auto& row : rows) {
        for (const auto& [name, value] : row.cells) {
            INFO(name << ", " << row.key << " mm²");
            const auto found = tabulated_drop(
                name.starts_with("pvc") ? Insulation::pvc_70 : Insulation::xlpe_90,
                name.ends_with("1") ? Phases::single : Phases::three, SquareMillimetres(row.key));
            CHECK((found ? found->value.count() : -1) == value.value_or(-1));
        }
    }
}

// IEC 60228: uecables.com/471, kabelmetal-indonesia.com.
TEST_CASE("resistances at 20 °C are those printed", "[check:iec-60228-resistance]") {
    const auto rows = text_table(
        "mm2 copper aluminium flexible\n"
        "1    18.1     -      -\n"
        "1.5  12.1     -     13.3\n"
        "2.5  7.41     -     7.98\n"
        "4    4.61     -     4.95\n"
        "6    3.08     -     3.30\n"
        "10   1.83    3.08   1.91\n"
        "16   1.15    1.91   1.21\n"
        "25   0.727   1.20   0.780\n"
        "35   0.524   0.868  0.554\n"
        "50   0.387    -      -\n");
    CHECK(rows.size() == 10);
    const std::map<std::string, ConductorClass> named{{"copper", ConductorClass::copper},
                                                      {"aluminium", ConductorClass::aluminium},
                                                      {"flexible", ConductorClass::copper_flexible}};
    for (const auto& row : rows) {
        for (const auto& [name, value] : row.cells) {
            INFO(name << ", " << row.key << " mm²");
            const auto found = resistance_at_20(named.at(name), SquareMillimetres(row.key));
            CHECK((found ? found->count() : -1) == value.value_or(-1));
        }
    }
}

// The two tables agree within their rounding: 2 R at 70 or 90 °C against mV/A/m.
TEST_CASE("resistance at the conductor's temperature gives the printed drop within 2 %",
          "[check:resistance-against-drop]") {
    struct Row {
        double size, temperature, recomputed, printed;
    };
    for (const Row row :
         {Row{6, 70, 7.37, 7.3}, Row{10, 70, 4.38, 4.4}, Row{16, 70, 2.75, 2.8}, Row{6, 90, 7.85, 7.9}}) {
        INFO(row.size << " mm² at " << row.temperature << " °C");
        const auto cold = resistance_at_20(ConductorClass::copper, SquareMillimetres(row.size));
        const auto hot = resistance_at(*cold, ConductorClass::copper, Celsius(row.temperature));
        const double drop = drop_of_resistance(hot, Phases::single).count();
        CHECK(drop == Approx(row.recomputed).margin(0.005));
        CHECK(drop == Approx(row.printed).epsilon(0.02));
    }
}

// mV/A/m method by hand: 32 A over 25 m.
TEST_CASE("32 A over 25 m drops as the tables give by hand", "[check:drop-32-a-25-m]") {
    struct Row {
        double per_metre, volts, percent;
    };
    for (const Row row :
         {Row{7.3, 5.84, 2.54}, Row{4.4, 3.52, 1.53}, Row{7.9, 6.32, 2.75}, Row{2.8, 2.24, 0.97}}) {
        INFO(row.per_metre << " mV/A/m");
        const MetricDrop drop = drop_over(per_metre(row.per_metre), kSingle, Metres(25), Amps(32));
        CHECK(drop.drop.count() == Approx(row.volts).margin(1e-9));
        CHECK(drop.percent.count() == Approx(row.percent).margin(0.005));
    }
}

// The same tables by hand: 5 % of 230 V is 11.5 V, 3 % is 6.9 V.
TEST_CASE("the longest runs at 32 A are those worked out by hand", "[check:longest-runs]") {
    struct Row {
        double per_metre, percent, metres;
    };
    for (const Row row : {Row{7.3, 5, 49.2}, Row{7.9, 5, 45.5}, Row{4.4, 5, 81.7}, Row{7.3, 3, 29.5},
                          Row{7.9, 3, 27.3}, Row{4.4, 3, 49.0}}) {
        INFO(row.per_metre << " mV/A/m, " << row.percent << " %");
        CHECK(longest_run(per_metre(row.per_metre), kSingle, Amps(32), Percent(row.percent)).count() ==
              Approx(row.metres).margin(0.05));
    }
}

// A page's example (address not kept): 5 kW at 230 V over 40 m with its own resistances; 2 I L R.
TEST_CASE("5 kW over 40 m drops as printed", "[check:drop-5-kw-40-m]") {
    struct Row {
        double resistance, volts, percent;
    };
    for (const Row row : {Row{8.91, 15.5, 6.7}, Row{5.62, 9.77, 4.25}, Row{3.71, 6.45, 2.8}}) {
        INFO(row.resistance << " Ω/km");
        const auto both = drop_of_resistance(MilliohmsPerMetre(row.resistance), Phases::single);
        const MetricDrop drop =
            drop_over({both, Evidence::one_source}, kSingle, Metres(40), Amps(5000.0 / 230));
        CHECK(drop.drop.count() == Approx(row.volts).margin(0.01));
        CHECK(drop.percent.count() == Approx(row.percent).margin(0.05));
    }
}

// IEC 60364-5-52 G.52.1, BS 7671 4Ab: "Basic Electrical Installation Work", voltdropcalc.com,
// cabledatasheet.com.
TEST_CASE("limits of drop are those printed", "[check:drop-limits]") {
    const auto limit = [](DropUse use, SupplyOrigin origin) { return drop_limit(use, origin, Metres(20)); };
    CHECK(limit(DropUse::lighting, SupplyOrigin::public_network) == Percent(3));
    CHECK(limit(DropUse::other, SupplyOrigin::public_network) == Percent(5));
    CHECK(limit(DropUse::lighting, SupplyOrigin::private_source) == Percent(6));
    CHECK(limit(DropUse::other, SupplyOrigin::private_source) == Percent(8));
    CHECK(drop_limit(DropUse::other, SupplyOrigin::public_network, Metres(160)).count() == Approx(5.3));
    CHECK(drop_limit(DropUse::lighting, SupplyOrigin::public_network, Metres(300)).count() == Approx(3.5));
}
