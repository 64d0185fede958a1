// The answers of `when`, `plan` and `why` as JSON text. Energy in watt-hours, money and prices as decimal
// text.
//
// Pure functions; call from any thread.
#pragma once

#include <string>
#include <vector>

#include "tools/lullwatt/night.hpp"
#include "tools/lullwatt/node_worth.hpp"
#include "tools/lullwatt/when_text.hpp"

namespace lullwatt::tools {

// The question and one sentence: where there is nothing to plan.
[[nodiscard]] std::string sentence_json(const Question& question, const std::string& sentence);

[[nodiscard]] std::string when_json(const Night& night, const WhenWords& words, const std::string& sentence);
// One car asked about: its plan; else `cars`, a list of them. `together` is the proof of what was planned
// jointly, `beside` who else counts.
[[nodiscard]] std::string plan_json(const Night& night);
// `worths`: node_worths(night); `slot_note`: what became of a time that stands never or twice. REQUIRES: slot
// < slots of the plan asked about.
[[nodiscard]] std::string why_json(const Night& night, std::size_t slot, const std::vector<NodeWorth>& worths,
                                   const std::string& slot_note);

}  // namespace lullwatt::tools
