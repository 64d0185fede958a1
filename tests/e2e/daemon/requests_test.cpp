// What the socket answers, to friends and to others.
#include <csignal>

#include "e2e/daemon/running_daemon.hpp"
#include "support/shell.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;

namespace {

// A Tuesday, 18:00 in Halifax (2026-10-20T21:00:00Z).
constexpr long long kTuesdayEvening = 1792530000;

struct AtSix {
    OwnFolder folder;
    TimeMaster master{(folder / "master").string()};
    RunningDaemon daemon{folder, {.lockstep = master.path()}};
    AtSix() {
        master.begin(kTuesdayEvening);
        daemon.wait_until_ready();
    }
    Ran ask(std::vector<std::string> arguments) const {
        arguments.insert(arguments.end(), {"--socket", daemon.socket()});
        return lullwatt_run(arguments);
    }
};

}  // namespace

TEST_CASE("when asks the daemon where it runs, and the site's files give the same answer") {
    const AtSix house;
    const Ran live = house.ask({"when", "--car", "Heron", "--need", "18.6"});
    const Ran files = lullwatt_run({"when", "--site", config("harbour-row-9/site.yaml"), "--car", "Heron",
                                    "--need", "18.6", "--at", "2026-10-20T18:00"});
    CHECK(live.exit == Exit::done);
    CHECK(live.err.empty());
    CHECK(live.out == files.out);
    CHECK(live.out.find("It starts by itself at 23:00, up to 20 A") != std::string::npos);
    const Ran live_json = house.ask({"plan", "--car", "Heron", "--json"});
    const Ran files_json = lullwatt_run({"plan", "--site", config("harbour-row-9/site.yaml"), "--car",
                                         "Heron", "--at", "2026-10-20T18:00", "--json"});
    CHECK(live_json.out == files_json.out);
    const Ran both = house.ask({"plan"});
    CHECK(both.exit == Exit::done);
    CHECK(both.out.find("Heron at left point") != std::string::npos);
    CHECK(both.out.find("Plover at right point") != std::string::npos);
    CHECK(both.out.find("Proof: 2 cars together") != std::string::npos);
    CHECK(house.ask({"why", "--car", "Heron", "--slot", "18:30"}).out.find("not charging") !=
          std::string::npos);
}

TEST_CASE("a need told holds over a restart until its ready-by has passed, and is planned for") {
    OwnFolder folder;
    TimeMaster master((folder / "master").string());
    const auto ask = [&](std::vector<std::string> arguments) {
        arguments.insert(arguments.end(), {"--socket", (folder / "socket").string()});
        return lullwatt_run(arguments);
    };
    {
        RunningDaemon daemon(folder, {.lockstep = master.path()});
        master.begin(kTuesdayEvening);
        daemon.wait_until_ready();
        const Ran told = ask({"need", "--car", "Heron", "--need", "5", "--ready-by", "06:00"});
        CHECK(told.exit == Exit::done);
        CHECK(told.out ==
              "Heron: need 5, ready-by 2026-10-21T06:00:00-03:00; until Wed 06:00.\n"
              "Plover: as the site file says.\n");
        daemon.signal(SIGKILL);
        daemon.wait_for_end();
        master.leave();
    }
    RunningDaemon daemon(folder, {.lockstep = master.path()});
    master.begin(kTuesdayEvening + 60);
    daemon.wait_until_ready();
    CHECK(ask({"need"}).out.find("Heron: need 5, ready-by") == 0);
    CHECK(ask({"plan", "--car", "Heron"})
              .out.find("Heron at left point, Tue 18:05 to Wed 06:00: 5.0 kWh of 5.0 kWh") !=
          std::string::npos);
    SECTION("a need asked about goes over it") {
        CHECK(ask({"plan", "--car", "Heron", "--need", "7"}).out.find("7.0 kWh of 7.0 kWh") !=
              std::string::npos);
    }
    SECTION("it is taken back") {
        CHECK(ask({"need", "--car", "Heron", "--usual"}).out.find("Heron: as the site file says.") == 0);
    }
    SECTION("it ends by itself") {
        master.advance_to(std::chrono::hours(12) + std::chrono::minutes(5));
        CHECK(ask({"need"}).out.find("Heron: as the site file says.") == 0);
    }
}

TEST_CASE("a hold keeps cars from charging until its time, over a restart too, or until it is lifted") {
    const AtSix house;
    CHECK(house.ask({"hold"}).out == "Nothing is held.\n");
    const Ran held = house.ask({"hold", "02:00", "--car", "Heron"});
    CHECK(held.out == "Heron: no charging before Wed 02:00.\n");
    const Ran why = house.ask({"why", "--car", "Heron", "--slot", "23:30"});
    CHECK(why.out.find("not charging") != std::string::npos);
    CHECK(why.out.find("room   0 A") != std::string::npos);
    CHECK(house.ask({"why", "--car", "Plover", "--slot", "23:30"}).out.find("room   0 A") ==
          std::string::npos);
    CHECK(house.ask({"hold", "--off"}).out == "Nothing is held.\n");
    CHECK(house.ask({"why", "--car", "Heron", "--slot", "23:30"}).out.find("room   0 A") ==
          std::string::npos);
}

TEST_CASE("what is asked wrongly is told as the command line tells it") {
    const AtSix house;
    const Ran need = house.ask({"need", "--car", "Hern", "--need", "5"});
    CHECK(need.exit == Exit::usage);
    CHECK(need.err ==
          "command line: --car 'Hern': is no car of this house. Allowed: Heron, Plover. Mend: did you mean "
          "'Heron'?\n");
    CHECK(
        house.ask({"need", "--car", "Heron", "--need", "five"}).err.find("--need 'five': is not a number") !=
        std::string::npos);
    CHECK(house.ask({"need", "--need", "5"}).err.find("--car: is missing: there are several cars") !=
          std::string::npos);
    CHECK(house.ask({"hold", "soon"}).err.find("until 'soon': is no time") != std::string::npos);
    CHECK(house.ask({"hold", "2026-10-20T17:00"}).err.find("is past") != std::string::npos);
    CHECK(house.ask({"hold", "22:00", "--off"}).exit == Exit::usage);
    CHECK(house.ask({"need", "--car", "Heron", "--usual", "--need", "5"}).exit == Exit::usage);
    CHECK(house.ask({"when", "--car", "Heron", "--need", "5", "--ready-by", "never"}).exit == Exit::usage);
}

TEST_CASE("without a daemon what only it knows is refused with how to start it") {
    const OwnFolder folder;
    const Ran now = lullwatt_run({"now", "--socket", (folder / "nobody").string()});
    CHECK(now.exit == Exit::refused);
    CHECK(now.err ==
          (folder / "nobody").string() +
              ": has no daemon behind it. Mend: start it (systemctl start lullwatt), or name its socket "
              "with --socket.\n");
}

TEST_CASE("a line that is no request is answered with what is wrong, and the next one is heard") {
    const AtSix house;
    RawClient client(house.daemon.socket());
    const auto [line, told] = GENERATE(table<std::string, std::string>({
        {"", "is no JSON object"},
        {"now", "is no JSON object"},
        {"[]", "is no JSON object"},
        {"{\"do\":\"now\"", "is no JSON object"},
        {"{\"do\":\"now\"} more", "is no JSON object"},
        {"{\"do\":7}", "is no text"},
        {"{\"do\":{\"now\":1}}", "has a value that is no text"},
        {"{\"do\":[[[[[[[[[[[[[[[[[[[[[[[[[[[[", "has a value that is no text"},
        {"{}", "names no command"},
        {"{\"do\":\"\"}", "names no command"},
        {"{\"do\":\"nwo\"}", "did you mean 'now'?"},
        {"{\"do\":\"now\",\"car\":\"Heron\"}", "is nothing that 'now' takes"},
        {"{\"do\":\"need\",\"amps\":\"5\"}", "is nothing that 'need' takes"},
        {"{\"do\":\"when\",\"car\":\"Heron\",\"need\":\"\"}", "is empty"},
        {"{\"do\":\"when\",\"car\":\"\\u0000\\u001b[2J\"}", "is no car of this house"},
        {std::string("{\"do\":\"\xff\xfe\"}"), "is no JSON object"},
    }));
    client.send(line + "\n");
    const std::string reply = client.line();
    INFO(line << " -> " << reply);
    CHECK(reply.find("{\"faults\":[") == 0);
    CHECK(reply.find(told) != std::string::npos);
    CHECK(reply.find('\x1b') == std::string::npos);
    client.send("{\"do\":\"now\"}\n");
    CHECK(client.line().find("{\"text\":\"Harbour Row 9, Tue 18:00") == 0);
}

TEST_CASE("a line beyond all measure is refused and its sender dropped") {
    const AtSix house;
    RawClient client(house.daemon.socket());
    client.send("{\"do\":\"" + std::string(1 << 20, 'x'));
    const std::string reply = client.line();
    CHECK((reply.empty() || reply.find("is longer than 16384 bytes") != std::string::npos));
    CHECK(client.line().empty());
    CHECK(house.ask({"now"}).exit == Exit::done);
}

TEST_CASE("several requests in one piece, and one in many pieces, are each answered in their turn") {
    const AtSix house;
    RawClient client(house.daemon.socket());
    client.send("{\"do\":\"now\"}\n{\"do\":\"hold\"}\n{\"do\":\"need\"}\n");
    CHECK(client.line().find("Harbour Row 9") != std::string::npos);
    CHECK(client.line().find("Nothing is held") != std::string::npos);
    CHECK(client.line().find("as the site file says") != std::string::npos);
    for (const char byte : std::string("{\"do\":\"hold\"}\n")) client.send(std::string(1, byte));
    CHECK(client.line().find("Nothing is held") != std::string::npos);
}

TEST_CASE("a thousand quick clients are all answered, beside some that never say a word") {
    const AtSix house;
    std::vector<RawClient> silent;
    for (int each = 0; each < 8; ++each) silent.emplace_back(house.daemon.socket());
    silent.front().send("{\"do\":");
    int answered = 0;
    for (int round = 0; round < 25; ++round) {
        std::vector<RawClient> clients;
        for (int each = 0; each < 40; ++each) clients.emplace_back(house.daemon.socket());
        for (const RawClient& client : clients) client.send("{\"do\":\"now\"}\n");
        for (RawClient& client : clients)
            answered += client.line().find("Harbour Row 9") != std::string::npos;
    }
    CHECK(answered == 1000);
}

TEST_CASE("who leaves before the answer comes does no harm") {
    const AtSix house;
    for (int each = 0; each < 50; ++each) {
        RawClient client(house.daemon.socket());
        client.send("{\"do\":\"when\",\"car\":\"Heron\"}\n");
    }
    CHECK(house.ask({"now"}).exit == Exit::done);
}
