#include <algorithm>
#include <cctype>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "core/plan/exact_cost.hpp"
#include "core/plan/held.hpp"
#include "tools/lullwatt/answer.hpp"
#include "tools/lullwatt/answer_json.hpp"
#include "tools/lullwatt/month_text.hpp"
#include "tools/lullwatt/night.hpp"
#include "tools/lullwatt/picture.hpp"
#include "tools/lullwatt/price_notes.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

// Neighbouring slots that carry the same for the same reason, told as one.
struct Stretch {
    Interval when;
    WholeAmps amps;
    WholeAmps least_room;
    WholeAmps most_room;
    const tariff::PricePiece* price = nullptr;
    std::size_t first = 0;
    std::string bound = {};
    plan::Holding held = {};
    ExactAmount cost = {};
};

std::vector<Stretch> stretches(const Question& question, const plan::Plan& plan) {
    std::vector<Stretch> found;
    const site::Site& site = question.household.site.site;
    plan::Holders holders(site, question.beside);
    for (std::size_t i = 0; i < plan.slots.size(); ++i) {
        const plan::Slot& slot = question.problem.slots[i];
        const auto& price = tariff::price_at(question.prices, slot.when.begin);
        const ExactAmount cost = plan::cost_of(question.problem, plan, i);
        plan::Holding held = holders.of(slot);
        std::string bound = bound_text(slot.bound, site, held);
        const bool at_most = plan.slots[i].amps == slot.most;
        const bool same = i > 0 && found.back().price == &price && plan.slots[i] == plan.slots[i - 1] &&
                          at_most == (plan.slots[i - 1].amps == question.problem.slots[i - 1].most) &&
                          bound == found.back().bound;
        if (!same)
            found.push_back({slot.when, plan.slots[i].amps, slot.most, slot.most, &price, i, std::move(bound),
                             std::move(held)});
        Stretch& last = found.back();
        last.when.end = slot.when.end;
        last.least_room = std::min(last.least_room, slot.most);
        last.most_room = std::max(last.most_room, slot.most);
        last.cost += cost;
    }
    return found;
}

std::string room_text(const Stretch& stretch) {
    if (stretch.least_room == stretch.most_room) return amps_text(stretch.most_room);
    return fmt::format("{}–{}", stretch.least_room.count(), amps_text(stretch.most_room));
}

// The price's name; where that night several prices share it, what the price is.
std::string price_text(const Question& question, const tariff::PricePiece& price) {
    const bool shared = std::ranges::any_of(question.prices, [&](const tariff::PricePiece& other) {
        return other.name == price.name && other.marginal != price.marginal;
    });
    return shared ? rate_text(price.marginal, question.household.site.currency_digits) : price.name;
}

std::string table(const Question& question, const plan::Plan& plan) {
    const Zone& zone = question.household.zone;
    const int digits = question.household.site.currency_digits;
    std::string text = fmt::format("  {:<11} {:>5} {:>9}  {:<12} {:>8}  {}\n", "from to", "amps", "room",
                                   "price", "cost", "why");
    for (const Stretch& stretch : stretches(question, plan)) {
        text += fmt::format("  {:<13} {:>5} {:>9}  {:<12} {:>8}  {}\n",
                            clock_text(zone, stretch.when.begin) + "–" + clock_text(zone, stretch.when.end),
                            stretch.amps == WholeAmps(0) ? "-" : amps_text(stretch.amps), room_text(stretch),
                            price_text(question, *stretch.price),
                            stretch.amps == WholeAmps(0) ? "" : cost_text(stretch.cost, digits),
                            why_text(plan.slots[stretch.first], question.problem.slots[stretch.first],
                                     question.household.site.site, stretch.held));
    }
    if (plan.month_cost != ExactAmount{}) {
        text += fmt::format("  {:<11} {:>5} {:>9}  {:<12} {:>8}  {}\n", "the month", "", "", "",
                            cost_text(plan.month_cost, digits), "peak and steps, beside the prices above");
    }
    return text;
}

std::string drawing(const Question& question, const plan::Plan& plan) {
    std::vector<PictureSlot> slots;
    for (std::size_t i = 0; i < plan.slots.size(); ++i) {
        const plan::Slot& slot = question.problem.slots[i];
        slots.push_back({slot.when, plan.slots[i].drawn,
                         slot.most < question.problem.least ? WholeAmps(0) : slot.most, slot.price,
                         tariff::price_at(question.prices, slot.when.begin).name});
    }
    return picture(slots, question.household.zone, question.household.site.currency_digits);
}

// What `when` must be told beside the night.
std::string which_car(const Question& question) {
    if (question.household.site.cars.size() == 1) return "";
    const std::string& name = question.settings().car.name;
    const bool plain = std::ranges::all_of(
        name, [](char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '-'; });
    return " --car " + (plain ? name : "'" + name + "'");
}

// ", counting 0.02 for each start"; empty where a start costs nothing.
std::string with_starts(const io::Household& household) {
    const Money cost = household.site.start_cost;
    if (cost == Money(0)) return {};
    return fmt::format(", counting {} for each start", amount_text(cost, household.site.currency_digits));
}

// "up to 0.12", or "less than 0.01": an amount above nothing never reads as nothing.
std::string up_to(ExactAmount amount, int digits) {
    if (rounded(amount, digits) != Money(0)) return "up to " + cost_text(amount, digits);
    constexpr int kDecimals = 6;
    std::int64_t unit = 1;
    for (int i = digits; i < kDecimals; ++i) unit *= 10;
    return "less than " + money_text(Money(unit), digits);
}

// Whether a floor, a price cap or one block by hand leaves out plans that bring as much.
bool is_bound(const Question& question) {
    return question.problem.floor > kNothing || question.problem.price_cap ||
           question.problem.manner == plan::Manner::one_block;
}

// The plans that a proof is about: those that bring less, or take it at other prices, may well cost less.
std::string rivals_text(bool bound, bool is_short, bool capped) {
    const std::string plan = bound ? "such plan" : "plan";
    if (capped) return plan + " that leaves no car shorter, nor takes more above its price cap,";
    return is_short ? plan + " that leaves no car shorter" : plan;
}

std::string headline(const Question& question, const plan::MonthPlan& month, bool by_itself) {
    const plan::Plan& plan = month.plan;
    const Zone& zone = question.household.zone;
    const int digits = question.household.site.currency_digits;
    const std::string note =
        question.ready_by_note.empty() ? "" : fmt::format(" ({})", question.ready_by_note);
    std::string text = fmt::format(
        "{} at {}, {} to {}{}: {} of {}, {} {}.\n", question.settings().car.name, question.point().name,
        day_and_clock_text(zone, question.present.begin), day_and_clock_text(zone, question.present.end),
        note, energy_text(plan.delivered - plan.lost), energy_text(question.request.need),
        cost_text(bill_cost(plan), digits), question.household.site.currency);
    if (plan.objective.short_by > MilliwattHours{}) {
        std::string lacking = some_energy_text(plan.objective.short_by);
        lacking.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(lacking.front())));
        text +=
            fmt::format("{} short: `lullwatt when{}` says what would help.\n", lacking, which_car(question));
    }
    if (by_itself) {
        text += fmt::format("Proof: no {} costs less than {}{}; this one costs {}{}.\n",
                            rivals_text(is_bound(question), plan.objective.short_by > MilliwattHours{},
                                        plan.objective.above_cap > MilliwattHours{}),
                            cost_at_least_text(plan.lower_bound, digits), with_starts(question.household),
                            cost_text(plan.objective.cost, digits), month.proven ? ": proven" : "");
        if (!month.proven) {
            text += fmt::format("Whether a plan {} cheaper is to be had is not proven.\n",
                                up_to(plan.objective.cost - plan.lower_bound, digits));
        }
    }
    for (const std::string& line : month_lines(question, month)) text += line + "\n";
    for (const std::string& line : price_notes(question)) text += line + "\n";
    for (const std::string& line : outing_warnings(question, plan)) text += line + "\n";
    return text;
}

std::string proof_text(const Night& night) {
    const plan::JointPlan& joint = *night.joint;
    const io::Household& household = night.cars.front().question.household;
    const int digits = household.site.currency_digits;
    const std::string cost = cost_text(joint.cost, digits);
    if (!joint.lower_bound) {
        return fmt::format(
            "{} cars cost {}{}. What they cost at least is not known: one has a floor and a price cap, or "
            "could not charge its floor first, or is shorter than by itself while a price is below "
            "nothing.\n",
            joint.cars.size(), cost, with_starts(household));
    }
    const bool capped =
        std::ranges::find(joint.apart, plan::Apart::price_cap, &plan::ApartCar::because) != joint.apart.end();
    const bool bound = std::ranges::any_of(
        night.cars, [](const CarNight& car) { return car.together && is_bound(car.question); });
    const bool is_short = joint.shortfalls.front().missing > MilliwattHours{};
    return fmt::format("Proof: {} cars together; no {} costs less than {}{}; this one costs {}: {}.\n",
                       joint.cars.size(), rivals_text(bound, is_short, capped),
                       cost_at_least_text(*joint.lower_bound, digits), with_starts(household), cost,
                       gap_text(joint));
}

std::string together_text(const Night& night) {
    std::string text;
    if (night.joint) {
        text += proof_text(night);
        if (!night.joint->shortfalls_proven) text += "That no plan leaves less short is not proven.\n";
    }
    for (const std::string& line : beside_texts(night)) text += line + "\n";
    return text;
}

// What must be read before any plan, each once.
std::string unsafe_text(const Night& night) {
    std::vector<std::string> told;
    for (const CarNight& car : night.cars) {
        if (!car.asked) continue;
        for (const std::string& line : hand_warnings(car.question)) {
            if (std::ranges::find(told, line) == told.end()) told.push_back(line);
        }
    }
    std::string text;
    for (const std::string& line : told) text += line + "\n\n";
    return text;
}

std::string whole_text(const Night& night) {
    std::string text = unsafe_text(night);
    bool any = false;
    for (const CarNight& car : night.cars) {
        if (!car.asked) continue;
        const Question& question = car.question;
        text += any ? "\n" : "";
        any = true;
        if (question.problem.slots.empty()) {
            text += "Nothing is left of the time until ready-by.\n";
            continue;
        }
        text += headline(question, car.month, !car.together) + "\n" + drawing(question, car.month.plan) +
                "\n" + table(question, car.month.plan);
    }
    if (!any) return "No car of this house needs energy tonight.\n";
    const std::string together = together_text(night);
    return text + (together.empty() ? "" : "\n" + together);
}

}  // namespace

Answer plan_answer(const Night& night) { return {whole_text(night), plan_json(night)}; }

}  // namespace lullwatt::tools
