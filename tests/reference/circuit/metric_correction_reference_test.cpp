// Factors of the surroundings, cell by cell.
#include "core/circuit/metric_cable.hpp"
#include "core/circuit/metric_correction_tables.hpp"
#include "reference/circuit/metric_text_table.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;
using tests::text_table;

namespace {

double value(const std::optional<TableFactor>& factor) { return factor ? factor->value : -1; }

}  // namespace

// IEC 60364-5-52:2009 B.52.14 and B.52.15: a transcription in public source code; air also in compressor
// manuals on easymanua.ls, ground also in the BS 7671 copy scribd.com/document/344602377.
TEST_CASE("ambient factors are those printed", "[check:iec-ambient-factors]") {
    const auto rows = text_table(
        "C   air-pvc air-xlpe ground-pvc ground-xlpe\n"
        "10    1.22    1.15     1.10       1.07\n"
        "15    1.17    1.12     1.05       1.04\n"
        "20    1.12    1.08     1.00       1.00\n"
        "25    1.06    1.04     0.95       0.96\n"
        "30    1.00    1.00     0.89       0.93\n"
        "35    0.94    0.96     0.84       0.89\n"
        "40    0.87    0.91     0.77       0.85\n"
        "45    0.79    0.87     0.71       0.80\n"
        "50    0.71    0.82     0.63       0.76\n"
        "55    0.61    0.76     0.55       0.71\n"
        "60    0.50    0.71     0.45       0.65\n"
        "65       -    0.65        -       0.60\n"
        "70       -    0.58        -       0.53\n"
        "75       -    0.50        -       0.46\n"
        "80       -    0.41        -       0.38\n");
    CHECK(rows.size() == 15);
    for (const auto& row : rows) {
        for (const auto& [name, factor] : row.cells) {
            INFO(name << " at " << row.key << " °C");
            const auto insulated = name.ends_with("pvc") ? Insulation::pvc_70 : Insulation::xlpe_90;
            const bool ground = name.starts_with("ground");
            CHECK(value(iec_ambient_factor(insulated, ground, Celsius(row.key))) == factor.value_or(-1));
            if (!ground && row.key <= 25) continue;
            CHECK(value(bs_ambient_factor(insulated, ground, Celsius(row.key))) == factor.value_or(-1));
        }
    }
}

// BS 7671 4B1 at 25 °C: scribd.com/document/344602377, alone.
TEST_CASE("at 25 °C BS 7671 gives less than IEC", "[check:bs-ambient-25]") {
    CHECK(value(bs_ambient_factor(Insulation::pvc_70, false, Celsius(25))) == 1.03);
    CHECK(value(bs_ambient_factor(Insulation::xlpe_90, false, Celsius(25))) == 1.02);
    CHECK(bs_ambient_factor(Insulation::pvc_70, false, Celsius(25))->evidence == Evidence::one_source);
}

// IEC 60364-5-52:2009 B.52.17, BS 7671 4C1: fliphtml5.com copy of a guide to the 17th edition, p. 60, and the
// transcription. In the ground, B.52.18 and B.52.19 touching: the transcription alone.
TEST_CASE("grouping factors are those printed", "[check:iec-grouping-factors]") {
    const auto rows = text_table(
        "circuits bunched wall tray direct ducts\n"
        " 1        1       1    1     1     1\n"
        " 2       0.80   0.85 0.88  0.75  0.85\n"
        " 3       0.70   0.79 0.82  0.65  0.75\n"
        " 4       0.65   0.75 0.77  0.60  0.70\n"
        " 5       0.60   0.73 0.75  0.55  0.65\n"
        " 6       0.57   0.72 0.73  0.50  0.60\n"
        " 7       0.54   0.72 0.73   -     -\n"
        " 8       0.52   0.71 0.72   -     -\n"
        " 9       0.50   0.70 0.72   -     -\n"
        "12       0.45   0.70  -     -     -\n"
        "16       0.41   0.70  -     -     -\n"
        "20       0.38   0.70  -     -     -\n"
        "21        -      -    -     -     -\n");
    CHECK(rows.size() == 13);
    const std::map<std::string, Grouping> named{{"bunched", Grouping::enclosed},
                                                {"wall", Grouping::single_layer_wall},
                                                {"tray", Grouping::single_layer_tray},
                                                {"direct", Grouping::direct_in_ground},
                                                {"ducts", Grouping::ducts_in_ground}};
    for (const auto& row : rows) {
        for (const auto& [name, factor] : row.cells) {
            INFO(row.key << " circuits, " << name);
            CHECK(value(grouping_factor(named.at(name), static_cast<int>(row.key))) == factor.value_or(-1));
        }
    }
}

// IEC 60364-5-52:2009 B.52.16: the transcription alone.
TEST_CASE("soil factors are those printed", "[check:iec-soil-factors]") {
    const auto rows = text_table(
        "Km/W ducts direct\n"
        "0.5  1.28  1.88\n"
        "0.7  1.20  1.62\n"
        "1    1.18  1.50\n"
        "1.5  1.10  1.28\n"
        "2    1.05  1.12\n"
        "2.5  1     1\n"
        "3    0.96  0.90\n"
        "3.1   -     -\n");
    CHECK(rows.size() == 8);
    for (const auto& row : rows) {
        INFO(row.key << " K·m/W");
        const KelvinMetresPerWatt soil(row.key);
        CHECK(value(soil_factor(Grouping::ducts_in_ground, soil)) == row.cells.at("ducts").value_or(-1));
        CHECK(value(soil_factor(Grouping::direct_in_ground, soil)) == row.cells.at("direct").value_or(-1));
    }
}
