#include "tools/lullwatt/circuit_wiring.hpp"

#include <algorithm>

namespace lullwatt::tools {
namespace {

constexpr double kAssumedYear = 2500;  // kWh, ours; printed as assumed
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
    const auto prices = io::prices(house, {now, now + Seconds{7 * 86400}});
    if (prices.ok()) {
        for (const tariff::PricePiece& piece : prices.value())
            year.rate = year.rate ? std::min(*year.rate, piece.marginal) : piece.marginal;
    }
    return year;
}

// Charging always at what is set: the loss is there for as long as the energy takes.
WireLoss loss_of(Watts watts, Watts charging, const YearOfCharging& year) {
    return {watts, year.kilowatt_hours * watts.count() / charging.count()};
}

std::vector<CableOption> cable_options(const io::Household& house, const io::CableSettings& cable,
                                       const NodeWiring& at) {
    circuit::RunCase run = cable.run;
    run.cable.design_current = at.current;
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

}  // namespace

std::vector<NodeWiring> judge_wiring(const io::Household& house, Instant now) {
    std::vector<NodeWiring> all;
    const site::Site& site = house.site.site;
    for (std::size_t node = 0; node < site.nodes.size(); ++node) {
        const io::Wiring& wiring = house.site.wiring[node];
        if (!wiring.cable) continue;
        NodeWiring at{.node = node};
        for (std::size_t point = 0; point < site.points.size(); ++point) {
            if (hangs_on(site, point, node)) at.current = at.current + site.points[point].hard_setting;
        }
        if (at.current == WholeAmps(0)) continue;
        at.year = year_of(house, node, now);
        at.cables = cable_options(house, *wiring.cable, at);
        all.push_back(std::move(at));
    }
    return all;
}

}  // namespace lullwatt::tools
