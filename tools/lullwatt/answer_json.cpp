#include "tools/lullwatt/answer_json.hpp"

#include <algorithm>

#include <nlohmann/json.hpp>

#include "core/plan/exact_cost.hpp"
#include "core/plan/explain.hpp"
#include "core/plan/held.hpp"
#include "tools/lullwatt/current_text.hpp"
#include "tools/lullwatt/month_text.hpp"
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

void add_warnings(Json& json, const Question& question, const plan::Plan& plan) {
    json["warnings"] = hand_warnings(question);
    for (const std::string& warning : outing_warnings(question, plan)) json["warnings"].push_back(warning);
}

Json summary(const Question& question, const plan::Plan& plan) {
    const Zone& zone = question.household.zone;
    const int digits = question.household.site.currency_digits;
    Json json{{"energy_wh", plan.delivered.count() / 1000},
              {"lost_wh", plan.lost.count() / 1000},
              {"above_cap_wh", plan.objective.above_cap.count() / 1000},
              {"short_wh", plan.objective.short_by.count() / 1000},
              {"cost", cost_text(bill_cost(plan), digits)},
              {"energy_cost", cost_text(plan.energy_cost, digits)},
              {"month_cost", cost_text(plan.month_cost, digits)},
              {"starts", plan.objective.starts},
              {"most_amps", plan::greatest_current(plan).count()},
              {"begin_amps", first_current(plan).count()},
              {"begin", nullptr},
              {"end", nullptr}};
    if (const auto span = plan::charging_span(question.problem, plan)) {
        json["begin"] = iso_text(zone, span->begin);
        json["end"] = iso_text(zone, span->end);
    }
    return json;
}

// By itself: what one search has proven.
Json own_proof(const plan::Plan& plan, bool proven) {
    const auto amount = [](ExactAmount exact) { return static_cast<double>(exact.atto()) / 1e18; };
    const double cost = amount(plan.objective.cost);
    const double gap = proven ? 0 : (cost - amount(plan.lower_bound)) / std::max(std::abs(cost), 0.01);
    return {{"cost_with_starts", cost_text(plan.objective.cost, 6)},
            {"lower_bound", cost_text(plan.lower_bound, 6)},
            {"gap", gap},
            {"proven", proven}};
}

// Who else counts, and the proof of what was planned together.
void add_company(Json& json, const Night& night) {
    if (night.joint) {
        const plan::JointPlan& joint = *night.joint;
        json["together"] = {{"cars", joint.cars.size()},     {"cost_with_starts", cost_text(joint.cost, 6)},
                            {"lower_bound", nullptr},        {"gap", nullptr},
                            {"proven", joint.cost_proven()}, {"shortfalls_proven", joint.shortfalls_proven}};
        if (joint.lower_bound) {
            json["together"]["lower_bound"] = cost_text(*joint.lower_bound, 6);
            json["together"]["gap"] = *joint.gap();
        }
    }
    json["beside"] = Json::array();
    for (const CarNight& car : night.cars) {
        if (car.asked) continue;
        Json other{{"car", car.question.settings().car.name}, {"point", car.question.point().name}};
        other.update(summary(car.question, car.month.plan));
        json["beside"].push_back(std::move(other));
    }
    json["company_notes"] = night.notes;
}

const char* known_word(io::Known known) {
    switch (known) {
        case io::Known::stated:
            return "stated";
        case io::Known::readings:
            return "readings";
        case io::Known::nothing:
            break;
    }
    return "nothing";
}

Json kilowatts(Milliwatts power) { return decimal_text(power.count(), 6); }

// What a plan does to the peaks and steps its bills charge for.
Json month_json(const Question& question, const plan::MonthPlan& month) {
    const int digits = question.household.site.currency_digits;
    Json json{{"cost", cost_text(month.plan.month_cost, digits)}, {"proven", month.proven}};
    json["peaks"] = Json::array();
    for (std::size_t i = 0; i < month.peaks.size(); ++i) {
        const io::ToldPeak& told = question.month.peaks[i];
        json["peaks"].push_back({{"contract", told.contract},
                                 {"charge", told.charge},
                                 {"known_by", known_word(told.known)},
                                 {"so_far_kw", kilowatts(told.so_far)},
                                 {"free_kw", kilowatts(month.peaks[i].before)},
                                 {"with_plan_kw", kilowatts(month.peaks[i].after)},
                                 {"cost", cost_text(month.peaks[i].cost, digits)}});
    }
    json["steps"] = Json::array();
    for (std::size_t i = 0; i < month.steps.size(); ++i) {
        const io::ToldSteps& told = question.month.steps[i];
        const plan::StepOutcome& outcome = month.steps[i];
        json["steps"].push_back({{"contract", told.contract},
                                 {"block", told.block},
                                 {"known_by", known_word(told.known)},
                                 {"so_far_wh", told.so_far.count() / 1000},
                                 {"expected_wh", told.expected.count() / 1000},
                                 {"car_wh", outcome.taken.count() / 1000},
                                 {"step_before", told.steps[outcome.before]},
                                 {"step_after", told.steps[outcome.after]},
                                 {"cost", cost_text(outcome.cost, digits)}});
    }
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

std::string when_json(const Night& night, const WhenWords& words, const std::string& sentence) {
    const Question& question = night.asked().question;
    const Zone& zone = words.zone;
    const int digits = words.currency_digits;
    auto json = head(question);
    json["sentence"] = sentence;
    add_warnings(json, question, words.when.best);
    json["plan"] = summary(question, words.when.best);
    json["plan"]["proof"] = own_proof(words.when.best, words.month.proven);
    json["at_once"] = summary(question, words.when.at_once);
    json["month"] = month_json(question, words.month);
    json["latest_cheapest"] = iso_text(zone, words.problem.slots[words.when.latest_cheapest].when.begin);
    json["least_from"] = iso_text(zone, words.problem.slots[words.when.least_from].when.begin);
    json["least_until"] = iso_text(zone, words.problem.slots[words.when.least_until].when.begin);
    json["latest_in_time"] = iso_text(zone, words.problem.slots[words.when.latest_in_time].when.begin);
    json["plug_in"] = Json::array();
    for (const WhenRow& row : words.rows) {
        json["plug_in"].push_back({{"at", iso_text(zone, row.at)},
                                   {"cost", cost_text(row.energy_cost, digits)},
                                   {"ready", row.ready ? Json(iso_text(zone, *row.ready)) : nullptr},
                                   {"short_wh", row.objective.short_by.count() / 1000},
                                   {"above_cap_wh", row.objective.above_cap.count() / 1000},
                                   {"note", row.note},
                                   {"month", row.month}});
    }
    const auto cure = [&](const char* key, const std::optional<plan::Cure>& found) {
        if (found)
            json["cures"][key] = {{"at", iso_text(zone, found->at)},
                                  {"cost", cost_text(bill(words, found->objective), digits)},
                                  {"above_cap_wh", found->objective.above_cap.count() / 1000}};
    };
    cure("plug_in", words.earlier_plug_in);
    cure("ready_by", words.later_ready_by);
    add_company(json, night);
    return json.dump(2);
}

namespace {

// Other cars that draw from what limits a slot.
Json held_json(const plan::Holding& held) {
    Json json = Json::array();
    for (const plan::Held& one : held.named) json.push_back({{"car", one.car}, {"amps", one.amps.count()}});
    return json;
}

Json car_json(const CarNight& car) {
    const Question& question = car.question;
    const plan::Plan& plan = car.month.plan;
    const Zone& zone = question.household.zone;
    auto json = head(question);
    add_warnings(json, question, plan);
    json["plan"] = summary(question, plan);
    if (!car.together) json["plan"]["proof"] = own_proof(plan, car.month.proven);
    json["month"] = month_json(question, car.month);
    json["slots"] = Json::array();
    plan::Holders holders(question.household.site.site, question.beside);
    for (std::size_t i = 0; i < plan.slots.size(); ++i) {
        const plan::Slot& slot = question.problem.slots[i];
        const auto& price = tariff::price_at(question.prices, slot.when.begin);
        const plan::Holding held = holders.of(slot);
        json["slots"].push_back(
            {{"begin", iso_text(zone, slot.when.begin)},
             {"end", iso_text(zone, slot.when.end)},
             {"amps", plan.slots[i].amps.count()},
             {"drawn_amps", plan.slots[i].drawn.count()},
             {"room_amps", slot.most.count()},
             {"limited_by", bound_word(slot.bound.kind)},
             {"held_by", held_json(held)},
             {"held_by_others", held.others},
             {"price_name", price.name},
             {"price_per_kwh", rate_text(slot.price, 2)},
             {"cost", cost_text(plan::cost_of(question.problem, plan, i), 6)},
             {"why", why_word(plan.slots[i].why)},
             {"reason", why_text(plan.slots[i], slot, question.household.site.site, held)}});
    }
    return json;
}

}  // namespace

std::string plan_json(const Night& night) {
    const bool single = std::ranges::count(night.cars, true, &CarNight::asked) == 1;
    Json json;
    if (single) json = car_json(night.asked());
    if (!single) json["cars"] = Json::array();
    for (const CarNight& car : night.cars) {
        if (!single && car.asked) json["cars"].push_back(car_json(car));
    }
    add_company(json, night);
    return json.dump(2);
}

std::string why_json(const Night& night, std::size_t slot, const std::vector<NodeWorth>& worths,
                     const std::string& slot_note) {
    const Question& question = night.asked().question;
    const plan::MonthPlan& month = night.asked().month;
    const plan::Plan& plan = month.plan;
    const plan::Slot& asked = question.problem.slots[slot];
    plan::PlannedSlot planned = plan.slots[slot];
    const auto other = plan::otherwise(question.asked_problem, question.month.costs, plan, slot);
    if (other) planned.why = plan::proven_why(question.problem, plan, slot, other->plan.objective);
    const Zone& zone = question.household.zone;
    Json json = head(question);
    json["begin"] = iso_text(zone, asked.when.begin);
    json["end"] = iso_text(zone, asked.when.end);
    json["slot_note"] = slot_note;
    json["amps"] = plan.slots[slot].amps.count();
    json["drawn_amps"] = plan.slots[slot].drawn.count();
    json["why"] = why_word(planned.why);
    const plan::Holding held = plan::Holders(question.household.site.site, question.beside).of(asked);
    json["reason"] = why_text(planned, asked, question.household.site.site, held);
    json["price_name"] = tariff::price_at(question.prices, asked.when.begin).name;
    json["price_per_kwh"] = rate_text(asked.price, 2);
    if (plan.marginal_price) json["dearest_paid_per_kwh"] = rate_text(*plan.marginal_price, 2);
    json["room_amps"] = asked.most.count();
    json["limited_by"] = bound_word(asked.bound.kind);
    json["held_by"] = held_json(held);
    json["held_by_others"] = held.others;
    json["otherwise"] = nullptr;
    if (other) {
        json["otherwise"] = difference(plan.objective, other->plan.objective);
        if (!other->peaks.empty()) json["otherwise"]["peaks"] = month_json(question, *other)["peaks"];
    }
    json["month"] = month_json(question, month);
    json["one_ampere_more"] = Json::array();
    for (const NodeWorth& worth : worths) {
        Json row{{"node", question.household.site.site.nodes[worth.node].name},
                 {"all_cars_together", worth.together},
                 {"proven", worth.proven}};
        row.update(difference(worth.planned, worth.relieved));
        json["one_ampere_more"].push_back(row);
    }
    add_company(json, night);
    return json.dump(2);
}

}  // namespace lullwatt::tools
