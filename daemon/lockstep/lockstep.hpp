// Time for tests: a simulator on the other end of a socket is its master, and it moves only when told.
//
// One JSON object a line. The simulator says {"begin": {"wall": 1792533600, "boot_ms": 0}} first; then, as
// often as it likes, {"advance_to": 1000} (boot time in ms), answered by {"idle": {"boot_ms": 1000,
// "next_ms": 61000}} when all that fell due has been done and nothing is under way, and {"wall": 1792540800},
// which sets the wall clock. Other lines go to whoever took them. Its end ends the daemon. now() may be asked
// from any thread, the rest is for the loop's.
#pragma once

#include <deque>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "daemon/clock/appointments.hpp"
#include "daemon/loop/loop.hpp"
#include "daemon/ports/alarm.hpp"
#include "io/fault/fault.hpp"

namespace lullwatt::daemon {

class Lockstep final : public Clock, public Alarms {
  public:
    // Connects, and waits until it is told when it begins.
    [[nodiscard]] static io::Read<std::unique_ptr<Lockstep>> join(const std::filesystem::path& socket);
    ~Lockstep() override;

    [[nodiscard]] Moment now() const override;
    [[nodiscard]] std::unique_ptr<Alarm> alarm(std::function<void()> ring) override {
        return appointments_.alarm(std::move(ring));
    }

    // Nodes with a meter, and the time between two of its samples, as the first line told.
    [[nodiscard]] const std::map<std::string, Milliseconds>& meters() const { return meters_; }
    // It said {"begin": {…, "links": "own"}}: it moves the time and nothing else, and the links are those of
    // the site file.
    [[nodiscard]] bool own_links() const { return own_links_; }

    struct Takers {
        std::function<void()> wall_set;
        std::function<void(const std::string& line)> other;  // what is no matter of time
        std::function<void()> left;                          // the simulator has gone
    };
    void listen(Loop& loop, Takers takers);
    void tell(const std::string& line);

    // Does the next thing the simulator asked for: rings one alarm that falls due, or takes the next line.
    // False: there is nothing to do until it says more. REQUIRES: nothing is ready in the loop or under way
    // elsewhere.
    bool go_on();

  private:
    explicit Lockstep(int socket) : socket_(socket) {}
    [[nodiscard]] bool receive();
    void move_to(BootTime boot);
    void take(const std::string& line);

    int socket_;
    std::string received_;
    std::deque<std::string> lines_;
    Takers takers_;
    Appointments appointments_;
    std::optional<BootTime> target_;
    std::map<std::string, Milliseconds> meters_;
    bool own_links_ = false;

    mutable std::mutex guards_time_;
    BootTime boot_{};
    Milliseconds wall_at_boot_{0};  // the wall clock's reading when boot_ was 0
};

}  // namespace lullwatt::daemon
