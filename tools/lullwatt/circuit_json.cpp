#include <nlohmann/json.hpp>

#include "core/circuit/pilot.hpp"
#include "tools/lullwatt/circuit_text.hpp"
#include "tools/lullwatt/circuit_words.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

using Json = nlohmann::ordered_json;

Json amps_or_null(const std::optional<WholeAmps>& amps) { return amps ? Json(amps->count()) : Json(nullptr); }

Json sheet_json(const ReadingAdvice& reading) {
    Json json{{"method", circuit::title(reading.basis)}};
    if (const auto* why = std::get_if<circuit::NotApplicable>(&reading.outcome)) {
        json["not_for_this_dwelling"] = why->rule + " " + why->reason;
        return json;
    }
    const auto& sheet = std::get<circuit::Calculation>(reading.outcome);
    json["total_va"] = sheet.total.count();
    json["demand_amps"] = sheet.demand.count();
    json["rating_amps"] = sheet.rating.count();
    json["passes"] = sheet.passes();
    json["most_amps"] = amps_or_null(reading.most);
    for (const circuit::SheetLine& line : sheet.lines) {
        json["lines"].push_back({{"rule", line.rule},
                                 {"what", line.what},
                                 {"connected_va", line.connected.count()},
                                 {"factor", line.factor},
                                 {"counted_va", line.counted.count()},
                                 {"from_memory", line.from_memory}});
    }
    return json;
}

Json measured_json(const io::Household& house, const PointAdvice& advice) {
    const circuit::MeasuredDemand& measured = *advice.measured;
    Json json{{"usable", measured.usable()}, {"calculated_not_measured", measured.calculated}};
    for (const circuit::Condition& one : measured.conditions)
        json["conditions"].push_back(
            {{"rule", one.rule}, {"asks", one.what}, {"found", one.figures}, {"met", one.met}});
    if (!measured.usable()) return json;
    json["greatest_va"] = measured.greatest.count();
    if (measured.when) json["greatest_at"] = iso_text(house.zone, measured.when->begin);
    json["demand_amps"] = measured.demand.count();
    json["factor"] = measured.factor;
    json["limit_amps"] = measured.limit.count();
    json["left_amps"] = measured.left().count();
    if (measured.sliding_bound) json["sliding_bound_va"] = measured.sliding_bound->count();
    json["most_amps_at_100_percent"] = amps_or_null(measured.largest_setting(1, advice.beside_measured));
    json["most_amps_at_125_percent"] = amps_or_null(measured.largest_setting(1.25, advice.beside_measured));
    return json;
}

Json point_json(const io::Household& house, const PointAdvice& advice) {
    const site::Point& point = house.site.site.points[advice.point];
    Json json{{"name", point.name},
              {"known", advice.known()},
              {"most_amps", advice.known() ? Json(advice.most.count()) : Json(nullptr)},
              {"set_to_amps", point.hard_setting.count()},
              {"within", advice.within(point.hard_setting)},
              {"service_calculated",
               advice.service == ServiceAnswer::most || advice.service == ServiceAnswer::nothing_fits},
              {"service_most_amps",
               advice.service == ServiceAnswer::most ? Json(advice.service_most.count()) : Json(nullptr)},
              {"service_rule", advice.service_rule}};
    if (const auto signal = circuit::pilot_signal(point.hard_setting))
        json["pilot_duty_percent"] = signal->duty.count();
    for (const site::SettingCap& cap : advice.nodes) {
        json["nodes"].push_back({{"name", house.site.site.nodes[cap.node].name},
                                 {"limit_amps", cap.limit.count()},
                                 {"house_amps", cap.house.count()},
                                 {"other_points_amps", cap.other_points.count()},
                                 {"most_amps", cap.most.count()}});
    }
    for (const WireCap& wire : advice.wires)
        json["wires"].push_back({{"name", house.site.site.nodes[wire.node].name},
                                 {"judged", wire.judged},
                                 {"bears_amps", wire.bears.count()},
                                 {"most_amps", wire.most.count()}});
    if (advice.receptacle) json["receptacle_most_amps"] = advice.receptacle->count();
    for (const ReadingAdvice& reading : advice.readings) json["calculations"].push_back(sheet_json(reading));
    if (advice.measured) json["measured"] = measured_json(house, advice);
    for (const LegDemand& leg : advice.legs) {
        Json lines = Json::array();
        for (const circuit::DemandLine& line : leg.demand.lines)
            lines.push_back({{"loads", line.loads},
                             {"connected_amps", line.connected.count()},
                             {"counted_amps", line.demand.count()},
                             {"rule", line.rule}});
        json["legs"].push_back({{"leg", "L" + std::to_string(static_cast<int>(leg.leg) + 1)},
                                {"demand_amps", leg.demand.total.count()},
                                {"fuse_amps", leg.fuse.fuse.count()},
                                {"left_amps", leg.fuse.left.count()},
                                {"lines", lines}});
    }
    json["with_a_listed_energy_management_system_amps"] = advice.managed.count();
    return json;
}

Json cable_json(const CableOption& option) {
    const circuit::SizeJudgement& of = option.judgement;
    Json json{{"size_mm2", of.cable.size.count()}, {"installed", option.installed}, {"suits", of.suits()}};
    for (const circuit::CableLack lack : of.cable.lacks) json["not_judged"].push_back(lack_text(lack));
    for (const circuit::RuleOutcome& rule : of.cable.rules)
        json["conditions"].push_back({{"rule", cable_rule_text(rule.rule)},
                                      {"amps", rule.current.count()},
                                      {"limit_amps", rule.limit.count()},
                                      {"met", rule.met}});
    if (of.cable.tabulated)
        json["table"] =
            std::string(of.cable.tabulated->table) + ", " + evidence_text(of.cable.tabulated->evidence);
    if (of.cable.capacity) json["capacity_amps"] = of.cable.capacity->count();
    if (of.drop) {
        json["drop_volts"] = of.drop->drop.count();
        json["drop_percent"] = of.drop->percent.count();
        json["loss_watts"] = option.loss.watts.count();
        json["loss_kwh_a_year"] = option.loss.kilowatt_hours_a_year;
    }
    return json;
}

// What the installer entered; null was not checked.
Json entered_json(const io::CableSettings& cable) {
    const auto or_null = [](const auto& entered) { return entered ? Json(*entered) : Json(nullptr); };
    return {{"residual_current", or_null(cable.residual_current)},
            {"earthing", or_null(cable.earthing)},
            {"open_pen", or_null(cable.open_pen)},
            {"zs", or_null(cable.zs)},
            {"surge_protection", or_null(cable.surge_protection)},
            {"notified", or_null(cable.notified)},
            {"enough", protected_enough(cable)}};
}

Json conductor_json(const ConductorOption& option) {
    const circuit::ConductorJudgement& of = option.judgement;
    Json json{{"size", circuit::name(of.size)},
              {"metal", option.conductor.metal == circuit::Metal::copper ? "copper" : "aluminium"},
              {"wiring", wiring_name(option.conductor.wiring)},
              {"installed", option.installed},
              {"suits", of.suits()}};
    for (const circuit::ConductorLack lack : of.lacks)
        json["not_judged"].push_back(conductor_lack_text(lack));
    for (const circuit::ConductorOutcome& outcome : of.outcomes)
        json["conditions"].push_back({{"rule", rule_word(outcome.rule)},
                                      {"amps", outcome.current.count()},
                                      {"limit_amps", outcome.limit.count()},
                                      {"met", outcome.met}});
    if (const auto worst = option.worst_drop()) {
        json["drop_volts"] = worst->drop.count();
        json["drop_percent"] = worst->percent.count();
        json["loss_watts"] = option.loss->watts.count();
        json["loss_kwh_a_year"] = option.loss->kilowatt_hours_a_year;
    }
    if (option.grounding) json["grounding_conductor"] = circuit::name(option.grounding->size);
    return json;
}

}  // namespace

std::string circuit_json(const io::Household& house, const CircuitAnswer& answer) {
    Json json{{"site", house.site.name}, {"all_within", all_within(house, answer)}};
    for (const PointAdvice& advice : answer.points) json["points"].push_back(point_json(house, advice));
    for (const NodeWiring& at : answer.wiring) {
        Json wiring{{"node", house.site.site.nodes[at.node].name},
                    {"current_amps", at.current.count()},
                    {"suits", suits(at)}};
        for (const CableOption& option : at.cables) wiring["cables"].push_back(cable_json(option));
        for (const ConductorOption& option : at.conductors)
            wiring["conductors"].push_back(conductor_json(option));
        if (const auto& cable = house.site.wiring[at.node].cable) wiring["entered"] = entered_json(*cable);
        if (at.raceway && at.raceway->fill) wiring["raceway_fits"] = at.raceway->fill->fits();
        json["wiring"].push_back(std::move(wiring));
    }
    json["added"] = answer.added;
    json["cautions"] = kCircuitCautions;
    json["emergency"] = kEmergency;
    return json.dump(2);
}

}  // namespace lullwatt::tools
