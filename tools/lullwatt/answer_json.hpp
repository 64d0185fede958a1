// The answers of `when`, `plan` and `why` as JSON text. Energy in watt-hours, money and prices as decimal
// text.
//
// Pure functions; call from any thread.
#pragma once

#include <string>

#include "core/plan/plan.hpp"
#include "tools/lullwatt/question.hpp"
#include "tools/lullwatt/when_text.hpp"

namespace lullwatt::tools {

// The question and one sentence: where there is nothing to plan.
[[nodiscard]] std::string sentence_json(const Question& question, const std::string& sentence);

[[nodiscard]] std::string when_json(const Question& question, const WhenWords& words,
                                    const std::string& sentence);
[[nodiscard]] std::string plan_json(const Question& question, const plan::MonthPlan& month);
// REQUIRES: slot < plan.slots.size().
[[nodiscard]] std::string why_json(const Question& question, const plan::MonthPlan& month, std::size_t slot);

}  // namespace lullwatt::tools
