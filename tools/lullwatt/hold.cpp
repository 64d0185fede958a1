#include <memory>
#include <string>

#include <CLI/CLI.hpp>

#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/daemon_client.hpp"

namespace lullwatt::tools {
namespace {

struct HoldOptions {
    std::string socket;
    bool json = false;
    std::string until;
    std::string car;
    bool off = false;
};

Exit act(const HoldOptions& options, Shell& shell) {
    Fields fields;
    if (!options.until.empty()) fields.emplace_back("until", options.until);
    if (!options.car.empty()) fields.emplace_back("car", options.car);
    if (options.off) fields.emplace_back("off", "yes");
    return ask_daemon_only(socket_path(options.socket), "hold", fields, options.json, shell);
}

}  // namespace

Command add_hold(CLI::App& app) {
    auto options = std::make_shared<HoldOptions>();
    CLI::App* command = app.add_subcommand("hold", "No charging until a time; or ask what is held");
    add_socket_option(*command, options->socket);
    command->add_flag("--json", options->json, "Answer as JSON.");
    auto* until =
        command
            ->add_option("until", options->until, "No charging before this time: 22:00, or a date with it.")
            ->type_name("TIME");
    command->add_option("--car", options->car, "Only this car; without it, every car.")->type_name("NAME");
    command->add_flag("--off", options->off, "End it now.")->excludes(until);
    command->footer(
        "It holds over a restart. A car that is charging pauses.\n"
        "Examples:\n"
        "  lullwatt hold 22:00             nothing before ten tonight\n"
        "  lullwatt hold 22:00 --car Heron\n"
        "  lullwatt hold --off\n"
        "  lullwatt hold                   what is held");
    return {command, [options](Shell& shell) { return act(*options, shell); }};
}

}  // namespace lullwatt::tools
