#include <algorithm>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "core/plan/when.hpp"
#include "daemon/requests/requests.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::daemon {
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* kTrust[] = {"unproven", "before-ledger", "synchronized", "trusted"};

// What the plan gives at an instant, and when that changes next.
struct InPlan {
    WholeAmps amps;
    std::optional<Instant> changes;
};
InPlan in_plan(const PlannedNight& night, Instant at) {
    const auto& slots = night.question->problem.slots;
    const auto& planned = night.plan.slots;
    InPlan found;
    for (std::size_t slot = 0; slot < slots.size(); ++slot) {
        if (slots[slot].when.end <= at) continue;
        if (slots[slot].when.begin <= at) {
            found.amps = planned[slot].amps;
        } else if (planned[slot].amps != found.amps) {
            found.changes = slots[slot].when.begin;
            return found;
        }
    }
    if (!slots.empty() && found.amps != WholeAmps(0)) found.changes = slots.back().when.end;
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
    const InPlan now = in_plan(*night, at);
    json["planned_amps"] = now.amps.count();
    json["ready_by"] = tools::iso_text(zone, night->question->present.end);
    json["energy_wh"] = night->plan.delivered.count() / 1000;
    json["short_wh"] = night->plan.objective.short_by.count() / 1000;
    if (now.changes) json["changes"] = tools::iso_text(zone, *now.changes);
    const std::string then = now.changes ? tools::day_and_clock_text(zone, *now.changes) : "";
    if (now.amps != WholeAmps(0)) return fmt::format("{} until {}", tools::amps_text(now.amps), then);
    return now.changes ? "waits until " + then : "nothing to charge";
}

}  // namespace

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
        const std::string said = sentence(keeper, car, at, each);
        each["sentence"] = said;
        text += fmt::format("  {} at {}: {}\n", settings.car.name, point, said);
        json["cars"].push_back(std::move(each));
    }
    asked.reply(answer_line(text, json.dump()));
}

}  // namespace lullwatt::daemon
