#include "tools/lullwatt/circuit_words.hpp"

#include <array>

#include <fmt/format.h>

#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
std::string cable_rule_text(circuit::CableRule rule) {
    static constexpr std::array<const char*, 4> kWords = {
        "what flows ≤ device (Ib ≤ In)", "device ≤ cable as it lies (In ≤ Iz)",
        "device / factors ≤ table (In / (Ca Cg Ci) ≤ It)", "device surely operates at ≤ 1.45 Iz"};
    return kWords[static_cast<std::size_t>(rule)];
}

std::string lack_text(circuit::CableLack lack) {
    static constexpr std::array<const char*, 11> kWords = {
        "the table has no such method",
        "method D of the 2001 edition is not used: take D1 or D2",
        "the table's figures for this method are known from memory only: enter the capacity from the "
        "installer's sheet",
        "the table has no three-phase cable of this kind",
        "the table has no such size",
        "hotter than the table goes",
        "more circuits together than the table goes",
        "this way of lying together does not go with the method",
        "drier soil than the table goes",
        "a factor is not above 0 and at most 1",
        "the device's operating current is not known"};
    return kWords[static_cast<std::size_t>(lack)];
}

std::string conductor_lack_text(circuit::ConductorLack lack) {
    static constexpr std::array<const char*, 7> kWords = {
        "this edition's tables are not known to this program",
        "this cable belongs to the other code",
        "the table has no such size in this metal",
        "the cable is not made in this size",
        "hotter than the table goes for this insulation",
        "the corrections of C22.1 were found in no document read: enter 'factor' from the code book",
        "the factor is not above 0 and at most 1"};
    return kWords[static_cast<std::size_t>(lack)];
}

std::string evidence_text(circuit::Evidence evidence) {
    switch (evidence) {
        case circuit::Evidence::two_sources:
            return "two sources";
        case circuit::Evidence::one_source:
            return "a single source";
        case circuit::Evidence::disputed:
            break;
    }
    return "sources differ; the safer one";
}

namespace {

std::string rule_text(const circuit::RuleOutcome& outcome) {
    return fmt::format("{}: {:.2f} A against {:.2f} A, {}", cable_rule_text(outcome.rule),
                       outcome.current.count(), outcome.limit.count(), outcome.met ? "met" : "NOT MET");
}

bool residual_suits(const std::string& type) {
    return type == "type-b" || type == "type-a-with-6-mA-dc" || type == "type-f-with-6-mA-dc";
}

std::string checked(const std::optional<std::string>& entered) { return entered.value_or("not checked"); }

std::string yes_no(const std::optional<bool>& entered) {
    return entered ? (*entered ? "yes" : "NO") : "not checked";
}

std::string residual_text(const io::CableSettings& cable) {
    if (!cable.residual_current) return "not checked";
    const std::string& type = *cable.residual_current;
    if (residual_suits(type)) return type;
    return type + ": NOT ENOUGH, type B, or A or F with 6 mA DC detection, is asked for at each point";
}

std::string open_pen_text(const io::CableSettings& cable) {
    if (cable.open_pen)
        return *cable.open_pen == "none" ? "none: NOT ENOUGH with tn-c-s earthing outdoors" : *cable.open_pen;
    return cable.earthing && *cable.earthing != "tn-c-s" ? "not asked for with " + *cable.earthing
                                                         : "not checked";
}

std::string year_text(const io::Household& house, const NodeWiring& at, const WireLoss& loss) {
    std::string text = fmt::format("{:.0f} W, {:.0f} kWh a year", up(loss.watts), loss.kilowatt_hours_a_year);
    if (at.year.rate) {
        const double money = static_cast<double>(at.year.rate->count()) * 1e-12 * loss.kilowatt_hours_a_year;
        text += fmt::format(", {:.{}f} {}", money, house.site.currency_digits, house.site.currency);
    }
    return text;
}

std::string option_text(const io::Household& house, const NodeWiring& at, const CableOption& option) {
    const circuit::SizeJudgement& of = option.judgement;
    std::string text = fmt::format("    {:>4g} mm2 {:<10} {:<9}", of.cable.size.count(),
                                   option.installed ? "installed" : "", of.suits() ? "suits" : "NO");
    if (of.cable.capacity)
        text += fmt::format(" carries {:.1f} A", std::floor(of.cable.capacity->count() * 10) / 10);
    if (of.drop)
        text += fmt::format("; drops {:.2f} V, {:.2f} %{}; loses {}", of.drop->drop.count(),
                            of.drop->percent.count(), of.drop_met ? "" : " (TOO MUCH)",
                            year_text(house, at, option.loss));
    return text + "\n";
}

std::string installed_text(const circuit::CableJudgement& cable) {
    std::string text;
    for (const circuit::RuleOutcome& rule : cable.rules) text += "      " + rule_text(rule) + "\n";
    for (const circuit::CableLack lack : cable.lacks) text += "      not judged: " + lack_text(lack) + "\n";
    if (cable.tabulated)
        text += fmt::format("      {}: {:g} A, {}\n", cable.tabulated->table,
                            cable.tabulated->current.count(), evidence_text(cable.tabulated->evidence));
    if (!cable.standard_rating) text += "      the device's rating is not a standard one\n";
    return text;
}

std::string column_text(circuit::Column column) {
    static constexpr std::array<const char*, 3> kNames = {"60 C", "75 C", "90 C"};
    return kNames[static_cast<std::size_t>(column)];
}

std::string reason_text(const circuit::ConductorJudgement& of) {
    static constexpr std::array<const char*, 3> kNames = {"insulation", "cable", "terminals"};
    return fmt::format("{} column, held there by its {}", column_text(of.allowed),
                       kNames[static_cast<std::size_t>(of.reason)]);
}

std::string outcome_text(const circuit::ConductorJudgement& of, const circuit::ConductorOutcome& outcome,
                         circuit::Code code) {
    const bool nec = code == circuit::Code::nec;
    std::string words;
    switch (outcome.rule) {
        case circuit::ConductorRule::device_share:
            words = nec ? "what lasts ≤ 80 % of the device (210.20(A), 625.41)"
                        : "what lasts ≤ 80 % of the device (8-104(6))";
            break;
        case circuit::ConductorRule::before_correction:
            words = fmt::format("{} ({})",
                                nec ? "(a) 125 % of what lasts ≤ ampacity before correction, 210.19(A)"
                                    : "(a) what lasts ≤ 80 % of ampacity, 8-104(6)",
                                reason_text(of));
            break;
        case circuit::ConductorRule::after_correction:
            words = "(b) what lasts ≤ ampacity after correction";
            break;
        case circuit::ConductorRule::protection:
            words = nec ? "(c) device ≤ that ampacity, 240.4" : "(c) device ≤ that ampacity, 14-104(1)";
            if (of.corrected && outcome.limit > *of.corrected)
                words += fmt::format(", {:g} A, or the next standard size", of.corrected->count());
            break;
        case circuit::ConductorRule::small_conductor:
            words = nec ? "(c) device ≤ what 240.4(D) allows" : "(c) device ≤ what 14-104(2) allows";
            break;
    }
    std::string text =
        fmt::format("      {}: {:.2f} A against {:.2f} A, {}\n", words, outcome.current.count(),
                    outcome.limit.count(), outcome.met ? "met" : "NOT MET");
    if (outcome.rule == circuit::ConductorRule::before_correction && !outcome.met && nec)
        text += "        (the next standard size of breaker does not cure this: the wire comes first)\n";
    return text;
}

std::string grounding_text(const circuit::GroundingConductor& of, circuit::Metal metal) {
    std::string text =
        fmt::format("      grounding conductor: {} {} (250.122; {:.0f} circular mils for {:.0f} needed)",
                    circuit::name(of.size), metal == circuit::Metal::copper ? "copper" : "aluminium",
                    of.chosen.count(), of.needed.count());
    if (of.just_missed)
        text += fmt::format("; {} has {:.0f}, short by {:.3f} %", circuit::name(*of.just_missed),
                            circuit::area(*of.just_missed).count(), of.lacking.count());
    return text + "\n";
}

std::string drop_text(const io::Household& house, const NodeWiring& at, const ConductorOption& option) {
    const auto worst = option.worst_drop();
    if (!worst) return "      voltage drop: not checked, chapter 9 is known here up to 4/0 AWG\n";
    std::string text =
        fmt::format("      drops {:.2f} V, {:.2f} %", up(worst->drop, 2), up(worst->percent, 2));
    if (option.direct && option.alternating)
        text += fmt::format(" (direct-current table 8: {:.2f} V; table 9: {:.2f} V)",
                            option.direct->drop.count(), option.alternating->drop.count());
    if (drops_too_much(option, at)) {
        text += fmt::format(", TOO MUCH: 8-102 allows 3 %, and 5 % with the {:.2f} % above it",
                            at.dropped_before.count());
    } else if (worst->percent > circuit::kBranchDrop) {
        text += "; more than the 3 % that a note to 210.19 advises";
    }
    return text + "; loses " + year_text(house, at, *option.loss) + "\n";
}

std::string conductor_text(const io::Household& house, const NodeWiring& at, const ConductorOption& option) {
    const circuit::ConductorCase& of = option.conductor;
    std::string text =
        fmt::format("    {:<10} {} {}, terminals {}: {}\n", circuit::name(option.judgement.size),
                    of.metal == circuit::Metal::copper ? "copper" : "aluminium", wiring_name(of.wiring),
                    of.terminals == circuit::Terminals::marked_75   ? "marked 75 C"
                    : of.terminals == circuit::Terminals::marked_60 ? "marked 60 C"
                                                                    : "unmarked",
                    option.judgement.suits() && !drops_too_much(option, at)
                        ? (option.installed ? "installed, suits" : "would suit")
                        : "installed, DOES NOT SUIT");
    if (option.installed) {
        for (const auto& outcome : option.judgement.outcomes)
            text += outcome_text(option.judgement, outcome, of.code);
        for (const auto lack : option.judgement.lacks)
            text += "      not judged: " + conductor_lack_text(lack) + "\n";
    }
    text += drop_text(house, at, option);
    if (option.grounding) text += grounding_text(*option.grounding, of.metal);
    return text;
}

std::string raceway_text(const RacewayAnswer& of, const io::RacewaySettings& raceway) {
    if (!of.fill) return "    conduit: not checked, a conductor is larger than table 5 goes\n";
    std::string text = fmt::format("    conduit {} in: {} conductors of {:.4f} sq in, {:.4f} allowed: {}",
                                   circuit::name(raceway.size), of.fill->count, of.fill->area.count(),
                                   of.fill->allowed.count(), of.fill->fits() ? "fits" : "DOES NOT FIT");
    if (!of.fill->fits())
        text += of.smallest ? fmt::format("; {} in would hold them", circuit::name(*of.smallest))
                            : "; no size up to 2 in would";
    return text + "\n";
}

std::string american_text(const io::Household& house, const NodeWiring& at) {
    const site::Node& node = house.site.site.nodes[at.node];
    const io::WireSettings& wire = *house.site.wiring[at.node].wire;
    std::string text =
        fmt::format("{}: {:.0f} ft, {:g} A device, at most {} on a leg{}\n", node.name,
                    circuit::feet(wire.length).count(), node.rating.count(), amps_text(at.current),
                    at.house > WholeAmps(0) ? ", " + amps_text(at.house) + " of them the house's" : "");
    for (const ConductorOption& option : at.conductors) text += conductor_text(house, at, option);
    if (at.raceway) text += raceway_text(*at.raceway, *wire.raceway);
    if (wire.detached)
        text +=
            "    another building: NOT CHECKED are its disconnect, its grounding electrode and four wires on "
            "the way; ask for them\n";
    return text + fmt::format("    (loss with {:.0f} kWh a year{}, always at that current)\n",
                              at.year.kilowatt_hours, at.year.assumed ? ", assumed" : " by the cars' habits");
}

}  // namespace

std::string wiring_name(circuit::Wiring wiring) {
    static constexpr std::array<const char*, 6> kNames = {
        "NM-B", "NMD90", "THHN in raceway", "60 C insulation", "75 C insulation", "90 C insulation"};
    return kNames[static_cast<std::size_t>(wiring)];
}

std::string rule_word(circuit::ConductorRule rule) {
    static constexpr std::array<const char*, 5> kWords = {
        "device-share", "before-correction", "after-correction", "protection", "small-conductor"};
    return kWords[static_cast<std::size_t>(rule)];
}

bool protected_enough(const io::CableSettings& cable) {
    const bool residual = !cable.residual_current || residual_suits(*cable.residual_current);
    return residual && (!cable.open_pen || *cable.open_pen != "none");
}

bool suits(const NodeWiring& at) {
    for (const CableOption& option : at.cables) {
        if (option.installed && !option.judgement.suits()) return false;
    }
    for (const ConductorOption& option : at.conductors) {
        if (option.installed && (!option.judgement.suits() || drops_too_much(option, at))) return false;
    }
    return !at.raceway || !at.raceway->fill || at.raceway->fill->fits();
}

std::string wiring_text(const io::Household& house, const NodeWiring& at) {
    if (!house.site.wiring[at.node].cable) return american_text(house, at);
    const site::Node& node = house.site.site.nodes[at.node];
    const io::CableSettings& cable = *house.site.wiring[at.node].cable;
    std::string text =
        fmt::format("{}: cable of {:g} mm2, {:g} m, {:g} A device, at most {} on a leg{}\n", node.name,
                    cable.size.count(), cable.run.length.count(), node.rating.count(), amps_text(at.current),
                    at.house > WholeAmps(0) ? ", " + amps_text(at.house) + " of them the house's" : "");
    for (const CableOption& option : at.cables) {
        text += option_text(house, at, option);
        if (option.installed) text += installed_text(option.judgement.cable);
    }
    if (at.cables.size() <= 1) text += "    no larger cable up to 35 mm2 would do better\n";
    text += fmt::format("    (loss with {:.0f} kWh a year{}, always at that current)\n",
                        at.year.kilowatt_hours, at.year.assumed ? ", assumed" : " by the cars' habits");
    text += fmt::format(
        "    30 mA protection of this point alone: {}\n    earthing: {}; where the combined conductor "
        "breaks: {}\n",
        residual_text(cable), checked(cable.earthing), open_pen_text(cable));
    return text +
           fmt::format("    fault loop impedance: {}\n    surge protection: {}; network operator told: {}\n",
                       checked(cable.zs), yes_no(cable.surge_protection), yes_no(cable.notified));
}

}  // namespace lullwatt::tools
