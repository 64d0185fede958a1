#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "core/circuit/sheet.hpp"

// CSA C22.1 Rule 8-200, single dwellings, by the secondary sources named beside the tests of each figure.
namespace lullwatt::circuit {
namespace {

constexpr double kBasicArea = 90;              // m2
constexpr VoltAmperes kSmallLoad{1500};        // loads up to this are in the basic load
constexpr VoltAmperes kRange{12000};           // 6000 W up to here, 40 % above
constexpr VoltAmperes kIndividualHeat{10000};  // 62-118: 100 % up to here, 75 % above

void add_basic(const Dwelling& dwelling, Sheet& sheet) {
    // 8-110: below ground with more than 1.8 m of height counts three quarters.
    const double area =
        dwelling.living.square_metres().count() + 0.75 * dwelling.below_ground.square_metres().count();
    const double portions = std::max(0.0, std::ceil((area - kBasicArea) / kBasicArea - 1e-9));
    sheet.add("8-200(1)(a)(i)", "basic load, the first 90 m2 of " + std::to_string(std::lround(area)) + " m2",
              VoltAmperes(5000));
    sheet.add(
        "8-200(1)(a)(ii)",
        std::to_string(std::lround(portions)) +
            (portions == 1 ? " further portion of 90 m2 at 1000 W" : " further portions of 90 m2 at 1000 W"),
        VoltAmperes(1000) * portions);
}

void add_climate(const Dwelling& dwelling, Sheet& sheet) {
    struct Part {
        std::string rule;
        std::string what;
        VoltAmperes power;
        double factor = 1;
    };
    std::vector<Part> heating;
    std::vector<Part> cooling;
    VoltAmperes whole_left = kIndividualHeat;
    for (const ClimateLoad& load : dwelling.climate) {
        switch (load.kind) {
            case ClimateKind::air_conditioning:
                cooling.push_back({"8-200(1)(a)(iii)", load.name, load.power});
                break;
            case ClimateKind::heat_pump: {
                const VoltAmperes compressor = load.interlocked ? VoltAmperes(0) : load.power;
                heating.push_back(
                    {"8-200(1)(a)(iii)", load.name, std::max(load.power, compressor + load.supplemental)});
                break;
            }
            case ClimateKind::separate_heaters: {
                // 62-118 looks at all of them together.
                const VoltAmperes whole = std::min(load.power, whole_left);
                whole_left -= whole;
                heating.push_back({"62-118", load.name + ", within the first 10000 W", whole});
                heating.push_back({"62-118", load.name + ", beyond", load.power - whole, 0.75});
                break;
            }
            case ClimateKind::central_heat:
            case ClimateKind::thermal_storage:
                heating.push_back({"8-200(1)(a)(iii)", load.name, load.power});
                break;
        }
    }
    const auto counted = [](const std::vector<Part>& parts) {
        VoltAmperes all;
        for (const Part& part : parts) all += part.power * part.factor;
        return all;
    };
    const bool heat_only = dwelling.heating_excludes_cooling && counted(heating) >= counted(cooling);
    const bool cool_only = dwelling.heating_excludes_cooling && !heat_only;
    if (!cool_only) {
        for (const Part& part : heating) sheet.add(part.rule, part.what, part.power, part.factor);
    }
    if (!heat_only) {
        for (const Part& part : cooling) sheet.add(part.rule, part.what, part.power, part.factor);
    }
}

// The largest range counts as the range; built-in cooking units count together as one (from memory). A second
// range is another load.
struct Cooking {
    std::string name;
    VoltAmperes power;
    bool built_in = false;
};

std::optional<Cooking> the_range(const Dwelling& dwelling, std::vector<Appliance>& others) {
    std::vector<Cooking> all;
    const VoltAmperes built_in = sum(dwelling, ApplianceKind::cooking);
    if (built_in > VoltAmperes(0)) all.push_back({"built-in cooking units together", built_in, true});
    for (const Appliance& one : dwelling.appliances) {
        if (one.kind == ApplianceKind::range) all.push_back({one.name, one.nameplate});
    }
    std::ranges::stable_sort(all, std::ranges::greater{}, &Cooking::power);
    for (std::size_t more = 1; more < all.size(); ++more)
        others.push_back({all[more].name, ApplianceKind::range, all[more].power});
    if (all.empty()) return std::nullopt;
    return all.front();
}

void add_others(const std::vector<Appliance>& others, bool has_range, Sheet& sheet) {
    if (has_range) {
        for (const Appliance& one : others) sheet.add("8-200(1)(a)(vii)(A)", one.name, one.nameplate, 0.25);
        return;
    }
    VoltAmperes all;
    for (const Appliance& one : others) {
        sheet.list("8-200(1)(a)(vii)(B)", one.name, one.nameplate);
        all += one.nameplate;
    }
    if (all > VoltAmperes(0)) sheet.tiers("8-200(1)(a)(vii)(B)", "these", all, VoltAmperes(6000), 0.25);
}

bool heats_on_demand(ApplianceKind kind) {
    return kind == ApplianceKind::tankless_water_heater || kind == ApplianceKind::pool_or_spa;
}

}  // namespace

Outcome cec_dwelling(const Dwelling& dwelling, const Basis& basis) {
    if (basis.edition != 2021 && basis.edition != 2024)
        return NotApplicable{"8-200", "only the editions of 2021 and 2024 are known to this program"};
    if (dwelling.three_phase || (dwelling.across != Volts(240) && dwelling.across != Volts(208)))
        return NotApplicable{"8-200", "is laid out here for a three-wire supply of 120/240 V or 120/208 V"};
    Sheet sheet;
    add_basic(dwelling, sheet);
    add_climate(dwelling, sheet);
    std::vector<Appliance> others;
    const auto range = the_range(dwelling, others);
    if (range) {
        const VoltAmperes counted =
            VoltAmperes(6000) + std::max(VoltAmperes(0), range->power - kRange) * 0.40;
        sheet.add("8-200(1)(a)(iv)", range->name, range->power, counted.count() / range->power.count(),
                  range->built_in);
    }
    for (const Appliance& one : dwelling.appliances) {
        if (one.kind == ApplianceKind::range || one.kind == ApplianceKind::cooking) continue;
        if (heats_on_demand(one.kind)) {
            sheet.add("8-200(1)(a)(v)", one.name, one.nameplate);
        } else if (one.nameplate > kSmallLoad) {
            others.push_back(one);
        } else {
            sheet.list("8-200(1)(a)(i)", one.name + ", up to 1500 W: in the basic load", one.nameplate);
        }
    }
    for (const Equipment& one : dwelling.equipment) {
        sheet.add("8-200(1)(a)(vi)", one.name + ", set to " + std::to_string(one.setting.count()) + " A",
                  at_setting(one));
    }
    add_others(others, range.has_value(), sheet);
    // 8-200(1)(b): 100 A at 240 V from 80 m2 up, without what is below ground; else 60 A.
    const bool large = dwelling.living.square_metres().count() >= 80 - 1e-9;
    sheet.at_least("8-200(1)(b)",
                   large ? "up to the least of 24000 W from 80 m2 on" : "up to the least of 14400 W",
                   VoltAmperes(large ? 24000 : 14400));
    return std::move(sheet).finish(dwelling);
}

}  // namespace lullwatt::circuit
