#include "tools/lullwatt/circuit_advice.hpp"

#include <algorithm>
#include <map>

#include "core/circuit/pilot.hpp"
#include "tools/lullwatt/circuit_wiring.hpp"

namespace lullwatt::tools {
namespace {

constexpr WholeAmps kMost{80};
constexpr WholeAmps kLeast{6};

EnergySeries leg_series(const site::MeterHistory& history, std::size_t leg) {
    EnergySeries series;
    for (const site::HistoryRow& row : history.rows)
        series.push_back({row.when, row.energy[leg], row.quality});
    return series;
}

circuit::MeasuredDemand measure(const io::DwellingSettings& dwelling, const MeterData& data, Instant now) {
    const io::MeasuredSettings& stated = *dwelling.measured;
    circuit::MeasuredInput input{.code = dwelling.code,
                                 .cars = stated.cars,
                                 .generation_or_storage = stated.generation_or_storage,
                                 .occupied = stated.occupied,
                                 .seasonal = stated.seasonal,
                                 .power_factor = stated.power_factor,
                                 .hourly_correction = stated.hourly_correction,
                                 .across = dwelling.dwelling.across,
                                 .three_phase = dwelling.dwelling.three_phase,
                                 .service = dwelling.dwelling.service};
    if (data.service) {
        input.total = site::totals(*data.service);
        for (const site::Leg leg : site::kLegs) {
            if (data.service->legs.has(leg))
                input.legs.push_back(leg_series(*data.service, static_cast<std::size_t>(leg)));
        }
    }
    if (data.cars) input.cars_metered = site::totals(*data.cars);
    return circuit::measured_demand(input, now);
}

// A method may be chosen, its open questions are the authority's to answer: the best method by its strictest
// reading.
void decide_by_readings(PointAdvice& advice) {
    std::map<circuit::Method, const ReadingAdvice*> strictest;
    for (const ReadingAdvice& reading : advice.readings) {
        if (std::holds_alternative<circuit::NotApplicable>(reading.outcome)) continue;
        const auto [held, added] = strictest.try_emplace(reading.basis.method, &reading);
        if (!added && reading.most.value_or(WholeAmps(0)) < held->second->most.value_or(WholeAmps(0)))
            held->second = &reading;
    }
    for (const auto& [method, reading] : strictest) {
        if (advice.service == ServiceAnswer::no_method) advice.service = ServiceAnswer::nothing_fits;
        if (!reading->most || *reading->most <= advice.service_most) continue;
        advice.service = ServiceAnswer::most;
        advice.service_most = *reading->most;
        advice.service_rule = circuit::title(reading->basis);
    }
}

void decide_by_measurement(const io::DwellingSettings& dwelling, PointAdvice& advice) {
    if (!advice.measured || !advice.measured->usable() || advice.measured->calculated) return;
    const bool nec = dwelling.code == circuit::Code::nec;
    const auto most = advice.measured->largest_setting(nec ? 1.25 : 1, advice.beside_measured);
    if (advice.service == ServiceAnswer::no_method) advice.service = ServiceAnswer::nothing_fits;
    if (!most || *most <= advice.service_most) return;
    advice.service = ServiceAnswer::most;
    advice.service_most = *most;
    advice.service_rule =
        nec ? "NEC 220.87 measured demand, equipment at 125 %" : "C22.1 8-106 measured demand";
}

// Whatever no meter has seen: the other points, whose cars may or may not be in the data, and loads to come.
Amps beside_measured(const io::DwellingSettings& dwelling, std::size_t point, const MeterData& data) {
    const double share = dwelling.code == circuit::Code::nec ? 1.25 : 1;
    VoltAmperes others = data.added;
    for (std::size_t other = 0; other < dwelling.dwelling.equipment.size(); ++other) {
        const circuit::Equipment& one = dwelling.dwelling.equipment[other];
        if (other != point) others += one.per_ampere * (share * one.setting.count());
    }
    return Amps(others.count() / dwelling.dwelling.across.count());
}

void calculate_american(const io::DwellingSettings& dwelling, std::size_t point, const MeterData& data,
                        Instant now, PointAdvice& advice) {
    advice.service = ServiceAnswer::no_method;
    for (const circuit::Basis& basis :
         circuit::readings(dwelling.code, dwelling.edition, dwelling.dwelling, dwelling.adds_climate)) {
        advice.readings.push_back({basis, circuit::calculate(dwelling.dwelling, basis),
                                   circuit::largest_setting(dwelling.dwelling, point, basis)});
    }
    if (dwelling.measured) advice.measured = measure(dwelling, data, now);
    advice.beside_measured = beside_measured(dwelling, point, data);
    decide_by_readings(advice);
    decide_by_measurement(dwelling, advice);
}

void calculate_iec(const io::Household& house, std::size_t point, PointAdvice& advice) {
    const site::Site& site = house.site.site;
    advice.service = ServiceAnswer::most;
    advice.service_most = kMost;
    advice.service_rule = "main fuse against the maximum demand with diversity (IET On-Site Guide Table A2)";
    for (const site::Leg leg : site::kLegs) {
        if (!site.points[point].legs.has(leg)) continue;
        std::vector<circuit::HouseholdLoad> loads;
        for (const io::HouseholdSettings& one : house.site.dwelling->household) {
            if (one.legs.has(leg)) loads.push_back(one.load);
        }
        for (std::size_t other = 0; other < site.points.size(); ++other) {
            if (other == point || !site.points[other].legs.has(leg)) continue;
            loads.push_back({site.points[other].name, circuit::HouseholdUse::charging_point,
                             site.points[other].hard_setting});
        }
        LegDemand demand{leg, circuit::household_demand(loads), {}};
        demand.fuse = circuit::check_main_fuse(demand.demand.total, site.nodes[0].rating);
        advice.service_most = std::min(advice.service_most, circuit::settable(demand.fuse.left));
        advice.legs.push_back(std::move(demand));
    }
    if (advice.service_most < kLeast) advice.service = ServiceAnswer::nothing_fits;
}

}  // namespace

bool PointAdvice::known() const {
    const bool service_known = service == ServiceAnswer::nothing_fits || service == ServiceAnswer::most;
    return service_known && std::ranges::all_of(wires, [](const WireCap& wire) { return wire.judged; });
}

PointAdvice advise(const io::Household& house, std::size_t point, const MeterData& data, Instant now) {
    const site::Site& site = house.site.site;
    PointAdvice advice{.point = point};
    advice.nodes = site::setting_caps(site, point, io::loads(house, {}));
    advice.managed = kMost;
    for (const site::SettingCap& cap : advice.nodes) {
        advice.managed = std::min(advice.managed, cap.most);
        const auto bears = wire_bears(house.site.wiring[cap.node]);
        if (!bears) continue;
        advice.wires.push_back(
            {cap.node, bears->most, bears->judged,
             circuit::settable(floor_amps(Amps(bears->most) - cap.house - cap.other_points))});
        if (bears->judged) advice.managed = std::min(advice.managed, advice.wires.back().most);
    }
    if (site.points[point].receptacle) {
        advice.receptacle = circuit::settable(floor_amps(*site.points[point].receptacle * 0.8));
        advice.managed = std::min(advice.managed, *advice.receptacle);
    }
    if (house.site.dwelling) {
        if (house.site.dwelling->rules == io::Rules::iec) {
            calculate_iec(house, point, advice);
        } else {
            calculate_american(*house.site.dwelling, point, data, now, advice);
        }
    }
    advice.most = advice.managed;
    if (advice.service == ServiceAnswer::most) advice.most = std::min(advice.most, advice.service_most);
    if (advice.service == ServiceAnswer::nothing_fits || advice.most < kLeast) advice.most = WholeAmps(0);
    if (advice.managed < kLeast) advice.managed = WholeAmps(0);
    return advice;
}

}  // namespace lullwatt::tools
