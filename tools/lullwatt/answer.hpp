// What `when`, `plan` and `why` answer to a planned night, as text for a person and as JSON of the same
// value.
//
// Pure functions; call from any thread. Used by the command line and by the daemon alike.
#pragma once

#include <string>

#include "tools/lullwatt/night.hpp"
#include "tools/lullwatt/progress.hpp"

namespace lullwatt::tools {

struct Answer {
    std::string text;  // whole lines
    std::string json;  // without a line's end
};

[[nodiscard]] Answer when_answer(const Night& night, Progress& progress);
[[nodiscard]] Answer plan_answer(const Night& night);
// About the slot at the time `slot` names, or at plug-in where it is empty; a fault where that is outside the
// night.
[[nodiscard]] io::Read<Answer> why_answer(const Night& night, const std::string& slot);

}  // namespace lullwatt::tools
