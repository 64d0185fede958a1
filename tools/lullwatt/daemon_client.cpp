#include "tools/lullwatt/daemon_client.hpp"

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <ostream>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <sys/socket.h>
#include <sys/un.h>

#include "io/fault/printable.hpp"

namespace lullwatt::tools {
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* kUsualSocket = "/run/lullwatt/socket";
constexpr timeval kPatience{.tv_sec = 30, .tv_usec = 0};
constexpr std::size_t kLongestReply = std::size_t{8} << 20;

class Connection {
  public:
    explicit Connection(const std::string& path) : socket_(::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
        ::setsockopt(socket_, SOL_SOCKET, SO_RCVTIMEO, &kPatience, sizeof kPatience);
        ::setsockopt(socket_, SOL_SOCKET, SO_SNDTIMEO, &kPatience, sizeof kPatience);
        sockaddr_un to{};
        to.sun_family = AF_UNIX;
        if (path.size() >= sizeof to.sun_path) {
            error_ = ENAMETOOLONG;
            return;
        }
        std::copy(path.begin(), path.end(), to.sun_path);
        if (::connect(socket_, reinterpret_cast<const sockaddr*>(&to), sizeof to) != 0) error_ = errno;
    }
    ~Connection() { ::close(socket_); }
    Connection(const Connection&) = delete;
    Connection& operator=(const Connection&) = delete;

    [[nodiscard]] int error() const { return error_; }

    // The line that answers `line`; empty: none came whole.
    [[nodiscard]] std::string answered(std::string_view line) const {
        while (!line.empty()) {
            const ssize_t sent = ::send(socket_, line.data(), line.size(), MSG_NOSIGNAL);
            if (sent < 0 && errno == EINTR) continue;
            if (sent <= 0) return {};
            line.remove_prefix(static_cast<std::size_t>(sent));
        }
        std::string reply;
        std::array<char, 16384> buffer{};
        while (!reply.ends_with('\n') && reply.size() < kLongestReply) {
            const ssize_t got = ::recv(socket_, buffer.data(), buffer.size(), 0);
            if (got < 0 && errno == EINTR) continue;
            if (got <= 0) return {};
            reply.append(buffer.data(), static_cast<std::size_t>(got));
        }
        return reply.ends_with('\n') ? reply : std::string();
    }

  private:
    int socket_;
    int error_ = 0;
};

io::Fault fault_of(const std::string& socket, std::string what, std::string mend) {
    return {socket, 0, 0, "", std::move(what), "", "", std::move(mend)};
}

io::Faults faults_of(const Json& list) {
    io::Faults faults;
    for (const Json& each : list) {
        faults.push_back({each.value("file", ""), each.value("line", 0), each.value("column", 0),
                          each.value("key", ""), each.value("fault", ""), each.value("value", ""),
                          each.value("allowed", ""), each.value("mend", "")});
    }
    return faults;
}

Exit print_reply(const std::string& socket, const std::string& line, bool json, Shell& shell) {
    const Json reply = Json::parse(line, nullptr, false);
    try {
        if (reply.is_object() && reply.contains("faults")) {
            const io::Faults faults = faults_of(reply.at("faults"));
            print_faults(shell, faults, json);
            return exit_of(faults);
        }
        if (reply.is_object() && reply.contains("answer")) {
            shell.out << (json ? reply.at("answer").dump(2) + "\n" : reply.at("text").get<std::string>());
            return Exit::done;
        }
    } catch (const Json::exception&) {  // of another shape than agreed: told below
    }
    print_faults(shell,
                 {fault_of(socket, line.empty() ? "gave no answer" : "gave an answer of another kind",
                           "is it lullwattd that listens there, of the same version?")},
                 json);
    return Exit::refused;
}

// A site file or a time of one's own is a question about something else than what the daemon runs.
bool meant_for_files(const QuestionOptions& options) {
    if (!options.at.empty() || !options.site.site.empty()) return true;
    const bool socket_named = !options.socket.empty() || std::getenv("LULLWATT_SOCKET") != nullptr;
    return !socket_named && std::getenv("LULLWATT_SITE") != nullptr;
}

}  // namespace

void add_socket_option(CLI::App& app, std::string& socket) {
    app.add_option("--socket", socket,
                   fmt::format("The daemon's socket. Without it: $LULLWATT_SOCKET, else {}.", kUsualSocket))
        ->type_name("PATH");
}

std::string socket_path(const std::string& option) {
    if (!option.empty()) return option;
    const char* set = std::getenv("LULLWATT_SOCKET");
    return set != nullptr && *set != '\0' ? set : kUsualSocket;
}

Fields fields_of(const QuestionOptions& options) {
    Fields fields;
    const auto add = [&](const char* name, const std::string& value) {
        if (!value.empty()) fields.emplace_back(name, value);
    };
    add("car", options.car);
    add("need", options.need);
    add("from-soc", options.from_soc);
    add("to-soc", options.to_soc);
    add("distance", options.distance);
    add("fill", options.fill ? "yes" : "");
    add("floor", options.floor);
    add("plug-in", options.plug_in);
    add("ready-by", options.ready_by);
    add("preference", options.preference);
    add("month-peak", options.month_peak);
    add("month-use", options.month_use);
    return fields;
}

std::optional<Exit> ask_daemon(const std::string& socket, const std::string& command, const Fields& fields,
                               bool json, Shell& shell) {
    const Connection connection(socket);
    if (connection.error() == ENOENT || connection.error() == ECONNREFUSED) return std::nullopt;
    if (connection.error() != 0) {
        print_faults(
            shell,
            {fault_of(socket, fmt::format("cannot be reached: {}", std::strerror(connection.error())),
                      connection.error() == EACCES
                          ? "ask as root, or as a member of the group lullwatt: adduser NAME lullwatt"
                          : "check --socket")},
            json);
        return Exit::refused;
    }
    Json request{{"do", command}};
    for (const auto& [name, value] : fields) request[name] = io::printable(value, 1000);
    return print_reply(socket, connection.answered(request.dump() + "\n"), json, shell);
}

Exit ask_daemon_only(const std::string& socket, const std::string& command, const Fields& fields, bool json,
                     Shell& shell) {
    if (const auto answered = ask_daemon(socket, command, fields, json, shell)) return *answered;
    print_faults(shell,
                 {fault_of(socket, "has no daemon behind it",
                           "start it (systemctl start lullwatt), or name its socket with --socket")},
                 json);
    return Exit::refused;
}

Exit answer_question(const QuestionOptions& options, const std::string& command, const std::string& slot,
                     Shell& shell, const std::function<io::Read<Answer>(const House&)>& from_files) {
    const bool json = options.site.json;
    if (!meant_for_files(options) && options.left_empty.empty()) {
        Fields fields = fields_of(options);
        if (!slot.empty()) fields.emplace_back("slot", slot);
        if (const auto answered = ask_daemon(socket_path(options.socket), command, fields, json, shell)) {
            return *answered;
        }
    }
    const auto house = read_house(options);
    const io::Read<Answer> answer = house.ok() ? from_files(house.value()) : house.faults();
    if (!answer.ok()) {
        print_faults(shell, answer.faults(), json);
        return exit_of(answer.faults());
    }
    shell.out << (json ? answer.value().json + "\n" : answer.value().text);
    return Exit::done;
}

}  // namespace lullwatt::tools
