#include "tools/lullwatt/run.hpp"

#include <algorithm>
#include <ostream>
#include <sstream>
#include <utility>

#include <CLI/CLI.hpp>

#include "io/fault/printable.hpp"
#include "tools/lullwatt/command.hpp"

namespace lullwatt::tools {
namespace {

constexpr std::size_t kLongestLine = 1000;

}  // namespace

Exit run(std::vector<std::string> arguments, std::istream& in, std::ostream& out, std::ostream& err,
         bool interactive) {
    CLI::App app{"Charge the car when the house is quiet and energy is cheap.", "lullwatt"};
    app.require_subcommand(1);

    const std::vector<Command> commands = {
        add_when(app),     add_plan(app),   add_now(app),    add_why(app),
        add_need(app),     add_hold(app),   add_bill(app),   add_compare(app),
        add_sessions(app), add_report(app), add_ledger(app), add_circuit(app),
        add_check(app),    add_reload(app), add_setup(app),  add_import(app)};

    std::ranges::reverse(arguments);  // CLI11 takes them from the back
    try {
        app.parse(std::move(arguments));
    } catch (const CLI::ParseError& stop) {
        std::stringstream said;  // it quotes what was typed, or what a script passed on
        const Exit exit = app.exit(stop, out, said) == 0 ? Exit::done : Exit::usage;
        for (std::string line; std::getline(said, line);) err << io::printable(line, kLongestLine) << '\n';
        return exit;
    }
    Shell shell{out, err, in, interactive};
    for (const Command& command : commands) {
        if (command.parsed->parsed()) return command.act(shell);
    }
    return Exit::usage;
}

}  // namespace lullwatt::tools
