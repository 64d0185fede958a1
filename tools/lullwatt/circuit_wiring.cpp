#include "tools/lullwatt/circuit_wiring.hpp"

#include <algorithm>
#include <cmath>

namespace lullwatt::tools {
namespace {

constexpr double kAssumedYear = 2500;  // kWh, ours; printed as assumed
constexpr WholeAmps kLeast{6};
constexpr double kWeeksAYear = 365.25 / 7;

bool hangs_on(const site::Site& site, std::size_t point, std::size_t node) {
    const auto way = site::path(site, site.points[point]);
    return std::ranges::find(way, node) != way.end();
}

YearOfCharging year_of(const io::Household& house, std::size_t node, Instant now) {
    YearOfCharging year;
    for (const io::CarSettings& car : house.site.cars) {
        if (!hangs_on(house.site.site, car.point, node)) continue;
        for (const vehicle::Habit& habit : car.habits) {
            const auto days = std::ranges::count(habit.days, true);
            const double per_km = static_cast<double>(car.car.per_100_km->count()) / 100 / 1000;
            year.kilowatt_hours += static_cast<double>(days) * habit.distance.count() * per_km * kWeeksAYear;
        }
    }
    year.assumed = year.kilowatt_hours == 0;
    if (year.assumed) year.kilowatt_hours = kAssumedYear;
    const auto prices = io::prices_at(house, node, {now, now + Seconds{7 * 86400}});
    if (prices.ok()) {
        for (const tariff::PricePiece& piece : prices.value())
            year.rate = year.rate ? std::min(*year.rate, piece.marginal) : piece.marginal;
    }
    return year;
}

// The most loaded leg of a node: points as they are set, and the house at its worst, which counts as lasting.
void load(const io::Household& house, NodeWiring& at) {
    for (const site::Leg leg : site::kLegs) {
        WholeAmps points;
        for (const site::Point& point : house.site.site.points) {
            const auto way = site::path(house.site.site, point);
            if (point.legs.has(leg) && std::ranges::find(way, at.node) != way.end())
                points = points + point.hard_setting;
        }
        const WholeAmps beside = ceil_amps(house.worst[at.node].greatest(leg));
        if (points == WholeAmps(0) || points + beside <= at.current) continue;
        at.current = points + beside;
        at.house = beside;
    }
}

// Parents stand before their children, so what is above a node has been judged before it.
circuit::Percent dropped_before(const io::Household& house, const std::vector<NodeWiring>& judged,
                                std::size_t node) {
    circuit::Percent dropped;
    for (auto above = house.site.site.nodes[node].parent; above;
         above = house.site.site.nodes[*above].parent) {
        const auto found = std::ranges::find(judged, *above, &NodeWiring::node);
        if (found == judged.end()) continue;
        if (!found->conductors.empty()) {
            if (const auto worst = found->conductors.front().worst_drop()) dropped += worst->percent;
        }
        if (!found->cables.empty() && found->cables.front().judgement.drop)
            dropped += found->cables.front().judgement.drop->percent;
    }
    return dropped;
}

// Charging always at what is set: the loss is there for as long as the energy takes.
WireLoss loss_of(Watts watts, Watts charging, const YearOfCharging& year) {
    return {watts, year.kilowatt_hours * watts.count() / charging.count()};
}

std::vector<CableOption> cable_options(const io::Household& house, const io::CableSettings& cable,
                                       const NodeWiring& at) {
    circuit::RunCase run = cable.run;
    run.cable.design_current = at.current;
    run.drop_allowed -= at.dropped_before;
    const site::Node& node = house.site.site.nodes[at.node];
    const Watts charging = Watts(
        site::watts_per_ampere(house.site.site.supply, house.site.site.leg_to_neutral, node.legs).count() *
        at.current.count());
    std::vector<CableOption> options;
    const auto add = [&](circuit::SquareMillimetres size) {
        CableOption option{.judgement = circuit::judge_run(run, size), .installed = size == cable.size};
        if (option.judgement.drop) option.loss = loss_of(option.judgement.drop->loss, charging, at.year);
        options.push_back(std::move(option));
    };
    add(cable.size);
    run.cable.capacity.reset();  // an entered capacity is the installed cable's alone
    const auto search = circuit::smallest_cable(run);
    if (!search.smallest) return options;
    std::size_t shown = 0;
    for (const circuit::SquareMillimetres size : circuit::kCableSizes) {
        if (size < *search.smallest || size == cable.size || shown == 3) continue;
        add(size);
        ++shown;
    }
    return options;
}

// The same conductor again, with its drop, its loss and its grounding conductor.
ConductorOption conductor_option(const circuit::ConductorCase& conductor, circuit::WireSize size,
                                 Metres length, Volts across, bool three_phase, const NodeWiring& at) {
    ConductorOption option{.conductor = conductor, .judgement = circuit::judge_conductor(conductor, size)};
    const circuit::RunSupply supply{across, three_phase ? circuit::Phases::three : circuit::Phases::single};
    const auto current = Amps(at.current);
    if (const auto direct = circuit::dc_resistance(conductor.metal, circuit::Build::stranded, size))
        option.direct = circuit::run_drop(*direct, supply, circuit::feet(length), current);
    if (const auto impedance = circuit::ac_impedance(conductor.metal, circuit::Conduit::pvc, size))
        option.alternating = circuit::run_drop(*impedance, 1, supply, circuit::feet(length), current);
    const Watts charging(across.count() * current.count() * (three_phase ? std::sqrt(3.0) : 1));
    if (const auto worst = option.worst_drop()) option.loss = loss_of(worst->loss, charging, at.year);
    if (conductor.code == circuit::Code::nec) {
        const auto minimum = circuit::smallest_conductor(conductor);
        option.grounding = circuit::grounding_conductor(conductor.metal, conductor.device,
                                                        minimum ? std::min(*minimum, size) : size, size);
    }
    return option;
}

std::optional<RacewayAnswer> raceway_answer(const io::WireSettings& wire, const site::Node& node,
                                            const ConductorOption& installed) {
    if (!wire.raceway) return std::nullopt;
    circuit::ConductorMix mix = wire.raceway->already;
    // A single leg has its neutral anyhow.
    mix.push_back(
        {std::max(2, node.legs.count()) + (wire.neutral && node.legs.count() > 1 ? 1 : 0), wire.size});
    mix.push_back({1, installed.grounding ? installed.grounding->size : wire.size});
    return RacewayAnswer{circuit::raceway_fill(wire.raceway->raceway, wire.raceway->size, mix),
                         circuit::smallest_raceway(wire.raceway->raceway, mix)};
}

void judge_wire(const io::Household& house, const io::WireSettings& wire, NodeWiring& at) {
    const site::Node& node = house.site.site.nodes[at.node];
    const bool three = node.legs.count() == 3;
    const Volts across(
        three ? house.site.site.leg_to_neutral.count() * std::sqrt(3.0)
              : site::watts_per_ampere(house.site.site.supply, house.site.site.leg_to_neutral, node.legs)
                    .count());
    circuit::ConductorCase conductor = wire.conductor;
    conductor.continuous = at.current;
    at.conductors.push_back(conductor_option(conductor, wire.size, wire.length, across, three, at));
    at.conductors.front().installed = true;
    at.raceway = raceway_answer(wire, node, at.conductors.front());
    for (const circuit::WireOption& other : circuit::wire_options(conductor)) {
        const bool same = other.smallest == wire.size && other.conductor.wiring == conductor.wiring &&
                          other.conductor.metal == conductor.metal &&
                          other.conductor.terminals == conductor.terminals;
        const bool dry = other.conductor.wiring == circuit::Wiring::nm_b ||
                         other.conductor.wiring == circuit::Wiring::nmd90;
        if (!other.smallest || same || (wire.detached && dry)) continue;
        // In Canada a drop of more than 3 % is forbidden: then the next size that drops less.
        for (auto size = std::ranges::find(circuit::kWireSizes, *other.smallest);
             size != circuit::kWireSizes.end(); ++size) {
            auto option = conductor_option(other.conductor, *size, wire.length, across, three, at);
            if (!option.judgement.suits() || drops_too_much(option, at)) continue;
            at.conductors.push_back(std::move(option));
            break;
        }
    }
}

}  // namespace

bool drops_too_much(const ConductorOption& option, const NodeWiring& at) {
    if (option.conductor.code != circuit::Code::cec) return false;
    const auto worst = option.worst_drop();
    return worst && (worst->percent > circuit::kBranchDrop ||
                     worst->percent + at.dropped_before > circuit::kTotalDrop);
}

std::optional<circuit::RunDrop> ConductorOption::worst_drop() const {
    if (!direct || !alternating) return direct ? direct : alternating;
    return alternating->drop > direct->drop ? alternating : direct;
}

std::optional<WireBears> wire_bears(const io::Wiring& wiring) {
    if (wiring.cable) {
        circuit::CableCase cable = wiring.cable->run.cable;
        cable.design_current = cable.device.rating;
        const auto judgement = circuit::judge_cable(cable, wiring.cable->size);
        if (!judgement.lacks.empty()) return WireBears{WholeAmps(0), false};
        return WireBears{judgement.suits() ? floor_amps(cable.device.rating) : WholeAmps(0)};
    }
    if (!wiring.wire) return std::nullopt;
    circuit::ConductorCase conductor = wiring.wire->conductor;
    for (int amps = static_cast<int>(conductor.device.count()); amps >= kLeast.count(); --amps) {
        conductor.continuous = WholeAmps(amps);
        const auto judgement = circuit::judge_conductor(conductor, wiring.wire->size);
        if (!judgement.lacks.empty()) return WireBears{WholeAmps(0), false};
        if (judgement.suits()) return WireBears{WholeAmps(amps)};
    }
    return WireBears{WholeAmps(0)};
}

std::vector<NodeWiring> judge_wiring(const io::Household& house, Instant now) {
    std::vector<NodeWiring> all;
    const site::Site& site = house.site.site;
    for (std::size_t node = 0; node < site.nodes.size(); ++node) {
        const io::Wiring& wiring = house.site.wiring[node];
        if (!wiring.cable && !wiring.wire) continue;
        NodeWiring at{.node = node};
        load(house, at);
        if (at.current == WholeAmps(0)) continue;
        at.dropped_before = dropped_before(house, all, node);
        at.year = year_of(house, node, now);
        if (wiring.cable) at.cables = cable_options(house, *wiring.cable, at);
        if (wiring.wire) judge_wire(house, *wiring.wire, at);
        all.push_back(std::move(at));
    }
    return all;
}

}  // namespace lullwatt::tools
