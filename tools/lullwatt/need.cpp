#include <memory>
#include <string>

#include <CLI/CLI.hpp>

#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/daemon_client.hpp"

namespace lullwatt::tools {
namespace {

struct NeedOptions {
    QuestionOptions question;
    bool usual = false;
};

Exit act(const NeedOptions& options, Shell& shell) {
    if (auto empty = left_empty(options.question); !empty.empty()) {
        print_faults(shell, empty, options.question.site.json);
        return Exit::usage;
    }
    Fields fields = fields_of(options.question);
    if (options.usual) fields.emplace_back("usual", "yes");
    return ask_daemon_only(socket_path(options.question.socket), "need", fields, options.question.site.json,
                           shell);
}

}  // namespace

Command add_need(CLI::App& app) {
    auto options = std::make_shared<NeedOptions>();
    CLI::App* command =
        app.add_subcommand("need", "Tell what a car needs this time, by when; or ask what stands");
    add_socket_option(*command, options->question.socket);
    command->add_flag("--json", options->question.site.json, "Answer as JSON.");
    add_need_options(*command, options->question);
    command->add_flag("--usual", options->usual, "Forget what was told: what the site file says again.");
    command->footer(
        "It holds until its ready-by has passed, over a restart too; then the site file's need and habits "
        "count again.\n"
        "Examples:\n"
        "  lullwatt need --car Heron                             what stands\n"
        "  lullwatt need --car Heron --need 18.6 --ready-by 06:00\n"
        "  lullwatt need --car Heron --from-soc 40 --to-soc 100\n"
        "  lullwatt need --car Heron --usual");
    return {command, [options](Shell& shell) { return act(*options, shell); }};
}

}  // namespace lullwatt::tools
