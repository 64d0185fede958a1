#include <memory>

#include <CLI/CLI.hpp>

#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/ledger_option.hpp"

namespace lullwatt::tools {
namespace {

Exit act(const LedgerOption& option, Shell& shell) {
    return answer_from_ledger(option, "report", {.month = option.month, .csv = option.csv}, shell,
                              report_answer);
}

}  // namespace

Command add_report(CLI::App& app) {
    auto option = std::make_shared<LedgerOption>();
    CLI::App* parsed = app.add_subcommand("report", "What a month of charging took and cost");
    add_ledger_options(*parsed, *option);
    parsed->add_option("--month", option->month, "The month, YYYY-MM. Without it: this one, so far.");
    parsed->footer(
        "The cars' part is the bill with them less the bill without; the sessions sum to it. The head of the "
        "chain, "
        "kept\nelsewhere, later shows whether the ledger was altered before it was printed.\n"
        "Examples:\n"
        "  lullwatt report --month 2026-10\n"
        "  lullwatt report --month 2026-10 --csv > october.csv");
    return {parsed, [option](Shell& shell) { return act(*option, shell); }};
}

}  // namespace lullwatt::tools
