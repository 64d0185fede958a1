#include "core/tariff/price_curve.hpp"

#include <algorithm>
#include <cassert>
#include <utility>

#include "core/quantity/wide.hpp"

namespace lullwatt::tariff {
namespace {

// A price in 1e-18 while percentages are taken, so that only the end is rounded to 1e-12.
using Fine = Wide;
constexpr Fine kFine = 1'000'000;

Fine at_meter(Rate rate, std::int64_t loss_factor) {
    return nearest_quotient(static_cast<Wide>(rate.count()) * kFine * loss_factor, kWhole);
}

struct PricedPart {
    Part part;
    std::string_view name;
    Fine price;
};

bool counts(const LinesOf& of, const PricedPart& priced) {
    return std::ranges::find(of.parts, priced.part) != of.parts.end() ||
           std::ranges::find(of.names, priced.name) != of.names.end();
}

void add_percentages(std::vector<PricedPart>& parts, const std::vector<Percentage>& percentages, Part part) {
    const std::size_t before = parts.size();
    for (const Percentage& percentage : percentages) {
        const bool all = percentage.of.parts.empty() && percentage.of.names.empty();
        const std::size_t end = percentage.compound ? parts.size() : before;
        Fine base = 0;
        for (std::size_t i = 0; i < end; ++i) {
            if (all || counts(percentage.of, parts[i])) base += parts[i].price;
        }
        parts.push_back({part, percentage.name, nearest_quotient(base * percentage.millionths, kWhole)});
    }
}

// What one more kilowatt-hour adds to each line that counts kilowatt-hours.
std::vector<PricedPart> parts_of(const Revision& revision, const Stretch& stretch) {
    std::vector<PricedPart> parts = {
        {Part::window, stretch.name, at_meter(stretch.rate, stretch.loss_factor)}};
    for (const Adder& adder : revision.adders) {
        if (applies(adder, stretch))
            parts.push_back({Part::adder, adder.name, at_meter(adder.rate, adder.loss_factor)});
    }
    for (const BlockCharge& block : revision.blocks) {
        if (!applies(block, stretch)) continue;
        const auto dearest = std::ranges::max(block.steps, {}, &BlockCharge::Step::rate).rate;
        parts.push_back({Part::block, block.name, at_meter(dearest, block.loss_factor)});
    }
    return parts;
}

Fine sum_of(const std::vector<PricedPart>& parts) {
    Fine sum = 0;
    for (const PricedPart& part : parts) sum += part.price;
    return sum;
}

Rate to_rate(Fine price) { return Rate(static_cast<std::int64_t>(nearest_quotient(price, kFine))); }

PricePiece piece_of(const Tariff& tariff, const Stretch& stretch) {
    const Revision& revision = tariff.revisions[stretch.revision];
    std::vector<PricedPart> parts = parts_of(revision, stretch);
    const Rate rate = to_rate(sum_of(parts));
    add_percentages(parts, revision.riders, Part::rider);
    add_percentages(parts, revision.taxes, Part::tax);
    return {stretch.when, rate, to_rate(sum_of(parts)), stretch.name, stretch.assumed};
}

}  // namespace

std::variant<PriceCurve, Uncovered> price_curve(const Tariff& tariff, const Zone& clock, Interval span) {
    auto found = stretches(tariff, clock, span);
    if (auto* uncovered = std::get_if<Uncovered>(&found)) return std::move(*uncovered);
    PriceCurve curve;
    for (const Stretch& stretch : std::get<Stretches>(found)) append(curve, piece_of(tariff, stretch));
    return curve;
}

void append(PriceCurve& curve, PricePiece piece) {
    if (!curve.empty()) {
        PricePiece& last = curve.back();
        if (last.rate == piece.rate && last.marginal == piece.marginal && last.name == piece.name &&
            last.assumed == piece.assumed) {
            last.when.end = piece.when.end;
            return;
        }
    }
    curve.push_back(std::move(piece));
}

ExactAmount with_percentages(const Revision& revision, Part part, const std::string& name,
                             ExactAmount amount) {
    std::vector<PricedPart> parts = {{part, name, amount.atto()}};
    add_percentages(parts, revision.riders, Part::rider);
    add_percentages(parts, revision.taxes, Part::tax);
    return ExactAmount(sum_of(parts));
}

const PricePiece& price_at(const PriceCurve& curve, Instant at) {
    const auto after =
        std::ranges::upper_bound(curve, at, {}, [](const PricePiece& piece) { return piece.when.end; });
    assert(after != curve.end() && after->when.contains(at));
    return *after;
}

}  // namespace lullwatt::tariff
