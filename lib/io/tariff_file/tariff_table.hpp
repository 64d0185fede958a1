// The option table of a tariff file.
#pragma once

#include "io/settings/option.hpp"

namespace lullwatt::io {

extern const Table kTariffTable;

}  // namespace lullwatt::io
