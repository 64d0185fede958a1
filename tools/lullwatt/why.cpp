#include <memory>
#include <string>

#include <CLI/CLI.hpp>

#include "tools/lullwatt/answer.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/daemon_client.hpp"
#include "tools/lullwatt/question.hpp"

namespace lullwatt::tools {
namespace {

struct WhyOptions {
    QuestionOptions question;
    std::string slot;
};

Exit act(const WhyOptions& options, Shell& shell) {
    return answer_question(options.question, "why", options.slot, shell, [&](const House& house) {
        return answered(house, options.question, Whom::one,
                        [&](const Night& night) { return why_answer(night, options.slot); });
    });
}

}  // namespace

Command add_why(CLI::App& app) {
    auto options = std::make_shared<WhyOptions>();
    CLI::App* command = app.add_subcommand("why", "Why a car is charging, or is not, at a time of the night");
    add_question_options(*command, options->question);
    command->add_option("--slot", options->slot, "The time asked about; plug-in where it is not said.")
        ->type_name("TIME")
        ->each([options](const std::string& value) {
            if (value.empty()) options->question.left_empty.emplace_back("--slot");
        });
    command->footer("Example:\n  lullwatt why --car Heron --need 18.6 --slot 21:30");
    return {command, [options](Shell& shell) { return act(*options, shell); }};
}

}  // namespace lullwatt::tools
