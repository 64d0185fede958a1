// From a person's answers to a site file that `check` accepts.
#include <map>

#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::tests;
using tools::Exit;

namespace {

using Answers = std::map<std::string, std::string>;

const Answers kAnswers = {{"load", "60"},      {"service", "100"},          {"breaker", "50"},
                          {"setting", "40"},   {"battery", "60"},           {"tariff", "0.15"},
                          {"currency", "CAD"}, {"zone", "America/Halifax"}, {"supply", "split-phase"}};

std::vector<std::string> setup_arguments(const std::string& output, const Answers& otherwise = {}) {
    Answers answers = otherwise;
    answers.insert(kAnswers.begin(), kAnswers.end());
    std::vector<std::string> arguments = {"setup", "--output", output};
    for (const auto& [flag, answer] : answers) {
        arguments.push_back("--" + flag);
        arguments.push_back(answer);
    }
    return arguments;
}

std::string from_here(const char* file) { return std::filesystem::proximate(config(file)).string(); }

}  // namespace

TEST_CASE("setup, check and when run unattended, one after the other") {
    struct Case {
        const char* rule;
        Answers otherwise;
        const char* written;  // in the site file
        const char* prices;   // in the tariff file beside it; empty: there is none
    };
    const std::vector<Case> cases = {
        {"one price", {}, "calculation: 60 A", "{name: all day, per_kwh: 0.15}"},
        {"two prices",
         {{"tariff", "0.08 22:00-06:00 0.16"}},
         "tariff: \"home-tariff.yaml\"",
         "{name: low, from: \"22:00\", to: \"06:00\", per_kwh: 0.08}\n      - {name: high, per_kwh: 0.16}"},
        {"a stated worst load",
         {{"load", "45 A, the clamp meter's highest in January"}},
         "worst: 45 A\n    worst_reason: \"the clamp meter's highest in January\"",
         "all day"},
        {"meter data and a tariff file, named from where the person is",
         {{"load", from_here("harbour-row-9/history/house.csv")},
          {"tariff", from_here("tariffs/two-rate.yaml")}},
         "history: \"",
         ""},
        {"three-phase is iec unless it is said otherwise",
         {{"supply", "three-phase"}, {"service", "63"}, {"load", "20"}, {"breaker", "25"}, {"setting", "20"}},
         "leg_to_neutral: 230 V\n  rating: 63 A\n  continuous: iec",
         "all day"},
        {"one phase of 120 V is nec",
         {{"supply", "single-phase"}, {"volts", "120"}},
         "supply: single-phase\n  leg_to_neutral: 120 V\n  rating: 100 A\n  continuous: nec",
         "all day"},
        {"one phase of 230 V is iec",
         {{"supply", "single-phase"}, {"volts", "230 V"}},
         "supply: single-phase\n  leg_to_neutral: 230 V\n  rating: 100 A\n  continuous: iec",
         "all day"},
        {"set by hand, under cec",
         {{"control", "by-hand"},
          {"service", "200 A"},
          {"basis", "cec"},
          {"most", "24 A"},
          {"clock", "trusted"}},
         "hard_setting: 40 A, control: by-hand}",
         "all day"},
        {"a name that YAML could misread",
         {{"name", "No. 9: \"Barn\" # {back}"}},
         "name: \"No. 9: \\\"Barn\\\" # {back}\"",
         "name: \"No. 9: \\\"Barn\\\" # {back}\""},
    };
    for (const Case& one : cases) {
        const Folder folder;
        const std::string site = folder.file("home.yaml");
        const Ran setup = lullwatt_run(setup_arguments(site, one.otherwise));
        INFO(one.rule << '\n' << setup.err);
        REQUIRE(setup.exit == Exit::done);
        CHECK(whole(site).find(one.written) != std::string::npos);
        CHECK(std::filesystem::exists(folder.file("home-tariff.yaml")) == (*one.prices != '\0'));
        CHECK(whole(folder.file("home-tariff.yaml")).find(one.prices) != std::string::npos);
        CHECK_FALSE(std::filesystem::exists(folder.file("home.yaml.unchecked")));
        CHECK(lullwatt_run({"check", "--site", site}).exit == Exit::done);
        const Ran when = lullwatt_run({"when", "--site", site, "--at", "2026-10-20T18:00"});
        INFO(when.err);
        CHECK(when.exit == Exit::done);
    }
}

TEST_CASE("setup tells the load it guessed, and none where there are data") {
    const Folder folder;
    CHECK(lullwatt_run(setup_arguments(folder.file("guessed.yaml")))
              .out.find("A guess, not a measurement: the house usually draws 30 A per leg, half of 60 A. "
                        "Correct 'constant' "
                        "under 'loads', or import meter data.\n") != std::string::npos);
    const Ran measured = lullwatt_run(setup_arguments(
        folder.file("measured.yaml"), {{"load", from_here("harbour-row-9/history/house.csv")}}));
    CHECK(measured.exit == Exit::done);
    CHECK(measured.out.find("guess") == std::string::npos);
}

TEST_CASE("setup overwrites neither a site file nor a tariff file, and says so before it asks") {
    const Folder folder;
    for (const char* name : {"home.yaml", "home-tariff.yaml"}) {
        INFO(name);
        std::ofstream(folder.file(name)) << "mine";
        CHECK(lullwatt_run(setup_arguments(folder.file("home.yaml"))).exit == Exit::refused);
        CHECK(whole(folder.file(name)) == "mine");
        std::filesystem::remove(folder.file(name));
        CHECK(std::filesystem::is_empty(folder.file("")));
    }
    std::ofstream(folder.file("home.yaml")) << "mine";
    const Ran asked = lullwatt_run({"setup", "--output", folder.file("home.yaml")}, "60\n", true);
    CHECK(asked.out.empty());
    CHECK(asked.err.find("setup overwrites nothing") != std::string::npos);
}

TEST_CASE("setup names what is missing where nobody can be asked, and writes nothing") {
    const Folder folder;
    const Ran ran = lullwatt_run({"setup", "--output", folder.file("x.yaml"), "--load", "60"});
    CHECK(ran.exit == Exit::refused);
    for (const char* flag : {"--zone", "--currency", "--supply", "--service", "--breaker", "--setting",
                             "--battery", "--tariff"}) {
        INFO(flag);
        CHECK(ran.err.find(std::string(flag) + ": is missing") != std::string::npos);
    }
    CHECK(std::filesystem::is_empty(folder.file("")));
}

TEST_CASE("setup holds every flag against the option table and tells all that is wrong, by flag") {
    struct Case {
        Answers otherwise;
        std::string messages;
    };
    const std::vector<Case> cases = {
        {{{"setting", "41"}, {"battery", "60 km"}},
         "command line: --setting '41': is above what circuit car circuit may carry for hours (80 % of 50 "
         "A): a factory reset of the equipment would load this breaker past 80 %. Allowed: at most 40 A. "
         "Mend: have the installer set 40 A or less.\n"
         "command line: --battery '60 km': has the unit 'km'. Allowed: 1 kWh to 250 kWh, an energy such as "
         "'60 kWh' or '500 Wh'. Mend: write it in Wh, kWh.\n"},
        {{{"supply", "splitphase"}},
         "command line: --supply 'splitphase': is not one of the choices. Allowed: single-phase | "
         "split-phase | two-legs-of-208 | three-phase. Mend: did you mean 'split-phase'?\n"},
        {{{"currency", "dollars"}, {"most", "100"}},
         "command line: --currency 'dollars': is no currency code. Allowed: three capitals of ISO 4217 (the "
         "codes of April 2023, and XCG and ZWG), such as CAD. Mend: write the code of the bill's currency.\n"
         "command line: --most '100': is out of range. Allowed: 6 A to 80 A, whole amperes such as '25 "
         "A'.\n"},
        {{{"volts", "240"}},
         "command line: --volts '240': is the voltage across two legs of such a supply, or of another one. "
         "Allowed: 100 V to 140 V, from one leg to neutral. Mend: write 120 V.\n"},
        {{{"supply", "single-phase"}},
         "command line: --volts: is missing, and there is nobody to ask. Allowed: How many volts are there "
         "from one leg to neutral?\n"},
        {{{"zone", "America/Halifacts"}},
         "command line: --zone 'America/Halifacts': is no zone known here. Allowed: the names 'timedatectl "
         "list-timezones' lists. Mend: write continent and city, such as 'America/Halifax'; old names such "
         "as 'US/Eastern' may need the package tzdata-legacy.\n"},
        {{{"load", "no-such-file.csv"}},
         "command line: --load 'no-such-file.csv': is neither a file nor amperes. Allowed: what `lullwatt "
         "import` wrote, or '60 A', or '45 A, the reason'. Mend: import the meter data first, or answer with "
         "the load calculation.\n"},
        {{{"load", "45 A,"}, {"breaker", "50}, {name: x"}},
         "command line: --load '45 A,': is empty. Allowed: text.\n"
         "command line: --breaker '50}, {name: x': has the unit '}, {name: x'. Allowed: 6 A to 400 A, "
         "amperes such as '12.5 A'. Mend: write it in A.\n"},
        {{{"tariff", "15"}},
         "command line: --tariff '15': is more than a kilowatt-hour costs: were hundredths written for whole "
         "units? Allowed: a price below 2 CAD per kWh. Mend: write '0.15', or state 'large_rates: yes'.\n"},
        {{{"tariff", "0.08 2200-0600 0.16"}},
         "command line: --tariff '0.08 2200-0600 0.16': is not a time of day. Allowed: a time of day such as "
         "'07:00'. Mend: write hours and minutes as HH:MM.\n"},
        {{{"tariff", "no-such-file.yaml"}},
         "command line: --tariff 'no-such-file.yaml': cannot be read: there is no such file. Mend: check the "
         "name and the folder.\n"},
    };
    for (const Case& one : cases) {
        const Folder folder;
        const Ran ran = lullwatt_run(setup_arguments(folder.file("x.yaml"), one.otherwise));
        CHECK(ran.exit == Exit::refused);
        CHECK(ran.err == one.messages);
        CHECK(std::filesystem::is_empty(folder.file("")));
    }
}

TEST_CASE("setup asks a person ten questions, and one again whose answer cannot stand") {
    const Folder folder;
    const std::string site = folder.file("asked.yaml");
    const std::string typed =
        "60\n\nAmerica/Halifax\nCAD\nsplit-phase\n\n100\n\n50\n48\n40\n\n60\n\n\n0.08 22:00-06:00 0.16\n";
    const Ran ran = lullwatt_run({"setup", "--output", site}, typed, true);
    INFO(ran.out);
    CHECK(
        ran.err ==
        "command line: --setting '48': is above what circuit car circuit may carry for hours (80 % of 50 A): "
        "a factory reset of the equipment would load this breaker past 80 %. Allowed: at most 40 A. Mend: "
        "have the installer set 40 A or less.\n");
    REQUIRE(ran.exit == Exit::done);
    CHECK(ran.out.find("10 of 10.") != std::string::npos);
    CHECK(whole(site).find("hard_setting: 40 A") != std::string::npos);
    CHECK(lullwatt_run({"check", "--site", site}).exit == Exit::done);
}

TEST_CASE("setup writes nothing when the answers end too soon") {
    const Folder folder;
    const Ran ran = lullwatt_run({"setup", "--output", folder.file("x.yaml")}, "60\n\n", true);
    CHECK(ran.exit == Exit::refused);
    CHECK(ran.err.find("--zone: was not answered") != std::string::npos);
    CHECK(std::filesystem::is_empty(folder.file("")));
}

TEST_CASE("config/reference.yaml is what the option table writes, and is a site that check accepts") {
    const std::string text = lullwatt_run({"setup", "--reference"}).out;
    CHECK(text == whole(config("reference.yaml")));
    const Ran check = lullwatt_run({"check", "--site", config("reference.yaml")});
    INFO(check.err);
    CHECK(check.exit == Exit::done);
}

TEST_CASE("the schemas in docs are what setup prints") {
    for (const std::string name : {"tariff", "site"}) {
        const Ran ran = lullwatt_run({"setup", "--schema", name});
        CHECK(ran.exit == Exit::done);
        CHECK(ran.out == whole(std::string(LULLWATT_SOURCE_DIR) + "/docs/" + name + ".schema.json"));
    }
}
