// The car's times out by habit, as a question takes them.
//
// Pure functions; call from any thread.
#pragma once

#include "tools/lullwatt/question.hpp"

namespace lullwatt::tools {

// What the request is for a presence: with `energy`, and what outings between use is to be charged again
// where the need says how full the battery, or how far it reaches, at the end.
// REQUIRES: question.stated and request.present are settled.
void settle_outings(const Question& question, MilliwattHours energy, plan::Request& request);

}  // namespace lullwatt::tools
