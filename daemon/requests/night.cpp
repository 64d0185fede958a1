#include <memory>
#include <utility>

#include "daemon/requests/requests.hpp"
#include "tools/lullwatt/answer.hpp"

namespace lullwatt::daemon {
namespace {

io::Read<tools::Answer> answer(const std::string& command, const tools::Question& question,
                               const std::string& slot) {
    if (command == "plan") return tools::plan_answer(question);
    if (command == "why") return tools::why_answer(question, slot);
    return tools::when_answer(question);
}

}  // namespace

void reply_night(const Asked& asked) {
    const Request& request = asked.request;
    const std::string command = request.command;
    io::Faults faults = unknown_fields(request, {"car", "need", "from-soc", "to-soc", "distance", "fill",
                                                 "floor", "plug-in", "ready-by", "preference", "slot"});
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
    const auto work = [command, slot, now, household = asked.keeper.household(),
                       options = asked.keeper.options_for(*car, need_options(request)),
                       hold = asked.keeper.hold_for(*car, now), reply = asked.reply,
                       &loop = asked.loop](const std::stop_token&) {
        std::string line;
        const auto question = tools::settle(options, household, now, hold);
        if (question.ok()) {
            const auto found = answer(command, question.value(), slot);
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
