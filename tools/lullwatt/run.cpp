#include "tools/lullwatt/run.hpp"

#include <algorithm>
#include <ostream>
#include <sstream>
#include <utility>

#include <CLI/CLI.hpp>

#include "io/fault/printable.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/option_fault.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {
namespace {

constexpr std::size_t kLongestLine = 1000;

// What was typed last for an option of the commands that were named; empty where nothing was.
std::string typed_for(const CLI::App& command, const std::string& option) {
    const CLI::Option* found = command.get_option_no_throw(option);
    if (found != nullptr && !found->results().empty()) return found->results().back();
    for (const CLI::App* nested : command.get_subcommands()) {
        if (std::string typed = typed_for(*nested, option); !typed.empty()) return typed;
    }
    return {};
}

// What the parser refuses, as the faults of options are told where they are asked for as JSON.
io::Fault fault_of_typed(const CLI::App& app, const CLI::ParseError& stop) {
    std::string what = stop.what();
    std::string option;
    std::string value;
    const auto colon = what.find(": ");
    const auto equals = what.find(" = ");
    if (stop.get_exit_code() == static_cast<int>(CLI::ExitCodes::ExtrasError) && colon != std::string::npos) {
        value = what.substr(colon + 2);
    } else if (stop.get_exit_code() == static_cast<int>(CLI::ExitCodes::ConversionError) && colon < equals &&
               equals != std::string::npos) {
        option = what.substr(colon + 2, equals - colon - 2);
        value = what.substr(equals + 3);
    } else if (what.starts_with("--") && colon != std::string::npos) {
        option = what.substr(0, colon);
        value = typed_for(app, option);
        what.erase(0, colon + 2);
    }
    return option_fault(option, what, value, "", "run it with --help");
}

// The parser takes the next word for an option's value, also where that is an option itself.
io::Faults options_for_values(const CLI::App& command) {
    io::Faults faults;
    for (const CLI::Option* option : command.get_options()) {
        if (option->get_items_expected() == 0) continue;
        for (const std::string& value : option->results()) {
            if (value.starts_with("--"))
                faults.push_back(option_fault(option->get_name(), "has an option for its value", value, "",
                                              "give it a value, or leave it out"));
        }
    }
    for (const CLI::App* nested : command.get_subcommands()) {  // those that were typed
        const io::Faults more = options_for_values(*nested);
        faults.insert(faults.end(), more.begin(), more.end());
    }
    return faults;
}

}  // namespace

Exit run(std::vector<std::string> arguments, std::istream& in, std::ostream& out, std::ostream& err,
         bool interactive, bool watched) {
    CLI::App app{"Charge the car when the house is quiet and energy is cheap.", "lullwatt"};
    app.require_subcommand(1);

    const std::vector<Command> commands = {
        add_when(app),     add_plan(app),   add_now(app),    add_why(app),
        add_need(app),     add_hold(app),   add_bill(app),   add_compare(app),
        add_sessions(app), add_report(app), add_ledger(app), add_circuit(app),
        add_check(app),    add_reload(app), add_setup(app),  add_import(app)};

    const bool json = std::ranges::find(arguments, "--json") != arguments.end();
    std::ranges::reverse(arguments);  // CLI11 takes them from the back
    try {
        app.parse(std::move(arguments));
    } catch (const CLI::ParseError& stop) {
        if (json && stop.get_exit_code() != 0) {
            Shell shell{out, err, in, interactive, watched};
            print_faults(shell, {fault_of_typed(app, stop)}, true);
            return Exit::usage;
        }
        std::stringstream said;  // it quotes what was typed, or what a script passed on
        const Exit exit = app.exit(stop, out, said) == 0 ? Exit::done : Exit::usage;
        for (std::string line; std::getline(said, line);) err << io::printable(line, kLongestLine) << '\n';
        return exit;
    }
    Shell shell{out, err, in, interactive, watched};
    for (const Command& command : commands) {
        if (!command.parsed->parsed()) continue;
        if (const io::Faults faults = options_for_values(*command.parsed); !faults.empty()) {
            print_faults(shell, faults, json);
            return Exit::usage;
        }
        return command.act(shell);
    }
    return Exit::usage;
}

}  // namespace lullwatt::tools
