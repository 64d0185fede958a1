// What an answer rests on, what its money does not hold and what is not safe, in a sentence each.
//
// Pure functions; call from any thread.
#pragma once

#include <string>
#include <vector>

#include "tools/lullwatt/question.hpp"

namespace lullwatt::tools {

// Times away by habit, prices nobody has announced, what of the bill so far is not known, and charges for
// power that are not counted. Empty where there is no such thing between plug-in and ready-by.
[[nodiscard]] std::vector<std::string> price_notes(const Question& question);

// "Prices of Wed 02:00–03:00 are assumed, …", of what lies in `present`; empty where all are announced.
[[nodiscard]] std::string assumed_note(const tariff::PriceCurve& prices, Interval present, const Zone& zone);

// Each time out by habit for which the battery holds too little, as planned, where its charge is known.
[[nodiscard]] std::vector<std::string> outing_warnings(const Question& question, const plan::Plan& plan);

// What a point set by hand can do to the house at its worst; empty where nothing.
[[nodiscard]] std::vector<std::string> hand_warnings(const Question& question);

}  // namespace lullwatt::tools
