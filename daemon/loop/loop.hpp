// The one thread that owns links, limiter and live state: an Asio loop with its signals, alarms and
// descriptors.
//
// post() and stop() may be called from any thread, everything else from the thread that runs it or before it
// runs.
#pragma once

#include <functional>
#include <memory>

#include "daemon/ports/alarm.hpp"

namespace boost::asio {
class io_context;
}

namespace lullwatt::daemon {

class Loop {
  public:
    Loop();
    ~Loop();
    Loop(const Loop&) = delete;
    Loop& operator=(const Loop&) = delete;

    // `act` runs in the loop later. After the loop has ended it never does.
    void post(std::function<void()> act);
    // Returns when stop() was called.
    void run();
    void stop();
    [[nodiscard]] bool stopped() const;
    // Runs what is ready now, without waiting, and says whether anything was: for lockstep and the end of the
    // process.
    bool drain();
    // Waits for one thing to run, and runs it.
    void run_one();

    // Each time one of SIGTERM, SIGINT and SIGHUP arrives, until the loop is destroyed.
    void on_signal(std::function<void(int signal)> act);
    // Each time `descriptor` (borrowed) can be read; `act` reads it and says whether to go on watching.
    void on_readable(int descriptor, std::function<bool()> act);

    [[nodiscard]] boost::asio::io_context& context();

  private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

}  // namespace lullwatt::daemon
