#include "daemon/supervisor/supervisor.hpp"

#include <algorithm>
#include <charconv>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <fcntl.h>
#include <unistd.h>

#include <fmt/format.h>
#include <sys/socket.h>
#include <sys/un.h>

namespace lullwatt::daemon {
namespace {

constexpr int kFirstInherited = 3;   // SD_LISTEN_FDS_START
constexpr int kMostInherited = 100;  // ours: more is a mistake of whoever started it

std::optional<std::int64_t> whole_number(const char* variable) {
    const char* text = std::getenv(variable);
    if (text == nullptr) return std::nullopt;
    std::int64_t value = 0;
    const char* end = text + std::strlen(text);
    const auto read = std::from_chars(text, end, value);
    if (read.ec != std::errc{} || read.ptr != end) return std::nullopt;
    return value;
}

std::int64_t monotonic_microseconds() {
    timespec now{};
    ::clock_gettime(CLOCK_MONOTONIC, &now);
    return std::int64_t{now.tv_sec} * 1'000'000 + now.tv_nsec / 1000;
}

// A status is one line of the datagram.
std::string one_line(std::string_view text) {
    std::string line(text);
    std::ranges::replace(line, '\n', ' ');
    return line;
}

}  // namespace

Supervisor::Supervisor() {
    const char* name = std::getenv("NOTIFY_SOCKET");
    if (name == nullptr || (*name != '/' && *name != '@') || name[1] == '\0' ||
        std::strlen(name) >= sizeof(sockaddr_un::sun_path)) {
        return;
    }
    address_ = name;
    if (address_.front() == '@') address_.front() = '\0';
    socket_ = ::socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC, 0);
    const auto within = whole_number("WATCHDOG_USEC");
    const auto process = whole_number("WATCHDOG_PID");
    if (within && *within > 0 && (!process || *process == ::getpid())) {
        alive_within_ = std::chrono::microseconds(*within);
    }
}

Supervisor::~Supervisor() {
    if (socket_ >= 0) ::close(socket_);
}

void Supervisor::ready(std::string_view status) { tell("READY=1\nSTATUS=" + one_line(status)); }

// MONOTONIC_USEC belongs to Type=notify-reload of systemd 253 and later; 252 ignores it.
void Supervisor::reloading() {
    tell(fmt::format("RELOADING=1\nMONOTONIC_USEC={}", monotonic_microseconds()));
}

void Supervisor::stopping(std::string_view status) { tell("STOPPING=1\nSTATUS=" + one_line(status)); }
void Supervisor::status(std::string_view status) { tell("STATUS=" + one_line(status)); }
void Supervisor::alive() { tell("WATCHDOG=1"); }

std::optional<std::chrono::microseconds> Supervisor::alive_within() const { return alive_within_; }

void Supervisor::tell(const std::string& state) const {
    if (socket_ < 0) return;
    sockaddr_un to{};
    to.sun_family = AF_UNIX;
    std::copy(address_.begin(), address_.end(), to.sun_path);
    const auto length = static_cast<socklen_t>(offsetof(sockaddr_un, sun_path) + address_.size());
    static_cast<void>(::sendto(socket_, state.data(), state.size(), MSG_DONTWAIT | MSG_NOSIGNAL,
                               reinterpret_cast<const sockaddr*>(&to), length));
}

std::vector<int> inherited_sockets() {
    const auto process = whole_number("LISTEN_PID");
    const auto count = whole_number("LISTEN_FDS");
    std::vector<int> sockets;
    if (!process || *process != ::getpid() || !count || *count < 1 || *count > kMostInherited) return sockets;
    for (int number = kFirstInherited; number < kFirstInherited + static_cast<int>(*count); ++number) {
        const int flags = ::fcntl(number, F_GETFD);
        if (flags < 0) continue;
        ::fcntl(number, F_SETFD, flags | FD_CLOEXEC);
        sockets.push_back(number);
    }
    return sockets;
}

}  // namespace lullwatt::daemon
