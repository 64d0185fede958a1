#include "tools/lullwatt/outings.hpp"

#include <algorithm>
#include <cmath>
#include <variant>

#include "core/plan/evaluate.hpp"

namespace lullwatt::tools {
namespace {

// Outings by habit between plug-in and ready-by; one that would be under way at the ready-by does not begin,
// for the household says that the car is there until then.
std::vector<vehicle::Outing> outings(const Question& question, Interval present) {
    const io::CarSettings& settings = question.settings();
    auto found = vehicle::outings(settings.car, settings.habits, question.household.zone, present);
    std::erase_if(found, [&](const vehicle::Outing& one) { return present.end <= one.when.end; });
    return found;
}

// Where the charge is known: the car's taper, and with outings between that a full battery takes nothing.
void settle_taper(const Question& question, plan::Request& request) {
    const auto arrival = vehicle::charge_on_arrival(question.stated);
    if (!arrival) return;
    const vehicle::Car& car = question.settings().car;
    const auto still = [&](StateOfCharge charge) {
        return std::max<MilliwattHours>(vehicle::between(car, *arrival, charge) - question.done,
                                        MilliwattHours{});
    };
    for (const vehicle::TaperStep& step : car.taper) request.taper.push_back({still(step.from), step.most});
    constexpr StateOfCharge kFull{100};
    const bool ends_full = !car.taper.empty() && car.taper.back().most == WholeAmps(0);
    if (!request.absences.empty() && !ends_full) request.taper.push_back({still(kFull), WholeAmps(0)});
}

}  // namespace

void settle_outings(const Question& question, MilliwattHours energy, plan::Request& request) {
    const bool adds = vehicle::charge_on_arrival(question.stated) ||
                      std::holds_alternative<vehicle::Distance>(question.stated);
    request.need = energy;
    request.absences.clear();
    request.taper.clear();
    for (const vehicle::Outing& outing : outings(question, request.present)) {
        const MilliwattHours driven(std::llround(static_cast<double>(outing.battery_use.count()) * 1000 /
                                                 question.settings().car.efficiency));
        request.absences.push_back({outing.when, driven});
        if (adds) request.need += driven;
    }
    settle_taper(question, request);
}

std::vector<Lack> lacks(const Question& question, const plan::Problem& problem, const plan::Plan& plan) {
    const vehicle::Car& car = question.settings().car;
    const MilliwattHours full = vehicle::between(car, {0}, {100});
    const auto arrival = vehicle::charge_on_arrival(question.stated);
    std::vector<Lack> found;
    MilliwattHours held = arrival ? vehicle::between(car, {0}, *arrival) : full;
    for (const plan::Absence& absence : question.request.absences) {
        std::vector<int> amps(plan.slots.size());
        for (std::size_t slot = 0; slot < plan.slots.size(); ++slot) {
            if (problem.slots[slot].when.end <= absence.when.begin)
                amps[slot] = plan.slots[slot].amps.count();
        }
        const MilliwattHours charged =
            arrival ? plan::whole_energy(plan::tally(problem, amps).net) : MilliwattHours{};
        if (held + charged < absence.driven)
            found.push_back({absence.when, absence.driven, absence.driven - held - charged});
        if (arrival) held -= absence.driven;
    }
    return found;
}

void keep_drivable(const Question& question, plan::When& when) {
    if (question.request.absences.empty()) return;
    const auto lacking = [&](std::size_t slot) {
        const plan::MonthPlan then = plan::plugged_in_at(question.asked_problem, question.month.costs, slot);
        MilliwattHours sum;
        for (const Lack& lack : lacks(question, then.problem, then.plan)) sum += lack.lacking;
        return sum;
    };
    const MilliwattHours at_first = lacking(0);
    std::size_t last = when.latest_in_time;
    if (lacking(last) > at_first) {
        std::size_t above = last;
        last = 0;
        while (above - last > 1) {
            const std::size_t middle = last + (above - last) / 2;
            (lacking(middle) > at_first ? above : last) = middle;
        }
    }
    when.latest_in_time = last;
    when.latest_cheapest = std::min(when.latest_cheapest, last);
    if (when.least_until <= last) return;
    for (std::size_t slot = when.least_from = when.least_until = 0; slot <= last; ++slot) {
        const auto order = plan::dearness(when.plug_in[slot], when.plug_in[when.least_until]);
        if (order > 0) continue;
        if (order < 0 || slot > when.least_until + 1) when.least_from = slot;
        when.least_until = slot;
    }
}

Instant Question::earliest_plug_in() const {
    Instant earliest = asked.begin;
    for (const vehicle::Outing& outing : vehicle::outings(settings().car, settings().habits, household.zone,
                                                          {asked.begin - date::days{1}, present.begin}))
        earliest = std::max(earliest, std::min(outing.when.end, present.begin));
    return earliest;
}

Instant Question::latest_ready_by() const {
    for (const vehicle::Outing& outing :
         vehicle::outings(settings().car, settings().habits, household.zone, {present.begin, asked.end})) {
        if (outing.when.end > present.end) return std::min(asked.end, outing.when.end);
    }
    return asked.end;
}

}  // namespace lullwatt::tools
