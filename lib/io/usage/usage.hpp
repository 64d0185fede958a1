// A meter's readings from a file of either kind this project knows: Green Button, or the history `import`
// keeps.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "core/account/bill.hpp"
#include "io/fault/fault.hpp"
#include "io/greenbutton/greenbutton.hpp"

namespace lullwatt::io {

struct UsageFile {
    EnergySeries readings;  // negative where the meter counts net
    Flow flow = Flow::unstated;  // never Flow::total
    Faults warnings;             // read, but told
};

// `meter`: which of several a Green Button file holds; choose_meter says how it is named.
[[nodiscard]] Read<UsageFile> read_usage(const std::filesystem::path& file,
                                         const std::optional<std::string>& meter);

}  // namespace lullwatt::io
