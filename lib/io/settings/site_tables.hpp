// The tables of a site file's mappings, which site_table.cpp puts together.
#pragma once

#include <string_view>

#include "io/settings/option.hpp"

namespace lullwatt::io {

inline constexpr std::string_view kLegChoices = "L1 | L2 | L3";

extern const Table kServiceTable;
extern const Table kFeederTable;
extern const Table kCircuitTable;
extern const Table kPointTable;
extern const Table kCarTable;
extern const Table kLoadTable;
extern const Table kDwellingTable;
extern const Table kContractTable;
extern const Table kCableTable;
extern const Table kWireTable;
extern const Table kSimulationTable;

}  // namespace lullwatt::io
