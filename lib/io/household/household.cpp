#include "io/household/household.hpp"

#include <algorithm>
#include <utility>

#include <date/date.h>
#include <fmt/format.h>

#include "core/tariff/sum_curves.hpp"
#include "io/history/history.hpp"
#include "io/zone/zone.hpp"

namespace lullwatt::io {
namespace {

constexpr date::days kYear{366};

void take(Faults& into, const Faults& more) { into.insert(into.end(), more.begin(), more.end()); }

// The place in the site file that names the thing a fault is about.
Fault at_key(const SiteFile& site, std::string_view section, std::string_view key, Fault fault) {
    const auto& sections = site.as_written.sections(section);
    if (sections.empty()) return fault;
    Fault place = sections.front().fault(key, "", "", "");
    place.what = std::move(fault.what);
    place.allowed = std::move(fault.allowed);
    place.mend = std::move(fault.mend);
    return place;
}

// Of the first contract: a site has no calendar of its own.
site::IsHoliday holidays_of(const Household& household) {
    return [calendar = household.supplies.front().tariff.holidays](CivilDate date) {
        return calendar.holiday(date).has_value();
    };
}

using Histories = std::vector<std::optional<site::MeterHistory>>;

Histories read_histories(const SiteFile& site, Faults& faults) {
    Histories histories(site.loads.size());
    for (std::size_t node = 0; node < site.loads.size(); ++node) {
        if (!site.loads[node] || !site.loads[node]->history) continue;
        auto read = read_history(*site.loads[node]->history);
        if (read.ok()) {
            histories[node] = std::move(read).value();
        } else {
            take(faults, read.faults());
        }
    }
    return histories;
}

Interval needed_of(const Histories& histories, Instant now) {
    Interval needed{now - 2 * kYear, now + 2 * kYear};
    for (const auto& history : histories) {
        if (!history || history->rows.empty()) continue;
        needed.begin = std::min(needed.begin, history->rows.front().when.begin - kYear);
        needed.end = std::max(needed.end, history->rows.back().when.end + kYear);
    }
    return needed;
}

std::string lack_text(const site::WorstLoad& worst) {
    switch (worst.lack) {
        case site::HistoryLack::too_short:
            return "spans less than twelve months";
        case site::HistoryLack::too_coarse:
            return "is too coarse: most of it is readings longer than an hour";
        case site::HistoryLack::gaps:
            return fmt::format("has gaps: {:.0f} % of some hour of the day is covered, 95 % are needed",
                               worst.least_covered * 100);
        case site::HistoryLack::no_history:
            return "is empty";
        case site::HistoryLack::none:
            break;
    }
    return {};
}

// Settles forecast source and worst load of one node.
void read_node_load(Household& household, std::size_t node, const std::optional<site::MeterHistory>& history,
                    Faults& faults) {
    const LoadSettings& settings = *household.site.loads[node];
    const site::Node& at = household.site.site.nodes[node];
    const site::LegSplit split{at.legs, household.site.site.leg_to_neutral,
                               at.legs.count() == 1 ? 1.0 : settings.worst_leg_share};
    household.worst[node] = site::worst_load({.history = history ? &*history : nullptr,
                                              .split = split,
                                              .loads = settings.largest,
                                              .stated = settings.stated_worst,
                                              .calculation = settings.calculation},
                                             household.zone);
    const site::WorstLoad& worst = household.worst[node];
    const bool stands_in = settings.stated_worst || settings.calculation != site::LegAmps{};
    if (settings.history && worst.lack != site::HistoryLack::none && !stands_in) {
        faults.push_back({settings.history->string(), 0, 0, "",
                          lack_text(worst) + ", so it gives no worst load", "",
                          "twelve months of data, each hour of the day covered to 95 %",
                          "import more, or state worst with worst_reason, or calculation, in the site file"});
    }
    if (const auto* constant = std::get_if<site::ConstantLoad>(&settings.expected)) {
        household.expected[node] = *constant;
    } else if (const auto* profile = std::get_if<site::LoadProfile>(&settings.expected)) {
        household.expected[node] = *profile;
    } else if (history) {
        site::ForecastOptions options;
        options.quantile = settings.quantile;
        auto source =
            site::HistoryLoad::from(*history, split, household.zone, holidays_of(household), options);
        if (source) {
            household.expected[node] = std::move(*source);
        } else {
            faults.push_back({settings.history->string(), 0, 0, "", "holds no reading of an hour or less", "",
                              "readings of a minute to an hour", "import finer data"});
        }
    }
}

void check_standing(const Household& household, Faults& faults) {
    const auto& points = household.site.as_written.sections("points");
    for (std::size_t point = 0; point < household.standing.size(); ++point) {
        const site::Standing& standing = household.standing[point];
        if (!household.site.site.points[point].standing || !standing.excess) continue;
        const site::Excess& excess = *standing.excess;
        const WholeAmps least = household.site.site.points[point].minimum;
        const std::string& node = household.site.site.nodes[excess.node].name;
        const int leg = static_cast<int>(excess.leg) + 1;
        const int would = ceil_amps(excess.would_carry).count();
        const int may = floor_amps(excess.may_carry).count();
        const std::string what =
            excess.unbalance
                ? fmt::format("does not fit: cars would load leg L{} of {} {} A above the others, of {} A",
                              leg, node, would, may)
                : fmt::format(
                      "does not fit with the house at its worst: {}, leg L{} would carry {} A of {} A", node,
                      leg, would, may);
        faults.push_back(points[point].fault(
            "standing", what,
            excess.fits < least ? std::string("auto, or 0 A")
                                : fmt::format("auto, or up to {} A", excess.fits.count()),
            excess.unbalance
                ? "write 'auto'"
                : "write 'auto', or accept it with standing_beyond_limit (never above a rating)"));
    }
}

Faults unpriced(const Contract& contract, const tariff::Uncovered& holes) {
    Faults faults;
    for (const Interval& hole : holes) {
        faults.push_back({contract.tariff.string(), 0, 0, "revisions",
                          fmt::format("have no price from {} to {}", date::format("%FT%RZ", hole.begin),
                                      date::format("%FT%RZ", hole.end)),
                          "", "a revision from the first day asked about on",
                          "add the revision that was in force then"});
    }
    return faults;
}

}  // namespace

Read<Household> load_household(const std::filesystem::path& site_file, Instant now) {
    auto site = read_site_file(site_file);
    if (!site.ok()) return site.faults();
    Faults faults;
    auto tariffs = read_tariffs(site.value(), faults);
    Histories histories = read_histories(site.value(), faults);
    const Interval needed = needed_of(histories, now);
    auto zone = load_zone(site.value().zone, needed, now);
    if (!zone.ok()) {
        for (const Fault& fault : zone.faults())
            faults.push_back(at_key(site.value(), "site", "zone", fault));
    }
    if (!faults.empty()) return faults;

    auto supplies = supplies_of(site.value(), std::move(tariffs), zone.value(), needed, now, faults);
    if (!faults.empty()) return faults;
    const std::size_t nodes = site.value().site.nodes.size();
    Household household{.site = std::move(site).value(),
                        .zone = std::move(zone).value(),
                        .supplies = std::move(supplies),
                        .expected = std::vector<std::optional<site::LoadSource>>(nodes),
                        .worst = std::vector<site::WorstLoad>(nodes)};
    for (std::size_t node = 0; node < nodes; ++node) {
        if (household.site.loads[node]) read_node_load(household, node, histories[node], faults);
    }
    if (!faults.empty()) return faults;
    household.histories = std::move(histories);
    const site::SiteLoads worst = loads(household, {});
    household.standing = site::standing_currents(household.site.site, worst);
    household.unattended = site::unattended(household.site.site, household.standing);
    check_standing(household, faults);
    if (!faults.empty()) return faults;
    return household;
}

site::SiteLoads loads(const Household& household, Interval span) {
    site::SiteLoads all(household.expected.size());
    for (std::size_t node = 0; node < all.size(); ++node) {
        all[node].worst = household.worst[node].by_hour;
        if (!household.expected[node] || span.end <= span.begin) continue;
        all[node].forecast =
            site::forecast(*household.expected[node], span, household.zone, holidays_of(household));
    }
    return all;
}

std::vector<std::size_t> supplies_at(const Household& household, std::size_t node) {
    return contracts_at(household.site.contracts, household.site.site, node);
}

Read<tariff::PriceCurve> prices_at(const Household& household, std::size_t node, Interval span) {
    std::vector<tariff::PricePart> parts;
    Faults faults;
    const auto supplies = supplies_at(household, node);
    if (supplies.empty()) {
        faults.push_back(household.site.as_written.fault(
            "contracts", fmt::format("bill nothing taken at {}", household.site.site.nodes[node].name),
            "a contract whose node is it or above it", "add one, or ask about a node below"));
    }
    for (const std::size_t index : supplies) {
        const Supply& supply = household.supplies[index];
        auto curve = tariff::price_curve(supply.tariff, supply.clock, span);
        if (auto* uncovered = std::get_if<tariff::Uncovered>(&curve)) {
            take(faults, unpriced(supply.contract, *uncovered));
        } else {
            parts.push_back(
                {std::move(std::get<tariff::PriceCurve>(curve)), tariff::one_name(supply.tariff)});
        }
    }
    if (!faults.empty()) return faults;
    return tariff::sum_curves(parts);
}

Read<tariff::PriceCurve> prices(const Household& household, std::size_t point, Interval span) {
    return prices_at(household, household.site.site.points[point].circuit, span);
}

}  // namespace lullwatt::io
