#include "daemon/process/daemon.hpp"

#include <algorithm>
#include <csignal>
#include <exception>
#include <random>
#include <utility>

#include <fmt/format.h>

#include "daemon/requests/requests.hpp"
#include "io/ledger/reader.hpp"

namespace lullwatt::daemon {
namespace {

constexpr Milliseconds kMinute = std::chrono::minutes{1};
constexpr Milliseconds kDay = std::chrono::hours{24};

// Rings again and again, on the computer's own clock.
class Beat {
  public:
    Beat(const Clock& clock, Milliseconds every) : clock_(clock), every_(every) {}
    void operator()(Alarm& alarm) const { alarm.set(clock_.now().boot + every_); }

  private:
    const Clock& clock_;
    Milliseconds every_;
};

// Of the night of the last row: a clock that is not proven yet cannot tell another.
io::Read<control::WritesSoFar> writes_before(io::ledger::Reader& reader, const std::string& point,
                                             std::optional<Instant> last, const Zone& zone) {
    const Interval known = zone.known();
    if (!last || !known.contains(*last - date::days{2}) || !known.contains(*last + date::days{2}))
        return control::WritesSoFar{};
    const Instant noon = control::next_noon(*last - date::days{1}, zone);
    const auto count = reader.count_events(point, kOffered, noon);
    if (!count.ok()) return count.faults();
    return control::WritesSoFar{.ever = count.value().ever,
                                .tonight = static_cast<int>(count.value().since),
                                .night_ends = control::next_noon(*last, zone)};
}

}  // namespace

Daemon::Daemon(Options options)
    : options_(std::move(options)),
      inherited_(inherited_sockets()),
      book_(system_clock_, options_.verbose ? Level::debug : Level::info),
      log_(book_, "lullwattd"),
      boot_alarms_(loop_) {}

Daemon::~Daemon() = default;

bool Daemon::start(std::span<const Start> steps) {
    for (const Start& each : steps) {
        log_.debug(fmt::format("start: {}", each.name));
        io::Faults faults;
        try {
            faults = (this->*each.step)();
        } catch (const std::exception& failure) {
            faults = {{std::string(each.name), 0, 0, "", failure.what(), "", "", ""}};
        }
        if (faults.empty()) continue;
        for (const io::Fault& fault : faults) log_.error(io::text(fault));
        log_.error(fmt::format("not started: {} failed", each.name));
        return false;
    }
    return true;
}

void Daemon::run() {
    if (lockstep_ || fast_) {
        run_stepped();
    } else {
        loop_.run();
    }
}

void Daemon::stop(std::span<const Stop> steps) {
    for (const Stop& each : steps) {
        log_.info(fmt::format("stop: {}", each.name));
        try {
            (this->*each.step)();
        } catch (const std::exception& failure) {
            log_.error(fmt::format("stop: {} failed: {}", each.name, failure.what()));
        }
    }
}

// Time moves only when nothing is ready here and nothing is under way elsewhere.
void Daemon::run_stepped() {
    while (!loop_.stopped()) {
        const bool worker_was_idle = worker_->idle();  // asked first: what it handed back is then in the loop
        const bool store_was_drained = store_->drained();
        if (loop_.drain()) continue;
        if (!worker_was_idle) {
            worker_->wait_until_idle();
        } else if (!store_was_drained) {
            store_->wait_until_drained();
        } else if (!(lockstep_ ? lockstep_->go_on() : fast_->go_on())) {
            loop_.run_one();
        }
    }
}

const Clock& Daemon::clock() const {
    if (lockstep_) return *lockstep_;
    if (fast_) return *fast_;
    return system_clock_;
}

Alarms& Daemon::alarms() {
    if (lockstep_) return *lockstep_;
    if (fast_) return *fast_;
    return boot_alarms_;
}

io::Faults Daemon::take_time() {
    if (options_.speed != 1 || options_.begins) {
        fast_ = std::make_unique<FastTime>(
            system_clock_, boot_alarms_, options_.begins.value_or(system_clock_.now().wall), options_.speed);
        book_.tell_time_by(*fast_);
        log_.warning(fmt::format("the time is not the computer's: {:g} times as fast", options_.speed));
    }
    if (options_.lockstep.empty()) return {};
    auto joined = Lockstep::join(options_.lockstep);
    if (!joined.ok()) return joined.faults();
    lockstep_ = std::move(joined).value();
    log_.warning("in lockstep: the time is a simulator's");
    return {};
}

io::Faults Daemon::read_settings() {
    auto read = io::load_household(options_.site, clock().now().wall);
    if (!read.ok()) return read.faults();
    household_ = std::make_shared<const io::Household>(std::move(read).value());
    return {};
}

io::Faults Daemon::read_wishes() {
    std::error_code error;
    std::filesystem::create_directories(options_.state, error);
    if (error) {
        return {{options_.state.string(), 0, 0, "--state", "cannot be made: " + error.message(), "", "",
                 "name a folder that lullwattd may write to"}};
    }
    auto read = daemon::read_wishes(options_.state / "wishes.json");
    if (read.ok()) {
        wishes_ = std::move(read).value();
    } else {
        // A household that cannot be reminded is better off than one without charging.
        for (const io::Fault& fault : read.faults()) log_.error(io::text(fault));
        log_.error("needs and holds told before are forgotten");
    }
    return {};
}

io::Faults Daemon::watch_signals() {
    std::signal(SIGPIPE, SIG_IGN);
    std::signal(SIGXFSZ, SIG_IGN);  // a limit on the size of files is a full disk to us
    loop_.on_signal([this](int signal) { on_signal(signal); });
    return {};
}

void Daemon::on_signal(int signal) {
    if (signal == SIGHUP) {
        if (keeper_) keeper_->reload([](const io::Faults&) {});
        return;
    }
    log_.notice(signal == SIGTERM ? "SIGTERM: stopping" : "SIGINT: stopping");
    loop_.stop();
}

io::Faults Daemon::start_planner() {
    worker_ = std::make_unique<Worker>();
    return {};
}

io::Faults Daemon::watch_clock() {
    const auto stepped = [this] {
        if (!keeper_) return;
        keeper_->clock_stepped();
        if (!keeper_->knows_the_clock(kAskedAround)) renew_zone();
    };
    if (lockstep_) {
        lockstep_->listen(loop_, {.wall_set = stepped,
                                  .other =
                                      [this](const std::string& line) {
                                          if (simulated_) simulated_->take(line);
                                      },
                                  .left = [this] { loop_.stop(); }});
    } else if (!fast_) {
        clock_steps_.emplace(loop_, stepped);
    }
    return {};
}

// Settings know the civil clock for two years around the time they were read at.
void Daemon::renew_zone() {
    log_.notice("the zone's changes are not known for the time it is now: reading the settings anew");
    keeper_->reload([this](const io::Faults& faults) {
        if (faults.empty() && keeper_ && keeper_->knows_the_clock(kAskedAround)) keeper_->clock_stepped();
    });
}

io::Faults Daemon::open_ledger() {
    const std::filesystem::path file = options_.state / "ledger.sqlite";
    auto ledger = io::ledger::Ledger::open(file);
    if (!ledger.ok()) return ledger.faults();
    auto reader = io::ledger::Reader::open(file);
    if (!reader.ok()) return reader.faults();
    io::ledger::Reader reading = std::move(reader).value();
    auto unsettled = reading.unsettled();
    if (!unsettled.ok()) return unsettled.faults();
    open_ = std::move(unsettled).value();
    const auto last = reading.last_instant();
    if (!last.ok()) return last.faults();
    last_recorded_ = last.value();
    for (const site::Point& point : household_->site.site.points) {
        const auto shown = reading.last_register(point.name);
        if (!shown.ok()) return shown.faults();
        if (shown.value()) memory_.push_back({point.name, *shown.value(), {}});
        const auto writes = writes_before(reading, point.name, last_recorded_, household_->zone);
        if (!writes.ok()) return writes.faults();
        writes_.push_back(writes.value());
    }
    for (const io::ledger::StoredTransaction& transaction : open_) {
        const auto known = std::ranges::find(memory_, transaction.point, &PointMemory::point);
        if (transaction.end || known == memory_.end() || transaction.readings.empty()) continue;
        known->begun_at = transaction.readings.front().value;
        known->energy_register = std::max(known->energy_register, transaction.readings.back().value);
    }
    store_ = std::make_unique<LedgerStore>(loop_, std::move(ledger).value());
    return {};
}

io::Faults Daemon::link() {
    if (lockstep_ && !lockstep_->own_links()) {
        simulated_ = std::make_unique<SimulatedLinks>(
            *lockstep_, [this] { return keeper_ ? keeper_->household() : household_; }, log_.of("lockstep"));
        return {};
    }
    if (fast_ && !household_->site.links.all_simulated()) {
        return {{options_.site.string(), 0, 0, "--speed", "needs a house that is simulated",
                 fmt::format("{:g}", options_.speed), "a point or a meter with 'simulated'",
                 "leave the speed out, or write 'link: simulated' at its points"}};
    }
    home_ = std::make_unique<SimulatedHome>(
        SimulatedHome::Ports{loop_, clock(), alarms(), log_.of("simulation")}, household_, memory_);
    say_links(*household_);
    return {};
}

// A household must not believe that what only is planned is also done.
void Daemon::say_links(const io::Household& household) const {
    const io::Links& links = household.site.links;
    if (links.none()) {
        log_.warning("nothing is linked: nights are planned and told, and nothing is driven");
        return;
    }
    log_.warning("the house is simulated: what it draws and charges is invented");
    for (std::size_t point = 0; point < links.points.size(); ++point) {
        const site::Point& there = household.site.site.points[point];
        if (links.points[point] == io::Link::none && there.control == site::Control::driven)
            log_.warning(there.name + ": has no link, so nothing drives it");
    }
}

io::Faults Daemon::keep_house() {
    keeper_ = std::make_unique<Keeper>(
        KeeperPorts{.loop = loop_,
                    .worker = *worker_,
                    .clock = clock(),
                    .alarms = alarms(),
                    .notifier = supervisor_,
                    .equipment = simulated_ ? static_cast<Equipment&>(*simulated_) : *home_,
                    .meters = simulated_ ? static_cast<HouseMeters&>(*simulated_) : *home_,
                    .store = *store_,
                    .relink =
                        [this](const HouseholdPtr& household) {
                            if (!home_) return;
                            home_->change(household);
                            say_links(*household);
                        },
                    .log = log_},
        KeeperFiles{.site = options_.site,
                    .wishes = options_.state / "wishes.json",
                    .synchronized = options_.synchronized,
                    .ledger = options_.state / "ledger.sqlite"},
        KeeperBegin{.household = household_,
                    .wishes = std::move(wishes_),
                    .open = std::move(open_),
                    .last_recorded = last_recorded_,
                    .writes = std::move(writes_),
                    .seed = lockstep_ || fast_ ? 1 : std::random_device{}()});
    keeper_->start();
    return {};
}

io::Faults Daemon::open_socket() {
    if (inherited_.size() > 1) {
        return {{"LISTEN_FDS", 0, 0, "", "hands over more than one socket", "", "one: the unix socket", ""}};
    }
    const auto inherited = inherited_.empty() ? std::nullopt : std::optional(inherited_.front());
    auto server = Server::listen(loop_, log_.of("socket"), options_.socket, inherited,
                                 requests(*keeper_, loop_, *worker_, log_.of("requests")));
    if (!server.ok()) return server.faults();
    server_ = std::move(server).value();
    return {};
}

io::Faults Daemon::say_ready() {
    if (const auto within = supervisor_.alive_within()) {
        const Beat beat(system_clock_,
                        std::max(std::chrono::floor<Milliseconds>(*within / 2), Milliseconds{1}));
        alive_ = boot_alarms_.alarm([this, beat] {
            supervisor_.alive();
            beat(*alive_);
        });
        supervisor_.alive();
        beat(*alive_);
    }
    const Beat beat(system_clock_, kMinute);
    minute_ = boot_alarms_.alarm([this, beat] {
        book_.say_overdue();
        const BootTime now = system_clock_.now().boot;
        if (keeper_ && !keeper_->knows_the_clock(kAskedAround) &&
            (!zone_renewed_ || now >= *zone_renewed_ + kDay)) {
            zone_renewed_ = now;
            renew_zone();
        }
        beat(*minute_);
    });
    beat(*minute_);
    log_.notice("ready: " + keeper_->status());
    supervisor_.ready(keeper_->status());
    return {};
}

void Daemon::say_stopping() { supervisor_.stopping("stopping"); }
void Daemon::close_socket() { server_.reset(); }
void Daemon::leave_house() { keeper_.reset(); }
void Daemon::unwatch_clock() { clock_steps_.reset(); }
void Daemon::stop_planner() { worker_.reset(); }
void Daemon::unlink() {
    simulated_.reset();
    home_.reset();
}
void Daemon::close_ledger() { store_.reset(); }

void Daemon::drain_loop() {
    alive_.reset();
    minute_.reset();
    while (loop_.drain()) {
    }
}

}  // namespace lullwatt::daemon
