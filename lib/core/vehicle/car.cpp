#include "core/vehicle/car.hpp"

#include <cmath>

namespace lullwatt::vehicle {
namespace {

constexpr double kArrivalPercent = 30;  // ours (design §6)

MilliwattHours through_charger(const Car& car, double battery_watt_hours) {
    return MilliwattHours(std::llround(battery_watt_hours / car.efficiency * 1000));
}

MilliwattHours percent_of_battery(const Car& car, double percent) {
    return through_charger(car, static_cast<double>(car.battery.count()) * percent / 100);
}

struct ToRegister {
    const Car& car;

    std::optional<MilliwattHours> operator()(const RegisterEnergy& need) const { return need.energy; }
    std::optional<MilliwattHours> operator()(const ChargeRange& need) const {
        if (need.to < need.from) return std::nullopt;
        return percent_of_battery(car, need.to.percent - need.from.percent);
    }
    std::optional<MilliwattHours> operator()(const Distance& need) const {
        if (!car.per_100_km) return std::nullopt;
        return through_charger(car,
                               need.kilometres.count() / 100 * static_cast<double>(car.per_100_km->count()));
    }
    std::optional<MilliwattHours> operator()(const Fill& need) const {
        if (need.learned) return *need.learned;
        return percent_of_battery(car, 100 - (need.arrival ? need.arrival->percent : kArrivalPercent));
    }
};

}  // namespace

std::optional<MilliwattHours> energy_at_register(const Car& car, const Need& need) {
    return std::visit(ToRegister{car}, need);
}

bool told_at_battery(const Need& need) {
    const auto* fill = std::get_if<Fill>(&need);
    return fill != nullptr ? !fill->learned : !std::holds_alternative<RegisterEnergy>(need);
}

std::optional<StateOfCharge> charge_on_arrival(const Need& need) {
    if (const auto* range = std::get_if<ChargeRange>(&need)) return range->from;
    const auto* fill = std::get_if<Fill>(&need);
    if (fill == nullptr || fill->learned) return std::nullopt;
    return fill->arrival.value_or(StateOfCharge{kArrivalPercent});
}

MilliwattHours between(const Car& car, StateOfCharge from, StateOfCharge to) {
    return percent_of_battery(car, to.percent - from.percent);
}

}  // namespace lullwatt::vehicle
