// The socket's server alone, with short patience: who is slow is dropped, and nobody else notices.
#include "daemon/socket/server.hpp"

#include <array>
#include <filesystem>
#include <poll.h>
#include <thread>
#include <unistd.h>
#include <utility>

#include <sys/socket.h>
#include <sys/un.h>

#include "daemon/clock/system_clock.hpp"
#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::daemon;
using namespace std::chrono_literals;

namespace {

// Blocks until it has what it waits for; a server that never drops anybody fails by the test's own time
// limit.
class Client {
  public:
    explicit Client(const std::string& path) : socket_(::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
        sockaddr_un to{};
        to.sun_family = AF_UNIX;
        std::copy(path.begin(), path.end(), to.sun_path);
        const timeval patience{.tv_sec = 20, .tv_usec = 0};
        ::setsockopt(socket_, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
        REQUIRE(::connect(socket_, reinterpret_cast<const sockaddr*>(&to), sizeof to) == 0);
    }
    ~Client() { ::close(socket_); }
    Client(const Client&) = delete;
    Client& operator=(const Client&) = delete;
    void send(const std::string& bytes) const {
        REQUIRE(::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL) ==
                static_cast<ssize_t>(bytes.size()));
    }
    // Up to the next line's end, or what came before the other side closed.
    [[nodiscard]] std::string line() {
        for (;;) {
            if (const auto end = received_.find('\n'); end != std::string::npos) {
                const std::string line = received_.substr(0, end);
                received_.erase(0, end + 1);
                return line;
            }
            std::array<char, 65536> buffer{};
            const ssize_t got = ::recv(socket_, buffer.data(), buffer.size(), 0);
            if (got <= 0) return std::exchange(received_, {});
            received_.append(buffer.data(), static_cast<std::size_t>(got));
        }
    }
    // Waits, without reading anything, until the other side has closed.
    [[nodiscard]] bool dropped() const {
        pollfd wait{socket_, POLLRDHUP, 0};
        return ::poll(&wait, 1, 20'000) == 1;
    }
    [[nodiscard]] bool hung_up() const {
        char byte = 0;
        return ::recv(socket_, &byte, 1, 0) == 0;
    }

  private:
    int socket_;
    std::string received_;
};

struct Served {
    tests::Folder folder;
    std::string path = folder.file("socket");
    SystemClock clock;
    LogBook book{clock, Level::error};
    Loop loop;
    std::unique_ptr<Server> server;
    std::thread thread;

    explicit Served(ServerLimits limits, Handler handler) {
        std::filesystem::remove(path);
        auto listening = Server::listen(loop, Log(book, "test"), path, {}, std::move(handler), limits);
        REQUIRE(listening.ok());
        server = std::move(listening).value();
        thread = std::thread([this] { loop.run(); });
    }
    ~Served() {
        loop.stop();
        thread.join();
        server.reset();
        while (loop.drain()) {
        }
    }
};

void echo(const Request& request, const Reply& reply) { reply("{\"heard\":\"" + request.command + "\"}"); }

}  // namespace

TEST_CASE("who begins a line and does not end it, or says nothing for long, is dropped") {
    Served served({.idle = 200ms, .whole_line = 50ms}, echo);
    const Client half(served.path);
    half.send("{\"do\":");
    const Client silent(served.path);
    CHECK(half.hung_up());
    CHECK(silent.hung_up());
    Client quick(served.path);
    quick.send("{\"do\":\"now\"}\n");
    CHECK(quick.line() == "{\"heard\":\"now\"}");
    CHECK(quick.hung_up());  // in the end
}

TEST_CASE("who does not read its answers is dropped, and the next one is served meanwhile") {
    Served served({.reading = 500ms},
                  [](const Request&, const Reply& reply) { reply(std::string(4 << 20, 'x')); });
    const Client deaf(served.path);
    deaf.send("{\"do\":\"now\"}\n");
    Client other(served.path);
    other.send("{\"do\":\"now\"}\n");
    CHECK(other.line().size() == 4U << 20);
    CHECK(deaf.dropped());
}

TEST_CASE("beyond the most clients at a time the next one waits until one has left") {
    Served served({.clients = 2, .idle = 10s}, echo);
    auto first = std::make_unique<Client>(served.path);
    Client second(served.path);
    first->send("{\"do\":\"one\"}\n");
    second.send("{\"do\":\"two\"}\n");
    CHECK(first->line() == "{\"heard\":\"one\"}");
    CHECK(second.line() == "{\"heard\":\"two\"}");
    Client third(served.path);
    third.send("{\"do\":\"three\"}\n");
    first.reset();
    CHECK(third.line() == "{\"heard\":\"three\"}");
}

TEST_CASE("a reply that comes later, from elsewhere, is sent to whoever asked") {
    Loop* loop = nullptr;
    Served served({}, [&](const Request& request, const Reply& reply) {
        loop->post([name = request.command, reply] { reply("late " + name); });
    });
    loop = &served.loop;
    Client client(served.path);
    client.send("{\"do\":\"a\"}\n{\"do\":\"b\"}\n");
    CHECK(client.line() == "late a");
    CHECK(client.line() == "late b");
}
