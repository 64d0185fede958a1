#include <map>
#include <set>
#include <stdexcept>

#include <yaml-cpp/yaml.h>

#include "scenario/scenario.hpp"
#include "support/house.hpp"
#include "support/limiter_bench.hpp"

namespace lullwatt::tests {
namespace {

using control::LimiterOptions;
using rehearse::BoundCase;
using rehearse::FaultKind;

template <class Value>
Value get(const YAML::Node& map, const char* key, Value otherwise) {
    return map[key] ? map[key].as<Value>() : otherwise;
}

Seconds seconds(const YAML::Node& map, const char* key, int otherwise) {
    return Seconds(get(map, key, otherwise));
}

std::optional<Seconds> maybe_seconds(const YAML::Node& map, const char* key) {
    return map[key] ? std::optional(Seconds(map[key].as<int>())) : std::nullopt;
}

void only(const YAML::Node& map, const std::set<std::string>& known) {
    for (const auto& pair : map) {
        if (!known.contains(pair.first.as<std::string>()))
            throw std::runtime_error("unknown key '" + pair.first.as<std::string>() + "'");
    }
}

template <class Value>
Value word(const std::map<std::string, Value>& words, const std::string& text) {
    const auto found = words.find(text);
    if (found == words.end()) throw std::runtime_error("unknown word '" + text + "'");
    return found->second;
}

const std::map<std::string, FaultKind> kFaults = {
    {"meter silent", FaultKind::meter_silent},
    {"link cut", FaultKind::link_cut},
    {"daemon dead", FaultKind::daemon_dead},
    {"suspended", FaultKind::suspended},
    {"equipment restarts", FaultKind::equipment_restarts},
    {"supply out", FaultKind::supply_out},
    {"wall clock step", FaultKind::wall_step},
    {"clock unproven", FaultKind::clock_unproven},
};

const std::map<std::string, Milliseconds LimiterOptions::*> kTimes = {
    {"above_for", &LimiterOptions::above_for},
    {"answer_within", &LimiterOptions::answer_within},
    {"calm", &LimiterOptions::calm},
    {"calm_most", &LimiterOptions::calm_most},
    {"first_plan", &LimiterOptions::first_plan},
    {"interruption", &LimiterOptions::interruption},
    {"lease_most", &LimiterOptions::lease_most},
    {"resume_after", &LimiterOptions::resume_after},
    {"stale_least", &LimiterOptions::stale_least},
    {"stall", &LimiterOptions::stall},
    {"standing_after", &LimiterOptions::standing_after},
};

site::LegAmps legs(const YAML::Node& list) {
    return {Amps(list[0].as<double>()), Amps(list[1].as<double>()), Amps(0)};
}

void read_options(const YAML::Node& map, Scenario& scenario) {
    LimiterOptions& options = scenario.without;
    for (const auto& pair : map) {
        const auto key = pair.first.as<std::string>();
        if (key == "lease") {
            scenario.lease_without = Seconds(pair.second.as<int>());
        } else if (key == "samples_above") {
            options.samples_above = pair.second.as<int>();
        } else if (key == "writes_a_night") {
            options.writes_a_night = pair.second.as<int>();
        } else if (key == "settled_within") {
            options.settled_within = Amps(pair.second.as<double>());
        } else if (key == "renew_after_thirds") {
            options.renew_after_thirds = pair.second.as<int>();
        } else {
            options.*word(kTimes, key) = Seconds(pair.second.as<int>());
        }
    }
}

rehearse::LoadRun read_load(const YAML::Node& map) {
    only(map, {"load", "amps", "from", "to", "on", "off", "inrush"});
    rehearse::LoadRun run{seconds(map, "from", 0), seconds(map, "to", 1'000'000), legs(map["amps"])};
    run.on = seconds(map, "on", 1);
    run.off = seconds(map, "off", 0);
    if (map["inrush"]) run.inrush = legs(map["inrush"]);
    return run;
}

rehearse::PointSetup read_car(const YAML::Node& map, const YAML::Node& scenario, Instant starts,
                              int standing) {
    only(map, {"takes", "response", "sleeps", "wakes", "room_wh", "starts_in", "reports", "plan", "slack",
               "full_at_percent"});
    rehearse::PointSetup point;
    point.equipment = {.legs = kBothLegs,
                       .watts_per_ampere = Watts(240),
                       .hard_setting = WholeAmps(40),
                       .standing = WholeAmps(standing),
                       .reports_every = seconds(map, "reports", get(scenario, "reports", 10)),
                       .starts_in = seconds(map, "starts_in", 20)};
    point.car = {.most = WholeAmps(get(map, "takes", 40)),
                 .response = seconds(map, "response", 5),
                 .room = WattHours(get(map, "room_wh", 200'000)),
                 .sleeps = maybe_seconds(map, "sleeps"),
                 .wakes = maybe_seconds(map, "wakes")};
    if (map["plan"] && map["plan"].IsSequence()) {
        for (const auto& piece : map["plan"]) {
            point.plan.pieces.push_back(
                {{starts + Seconds(piece[0].as<int>()), starts + Seconds(piece[1].as<int>())},
                 WholeAmps(piece[2].as<int>())});
        }
    } else {
        const WholeAmps amps(get(map, "plan", 40));
        point.plan.pieces = {{{starts - std::chrono::hours{12}, starts + std::chrono::hours{36}}, amps}};
    }
    point.plan.slack = maybe_seconds(map, "slack");
    return point;
}

Instant read_instant(const std::string& text) {
    int year = 0;
    unsigned month = 0, day = 0, hour = 0, minute = 0;
    if (std::sscanf(text.c_str(), "%d-%u-%uT%u:%uZ", &year, &month, &day, &hour, &minute) != 5)
        throw std::runtime_error("no instant: " + text);
    return utc(year, month, day, std::chrono::hours{hour} + std::chrono::minutes{minute});
}

Seconds read_bound(const YAML::Node& map, const YAML::Node& scenario, int response) {
    only(map, {"case", "lease_left", "rating", "seconds"});
    static const std::map<std::string, BoundCase> cases = {{"all alive", BoundCase::all_alive},
                                                           {"meter silent", BoundCase::meter_silent},
                                                           {"on its lease", BoundCase::on_its_lease}};
    const int interval = get(scenario, "meter", 1);
    const Seconds stale = std::max(Seconds{15}, Seconds{(interval * 5 + 1) / 2});
    return rehearse::time_bound(word(cases, map["case"].as<std::string>()),
                                {.meter_interval = Seconds(interval),
                                 .response = Seconds(response),
                                 .staleness = stale,
                                 .lease_left = seconds(map, "lease_left", 900)});
}

}  // namespace

Scenario read_scenario(const std::string& path) {
    const YAML::Node file = YAML::LoadFile(path);
    only(file,
         {"about", "starts", "seconds", "base", "loads", "worst", "standing", "feeder", "meter", "reports",
          "unproven", "cars", "faults", "bound", "expect", "without", "writes_at_most", "seed"});
    Scenario scenario;
    scenario.about = file["about"].as<std::string>();
    scenario.length = seconds(file, "seconds", 3600);
    const int standing = get(file, "standing", 6);
    BenchSite bench{.points = file["cars"] ? file["cars"].size() : 1,
                    .worst = get(file, "worst", 60.0),
                    .standing = standing,
                    .interval = Seconds(get(file, "meter", 1)),
                    .feeder = get(file, "feeder", 0.0)};
    rehearse::WorldSetup& world = scenario.world;
    world.settings = bench_settings(bench);
    world.settings.zone = halifax();
    world.seed = get(file, "seed", 1U);
    world.starts = read_instant(get(file, "starts", std::string("2026-01-15T22:00Z")));
    static const std::map<std::string, control::WhenUnproven> choices = {
        {"wait", control::WhenUnproven::wait},
        {"standing", control::WhenUnproven::standing},
        {"charge", control::WhenUnproven::charge}};
    world.settings.unproven = word(choices, get(file, "unproven", std::string("standing")));
    const double base = get(file, "base", 20.0);
    world.loads.emplace_back().push_back({Seconds{0}, Seconds{1'000'000}, both(base)});
    for (const auto& load : file["loads"]) world.loads[0].push_back(read_load(load));
    const YAML::Node cars = file["cars"] ? file["cars"] : YAML::Load("[{}]");
    int response = 0;
    for (const auto& car : cars) {
        world.points.push_back(read_car(car, file, world.starts, standing));
        response = std::max(response, static_cast<int>(world.points.back().car.response.count()));
    }
    for (const auto& fault : file["faults"]) {
        only(fault, {"kind", "from", "to", "point", "by"});
        world.faults.push_back({.kind = word(kFaults, fault["kind"].as<std::string>()),
                                .from = seconds(fault, "from", 0),
                                .to = seconds(fault, "to", 1'000'000),
                                .point = get(fault, "point", std::size_t{0}),
                                .by = seconds(fault, "by", 0)});
    }
    scenario.at_limit = read_bound(file["bound"], file, response);
    scenario.at_rating = seconds(file["bound"], "rating", 0);
    if (file["bound"]["seconds"]) scenario.at_limit = seconds(file["bound"], "seconds", 0);
    for (const auto& expect : file["expect"]) {
        only(expect, {"at", "point", "offer", "at_least", "why", "draws"});
        Expectation one{.at = Seconds(expect["at"].as<int>()), .point = get(expect, "point", std::size_t{0})};
        if (expect["offer"]) one.offer = expect["offer"].as<int>();
        if (expect["at_least"]) one.at_least = expect["at_least"].as<int>();
        if (expect["why"]) one.why = expect["why"].as<std::string>();
        if (expect["draws"]) one.draws = expect["draws"].as<bool>();
        scenario.expectations.push_back(one);
    }
    scenario.has_without = file["without"].IsDefined();
    if (scenario.has_without) read_options(file["without"], scenario);
    if (file["writes_at_most"]) scenario.writes_at_most = file["writes_at_most"].as<int>();
    return scenario;
}

}  // namespace lullwatt::tests
