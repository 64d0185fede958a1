// The answer to "when should I plug in?" in sentences and a small table.
//
// Pure functions; call from any thread.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "core/plan/month_when.hpp"
#include "core/time/zone.hpp"
#include "io/household/month_costs.hpp"
#include "tools/lullwatt/progress.hpp"

namespace lullwatt::tools {

// One row of the table: plugged in at `at`.
struct WhenRow {
    Instant at;
    plan::Objective objective;
    ExactAmount energy_cost;  // with what the month adds
    std::optional<Instant> ready;
    std::string note;   // "cheapest until here", "latest in time"
    std::string month;  // the peak it would reach and the step it would end in, where the bill goes by them
};

struct WhenWords {
    const plan::Problem& problem;
    const plan::When& when;
    const Zone& zone;
    int currency_digits = 2;
    Instant now;
    Instant ready_by;
    std::string ready_by_note;  // "02:30 does not exist that night"
    const plan::MonthPlan& month;
    const std::vector<io::ToldSteps>& steps;  // beside month.steps
    // The plan plugged in at the begin of a slot.
    std::function<plan::MonthPlan(std::size_t)> plugged_in;
    std::function<std::string(const plan::MonthPlan&)> not_enough;  // "not enough for Wed 07:00", or empty
    std::optional<plan::Cure> earlier_plug_in;
    std::optional<plan::Cure> later_ready_by;
    std::vector<WhenRow> rows;          // when_rows()
    std::vector<std::string> leave_it;  // the cars that take room it would have without them
};

// What a night costs on the bill: start costs are the planner's, not the utility's.
[[nodiscard]] ExactAmount bill(const WhenWords& words, const plan::Objective& objective);

// Now, the full hours, the latest plug-in that is still cheapest and the latest that is in time; ascending.
// Each is planned.
[[nodiscard]] std::vector<WhenRow> when_rows(const WhenWords& words, Progress& progress);

[[nodiscard]] std::string when_sentences(const WhenWords& words);
[[nodiscard]] std::string when_table(const WhenWords& words);

}  // namespace lullwatt::tools
