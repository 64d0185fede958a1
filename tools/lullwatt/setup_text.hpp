// What `setup` writes: a person's answers as the text of a site file and of a tariff file.
//
// Pure functions; call from any thread. Nothing is judged here: the readers of both formats do that.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>

namespace lullwatt::tools {

// By flag, without its dashes.
using Answers = std::map<std::string, std::string, std::less<>>;

// The answer to --load where it is a number and no file: amperes, and the reason behind the first comma.
struct StatedLoad {
    std::string amps;                   // with its unit
    std::optional<std::string> reason;  // none: the load calculation's result
    std::string usual;                  // half of it, with its unit: what is planned with until there is data
};
[[nodiscard]] std::optional<StatedLoad> stated_load(const std::string& answer);

// The voltage of a leg that is usual with a supply; empty for single-phase, which is 100 V, 120 V or 230 V.
[[nodiscard]] std::string usual_volts(const std::string& supply);

// The basis of the continuous share that is usual with a leg's voltage: iec above 140 V, else nec.
[[nodiscard]] std::string usual_basis(const std::string& volts);

// What the site file says without having been told, in a sentence; empty where it guesses nothing.
[[nodiscard]] std::string guess_text(const Answers& answers);

// `tariff` and, where the load is no number, `history` are paths as the site file is to name them. REQUIRES:
// an answer to every question.
[[nodiscard]] std::string site_text(const Answers& answers, const std::string& tariff,
                                    const std::string& history);

// From "0.15", or from "0.08 22:00-06:00 0.16": the price between two times and that of the other hours.
// None where the answer is a file's name.
[[nodiscard]] std::optional<std::string> tariff_text(const Answers& answers);

}  // namespace lullwatt::tools
