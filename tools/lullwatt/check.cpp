#include <algorithm>
#include <cmath>
#include <memory>
#include <ostream>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>
#include <date/date.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "io/tariff_file/tariff_age.hpp"
#include "tools/lullwatt/check_limits.hpp"
#include "tools/lullwatt/check_tariff.hpp"
#include "tools/lullwatt/circuit_wiring.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/old_data.hpp"
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

// Figures round to the safe side: a load up, a limit down.
std::string load_text(Amps load) { return amps_text(ceil_amps(load)); }
std::string tenths_up(Amps load) { return fmt::format("{:.1f} A", ceil_amps(load * 10).count() / 10.0); }
std::string tenths_down(Amps limit) { return fmt::format("{:g} A", floor_amps(limit * 10).count() / 10.0); }

std::string limit_text(const site::Node& node) {
    return fmt::format("{:g} A, for hours {} ({:g} %, {})", node.rating.count(),
                       tenths_down(site::continuous_limit(node)), node.continuous.share * 100,
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
    const bool flat = std::ranges::all_of(
        worst.by_hour, [&](const site::LegAmps& hour) { return on(hour, leg) == worst.at(leg, at); });
    return fmt::format("{} {}{} ({})", leg_text(leg), tenths_up(worst.at(leg, at)),
                       flat ? "" : fmt::format(" at {:02}:00", at),
                       origin_text(worst.origin[at][static_cast<std::size_t>(leg)], house.zone));
}

// The most any point below a node could have at the node's worst hour, and the most it is set to.
struct AtWorst {
    WholeAmps room;
    WholeAmps set;
};

AtWorst at_worst(const io::Household& house, std::size_t node) {
    const site::Node& at = house.site.site.nodes[node];
    Amps house_load;
    for (const site::Leg leg : site::kLegs)
        house_load = std::max(house_load, house.worst[node].greatest(leg));
    AtWorst found;
    for (const site::Point& point : house.site.site.points) {
        const auto path = site::path(house.site.site, point);
        if (std::ranges::find(path, node) == path.end()) continue;
        // A driven point may use the rating for a lease, one set by hand only what the node bears for hours.
        const bool driven = point.control == site::Control::driven;
        const Amps bears = driven ? at.rating : site::continuous_limit(at);
        found.room = std::max(found.room, floor_amps(bears - house_load));
        found.set = std::max(found.set, point.hard_setting);
    }
    return found;
}

// What the lack of data costs, where it costs something.
std::string lack_text(const io::Household& house, std::size_t node) {
    const AtWorst worst = at_worst(house, node);
    if (house.worst[node].lack == site::HistoryLack::none || worst.room >= worst.set) return {};
    return fmt::format(
        "    without twelve months of data no car goes above {} with the house at its worst; such data{} "
        "would lift this\n",
        amps_text(worst.room), house.site.loads[node]->stated_worst ? "" : ", or a stated figure,");
}

bool unsafe(const io::Household& house, std::size_t point) {
    return house.site.site.points[point].control == site::Control::by_hand &&
           site::unsafe_by_hand(house.site.site, point, io::loads(house, {}), house.unattended).has_value();
}

bool any_unsafe(const io::Household& house) {
    for (std::size_t point = 0; point < house.site.site.points.size(); ++point) {
        if (unsafe(house, point)) return true;
    }
    return false;
}

// Other points set by hand that load the same node and leg.
std::string others_by_hand(const io::Household& house, std::size_t point, const site::Excess& excess) {
    std::string names;
    const auto& points = house.site.site.points;
    for (std::size_t other = 0; other < points.size(); ++other) {
        const auto path = site::path(house.site.site, points[other]);
        const bool shares =
            points[other].legs.has(excess.leg) && std::ranges::find(path, excess.node) != path.end();
        if (other == point || !shares || points[other].control != site::Control::by_hand) continue;
        names += fmt::format("{}{}", names.empty() ? "" : " and ", points[other].name);
    }
    return names;
}

std::string unsafe_text(const io::Household& house, std::size_t point, const site::Excess& excess) {
    const std::string others = others_by_hand(house, point, excess);
    const std::string together = others.empty() ? "" : fmt::format(", together with {},", others);
    const std::string text =
        fmt::format("    NOT SAFE AT EVERY HOUR: {}, leg {}{} would carry {} where {} may flow for hours; ",
                    house.site.site.nodes[excess.node].name, leg_text(excess.leg), together,
                    load_text(excess.would_carry), tenths_down(excess.may_carry));
    if (excess.fits >= house.site.site.points[point].minimum)
        return text + fmt::format("have its installer set {} or less\n", amps_text(excess.fits));
    if (others.empty()) return text + "there is no safe setting here\n";
    return text +
           fmt::format("there is no safe setting here beside {} as set: have them set lower\n", others);
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
        return text + unsafe_text(house, point, *excess);
    }
    const site::Standing& standing = house.standing[point];
    text += fmt::format("standing {} ({})\n", amps_text(standing.current), at.standing ? "stated" : "auto");
    if (standing.current == WholeAmps(0)) text += "    without the daemon this car does not charge\n";
    if (standing.excess && !at.standing && standing.excess->unbalance) {
        text += fmt::format(
            "    its minimum would not fit: cars may load no leg of {} further above the others\n",
            house.site.site.nodes[standing.excess->node].name);
    } else if (standing.excess && !at.standing) {
        text +=
            fmt::format("    its minimum would not fit: {}, leg {}, {} of {} with the house at its worst\n",
                        house.site.site.nodes[standing.excess->node].name, leg_text(standing.excess->leg),
                        load_text(standing.excess->would_carry), tenths_down(standing.excess->may_carry));
    }
    return text;
}

// A charger of more legs than its point has is reckoned on those of the point.
std::string car_text(const io::Household& house, const io::CarSettings& at) {
    const site::Point& point = house.site.site.points[at.point];
    if (point.legs.count() != 1 || at.car.legs <= 1) return {};
    const site::Leg leg =
        *std::ranges::find_if(site::kLegs, [&](site::Leg one) { return point.legs.has(one); });
    return fmt::format("  {}: its charger uses {} legs, {} has one; it is reckoned with {} alone\n",
                       at.car.name, at.car.legs, point.name, leg_text(leg));
}

std::string moment_text(const io::Household& house, const site::WorstMoment& moment) {
    const site::Node& node = house.site.site.nodes[moment.node];
    const std::string where = moment.node == 0 ? "leg " + leg_text(moment.leg)
                                               : fmt::format("{}, leg {}", node.name, leg_text(moment.leg));
    const bool recorded = house.worst[moment.node].lack == site::HistoryLack::none;
    const double percent = moment.during_lease.count() / node.rating.count() * 100;
    return fmt::format(
        "if this server dies {}, {} may see at most {} ({:.0f} % of {:g} A) for {} min, then {}",
        recorded ? "at the worst moment of the last year" : "with the house at its worst", where,
        load_text(moment.during_lease), std::ceil(percent - 1e-9), node.rating.count(),
        house.site.site.lease.count() / 60, load_text(moment.afterwards));
}

// Each leg of the service, and the tightest place where that lies below it.
std::vector<std::string> moments(const io::Household& house) {
    std::vector<std::string> texts;
    const auto& points = house.site.site.points;
    if (std::ranges::none_of(points,
                             [](const auto& point) { return point.control == site::Control::driven; }))
        return texts;
    const auto all = site::worst_moments(house.site.site, io::loads(house, {}), house.unattended);
    for (const auto& moment : all) {
        if (moment.node == 0) texts.push_back(moment_text(house, moment));
    }
    const auto tightest = site::tightest(house.site.site, all);
    if (tightest && tightest->node != 0)
        texts.push_back("the tightest place: " + moment_text(house, *tightest));
    return texts;
}

// A node may carry for hours no more than its described wire bears.
std::string wire_text(const io::Household& house, std::size_t node) {
    const auto bears = wire_bears(house.site.wiring[node]);
    if (!bears ||
        (bears->judged && bears->most >= floor_amps(site::continuous_limit(house.site.site.nodes[node]))))
        return {};
    return bears->judged ? fmt::format(
                               "    ITS WIRE BEARS {} FOR HOURS, less than its rating would let flow: lower "
                               "the rating or change the wire (lullwatt circuit)\n",
                               amps_text(bears->most))
                         : "    its wire could not be judged (lullwatt circuit says why)\n";
}

bool any_wire_short(const io::Household& house) {
    for (std::size_t node = 0; node < house.site.site.nodes.size(); ++node) {
        if (!wire_text(house, node).empty()) return true;
    }
    return false;
}

// The day on which the bill begins that follows the present one.
CivilDate next_bill(const io::Supply& supply, Instant now) {
    const CivilDate today{date::floor<date::days>(supply.clock.civil(now) - supply.tariff.day_start)};
    return tariff::bill_of(supply.tariff.bills, today).to;
}

std::string supply_text(const io::Household& house, const io::Supply& supply, Instant now) {
    return fmt::format("  contract {}: {}, metered at {}, next bill from {}\n", supply.contract.name,
                       supply.tariff.name, house.site.site.nodes[supply.contract.node].name,
                       date_text(next_bill(supply, now)));
}

// Prices that may be those of another year.
std::vector<std::string> old_prices(const io::Supply& supply, Instant now) {
    std::vector<std::string> lines;
    const CivilDate today{date::floor<date::days>(supply.clock.civil(now))};
    for (const io::Fault& notice : io::old_prices(supply.contract.tariff, today))
        lines.push_back(io::text(notice));
    return lines;
}

std::string report(const io::Household& house, Instant now) {
    std::string text = fmt::format(
        "{} ({}): {}\n\n", house.site.name, house.site.file.string(),
        any_unsafe(house)       ? "the files are readable, but it is NOT SAFE AT EVERY HOUR (below)."
        : any_wire_short(house) ? "the files are readable, but A WIRE DOES NOT BEAR ITS RATING (below)."
                                : "site, tariff and meter data are in order.");
    for (std::size_t node = 0; node < house.site.site.nodes.size(); ++node) {
        text += fmt::format("  {}: {}\n", house.site.site.nodes[node].name,
                            limit_text(house.site.site.nodes[node]));
        text += wire_text(house, node);
        text += other_limits_text(house.site.site, house.unattended, node);
        if (!house.site.loads[node]) {
            if (house.site.site.nodes[node].kind == site::NodeKind::feeder) {
                text +=
                    "    nothing but cars is reckoned on it: state a load under 'loads' if there is one\n";
            }
            continue;
        }
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
    for (const io::CarSettings& car : house.site.cars) text += car_text(house, car);
    for (const std::string& line : old_data(house, now)) text += "  " + line + "\n";
    text += '\n';
    for (const io::Supply& supply : house.supplies) {
        text += supply_text(house, supply, now);
        for (const std::string& line : old_prices(supply, now)) text += "  OLD PRICES: " + line + "\n";
    }
    const auto sentences = moments(house);
    if (!sentences.empty()) text += '\n';
    for (const std::string& sentence : sentences) text += "  " + sentence + "\n";
    return text + "\n" + kCautions + "\n";
}

std::string report_json(const io::Household& house, Instant now) {
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
        if (at.unbalance) entry["unbalance_amps"] = at.unbalance->count();
        for (const site::TimedCeiling& ceiling : at.ceilings) {
            entry["ceilings"].push_back({{"from", time_of_day_text(ceiling.from)},
                                         {"to", time_of_day_text(ceiling.to)},
                                         {"days", days_text(ceiling.days)},
                                         {"most_amps", ceiling.most.count()},
                                         {"basis", ceiling.basis}});
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
    for (const io::Supply& supply : house.supplies) {
        json["contracts"].push_back(
            {{"name", supply.contract.name},
             {"tariff", supply.tariff.name},
             {"node", house.site.site.nodes[supply.contract.node].name},
             {"next_bill", date::format("%F", date::sys_days{next_bill(supply, now)})},
             {"old_prices", old_prices(supply, now)}});
    }
    json["safe"] = !any_unsafe(house);
    json["wires_bear_their_ratings"] = !any_wire_short(house);
    json["if_this_server_dies"] = moments(house);
    json["cautions"] = kCautions;
    return json.dump(2);
}

struct CheckCommand {
    SiteOption site;
    std::string tariff;
};

Exit act(const CheckCommand& command, Shell& shell) {
    const SiteOption& option = command.site;
    if (!command.tariff.empty()) return check_tariff(command.tariff, option.json, shell);
    const Instant now = system_now();
    const auto house = io::load_household(site_path(option), now);
    if (!house.ok()) {
        print_faults(shell, house.faults(), option.json);
        if (!option.json)
            shell.err << fmt::format("{} fault{}.\n", house.faults().size(),
                                     house.faults().size() == 1 ? "" : "s");
        return Exit::refused;
    }
    shell.out << (option.json ? report_json(house.value(), now) + "\n" : report(house.value(), now));
    return any_unsafe(house.value()) || any_wire_short(house.value()) ? Exit::refused : Exit::done;
}

}  // namespace

Command add_check(CLI::App& app) {
    auto given = std::make_shared<CheckCommand>();
    CLI::App* command =
        app.add_subcommand("check", "Every fault of the site's files with its mend; what the site can bear");
    add_site_option(*command, given->site);
    command
        ->add_option("--tariff", given->tariff, "A tariff file to be checked by itself, instead of a site.")
        ->excludes("--site");
    command->footer(
        "Exit status: 0 all in order, 1 faults, or a point set by hand that is not safe at every "
        "hour.\nExamples:\n  lullwatt check --site "
        "config/harbour-row-9/site.yaml\n  lullwatt check --tariff config/tariffs/two-rate.yaml");
    return {command, [given](Shell& shell) { return act(*given, shell); }};
}

}  // namespace lullwatt::tools
