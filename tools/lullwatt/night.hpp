// What the cars of a house do on one night, planned together.
//
// Values; safe to read from any thread.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/plan/joint.hpp"
#include "tools/lullwatt/question.hpp"

namespace lullwatt::tools {

// A car's night. The question's problem has the room that all others leave as planned; where the bill charges
// for the month, those before it.
struct CarNight {
    Question question;
    plan::MonthPlan month;
    bool asked = true;      // false: it only counts beside the one asked about
    bool here = true;       // false: it is away, or another has its cable: it has what the others leave
    bool together = false;  // planned together with others: the proof is of all of them
};

struct Night {
    std::vector<CarNight> cars;            // in the order of the site file; the one asked about among them
    std::optional<plan::JointPlan> joint;  // where several cars were planned together
    std::vector<std::string> notes;        // cars that are not counted and why; what is planned before what
    double proof_seconds = 2;              // what a further proof of it may take

    [[nodiscard]] const CarNight& asked() const;
};

enum class Whom : bool {
    one,       // --car, or the only car
    every_one  // all cars where --car is not said
};

// Settles the questions and plans. Cars beside the one asked about need what their settings
// say, from now to their usual ready-by. Of several cars at one point that is asked for nothing else, the one
// with the first ready-by has its cable.
[[nodiscard]] io::Read<Night> plan_night(const House& house, const QuestionOptions& options, Whom whom);
// The same of questions that are settled already. REQUIRES: of the cars at one point, one at most is `here`.
[[nodiscard]] Night night_of(std::vector<CarNight> cars, const plan::Budget& budget);

// Those planned together, planned again with one ampere more on each leg of a node of the site. Takes
// night.proof_seconds at most. REQUIRES: night.joint.
[[nodiscard]] plan::JointPlan relieved_together(const Night& night, std::size_t node);

// "Counted beside it as planned: Plover at right point, 31.1 kWh, Tue 23:00 to Wed 08:30, up to 20 A."
[[nodiscard]] std::vector<std::string> beside_texts(const Night& night);

// "proven", or "gap 0.3 %". REQUIRES: it has a bound.
[[nodiscard]] std::string gap_text(const plan::JointPlan& plan);

}  // namespace lullwatt::tools
