#include "core/circuit/sheet.hpp"

#include <algorithm>
#include <cmath>

namespace lullwatt::circuit {
namespace {

constexpr double kVoltAmperesPerSquareFoot = 3;  // 220.14(J), 220.41 since 2023
constexpr double kVoltAmperesPerSquareMetre = 33;
constexpr VoltAmperes kSmallApplianceCircuit{1500};  // 220.52(A)
constexpr VoltAmperes kLaundryCircuit{1500};         // 220.52(B)
constexpr VoltAmperes kLeastEquipment{7200};         // 220.57, new in 2023
constexpr int kManyHeaters = 4;

// 120.41 of 2026 has two volt-amperes where earlier editions have three.
double per_area(const FloorArea& area, int edition) {
    const double of_2026 = edition >= 2026 ? 2.0 / 3 : 1;
    return (area.in_feet() ? kVoltAmperesPerSquareFoot : kVoltAmperesPerSquareMetre) * of_2026;
}

std::string rounded(double number) { return std::to_string(std::llround(number)); }

VoltAmperes pump(const ClimateLoad& load, double supplemental_factor) {
    const VoltAmperes compressor = load.interlocked ? VoltAmperes(0) : load.power;
    return std::max(load.power, compressor + load.supplemental * supplemental_factor);
}

void join(std::string& words, const std::string& more) { words += (words.empty() ? "" : ", ") + more; }

// `controls`: of all separate heaters of the dwelling together.
void add_heating(const ClimateLoad& load, int controls, bool optional, ClimateSum& sum) {
    switch (load.kind) {
        case ClimateKind::air_conditioning:
            return;
        case ClimateKind::heat_pump: {
            sum.heating += pump(load, optional ? 0.65 : 1.0);
            const bool has_more = load.supplemental > VoltAmperes(0);
            join(sum.heating_words, load.name + (has_more && optional ? ", supplemental heat at 65 %" : ""));
            return;
        }
        case ClimateKind::central_heat:
            sum.heating += load.power * (optional ? 0.65 : 1.0);
            join(sum.heating_words, load.name + (optional ? " at 65 %" : ""));
            return;
        case ClimateKind::separate_heaters: {
            const bool many = controls >= kManyHeaters;
            const VoltAmperes counted = load.power * (optional ? (many ? 0.40 : 0.65) : 1.0);
            sum.heating += counted;
            if (many) sum.heaters += counted;
            sum.from_memory |= optional && !many;
            join(sum.heating_words, load.name + (optional ? (many ? " at 40 %" : " at 65 %") : ""));
            return;
        }
        case ClimateKind::thermal_storage:
            sum.heating += load.power;
            sum.from_memory |= optional;
            join(sum.heating_words, load.name);
            return;
    }
}

}  // namespace

void Sheet::tiers(const std::string& rule, const std::string& what, VoltAmperes pool, VoltAmperes first,
                  double factor) {
    add(rule, "the first " + volt_amperes_text(first) + " of " + what, std::min(pool, first));
    add(rule, "the rest of it", std::max(VoltAmperes(0), pool - first), factor);
}

Calculation Sheet::finish(const Dwelling& dwelling) && {
    const double volts = dwelling.across.count() * (dwelling.three_phase ? std::sqrt(3.0) : 1.0);
    calculation_.demand = Amps(calculation_.total.count() / volts);
    calculation_.rating = dwelling.service;
    return std::move(calculation_);
}

std::string volt_amperes_text(VoltAmperes power) { return rounded(power.count()) + " VA"; }

VoltAmperes at_setting(const Equipment& equipment) {
    return equipment.per_ampere * static_cast<double>(equipment.setting.count());
}

VoltAmperes equipment_load(const Equipment& equipment, int edition) {
    return edition >= 2023 && edition < 2026 ? std::max(kLeastEquipment, at_setting(equipment))
                                             : at_setting(equipment);
}

bool any(const Dwelling& dwelling, ApplianceKind kind) {
    return std::ranges::any_of(dwelling.appliances, [&](const Appliance& one) { return one.kind == kind; });
}

VoltAmperes sum(const Dwelling& dwelling, ApplianceKind kind) {
    VoltAmperes total;
    for (const Appliance& one : dwelling.appliances) {
        if (one.kind == kind) total += one.nameplate;
    }
    return total;
}

ClimateSum climate(const Dwelling& dwelling, ClimateFactors factors) {
    ClimateSum sum;
    int controls = 0;
    for (const ClimateLoad& load : dwelling.climate) {
        if (load.kind == ClimateKind::separate_heaters) controls += load.controls;
    }
    for (const ClimateLoad& load : dwelling.climate) {
        add_heating(load, controls, factors == ClimateFactors::nec_optional, sum);
        if (load.kind == ClimateKind::air_conditioning) {
            sum.cooling += load.power;
            join(sum.cooling_words, load.name);
        }
    }
    return sum;
}

VoltAmperes list_general(const Dwelling& dwelling, int edition, const char* rule, Sheet& sheet) {
    VoltAmperes total;
    const auto list = [&](const char* by, const std::string& what, VoltAmperes power) {
        if (power == VoltAmperes(0)) return;
        sheet.list(by, what, power);
        total += power;
    };
    for (const FloorArea* area : {&dwelling.living, &dwelling.below_ground}) {
        const double amount = area->in_feet() ? area->square_feet().count() : area->square_metres().count();
        const double each = per_area(*area, edition);
        list(rule,
             "floor area, " + rounded(amount) + (area->in_feet() ? " sq ft" : " m2") + " at " +
                 rounded(each) + " VA",
             VoltAmperes(amount * each));
    }
    const int small = std::max(2, dwelling.small_appliance_circuits);
    list("220.52(A)", std::to_string(small) + " small-appliance circuits at 1500 VA",
         kSmallApplianceCircuit * small);
    list(
        "220.52(B)",
        std::to_string(dwelling.laundry_circuits) +
            (dwelling.laundry_circuits == 1 ? " laundry circuit at 1500 VA" : " laundry circuits at 1500 VA"),
        kLaundryCircuit * dwelling.laundry_circuits);
    return total;
}

}  // namespace lullwatt::circuit
