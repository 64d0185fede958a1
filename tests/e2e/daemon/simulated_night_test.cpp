// The demo house as its site file has it: the daemon's own links lead to a simulated house, and a whole night
// passes.
#include <csignal>

#include "e2e/daemon/running_daemon.hpp"
#include "io/ledger/reader.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::tests;
using lullwatt::tools::Exit;
using namespace std::chrono_literals;

namespace {

// 2026-10-20T17:45:12 in Halifax: no slot begins when the daemon does.
constexpr long long kQuarterToSix = 1792530000 - 15 * 60 + 12;

struct DemoNight {
    OwnFolder folder;
    TimeMaster master{(folder / "master").string()};
    std::optional<RunningDaemon> daemon;
    DemoNight() {
        daemon.emplace(folder, DaemonSetting{.lockstep = master.path()});
        master.begin_time_only(kQuarterToSix);
        daemon->wait_until_ready();
        REQUIRE(ask({"need", "--car", "Heron", "--need", "18.6", "--ready-by", "07:00"}).exit == Exit::done);
    }
    // A time of the day, after midnight of the next one: 25:30 is half past one.
    void until(std::chrono::seconds label) { master.advance_to(label - (17h + 45min + 12s)); }
    Ran ask(std::vector<std::string> arguments) const {
        arguments.insert(arguments.end(), {"--socket", daemon->socket()});
        return lullwatt_run(arguments);
    }
};

bool contains(const std::string& text, const std::string& what) {
    return text.find(what) != std::string::npos;
}

// Of the second point, Plover's.
int writes_ever(const std::string& now_json) {
    const auto at = now_json.rfind("\"ever\": ");
    REQUIRE(at != std::string::npos);
    return std::stoi(now_json.substr(at + 8));
}

}  // namespace

TEST_CASE("a whole night at the demo house: planned, driven, yielded when it bakes, recorded and priced") {
    DemoNight night;
    night.until(18h);
    const Ran when = night.ask({"when", "--car", "Heron"});
    INFO(when.out << when.err);
    CHECK(contains(when.out, "It starts by itself at 23:00, up to 20 A"));
    CHECK(contains(night.ask({"why", "--car", "Heron"}).out, "waits for the planned hours"));

    night.until(23h + 15min);
    const std::string cheap = night.ask({"now"}).out;
    INFO(cheap);
    CHECK(contains(cheap, "draws 20.0 A"));
    night.until(23h + 42min);  // dryer and oven
    const std::string baking = night.ask({"now"}).out;
    INFO(baking);
    CHECK(contains(baking, "service, leg L"));  // what binds
    CHECK_FALSE(contains(baking, "waits until"));
    CHECK(contains(baking, "left point: 20 A until Wed 0"));
    CHECK(contains(baking, "right point: 16 A until Wed 07:00"));

    night.until(24h + 9h + 1min);
    const Ran sessions = night.ask({"sessions"});
    INFO(sessions.out << sessions.err);
    CHECK(contains(sessions.out, "left point   Heron"));
    CHECK(contains(sessions.out, "right point  Plover"));
    const Ran report = night.ask({"report", "--month", "2026-10"});
    INFO(report.out << report.err);
    CHECK(report.exit == Exit::done);
    CHECK(contains(report.out, "PROVISIONAL: the month is not over."));
    const Ran csv = night.ask({"sessions", "--csv"});
    CHECK(csv.out.find("number,point,car,") == 0);
    CHECK(night.ask({"sessions", "show", "99"}).exit == Exit::usage);
    CHECK(contains(night.ask({"report", "--month", "soon"}).err, "--month 'soon': is not a month"));

    night.daemon->signal(SIGTERM);
    CHECK(night.daemon->wait_for_end() == 0);
    CHECK(contains(night.daemon->log(), "session: Session "));
    // Plans made anew every five minutes do not swing the cars between currents.
    const std::string log = night.daemon->log();
    std::size_t changes = 0;
    for (auto at = log.find("limiter: left point: "); at != log.npos;
         at = log.find("limiter: left point: ", at + 1))
        ++changes;
    INFO(log);
    CHECK(changes <= 20);
    // What was told over the socket is what the files tell.
    const Ran from_files = lullwatt_run({"report", "--month", "2026-10", "--site",
                                         (night.folder / "harbour-row-9" / "site.yaml").string(), "--ledger",
                                         (night.folder / "state" / "ledger.sqlite").string()});
    INFO(from_files.out << from_files.err);
    CHECK(from_files.exit == Exit::done);
    auto opened = io::ledger::Reader::open(night.folder / "state" / "ledger.sqlite");
    REQUIRE(opened.ok());
    io::ledger::Reader reader = std::move(opened).value();
    const Interval all{Instant{Seconds{kQuarterToSix}}, Instant{Seconds{kQuarterToSix}} + 24h};
    const auto minutes = reader.minutes("service", all);
    REQUIRE(minutes.ok());
    CHECK(minutes.value().size() >= 2 * 15 * 60);  // both legs, fifteen hours
    const auto events = reader.events({all.begin, all.end + 365 * 24h});
    REQUIRE(events.ok());
    REQUIRE_FALSE(events.value().empty());
    CHECK(events.value().front().event.kind == "started");
}

TEST_CASE(
    "a daemon that is started again finds car, session and register of the simulated house as they were") {
    DemoNight night;
    night.until(19h);  // Plover has its floor by now
    const int writes = writes_ever(night.ask({"now", "--json"}).out);
    CHECK(writes >= 3);
    night.daemon->signal(SIGKILL);
    night.daemon->wait_for_end();
    night.master.leave();
    night.daemon.emplace(night.folder, DaemonSetting{.lockstep = night.master.path()});
    night.master.begin_time_only(kQuarterToSix + 2 * 3600);
    night.daemon->wait_until_ready();
    night.master.advance_to(30s);
    const std::string now = night.ask({"now"}).out;
    INFO(now);
    CHECK(contains(now, "2.0 kWh since it was plugged in"));
    CHECK(writes_ever(night.ask({"now", "--json"}).out) >= writes);  // what wears out is counted on
    night.master.advance_to(14h);
    CHECK(contains(night.ask({"sessions"}).out, "2026-10-20 17:4"));
}

TEST_CASE("a site that links nothing plans and answers, and says that it drives nothing") {
    OwnFolder folder;
    copy_demo_site("harbour-row-9", folder.path());
    const std::filesystem::path site = folder / "harbour-row-9" / "site.yaml";
    for (const char* link : {", link: simulated", ", link: simulated", "  meter: simulated\n"})
        replace_in(site, link, "");
    const std::string text = whole(site.string());
    const auto simulation = text.find("# The invented house");
    REQUIRE(simulation != std::string::npos);
    replace_in(site, text.substr(simulation), "");
    RunningDaemon daemon(folder);
    daemon.wait_until_ready();
    CHECK(contains(lullwatt_run({"now", "--socket", daemon.socket()}).out,
                   "nothing is linked: nights are planned and told, and nothing is driven"));
    daemon.signal(SIGTERM);
    CHECK(daemon.wait_for_end() == 0);
    CHECK(contains(daemon.log(), "nothing is linked: nights are planned and told, and nothing is driven"));
}
