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

// An outing that the battery cannot carry when it begins.
struct Lack {
    Interval outing;
    MilliwattHours driven;   // at the register
    MilliwattHours lacking;  // of it
};

// Those of a plan of the question, which may be plugged in later than asked; without a known charge on
// arrival only those that no full battery carries.
[[nodiscard]] std::vector<Lack> lacks(const Question& question, const plan::Problem& problem,
                                      const plan::Plan& plan);

// Takes from an answer the plug-ins that leave more lacking than the one asked about.
void keep_drivable(const Question& question, plan::When& when);

}  // namespace lullwatt::tools
