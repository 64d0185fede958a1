#include "tools/lullwatt/circuit_text.hpp"

#include <algorithm>
#include <optional>

#include <fmt/format.h>

#include "core/circuit/pilot.hpp"
#include "tools/lullwatt/circuit_words.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

const site::Point& point_of(const io::Household& house, const PointAdvice& advice) {
    return house.site.site.points[advice.point];
}

std::string headline(const io::Household& house, const PointAdvice& advice) {
    const site::Point& point = point_of(house, advice);
    if (!advice.known()) {
        return fmt::format(
            "{}: NOT KNOWN what may be set by its installer, for not everything could be judged (below). "
            "What "
            "could be bears {}. It is set to {}.\n",
            point.name, amps_text(advice.most), amps_text(point.hard_setting));
    }
    const std::string most =
        advice.most == WholeAmps(0)
            ? "NOTHING may be set by its installer, not even 6 A, without load management."
            : fmt::format("at most {} may be set by its installer, with no load management at all.",
                          amps_text(advice.most));
    return fmt::format("{}: {} It is set to {}: {}.\n", point.name, most, amps_text(point.hard_setting),
                       advice.within(point.hard_setting) ? "within" : "TOO HIGH");
}

// The most that an authority could grant by reading the open questions the other way.
std::optional<std::string> kinder_reading(const PointAdvice& advice) {
    const ReadingAdvice* best = nullptr;
    for (const ReadingAdvice& reading : advice.readings) {
        if (reading.most && (best == nullptr || *reading.most > *best->most)) best = &reading;
    }
    if (best == nullptr || *best->most <= advice.service_most) return std::nullopt;
    return fmt::format("         (up to {} if the authority takes: {})\n", amps_text(*best->most),
                       circuit::title(best->basis));
}

std::string caps_text(const io::Household& house, const PointAdvice& advice) {
    std::string text;
    for (const site::SettingCap& cap : advice.nodes) {
        const site::Node& node = house.site.site.nodes[cap.node];
        text += fmt::format("  {:>5}  {}: {:g} A, of which {:g} A may flow for hours", amps_text(cap.most),
                            node.name, node.rating.count(), cap.limit.count());
        if (cap.house > Amps(0)) text += fmt::format(", less {:.1f} A of the house", up(cap.house, 1));
        if (cap.other_points > Amps(0))
            text += fmt::format(", less {:g} A that other points are set to", cap.other_points.count());
        text += '\n';
    }
    for (const WireCap& wire : advice.wires) {
        const std::string& name = house.site.site.nodes[wire.node].name;
        text += wire.judged
                    ? fmt::format("  {:>5}  wire of {}: bears {} for hours\n", amps_text(wire.most), name,
                                  amps_text(wire.bears))
                    : fmt::format("      ?  wire of {}: could not be judged; why stands below\n", name);
    }
    if (advice.receptacle)
        text += fmt::format("  {:>5}  80 % of its receptacle's {:g} A\n", amps_text(*advice.receptacle),
                            point_of(house, advice).receptacle->count());
    switch (advice.service) {
        case ServiceAnswer::not_described:
            text += "      ?  service: not checked; describe the house under 'dwelling' in the site file\n";
            break;
        case ServiceAnswer::no_method:
            text +=
                "      ?  service: not checked; no method below is for this dwelling in this edition: take "
                "another edition\n";
            break;
        case ServiceAnswer::nothing_fits:
            text += "    0 A  service: no calculation leaves room for it\n";
            break;
        case ServiceAnswer::most:
            text +=
                fmt::format("  {:>5}  service: {}\n", amps_text(advice.service_most), advice.service_rule);
            text += kinder_reading(advice).value_or("");
            break;
    }
    if (const auto signal = circuit::pilot_signal(point_of(house, advice).hard_setting))
        text += fmt::format("         on the control pilot its setting is {:.2f} % duty, {:g} A\n",
                            signal->duty.count(), signal->current.count());
    return text;
}

std::string readings_text(const io::Household& house, const PointAdvice& advice) {
    if (advice.readings.empty()) return {};
    std::string text = fmt::format(
        "\n  Load calculations of the service, side by side; a method may be chosen, how its open\n"
        "  questions are read is the authority's to say (cars: their equipment; climate: heating or "
        "cooling;\n"
        "  in the pool: among the loads that count two fifths; apart: beside them):\n  {:<64} {:>8}  {:>8}\n",
        "", "as set", "at most");
    for (const ReadingAdvice& reading : advice.readings) {
        const auto* sheet = std::get_if<circuit::Calculation>(&reading.outcome);
        if (sheet == nullptr) {
            const auto& why = std::get<circuit::NotApplicable>(reading.outcome);
            text += fmt::format("  {}\n      not for this dwelling: {} {}\n", circuit::title(reading.basis),
                                why.rule, why.reason);
            continue;
        }
        const std::string title = circuit::title(reading.basis);
        text += title.size() > 64 ? fmt::format("  {}\n  {:<64}", title, "") : fmt::format("  {:<64}", title);
        text += fmt::format(" {:>6.1f} A{} {:>8}\n", up(sheet->demand, 1), sheet->passes() ? " " : "!",
                            reading.most ? amps_text(*reading.most) : "none");
    }
    return text +
           fmt::format("  (service {:g} A; ! is more than that)\n", house.site.site.nodes[0].rating.count());
}

// Of every method, the sheet of its strictest reading.
std::string sheets_text(const PointAdvice& advice) {
    std::string text;
    for (const ReadingAdvice& reading : advice.readings) {
        const auto* sheet = std::get_if<circuit::Calculation>(&reading.outcome);
        const bool strictest = std::ranges::none_of(advice.readings, [&](const ReadingAdvice& other) {
            const auto* beside = std::get_if<circuit::Calculation>(&other.outcome);
            return beside != nullptr && other.basis.method == reading.basis.method &&
                   beside->demand > sheet->demand;
        });
        if (sheet == nullptr || !strictest) continue;
        text += fmt::format("\n  {}\n", circuit::title(reading.basis));
        for (const circuit::SheetLine& line : sheet->lines) {
            text += fmt::format("    {:<20} {:<58} {:>8.0f}", line.rule, line.what, line.connected.count());
            text += line.factor == 0 ? "\n"
                                     : fmt::format(" × {:<5.3g} {:>8.0f}{}\n", line.factor, up(line.counted),
                                                   line.from_memory ? "  (factor from memory)" : "");
        }
        text += fmt::format("    {:<20} {:<58} {:>8} {:>16.0f} VA = {:.1f} A of {:g} A\n", "", "total", "",
                            up(sheet->total), up(sheet->demand, 1), sheet->rating.count());
    }
    return text;
}

std::string measured_text(const io::Household& house, const PointAdvice& advice) {
    const circuit::MeasuredDemand& measured = *advice.measured;
    std::string text =
        fmt::format("\n  By the meter ({}):\n",
                    house.site.dwelling->code == circuit::Code::nec ? "NEC 220.87" : "C22.1 8-106(8)");
    for (const circuit::Condition& one : measured.conditions)
        text += fmt::format("    {:<8} {:<18} {}: {}\n", one.met ? "met" : "NOT MET", one.rule, one.what,
                            one.figures);
    if (!measured.usable()) return text + "    so the meter's data may not stand for a calculation\n";
    text += fmt::format(
        "    greatest mean {:.0f} VA{}; {:.1f} A × {:g} of {:g} A leave {} A for new loads\n",
        up(measured.greatest), measured.when ? ", " + iso_text(house.zone, measured.when->begin) : "",
        up(measured.demand, 1), measured.factor, measured.limit.count(), floor_amps(measured.left()).count());
    if (advice.beside_measured > Amps(0))
        text += fmt::format("    of which other points and loads to come take {:.1f} A\n",
                            up(advice.beside_measured, 1));
    if (measured.calculated)
        text +=
            "    CALCULATED, NOT MEASURED: the cars' metered energy was taken out; ask the authority. It "
            "decides nothing above.\n";
    const auto whole = measured.largest_setting(1, advice.beside_measured);
    const auto more = measured.largest_setting(1.25, advice.beside_measured);
    text += fmt::format("    equipment counted at 100 %: {}; at 125 %: {}\n",
                        whole ? amps_text(*whole) : "none", more ? amps_text(*more) : "none");
    if (measured.sliding_bound)
        text += fmt::format("    a quarter of an hour across two readings may have carried up to {:.0f} VA\n",
                            up(*measured.sliding_bound));
    return text;
}

std::string legs_text(const io::Household& house, const PointAdvice& advice) {
    std::string text;
    for (const LegDemand& leg : advice.legs) {
        text += fmt::format(
            "\n  Maximum demand of leg L{} without {} (by a British guide; your country's practice and the "
            "designer may differ):\n",
            static_cast<int>(leg.leg) + 1, point_of(house, advice).name);
        for (const circuit::DemandLine& line : leg.demand.lines) {
            std::string names;
            for (const std::string& name : line.loads) names += (names.empty() ? "" : ", ") + name;
            text += fmt::format("    {:<46} {:>6.1f} A counts {:>6.1f} A  {}\n", names,
                                line.connected.count(), up(line.demand, 1), line.rule);
        }
        text += fmt::format("    {:<46} {:>8} counts {:>6.1f} A of {:g} A: {} left\n", "total", "",
                            up(leg.demand.total, 1), leg.fuse.fuse.count(), amps_text(leg.fuse.left));
    }
    const site::Point& point = point_of(house, advice);
    const bool iec = house.site.dwelling && house.site.dwelling->rules == io::Rules::iec;
    if (iec && house.site.site.supply == site::Supply::three_phase && point.legs.count() < 3) {
        std::array<Amps, 3> drawn{};
        for (const site::Leg leg : site::kLegs)
            if (point.legs.has(leg)) drawn[static_cast<std::size_t>(leg)] = point.hard_setting;
        const auto check =
            circuit::check_unbalance(drawn, circuit::kGermanUnbalance, house.site.site.leg_to_neutral);
        text += fmt::format(
            "\n  It loads {} of three legs, {:g} A apart; {} ({}). Ask your network operator for its own "
            "limit.\n",
            point.legs.count(), check.difference.count(),
            check.within ? "within the limit known here" : "MORE than the limit known here",
            circuit::kGermanUnbalance.source);
    }
    return text;
}

std::string managed_text(const PointAdvice& advice) {
    return fmt::format(
        "\n  With a listed energy management system, accepted by the authority; Lullwatt is not one: up to "
        "{},\n"
        "  what circuit{} bear{}. No figure of Lullwatt's own planning or limiting enters any calculation "
        "above.\n",
        amps_text(advice.managed), advice.nodes.size() > 1 ? " and feeder" : "",
        advice.nodes.size() > 1 ? "" : "s");
}

}  // namespace

bool all_within(const io::Household& house, const CircuitAnswer& answer) {
    const bool points = std::ranges::all_of(answer.points, [&](const PointAdvice& advice) {
        return advice.within(point_of(house, advice).hard_setting);
    });
    return points && std::ranges::all_of(answer.wiring, [&](const NodeWiring& at) {
               const auto& cable = house.site.wiring[at.node].cable;
               return suits(at) && (!cable || protected_enough(*cable));
           });
}

std::string circuit_text(const io::Household& house, const CircuitAnswer& answer) {
    std::string text;
    for (const PointAdvice& advice : answer.points) {
        text += headline(house, advice) + caps_text(house, advice);
        text += legs_text(house, advice) + readings_text(house, advice) + sheets_text(advice);
        if (advice.measured) text += measured_text(house, advice);
        text += managed_text(advice) + "\n";
    }
    if (house.site.dwelling && house.site.dwelling->rules == io::Rules::cec)
        text +=
            "Provinces change C22.1; Ontario's own edition of 2024 changes the calculation for dwellings "
            "with such equipment, and is not\nknown to this program: ask there.\n\n";
    for (const std::string& line : answer.added) text += line + "\n";
    for (const NodeWiring& at : answer.wiring) text += wiring_text(house, at) + "\n";
    return text + kCircuitCautions + "\n\n" + kEmergency + "\n";
}

}  // namespace lullwatt::tools
