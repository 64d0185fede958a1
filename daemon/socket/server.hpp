// The daemon's unix socket: requests by name, one a line, each answered by one line in its turn.
//
// Loop thread only. Nobody on the other side can hold the loop up: lines, clients and waits are bounded, and
// who does not read, or does not finish a line, is dropped.
#pragma once

#include <cstddef>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "daemon/log/log.hpp"
#include "daemon/loop/loop.hpp"
#include "daemon/socket/json.hpp"
#include "io/fault/fault.hpp"

namespace lullwatt::daemon {

struct ServerLimits {                             // ours, all of them
    std::size_t clients = 64;                     // more wait in the kernel's queue
    std::chrono::milliseconds idle{60'000};       // between requests
    std::chrono::milliseconds whole_line{5'000};  // from a line's first byte to its last
    std::chrono::milliseconds reading{5'000};     // until a client has read its answer
};

// Answers by calling `reply` once, with a line without its end: at once, or later from the loop's thread.
using Reply = std::function<void(std::string line)>;
using Handler = std::function<void(const Request&, Reply)>;

class Server {
  public:
    // Listens at `path` (mode 0660), taking away a socket that nobody answers at; or adopts `inherited`, a
    // listening unix socket's descriptor. The fault says why it cannot: somebody answers there, another kind
    // of file.
    [[nodiscard]] static io::Read<std::unique_ptr<Server>> listen(Loop& loop, const Log& log,
                                                                  const std::filesystem::path& path,
                                                                  std::optional<int> inherited,
                                                                  Handler handler, ServerLimits limits = {});
    // Hangs up on everybody; a socket of its own making is taken away.
    ~Server();
    Server(const Server&) = delete;
    Server& operator=(const Server&) = delete;

    struct Inside;  // what its coroutines share; of no use outside

  private:
    explicit Server(std::shared_ptr<Inside> inside) : inside_(std::move(inside)) {}
    std::shared_ptr<Inside> inside_;
};

}  // namespace lullwatt::daemon
