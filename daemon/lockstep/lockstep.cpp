#include "daemon/lockstep/lockstep.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <unistd.h>
#include <utility>

#include <nlohmann/json.hpp>
#include <sys/socket.h>
#include <sys/un.h>

namespace lullwatt::daemon {
namespace {

using Json = nlohmann::ordered_json;

io::Faults cannot(const std::filesystem::path& socket, std::string what) {
    return {{socket.string(), 0, 0, "--lockstep", std::move(what), "", "a socket with a simulator behind it",
             ""}};
}

}  // namespace

io::Read<std::unique_ptr<Lockstep>> Lockstep::join(const std::filesystem::path& socket) {
    sockaddr_un to{};
    to.sun_family = AF_UNIX;
    const std::string name = socket.string();
    if (name.size() >= sizeof to.sun_path) return cannot(socket, "is too long a name");
    std::copy(name.begin(), name.end(), to.sun_path);
    std::unique_ptr<Lockstep> lockstep(new Lockstep(::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0)));
    if (::connect(lockstep->socket_, reinterpret_cast<const sockaddr*>(&to), sizeof to) != 0) {
        return cannot(socket, std::string("has nobody behind it: ") + std::strerror(errno));
    }
    while (lockstep->lines_.empty()) {
        if (!lockstep->receive()) return cannot(socket, "was closed before it told when to begin");
    }
    const Json first = Json::parse(lockstep->lines_.front(), nullptr, false);
    lockstep->lines_.pop_front();
    if (!first.is_object() || !first.contains("begin")) return cannot(socket, "does not tell when to begin");
    const Json& begin = first.at("begin");
    lockstep->boot_ = BootTime(Milliseconds(begin.value("boot_ms", std::int64_t{0})));
    lockstep->wall_at_boot_ =
        Seconds(begin.value("wall", std::int64_t{0})) - lockstep->boot_.time_since_epoch();
    const Json meters = begin.value("meters_ms", Json::object());
    for (const auto& [node, interval] : meters.items()) {
        lockstep->meters_[node] = Milliseconds(interval.get<std::int64_t>());
    }
    lockstep->own_links_ = begin.value("links", "") == "own";
    return lockstep;
}

Lockstep::~Lockstep() { ::close(socket_); }

Moment Lockstep::now() const {
    const std::lock_guard lock(guards_time_);
    return {Instant(std::chrono::floor<Seconds>(wall_at_boot_ + boot_.time_since_epoch())), boot_};
}

void Lockstep::listen(Loop& loop, Takers takers) {
    takers_ = std::move(takers);
    loop.on_readable(socket_, [this] {
        if (receive()) return true;
        takers_.left();
        return false;
    });
}

void Lockstep::tell(const std::string& line) {
    const std::string whole = line + "\n";
    std::string_view rest = whole;
    while (!rest.empty()) {
        const ssize_t sent = ::send(socket_, rest.data(), rest.size(), MSG_NOSIGNAL);
        if (sent < 0 && errno == EINTR) continue;
        if (sent <= 0) return;  // it has gone: the next read says so
        rest.remove_prefix(static_cast<std::size_t>(sent));
    }
}

bool Lockstep::go_on() {
    if (!target_) {
        if (lines_.empty()) return false;
        const std::string line = std::move(lines_.front());
        lines_.pop_front();
        take(line);
        return true;
    }
    const auto due = appointments_.next();
    if (!due || *due > *target_) {
        move_to(*std::exchange(target_, std::nullopt));
        tell(Json{{"idle",
                   {{"boot_ms", now().boot.time_since_epoch().count()},
                    {"next_ms", due ? Json(due->time_since_epoch().count()) : Json(nullptr)}}}}
                 .dump());
        return true;
    }
    move_to(*due);
    appointments_.ring_one(*due);
    return true;
}

// One read's worth of lines. False: the other end has closed.
bool Lockstep::receive() {
    std::array<char, 65536> buffer;  // NOLINT: filled by the read
    const ssize_t got = ::recv(socket_, buffer.data(), buffer.size(), 0);
    if (got < 0 && (errno == EINTR || errno == EAGAIN)) return true;
    if (got <= 0) return false;
    received_.append(buffer.data(), static_cast<std::size_t>(got));
    for (auto end = received_.find('\n'); end != std::string::npos; end = received_.find('\n')) {
        lines_.push_back(received_.substr(0, end));
        received_.erase(0, end + 1);
    }
    return true;
}

void Lockstep::move_to(BootTime boot) {
    const std::lock_guard lock(guards_time_);
    boot_ = std::max(boot_, boot);
}

void Lockstep::take(const std::string& line) {
    const Json json = Json::parse(line, nullptr, false);
    if (json.is_object() && json.contains("advance_to")) {
        target_ = std::max(now().boot, BootTime(Milliseconds(json.at("advance_to").get<std::int64_t>())));
    } else if (json.is_object() && json.contains("wall")) {
        {
            const std::lock_guard lock(guards_time_);
            wall_at_boot_ = Seconds(json.at("wall").get<std::int64_t>()) - boot_.time_since_epoch();
        }
        takers_.wall_set();
    } else {
        takers_.other(line);
    }
}

}  // namespace lullwatt::daemon
