// The option tables of what a bill charges besides each hour's price.
//
// Constant data; safe to read from any thread.
#pragma once

#include "io/settings/option.hpp"

namespace lullwatt::io {

extern const Table kBlockTable;
extern const Table kDemandTable;
extern const Table kFixedTable;
extern const Table kMinimumTable;
extern const Table kRiderTable;
extern const Table kTaxTable;
extern const Table kExportTable;
extern const Table kProrationTable;
extern const Table kRoundingTable;
extern const Table kDayClassesTable;

}  // namespace lullwatt::io
