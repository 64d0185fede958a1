// Ampacities and what changes them, cell by cell.
#include "core/circuit/ampacity_tables.hpp"
#include "reference/circuit/metric_text_table.hpp"
#include "reference/circuit/wire_text_table.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;
using enum Column;
using enum Metal;

namespace {

constexpr std::array kColumns{c60, c75, c90};

// -1 where the table has none.
double ampacity(Metal metal, WireSize size, Column column) {
    const auto found = tabulated_ampacity(metal, size, column);
    return found ? found->ampacity.count() : -1;
}

// Of columns copper 60 75 90, aluminium 60 75 90; how many cells were held.
int hold(const std::string& table, Evidence evidence) {
    int cells = 0;
    for (const auto& row : tests::wire_table(table)) {
        INFO(name(row.size));
        REQUIRE(row.cells.size() == 6);
        for (std::size_t i = 0; i < 6; ++i) {
            const Metal metal = i < 3 ? copper : aluminium;
            CHECK(ampacity(metal, row.size, kColumns[i % 3]) == row.cells[i].value_or(-1));
            if (!row.cells[i]) continue;
            CHECK(tabulated_ampacity(metal, row.size, kColumns[i % 3])->evidence == evidence);
            ++cells;
        }
    }
    return cells;
}

}  // namespace

// NEC 310.16 as IRC E3705.1: up.codes/s/conductor-sizing-and-overcurrent-protection (2021),
// online.flipbuilder.com/mewf/mima (2018, page 742).
TEST_CASE("ampacities to 4/0 are those of 310.16", "[check:nec-ampacities]") {
    const int cells = hold(
        "14   15  20  25    -   -   -\n"
        "12   20  25  30   15  20  25\n"
        "10   30  35  40   25  30  35\n"
        "8    40  50  55   35  40  45\n"
        "6    55  65  75   40  50  55\n"
        "4    70  85  95   55  65  75\n"
        "3    85 100 115   65  75  85\n"
        "2    95 115 130   75  90 100\n"
        "1   110 130 145   85 100 115\n"
        "1/0 125 150 170  100 120 135\n"
        "2/0 145 175 195  115 135 150\n"
        "3/0 165 200 225  130 155 175\n"
        "4/0 195 230 260  150 180 205\n",
        Evidence::two_sources);
    CHECK(cells == 75);
}

// C22.1:24 tables 2 and 4: a public transcription (research notes; repository name not kept), alone.
TEST_CASE("ampacities from 250 kcmil are those of tables 2 and 4", "[check:cec-ampacities-kcmil]") {
    const int cells = hold(
        "250 215 255 290  170 205 230\n"
        "300 240 285 320  195 230 260\n"
        "350 260 310 350  210 250 280\n"
        "400 280 335 380  225 270 305\n"
        "500 320 380 430  260 310 350\n",
        Evidence::one_source);
    CHECK(cells == 30);
}

// C22.1 tables 2 and 4, 60 °C: celtex.ca/copper-aluminum-wire-ampacity-charts.
TEST_CASE("the Canadian 60 °C column is the same", "[check:cec-ampacities-60]") {
    for (const auto& row : tests::wire_table("14 15  -\n"
                                             "12 20 15\n"
                                             "10 30 25\n"
                                             "8  40 35\n"
                                             "6  55 40\n"
                                             "4  70 55\n"
                                             "3  85 65\n")) {
        INFO(name(row.size));
        CHECK(ampacity(copper, row.size, c60) == row.cells[0]);
        CHECK(ampacity(aluminium, row.size, c60) == row.cells[1].value_or(-1));
    }
}

// Editions before 2011: ask-the-electrician.com/national-electrical-code-nec-table310-16.html. C22.1-12: the
// transcription of C22.1:24 names the cells that changed since.
TEST_CASE("ampacities of old editions are not ours", "[check:old-ampacities]") {
    struct Cell {
        Metal metal;
        WireSize size;
        Column column;
        double printed_then;
    };
    for (const Cell cell :
         {Cell{copper, WireSize::awg14, c60, 20}, Cell{copper, WireSize::awg12, c60, 25},
          Cell{copper, WireSize::awg3, c90, 110}, Cell{copper, WireSize::awg1, c90, 150},
          Cell{aluminium, WireSize::awg12, c60, 20}, Cell{aluminium, WireSize::awg8, c60, 30},
          Cell{aluminium, WireSize::awg6, c90, 60}}) {
        INFO(name(cell.size) << " printed " << cell.printed_then);
        CHECK(ampacity(cell.metal, cell.size, cell.column) > 0);
        CHECK(ampacity(cell.metal, cell.size, cell.column) != cell.printed_then);
    }
}

// IRC E3705.2: up.codes/s/correction-factor-for-ambient-temperatures (2021), online.flipbuilder.com (2018).
TEST_CASE("ambient correction is that of the 30 °C table", "[check:nec-ambient-correction]") {
    const auto rows = tests::text_table(
        "to  60   75   90\n"
        "10 1.29 1.20 1.15\n"
        "15 1.22 1.15 1.12\n"
        "20 1.15 1.11 1.08\n"
        "25 1.08 1.05 1.04\n"
        "30 1.00 1.00 1.00\n"
        "35 0.91 0.94 0.96\n"
        "40 0.82 0.88 0.91\n"
        "45 0.71 0.82 0.87\n"
        "50 0.58 0.75 0.82\n"
        "55 0.41 0.67 0.76\n"
        "60   -  0.58 0.71\n"
        "65   -  0.47 0.65\n"
        "70   -  0.33 0.58\n"
        "75   -   -   0.50\n"
        "80   -   -   0.41\n"
        "85   -   -   0.29\n"
        "86   -   -    -\n");
    CHECK(rows.size() == 17);
    for (const auto& row : rows) {
        INFO(row.key << " °C");
        for (const double at : {row.key, row.key == 86 ? 85.5 : row.key - 4}) {
            CHECK(ambient_correction(c60, Celsius(at)).value_or(-1) == row.cells.at("60").value_or(-1));
            CHECK(ambient_correction(c75, Celsius(at)).value_or(-1) == row.cells.at("75").value_or(-1));
            CHECK(ambient_correction(c90, Celsius(at)).value_or(-1) == row.cells.at("90").value_or(-1));
        }
    }
}

// The 40 °C table's 0.84: engineerboards.com/threads/nec-table-310-15-b-2-a-and-b.27269. One row for 61 to
// 70 °C: wiresizecalculator.net/tables/correctionfactors.htm.
TEST_CASE("ambient correction is not of the 40 °C table nor of old rows", "[check:other-corrections]") {
    CHECK(ambient_correction(c90, Celsius(55)) != 0.84);
    CHECK(ambient_correction(c75, Celsius(65)) != 0.33);
    CHECK(ambient_correction(c90, Celsius(65)) != 0.58);
    CHECK(ambient_correction(c90, Celsius(75)) != 0.41);
}

// buildmyowncabin.com/nec (NEC 2014 table 310.15(B)(3)(a)),
// voltagelab.com/table-310-15b3a-adjustment-factors.
TEST_CASE("adjustment for many conductors is that of the table", "[check:nec-conductor-adjustment]") {
    struct Row {
        int from, to;
        double factor;
    };
    for (const Row row : {Row{1, 3, 1}, Row{4, 6, 0.80}, Row{7, 9, 0.70}, Row{10, 20, 0.50},
                          Row{21, 30, 0.45}, Row{31, 40, 0.40}, Row{41, 200, 0.35}}) {
        for (int conductors = row.from; conductors <= row.to; ++conductors)
            CHECK(conductor_adjustment(conductors) == row.factor);
    }
}

// voltagelab.com and tradehub.tools (310.15(C)(1)); wiresizes.com/guides/nec-table-310-16.
TEST_CASE("derated ampacities are those printed", "[check:derated-ampacities]") {
    // Nine of 12 AWG THHN.
    CHECK(conductor_adjustment(9) * ampacity(copper, WireSize::awg12, c90) == Approx(21));
    // 12 AWG, 75 °C, at 40 °C.
    CHECK(*ambient_correction(c75, Celsius(40)) * ampacity(copper, WireSize::awg12, c75) == Approx(22));
}

// NEC 240.4(D): encorewire.com wire size table,
// tradehub.tools/resources/electrical/nec-240-4-d-small-conductor. C22.1 14-104(2): the transcription of
// C22.1:24, sparkshift.app/code/cec-rule-14-104.
TEST_CASE("small conductors have the devices of 240.4(D)", "[check:small-conductors]") {
    for (const auto& row : tests::wire_table("14 15  -\n"
                                             "12 20 15\n"
                                             "10 30 25\n"
                                             "8   -  -\n"
                                             "4/0 -  -\n"
                                             "500 -  -\n")) {
        INFO(name(row.size));
        CHECK(small_conductor_limit(copper, row.size).value_or(Amps(-1)).count() ==
              row.cells[0].value_or(-1));
        CHECK(small_conductor_limit(aluminium, row.size).value_or(Amps(-1)).count() ==
              row.cells[1].value_or(-1));
    }
}

// NEC 110.14(C)(1): tradehub.tools/resources/electrical/nec-110-14-c-terminal-temperature,
// xenforo.mikeholt.com post 1531828. C22.1 4-006: the transcription of C22.1:24 and a public set of
// examination questions.
TEST_CASE("unmarked terminals belong to 60 °C up to 100 A or 1 AWG", "[check:terminal-columns]") {
    using enum Terminals;
    CHECK(terminal_column(unmarked, Amps(100), WireSize::awg3) == c60);
    CHECK(terminal_column(unmarked, Amps(100), WireSize::awg1_0) == c60);
    CHECK(terminal_column(unmarked, Amps(110), WireSize::awg1) == c60);
    CHECK(terminal_column(unmarked, Amps(110), WireSize::awg1_0) == c75);
    CHECK(terminal_column(marked_75, Amps(20), WireSize::awg12) == c75);
    CHECK(terminal_column(marked_60, Amps(200), WireSize::awg4_0) == c60);
}
