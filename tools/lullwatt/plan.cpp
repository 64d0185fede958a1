#include <memory>

#include <CLI/CLI.hpp>

#include "tools/lullwatt/answer.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/daemon_client.hpp"
#include "tools/lullwatt/question.hpp"

namespace lullwatt::tools {
namespace {

Exit act(const QuestionOptions& options, Shell& shell) {
    return answer_question(options, "plan", {}, shell, [&](const House& house) {
        return answered(house, options, Whom::every_one, plan_answer);
    });
}

}  // namespace

Command add_plan(CLI::App& app) {
    auto options = std::make_shared<QuestionOptions>();
    CLI::App* command = app.add_subcommand("plan", "The night's schedule, slot by slot, with its reasons");
    add_question_options(*command, *options);
    command->footer("Example:\n  lullwatt plan --car Heron --need 18.6 --ready-by 07:00");
    return {command, [options](Shell& shell) { return act(*options, shell); }};
}

}  // namespace lullwatt::tools
