#include "e2e/daemon/running_daemon.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>
#include <cstddef>
#include <cstdlib>
#include <fcntl.h>
#include <fstream>
#include <poll.h>
#include <sstream>
#include <unistd.h>
#include <utility>

#include <sys/socket.h>
#include <sys/syscall.h>
#include <sys/un.h>
#include <sys/wait.h>

namespace lullwatt::tests {
namespace {

std::pair<sockaddr_un, socklen_t> address(const std::string& name) {
    sockaddr_un to{};
    to.sun_family = AF_UNIX;
    REQUIRE(name.size() < sizeof to.sun_path);
    std::copy(name.begin(), name.end(), to.sun_path);
    if (name.front() == '@') to.sun_path[0] = '\0';
    return {to, static_cast<socklen_t>(offsetof(sockaddr_un, sun_path) + name.size())};
}

// Reads as soon as there is something, within what is left of the deadline.
bool readable(int descriptor, std::chrono::steady_clock::time_point deadline) {
    pollfd wait{descriptor, POLLIN, 0};
    const auto left =
        std::chrono::ceil<std::chrono::milliseconds>(deadline - std::chrono::steady_clock::now());
    return left.count() > 0 && ::poll(&wait, 1, static_cast<int>(left.count())) == 1;
}

std::string text_of(const std::filesystem::path& file) {
    std::ostringstream text;
    text << std::ifstream(file).rdbuf();
    return text.str();
}

}  // namespace

OwnFolder::OwnFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "lullwatt-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    path_ = name;
}

OwnFolder::~OwnFolder() {
    std::error_code none;
    std::filesystem::remove_all(path_, none);
}

void copy_demo_site(const char* demo, const std::filesystem::path& folder) {
    const std::filesystem::path config = std::filesystem::path(LULLWATT_SOURCE_DIR) / "config";
    const auto options =
        std::filesystem::copy_options::recursive | std::filesystem::copy_options::skip_existing;
    std::filesystem::create_directories(folder / "tariffs");
    std::filesystem::create_directories(folder / demo);
    std::filesystem::copy(config / "tariffs", folder / "tariffs", options);
    std::filesystem::copy(config / demo, folder / demo, options);
}

void replace_in(const std::filesystem::path& file, const std::string& what, const std::string& with) {
    std::string text = text_of(file);
    const auto at = text.find(what);
    REQUIRE(at != std::string::npos);
    text.replace(at, what.size(), with);
    std::ofstream(file) << text;
}

NotifySocket::NotifySocket(const std::string& name)
    : socket_(::socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC, 0)), name_(name) {
    const auto [to, length] = address(name);
    REQUIRE(::bind(socket_, reinterpret_cast<const sockaddr*>(&to), length) == 0);
}

NotifySocket::~NotifySocket() { ::close(socket_); }

std::string NotifySocket::wait_for(const std::string& line) {
    const auto deadline = std::chrono::steady_clock::now() + kDeadline;
    std::string seen;
    while (readable(socket_, deadline)) {
        std::array<char, 4096> buffer{};
        const ssize_t size = ::recv(socket_, buffer.data(), buffer.size(), 0);
        const std::string datagram(buffer.data(), static_cast<std::size_t>(std::max<ssize_t>(size, 0)));
        if (("\n" + datagram).find("\n" + line) != std::string::npos) return datagram;
        seen += datagram + " | ";
    }
    FAIL("no '" << line << "' from the daemon; it said: " << seen);
    return {};
}

RunningDaemon::RunningDaemon(const OwnFolder& folder, DaemonSetting setting)
    : folder_(folder),
      notify_(setting.notify.empty() ? "@" + folder.path().string() + "/notify" : setting.notify) {
    if (setting.site.empty()) {
        if (!std::filesystem::exists(folder / "harbour-row-9"))
            copy_demo_site("harbour-row-9", folder.path());
        setting.site = (folder / "harbour-row-9" / "site.yaml").string();
    }
    if (setting.synchronized) std::ofstream(folder / "synchronized") << "";
    std::vector<std::string> arguments = {LULLWATTD,
                                          "--site",
                                          setting.site,
                                          "--state",
                                          (folder / "state").string(),
                                          "--socket",
                                          socket(),
                                          "--synchronized",
                                          (folder / "synchronized").string()};
    if (!setting.lockstep.empty()) arguments.insert(arguments.end(), {"--lockstep", setting.lockstep});
    std::vector<std::string> environment = setting.environment;
    environment.push_back("NOTIFY_SOCKET=" + notify_.name());
    for (const char* kept : {"PATH", "TSAN_OPTIONS", "ASAN_OPTIONS", "UBSAN_OPTIONS"}) {
        if (const char* value = std::getenv(kept)) environment.push_back(std::string(kept) + "=" + value);
    }
    if (setting.listening) environment.emplace_back("LISTEN_FDS=1");

    const std::string log_file = (folder / "log").string();
    process_ = ::fork();
    REQUIRE(process_ >= 0);
    if (process_ > 0) return;
    const int log = ::open(log_file.c_str(), O_WRONLY | O_CREAT | O_APPEND, 0600);
    ::dup2(log, STDERR_FILENO);
    if (setting.listening) {
        ::dup2(*setting.listening, 3);
        ::fcntl(3, F_SETFD, 0);  // it may be the same descriptor, which dup2 then leaves as it is
        environment.push_back("LISTEN_PID=" + std::to_string(::getpid()));
    }
    std::vector<char*> argv;
    for (std::string& argument : arguments) argv.push_back(argument.data());
    argv.push_back(nullptr);
    std::vector<char*> envp;
    for (std::string& variable : environment) envp.push_back(variable.data());
    envp.push_back(nullptr);
    ::execve(argv.front(), argv.data(), envp.data());
    ::_exit(127);
}

RunningDaemon::~RunningDaemon() {
    if (process_ <= 0) return;
    ::kill(process_, SIGKILL);
    ::waitpid(process_, nullptr, 0);
}

void RunningDaemon::signal(int number) const { REQUIRE(::kill(process_, number) == 0); }

int RunningDaemon::wait_for_end() {
    const int descriptor = static_cast<int>(::syscall(SYS_pidfd_open, process_, 0));
    REQUIRE(descriptor >= 0);
    const bool ended = readable(descriptor, std::chrono::steady_clock::now() + kDeadline);
    ::close(descriptor);
    INFO(log());
    REQUIRE(ended);
    int status = 0;
    ::waitpid(process_, &status, 0);
    process_ = -1;
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

std::string RunningDaemon::log() const { return text_of(folder_ / "log"); }

RawClient::RawClient(const std::string& socket) : socket_(::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    const auto [to, length] = address(socket);
    REQUIRE(::connect(socket_, reinterpret_cast<const sockaddr*>(&to), length) == 0);
}
RawClient::RawClient(RawClient&& other) noexcept
    : socket_(std::exchange(other.socket_, -1)), received_(std::move(other.received_)) {}
RawClient::~RawClient() {
    if (socket_ >= 0) ::close(socket_);
}

void RawClient::send(const std::string& bytes) const {
    std::size_t sent = 0;
    while (sent < bytes.size()) {
        const ssize_t size = ::send(socket_, bytes.data() + sent, bytes.size() - sent, MSG_NOSIGNAL);
        if (size <= 0) return;  // hung up: line() tells
        sent += static_cast<std::size_t>(size);
    }
}

std::string RawClient::line() {
    const auto deadline = std::chrono::steady_clock::now() + kDeadline;
    for (;;) {
        if (const auto end = received_.find('\n'); end != std::string::npos) {
            const std::string line = received_.substr(0, end);
            received_.erase(0, end + 1);
            return line;
        }
        REQUIRE(readable(socket_, deadline));
        std::array<char, 65536> buffer{};
        const ssize_t size = ::recv(socket_, buffer.data(), buffer.size(), 0);
        if (size <= 0) return {};
        received_.append(buffer.data(), static_cast<std::size_t>(size));
    }
}

TimeMaster::TimeMaster(std::string path)
    : path_(std::move(path)), listening_(::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    const auto [to, length] = address(path_);
    REQUIRE(::bind(listening_, reinterpret_cast<const sockaddr*>(&to), length) == 0);
    REQUIRE(::listen(listening_, 1) == 0);
}

TimeMaster::~TimeMaster() { ::close(listening_); }

void TimeMaster::begin(long long wall_seconds, long long boot_ms, const std::string& meters) {
    REQUIRE(readable(listening_, std::chrono::steady_clock::now() + kDeadline));
    daemon_.emplace(RawClient::Accepted{::accept4(listening_, nullptr, nullptr, SOCK_CLOEXEC)});
    tell("{\"begin\":{\"wall\":" + std::to_string(wall_seconds) + ",\"boot_ms\":" + std::to_string(boot_ms) +
         ",\"meters_ms\":" + meters + "}}");
}

void TimeMaster::begin_time_only(long long wall_seconds) {
    REQUIRE(readable(listening_, std::chrono::steady_clock::now() + kDeadline));
    daemon_.emplace(RawClient::Accepted{::accept4(listening_, nullptr, nullptr, SOCK_CLOEXEC)});
    tell("{\"begin\":{\"wall\":" + std::to_string(wall_seconds) + ",\"links\":\"own\"}}");
}

void TimeMaster::tell(const std::string& line) { daemon_->send(line + "\n"); }

std::vector<std::string> TimeMaster::advance(std::chrono::milliseconds boot) {
    tell("{\"advance_to\":" + std::to_string(boot.count()) + "}");
    std::vector<std::string> said;
    do {
        said.push_back(daemon_->line());
        REQUIRE_FALSE(said.back().empty());
    } while (said.back().find("{\"idle\"") != 0);
    return said;
}

std::string TimeMaster::advance_to(std::chrono::milliseconds boot) { return advance(boot).back(); }

void TimeMaster::set_wall(long long wall_seconds) {
    daemon_->send("{\"wall\":" + std::to_string(wall_seconds) + "}\n");
}

void TimeMaster::leave() { daemon_.reset(); }

}  // namespace lullwatt::tests
