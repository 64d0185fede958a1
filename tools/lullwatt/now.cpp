#include <memory>
#include <string>

#include <CLI/CLI.hpp>

#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/daemon_client.hpp"

namespace lullwatt::tools {
namespace {

struct LiveOptions {
    std::string socket;
    bool json = false;
};

Command live_command(CLI::App& app, const char* name, const char* purpose, const char* footer) {
    auto options = std::make_shared<LiveOptions>();
    CLI::App* command = app.add_subcommand(name, purpose);
    add_socket_option(*command, options->socket);
    command->add_flag("--json", options->json, "Answer as JSON.");
    command->footer(footer);
    return {command, [options, name](Shell& shell) {
                return ask_daemon_only(socket_path(options->socket), name, {}, options->json, shell);
            }};
}

}  // namespace

Command add_now(CLI::App& app) {
    return live_command(app, "now", "What is happening: house, points, cars, and what comes next",
                        "Example:\n  lullwatt now --json");
}

Command add_reload(CLI::App& app) {
    return live_command(app, "reload",
                        "Have the daemon take the changed site file, or say all that is wrong with it",
                        "With a fault anywhere the daemon goes on with the settings it has.\n"
                        "Example:\n  lullwatt check && lullwatt reload");
}

}  // namespace lullwatt::tools
