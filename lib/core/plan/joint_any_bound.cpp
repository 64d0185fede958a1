#include "core/plan/joint_any_bound.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "core/plan/charging.hpp"
#include "core/plan/exact.hpp"
#include "core/plan/joint_bound.hpp"
#include "core/plan/joint_model.hpp"
#include "core/plan/joint_rest.hpp"
#include "core/plan/solve.hpp"

namespace lullwatt::plan {
namespace {

constexpr Wide kThirdsPerMinute = 50;                     // of a milliwatt-hour that a watt is
constexpr std::int64_t kDearest = 1'000'000'000'000'000;  // 1,000 per kWh: surcharges end there

bool is_dear(const Slot& slot, const std::optional<Rate>& cap) { return cap && slot.price > *cap; }

// The car by itself, asked for no more than `like` gives it. Where that is less than it gets alone, plans may
// bring up to a slot's least more than solve() then asks for; but with no price below nothing each can be cut
// down to that from its last slot on, an ampere after the other, and costs no more. Where `like` charges
// nothing above the cap, dear slots are shut; where more than the car would alone, the cap is left out.
Problem asked_like(Problem alone, const Objective& by_itself, const Objective& like) {
    alone.preference = Preference::early;
    alone.need = like.short_by == by_itself.short_by ? alone.need : alone.need - like.short_by;
    alone.floor = std::min(alone.floor, alone.need);
    if (like.above_cap == MilliwattHours{}) {
        for (Slot& slot : alone.slots) {
            if (is_dear(slot, alone.price_cap)) slot.most = WholeAmps(0);
        }
        alone.price_cap.reset();
    } else if (like.short_by != by_itself.short_by || like.above_cap != by_itself.above_cap ||
               alone.manner == Manner::one_block) {  // a block is chosen by less than a milliwatt-hour above
        alone.price_cap.reset();
    }
    return alone;
}

std::vector<Rate> prices_of(const Problem& problem) {
    std::vector<Rate> prices;
    for (const Slot& slot : problem.slots) prices.push_back(slot.price);
    return prices;
}

bool pays_below_nothing(const Problem& problem) {
    return std::ranges::any_of(
        problem.slots, [&](const Slot& slot) { return usable(problem, slot) && slot.price < Rate(0); });
}

// The same car without what the joint programme does not know: what it loses at its greatest current is added
// to its need.
JointCar plain(const Problem& asked, const std::string& name) {
    JointCar car{.name = name,
                 .slots = {},
                 .per_ampere = asked.per_ampere,
                 .least = asked.least,
                 .missing = asked.missing,
                 .need = std::max(asked.need, MilliwattHours{}),
                 .floor = {},
                 .start_cost = asked.start_cost};
    WholeAmps most = asked.least;
    for (const Slot& slot : asked.slots) {
        car.slots.push_back({slot.price, slot.most, slot.bound});
        most = std::max(most, slot.most);
    }
    const double gross = asked.per_ampere.count() * most.count();
    const double net = gross - asked.overhead.count();
    car.need = MilliwattHours(std::llround(static_cast<double>(car.need.count()) * gross / net));
    return car;
}

JointGrid plain_grid(const JointProblem& problem, const std::vector<Problem>& asked) {
    JointProblem like{problem.slots, {}, problem.rows};
    for (std::size_t i = 0; i < asked.size(); ++i) like.cars.push_back(plain(asked[i], problem.cars[i].name));
    return make_joint_grid(like);
}

// Where plain cars' multipliers are best, those of all cars are not far: a plain car takes a hundredth of the
// time, and the proof holds for any multipliers.
Multipliers::ByRow first_guess(const JointGrid& grid, Work& work, const MixedSolver& solver) {
    std::vector<std::int64_t> targets;
    for (const JointGrid::Car& car : grid.cars) targets.push_back(std::min(car.need, car.most));
    Ascent ascent(grid, targets);
    if (solver.row_prices && grid.cars.size() <= kManyCars && !work.stopped()) {
        const JointModel model(grid, targets, Aim::least_money, false);
        const std::vector<double> prices = solver.row_prices(model.programme());
        if (!prices.empty()) ascent.start_at(model.multipliers(prices));
    }
    constexpr int kClimbs = 150;
    for (int i = 0; i < kClimbs && !ascent.stuck() && !work.spent(0.5); ++i) {
        const Wide bound = ascent.bound().value_or(0);
        ascent.climb(bound + (bound < 0 ? -bound : bound) / 20, work);
    }
    const double rate_of_one = static_cast<double>(grid.thirds_per_money) /
                               static_cast<double>(grid.per_money) /
                               static_cast<double>(kThirdsPerMinute * grid.minutes_per_unit);
    Multipliers::ByRow rates = ascent.multipliers();
    for (auto& row : rates) {
        for (Wide& unit : row) unit = static_cast<Wide>(static_cast<double>(unit) * rate_of_one);
    }
    return rates;
}

}  // namespace

std::int64_t pricings_of(const Problem& problem) {
    if (takes_what_it_is_offered(problem) && !problem.price_cap) return 1;
    // Steps of the whole table, in slots of five minutes.
    constexpr Wide kStepsEach = 100'000;
    const Wide units = thirds(problem.need) / (Wide{thirds_of_a_minute(problem)} * 5);
    return 1 + static_cast<std::int64_t>(units * static_cast<Wide>(problem.slots.size()) / kStepsEach);
}

AnyAscent::AnyAscent(const JointProblem& problem, const Draft& floors, const Draft& alone, const Draft& like,
                     const MixedSolver& solver)
    : solver_(solver), multipliers_(0, 0), answers_(problem.cars.size()), holds_(at_least(like, floors)) {
    for (std::size_t i = 0; i < problem.cars.size(); ++i) {
        const Problem rest = rest_of(problem, floors.amps, i);
        asked_.push_back(asked_like(rest, alone.cars[i], like.cars[i]));
        const bool shorter = like.cars[i].short_by > alone.cars[i].short_by;
        // What a floor claims may be dearer than the cap.
        const bool capped_floor = rest.floor > MilliwattHours{} && rest.price_cap;
        holds_ &= !capped_floor && !(shorter && pays_below_nothing(asked_[i]));
        // What is known already.
        if (!shorter && like.cars[i].above_cap == alone.cars[i].above_cap) {
            answers_[i] = {prices_of(asked_[i]), Wide{3} * alone.cars[i].cost.atto(), alone.amps[i]};
        }
    }
    grid_ = plain_grid(problem, asked_);
    multipliers_ = Multipliers(grid_.rows.size(), grid_.slots());
}

std::optional<Wide> AnyAscent::bound() const { return holds_ ? multipliers_.bound() : std::nullopt; }

void AnyAscent::charge_at(Problem& problem, std::size_t car, const Multipliers::ByRow& at,
                          double share) const {
    const auto hundredths = static_cast<Wide>(std::lround(share * 100));
    const Wide watts = whole(problem.per_ampere);
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        Slot& slot = problem.slots[t];
        Wide sum = 0;
        for (const std::size_t r : grid_.cars[car].rows) sum += at[r][t];
        Wide surcharge = std::min<Wide>(sum * hundredths / 100 / watts, kDearest);
        // Which slots are above the cap is for their own prices to say. Less is never wrong.
        if (problem.price_cap && slot.price <= *problem.price_cap)
            surcharge = std::min<Wide>(surcharge, (*problem.price_cap - slot.price).count());
        slot.price += Rate(static_cast<std::int64_t>(surcharge));
    }
}

void AnyAscent::charge(Problem& problem, std::size_t car, double share) const {
    charge_at(problem, car, multipliers_.best(), share);
}

void AnyAscent::answer(std::size_t car, Work& work) {
    Problem charged = asked_[car];
    charge_at(charged, car, multipliers_.at(), 1);
    std::vector<Rate> prices = prices_of(charged);
    Answer& last = answers_[car];
    if (last.prices == prices) return;
    const Plan plan = solve(charged);
    work.count(pricings_of(charged));
    last = {std::move(prices), Wide{3} * plan.lower_bound.atto(), offered(plan)};
}

void AnyAscent::climb(ExactAmount aim, Work& work) {
    if (climbs_++ == 1) multipliers_.start_at(first_guess(grid_, work, solver_));
    Wide value = 0;
    for (std::size_t i = 0; i < asked_.size(); ++i) {
        answer(i, work);
        value += answers_[i].least;
        if (climbs_ > 1 && work.stopped() && i + 1 < asked_.size()) return;
    }
    Multipliers::Slopes slopes(grid_.rows.size(), std::vector<double>(grid_.slots()));
    for (std::size_t r = 0; r < grid_.rows.size(); ++r) {
        const JointGrid::Row& row = grid_.rows[r];
        for (std::size_t t = 0; t < grid_.slots(); ++t) {
            const Wide time = kThirdsPerMinute * grid_.minutes_per_unit * grid_.weight[t];
            value -= multipliers_.at()[r][t] * row.capacity[t] * time;
            if (!row.binds[t]) continue;
            int excess = -row.capacity[t];
            for (const std::size_t car : row.cars) excess += answers_[car].amps[t];
            slopes[r][t] = static_cast<double>(excess) * static_cast<double>(time);
        }
    }
    constexpr double kShortest = 3e12;  // a millionth of the currency
    const double distance = static_cast<double>(Wide{3} * aim.atto() - value);
    (void)multipliers_.step(value, slopes, std::max(distance, kShortest));
}

}  // namespace lullwatt::plan
