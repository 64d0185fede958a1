#include <algorithm>
#include <memory>
#include <utility>

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

}  // namespace

void reply_night(const Asked& asked) {
    const Request& request = asked.request;
    const std::string command = request.command;
    // Asked about no other time and no other need, `why` is a question about this very moment.
    if (command == "why" && reply_why_now(asked)) return;
    io::Faults faults =
        unknown_fields(request, {"car", "need", "from-soc", "to-soc", "distance", "fill", "floor", "plug-in",
                                 "ready-by", "preference", "month-peak", "month-use", "slot"});
    const auto car = named_car(request, asked.keeper, faults);
    if (!proven(asked.keeper.trust())) {
        faults.push_back(clock_unproven("so no night can be told"));
    }
    if (!faults.empty() || !car) {
        asked.reply(fault_line(faults));
        return;
    }
    const auto slot_field = request.fields.find("slot");
    const std::string slot = slot_field == request.fields.end() ? "" : slot_field->second;
    const Instant now = asked.keeper.now().wall;
    tools::QuestionOptions options = need_options(request);
    const auto& cars = asked.keeper.household()->site.cars;
    const auto place = std::ranges::find(cars, *car, [](const auto& each) { return each.car.name; });
    const bool own_need =
        options.fill || !(options.need + options.from_soc + options.to_soc + options.distance).empty();
    const WattHours done =
        own_need ? WattHours(0) : asked.keeper.done_of_need(static_cast<std::size_t>(place - cars.begin()));
    const auto work = [command, slot, now, done, household = asked.keeper.household(),
                       options = asked.keeper.options_for(*car, std::move(options)),
                       hold = asked.keeper.hold_for(*car, now), reply = asked.reply,
                       &loop = asked.loop](const std::stop_token&) {
        std::string line;
        auto question = tools::settle(options, household, now, hold);
        if (question.ok()) {
            const auto found =
                answer(command, tools::night_of(what_is_left(std::move(question).value(), done)), slot);
            line =
                found.ok() ? answer_line(found.value().text, found.value().json) : fault_line(found.faults());
        } else {
            line = fault_line(question.faults());
        }
        loop.post([reply, line] { reply(line); });
    };
    if (!asked.worker.submit(work)) {
        asked.reply(
            fault_line({{"lullwattd", 0, 0, "", "has too many questions waiting", "", "", "ask again"}}));
    }
}

}  // namespace lullwatt::daemon
