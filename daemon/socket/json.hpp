// A request to the daemon and its reply, as fields of text: JSON stays behind this page.
//
// Values and pure functions; call from any thread.
#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <string_view>

#include "io/fault/fault.hpp"

namespace lullwatt::daemon {

// {"do": "need", "car": "Heron", "need": "18.6"}: one flat object a line, every value text.
struct Request {
    static constexpr std::size_t kLongest =
        std::size_t{16} * 1024;  // bytes of a line, its end included (ours)
    static constexpr std::size_t kMostFields = 32;

    std::string command;
    std::map<std::string, std::string> fields;  // without "do"
};

// Fault::file of what a request got wrong. The same word as for an option of the command line, so that
// whoever typed it there is told as if the command itself had noticed.
inline constexpr const char* kAsked = "command line";

[[nodiscard]] io::Read<Request> parse_request(std::string_view line);

// One line without its end: {"text": "...", "answer": {...}}. `json` is an object or array as JSON text.
[[nodiscard]] std::string answer_line(const std::string& text, const std::string& json);
// {"faults": [...]}.
[[nodiscard]] std::string fault_line(const io::Faults& faults);

}  // namespace lullwatt::daemon
