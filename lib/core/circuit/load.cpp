#include "core/circuit/load.hpp"

#include <algorithm>
#include <array>
#include <map>

#include "core/circuit/sheet.hpp"

namespace lullwatt::circuit {
namespace {

constexpr std::array kEquipmentReadings = {EquipmentReading::in_pool, EquipmentReading::outside_100,
                                           EquipmentReading::outside_125};
constexpr int kMost = 80;  // what the control pilot can tell
constexpr int kLeast = 6;

std::string equipment_words(EquipmentReading reading) {
    switch (reading) {
        case EquipmentReading::in_pool:
            return "cars in the pool";
        case EquipmentReading::outside_100:
            return "cars apart at 100 %";
        case EquipmentReading::outside_125:
            return "cars apart at 125 %";
    }
    return {};
}

std::string method_words(const Basis& basis) {
    const std::string year = std::to_string(basis.edition);
    switch (basis.method) {
        case Method::nec_optional:
            return "NEC " + year + (basis.edition >= 2026 ? " 120.82" : " 220.82") + " optional";
        case Method::nec_existing:
            return "NEC " + year +
                   (basis.edition >= 2026 ? " 120.83"
                    : basis.adds_climate  ? " 220.83(B)"
                                          : " 220.83(A)") +
                   " existing";
        case Method::nec_standard:
            return "NEC " + year + " standard";
        case Method::cec_dwelling:
            return "C22.1:" + year + " 8-200";
    }
    return {};
}

}  // namespace

std::span<const int> editions(Code code) {
    static constexpr std::array kNec = {2017, 2020, 2023, 2026};
    static constexpr std::array kCec = {2021, 2024};
    return code == Code::nec ? std::span<const int>(kNec) : std::span<const int>(kCec);
}

std::string title(const Basis& basis) {
    std::string words = method_words(basis);
    if (basis.method != Method::cec_dwelling) words += ", " + equipment_words(basis.equipment);
    if (basis.method == Method::nec_existing && basis.climate == ClimateReading::outside_100)
        words += ", climate apart";
    return words;
}

std::vector<Basis> readings(Code code, int edition, const Dwelling& dwelling, bool adds_climate) {
    if (code == Code::cec) return {{.method = Method::cec_dwelling, .edition = edition}};
    std::vector<Basis> all;
    const bool of_2026 = edition >= 2026;
    for (const EquipmentReading equipment : kEquipmentReadings) {
        // 120.82(D) of 2026 has settled it: apart.
        if (of_2026 && equipment == EquipmentReading::in_pool) continue;
        all.push_back({Method::nec_optional, edition, equipment});
    }
    for (const EquipmentReading equipment : kEquipmentReadings) {
        if (of_2026 && equipment != EquipmentReading::outside_100) continue;
        all.push_back({Method::nec_existing, edition, equipment, ClimateReading::in_pool, adds_climate});
        if (!adds_climate && !of_2026 && !dwelling.climate.empty())
            all.push_back({Method::nec_existing, edition, equipment, ClimateReading::outside_100});
    }
    for (const EquipmentReading equipment : {EquipmentReading::outside_100, EquipmentReading::outside_125}) {
        if (of_2026 && equipment == EquipmentReading::outside_125) continue;
        all.push_back({Method::nec_standard, edition, equipment});
    }
    return all;
}

Outcome calculate(const Dwelling& dwelling, const Basis& basis) {
    switch (basis.method) {
        case Method::nec_optional:
            return nec_optional(dwelling, basis);
        case Method::nec_existing:
            return nec_existing(dwelling, basis);
        case Method::nec_standard:
            return nec_standard(dwelling, basis);
        case Method::cec_dwelling:
            break;
    }
    return cec_dwelling(dwelling, basis);
}

std::optional<WholeAmps> largest_setting(const Dwelling& dwelling, std::size_t index, const Basis& basis) {
    Dwelling tried = dwelling;
    for (int amps = kMost; amps >= kLeast; --amps) {
        if (WholeAmps(amps) == kNotOnThePilot) continue;
        tried.equipment[index].setting = WholeAmps(amps);
        const Outcome outcome = calculate(tried, basis);
        const auto* sheet = std::get_if<Calculation>(&outcome);
        if (sheet == nullptr) return std::nullopt;
        if (sheet->passes()) return WholeAmps(amps);
    }
    return std::nullopt;
}

std::optional<Amps> demand_without_cars(const Dwelling& dwelling, Code code, int edition) {
    Dwelling without = dwelling;
    without.equipment.clear();
    std::map<Method, Amps> strictest;
    for (const Basis& basis : readings(code, edition, without, false)) {
        const Outcome outcome = calculate(without, basis);
        const auto* sheet = std::get_if<Calculation>(&outcome);
        if (sheet == nullptr || sheet->total == VoltAmperes(0)) continue;
        const double load = 1 - sheet->to_least.count() / sheet->total.count();
        Amps& held = strictest.try_emplace(basis.method).first->second;
        held = std::max(held, sheet->demand * load);
    }
    if (strictest.empty()) return std::nullopt;
    const auto second = [](const auto& method) { return method.second; };
    return std::ranges::min_element(strictest, {}, second)->second;
}

}  // namespace lullwatt::circuit
