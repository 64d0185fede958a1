#include "tools/lullwatt/answer_json.hpp"

#include <nlohmann/json.hpp>

#include "core/plan/exact_cost.hpp"
#include "core/plan/explain.hpp"
#include "tools/lullwatt/node_worth.hpp"
#include "tools/lullwatt/price_notes.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

using Json = nlohmann::ordered_json;

Json head(const Question& question) {
    const Zone& zone = question.household.zone;
    return {{"site", question.household.site.name},
            {"currency", question.household.site.currency},
            {"car", question.settings().car.name},
            {"point", question.point().name},
            {"control", question.point().control == site::Control::driven ? "driven" : "by-hand"},
            {"now", iso_text(zone, question.now)},
            {"plugged_in", iso_text(zone, question.present.begin)},
            {"ready_by", iso_text(zone, question.present.end)},
            {"ready_by_note", question.ready_by_note},
            {"need_wh", question.request.need.count() / 1000},
            {"floor_wh", question.request.floor.count() / 1000},
            {"notes", price_notes(question)}};
}

Json summary(const Question& question, const plan::Plan& plan) {
    const Zone& zone = question.household.zone;
    const int digits = question.household.site.currency_digits;
    Json json{{"energy_wh", plan.delivered.count() / 1000},
              {"lost_wh", plan.lost.count() / 1000},
              {"above_cap_wh", plan.objective.above_cap.count() / 1000},
              {"short_wh", plan.objective.short_by.count() / 1000},
              {"cost", cost_text(plan.energy_cost, digits)},
              {"starts", plan.objective.starts},
              {"most_amps", plan::greatest_current(plan).count()},
              {"begin", nullptr},
              {"end", nullptr}};
    if (const auto span = plan::charging_span(question.problem, plan)) {
        json["begin"] = iso_text(zone, span->begin);
        json["end"] = iso_text(zone, span->end);
    }
    json["proof"] = {{"cost_with_starts", cost_text(plan.objective.cost, 6)},
                     {"lower_bound", cost_text(plan.lower_bound, 6)}};
    return json;
}

// What is added by planning otherwise; negative where it is less.
Json difference(const plan::Objective& best, const plan::Objective& other) {
    return {{"short_wh", (other.short_by.count() - best.short_by.count()) / 1000},
            {"above_cap_wh", (other.above_cap.count() - best.above_cap.count()) / 1000},
            {"cost_with_starts", cost_text(other.cost - best.cost, 6)},
            {"starts", other.starts - best.starts}};
}

}  // namespace

std::string sentence_json(const Question& question, const std::string& sentence) {
    Json json = head(question);
    json["sentence"] = sentence;
    return json.dump(2);
}

std::string when_json(const Question& question, const WhenWords& words, const std::string& sentence) {
    const Zone& zone = words.zone;
    const int digits = words.currency_digits;
    auto json = head(question);
    json["sentence"] = sentence;
    json["plan"] = summary(question, words.when.best);
    json["at_once"] = summary(question, words.when.at_once);
    json["latest_cheapest"] = iso_text(zone, words.problem.slots[words.when.latest_cheapest].when.begin);
    json["least_from"] = iso_text(zone, words.problem.slots[words.when.least_from].when.begin);
    json["least_until"] = iso_text(zone, words.problem.slots[words.when.least_until].when.begin);
    json["latest_in_time"] = iso_text(zone, words.problem.slots[words.when.latest_in_time].when.begin);
    json["plug_in"] = Json::array();
    for (const WhenRow& row : when_rows(words)) {
        json["plug_in"].push_back({{"at", iso_text(zone, row.at)},
                                   {"cost", cost_text(row.energy_cost, digits)},
                                   {"ready", row.ready ? Json(iso_text(zone, *row.ready)) : nullptr},
                                   {"short_wh", row.objective.short_by.count() / 1000},
                                   {"note", row.note}});
    }
    const auto cure = [&](const char* key, const std::optional<plan::Cure>& found) {
        if (found)
            json["cures"][key] = {{"at", iso_text(zone, found->at)},
                                  {"cost", cost_text(bill(words, found->objective), digits)}};
    };
    cure("plug_in", words.earlier_plug_in);
    cure("ready_by", words.later_ready_by);
    return json.dump(2);
}

std::string plan_json(const Question& question, const plan::Plan& plan) {
    const Zone& zone = question.household.zone;
    auto json = head(question);
    json["plan"] = summary(question, plan);
    json["slots"] = Json::array();
    for (std::size_t i = 0; i < plan.slots.size(); ++i) {
        const plan::Slot& slot = question.problem.slots[i];
        const auto& price = tariff::price_at(question.prices, slot.when.begin);
        json["slots"].push_back({{"begin", iso_text(zone, slot.when.begin)},
                                 {"end", iso_text(zone, slot.when.end)},
                                 {"amps", plan.slots[i].amps.count()},
                                 {"room_amps", slot.most.count()},
                                 {"limited_by", bound_word(slot.bound.kind)},
                                 {"price_name", price.name},
                                 {"price_per_kwh", rate_text(slot.price, 2)},
                                 {"cost", cost_text(plan::cost_of(question.problem, plan, i), 6)},
                                 {"why", why_word(plan.slots[i].why)},
                                 {"reason", why_text(plan.slots[i], slot, question.household.site.site)}});
    }
    return json.dump(2);
}

std::string why_json(const Question& question, const plan::Plan& plan, std::size_t slot) {
    const plan::Slot& asked = question.problem.slots[slot];
    const Zone& zone = question.household.zone;
    Json json = head(question);
    json["begin"] = iso_text(zone, asked.when.begin);
    json["end"] = iso_text(zone, asked.when.end);
    json["amps"] = plan.slots[slot].amps.count();
    json["why"] = why_word(plan.slots[slot].why);
    json["reason"] = why_text(plan.slots[slot], asked, question.household.site.site);
    json["price_name"] = tariff::price_at(question.prices, asked.when.begin).name;
    json["price_per_kwh"] = rate_text(asked.price, 2);
    if (plan.marginal_price) json["dearest_paid_per_kwh"] = rate_text(*plan.marginal_price, 2);
    json["room_amps"] = asked.most.count();
    json["limited_by"] = bound_word(asked.bound.kind);
    json["otherwise"] = nullptr;
    if (const auto other = plan::otherwise(question.problem, plan, slot))
        json["otherwise"] = difference(plan.objective, other->objective);
    json["one_ampere_more"] = Json::array();
    for (const NodeWorth& worth : node_worths(question, plan)) {
        Json row{{"node", question.household.site.site.nodes[worth.node].name}};
        row.update(difference(plan.objective, worth.relieved));
        json["one_ampere_more"].push_back(row);
    }
    return json.dump(2);
}

}  // namespace lullwatt::tools
