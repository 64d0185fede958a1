#include "core/tariff/sum_curves.hpp"

#include <algorithm>
#include <cassert>
#include <string_view>

namespace lullwatt::tariff {
namespace {

using Pieces = std::vector<const PricePiece*>;  // one of each part

std::string joined_name(const Pieces& pieces, const std::vector<PricePart>& parts) {
    const bool none_tells = std::ranges::all_of(parts, &PricePart::one_name);
    std::vector<std::string_view> names;
    std::string joined;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const std::string& name = pieces[i]->name;
        if ((parts[i].one_name && !none_tells) || std::ranges::find(names, name) != names.end()) continue;
        names.push_back(name);
        joined += (joined.empty() ? "" : " + ") + name;
    }
    return joined;
}

PricePiece sum_of(Interval when, const Pieces& pieces, const std::vector<PricePart>& parts) {
    PricePiece sum{when, Rate(0), Rate(0), joined_name(pieces, parts)};
    for (const PricePiece* piece : pieces) {
        sum.rate += piece->rate;
        sum.marginal += piece->marginal;
        sum.assumed |= piece->assumed;
    }
    return sum;
}

}  // namespace

bool one_name(const Tariff& tariff) {
    if (tariff.announced || !tariff.overrides.empty()) return false;
    const std::string* first = nullptr;
    for (const Revision& revision : tariff.revisions) {
        for (const Window& window : revision.windows) {
            if (first == nullptr) first = &window.name;
            if (window.name != *first) return false;
        }
    }
    return true;
}

PriceCurve sum_curves(const std::vector<PricePart>& parts) {
    assert(!parts.empty());
    const Interval span{parts.front().curve.front().when.begin, parts.front().curve.back().when.end};
    PriceCurve sum;
    for (Instant at = span.begin; at < span.end;) {
        Pieces pieces;
        Instant end = span.end;
        for (const PricePart& part : parts) {
            pieces.push_back(&price_at(part.curve, at));
            end = std::min(end, pieces.back()->when.end);
        }
        append(sum, sum_of({at, end}, pieces, parts));
        at = end;
    }
    return sum;
}

}  // namespace lullwatt::tariff
