#include "core/tariff/price_curve.hpp"

#include <algorithm>
#include <cassert>

namespace lullwatt::tariff {

const PricePiece& price_at(const PriceCurve& curve, Instant at) {
    const auto after =
        std::ranges::upper_bound(curve, at, {}, [](const PricePiece& piece) { return piece.when.end; });
    assert(after != curve.end() && after->when.contains(at));
    return *after;
}

}  // namespace lullwatt::tariff
