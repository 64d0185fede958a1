#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include "core/circuit/sheet.hpp"

// NFPA 70 Article 220 Part IV, dwelling units, by the secondary sources named beside the tests of each
// figure.
namespace lullwatt::circuit {
namespace {

constexpr Amps kLeastOptionalService{100};

std::optional<NotApplicable> wrong_supply(const Dwelling& dwelling, const char* rule) {
    const bool fits =
        !dwelling.three_phase && (dwelling.across == Volts(240) || dwelling.across == Volts(208));
    if (fits) return std::nullopt;
    return NotApplicable{rule, "is for a three-wire supply of 120/240 V or 208Y/120 V"};
}

// Nameplates of all that is fastened in place, permanently connected or on a circuit of its own.
VoltAmperes list_appliances(const Dwelling& dwelling, const char* rule, Sheet& sheet) {
    VoltAmperes total;
    for (const Appliance& one : dwelling.appliances) {
        sheet.list(rule, one.name, one.nameplate);
        total += one.nameplate;
    }
    return total;
}

VoltAmperes list_equipment(const Dwelling& dwelling, const Basis& basis, Sheet& sheet) {
    VoltAmperes total;
    for (const Equipment& one : dwelling.equipment) {
        const VoltAmperes load = equipment_load(one, basis.edition);
        sheet.list(load > at_setting(one) ? "220.57" : "625.42",
                   one.name + ", set to " + std::to_string(one.setting.count()) + " A" +
                       (load > at_setting(one) ? " but counted at least 7200 VA" : ""),
                   load);
        total += load;
    }
    return total;
}

void add_equipment(const Dwelling& dwelling, const Basis& basis, Sheet& sheet) {
    for (const Equipment& one : dwelling.equipment) {
        const VoltAmperes load = equipment_load(one, basis.edition);
        const bool continuous = basis.equipment == EquipmentReading::outside_125;
        std::string what = one.name + ", set to " + std::to_string(one.setting.count()) + " A";
        if (load > at_setting(one)) what += ", counted at least 7200 VA (220.57)";
        sheet.add(continuous ? "625.42, 230.42(A)" : "625.42", what, load, continuous ? 1.25 : 1.0);
    }
}

}  // namespace

Outcome nec_optional(const Dwelling& dwelling, const Basis& basis) {
    const bool of_2026 = basis.edition >= 2026;
    const char* rule = of_2026 ? "120.82" : "220.82";
    if (auto wrong = wrong_supply(dwelling, rule)) return *std::move(wrong);
    if (dwelling.service < kLeastOptionalService)
        return NotApplicable{rule, "is for a service or feeder of 100 A and more"};
    if (of_2026 && !dwelling.climate.empty()) {
        return NotApplicable{rule,
                             "its factors for heating and cooling in the 2026 edition are not known to "
                             "this program; calculate under the edition your authority has adopted"};
    }
    Sheet sheet;
    VoltAmperes pool = list_general(dwelling, basis.edition, of_2026 ? "120.82(B)" : "220.82(B)", sheet);
    pool += list_appliances(dwelling, of_2026 ? "120.82(B)" : "220.82(B)", sheet);
    if (basis.equipment == EquipmentReading::in_pool) pool += list_equipment(dwelling, basis, sheet);
    sheet.tiers(of_2026 ? "120.82(B)" : "220.82(B)", "the general load", pool,
                VoltAmperes(of_2026 ? 8000 : 10000), 0.40);
    const ClimateSum weather = climate(dwelling, ClimateFactors::nec_optional);
    const bool heats = weather.heating > weather.cooling;
    sheet.add("220.82(C)", heats ? weather.heating_words : weather.cooling_words,
              heats ? weather.heating : weather.cooling, 1, heats && weather.from_memory);
    if (basis.equipment != EquipmentReading::in_pool) add_equipment(dwelling, basis, sheet);
    return std::move(sheet).finish(dwelling);
}

Outcome nec_existing(const Dwelling& dwelling, const Basis& basis) {
    const char* rule = basis.adds_climate ? "220.83(B)" : "220.83(A)";
    if (basis.edition >= 2026)
        return NotApplicable{"120.83", "the percentages of its table are not known to this program"};
    if (auto wrong = wrong_supply(dwelling, rule)) return *std::move(wrong);
    Sheet sheet;
    VoltAmperes pool = list_general(dwelling, basis.edition, rule, sheet);
    pool += list_appliances(dwelling, rule, sheet);
    if (basis.equipment == EquipmentReading::in_pool) pool += list_equipment(dwelling, basis, sheet);
    // 220.60: of heating and cooling only the larger.
    const ClimateSum weather = climate(dwelling, ClimateFactors::connected);
    const bool heats = weather.heating > weather.cooling;
    const std::string& words = heats ? weather.heating_words : weather.cooling_words;
    const VoltAmperes whole = heats ? weather.heating : weather.cooling;
    const bool apart = basis.adds_climate || basis.climate == ClimateReading::outside_100;
    // Under (B) four and more separately controlled heaters stay in the pool (from memory).
    const VoltAmperes pooled = !apart                        ? whole
                               : basis.adds_climate && heats ? weather.heaters
                                                             : VoltAmperes(0);
    if (pooled > VoltAmperes(0)) {
        sheet.list(apart ? rule : "220.60", words + (apart ? ", four and more heaters" : ""), pooled);
        pool += pooled;
    }
    sheet.tiers(rule, "the loads", pool, VoltAmperes(8000), 0.40);
    sheet.add(rule, words, whole - pooled, 1, apart && pooled > VoltAmperes(0));
    if (basis.equipment != EquipmentReading::in_pool) add_equipment(dwelling, basis, sheet);
    return std::move(sheet).finish(dwelling);
}

namespace {

// Table 220.55, column C: a range of up to 12 kW counts 8 kW, and 5 % more for each kW or greater part of one
// above (note 1). Counter-mounted cooking units of one kitchen count together (note 4). Both notes from
// memory.
void add_cooking(const Dwelling& dwelling, Sheet& sheet) {
    std::vector<std::pair<std::string, VoltAmperes>> ranges;
    const VoltAmperes counter = sum(dwelling, ApplianceKind::cooking);
    if (counter > VoltAmperes(0)) ranges.emplace_back("cooking units together", counter);
    for (const Appliance& one : dwelling.appliances) {
        if (one.kind == ApplianceKind::range) ranges.emplace_back(one.name, one.nameplate);
    }
    const bool several = ranges.size() > 1 || counter > VoltAmperes(0);
    for (const auto& [name, nameplate] : ranges) {
        const double above = std::max(0.0, nameplate.count() - 12000) / 1000;
        const double steps = std::floor(above + 0.5);
        const VoltAmperes counted = std::min(nameplate, VoltAmperes(8000 * (1 + 0.05 * steps)));
        sheet.add("220.55", name, nameplate, counted.count() / nameplate.count(), steps > 0 || several);
    }
}

// 220.53: four and more appliances fastened in place count three quarters; not ranges, dryers, heating,
// cooling or cars' equipment.
void add_fixed(const Dwelling& dwelling, Sheet& sheet) {
    std::vector<Appliance> fixed;
    for (const Appliance& one : dwelling.appliances) {
        const bool elsewhere = one.kind == ApplianceKind::range || one.kind == ApplianceKind::cooking ||
                               one.kind == ApplianceKind::dryer;
        if (!elsewhere) fixed.push_back(one);
    }
    for (const Appliance& one : fixed)
        sheet.add("220.53", one.name, one.nameplate, fixed.size() >= 4 ? 0.75 : 1.0);
}

// 220.50, 430.24: a quarter of the largest motor on top.
void add_largest_motor(const Dwelling& dwelling, bool heats, Sheet& sheet) {
    VoltAmperes largest;
    std::string name;
    const auto look = [&](const std::string& who, VoltAmperes power) {
        if (power <= largest) return;
        largest = power;
        name = who;
    };
    for (const Appliance& one : dwelling.appliances) {
        if (one.kind == ApplianceKind::motor) look(one.name, one.nameplate);
    }
    for (const ClimateLoad& load : dwelling.climate) {
        const bool cools = load.kind == ClimateKind::air_conditioning;
        if (load.motor && cools != heats) look(load.name, load.power);
    }
    sheet.add("220.50, 430.24", "a quarter more of the largest motor, " + name, largest, 0.25);
}

}  // namespace

Outcome nec_standard(const Dwelling& dwelling, const Basis& basis) {
    if (basis.edition >= 2026)
        return NotApplicable{"120 Part III", "the changes of the 2026 edition are not known to this program"};
    if (dwelling.three_phase)
        return NotApplicable{"220 Part III",
                             "is not laid out here leg by leg, as a three-phase service asks"};
    if (dwelling.across < Volts(200))
        return NotApplicable{"220 Part III", "is laid out here for 120/240 V and 208Y/120 V supplies"};
    Sheet sheet;
    const VoltAmperes general = list_general(dwelling, basis.edition, "220 Part II", sheet);
    const char* table = basis.edition >= 2023 ? "220.45" : "220.42";
    sheet.add(table, "the first 3000 VA of lighting and small appliances",
              std::min(general, VoltAmperes(3000)));
    sheet.add(table, "the next 117000 VA",
              std::clamp(general - VoltAmperes(3000), VoltAmperes(0), VoltAmperes(117000)), 0.35);
    sheet.add(table, "the rest", std::max(VoltAmperes(0), general - VoltAmperes(120000)), 0.25);
    add_cooking(dwelling, sheet);
    for (const Appliance& one : dwelling.appliances) {
        // 220.54: 5000 VA or the nameplate, whichever is larger; up to four dryers at 100 %.
        if (one.kind == ApplianceKind::dryer)
            sheet.add("220.54", one.name, std::max(VoltAmperes(5000), one.nameplate));
    }
    add_fixed(dwelling, sheet);
    const ClimateSum weather = climate(dwelling, ClimateFactors::connected);
    const bool heats = weather.heating > weather.cooling;
    sheet.add("220.51, 220.60", heats ? weather.heating_words : weather.cooling_words,
              heats ? weather.heating : weather.cooling);
    add_equipment(dwelling, basis, sheet);
    add_largest_motor(dwelling, heats, sheet);
    return std::move(sheet).finish(dwelling);
}

}  // namespace lullwatt::circuit
