// The commands as a shell would run them.
#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::tests;
using tools::Exit;

TEST_CASE("every demo site passes check") {
    for (const char* site : {"harbour-row-9/site.yaml", "one-cable/site.yaml", "norra-angen/site.yaml"}) {
        const Ran ran = lullwatt_run({"check", "--site", config(site)});
        INFO(site << ran.err);
        CHECK(ran.exit == Exit::done);
        CHECK(ran.out.find("not overcurrent protection") != std::string::npos);
    }
}

TEST_CASE("when says it in one sentence: driven, by hand, not needed, and short with what would help") {
    const auto when = [](const char* site, std::vector<std::string> more) {
        std::vector<std::string> arguments = {"when", "--site", config(site)};
        arguments.insert(arguments.end(), more.begin(), more.end());
        const Ran ran = lullwatt_run(arguments);
        INFO(ran.err);
        REQUIRE(ran.exit == Exit::done);
        return ran.out.substr(0, ran.out.find("\n\n"));
    };
    CHECK(when("harbour-row-9/site.yaml", {"--car", "Heron", "--need", "18.6", "--at", "2026-10-20T18:00"}) ==
          "Plug in any time before 03:05. It starts by itself at 23:00, 20 A, 18.6 kWh, ready 02:55, about "
          "2.09. At once: "
          "4.32 (+2.23). Latest to be ready by 07:00: 03:05.");
    CHECK(when("one-cable/site.yaml", {"--car", "Curlew", "--need", "18.6", "--at", "2026-10-20T18:00"})
              .starts_with("Set the car to start at 22:00 and "));
    CHECK(when("harbour-row-9/site.yaml",
               {"--car", "Heron", "--from-soc", "80", "--to-soc", "80", "--at", "2026-10-20T18:00"})
              .starts_with("No need tonight: enough until "));
    const std::string shortfall =
        when("harbour-row-9/site.yaml", {"--car", "Heron", "--need", "40", "--at", "2026-10-21T01:00"});
    CHECK(shortfall.starts_with("By 07:00 only 28.8 kWh of 40.0 kWh can be in: 11.2 kWh short."));
    CHECK(shortfall.find("ready by Wed 09:20 instead") != std::string::npos);
}

TEST_CASE("a command line that is wrong is told, with exit status 1 or 2") {
    const std::string site = config("harbour-row-9/site.yaml");
    CHECK(lullwatt_run({"whn"}).exit == Exit::usage);
    CHECK(lullwatt_run({}).exit == Exit::usage);
    struct Case {
        std::vector<std::string> arguments;
        const char* message;
    };
    for (const Case& one : std::vector<Case>{
             {{"when", "--site", "nowhere.yaml"}, "nowhere.yaml: cannot be read: there is no such file"},
             {{"when", "--site", site}, "--car: is missing: there are several cars"},
             {{"when", "--site", site, "--car", "Heran"}, "did you mean 'Heron'?"},
             {{"when", "--site", site, "--car", "Heron", "--need", "lots"}, "--need 'lots'"},
             {{"when", "--site", site, "--car", "Heron", "--need", "5", "--distance", "5"},
              "one of several needs"},
             {{"when", "--site", site, "--car", "Heron", "--at", "teatime"}, "--at 'teatime': is no time"},
             {{"when", "--site", site, "--car", "Heron", "--at", "2026-10-20T18:00", "--plug-in",
               "2026-10-20T17:00"},
              "is in the past"},
             {{"when", "--site", site, "--car", "Heron", "--at", "1999-10-20T18:00"}, "have no price"},
             {{"why", "--site", site, "--car", "Heron", "--at", "2026-10-20T18:00", "--slot", "12:00"},
              "is no time of this night"},
         }) {
        const Ran ran = lullwatt_run(one.arguments);
        INFO(ran.err);
        const bool typed = ran.err.starts_with("command line");
        CHECK(ran.exit == (typed ? Exit::usage : Exit::refused));
        CHECK(ran.err.find(one.message) != std::string::npos);
    }
}

TEST_CASE("a site set by hand that is not safe says so first, with exit status 1") {
    const tests::Folder folder;
    std::string text = whole(config("one-cable/site.yaml"));
    const auto edit = [&](const std::string& from, const std::string& to) {
        const auto at = text.find(from);
        REQUIRE(at != std::string::npos);
        text.replace(at, from.size(), to);
    };
    edit("rating: 200 A", "rating: 150 A");
    edit("../tariffs/two-rate.yaml", config("tariffs/two-rate.yaml"));
    std::ofstream(folder.file("site.yaml")) << text;
    const Ran check = lullwatt_run({"check", "--site", folder.file("site.yaml")});
    INFO(check.err);
    CHECK(check.exit == Exit::refused);
    CHECK(check.out.substr(0, check.out.find('\n')).ends_with("NOT SAFE AT EVERY HOUR (below)."));
    const Ran when =
        lullwatt_run({"when", "--site", folder.file("site.yaml"), "--car", "Curlew", "--need", "10"});
    CHECK(when.out.starts_with("NOT SAFE AT EVERY HOUR"));
}

TEST_CASE("meter data that ended long ago is told where figures rest on it") {
    const std::vector<std::string> asked = {
        "when", "--site", config("harbour-row-9/site.yaml"), "--car", "Heron", "--need", "10"};
    const auto at = [&](const char* time) {
        std::vector<std::string> arguments = asked;
        arguments.insert(arguments.end(), {"--at", time});
        return lullwatt_run(arguments).out;
    };
    CHECK(
        at("2027-10-20T18:00")
            .starts_with("OLD DATA: the meter data of service ends on Sunday 1 November 2026, 353 days ago"));
    CHECK(at("2026-11-20T18:00").starts_with("Plug in"));
}
