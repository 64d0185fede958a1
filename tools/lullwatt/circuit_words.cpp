#include "tools/lullwatt/circuit_words.hpp"

#include <array>

#include <fmt/format.h>

#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

std::string rule_text(const circuit::RuleOutcome& outcome) {
    static constexpr std::array<const char*, 4> kWords = {
        "what flows ≤ device (Ib ≤ In)", "device ≤ cable as it lies (In ≤ Iz)",
        "device / factors ≤ table (In / (Ca Cg Ci) ≤ It)", "device surely operates at ≤ 1.45 Iz"};
    return fmt::format("{}: {:.2f} A against {:.2f} A, {}", kWords[static_cast<std::size_t>(outcome.rule)],
                       outcome.current.count(), outcome.limit.count(), outcome.met ? "met" : "NOT MET");
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

std::string checked(const std::optional<std::string>& entered) { return entered.value_or("not checked"); }

std::string yes_no(const std::optional<bool>& entered) {
    return entered ? (*entered ? "yes" : "NO") : "not checked";
}

std::string residual_text(const io::CableSettings& cable) {
    if (!cable.residual_current) return "not checked";
    const std::string& type = *cable.residual_current;
    if (type == "type-b" || type == "type-a-with-6-mA-dc" || type == "type-f-with-6-mA-dc") return type;
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

}  // namespace

bool suits(const NodeWiring& at) {
    for (const CableOption& option : at.cables) {
        if (option.installed && !option.judgement.suits()) return false;
    }
    return true;
}

std::string wiring_text(const io::Household& house, const NodeWiring& at) {
    const site::Node& node = house.site.site.nodes[at.node];
    const io::CableSettings& cable = *house.site.wiring[at.node].cable;
    std::string text =
        fmt::format("{}: cable of {:g} mm2, {:g} m, {:g} A device, points set to {} in all\n", node.name,
                    cable.size.count(), cable.run.length.count(), node.rating.count(), amps_text(at.current));
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
