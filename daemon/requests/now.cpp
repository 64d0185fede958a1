#include <algorithm>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "core/plan/when.hpp"
#include "daemon/drive/reason_words.hpp"
#include "daemon/requests/requests.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::daemon {
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* kTrust[] = {"unproven", "before-ledger", "synchronized", "trusted"};

// What the limiter was given for an instant, and when that changes next.
struct InPlan {
    WholeAmps amps;
    std::optional<Instant> changes;
};
InPlan in_plan(const control::PointPlan& driven, Instant at) {
    InPlan found;
    for (const control::PlannedPiece& piece : driven.pieces) {
        if (piece.when.end <= at) continue;
        if (piece.when.begin <= at) {
            found.amps = piece.amps;
        } else if (piece.amps != found.amps) {
            found.changes = piece.when.begin;
            return found;
        }
    }
    if (!driven.pieces.empty() && found.amps != WholeAmps(0)) found.changes = driven.pieces.back().when.end;
    return found;
}

std::string sentence(const Keeper& keeper, std::size_t car, Instant at, Json& json) {
    const auto& household = *keeper.household();
    const Zone& zone = household.zone;
    const auto& night = keeper.night(car);
    if (const auto hold = keeper.hold_for(household.site.cars[car].car.name, at)) {
        json["held_until"] = tools::iso_text(zone, hold->end);
    }
    if (!night) {
        const auto& faults = keeper.faults(car);
        return faults.empty() ? "not planned yet" : "no plan: " + io::text(faults.front());
    }
    const std::string last = keeper.faults(car).empty() ? ""
                                                        : "; the last plan, for there is no new one: " +
                                                              io::text(keeper.faults(car).front());
    const InPlan now = in_plan(night->driven, at);
    json["planned_amps"] = now.amps.count();
    json["ready_by"] = tools::iso_text(zone, night->question->present.end);
    json["energy_wh"] = night->plan.delivered.count() / 1000;
    json["short_wh"] = night->plan.objective.short_by.count() / 1000;
    if (now.changes) json["changes"] = tools::iso_text(zone, *now.changes);
    const std::string then = now.changes ? tools::day_and_clock_text(zone, *now.changes) : "";
    if (now.amps != WholeAmps(0)) return fmt::format("{} until {}{}", tools::amps_text(now.amps), then, last);
    return (now.changes ? "waits until " + then : "nothing to charge") + last;
}

// What flows at a point and why, where its equipment has been heard.
std::string live(const Keeper& keeper, std::size_t point, Json& json) {
    const auto& heard = keeper.driver().heard(point);
    const auto& decision = keeper.driver().decision();
    if (!heard || !decision) return {};
    const control::PointDecision& decided = decision->points[point];
    const auto& site = keeper.household()->site.site;
    std::string text;
    if (heard->status) {
        json["status"] = status_word(*heard->status);
        text = status_word(*heard->status) + ", ";
    }
    json["offered_amps"] = decided.setpoint.count();
    const control::WritesSoFar& writes = keeper.driver().writes(point);
    json["writes"] = {{"tonight", writes.tonight}, {"ever", writes.ever}};
    text += fmt::format("offered {}", tools::amps_text(decided.setpoint));
    if (heard->current) {
        const Amps most = *std::ranges::max_element(*heard->current);
        json["drawn_amps"] = most.count();
        text += fmt::format(", draws {:.1f} A", most.count());
    }
    json["reasons"] = Json::array();
    for (const control::Reason& reason : decided.reasons) {
        Json each{{"reason", reason_word(reason.bind)}, {"amps", reason.most.count()}};
        if (reason.node) {
            each["node"] = site.nodes[*reason.node].name;
            each["leg"] = fmt::format("L{}", static_cast<int>(reason.leg) + 1);
        }
        each["text"] = reason_text(reason, site);
        json["reasons"].push_back(std::move(each));
    }
    return text + ": " + reason_text(decided.reasons.front(), site);
}

std::string house_text(const Keeper& keeper, Json& json) {
    const auto& site = keeper.household()->site.site;
    std::string text;
    json = Json::array();
    for (std::size_t node = 0; node < site.nodes.size(); ++node) {
        const auto house = keeper.driver().house(node);
        if (!house) continue;
        Json amps = Json::array();
        text += fmt::format("  house at {}:", site.nodes[node].name);
        for (const site::Leg leg : site::kLegs) {
            if (!site.nodes[node].legs.has(leg)) continue;
            amps.push_back(site::on(*house, leg).count());
            text += fmt::format(" L{} {:.1f} A", static_cast<int>(leg) + 1, site::on(*house, leg).count());
        }
        text += fmt::format(", limit {:.1f} A\n", site::continuous_limit(site.nodes[node]).count());
        json.push_back({{"node", site.nodes[node].name},
                        {"amps", std::move(amps)},
                        {"limit_amps", site::continuous_limit(site.nodes[node]).count()}});
    }
    return text;
}

}  // namespace

bool reply_why_now(const Asked& asked) {
    const Keeper& keeper = asked.keeper;
    for (const auto& [name, value] : asked.request.fields) {
        if (name != "car") return false;
    }
    io::Faults faults;
    const auto car = named_car(asked.request, keeper, faults);
    if (!car) return false;
    const auto& cars = keeper.household()->site.cars;
    const auto place = std::ranges::find(cars, *car, [](const auto& each) { return each.car.name; });
    Json json{{"car", *car}};
    std::string text = live(keeper, place->point, json);
    if (text.empty()) return false;
    text = fmt::format("{}: {}.\n", *car, text);
    const auto& reasons = keeper.driver().decision()->points[place->point].reasons;
    for (std::size_t more = 1; more < reasons.size(); ++more) {
        text += fmt::format("  also: {} ({})\n", reason_text(reasons[more], keeper.household()->site.site),
                            tools::amps_text(reasons[more].most));
    }
    asked.reply(answer_line(text, json.dump()));
    return true;
}

void reply_now(const Asked& asked) {
    if (const auto faults = unknown_fields(asked.request, {}); !faults.empty()) {
        asked.reply(fault_line(faults));
        return;
    }
    const Keeper& keeper = asked.keeper;
    const auto& household = *keeper.household();
    const Instant at = keeper.now().wall;
    const std::string trust = kTrust[static_cast<std::size_t>(keeper.trust())];
    Json json{{"site", household.site.name},
              {"now", tools::iso_text(household.zone, at)},
              {"clock", trust},
              {"cars", Json::array()}};
    std::string text = fmt::format("{}, {}, clock {}\n", household.site.name,
                                   tools::day_and_clock_text(household.zone, at), trust);
    for (std::size_t car = 0; car < household.site.cars.size(); ++car) {
        const auto& settings = household.site.cars[car];
        const std::string& point = household.site.site.points[settings.point].name;
        Json each{{"car", settings.car.name}, {"point", point}};
        const auto& heard = keeper.driver().heard(settings.point);
        const bool away = heard && heard->status == control::PointStatus::empty;
        std::string said = sentence(keeper, car, at, each);
        if (away) said = "not plugged in";
        each["sentence"] = said;
        text += fmt::format("  {} at {}: {}\n", settings.car.name, point, said);
        if (const std::string flows = live(keeper, settings.point, each); !flows.empty()) {
            text += "    " + flows + "\n";
        }
        if (const auto delivered = keeper.delivered(car)) {
            each["delivered_wh"] = delivered->count();
            text += fmt::format("    {} since it was plugged in\n", tools::energy_text(*delivered));
        }
        json["cars"].push_back(std::move(each));
    }
    if (household.site.links.none() && !keeper.driver().ever_heard()) {
        json["linked"] = false;
        text += "  nothing is linked: nights are planned and told, and nothing is driven\n";
    }
    text += house_text(keeper, json["house"]);
    if (const std::string trouble = keeper.store_trouble(); !trouble.empty()) {
        json["not_recorded"] = trouble;
        text += "  NOT RECORDED: the ledger cannot be written: " + trouble + "\n";
    }
    asked.reply(answer_line(text, json.dump()));
}

}  // namespace lullwatt::daemon
