// The option table of a site file.
#pragma once

#include "io/settings/option.hpp"

namespace lullwatt::io {

extern const Table kSiteTable;

}  // namespace lullwatt::io
