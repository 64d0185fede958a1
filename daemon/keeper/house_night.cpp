#include "daemon/keeper/house_night.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace lullwatt::daemon {
namespace {

// Ours: as much as a second or two finds on a small computer.
constexpr std::int64_t kPricings = 4'000;
constexpr std::int64_t kNodes = 2'000;

// For the next slot of the grid, where there is one before ready-by.
io::Read<tools::Question> question_from_slot(const HouseAsked& house, const CarAsked& car) {
    constexpr Seconds kGrid{300};
    const Instant next(((house.now.time_since_epoch() + kGrid - Seconds{1}) / kGrid) * kGrid);
    auto question = tools::settle(car.options, house.household, next, car.hold);
    if (question.ok() && !question.value().problem.slots.empty()) return question;
    return tools::settle(car.options, house.household, house.now, car.hold);
}

// What a car takes of its need until its question's own time, where what is under way goes on until then.
MilliwattHours until_then(const tools::Question& question, const HouseAsked& house, const CarAsked& car) {
    const WholeAmps under_way = amps_at(car.under_way, house.now).value_or(WholeAmps(0));
    const double watts = question.problem.per_ampere.count() * under_way.count();
    return MilliwattHours(
        std::llround(watts * static_cast<double>((question.now - house.now).count()) / 3.6));
}

// The question of what is left of its need.
tools::Question what_is_left(tools::Question question, MilliwattHours done) {
    if (done == MilliwattHours{}) return question;
    question.done = done;
    question.request.need = std::max<MilliwattHours>(question.request.need - done, MilliwattHours{});
    question.request.floor = std::max<MilliwattHours>(question.request.floor - done, MilliwattHours{});
    question.stand_beside({});
    return question;
}

io::Read<tools::Question> settled(const HouseAsked& house, const CarAsked& car) {
    auto question = house.from == From::now ? tools::settle(car.options, house.household, house.now, car.hold)
                                            : question_from_slot(house, car);
    if (!question.ok()) return question;
    const MilliwattHours taken = MilliwattHours(car.done) + until_then(question.value(), house, car);
    return what_is_left(std::move(question).value(), taken);
}

}  // namespace

HouseNight plan_house(const HouseAsked& asked, const std::stop_token& stop) {
    HouseNight found;
    std::vector<tools::CarNight> cars;
    for (const CarAsked& car : asked.cars) {
        auto question = settled(asked, car);
        found.faults.push_back(question.ok() ? io::Faults{} : question.faults());
        if (question.ok())
            cars.push_back({std::move(question).value(), {}, car.asked, car.here, /*together=*/false});
        if (stop.stop_requested()) return found;
    }
    const plan::Budget budget{.pricings = kPricings,
                              .nodes = kNodes,
                              .stop = [&stop] { return stop.stop_requested(); },
                              .hurry = {}};
    found.night = tools::night_of(std::move(cars), budget);
    return found;
}

std::optional<WholeAmps> amps_at(const control::PointPlan& plan, Instant at) {
    const auto piece = std::ranges::find_if(
        plan.pieces, [&](const control::PlannedPiece& one) { return one.when.contains(at); });
    return piece == plan.pieces.end() ? std::nullopt : std::optional(piece->amps);
}

}  // namespace lullwatt::daemon
