#include <algorithm>
#include <memory>
#include <ostream>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/site_option.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

constexpr const char* kCautions =
    "Lullwatt is a convenience: it is not overcurrent protection and not a listed energy management system. "
    "Breakers,\n"
    "wiring and the equipment's installer setting must be right without it. The local code and a licensed "
    "electrician\n"
    "decide.";

std::string basis_text(const site::ContinuousShare& share) {
    switch (share.basis) {
        case site::ShareBasis::nec:
            return "nec, continuous load at most 80 % of the rating";
        case site::ShareBasis::cec:
            return "cec, continuous load at most 80 % of the rating";
        case site::ShareBasis::iec:
            return share.share < 1 ? "iec, 80 % as our caution"
                                   : "iec, dedicated circuit sized by its installer";
        case site::ShareBasis::declared:
            break;
    }
    return "declared: " + share.text;
}

std::string limit_text(const site::Node& node) {
    return fmt::format("{:g} A, for hours {:g} A ({:g} %, {})", node.rating.count(),
                       site::continuous_limit(node).count(), node.continuous.share * 100,
                       basis_text(node.continuous));
}

std::string leg_text(site::Leg leg) { return fmt::format("L{}", static_cast<int>(leg) + 1); }

std::string origin_text(const site::WorstOrigin& origin, const Zone& zone) {
    switch (origin.source) {
        case site::WorstSource::history:
            if (origin.reading.begin == origin.reading.end) return "no load was recorded";
            return fmt::format(
                "{} {}, the mean of {} min × {:g}",
                date_text(CivilDate{date::floor<date::days>(zone.civil(origin.reading.begin))}),
                clock_text(zone, origin.reading.begin), origin.reading.length().count() / 60, origin.factor);
        case site::WorstSource::stated_load:
            return "the stated load '" + origin.words + "'";
        case site::WorstSource::stated_worst:
            return "stated: " + origin.words;
        case site::WorstSource::load_calculation:
            break;
    }
    return "load calculation";
}

// The worst load of a node's leg, at its worst hour, with where it comes from.
std::string worst_text(const io::Household& house, std::size_t node, site::Leg leg) {
    const site::WorstLoad& worst = house.worst[node];
    std::size_t at = 0;
    for (std::size_t hour = 0; hour < 24; ++hour) {
        if (worst.at(leg, hour) > worst.at(leg, at)) at = hour;
    }
    return fmt::format("{} {:.1f} A at {:02}:00 ({})", leg_text(leg), worst.at(leg, at).count(), at,
                       origin_text(worst.origin[at][static_cast<std::size_t>(leg)], house.zone));
}

// What the lack of data costs: the most a car could ever have at the worst hour, node by node.
std::string lack_text(const io::Household& house, std::size_t node) {
    const site::WorstLoad& worst = house.worst[node];
    if (worst.lack == site::HistoryLack::none) return {};
    Amps room = site::continuous_limit(house.site.site.nodes[node]);
    Amps most;
    for (const site::Leg leg : site::kLegs) most = std::max(most, worst.greatest(leg));
    return fmt::format(
        "    W {:.0f} A without twelve months of data: no car above {} A at the worst hour. Twelve months of "
        "data{} "
        "would lift this.\n",
        most.count(), floor_amps(room - most).count(),
        house.site.loads[node]->stated_worst ? "" : ", or a stated figure,");
}

std::string point_text(const io::Household& house, std::size_t point) {
    const site::Point& at = house.site.site.points[point];
    std::string text = fmt::format("  {} on circuit {}: installer's setting {}, ", at.name,
                                   house.site.site.nodes[at.circuit].name, amps_text(at.hard_setting));
    if (at.control == site::Control::by_hand) {
        text += "set by hand\n";
        const site::SiteLoads loads = io::loads(house, {});
        const auto excess = site::unsafe_by_hand(house.site.site, point, loads, house.unattended);
        if (!excess)
            return text +
                   "    safe at every hour: the house at its worst and this setting stay within every "
                   "limit\n";
        return text + fmt::format(
                          "    NOT SAFE AT EVERY HOUR: {}, leg {} would carry {:.0f} A where {:.0f} A may "
                          "flow for hours; have its "
                          "installer set {}\n",
                          house.site.site.nodes[excess->node].name, leg_text(excess->leg),
                          excess->would_carry.count(), excess->may_carry.count(),
                          excess->fits < at.minimum ? "nothing: there is no safe setting here"
                                                    : amps_text(excess->fits) + " or less");
    }
    const site::Standing& standing = house.standing[point];
    text += fmt::format("standing {} ({})\n", amps_text(standing.current), at.standing ? "stated" : "auto");
    if (standing.current == WholeAmps(0)) text += "    without the daemon this car does not charge\n";
    if (standing.excess && !at.standing) {
        text += fmt::format(
            "    its minimum would not fit: {}, leg {}, {:.0f} A of {:.0f} A with the house at its worst\n",
            house.site.site.nodes[standing.excess->node].name, leg_text(standing.excess->leg),
            standing.excess->would_carry.count(), standing.excess->may_carry.count());
    }
    return text;
}

std::string moment_text(const io::Household& house, const site::WorstMoment& moment) {
    const site::Node& node = house.site.site.nodes[moment.node];
    const std::string where = moment.node == 0 ? "leg " + leg_text(moment.leg)
                                               : fmt::format("{}, leg {}", node.name, leg_text(moment.leg));
    return fmt::format(
        "if this server dies at the worst moment of the last year, {} may see at most {:.0f} A ({:.0f} % of "
        "{:g} A) for "
        "{} min, then {:.0f} A",
        where, moment.during_lease.count(), moment.during_lease.count() / node.rating.count() * 100,
        node.rating.count(), house.site.site.lease.count() / 60, moment.afterwards.count());
}

std::vector<std::string> moments(const io::Household& house) {
    std::vector<std::string> texts;
    const auto& points = house.site.site.points;
    if (std::ranges::none_of(points,
                             [](const auto& point) { return point.control == site::Control::driven; }))
        return texts;
    for (const auto& moment : site::worst_moments(house.site.site, io::loads(house, {}), house.unattended)) {
        if (moment.node == 0) texts.push_back(moment_text(house, moment));
    }
    return texts;
}

std::string report(const io::Household& house) {
    std::string text = fmt::format("{} ({}): site, tariff and meter data are in order.\n\n", house.site.name,
                                   house.site.file.string());
    for (std::size_t node = 0; node < house.site.site.nodes.size(); ++node) {
        text += fmt::format("  {}: {}\n", house.site.site.nodes[node].name,
                            limit_text(house.site.site.nodes[node]));
        if (!house.site.loads[node]) continue;
        for (const site::Leg leg : site::kLegs) {
            if (house.site.site.nodes[node].legs.has(leg))
                text += "    worst load " + worst_text(house, node, leg) + "\n";
        }
        text += lack_text(house, node);
        if (house.worst[node].negative_readings > 0) {
            text += fmt::format("    {} readings show export: generation never counts as relief\n",
                                house.worst[node].negative_readings);
        }
    }
    text += '\n';
    for (std::size_t point = 0; point < house.site.site.points.size(); ++point)
        text += point_text(house, point);
    const auto sentences = moments(house);
    if (!sentences.empty()) text += '\n';
    for (const std::string& sentence : sentences) text += "  " + sentence + "\n";
    return text + "\n" + kCautions + "\n";
}

std::string report_json(const io::Household& house) {
    nlohmann::ordered_json json{{"site", house.site.name}, {"faults", nlohmann::ordered_json::array()}};
    for (std::size_t node = 0; node < house.site.site.nodes.size(); ++node) {
        const site::Node& at = house.site.site.nodes[node];
        nlohmann::ordered_json entry{{"name", at.name},
                                     {"rating_amps", at.rating.count()},
                                     {"limit_amps", site::continuous_limit(at).count()},
                                     {"basis", basis_text(at.continuous)}};
        for (const site::Leg leg : site::kLegs) {
            if (at.legs.has(leg))
                entry["worst_amps"][leg_text(leg)] = house.worst[node].greatest(leg).count();
        }
        entry["twelve_months_of_data"] = house.worst[node].lack == site::HistoryLack::none;
        json["nodes"].push_back(entry);
    }
    for (std::size_t point = 0; point < house.site.site.points.size(); ++point) {
        const site::Point& at = house.site.site.points[point];
        const bool by_hand = at.control == site::Control::by_hand;
        json["points"].push_back(
            {{"name", at.name},
             {"hard_setting_amps", at.hard_setting.count()},
             {"control", by_hand ? "by-hand" : "driven"},
             {"standing_amps", house.unattended[point].count()},
             {"safe_by_hand", by_hand ? nlohmann::ordered_json(!site::unsafe_by_hand(
                                            house.site.site, point, io::loads(house, {}), house.unattended))
                                      : nullptr}});
    }
    json["if_this_server_dies"] = moments(house);
    json["cautions"] = kCautions;
    return json.dump(2);
}

Exit act(const SiteOption& option, Shell& shell) {
    const auto house = io::load_household(site_path(option), system_now());
    if (!house.ok()) {
        print_faults(shell, house.faults(), option.json);
        if (!option.json)
            shell.err << fmt::format("{} fault{}.\n", house.faults().size(),
                                     house.faults().size() == 1 ? "" : "s");
        return Exit::refused;
    }
    shell.out << (option.json ? report_json(house.value()) + "\n" : report(house.value()));
    return Exit::done;
}

}  // namespace

Command add_check(CLI::App& app) {
    auto option = std::make_shared<SiteOption>();
    CLI::App* command =
        app.add_subcommand("check", "Every fault of the site's files with its mend; what the site can bear");
    add_site_option(*command, *option);
    command->footer(
        "Exit status: 0 all in order, 1 faults.\nExample:\n  lullwatt check --site "
        "config/harbour-row-9/site.yaml");
    return {command, [option](Shell& shell) { return act(*option, shell); }};
}

}  // namespace lullwatt::tools
