// The service manager's side of the process: state by datagram, and listening sockets handed over.
//
// Follows sd_notify(3) and sd_listen_fds(3) of systemd 252 without its library: both are a few lines, and the
// package would be a dependency of every installation. Construct before threads start (it reads the
// environment); afterwards call from any thread.
#pragma once

#include <string>
#include <vector>

#include "daemon/ports/notifier.hpp"

namespace lullwatt::daemon {

class Supervisor final : public Notifier {
  public:
    // NOTIFY_SOCKET (a path, or "@name" in the abstract namespace), WATCHDOG_USEC and WATCHDOG_PID. A socket
    // that cannot be named is as none.
    Supervisor();
    ~Supervisor() override;
    void ready(std::string_view status) override;
    void reloading() override;
    void stopping(std::string_view status) override;
    void status(std::string_view status) override;
    void alive() override;
    [[nodiscard]] std::optional<std::chrono::microseconds> alive_within() const override;

  private:
    void tell(const std::string& state) const;

    int socket_ = -1;
    std::string address_;  // as in sockaddr_un::sun_path
    std::optional<std::chrono::microseconds> alive_within_;
};

// The sockets the service manager opened for this process (LISTEN_PID, LISTEN_FDS): descriptors,
// close-on-exec. Empty where it opened none.
[[nodiscard]] std::vector<int> inherited_sockets();

}  // namespace lullwatt::daemon
