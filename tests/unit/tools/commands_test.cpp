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
          "Plug in any time before 03:05. It starts by itself at 23:00, up to 20 A, 18.6 kWh, ready 02:55, "
          "about "
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
    CHECK(
        shortfall.ends_with("What would help:\n  ready by Wed 09:20 instead, all of it, for about 5.49\n"
                            "  plugged in by Tue 22:40 it would all have been in, for about 4.64"));
}

namespace {

std::string sentence(const char* site, const std::string& at, std::vector<std::string> more) {
    std::vector<std::string> arguments = {"when", "--site", config(site), "--at", at};
    arguments.insert(arguments.end(), more.begin(), more.end());
    const Ran ran = lullwatt_run(arguments);
    INFO(ran.err);
    REQUIRE(ran.exit == Exit::done);
    return ran.out.substr(ran.out.starts_with("OLD DATA") ? ran.out.find("\n\n") + 2 : 0);
}

std::string heron(const std::string& at, std::vector<std::string> more) {
    more.insert(more.end(), {"--car", "Heron"});
    const std::string all = sentence("harbour-row-9/site.yaml", at, more);
    return all.substr(0, all.find("\n\n"));
}

}  // namespace

TEST_CASE("with a floor the first sentence says what is charged at once, and when a plug-in costs least") {
    CHECK(heron("2026-10-20T18:00", {"--need", "10", "--floor", "5"})
              .starts_with(
                  "Plug in any time before 04:55: the first 5.0 kWh is charged at once on plug-in. It "
                  "costs least plugged in from 23:00 to 04:55, about 1.12. Plugged in at 18:00 it starts "
                  "at once, up to 20 A, 10.0 kWh, ready 00:05, about 1.77."));
    CHECK(heron("2026-10-20T18:00", {"--need", "10", "--floor", "10"})
              .starts_with("Plug in any time before 04:55: all of it is charged at once on plug-in."));
    const std::string cheap_now = heron("2026-10-20T23:00", {"--need", "10", "--floor", "5"});
    CHECK(
        cheap_now.starts_with("Plug in any time before 04:55: the first 5.0 kWh is charged at once on "
                              "plug-in. Plugged in at 23:00"));
    // Prices rise towards the evening and fall in the night: in between, later is dearer.
    CHECK(sentence("norra-angen/site.yaml", "2026-10-20T13:00", {"--need", "40", "--floor", "10"})
              .starts_with(
                  "Plug in any time before 14:25: the first 10.0 kWh is charged at once on plug-in. It "
                  "costs least plugged in at 00:40, about 49.28."));
    CHECK(sentence("one-cable/site.yaml", "2026-10-20T18:00",
                   {"--car", "Curlew", "--need", "10", "--floor", "5"})
              .find("It starts at once, for the first 5.0 kWh is not to wait.") != std::string::npos);
}

TEST_CASE("a plan that starts at once is not set against charging at once, but against full current") {
    const auto norra = [](const char* need) {
        return sentence("norra-angen/site.yaml", "2026-10-20T00:30", {"--need", need, "--ready-by", "07:00"});
    };
    // 00:30 to 01:00 is dear: there the plan goes at 6 A, and every cheaper hour at 11 A.
    const std::string slower = norra("40");
    CHECK(slower.starts_with(
        "Plug in any time before 00:40. Plugged in at 00:30 it starts at once, up to 11 A, "));
    CHECK(slower.find("At full current all along: 50.54 (+0.37).") != std::string::npos);
    CHECK(slower.find("At once:") == std::string::npos);
    CHECK(norra("20").find("At once: ") != std::string::npos);
    const std::string same = heron("2026-10-20T23:00", {"--need", "10"});
    CHECK(same.find("At once:") == std::string::npos);
    CHECK(same.find("At full current") == std::string::npos);
    CHECK(heron("2026-10-20T18:00", {"--need", "10", "--plug-in", "04:55"})
              .starts_with("Plug in at 04:55. It starts at once, "));
}

TEST_CASE("a ready-by whose label is skipped or repeated says which instant it became") {
    const auto has = [](const std::string& text, const char* words) {
        INFO(text);
        CHECK(text.find(words) != std::string::npos);
    };
    has(heron("2027-03-13T20:00", {"--need", "10", "--ready-by", "02:30"}),
        "Latest to be ready by 03:00 (02:30 does not exist that night): 23:55.");
    has(heron("2027-03-13T20:00", {"--need", "60", "--ready-by", "2027-03-14T02:30"}),
        "By 03:00 (02:30 does not exist that night) only ");
    has(heron("2027-03-13T20:00", {"--need", "10", "--ready-by", "2027-03-14T02:30-04:00"}),
        "Latest to be ready by 03:30: 00:25.");
    has(heron("2026-10-31T20:00", {"--need", "5", "--ready-by", "01:30"}),
        "Latest to be ready by 01:30 ADT (the first of two 01:30 that night): 00:25.");
    const Ran plan = lullwatt_run({"plan", "--site", config("harbour-row-9/site.yaml"), "--car", "Heron",
                                   "--at", "2027-03-13T20:00", "--need", "10", "--ready-by", "02:30"});
    has(plan.out, "Sat 20:00 to Sun 03:00 (02:30 does not exist that night): 10.0 kWh");
}

TEST_CASE("a quantity that is odd is refused with option, value, what is allowed and the mend") {
    const auto said = [](std::vector<std::string> more) {
        std::vector<std::string> arguments = {
            "when", "--site",          config("harbour-row-9/site.yaml"), "--car", "Heron",
            "--at", "2026-10-20T18:00"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        const Ran ran = lullwatt_run(arguments);
        CHECK(ran.exit == Exit::usage);
        CHECK(ran.out.empty());
        return ran.err;
    };
    const std::string energy = " Allowed: 0 kWh to 250 kWh, an energy such as '60 kWh' or '500 Wh'. Mend: ";
    const std::string example = "write it as in '--need 18.6', in kWh.\n";
    CHECK(said({"--need", "-3"}) == "command line: --need '-3': is out of range." + energy + example);
    CHECK(said({"--need", "999"}) == "command line: --need '999': is out of range." + energy + example);
    CHECK(said({"--need", "nan"}) == "command line: --need 'nan': is not a number." + energy + example);
    CHECK(said({"--need", "18,6"}) == "command line: --need '18,6': has a comma in its number." + energy +
                                          "write a decimal point: '18.6 kWh'.\n");
    CHECK(said({"--need", "1e9"}) == "command line: --need '1e9': has an exponent." + energy +
                                         "write the number out in digits, with a decimal point.\n");
    CHECK(said({"--need", "9\x1B[2J"}).find("'9\\x1B[2J'") != std::string::npos);
    CHECK(said({"--floor", "-1"}) ==
          "command line: --floor '-1': is out of range." + energy + "write it as in '--floor 5', in kWh.\n");
    CHECK(said({"--distance", "1,5"}) ==
          "command line: --distance '1,5': has a comma in its number. Allowed: 0 km to 2000 km, a distance "
          "such "
          "as '60 km'. Mend: write a decimal point: '1.5 km'.\n");
    CHECK(said({"--from-soc", "101", "--to-soc", "x"}) ==
          "command line: --from-soc '101': is out of range. Allowed: 0 % to 100 %, a percentage such as '80 "
          "%'. "
          "Mend: write it as in '--from-soc 40', in %.\n"
          "command line: --to-soc 'x': is not a number. Allowed: 0 % to 100 %, a percentage such as '80 %'. "
          "Mend: write it as in '--to-soc 80', in %.\n");
    CHECK(said({"--from-soc", "80", "--to-soc", "40"}) ==
          "command line: --to-soc '40': is below --from-soc, 80 %: charging fills and never empties. "
          "Allowed: 80 "
          "% to 100 %. Mend: swap the two if one was taken for the other.\n");
    CHECK(said({"--need", "10", "--floor", "20"}) ==
          "command line: --floor '20': is above the need, 10.0 kWh, of which it is a part. Allowed: 0 kWh to "
          "10.0 kWh. Mend: lower it, or raise the need.\n");
    CHECK(said({"--need", ""}) ==
          "command line: --need: is empty. Mend: give it a value, or leave it out.\n");
}

TEST_CASE("a command line that is wrong is told, with exit status 1 or 2") {
    const std::string site = config("harbour-row-9/site.yaml");
    CHECK(lullwatt_run({"whn"}).exit == Exit::usage);
    CHECK(lullwatt_run({}).exit == Exit::usage);
    CHECK(lullwatt_run({"check", "\x1B[31m"}).err.find("\\x1B[31m") != std::string::npos);
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
    for (const char* command : {"plan", "why"}) {
        INFO(command);
        const std::vector<std::string> asked = {
            command, "--site", folder.file("site.yaml"), "--car", "Curlew", "--need", "10"};
        CHECK(lullwatt_run(asked).out.starts_with("NOT SAFE AT EVERY HOUR"));
    }
    const Ran data = lullwatt_run(
        {"plan", "--site", folder.file("site.yaml"), "--car", "Curlew", "--need", "10", "--json"});
    CHECK(data.out.find("\"NOT SAFE AT EVERY HOUR") != std::string::npos);
}

TEST_CASE("by hand, at once is the block that begins first, at the greatest current") {
    const Ran when = lullwatt_run(
        {"when", "--site", config("one-cable/site.yaml"), "--car", "Curlew", "--at", "2026-10-20T18:00"});
    INFO(when.out);
    // 40 A × 240 V from 18:00 on: 38.4 kWh until 22:00 at 0.1659, the other 19.93 of 58.33 at half of that.
    CHECK(when.out.find("about 4.84. At once: 8.02 (+3.18).") != std::string::npos);
    // 3 kWh are in within four slots at 38 A as at 40 A.
    const Ran little = lullwatt_run({"when", "--site", config("one-cable/site.yaml"), "--car", "Curlew",
                                     "--at", "2026-10-20T18:00", "--need", "3", "--json"});
    const auto at_once = little.out.find("\"at_once\"");
    REQUIRE(at_once != std::string::npos);
    const auto most = little.out.find("\"most_amps\": ", at_once);
    CHECK(little.out.substr(most, 16) == "\"most_amps\": 40,");
}

TEST_CASE("the plan's table tells what a price is where several share its name") {
    const Ran plan = lullwatt_run(
        {"plan", "--site", config("norra-angen/site.yaml"), "--at", "2026-10-20T18:00", "--proof-time", "0"});
    INFO(plan.out);
    CHECK(plan.out.find("announced") == std::string::npos);
    // (0.9299 announced + 0.3020 transfer + 0.4390 energy tax) × 1.25 value added tax.
    CHECK(plan.out.find("18:00–19:00       -      11 A  2.088625 ") != std::string::npos);
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
