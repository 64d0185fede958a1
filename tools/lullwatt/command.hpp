// What every command of the `lullwatt` command line shares: where it speaks, and how it joins the list.
#pragma once

#include <functional>
#include <iosfwd>
#include <vector>

#include "tools/lullwatt/run.hpp"

namespace CLI {
class App;
}

namespace lullwatt::tools {

struct Shell {
    std::ostream& out;
    std::ostream& err;
    std::istream& in;
    bool interactive = false;  // a person sits at `in` and can be asked
    bool watched = false;      // a person reads `err` while it is written
};

// One command: declares its name, help and options on `app`, and returns what to do when it was chosen. What
// it parsed into must live as long as the returned function.
struct Command {
    CLI::App* parsed = nullptr;
    std::function<Exit(Shell&)> act;
};

// One line per command; the list in run.cpp is the order of --help.
[[nodiscard]] Command add_when(CLI::App& app);
[[nodiscard]] Command add_plan(CLI::App& app);
[[nodiscard]] Command add_why(CLI::App& app);
[[nodiscard]] Command add_now(CLI::App& app);
[[nodiscard]] Command add_need(CLI::App& app);
[[nodiscard]] Command add_hold(CLI::App& app);
[[nodiscard]] Command add_bill(CLI::App& app);
[[nodiscard]] Command add_compare(CLI::App& app);
[[nodiscard]] Command add_sessions(CLI::App& app);
[[nodiscard]] Command add_report(CLI::App& app);
[[nodiscard]] Command add_ledger(CLI::App& app);
[[nodiscard]] Command add_circuit(CLI::App& app);
[[nodiscard]] Command add_check(CLI::App& app);
[[nodiscard]] Command add_reload(CLI::App& app);
[[nodiscard]] Command add_setup(CLI::App& app);
[[nodiscard]] Command add_import(CLI::App& app);

}  // namespace lullwatt::tools
