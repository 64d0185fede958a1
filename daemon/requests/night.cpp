#include <algorithm>
#include <memory>
#include <utility>
#include <vector>

#include "daemon/requests/requests.hpp"
#include "tools/lullwatt/answer.hpp"

namespace lullwatt::daemon {
namespace {

io::Read<tools::Answer> answer(const std::string& command, const tools::Night& night,
                               const std::string& slot) {
    if (command == "plan") return tools::plan_answer(night);
    if (command == "why") return tools::why_answer(night, slot);
    return tools::when_answer(night);
}

// One car's question, with what only the loop knows of it.
struct CarAsked {
    tools::QuestionOptions options;
    plan::Hold hold;
    WattHours done;
};

CarAsked car_asked(const Asked& asked, const std::string& car, tools::QuestionOptions options, Instant now) {
    const auto& cars = asked.keeper.household()->site.cars;
    const auto place = std::ranges::find(cars, car, [](const auto& each) { return each.car.name; });
    const bool own_need =
        options.fill || !(options.need + options.from_soc + options.to_soc + options.distance).empty();
    return {.options = asked.keeper.options_for(car, std::move(options)),
            .hold = asked.keeper.hold_for(car, now),
            .done = own_need ? WattHours(0)
                             : asked.keeper.done_of_need(static_cast<std::size_t>(place - cars.begin()))};
}

// The one named; of a plan where nothing else is said, every one.
std::vector<std::string> cars_meant(const Asked& asked, io::Faults& faults) {
    std::vector<std::string> names;
    if (asked.request.command == "plan" && asked.request.fields.empty()) {
        for (const auto& car : asked.keeper.household()->site.cars) names.push_back(car.car.name);
    } else if (const auto car = named_car(asked.request, asked.keeper, faults)) {
        names.push_back(*car);
    }
    return names;
}

std::string answered(const std::string& command, const std::string& slot, const HouseholdPtr& household,
                     Instant now, const std::vector<CarAsked>& cars) {
    std::vector<tools::Question> questions;
    for (const CarAsked& car : cars) {
        auto question = tools::settle(car.options, household, now, car.hold);
        if (!question.ok()) return fault_line(question.faults());
        questions.push_back(what_is_left(std::move(question).value(), car.done));
    }
    const auto found = answer(command, tools::night_of(std::move(questions)), slot);
    return found.ok() ? answer_line(found.value().text, found.value().json) : fault_line(found.faults());
}

}  // namespace

void reply_night(const Asked& asked) {
    const Request& request = asked.request;
    const std::string command = request.command;
    // Asked about no other time and no other need, `why` is a question about this very moment.
    if (command == "why" && reply_why_now(asked)) return;
    io::Faults faults =
        unknown_fields(request, {"car", "need", "from-soc", "to-soc", "distance", "fill", "floor", "plug-in",
                                 "ready-by", "preference", "month-peak", "month-use", "slot"});
    const std::vector<std::string> names = cars_meant(asked, faults);
    if (!proven(asked.keeper.trust())) {
        faults.push_back(clock_unproven("so no night can be told"));
    }
    if (!faults.empty()) {
        asked.reply(fault_line(faults));
        return;
    }
    const auto slot_field = request.fields.find("slot");
    const std::string slot = slot_field == request.fields.end() ? "" : slot_field->second;
    const Instant now = asked.keeper.now().wall;
    std::vector<CarAsked> cars;
    for (const std::string& name : names) cars.push_back(car_asked(asked, name, need_options(request), now));
    const auto work = [command, slot, now, cars = std::move(cars), household = asked.keeper.household(),
                       reply = asked.reply, &loop = asked.loop](const std::stop_token&) {
        loop.post([reply, line = answered(command, slot, household, now, cars)] { reply(line); });
    };
    if (!asked.worker.submit(work)) {
        asked.reply(
            fault_line({{"lullwattd", 0, 0, "", "has too many questions waiting", "", "", "ask again"}}));
    }
}

}  // namespace lullwatt::daemon
