// What `when`, `plan` and `why` say of currents, of other cars, of the bill and of times out, where a shorter
// sentence would not be true.
#include <sstream>

#include <nlohmann/json.hpp>

#include "support/catch.hpp"
#include "support/shell.hpp"
#include "tools/lullwatt/words.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;
using nlohmann::json;

namespace {

bool has(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

// Two points of 32 A behind a service of 48 A for hours, of which the house takes `house`.
struct Home {
    Folder folder;
    std::string house = "10 A";
    std::string heron = "need: 30 kWh";
    std::string plover;  // empty: there is none
    std::string left;    // what else is said of its point
    std::string charges = R"(windows: [{name: low, from: "22:00", to: "06:00", per_kwh: 0.1}, )"
                          "{name: high, per_kwh: 0.2}]";

    Ran run(std::vector<std::string> arguments) const {
        std::ofstream(folder.file("tariff.yaml"))
            << "format: 1\nname: T\ncurrency: CAD\nrevisions:\n  - from: 2020-01-01\n    " << charges << "\n";
        const std::string second = "  - {name: Plover, point: right, battery: 60 kWh, most: 32 A, ";
        std::ofstream(folder.file("site.yaml"))
            << "format: 1\nsite: {name: Home, zone: America/Halifax, currency: CAD}\n"
               "service: {supply: split-phase, leg_to_neutral: 120 V, rating: 60 A, continuous: cec}\n"
               "circuits:\n  - {name: l, fed_from: service, rating: 40 A}\n"
               "  - {name: r, fed_from: service, rating: 40 A}\n"
               "points:\n  - {name: left, circuit: l, hard_setting: 32 A"
            << left
            << "}\n"
               "  - {name: right, circuit: r, hard_setting: 32 A}\n"
               "cars:\n  - {name: Heron, point: left, battery: 60 kWh, most: 32 A, "
            << heron << "}\n"
            << (plover.empty() ? "" : second + plover + "}\n")
            << "loads: [{node: service, constant: " << house
            << ", worst: 20 A, worst_reason: a test's}]\ntariff: tariff.yaml\n";
        arguments.insert(arguments.begin() + 1, {"--site", folder.file("site.yaml")});
        return lullwatt_run(arguments);
    }
    std::string text(const std::vector<std::string>& arguments) const {
        const Ran ran = run(arguments);
        INFO(ran.err);
        REQUIRE(ran.exit == Exit::done);
        return ran.out;
    }
    json told(std::vector<std::string> arguments) const {
        arguments.emplace_back("--json");
        return json::parse(text(arguments));
    }
};

}  // namespace

TEST_CASE("a current is told as the greatest where a plan charges with several, and what it begins with") {
    const Home home;
    // 7.68 kWh are one hour at 32 A; 8 kWh take a remainder at less.
    const std::vector<std::string> even = {"when", "--at", "2026-01-14T18:00", "--need", "7.68"};
    CHECK(has(home.text(even), "It starts by itself at 22:00, 32 A, 7.7 kWh"));
    const std::vector<std::string> uneven = {"when", "--at", "2026-01-14T18:00", "--need", "8"};
    CHECK(has(home.text(uneven), "It starts by itself at 22:00, up to 32 A, 8.0 kWh"));
    const Home late{.heron = "need: 8 kWh, preference: late"};
    const json plan = late.told({"when", "--at", "2026-01-14T18:00"}).at("plan");
    CHECK(plan.at("most_amps") == 32);
    CHECK(plan.at("begin_amps").get<int>() < 32);
    CHECK(plan.at("begin_amps").get<int>() >= 6);
}

TEST_CASE("a car that is short because another has the room is not said to use every hour there is") {
    const std::vector<std::string> asked = {"when", "--car", "Heron", "--at", "2026-01-14T18:00"};
    const Home both{.heron = "need: 60 kWh, ready_by: \"01:00\"",
                    .plover = "need: 60 kWh, ready_by: \"01:00\""};
    const std::string text = both.text(asked);
    INFO(text);
    CHECK(has(text, "Plugged in at 18:00 it uses all that Plover as planned leaves it, about "));
    CHECK(!has(text, "every hour there is"));
    auto alone = asked;
    alone.emplace_back("--alone");
    CHECK(has(both.text(alone), "it uses every hour there is"));
}

TEST_CASE("an hour at its limit is not said to be one where more would not help") {
    using namespace lullwatt;
    plan::Slot slot{};
    slot.most = WholeAmps(32);
    plan::PlannedSlot planned{WholeAmps(32), WholeAmps(32), plan::Why::falls_short};
    CHECK(tools::why_text(planned, slot, {}, {}) ==
          "the need is not met; limited by the installer's setting");
    planned.amps = planned.drawn = WholeAmps(31);
    CHECK(tools::why_text(planned, slot, {}, {}) == "the need is not met, and more here would not help");
}

TEST_CASE("what is short by less than is printed never reads as nothing") {
    // 32 A × 240 V are 53.76 kWh in 7 hours.
    const Home home{.heron = "need: 53.77 kWh, ready_by: \"01:00\""};
    const std::string when = home.text({"when", "--at", "2026-01-14T18:00"});
    INFO(when);
    CHECK(has(when, "only 53.8 kWh of 53.8 kWh can be in: less than 0.1 kWh short."));
    const std::string plan = home.text({"plan", "--at", "2026-01-14T18:00"});
    INFO(plan);
    CHECK(has(plan, "\nLess than 0.1 kWh short: `lullwatt when` says what would help.\n"));
}

TEST_CASE("what is not safe stands once above a plan of several cars") {
    const Home home{.heron = "need: 6 kWh", .plover = "need: 6 kWh", .left = ", control: by-hand"};
    const std::string text = home.text({"plan", "--at", "2026-01-14T18:00"});
    INFO(text);
    const auto first = text.find("NOT SAFE");
    REQUIRE(first == 0);
    CHECK(text.find("NOT SAFE", first + 1) == std::string::npos);
}

TEST_CASE("a proof's bound is never rounded above what is proven, and is of plans that keep what is set") {
    const Home dear{.charges = "windows: [{name: all, per_kwh: 0.123756}]"};
    const std::string plain = dear.text({"plan", "--at", "2026-01-14T18:00", "--need", "10"});
    INFO(plain);  // 1.25756 with its start
    CHECK(
        has(plain, "Proof: no plan costs less than 1.25, counting 0.02 for each start; this one costs 1.26"));
    const std::string floor = dear.text({"plan", "--at", "2026-01-14T18:00", "--need", "10", "--floor", "2"});
    INFO(floor);
    CHECK(has(floor, "Proof: no such plan costs less than 1.25"));
    const Home two{.heron = "need: 10 kWh, price_cap: 0.15", .plover = "need: 10 kWh"};
    CHECK(has(two.text({"plan", "--at", "2026-01-14T18:00"}),
              "2 cars together; no such plan that leaves no car shorter, nor takes more above its price cap, "
              "costs less than "));
    const Home free{.heron = "need: 10 kWh", .plover = "need: 10 kWh"};
    CHECK(has(free.text({"plan", "--at", "2026-01-14T18:00"}), "2 cars together; no plan costs less than "));
}

TEST_CASE("a peak that another car's plan raises is not said to be as told") {
    const Home home{.heron = "need: 15 kWh, ready_by: \"21:00\"",
                    .plover = "need: 15 kWh, ready_by: \"21:30\"",
                    .charges =
                        "windows: [{name: all, per_kwh: 0.1}]\n    demand: [{name: power, interval: 60 "
                        "min, per_kw: 8}]"};
    // The house draws 10 A × 120 V = 1.2 kW; 3 kW are told, and Heron alone is planned first.
    const json first =
        home.told({"when", "--car", "Heron", "--alone", "--at", "2026-01-14T18:00", "--month-peak", "3"});
    CHECK(first.at("month").at("peaks")[0].at("free_kw") == "3");
    CHECK(has(first.at("sentence"), "raises the bill's peak from 3.0 kW to "));
    CHECK(has(first.at("sentence"), "(as told)"));
    const std::string beside =
        home.text({"when", "--car", "Plover", "--at", "2026-01-14T18:00", "--month-peak", "3"});
    INFO(beside);
    CHECK(has(beside, "(with the other cars as planned)"));
    CHECK(!has(beside, "(as told)"));
    CHECK(has(beside, "leave: Heron, then Plover. Another order may cost more or less."));
    const std::string little =
        home.text({"when", "--car", "Heron", "--alone", "--at", "2026-01-14T18:00", "--month-peak", "1"});
    CHECK(has(little, "(what the house does alone)"));
}

TEST_CASE("on the last night of a bill its use is asked for, and the next bill's is not") {
    const Home home{.charges =
                        "blocks: [{name: steps, steps: [{up_to: 600 kWh, per_kwh: 0.1}, {per_kwh: 0.2}]}]"};
    const std::string ask =
        "What 'steps' has counted is not known: it counts at its dearest step. --month-use";
    const std::string next =
        "What 'steps' will count from Sunday 1 February 2026 on is not known: there it counts at its dearest "
        "step.";
    const std::vector<std::string> asked = {"when", "--at", "2026-01-31T18:00"};
    const std::string untold = home.text(asked);
    CHECK(has(untold, ask));
    CHECK(has(untold, next));
    auto told = asked;
    told.insert(told.end(), {"--month-use", "500"});
    const std::string known = home.text(told);
    CHECK(has(known, "'steps' counts 500.0 kWh so far (as told)"));
    CHECK(!has(known, "--month-use"));
    CHECK(has(known, next));
    CHECK(!has(home.text({"when", "--at", "2026-01-30T18:00", "--month-use", "500"}), "not known"));
}

TEST_CASE("plug-ins that leave too little for a time out between are marked, and not said to be in time") {
    const Home home{.heron =
                        "consumption: 20 kWh/100km, habits: [{days: [every-day], leaves: \"07:00\", "
                        "returns: \"17:00\", distance: 50 km}]"};
    // 12 kWh on arrival and 10 are driven a day: the first morning is met, the second only if charged before.
    const json answer = home.told({"when", "--at", "2026-01-14T06:00", "--from-soc", "20", "--to-soc", "60",
                                   "--ready-by", "2026-01-16T07:00"});
    CHECK(answer.at("warnings").empty());
    CHECK(answer.at("latest_in_time").get<std::string>() < "2026-01-15T07:00");
    CHECK(answer.at("latest_cheapest").get<std::string>() <= answer.at("latest_in_time").get<std::string>());
    bool marked = false;
    for (const json& row : answer.at("plug_in")) {
        const bool late = row.at("at").get<std::string>() > answer.at("latest_in_time").get<std::string>();
        INFO(row.dump());
        CHECK(has(row.at("note"), "not enough for Thu 07:00") == late);
        marked |= late;
    }
    CHECK(marked);
}

TEST_CASE("a time out that no full battery carries is warned of whatever is known of the charge") {
    const Home home{.heron =
                        "need: 10 kWh, consumption: 20 kWh/100km, habits: [{days: [every-day], leaves: "
                        "\"07:00\", returns: \"17:00\", distance: 350 km}]"};
    CHECK(has(
        home.text({"when", "--at", "2026-01-14T06:00", "--ready-by", "2026-01-15T06:30"}),
        "NOT ENOUGH for Wed 07:00: 77.8 kWh are driven then, 11.1 kWh more than fills an empty battery."));
}

TEST_CASE("a slot asked about at a time that is skipped or stands twice says which one is answered") {
    const Home home;
    const auto why = [&](const char* at, const char* slot) {
        return home.text({"why", "--at", at, "--slot", slot});
    };
    CHECK(
        why("2026-03-07T20:00", "02:30")
            .starts_with("02:30 does not exist that night: the answer is of 03:00, the first time after it.\n"
                         "03:00–03:05: "));
    CHECK(why("2026-10-31T20:00", "01:30")
              .starts_with("The answer is of the first of two 01:30 that night.\n01:30 ADT–01:35 ADT: "));
    CHECK(why("2026-10-31T20:00", "2026-11-01T01:30-04:00").starts_with("01:30 AST–01:35 AST: "));
    CHECK(why("2026-11-01T01:40-03:00", "01:30")
              .starts_with("The answer is of the second of two 01:30 that night: the first is before it.\n"
                           "01:30 AST–01:35 AST: "));
    CHECK(why("2026-10-30T20:00", "01:30").starts_with("01:30–01:35: "));
    const json told = home.told({"why", "--at", "2026-03-07T20:00", "--slot", "02:30"});
    CHECK(told.at("begin") == "2026-03-08T03:00:00-03:00");
    CHECK(told.at("slot_note") ==
          "02:30 does not exist that night: the answer is of 03:00, the first time after it.");
}

TEST_CASE("the proof's amounts have as many decimals as the headline's, and all of them in JSON") {
    const Home home{.charges = "windows: [{name: all, per_kwh: 0.123456}]"};
    const std::string text = home.text({"plan", "--at", "2026-01-14T18:00", "--need", "10"});
    INFO(text);
    CHECK(has(text, ": 10.0 kWh of 10.0 kWh, 1.23 CAD.\n"));
    CHECK(has(text,
              "Proof: no plan costs less than 1.25, counting 0.02 for each start; this one "
              "costs 1.25: proven.\n"));
    const json proof = home.told({"plan", "--at", "2026-01-14T18:00", "--need", "10"}).at("plan").at("proof");
    CHECK(proof.at("cost_with_starts") == "1.254560");
}

TEST_CASE("who watches a terminal sees how far an answer is, and no trace of it afterwards") {
    const Home home;
    static_cast<void>(home.text({"when", "--at", "2026-01-14T18:00"}));  // writes the files
    const auto ran = [&](bool watched, std::vector<std::string> more) {
        std::vector<std::string> arguments = {"when", "--site", home.folder.file("site.yaml"), "--at",
                                              "2026-01-14T18:00"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        std::istringstream in;
        std::ostringstream out;
        std::ostringstream err;
        CHECK(lullwatt::tools::run(arguments, in, out, err, false, watched) == Exit::done);
        return Ran{Exit::done, out.str(), err.str()};
    };
    const Ran watched = ran(true, {});
    const Ran piped = ran(false, {});
    CHECK(watched.err.starts_with("\rPlanning ..."));
    CHECK(has(watched.err, "\rPlanning: plug-in 1 of "));
    CHECK(has(watched.err, "\rPlanning: plug-in 3 of "));
    // The last thing written is a line of spaces, and the cursor at its begin.
    const auto last = watched.err.rfind('\r', watched.err.size() - 2);
    CHECK(watched.err.ends_with(" \r"));
    CHECK(watched.err.find_first_not_of(' ', last + 1) == watched.err.size() - 1);
    CHECK(!has(watched.err, "\n"));
    CHECK(watched.out == piped.out);
    CHECK(piped.err.empty());
    CHECK(ran(true, {"--json"}).err.empty());
}

TEST_CASE("with --json what the parser refuses is told as faults, with exit status 2") {
    struct Case {
        std::vector<std::string> arguments;
        const char* key;
        const char* fault;
        const char* mend = "run it with --help";
        const char* value = "";
    };
    for (const Case& one : std::vector<Case>{
             {{"when", "--bogus", "--json"},
              "",
              "The following argument was not expected: --bogus",
              "run it with --help",
              "--bogus"},
             {{"bill", "--bill-day", "40", "--json"},
              "--bill-day",
              "Value 40 not in range 1 to 31",
              "run it with --help",
              "40"},
             {{"ledger", "verify", "--head", "--json"},
              "--head",
              "has an option for its value",
              "give it a value, or leave it out",
              "--json"},
             {{"when", "--json", "--site"}, "--site", "1 required TEXT missing"},
             {{"--json"}, "", "A subcommand is required"},
             {{"plan", "--car", "--json"},
              "--car",
              "has an option for its value",
              "give it a value, or leave it out",
              "--json"},
         }) {
        const Ran ran = lullwatt_run(one.arguments);
        INFO(ran.out << ran.err);
        CHECK(ran.exit == Exit::usage);
        CHECK(ran.err.empty());
        const json fault = json::parse(ran.out).at("faults").at(0);
        CHECK(fault.at("file") == "command line");
        CHECK(fault.at("key") == one.key);
        CHECK(fault.at("fault") == one.fault);
        CHECK(fault.at("mend") == one.mend);
        CHECK(fault.at("value") == one.value);
    }
    CHECK(lullwatt_run({"when", "--bogus"}).err ==
          "The following argument was not expected: --bogus\nRun with --help for more information.\n");
    CHECK(lullwatt_run({"when", "--help", "--json"}).exit == Exit::done);
}
