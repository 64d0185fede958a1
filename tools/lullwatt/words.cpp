#include "tools/lullwatt/words.hpp"

#include <array>
#include <utility>

#include <date/date.h>
#include <fmt/format.h>

namespace lullwatt::tools {
namespace {

constexpr std::array kDays = {"Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"};
constexpr std::array kMonths = {"January", "February", "March",     "April",   "May",      "June",
                                "July",    "August",   "September", "October", "November", "December"};

std::string day_name(CivilDate date) { return kDays[date::weekday{date::local_days{date}}.c_encoding()]; }

CivilDate date_of(CivilTime time) { return CivilDate{date::floor<date::days>(time)}; }

std::string leg_name(int leg) { return fmt::format("L{}", leg + 1); }

std::string node_and_leg(const plan::Bound& bound, const site::Site& site) {
    return fmt::format("{}, leg {}", site.nodes[static_cast<std::size_t>(bound.node)].name,
                       leg_name(bound.leg));
}

std::string limit_name(const plan::Bound& bound, const site::Site& site) {
    switch (bound.kind) {
        case plan::BoundKind::installer_setting:
            return "the installer's setting";
        case plan::BoundKind::receptacle:
            return "80 % of the receptacle";
        case plan::BoundKind::car:
            return "what the car takes";
        case plan::BoundKind::headroom:
            return "headroom of " + node_and_leg(bound, site);
        case plan::BoundKind::lease:
            return "what a lost link may leave on " + node_and_leg(bound, site);
        case plan::BoundKind::hold:
            return "the household's hold";
        case plan::BoundKind::away:
            return "the car's absence";
        case plan::BoundKind::granted:
            return "the power granted to " + site.nodes[static_cast<std::size_t>(bound.node)].name;
        case plan::BoundKind::peak:
            return "the peak the bill charges for";
        case plan::BoundKind::unbalance:
            return "the unbalance limit of " + node_and_leg(bound, site);
        case plan::BoundKind::ceiling:
            return "the outside ceiling on " + node_and_leg(bound, site);
    }
    return {};
}

}  // namespace

std::string clock_text(const Zone& zone, Instant at) {
    const CivilTime time = zone.civil(at);
    const std::string text = date::format("%H:%M", time);
    return zone.instants(time).size() > 1 ? text + " " + zone.abbreviation_at(at) : text;
}

std::string label_note(const Zone& zone, CivilTime label) {
    const std::string clock = date::format("%H:%M", label);
    switch (zone.instants(label).size()) {
        case 0:
            return clock + " does not exist that night";
        case 1:
            return {};
        default:
            return fmt::format("the first of two {} that night", clock);
    }
}

std::string day_and_clock_text(const Zone& zone, Instant at) {
    return day_name(date_of(zone.civil(at))).substr(0, 3) + " " + clock_text(zone, at);
}

std::string date_text(CivilDate date) {
    return fmt::format("{} {} {} {}", day_name(date), static_cast<unsigned>(date.day()),
                       kMonths[static_cast<unsigned>(date.month()) - 1], static_cast<int>(date.year()));
}

std::string day_text(CivilDate date) { return date::format("%F", date::sys_days{date}); }

std::string iso_text(const Zone& zone, Instant at) {
    const auto minutes = std::chrono::duration_cast<std::chrono::minutes>(zone.offset_at(at)).count();
    const auto magnitude = minutes < 0 ? -minutes : minutes;
    return fmt::format("{}{}{:02}:{:02}", date::format("%FT%T", zone.civil(at)), minutes < 0 ? '-' : '+',
                       magnitude / 60, magnitude % 60);
}

std::string energy_text(MilliwattHours energy) {
    return fmt::format("{:.1f} kWh", static_cast<double>(energy.count()) / 1e6);
}

std::string some_energy_text(MilliwattHours energy) {
    const std::string text = energy_text(energy);
    return energy > kNothing && text == energy_text(kNothing) ? "less than 0.1 kWh" : text;
}

std::string listed_text(const std::vector<std::string>& parts, std::size_t count) {
    constexpr std::size_t kShown = 2;
    if (count == 1) return parts.front();
    if (count == kShown) return parts[0] + " and " + parts[1];
    const std::size_t others = count - kShown;
    return fmt::format("{}, {} and {} other{}", parts[0], parts[1], others, others == 1 ? "" : "s");
}

std::string amps_text(WholeAmps amps) { return fmt::format("{} A", amps.count()); }

std::string amount_text(Money amount, int digits) { return decimal_text(amount.count(), 6, digits); }

std::string cost_text(ExactAmount cost, int digits) { return money_text(rounded(cost, digits), digits); }

std::string cost_at_least_text(ExactAmount cost, int digits) {
    constexpr Wide kAttoPerMicro = 1'000'000'000'000;
    constexpr int kDecimals = 6;
    std::int64_t unit = 1;
    for (int i = digits; i < kDecimals; ++i) unit *= 10;
    Money down = rounded(cost, digits);
    if (ExactAmount(static_cast<Wide>(down.count()) * kAttoPerMicro) > cost) down -= Money(unit);
    return money_text(down, digits);
}

std::string rate_text(Rate rate, int digits) { return decimal_text(rate.count(), 12, digits); }

std::string bound_text(const plan::Bound& bound, const site::Site& site, const plan::Holding& held) {
    std::string limit = limit_name(bound, site);
    if (held.named.empty()) return limit;
    std::vector<std::string> parts;
    for (const plan::Held& one : held.named) parts.push_back(one.car + "'s " + amps_text(one.amps));
    return limit + ", beside " + listed_text(parts, parts.size() + held.others);
}

std::string why_text(const plan::PlannedSlot& planned, const plan::Slot& slot, const site::Site& site,
                     const plan::Holding& held) {
    const std::string bound = bound_text(slot.bound, site, held);
    const std::string limited = planned.amps == slot.most ? "; limited by " + bound : "";
    switch (planned.why) {
        case plan::Why::in_block:
            return "part of the one block that is set by hand" + limited;
        case plan::Why::tapers:
            return planned.drawn < planned.amps
                       ? fmt::format("the battery takes {} of it when it is this full",
                                     amps_text(planned.drawn))
                       : "all the battery takes when it is this full";
        case plan::Why::floor:
            return "below the floor, so at once" + limited;
        case plan::Why::no_choice:
            return "every usable slot is needed; limited by " + bound;
        case plan::Why::falls_short:
            return limited.empty() ? "the need is not met, and more here would not help"
                                   : "the need is not met" + limited;
        case plan::Why::short_without:
            return "dearer than the price cap, but cheaper hours alone would leave more short" + limited;
        case plan::Why::keeps_awake:
            return "dearer than hours that are left, but the car does not wake after a pause" + limited;
        case plan::Why::dearer_rest:
            return "dearer than hours that are left, but those are not enough without it" + limited;
        case plan::Why::bridges:
            return "hours that are left are no dearer, but would take another start" + limited;
        case plan::Why::no_better:
            return "dearer than hours that are left, but no plan without it is better" + limited;
        case plan::Why::cheapest:
            return "among the cheapest that meet the need; limited by " + bound;
        case plan::Why::gentle:
            return "the least greatest current that costs no more";
        case plan::Why::fills_the_rest:
            return "among the cheapest that meet the need; no more is needed";
        case plan::Why::away:
            return "the car is away";
        case plan::Why::below_minimum:
            return fmt::format("{} left, below the least current: {}", amps_text(slot.most), bound);
        case plan::Why::outside_block:
            return "outside the one block that is set by hand";
        case plan::Why::no_block:
            return "set by hand, and a block from here would lack room before its end";
        case plan::Why::needs_met:
            return "the need is met without it";
        case plan::Why::takes_no_more:
            return "the battery takes nothing more";
        case plan::Why::would_not_wake:
            return "the car does not wake after a pause: it charges in one run";
        case plan::Why::no_less_short:
            return "the need is not met, and no less would be short with it";
        case plan::Why::above_cap:
            return "dearer than the price cap, and the need is met without it";
        case plan::Why::dearer:
            return "dearer than the hours the plan chooses";
        case plan::Why::same_price_other:
            return "no dearer, but the preference takes other hours";
        case plan::Why::start_not_worth:
            return "cheap enough, but not worth another start";
        case plan::Why::hours_not_worth:
            return "cheap enough, but more hours or another start would lose what they save";
        case plan::Why::saves_nothing:
            return "no dearer than some the plan chooses, but no plan with it is better";
    }
    return {};
}

std::string worse_text(const plan::Objective& best, const plan::Objective& other) {
    constexpr int kFine = 4;
    if (other.short_by != best.short_by) {
        return fmt::format("{} short instead of {}", some_energy_text(other.short_by),
                           some_energy_text(best.short_by));
    }
    if (other.above_cap != best.above_cap) {
        return fmt::format("{} above the price cap instead of {}", some_energy_text(other.above_cap),
                           some_energy_text(best.above_cap));
    }
    if (other.cost != best.cost) return cost_text(other.cost - best.cost, kFine) + " more, starts included";
    if (other.starts != best.starts)
        return fmt::format("no more, with {} starts instead of {}", other.starts, best.starts);
    return "no more: the preference alone decides";
}

std::string why_word(plan::Why why) {
    constexpr std::array kWords = {"in-block",        "tapers",
                                   "floor",           "no-choice",
                                   "falls-short",     "short-without",
                                   "keeps-awake",     "dearer-rest",
                                   "bridges",         "no-better",
                                   "cheapest",        "gentle",
                                   "fills-the-rest",  "away",
                                   "below-minimum",   "outside-block",
                                   "no-block",        "needs-met",
                                   "takes-no-more",   "would-not-wake",
                                   "no-less-short",   "above-cap",
                                   "dearer",          "same-price-other",
                                   "start-not-worth", "hours-not-worth",
                                   "saves-nothing"};
    static_assert(kWords.size() == static_cast<std::size_t>(plan::Why::saves_nothing) + 1);
    return kWords[static_cast<std::size_t>(why)];
}

std::string bound_word(plan::BoundKind kind) {
    constexpr std::array kWords = {
        "installer-setting", "receptacle", "car",       "headroom", "lease", "hold", "away",
        "granted",           "peak",       "unbalance", "ceiling"};
    return kWords[static_cast<std::size_t>(kind)];
}

}  // namespace lullwatt::tools
