#include "core/circuit/metric_correction_tables.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <span>

namespace lullwatt::circuit {
namespace {

using enum Evidence;

struct Cell {
    double up_to;  // °C, circuits or K·m/W
    double factor;
};

// IEC 60364-5-52:2009 B.52.14 (air, 30 °C) and B.52.15 (ground, 20 °C), in two copies each.
constexpr std::array<Cell, 11> kAirPvc{{{10, 1.22},
                                        {15, 1.17},
                                        {20, 1.12},
                                        {25, 1.06},
                                        {30, 1.00},
                                        {35, 0.94},
                                        {40, 0.87},
                                        {45, 0.79},
                                        {50, 0.71},
                                        {55, 0.61},
                                        {60, 0.50}}};
constexpr std::array<Cell, 15> kAirXlpe{{{10, 1.15},
                                         {15, 1.12},
                                         {20, 1.08},
                                         {25, 1.04},
                                         {30, 1.00},
                                         {35, 0.96},
                                         {40, 0.91},
                                         {45, 0.87},
                                         {50, 0.82},
                                         {55, 0.76},
                                         {60, 0.71},
                                         {65, 0.65},
                                         {70, 0.58},
                                         {75, 0.50},
                                         {80, 0.41}}};
constexpr std::array<Cell, 11> kGroundPvc{{{10, 1.10},
                                           {15, 1.05},
                                           {20, 1.00},
                                           {25, 0.95},
                                           {30, 0.89},
                                           {35, 0.84},
                                           {40, 0.77},
                                           {45, 0.71},
                                           {50, 0.63},
                                           {55, 0.55},
                                           {60, 0.45}}};
constexpr std::array<Cell, 15> kGroundXlpe{{{10, 1.07},
                                            {15, 1.04},
                                            {20, 1.00},
                                            {25, 0.96},
                                            {30, 0.93},
                                            {35, 0.89},
                                            {40, 0.85},
                                            {45, 0.80},
                                            {50, 0.76},
                                            {55, 0.71},
                                            {60, 0.65},
                                            {65, 0.60},
                                            {70, 0.53},
                                            {75, 0.46},
                                            {80, 0.38}}};
constexpr Celsius kBsColdest{25};  // BS 7671 4B1 as seen begins there

// B.52.17, in two copies. From nine circuits on a wall none lessens it further; the tray's row ends at nine.
constexpr std::array<Cell, 12> kEnclosed{{{1, 1.00},
                                          {2, 0.80},
                                          {3, 0.70},
                                          {4, 0.65},
                                          {5, 0.60},
                                          {6, 0.57},
                                          {7, 0.54},
                                          {8, 0.52},
                                          {9, 0.50},
                                          {12, 0.45},
                                          {16, 0.41},
                                          {20, 0.38}}};
constexpr std::array<Cell, 12> kWall{{{1, 1.00},
                                      {2, 0.85},
                                      {3, 0.79},
                                      {4, 0.75},
                                      {5, 0.73},
                                      {6, 0.72},
                                      {7, 0.72},
                                      {8, 0.71},
                                      {9, 0.70},
                                      {12, 0.70},
                                      {16, 0.70},
                                      {20, 0.70}}};
constexpr std::array<Cell, 9> kTray{
    {{1, 1.00}, {2, 0.88}, {3, 0.82}, {4, 0.77}, {5, 0.75}, {6, 0.73}, {7, 0.73}, {8, 0.72}, {9, 0.72}}};
// B.52.18 and B.52.19, touching, in one transcription.
constexpr std::array<Cell, 6> kDirect{{{1, 1.00}, {2, 0.75}, {3, 0.65}, {4, 0.60}, {5, 0.55}, {6, 0.50}}};
constexpr std::array<Cell, 6> kDucts{{{1, 1.00}, {2, 0.85}, {3, 0.75}, {4, 0.70}, {5, 0.65}, {6, 0.60}}};
// B.52.16, in one transcription.
constexpr std::array<Cell, 7> kSoilDucts{
    {{0.5, 1.28}, {0.7, 1.20}, {1, 1.18}, {1.5, 1.10}, {2, 1.05}, {2.5, 1.00}, {3, 0.96}}};
constexpr std::array<Cell, 7> kSoilDirect{
    {{0.5, 1.88}, {0.7, 1.62}, {1, 1.50}, {1.5, 1.28}, {2, 1.12}, {2.5, 1.00}, {3, 0.90}}};

std::optional<TableFactor> look_up(std::span<const Cell> cells, double wanted, Evidence evidence) {
    const auto cell = std::ranges::find_if(cells, [wanted](const Cell& at) { return wanted <= at.up_to; });
    if (cell == cells.end()) return std::nullopt;
    return TableFactor{cell->factor, evidence};
}

std::span<const Cell> ambient_cells(Insulation insulation, bool in_ground) {
    if (insulation == Insulation::pvc_70) return in_ground ? std::span<const Cell>(kGroundPvc) : kAirPvc;
    return in_ground ? std::span<const Cell>(kGroundXlpe) : kAirXlpe;
}

}  // namespace

std::optional<TableFactor> iec_ambient_factor(Insulation insulation, bool in_ground, Celsius ambient) {
    return look_up(ambient_cells(insulation, in_ground), ambient.count(), two_sources);
}

std::optional<TableFactor> bs_ambient_factor(Insulation insulation, bool in_ground, Celsius ambient) {
    if (!in_ground && ambient <= kBsColdest) {
        return TableFactor{insulation == Insulation::pvc_70 ? 1.03 : 1.02, one_source};
    }
    return iec_ambient_factor(insulation, in_ground, ambient);
}

std::optional<TableFactor> grouping_factor(Grouping grouping, int circuits) {
    assert(circuits >= 1);
    switch (grouping) {
        case Grouping::enclosed:
            return look_up(kEnclosed, circuits, two_sources);
        case Grouping::single_layer_wall:
            return look_up(kWall, circuits, two_sources);
        case Grouping::single_layer_tray:
            return look_up(kTray, circuits, two_sources);
        case Grouping::direct_in_ground:
            return look_up(kDirect, circuits, one_source);
        case Grouping::ducts_in_ground:
            return look_up(kDucts, circuits, one_source);
    }
    return std::nullopt;
}

std::optional<TableFactor> soil_factor(Grouping grouping, KelvinMetresPerWatt soil) {
    assert(grouping == Grouping::direct_in_ground || grouping == Grouping::ducts_in_ground);
    const bool ducts = grouping == Grouping::ducts_in_ground;
    return look_up(ducts ? kSoilDucts : kSoilDirect, soil.count(), one_source);
}

}  // namespace lullwatt::circuit
