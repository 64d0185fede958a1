#include "daemon/socket/server.hpp"

#include <cstring>
#include <set>
#include <unistd.h>
#include <utility>

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/awaitable.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <fmt/format.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>

namespace lullwatt::daemon {
namespace asio = boost::asio;
namespace {

using asio::local::stream_protocol;
// Errors come back as values; an exception out of a coroutine is a bug of ours.
constexpr auto as_value = asio::as_tuple(asio::use_awaitable);

io::Faults cannot(const std::filesystem::path& path, std::string what, std::string mend) {
    return {{path.string(), 0, 0, "", std::move(what), "", "", std::move(mend)}};
}

}  // namespace

struct Client;

struct Server::Inside : std::enable_shared_from_this<Inside> {
    Inside(Loop& loop, Log said, Handler answers, ServerLimits bounds)
        : acceptor(loop.context()),
          breather(loop.context()),
          log(std::move(said)),
          handler(std::move(answers)),
          limits(bounds) {}

    stream_protocol::acceptor acceptor;
    asio::steady_timer breather;  // rung when a client leaves, or when descriptors may be free again
    Log log;
    Handler handler;
    ServerLimits limits;
    std::filesystem::path own_path;  // empty: inherited
    std::set<std::shared_ptr<Client>> clients;
    bool closed = false;

    void close();
};

// One connection. Its coroutine holds it alive; the server only needs it to hang up.
struct Client {
    explicit Client(stream_protocol::socket accepted)
        : socket(std::move(accepted)), deadline(socket.get_executor()) {}

    stream_protocol::socket socket;
    asio::steady_timer deadline;
    std::string received;

    void hang_up() {
        boost::system::error_code none;
        deadline.cancel();
        socket.close(none);
    }
};

namespace {

using ClientPtr = std::shared_ptr<Client>;
using ServerPtr = std::shared_ptr<Server::Inside>;

// The client is dropped when the deadline passes before it is set anew or called off.
void drop_after(const ClientPtr& client, std::chrono::milliseconds wait) {
    client->deadline.expires_after(wait);
    client->deadline.async_wait([weak = std::weak_ptr(client)](const boost::system::error_code& error) {
        if (const auto late = weak.lock(); late && !error) late->hang_up();
    });
}

// Reads up to a line's end into `received`. False: it left, was dropped, or its line is too long.
asio::awaitable<bool> receive_line(ClientPtr client, ServerPtr server) {
    drop_after(client, client->received.empty() ? server->limits.idle : server->limits.whole_line);
    bool begun = !client->received.empty();
    while (client->received.find('\n') == std::string::npos) {
        if (client->received.size() >= Request::kLongest) co_return true;
        std::array<char, 4096> buffer;  // NOLINT: filled by the read
        const auto [error, size] = co_await client->socket.async_read_some(asio::buffer(buffer), as_value);
        if (error) co_return false;
        client->received.append(buffer.data(), size);
        if (!std::exchange(begun, true)) drop_after(client, server->limits.whole_line);
    }
    client->deadline.cancel();
    co_return true;
}

// What the handler replies, whenever it does.
asio::awaitable<std::string> replied(ServerPtr server, Request request) {
    const auto initiate = [server, request](auto completion) {
        auto shared = std::make_shared<decltype(completion)>(std::move(completion));
        auto executor = server->acceptor.get_executor();
        server->handler(request, [shared, executor](std::string line) {
            asio::post(executor,
                       [shared, line = std::move(line)]() mutable { std::move (*shared)(std::move(line)); });
        });
    };
    co_return co_await asio::async_initiate<const asio::use_awaitable_t<>, void(std::string)>(
        initiate, asio::use_awaitable);
}

asio::awaitable<bool> send_line(ClientPtr client, ServerPtr server, std::string line) {
    line += '\n';
    drop_after(client, server->limits.reading);
    const auto [error, size] = co_await asio::async_write(client->socket, asio::buffer(line), as_value);
    client->deadline.cancel();
    co_return !error;
}

asio::awaitable<void> serve(ClientPtr client, ServerPtr server) {
    while (!server->closed) {
        const bool whole = co_await receive_line(client, server);
        if (!whole) break;
        const auto end = client->received.find('\n');
        if (end >= Request::kLongest) {  // or no end at all
            std::string refusal = fault_line(
                {{kAsked, 0, 0, "", fmt::format("is longer than {} bytes", Request::kLongest), "", "", ""}});
            co_await send_line(client, server, std::move(refusal));
            break;
        }
        const auto request = parse_request(std::string_view(client->received).substr(0, end));
        client->received.erase(0, end + 1);
        std::string line;
        if (request.ok()) {
            line = co_await replied(server, request.value());
        } else {
            line = fault_line(request.faults());
        }
        const bool read = co_await send_line(client, server, std::move(line));
        if (!read) break;
    }
    client->hang_up();
    server->clients.erase(client);
    server->breather.cancel();
}

// Waits until `breather` is cancelled or a moment has passed.
asio::awaitable<void> breathe(ServerPtr server, std::chrono::milliseconds most) {
    server->breather.expires_after(most);
    static_cast<void>(co_await server->breather.async_wait(as_value));
}

asio::awaitable<void> accept_clients(ServerPtr server) {
    constexpr std::chrono::milliseconds kUntilDescriptorsAreFree{200};
    while (!server->closed) {
        if (server->clients.size() >= server->limits.clients) {
            co_await breathe(server, server->limits.idle);
            continue;
        }
        auto [error, socket] = co_await server->acceptor.async_accept(as_value);
        if (server->closed) co_return;
        if (error) {
            server->log.warning(fmt::format("socket: a client could not be accepted: {}", error.message()));
            co_await breathe(server, kUntilDescriptorsAreFree);
            continue;
        }
        const auto client = std::make_shared<Client>(std::move(socket));
        server->clients.insert(client);
        asio::co_spawn(server->acceptor.get_executor(), serve(client, server), asio::detached);
    }
}

// Somebody answers there.
bool answered(const std::string& path) {
    const int probe = ::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    sockaddr_un to{};
    to.sun_family = AF_UNIX;
    std::memcpy(to.sun_path, path.data(), path.size());
    const int status = ::connect(probe, reinterpret_cast<const sockaddr*>(&to), sizeof to);
    const bool refused = status != 0 && errno != EAGAIN;  // EAGAIN: its queue is full, so there is one
    ::close(probe);
    return !refused;
}

bool is_listening_unix_socket(int descriptor) {
    int value = 0;
    socklen_t size = sizeof value;
    if (::getsockopt(descriptor, SOL_SOCKET, SO_DOMAIN, &value, &size) != 0 || value != AF_UNIX) return false;
    size = sizeof value;
    return ::getsockopt(descriptor, SOL_SOCKET, SO_ACCEPTCONN, &value, &size) == 0 && value == 1;
}

std::optional<io::Faults> open_at(stream_protocol::acceptor& acceptor, const std::filesystem::path& path) {
    const std::string name = path.string();
    if (name.size() >= sizeof(sockaddr_un::sun_path)) {
        return cannot(path, "is too long a name for a socket", "name a shorter one with --socket");
    }
    struct stat there {};
    if (::lstat(name.c_str(), &there) == 0) {
        if (!S_ISSOCK(there.st_mode))
            return cannot(path, "is a file that is no socket", "name another with --socket");
        if (answered(name)) return cannot(path, "is answered by another daemon", "stop that one first");
        ::unlink(name.c_str());
    }
    boost::system::error_code error;
    acceptor.open(stream_protocol(), error);
    const mode_t before = ::umask(0117);  // 0660 from its first moment on
    if (!error) acceptor.bind(stream_protocol::endpoint(name), error);
    ::umask(before);
    if (!error) acceptor.listen(stream_protocol::acceptor::max_listen_connections, error);
    if (error)
        return cannot(path, "cannot be listened at: " + error.message(), "check its folder and who owns it");
    return std::nullopt;
}

}  // namespace

void Server::Inside::close() {
    closed = true;
    boost::system::error_code none;
    acceptor.close(none);
    breather.cancel();
    for (const auto& client : clients) client->hang_up();
    if (!own_path.empty()) ::unlink(own_path.c_str());
}

io::Read<std::unique_ptr<Server>> Server::listen(Loop& loop, const Log& log,
                                                 const std::filesystem::path& path,
                                                 std::optional<int> inherited, Handler handler,
                                                 ServerLimits limits) {
    auto inside = std::make_shared<Inside>(loop, log, std::move(handler), limits);
    if (inherited) {
        if (!is_listening_unix_socket(*inherited)) {
            return cannot(fmt::format("inherited socket {}", *inherited), "is no listening unix socket",
                          "check the .socket unit: ListenStream= with a path");
        }
        boost::system::error_code error;
        inside->acceptor.assign(stream_protocol(), *inherited, error);
        if (error) return cannot(path, "cannot be adopted: " + error.message(), "");
    } else {
        if (auto faults = open_at(inside->acceptor, path)) return *faults;
        inside->own_path = path;
    }
    asio::co_spawn(loop.context(), accept_clients(inside), asio::detached);
    return std::unique_ptr<Server>(new Server(inside));
}

Server::~Server() { inside_->close(); }

}  // namespace lullwatt::daemon
