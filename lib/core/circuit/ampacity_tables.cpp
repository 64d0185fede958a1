#include "core/circuit/ampacity_tables.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cstddef>

namespace lullwatt::circuit {
namespace {

struct AmpacityRow {
    std::array<double, 3> copper, aluminium;  // 60, 75, 90 °C; 0: the table has none
};

// clang-format off
// In the order of WireSize. To 4/0: NEC 310.16 as adopted in IRC E3705.1 of 2018 (flipbuilder.com) and 2021
// (up.codes). From 250 kcmil: a transcription of C22.1:24 that found no difference from 310.16; alone.
constexpr std::array<AmpacityRow, kWireSizes.size()> kAmpacities{{
    {{ 15,  20,  25}, {  0,   0,   0}},  // 14 AWG
    {{ 20,  25,  30}, { 15,  20,  25}},
    {{ 30,  35,  40}, { 25,  30,  35}},
    {{ 40,  50,  55}, { 35,  40,  45}},
    {{ 55,  65,  75}, { 40,  50,  55}},  // 6
    {{ 70,  85,  95}, { 55,  65,  75}},
    {{ 85, 100, 115}, { 65,  75,  85}},
    {{ 95, 115, 130}, { 75,  90, 100}},
    {{110, 130, 145}, { 85, 100, 115}},
    {{125, 150, 170}, {100, 120, 135}},  // 1/0
    {{145, 175, 195}, {115, 135, 150}},
    {{165, 200, 225}, {130, 155, 175}},
    {{195, 230, 260}, {150, 180, 205}},
    {{215, 255, 290}, {170, 205, 230}},  // 250 kcmil
    {{240, 285, 320}, {195, 230, 260}},
    {{260, 310, 350}, {210, 250, 280}},
    {{280, 335, 380}, {225, 270, 305}},
    {{320, 380, 430}, {260, 310, 350}},
}};
// clang-format on

struct Correction {
    double up_to;                   // °C
    std::array<double, 3> factors;  // 0: the table has none
};

// IRC 2021 E3705.2 (up.codes), IRC 2018 (flipbuilder.com). Another table, for a base of 40 °C, does not
// belong to 310.16.
constexpr std::array<Correction, 16> kCorrections{{
    {10, {1.29, 1.20, 1.15}},
    {15, {1.22, 1.15, 1.12}},
    {20, {1.15, 1.11, 1.08}},
    {25, {1.08, 1.05, 1.04}},
    {30, {1.00, 1.00, 1.00}},
    {35, {0.91, 0.94, 0.96}},
    {40, {0.82, 0.88, 0.91}},
    {45, {0.71, 0.82, 0.87}},
    {50, {0.58, 0.75, 0.82}},
    {55, {0.41, 0.67, 0.76}},
    {60, {0, 0.58, 0.71}},
    {65, {0, 0.47, 0.65}},
    {70, {0, 0.33, 0.58}},
    {75, {0, 0, 0.50}},
    {80, {0, 0, 0.41}},
    {85, {0, 0, 0.29}},
}};

std::optional<double> some(double cell) { return cell == 0 ? std::nullopt : std::optional(cell); }

}  // namespace

std::string_view ampacity_table(Code code, int edition, Metal metal) {
    if (code == Code::cec) return metal == Metal::copper ? "table 2" : "table 4";
    return edition < 2020 ? "310.15(B)(16)" : "310.16";
}

std::optional<TabulatedAmpacity> tabulated_ampacity(Metal metal, WireSize size, Column column) {
    const AmpacityRow& row = kAmpacities[static_cast<std::size_t>(size)];
    const auto& cells = metal == Metal::copper ? row.copper : row.aluminium;
    const auto amps = some(cells[static_cast<std::size_t>(column)]);
    if (!amps) return std::nullopt;
    const bool in_one_alone = size >= WireSize::kcmil250;
    return TabulatedAmpacity{Amps(*amps), in_one_alone ? Evidence::one_source : Evidence::two_sources};
}

std::optional<double> ambient_correction(Column column, Celsius ambient) {
    const auto row = std::ranges::find_if(
        kCorrections, [ambient](const Correction& candidate) { return ambient.count() <= candidate.up_to; });
    if (row == kCorrections.end()) return std::nullopt;
    return some(row->factors[static_cast<std::size_t>(column)]);
}

// buildmyowncabin.com (NEC 2014 310.15(B)(3)(a)), voltagelab.com (the same).
double conductor_adjustment(int conductors) {
    assert(conductors >= 1);
    if (conductors <= 3) return 1;
    if (conductors <= 6) return 0.80;
    if (conductors <= 9) return 0.70;
    if (conductors <= 20) return 0.50;
    if (conductors <= 30) return 0.45;
    if (conductors <= 40) return 0.40;
    return 0.35;
}

// encorewire.com wire size table, tradehub.tools (240.4(D)); C22.1:24 transcription (14-104(2)).
std::optional<Amps> small_conductor_limit(Metal metal, WireSize size) {
    const bool copper = metal == Metal::copper;
    if (size == WireSize::awg14 && copper) return Amps(15);
    if (size == WireSize::awg12) return Amps(copper ? 20 : 15);
    if (size == WireSize::awg10) return Amps(copper ? 30 : 25);
    return std::nullopt;
}

// tradehub.tools (110.14(C)); C22.1:24 transcription (4-006).
Column terminal_column(Terminals terminals, Amps device, WireSize size) {
    switch (terminals) {
        case Terminals::marked_60:
            return Column::c60;
        case Terminals::marked_75:
            return Column::c75;
        case Terminals::unmarked:
            break;
    }
    return device > Amps(100) && size > WireSize::awg1 ? Column::c75 : Column::c60;
}

}  // namespace lullwatt::circuit
