#include "daemon/socket/json.hpp"

#include <utility>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "tools/lullwatt/faults_json.hpp"

namespace lullwatt::daemon {
namespace {

using Json = nlohmann::ordered_json;

io::Faults refused(std::string what, std::string mend, std::string key = {}) {
    return {{kAsked, 0, 0, std::move(key), std::move(what), "", "", std::move(mend)}};
}

constexpr const char* kForm = "send one line like {\"do\":\"now\"}";

}  // namespace

io::Read<Request> parse_request(std::string_view line) {
    // A flat object needs no depth; the parser is told so, and stops at the first bracket inside.
    bool deep = false;
    const auto flat = [&](int depth, nlohmann::detail::parse_event_t event, Json&) {
        using enum nlohmann::detail::parse_event_t;
        if (depth > 0 && (event == object_start || event == array_start)) deep = true;
        return !deep;
    };
    const Json json = Json::parse(line.begin(), line.end(), flat, false);
    if (deep) return refused("has a value that is no text", "every value is text: {\"need\":\"18.6\"}");
    if (!json.is_object()) return refused("is no JSON object", kForm);
    if (json.size() > Request::kMostFields) return refused("has too many fields", kForm);
    Request request;
    for (const auto& [key, value] : json.items()) {
        if (!value.is_string()) return refused("is no text", "write it in quotes: \"18.6\"", key);
        (key == "do" ? request.command : request.fields[key]) = value.get<std::string>();
    }
    if (request.command.empty()) return refused("names no command", kForm, "do");
    return request;
}

std::string answer_line(const std::string& text, const std::string& json) {
    Json line{{"text", text}, {"answer", Json::parse(json)}};
    return line.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string fault_line(const io::Faults& faults) {
    return Json{{"faults", Json::parse(tools::faults_json(faults))}}.dump(-1, ' ', false,
                                                                          Json::error_handler_t::replace);
}

}  // namespace lullwatt::daemon
