#include <memory>

#include <CLI/CLI.hpp>

#include "tools/lullwatt/answer.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/daemon_client.hpp"
#include "tools/lullwatt/question.hpp"

namespace lullwatt::tools {
namespace {

Exit act(const QuestionOptions& options, Shell& shell) {
    return answer_question(options, "when", {}, shell, [&](const House& house) {
        Progress progress(shell.watched && !options.site.json ? &shell.err : nullptr);
        progress.say("Planning ...");
        return answered(house, options, Whom::one,
                        [&](const Night& night) { return when_answer(night, progress); });
    });
}

}  // namespace

Command add_when(CLI::App& app) {
    auto options = std::make_shared<QuestionOptions>();
    CLI::App* command = app.add_subcommand("when", "When to plug in, at what current, and what it costs");
    add_question_options(*command, *options);
    command->footer(
        "Examples:\n"
        "  lullwatt when                                        the usual need, from now to the usual "
        "ready-by\n"
        "  lullwatt when --car Heron --need 18.6 --ready-by 07:00\n"
        "  lullwatt when --from-soc 40 --to-soc 80 --at 18:00   as if now were six this evening");
    return {command, [options](Shell& shell) { return act(*options, shell); }};
}

}  // namespace lullwatt::tools
