#include "daemon/process/options.hpp"

#include <cstdlib>
#include <iostream>
#include <string>

#include <CLI/CLI.hpp>

#include "daemon/clock/system_clock.hpp"
#include "daemon/clock/trust.hpp"
#include "tools/lullwatt/time_option.hpp"

namespace lullwatt::daemon {
namespace {

std::string environment_or(const char* variable, const std::string& otherwise) {
    const char* set = std::getenv(variable);
    return set != nullptr && *set != '\0' ? set : otherwise;
}

}  // namespace

std::variant<Options, int> parse_options(int argc, char** argv) {
    std::string site = environment_or("LULLWATT_SITE", "/etc/lullwatt/site.yaml");
    std::string state = environment_or("STATE_DIRECTORY", "/var/lib/lullwatt");
    std::string socket = environment_or("RUNTIME_DIRECTORY", "/run/lullwatt") + "/socket";
    std::string synchronized = kSynchronizedFile;
    std::string lockstep;
    double speed = 1;
    std::string begins;
    bool verbose = false;
    CLI::App app{"Charges the car when the house is quiet and energy is cheap: the service.", "lullwattd"};
    app.add_option("--site", site,
                   "The site file. Without it: $LULLWATT_SITE, else /etc/lullwatt/site.yaml.");
    app.add_option(
        "--state", state,
        "Folder for what must outlive a restart. Without it: $STATE_DIRECTORY, else /var/lib/lullwatt.");
    app.add_option(
        "--socket", socket,
        "Where `lullwatt` finds it. Without it: socket in $RUNTIME_DIRECTORY, else in /run/lullwatt; a "
        "socket handed over by the service manager comes first.");
    app.add_option(
        "--synchronized", synchronized,
        "The file that a time service leaves once it has set the clock; systemd-timesyncd's by default.");
    app.add_option("--lockstep", lockstep, "For tests: a socket whose other end is the master of time.");
    auto* fast = app.add_option("--speed", speed,
                                "For a demonstration, where every link is simulated: so many times faster.")
                     ->check(CLI::Range(0.1, 10'000.0))
                     ->type_name("TIMES")
                     ->excludes("--lockstep");
    app.add_option("--begin", begins, "With --speed: as if it were this time, UTC: 2026-10-20T21:00.")
        ->type_name("TIME")
        ->needs(fast);
    app.add_flag("--verbose", verbose, "Say more.");
    app.footer(
        "It stays in the foreground and logs to stderr. SIGTERM and SIGINT end it; SIGHUP has it read the "
        "site\n"
        "file anew, and with a fault anywhere it goes on with the settings it has.");
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& stop) {
        return app.exit(stop) == 0 ? 0 : 2;
    }
    std::optional<Instant> begin;
    if (!begins.empty()) {
        begin = tools::parse_time(begins, Zone::fixed(Seconds{0}), SystemClock{}.now().wall);
        if (!begin) {
            std::cerr << "lullwattd: --begin '" << begins << "': is no time. Allowed: " << tools::kTimeForms
                      << '\n';
            return 2;
        }
    }
    return Options{.site = site,
                   .state = state,
                   .socket = socket,
                   .synchronized = synchronized,
                   .lockstep = lockstep,
                   .speed = speed,
                   .begins = begin,
                   .verbose = verbose};
}

}  // namespace lullwatt::daemon
