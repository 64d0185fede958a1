#include "tools/lullwatt/night.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "core/plan/when.hpp"
#include "solver/cbc.hpp"
#include "tools/lullwatt/current_text.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

bool by_hand(const Question& question) { return question.point().control == site::Control::by_hand; }

bool needs_energy(const Question& question) {
    return question.request.need > kNothing && !question.problem.slots.empty();
}

// Who has the cable of a point tonight: ready first, then the greatest need, then the order of the site file.
bool before(const Question& a, const Question& b) {
    if (a.present.end != b.present.end) return a.present.end < b.present.end;
    return a.request.need > b.request.need;
}

void take_turns(Night& night) {
    std::vector<std::size_t> kept;
    for (std::size_t i = 0; i < night.cars.size(); ++i) {
        const Question& question = night.cars[i].question;
        const auto rival = std::ranges::find_if(kept, [&](std::size_t other) {
            return night.cars[other].question.settings().point == question.settings().point;
        });
        if (rival == kept.end()) {
            kept.push_back(i);
            continue;
        }
        const CarNight& has = night.cars[*rival];
        const bool is_told = night.cars[i].asked != has.asked;
        const bool takes_over = is_told ? night.cars[i].asked : before(question, has.question);
        const Question& winner = takes_over ? question : has.question;
        const Question& loser = takes_over ? has.question : question;
        const std::string why = is_told ? "as asked" : "for it is to be ready first, or needs most";
        night.notes.push_back(
            fmt::format("{} is on {} tonight, {}; {} is not, for one cable charges one car a night.",
                        winner.settings().car.name, winner.point().name, why, loser.settings().car.name));
        if (takes_over) *rival = i;
    }
    std::vector<CarNight> cars;
    for (const std::size_t i : kept) cars.push_back(std::move(night.cars[i]));
    night.cars = std::move(cars);
}

plan::Taken taken_by(const CarNight& car) {
    plan::Taken taken{
        .point = car.question.settings().point, .draws = {}, .car = car.question.settings().car.name};
    const plan::Plan& plan = car.month.plan;
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const auto power = static_cast<std::int64_t>(plan.slots[t].drawn.count()) *
                           std::llround(car.question.problem.per_ampere.count() * 1000);
        taken.draws.push_back({car.question.problem.slots[t].when, plan.slots[t].amps, Milliwatts(power)});
    }
    return taken;
}

plan::Wanted wanted_by(const Question& question) {
    return {.point = question.settings().point,
            .car = question.settings().car,
            .request = question.request,
            .prices = &question.prices,
            .hold = question.hold};
}

// What one needs to know of every node: loads over the presences of all.
site::SiteLoads common_loads(const std::vector<const CarNight*>& cars) {
    Interval span = cars.front()->question.present;
    for (const CarNight* car : cars) {
        span.begin = std::min(span.begin, car->question.present.begin);
        span.end = std::max(span.end, car->question.present.end);
    }
    return io::loads(cars.front()->question.household, span);
}

// What the joint programme does not know of a car.
const char* apart_text(plan::Apart apart) {
    switch (apart) {
        case plan::Apart::by_hand:
            return "is set by hand, in one block";
        case plan::Apart::taper:
            return "takes less near full";
        case plan::Apart::overhead:
            return "loses the same power at any current";
        case plan::Apart::does_not_wake:
            return "does not go on after a pause";
        case plan::Apart::price_cap:
            return "has a price cap";
    }
    return "";
}

std::string apart_note(const std::string& car, plan::Apart apart, bool gap_is_left) {
    return fmt::format(
        "{} {}: it is planned together with the others{}.", car, apart_text(apart),
        gap_is_left ? ", and more time may not find out whether the gap that is left can be saved" : "");
}

// As much as a proof takes, in the time there is.
plan::Budget budget_of(double seconds) {
    using Clock = std::chrono::steady_clock;
    const auto past = [begin = Clock::now()](double limit) {
        return std::chrono::duration<double>(Clock::now() - begin).count() >= limit;
    };
    return {.pricings = 1'000'000,
            .nodes = 10'000'000,
            .stop = [=] { return past(seconds); },
            .hurry = [=] { return past(seconds / 2); }};
}

plan::JointProblem problem_of(const std::vector<const CarNight*>& cars, const std::vector<plan::Taken>& taken,
                              const std::optional<site::Relief>& relief = {}) {
    std::vector<plan::Wanted> wanted;
    for (const CarNight* car : cars) wanted.push_back(wanted_by(car->question));
    const io::Household& house = cars.front()->question.household;
    return plan::assemble_joint(house.site.site, wanted, common_loads(cars), house.unattended, house.zone,
                                taken, relief);
}

void plan_together(Night& night, const std::vector<CarNight*>& cars, const std::vector<plan::Taken>& taken,
                   const plan::Budget& budget) {
    const plan::JointProblem problem = problem_of({cars.begin(), cars.end()}, taken);
    night.joint = plan::solve_joint(problem, budget, solver::cbc());
    for (const plan::ApartCar& one : night.joint->apart)
        night.notes.push_back(apart_note(problem.cars[one.car].name, one.because,
                                         night.joint->lower_bound && !night.joint->cost_proven()));
    for (std::size_t i = 0; i < cars.size(); ++i) {
        plan::Beside alone = plan::beside(problem, *night.joint, i, cars[i]->question.present);
        cars[i]->question.problem = alone.problem;
        cars[i]->question.asked_problem = alone.problem;
        cars[i]->month = {std::move(alone.problem), std::move(alone.plan), {}, {}, true};
        cars[i]->together = true;
    }
}

// What those that are here draw at points other than this car's.
std::vector<plan::Taken> taken_by_others(const Night& night, const CarNight& car) {
    std::vector<plan::Taken> taken;
    for (const CarNight& other : night.cars) {
        if (other.here && other.question.settings().point != car.question.settings().point)
            taken.push_back(taken_by(other));
    }
    return taken;
}

// What `when` asks for other presences stands beside everything else that is planned.
void set_beside(Night& night) {
    for (CarNight& car : night.cars) {
        if (car.asked && car.together) car.question.beside = taken_by_others(night, car);
    }
}

// Each has what those that are here leave, as if it came alone.
void plan_those_away(Night& night) {
    for (CarNight& car : night.cars) {
        if (car.here) continue;
        if (needs_energy(car.question)) car.question.stand_beside(taken_by_others(night, car));
        car.month = car.question.plan();
        if (!car.asked) continue;
        night.notes.push_back(
            fmt::format("{} is not on a cable now: it is planned on what those that are leave.",
                        car.question.settings().car.name));
    }
}

// One after another, the one asked about last: a peak or a step of the month belongs to nobody's slots alone.
void plan_in_order(Night& night, std::vector<CarNight*> driven, std::vector<plan::Taken> taken) {
    std::ranges::sort(driven, [&](const CarNight* a, const CarNight* b) {
        return a->asked != b->asked ? b->asked : before(a->question, b->question);
    });
    std::string names;
    for (CarNight* car : driven) {
        car->question.stand_beside(taken);
        car->month = car->question.plan();
        taken.push_back(taken_by(*car));
        names += (names.empty() ? "" : ", then ") + car->question.settings().car.name;
    }
    if (driven.size() > 1) {
        night.notes.push_back(fmt::format(
            "The bill charges for the month's power or use, so each car is planned on what those before it "
            "leave: {}. Another order may cost more or less.",
            names));
    }
}

// Those set by hand first, where the bill charges for the month: the others are planned around them.
void plan_by_hand(Night& night, std::vector<CarNight*>& cars, std::vector<plan::Taken>& taken) {
    const auto driven = std::stable_partition(cars.begin(), cars.end(),
                                              [](const CarNight* car) { return by_hand(car->question); });
    const bool before_others = driven != cars.begin() && driven != cars.end();
    for (auto at = cars.begin(); at != driven; ++at) {
        (*at)->month = (*at)->question.plan();
        taken.push_back(taken_by(**at));
    }
    cars.erase(cars.begin(), driven);
    if (!before_others) return;
    night.notes.emplace_back(
        "What is set by hand is planned first, as if driven cars drew their standing current; driven ones "
        "are planned around it.");
}

void plan_all(Night& night, const plan::Budget& budget) {
    std::vector<plan::Taken> taken;
    std::vector<CarNight*> cars;
    for (CarNight& car : night.cars) {
        if (!car.here) continue;
        if (needs_energy(car.question)) {
            cars.push_back(&car);
            continue;
        }
        car.month = car.question.plan();
        if (by_hand(car.question)) taken.push_back(taken_by(car));
    }
    const bool by_month =
        std::ranges::any_of(cars, [](const CarNight* car) { return !car->question.month.costs.none(); });
    if (cars.size() > 1 && !by_month) {
        plan_together(night, cars, taken, budget);
        set_beside(night);
    } else {
        plan_by_hand(night, cars, taken);
        plan_in_order(night, std::move(cars), std::move(taken));
    }
    plan_those_away(night);
}

// A car nobody asked about, by its settings; a note where that fails.
void add_other(Night& night, const House& house, const QuestionOptions& options, std::size_t car) {
    QuestionOptions usual;
    usual.site = options.site;
    usual.at = options.at;
    usual.month_peak = options.month_peak;
    usual.month_use = options.month_use;
    auto question = ask(house, usual, car);
    if (!question.ok()) {
        const io::Fault& fault = question.faults().front();
        night.notes.push_back(fmt::format("{} counts with its standing current only: {} {}.",
                                          house.household->site.cars[car].car.name, fault.key, fault.what));
        return;
    }
    if (needs_energy(question.value())) night.cars.push_back({std::move(question).value(), {}, false});
}

}  // namespace

const CarNight& Night::asked() const { return *std::ranges::find(cars, true, &CarNight::asked); }

Night night_of(std::vector<CarNight> cars, const plan::Budget& budget) {
    Night night{.cars = std::move(cars), .joint = {}, .notes = {}};
    plan_all(night, budget);
    return night;
}

io::Read<Night> plan_night(const House& house, const QuestionOptions& options, Whom whom) {
    const auto seconds = proof_seconds(options);
    if (!seconds.ok()) return seconds.faults();
    const std::size_t count = house.household->site.cars.size();
    const bool every_one = whom == Whom::every_one && count > 1 && options.car.empty() &&
                           !options.of_one_car() && !options.alone;

    Night night;
    std::size_t chosen = count;
    if (!every_one) {
        const auto car = chosen_car(house, options);
        if (!car.ok()) return car.faults();
        chosen = car.value();
    }
    for (std::size_t car = 0; car < count; ++car) {
        if (car == chosen) {
            auto question = ask(house, options, car);
            if (!question.ok()) return question.faults();
            night.cars.push_back({std::move(question).value(), {}, true});
        } else if (!options.alone) {
            add_other(night, house, options, car);
        }
    }
    if (every_one) {
        for (CarNight& car : night.cars) car.asked = true;
    }
    night.proof_seconds = seconds.value();
    take_turns(night);
    plan_all(night, budget_of(seconds.value()));
    return night;
}

plan::JointPlan relieved_together(const Night& night, std::size_t node) {
    std::vector<const CarNight*> cars;
    std::vector<plan::Taken> taken;
    for (const CarNight& car : night.cars) {
        if (car.together) cars.push_back(&car);
        if (car.here && !car.together && by_hand(car.question)) taken.push_back(taken_by(car));
    }
    return plan::solve_joint(problem_of(cars, taken, site::Relief{node, Amps(1)}),
                             budget_of(night.proof_seconds), solver::cbc());
}

std::vector<std::string> beside_texts(const Night& night) {
    std::vector<std::string> texts;
    for (const CarNight& car : night.cars) {
        if (car.asked) continue;
        const Zone& zone = car.question.household.zone;
        const auto span = plan::charging_span(car.question.problem, car.month.plan);
        if (!span) continue;
        texts.push_back(fmt::format("Counted beside it as planned: {} at {}, {}, {} to {}, {}.",
                                    car.question.settings().car.name, car.question.point().name,
                                    energy_text(car.month.plan.delivered),
                                    day_and_clock_text(zone, span->begin),
                                    day_and_clock_text(zone, span->end), current_text(car.month.plan)));
    }
    texts.insert(texts.end(), night.notes.begin(), night.notes.end());
    return texts;
}

std::string gap_text(const plan::JointPlan& plan) {
    if (plan.cost_proven()) return "proven";
    const double percent = *plan.gap() * 100;
    return percent < 0.01 ? "gap below 0.01 %" : fmt::format("gap {:.{}f} %", percent, percent < 0.1 ? 2 : 1);
}

}  // namespace lullwatt::tools
