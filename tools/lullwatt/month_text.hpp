// What a plan does to the month's charges, in sentences.
//
// Pure functions; call from any thread.
#pragma once

#include <string>
#include <vector>

#include "tools/lullwatt/question.hpp"

namespace lullwatt::tools {

// "5.2 kW", rounded up: a peak is never told lower than it is.
[[nodiscard]] std::string peak_text(Milliwatts peak);

// "raises the bill's peak from 5.2 kW to 7.4 kW (demand): 18.40"; empty where nothing is added.
[[nodiscard]] std::string raised_text(const io::ToldPeak& told, const plan::PeakOutcome& outcome, int digits);

// For each peak and each block what the plan makes of it, and where the proof stays open.
[[nodiscard]] std::vector<std::string> month_lines(const Question& question, const plan::MonthPlan& month);

// What of the bill so far is not known, and what a plan leaves out. Empty where nothing is.
[[nodiscard]] std::vector<std::string> month_notes(const Question& question);

// What slots cost and what the month adds: the plan's part of the bill.
[[nodiscard]] inline ExactAmount bill_cost(const plan::Plan& plan) {
    return plan.energy_cost + plan.month_cost;
}

}  // namespace lullwatt::tools
