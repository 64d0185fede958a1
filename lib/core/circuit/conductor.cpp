#include "core/circuit/conductor.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace lullwatt::circuit {
namespace {

// Up to here the tables hold without correction.
constexpr Celsius kTableAmbient(30);
constexpr int kTableConductors = 3;

bool edition_known(const ConductorCase& conductor) {
    if (conductor.code == Code::cec) return conductor.edition == 2024;
    return !standard_ratings(conductor.edition, conductor.device_type).empty();
}

bool of_other_code(const ConductorCase& conductor) {
    return conductor.wiring == (conductor.code == Code::nec ? Wiring::nmd90 : Wiring::nm_b);
}

// 334.104, from memory.
bool made_as_nm(Metal metal, WireSize size) {
    return size <= WireSize::awg2 && (metal == Metal::copper || size >= WireSize::awg12);
}

Column own_column(Wiring wiring) {
    switch (wiring) {
        case Wiring::other_60:
            return Column::c60;
        case Wiring::other_75:
            return Column::c75;
        case Wiring::nm_b:
        case Wiring::nmd90:
        case Wiring::thhn_in_raceway:
        case Wiring::other_90:
            break;
    }
    return Column::c90;
}

void find_columns(const ConductorCase& conductor, ConductorJudgement& judged) {
    judged.own = own_column(conductor.wiring);
    judged.allowed = judged.own;
    judged.reason = ColumnReason::insulation;
    if (conductor.wiring == Wiring::nm_b) {  // 334.80
        judged.allowed = Column::c60;
        judged.reason = ColumnReason::cable;
    }
    const Column terminals = terminal_column(conductor.terminals, conductor.device, judged.size);
    if (terminals < judged.allowed) {
        judged.allowed = terminals;
        judged.reason = ColumnReason::terminals;
    }
}

void find_table_factors(const ConductorCase& conductor, ConductorJudgement& judged) {
    judged.adjustment_factor = conductor_adjustment(conductor.conductors);
    if (const auto factor = ambient_correction(judged.own, conductor.ambient)) {
        judged.ambient_factor = *factor;
    } else {
        judged.lacks.push_back(ConductorLack::ambient_beyond_table);
    }
}

bool needs_factor(const ConductorCase& conductor) {
    return !(conductor.ambient <= kTableAmbient && conductor.conductors <= kTableConductors);
}

void find_factors(const ConductorCase& conductor, ConductorJudgement& judged) {
    if (conductor.code == Code::nec) {
        find_table_factors(conductor, judged);
    } else if (!conductor.entered_factor && needs_factor(conductor)) {
        judged.lacks.push_back(ConductorLack::corrections_not_known);
    }
    judged.entered_factor = conductor.entered_factor.value_or(1);
    if (!(judged.entered_factor > 0 && judged.entered_factor <= 1))
        judged.lacks.push_back(ConductorLack::factor_out_of_range);
}

void find_ampacities(const ConductorCase& conductor, ConductorJudgement& judged) {
    judged.tabulated = tabulated_ampacity(conductor.metal, judged.size, judged.allowed);
    if (!judged.tabulated) {
        judged.lacks.push_back(ConductorLack::size_not_in_table);
        return;
    }
    const auto lacks_before = judged.lacks.size();
    find_factors(conductor, judged);
    if (judged.lacks.size() > lacks_before) return;
    const Amps own = tabulated_ampacity(conductor.metal, judged.size, judged.own)->ampacity;
    const double factor = judged.ambient_factor * judged.adjustment_factor * judged.entered_factor;
    judged.corrected = std::min(factor * own, judged.tabulated->ampacity);
}

void judge(ConductorJudgement& judged, ConductorRule rule, Amps current, Amps limit) {
    judged.outcomes.push_back({rule, current, limit, at_most(current, limit)});
}

void judge_before_correction(const ConductorCase& conductor, ConductorJudgement& judged) {
    const Amps ampacity = judged.tabulated->ampacity;
    if (conductor.code == Code::nec) {
        judge(judged, ConductorRule::before_correction, required_rating(conductor.continuous), ampacity);
    } else {
        judge(judged, ConductorRule::before_correction, conductor.continuous, 0.8 * ampacity);
    }
}

void judge_protection(const ConductorCase& conductor, ConductorJudgement& judged) {
    ProtectionLimit limit{*judged.corrected};
    if (conductor.code == Code::nec) {
        limit = protection_limit(conductor.edition, conductor.device_type, *judged.corrected,
                                 conductor.several_receptacles);
    }
    judge(judged, ConductorRule::protection, conductor.device, limit.rating);
    judged.rounded_up = limit.rounded_up && !at_most(conductor.device, *judged.corrected) &&
                        at_most(conductor.device, limit.rating);
}

}  // namespace

bool ConductorJudgement::suits() const {
    return lacks.empty() && std::ranges::all_of(outcomes, &ConductorOutcome::met);
}

const ConductorOutcome* ConductorJudgement::find(ConductorRule rule) const {
    const auto at = std::ranges::find(outcomes, rule, &ConductorOutcome::rule);
    return at == outcomes.end() ? nullptr : &*at;
}

std::vector<ConductorRule> ConductorJudgement::unmet() const {
    std::vector<ConductorRule> rules;
    for (const ConductorOutcome& outcome : outcomes)
        if (!outcome.met) rules.push_back(outcome.rule);
    return rules;
}

ConductorJudgement judge_conductor(const ConductorCase& conductor, WireSize size) {
    assert(std::isfinite(conductor.continuous.count()) && conductor.continuous > Amps(0));
    assert(std::isfinite(conductor.device.count()) && conductor.device > Amps(0));
    ConductorJudgement judged{.size = size};
    find_columns(conductor, judged);
    if (!edition_known(conductor)) {
        judged.lacks.push_back(ConductorLack::edition_not_known);
        return judged;
    }
    if (of_other_code(conductor)) judged.lacks.push_back(ConductorLack::wiring_of_other_code);
    if (conductor.wiring == Wiring::nm_b && !made_as_nm(conductor.metal, size))
        judged.lacks.push_back(ConductorLack::size_not_of_cable);
    find_ampacities(conductor, judged);

    judge(judged, ConductorRule::device_share, conductor.continuous, 0.8 * conductor.device);
    if (judged.tabulated) judge_before_correction(conductor, judged);
    if (judged.corrected) {
        judge(judged, ConductorRule::after_correction, conductor.continuous, *judged.corrected);
        judge_protection(conductor, judged);
    }
    if (const auto limit = small_conductor_limit(conductor.metal, size))
        judge(judged, ConductorRule::small_conductor, conductor.device, *limit);
    return judged;
}

std::optional<WireSize> smallest_conductor(const ConductorCase& conductor) {
    const auto at = std::ranges::find_if(
        kWireSizes, [&](WireSize size) { return judge_conductor(conductor, size).suits(); });
    if (at == kWireSizes.end()) return std::nullopt;
    return *at;
}

std::vector<WireOption> wire_options(const ConductorCase& conductor) {
    ConductorCase cable = conductor;
    cable.wiring = conductor.code == Code::nec ? Wiring::nm_b : Wiring::nmd90;
    if (cable.terminals == Terminals::marked_75) cable.terminals = Terminals::unmarked;

    ConductorCase method = conductor;
    method.terminals = Terminals::marked_75;
    if (method.wiring == Wiring::nm_b || own_column(method.wiring) < Column::c75)
        method.wiring = Wiring::other_75;

    std::vector<WireOption> options;
    for (ConductorCase option : {cable, method}) {
        for (const Metal metal : {Metal::copper, Metal::aluminium}) {
            option.metal = metal;
            options.push_back({option, smallest_conductor(option)});
        }
    }
    return options;
}

}  // namespace lullwatt::circuit
