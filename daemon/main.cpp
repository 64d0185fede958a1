#include <array>
#include <malloc.h>
#include <variant>

#include "daemon/process/daemon.hpp"
#include "daemon/process/options.hpp"

using lullwatt::daemon::Daemon;

namespace {

constexpr std::array kStart = {
    Daemon::Start{"take the time from where it comes", &Daemon::take_time},
    Daemon::Start{"read the settings",
                  &Daemon::read_settings},  // before other threads look at the environment
    Daemon::Start{"read what was told before", &Daemon::read_wishes},
    Daemon::Start{"watch signals", &Daemon::watch_signals},
    Daemon::Start{"start the planner", &Daemon::start_planner},
    Daemon::Start{"open the ledger", &Daemon::open_ledger},
    Daemon::Start{"link equipment and meters", &Daemon::link},
    Daemon::Start{"watch the clock", &Daemon::watch_clock},
    Daemon::Start{"keep the house", &Daemon::keep_house},
    Daemon::Start{"open the socket", &Daemon::open_socket},
    Daemon::Start{"say that it is ready", &Daemon::say_ready},
};

constexpr std::array kStop = {
    Daemon::Stop{"say so", &Daemon::say_stopping},
    Daemon::Stop{"close the socket", &Daemon::close_socket},
    Daemon::Stop{"leave the house", &Daemon::leave_house},
    Daemon::Stop{"the clock", &Daemon::unwatch_clock},
    Daemon::Stop{"the links", &Daemon::unlink},
    Daemon::Stop{"the planner", &Daemon::stop_planner},
    Daemon::Stop{"the ledger", &Daemon::close_ledger},
    Daemon::Stop{"the loop", &Daemon::drain_loop},
};

// glibc learns from the first big block freed, such as a year of readings while it grows, to keep such blocks
// for itself: a megabyte for years. One arena, for nothing here allocates in a hurry.
void give_memory_back() {
#ifdef __GLIBC__
    mallopt(M_MMAP_THRESHOLD, 128 * 1024);
    mallopt(M_TRIM_THRESHOLD, 128 * 1024);
    mallopt(M_ARENA_MAX, 1);
#endif
}

}  // namespace

int main(int argc, char** argv) {
    const auto options = lullwatt::daemon::parse_options(argc, argv);
    if (const int* status = std::get_if<int>(&options)) return *status;
    give_memory_back();
    Daemon daemon(std::get<lullwatt::daemon::Options>(options));
    const bool started = daemon.start(kStart);
    if (started) daemon.run();
    daemon.stop(kStop);
    return started ? 0 : 1;
}
