#include "core/account/known_before.hpp"

#include <algorithm>
#include <variant>

#include "core/account/blocks.hpp"
#include "core/account/use.hpp"

namespace lullwatt::account {
namespace {

using tariff::BlockCharge;
using tariff::DemandCharge;
using tariff::Export;
using tariff::Tariff;

// The last such day of a year that is not after `day`.
CivilDate last_on_or_before(CivilDate day, date::month_day begin) {
    const CivilDate same{day.year(), begin.month(), begin.day()};
    return same <= day ? same : CivilDate{day.year() - date::years{1}, begin.month(), begin.day()};
}

bool adds_up(const BlockCharge& block) {
    return block.over == BlockCharge::Over::year || block.over == BlockCharge::Over::season;
}

std::size_t bills_before(const DemandCharge& charge) {
    if (charge.measure == DemandCharge::Measure::given || charge.measure == DemandCharge::Measure::contracted)
        return 0;
    return static_cast<std::size_t>(
        std::max(charge.mean_of_bills - 1, charge.ratchet ? charge.ratchet->months : 0));
}

bool banks(const tariff::Revision& revision) {
    return revision.exported && revision.exported->bank != Export::Bank::none;
}

}  // namespace

bool counts_earlier_bills(const Tariff& tariff) {
    return std::ranges::any_of(tariff.revisions, [](const tariff::Revision& revision) {
        return banks(revision) || std::ranges::any_of(revision.blocks, adds_up) ||
               std::ranges::any_of(revision.demand,
                                   [](const DemandCharge& charge) { return bills_before(charge) > 0; });
    });
}

std::vector<std::string> unknown_before(const Tariff& tariff, const std::vector<DateSpan>& priced,
                                        std::size_t shown) {
    const CivilDate first = priced.front().from;
    const CivilDate day = priced[shown].from;
    std::vector<std::string> names;
    const auto note = [&](const std::string& name) {
        if (std::ranges::find(names, name) == names.end()) names.push_back(name);
    };
    for (const tariff::Revision& revision : tariff.revisions) {
        for (const BlockCharge& block : revision.blocks) {
            if (adds_up(block) && counted_since(tariff, block, day) < first) note(block.name);
        }
        for (const DemandCharge& charge : revision.demand) {
            if (bills_before(charge) > shown) note(charge.name);
        }
        if (!banks(revision)) continue;
        const auto& expires = revision.exported->expires;
        if (expires ? last_on_or_before(day, *expires) < first : shown == 0)
            note(revision.exported->bank == Export::Bank::energy ? "energy bank" : "money bank");
    }
    return names;
}

MilliwattHours assumed_energy(const Tariff& tariff, const Zone& clock, DateSpan days, const Metered& usage) {
    const auto found = tariff::stretches(tariff, clock, instants_of(tariff, clock, days));
    const auto* all = std::get_if<tariff::Stretches>(&found);
    MilliwattHours sum;
    if (all == nullptr) return sum;
    auto reading = usage.taken.begin();
    for (const tariff::Stretch& stretch : *all) {
        if (!stretch.assumed) continue;
        while (reading != usage.taken.end() && reading->when.end <= stretch.when.begin) ++reading;
        for (auto at = reading; at != usage.taken.end() && at->when.begin < stretch.when.end; ++at) {
            const Seconds both =
                std::min(at->when.end, stretch.when.end) - std::max(at->when.begin, stretch.when.begin);
            sum += MilliwattHours(static_cast<std::int64_t>(nearest_quotient(
                static_cast<Wide>(at->energy.count()) * both.count(), at->when.length().count())));
        }
    }
    return sum;
}

}  // namespace lullwatt::account
