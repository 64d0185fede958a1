// The real lullwattd on a folder of its own, with the test in the service manager's place.
//
// Waiting is for something to happen, with a deadline that only a failure meets; never for time to pass.
#pragma once

#include <chrono>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include <sys/types.h>

#include "support/catch.hpp"

namespace lullwatt::tests {

inline constexpr std::chrono::seconds kDeadline{300};

// A folder that is gone afterwards.
class OwnFolder {
  public:
    OwnFolder();
    ~OwnFolder();
    OwnFolder(const OwnFolder&) = delete;
    OwnFolder& operator=(const OwnFolder&) = delete;
    [[nodiscard]] std::filesystem::path operator/(const char* name) const { return path_ / name; }
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

  private:
    std::filesystem::path path_;
};

// A demo site's files, to be changed at will: site.yaml and what it points at.
void copy_demo_site(const char* demo, const std::filesystem::path& folder);
void replace_in(const std::filesystem::path& file, const std::string& what, const std::string& with);

// A socket of the test's, as a service manager's NOTIFY_SOCKET.
class NotifySocket {
  public:
    explicit NotifySocket(const std::string& name);  // "/path" or "@abstract"
    ~NotifySocket();
    NotifySocket(const NotifySocket&) = delete;
    NotifySocket& operator=(const NotifySocket&) = delete;
    // The next datagram that holds a line beginning so; earlier ones are dropped. REQUIREs that one comes.
    std::string wait_for(const std::string& line);
    [[nodiscard]] const std::string& name() const { return name_; }

  private:
    int socket_;
    std::string name_;
};

struct DaemonSetting {
    std::string site;  // empty: a copy of the demo site with two cars
    bool synchronized = true;
    std::string lockstep;
    std::string notify;                           // empty: an abstract name
    std::vector<std::string> environment;         // "NAME=value"
    std::optional<int> listening = std::nullopt;  // handed over as by socket activation
};

class RunningDaemon {
  public:
    explicit RunningDaemon(const OwnFolder& folder, DaemonSetting setting = {});
    ~RunningDaemon();  // kills it where it still runs
    RunningDaemon(const RunningDaemon&) = delete;
    RunningDaemon& operator=(const RunningDaemon&) = delete;

    void wait_until_ready() { notify_.wait_for("READY=1"); }
    NotifySocket& notify() { return notify_; }
    void signal(int number) const;
    // Its exit status, or 128 + the signal that ended it. REQUIREs that it ends.
    int wait_for_end();
    [[nodiscard]] std::string socket() const { return (folder_ / "socket").string(); }
    [[nodiscard]] std::string log() const;
    [[nodiscard]] pid_t process() const { return process_; }

  private:
    const OwnFolder& folder_;
    NotifySocket notify_;
    pid_t process_ = -1;
};

// A client of its own kind, for what the command line would never send.
class RawClient {
  public:
    explicit RawClient(const std::string& socket);
    struct Accepted {
        int socket;
    };
    explicit RawClient(Accepted accepted) : socket_(accepted.socket) {}
    ~RawClient();
    RawClient(RawClient&& other) noexcept;
    RawClient(const RawClient&) = delete;
    RawClient& operator=(const RawClient&) = delete;
    void send(const std::string& bytes) const;
    // Up to the next line's end; empty: the daemon hung up. REQUIREs one or the other in time.
    std::string line();

  private:
    int socket_;
    std::string received_;
};

// The other end of --lockstep.
class TimeMaster {
  public:
    explicit TimeMaster(std::string path);
    ~TimeMaster();
    TimeMaster(const TimeMaster&) = delete;
    TimeMaster& operator=(const TimeMaster&) = delete;
    // Waits for the daemon to connect. `meters`: nodes with the milliseconds between two samples, as JSON.
    void begin(long long wall_seconds, long long boot_ms = 0, const std::string& meters = "{}");
    // The same to a daemon whose links are those of its site file: only the time is ours.
    void begin_time_only(long long wall_seconds);
    // Moves time and waits until the daemon has nothing more to do; its "idle" line.
    std::string advance_to(std::chrono::milliseconds boot);
    // The same; what the daemon said before, line by line.
    std::vector<std::string> advance(std::chrono::milliseconds boot);
    void tell(const std::string& line);
    void set_wall(long long wall_seconds);
    // Hangs up, as a simulator that has gone.
    void leave();
    [[nodiscard]] const std::string& path() const { return path_; }

  private:
    std::string path_;
    int listening_ = -1;
    std::optional<RawClient> daemon_;
};

}  // namespace lullwatt::tests
