// The commands as a shell would run them.
#include <filesystem>
#include <fstream>
#include <sstream>
#include <unistd.h>

#include "io/settings/reference_file.hpp"
#include "io/settings/section.hpp"
#include "io/settings/site_table.hpp"
#include "support/catch.hpp"
#include "tools/lullwatt/run.hpp"

using namespace lullwatt;
using tools::Exit;

namespace {

struct Ran {
    Exit exit;
    std::string out;
    std::string err;
};

Ran lullwatt_run(const std::vector<std::string>& arguments, const std::string& typed = {},
                 bool interactive = false) {
    std::istringstream in(typed);
    std::ostringstream out;
    std::ostringstream err;
    const Exit exit = tools::run(arguments, in, out, err, interactive);
    return {exit, out.str(), err.str()};
}

std::string config(const char* file) { return std::string(LULLWATT_SOURCE_DIR) + "/config/" + file; }

class Folder {
  public:
    Folder() : path_(std::filesystem::temp_directory_path() / ("lullwatt-test-" + std::to_string(getpid()))) {
        std::filesystem::create_directories(path_);
    }
    ~Folder() { std::filesystem::remove_all(path_); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] std::string file(const char* name) const { return (path_ / name).string(); }

  private:
    std::filesystem::path path_;
};

std::string whole(const std::string& file) {
    std::ostringstream text;
    text << std::ifstream(file).rdbuf();
    return text.str();
}

const std::vector<std::string> kAnswers = {
    "--load",     "60",        "--service", "100",        "--breaker", "50",     "--setting",
    "40",         "--battery", "60",        "--tariff",   "0.15",      "--zone", "America/Halifax",
    "--currency", "CAD",       "--supply",  "split-phase"};

std::vector<std::string> setup_arguments(const std::string& output) {
    std::vector<std::string> arguments = {"setup", "--output", output};
    arguments.insert(arguments.end(), kAnswers.begin(), kAnswers.end());
    return arguments;
}

}  // namespace

TEST_CASE("every demo site passes check") {
    for (const char* site : {"harbour-row-9/site.yaml", "one-cable/site.yaml", "norra-angen/site.yaml"}) {
        const Ran ran = lullwatt_run({"check", "--site", config(site)});
        INFO(site << ran.err);
        CHECK(ran.exit == Exit::done);
        CHECK(ran.out.find("not overcurrent protection") != std::string::npos);
    }
}

TEST_CASE("setup, check and when run unattended, one after the other") {
    const Folder folder;
    const std::string site = folder.file("home.yaml");
    const Ran setup = lullwatt_run(setup_arguments(site));
    INFO(setup.err);
    REQUIRE(setup.exit == Exit::done);
    CHECK(lullwatt_run({"check", "--site", site}).exit == Exit::done);
    CHECK(lullwatt_run({"when", "--site", site, "--at", "2026-10-20T18:00"}).exit == Exit::done);
    SECTION("and setup overwrites nothing") {
        const std::string before = whole(site);
        CHECK(lullwatt_run(setup_arguments(site)).exit == Exit::refused);
        CHECK(whole(site) == before);
    }
}

TEST_CASE("setup names what is missing where nobody can be asked, and writes nothing") {
    const Folder folder;
    const Ran ran = lullwatt_run({"setup", "--output", folder.file("x.yaml"), "--load", "60"});
    CHECK(ran.exit == Exit::refused);
    for (const char* flag : {"--zone", "--currency", "--supply", "--service", "--breaker", "--setting",
                             "--battery", "--tariff"}) {
        CHECK(ran.err.find(flag) != std::string::npos);
    }
    CHECK_FALSE(std::filesystem::exists(folder.file("x.yaml")));
}

TEST_CASE("setup asks a person, and refuses an installer's setting past the breaker's share") {
    const Folder folder;
    const std::string site = folder.file("asked.yaml");
    const std::string typed = "60\nAmerica/Halifax\nCAD\nsplit-phase\n100\n50\n48\n60\n0.15\n\n";
    const Ran refused = lullwatt_run({"setup", "--output", site}, typed, true);
    CHECK(refused.exit == Exit::refused);
    CHECK(refused.err.find("would load this breaker past 80 %") != std::string::npos);
    CHECK_FALSE(std::filesystem::exists(site));
}

TEST_CASE("config/reference.yaml is what the option table writes, and is itself readable") {
    const std::string text = lullwatt_run({"setup", "--reference"}).out;
    CHECK(text == whole(config("reference.yaml")));
    CHECK(io::read_text(text, "reference.yaml", io::kSiteTable).faults == io::Faults{});
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
        CHECK(ran.exit == Exit::refused);
        CHECK(ran.err.find(one.message) != std::string::npos);
    }
}
