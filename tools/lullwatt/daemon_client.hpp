// The daemon as the command line sees it: a request by name over its unix socket, an answer to print.
//
// Blocking, with a deadline; call from any thread.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "tools/lullwatt/answer.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/question.hpp"

namespace lullwatt::tools {

void add_socket_option(CLI::App& app, std::string& socket);

// The socket the option leads to: as given, else $LULLWATT_SOCKET, else the usual place.
[[nodiscard]] std::string socket_path(const std::string& option);

// What goes with a request, by name, as typed.
using Fields = std::vector<std::pair<std::string, std::string>>;
[[nodiscard]] Fields fields_of(const QuestionOptions& options);

// Prints the daemon's answer, or its faults, as text or JSON. Empty, and nothing printed, where no daemon
// listens at `socket`; one that does not answer in time, or not in its language, is told as a fault.
[[nodiscard]] std::optional<Exit> ask_daemon(const std::string& socket, const std::string& command,
                                             const Fields& fields, bool json, Shell& shell);
// The same where only the daemon can answer: without one that is the fault.
[[nodiscard]] Exit ask_daemon_only(const std::string& socket, const std::string& command,
                                   const Fields& fields, bool json, Shell& shell);

// A question about a night: to the daemon where it runs, for it knows the live state; to the files where it
// does not, or where the options name a site file or another time.
[[nodiscard]] Exit answer_question(const QuestionOptions& options, const std::string& command,
                                   const std::string& slot, Shell& shell,
                                   const std::function<io::Read<Answer>(const House&)>& from_files);

// The night planned from the files, answered.
template <class AnswerOf>
[[nodiscard]] io::Read<Answer> answered(const House& house, const QuestionOptions& options, Whom whom,
                                        const AnswerOf& answer) {
    const auto night = plan_night(house, options, whom);
    if (!night.ok()) return night.faults();
    return answer(night.value());
}

}  // namespace lullwatt::tools
