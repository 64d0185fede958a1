#include "core/circuit/metric_cable.hpp"

#include <algorithm>
#include <cassert>

#include "core/circuit/metric_cable_tables.hpp"
#include "core/circuit/metric_correction_tables.hpp"

namespace lullwatt::circuit {
namespace {

bool is_iec(CableTable table) { return table == CableTable::iec_pvc || table == CableTable::iec_xlpe; }

bool in_ground(CableMethod method) {
    return method == CableMethod::D || method == CableMethod::D1 || method == CableMethod::D2;
}

bool known_from_memory(const CableKind& kind) {
    using enum CableMethod;
    return kind.table == CableTable::bs_4d5 &&
           (kind.method == A || kind.method == m100 || kind.method == m101 || kind.method == m102);
}

CableLack why_no_row(const CableKind& kind) {
    if (is_iec(kind.table) && kind.method == CableMethod::D) return CableLack::method_of_old_edition;
    if (kind.table == CableTable::bs_4d5 && kind.phases == Phases::three)
        return CableLack::phases_not_in_table;
    if (known_from_memory(kind)) return CableLack::method_from_memory;
    return CableLack::method_not_in_table;
}

bool belongs(Grouping grouping, CableMethod method) {
    switch (grouping) {
        case Grouping::enclosed:
            return !in_ground(method);
        case Grouping::single_layer_wall:
            return method == CableMethod::C;
        case Grouping::single_layer_tray:
            return method == CableMethod::E;
        case Grouping::direct_in_ground:
            return method == CableMethod::D || method == CableMethod::D2;
        case Grouping::ducts_in_ground:
            return method == CableMethod::D || method == CableMethod::D1;
    }
    return false;
}

bool single_layer(Grouping grouping) {
    return grouping == Grouping::single_layer_wall || grouping == Grouping::single_layer_tray;
}

void add(CableFactors& result, FactorKind kind, const std::optional<TableFactor>& factor,
         CableLack otherwise) {
    if (factor) {
        result.factors.push_back({kind, factor->value, factor->evidence});
    } else {
        result.lacks.push_back(otherwise);
    }
}

void add_entered(CableFactors& result, FactorKind kind, double factor) {
    if (factor > 0 && factor <= 1) {
        if (factor < 1) result.factors.push_back({kind, factor, std::nullopt});
    } else {
        result.lacks.push_back(CableLack::factor_out_of_range);
    }
}

// It and Iz where they can be had; what is in the way where not.
void find_capacity(const CableCase& cable, CableJudgement& judged) {
    if (cable.capacity && cable.capacity->corrected) {
        judged.capacity = cable.capacity->current;
        return;
    }
    std::optional<Amps> uncorrected;
    if (cable.capacity) {
        uncorrected = cable.capacity->current;
    } else {
        const auto found = tabulated_current(cable.kind, judged.size);
        if (const auto* lack = std::get_if<CableLack>(&found)) {
            judged.lacks.push_back(*lack);
        } else {
            judged.tabulated = std::get<TabulatedCurrent>(found);
            uncorrected = judged.tabulated->current;
        }
    }
    CableFactors factors = cable_factors(cable.kind, cable.surroundings);
    judged.lacks.insert(judged.lacks.end(), factors.lacks.begin(), factors.lacks.end());
    judged.factors = factors.factors;
    if (!uncorrected || !factors.lacks.empty()) return;
    judged.capacity = factors.product() * *uncorrected;
}

}  // namespace

Insulation insulation(CableTable table) {
    switch (table) {
        case CableTable::iec_pvc:
        case CableTable::bs_4d1a:
        case CableTable::bs_4d5:
            return Insulation::pvc_70;
        case CableTable::iec_xlpe:
        case CableTable::bs_4e1a:
        case CableTable::bs_4e4a:
            break;
    }
    return Insulation::xlpe_90;
}

std::variant<TabulatedCurrent, CableLack> tabulated_current(const CableKind& kind, SquareMillimetres size) {
    const auto rows = capacity_rows();
    const auto row = std::ranges::find(rows, kind, &CapacityRow::kind);
    if (row == rows.end()) return why_no_row(kind);
    const auto at = std::ranges::find(kCableSizes, size);
    if (at == kCableSizes.end()) return CableLack::size_not_in_table;
    const double amps = row->amps[static_cast<std::size_t>(at - kCableSizes.begin())];
    if (amps == 0) return CableLack::size_not_in_table;
    return TabulatedCurrent{Amps(amps), cell_evidence(*row, size), table_name(kind)};
}

double CableFactors::product() const {
    double product = 1;
    for (const CableFactor& factor : factors) product *= factor.value;
    return product;
}

CableFactors cable_factors(const CableKind& kind, const Surroundings& around) {
    assert(around.circuits >= 1);
    CableFactors result;
    const bool buried = in_ground(kind.method);
    const auto ambient = is_iec(kind.table) ? iec_ambient_factor : bs_ambient_factor;
    add(result, FactorKind::ambient, ambient(insulation(kind.table), buried, around.ambient),
        CableLack::hotter_than_table);
    if (!belongs(around.grouping, kind.method)) {
        result.lacks.push_back(CableLack::laying_not_of_method);
    } else {
        const bool alone = around.spaced && single_layer(around.grouping);
        add(result, FactorKind::grouping, grouping_factor(around.grouping, alone ? 1 : around.circuits),
            CableLack::circuits_beyond_table);
        if (buried && around.soil) {
            add(result, FactorKind::soil, soil_factor(around.grouping, *around.soil),
                CableLack::soil_beyond_table);
        }
    }
    add_entered(result, FactorKind::thermal_insulation, around.thermal_insulation);
    add_entered(result, FactorKind::other, around.other);
    return result;
}

bool CableJudgement::suits() const { return lacks.empty() && std::ranges::all_of(rules, &RuleOutcome::met); }

const RuleOutcome* CableJudgement::find(CableRule rule) const {
    const auto at = std::ranges::find(rules, rule, &RuleOutcome::rule);
    return at == rules.end() ? nullptr : &*at;
}

CableJudgement judge_cable(const CableCase& cable, SquareMillimetres size) {
    const Amps device = cable.device.rating;
    assert(cable.design_current > Amps(0) && device > Amps(0));
    CableJudgement judged{.size = size};
    judged.standard_rating = cable.device.type == DeviceType::other || is_standard_rating(cable.device);
    find_capacity(cable, judged);
    const auto judge = [&judged](CableRule rule, Amps current, Amps limit) {
        judged.rules.push_back({rule, current, limit, at_most(current, limit)});
    };
    judge(CableRule::design_within_device, cable.design_current, device);
    const auto operates = operating_current(cable.device);
    if (!operates) judged.lacks.push_back(CableLack::operating_current_missing);
    if (!judged.capacity) return judged;
    judge(CableRule::device_within_capacity, device, *judged.capacity);
    if (judged.tabulated) {
        const double product = CableFactors{judged.factors, {}}.product();
        judge(CableRule::tabulated_at_least, device / product, judged.tabulated->current);
    }
    if (operates) judge(CableRule::operates_within_overload, *operates, operating_limit(*judged.capacity));
    return judged;
}

}  // namespace lullwatt::circuit
