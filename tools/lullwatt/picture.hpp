// The night in plain characters: what is charged, what room there was, and how dear energy is.
//
// Pure function; call from any thread. Price levels are told apart by hatching and words, never by colour.
#pragma once

#include <string>
#include <vector>

#include "core/quantity/money.hpp"
#include "core/quantity/quantity.hpp"
#include "core/time/zone.hpp"

namespace lullwatt::tools {

struct PictureSlot {
    Interval when;
    WholeAmps amps;
    WholeAmps room;
    Rate price;
    std::string price_name;
};

// At most about 80 columns wide. REQUIRES: slots contiguous, not empty.
[[nodiscard]] std::string picture(const std::vector<PictureSlot>& slots, const Zone& zone,
                                  int currency_digits);

}  // namespace lullwatt::tools
