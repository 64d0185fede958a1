#include "core/account/standing_lines.hpp"

#include <algorithm>

#include "core/account/demand.hpp"
#include "core/account/proration.hpp"

namespace lullwatt::account {
namespace {

using tariff::DemandCharge;
using tariff::FixedCharge;
using tariff::Per;
using tariff::Tariff;

std::string per_text(Per per, Multiple multiple, int active) {
    std::string days = std::to_string(active) + " days";
    if (per == Per::day) return days;
    if (multiple.n == multiple.d) return "";
    return days + ", " + std::to_string(multiple.n) + "/" + std::to_string(multiple.d) +
           (per == Per::year ? " of a year" : " of a month");
}

ExactAmount times(ExactAmount amount, Multiple multiple) { return scaled(amount, multiple.n, multiple.d); }

// The amount per bill, month, day or year before its multiple.
std::variant<ExactAmount, Refusal> amount_of(const FixedCharge& charge, const Terms& terms) {
    const bool by_fuse = !charge.by_fuse.empty() || charge.each == FixedCharge::Each::ampere_of_fuse;
    if (by_fuse && !terms.fuse)
        return Refusal{"'" + charge.name + "' goes by the main fuse, which is not stated", "state the fuse"};
    if (!charge.by_fuse.empty()) {
        const auto found = std::ranges::find_if(
            charge.by_fuse, [&](const FixedCharge::Fuse& fuse) { return *terms.fuse <= fuse.up_to; });
        if (found == charge.by_fuse.end())
            return Refusal{"'" + charge.name + "' has no amount for a fuse of " +
                               std::to_string(terms.fuse->count()) + " A",
                           "add it to the tariff file"};
        return ExactAmount(found->amount);
    }
    const ExactAmount amount(charge.amount);
    if (charge.each == FixedCharge::Each::ampere_of_fuse) return scaled(amount, terms.fuse->count(), 1);
    if (charge.each == FixedCharge::Each::flat) return amount;
    if (!terms.contracted)
        return Refusal{"'" + charge.name + "' goes by the contracted power, which is not stated",
                       "state the contracted power"};
    return scaled(amount, terms.contracted->count(), 1'000'000);
}

// The figure a charge does not measure.
std::variant<Milliwatts, Refusal> stated_power(const DemandCharge& charge, const Terms& terms) {
    const bool contracted = charge.measure == DemandCharge::Measure::contracted;
    const auto& power = contracted ? terms.contracted : terms.given_peak;
    if (power) return *power;
    return Refusal{"'" + charge.name +
                       (contracted ? "' goes by the contracted power, which is not stated"
                                   : "' goes by a peak the utility gives, which is not stated"),
                   contracted ? "state the contracted power" : "state the given peak"};
}

std::variant<Milliwatts, Refusal> typed_power(const DemandCharge& charge, const Typed& typed) {
    for (const Typed::Demand& demand : typed.demand) {
        if (demand.charge.empty() || demand.charge == charge.name) return demand.power;
    }
    return Refusal{"the demand for '" + charge.name + "' is not stated", "give its kilowatts, or readings"};
}

bool is_stated(const DemandCharge& charge) {
    return charge.measure == DemandCharge::Measure::contracted ||
           charge.measure == DemandCharge::Measure::given;
}

// A bill over a change of prices has one peak of a name.
void remember(Carried& after, Carried::Peak peak) {
    const auto same = std::ranges::find_if(after.peaks, [&](const Carried::Peak& other) {
        return other.charge == peak.charge && other.bill == peak.bill;
    });
    if (same == after.peaks.end()) {
        after.peaks.push_back(std::move(peak));
    } else {
        same->power = std::max(same->power, peak.power);
    }
}

struct Parted {
    ExactAmount amount;
    std::optional<DemandRate> rate;  // where one rate holds for all
    std::string rule;
};

Parted by_steps(const DemandCharge& charge, Milliwatts power) {
    Parted parted;
    Milliwatts floor(0);
    for (std::size_t i = 0; i < charge.steps.size(); ++i) {
        const DemandCharge::Step& step = charge.steps[i];
        const bool ends_here = !step.up_to || power <= *step.up_to;
        const Milliwatts top = ends_here ? power : *step.up_to;
        if (charge.whole_band || step.amount) {
            if (!ends_here) continue;
            parted.amount = step.amount ? ExactAmount(*step.amount) : power * step.rate;
            if (!step.amount) parted.rate = step.rate;
            if (step.up_to) parted.rule = "up to " + decimal_text(step.up_to->count(), 6) + " kW";
            return parted;
        }
        parted.amount += Milliwatts(std::max<std::int64_t>(0, (top - floor).count())) * step.rate;
        floor = top;
        if (charge.steps.size() == 1) parted.rate = step.rate;
        if (ends_here) break;
    }
    return parted;
}

}  // namespace

bool counts(const tariff::LinesOf& of, const Line& line) {
    if (of.parts.empty() && of.names.empty()) return true;
    return std::ranges::find(of.parts, line.part) != of.parts.end() ||
           std::ranges::find(of.names, line.name) != of.names.end();
}

LinesOrRefusal fixed_lines(const Tariff& tariff, DateSpan bill, const Use& use, const Terms& terms) {
    std::vector<ExactLine> lines;
    for (const Segment& segment : use.segments) {
        for (const FixedCharge& charge : tariff.revisions[segment.revision].fixed) {
            const int active = days_in(tariff, segment.days, charge.seasons);
            if (active == 0) continue;
            const auto amount = amount_of(charge, terms);
            if (const auto* refusal = std::get_if<Refusal>(&amount)) return *refusal;
            const Multiple multiple =
                multiple_of(tariff, charge.per, bill, {segment.days, charge.seasons}, terms.months);
            Line line{Part::fixed, charge.name, segment.days, 0, Line::Unit::none, {}, {}, {}};
            line.rule = per_text(charge.per, multiple, active);
            lines.push_back({std::move(line), times(std::get<ExactAmount>(amount), multiple)});
        }
    }
    return lines;
}

namespace {

// What a charge measures in a bill. Over a change of prices each day's intervals count as the prices of that
// day say, and together they make one figure.
class BillDemand {
  public:
    BillDemand(const DemandInput& input, std::vector<PeakTime>& peaks) : input_(input), peaks_(peaks) {}

    std::variant<Milliwatts, Refusal> of(const DemandCharge& charge) {
        if (const auto* typed = std::get_if<Typed>(&input_.usage)) return typed_power(charge, *typed);
        const auto measured = measured_demand(charge, intervals(charge));
        for (const IntervalDemand& interval : measured.of) {
            const auto told = std::ranges::find_if(peaks_, [&](const PeakTime& peak) {
                return peak.charge == charge.name && peak.when.begin == interval.when.begin;
            });
            if (told == peaks_.end())
                peaks_.push_back(
                    {charge.name, interval.when, interval.power, interval.when.length() > charge.interval});
        }
        return measured.power;
    }

  private:
    [[nodiscard]] std::vector<IntervalDemand> intervals(const DemandCharge& charge) const {
        std::vector<IntervalDemand> found;
        for (const Segment& segment : input_.use.segments) {
            for (const DemandCharge& in_force : input_.tariff.revisions[segment.revision].demand) {
                if (in_force.name != charge.name || in_force.seasons != charge.seasons || is_stated(in_force))
                    continue;
                for (const IntervalDemand& interval :
                     demand_intervals(input_.tariff, input_.clock, in_force, input_.bill,
                                      std::get<Metered>(input_.usage).taken)) {
                    if (segment.days.contains(interval.day)) found.push_back(interval);
                }
            }
        }
        return found;
    }

    const DemandInput& input_;
    std::vector<PeakTime>& peaks_;
};

std::variant<Milliwatts, Refusal> power_of(const DemandCharge& charge, const DemandInput& input,
                                           BillDemand& demand, const Carried& before, Carried& after) {
    if (is_stated(charge)) {
        auto stated = stated_power(charge, input.terms);
        if (std::holds_alternative<Refusal>(stated)) return stated;
        return billed_demand(charge, std::get<Milliwatts>(stated), {});
    }
    auto measured = demand.of(charge);
    if (std::holds_alternative<Refusal>(measured)) return measured;
    remember(after, {charge.name, input.bill.from, std::get<Milliwatts>(measured), after.bills});
    return billed_demand(charge, std::get<Milliwatts>(measured), before);
}

}  // namespace

LinesOrRefusal demand_lines(const DemandInput& input, std::vector<PeakTime>& peaks, Carried& after) {
    std::vector<ExactLine> lines;
    const Carried before = after;
    BillDemand demand(input, peaks);
    for (const Segment& segment : input.use.segments) {
        for (const DemandCharge& charge : input.tariff.revisions[segment.revision].demand) {
            const int active = days_in(input.tariff, segment.days, charge.seasons);
            if (active == 0) continue;
            const auto found = power_of(charge, input, demand, before, after);
            if (const auto* refusal = std::get_if<Refusal>(&found)) return *refusal;
            const Milliwatts power = std::get<Milliwatts>(found);
            const Multiple multiple = multiple_of(input.tariff, charge.per, input.bill,
                                                  {segment.days, charge.seasons}, input.terms.months);
            Parted parted = by_steps(charge, power);
            ExactAmount amount = times(parted.amount, multiple);
            for (const std::int64_t factor : charge.factors) amount = scaled(amount, factor, tariff::kWhole);
            Line line{Part::demand,         charge.name, segment.days, power.count(),
                      Line::Unit::kilowatt, {},          {},           std::move(parted.rule)};
            if (parted.rate) line.rate = parted.rate->count();
            if (line.rule.empty()) line.rule = per_text(charge.per, multiple, active);
            lines.push_back({std::move(line), amount});
        }
    }
    return lines;
}

namespace {

// A minimum over a change of prices: each revision's by its days, of the lines its latest names.
struct Least {
    const tariff::MinimumBill* minimum = nullptr;
    ExactAmount amount;
};

std::vector<Least> leasts_of(const Tariff& tariff, DateSpan bill, const Use& use, const Terms& terms) {
    static const std::vector<std::size_t> kAllYear;
    std::vector<Least> found;
    for (const Segment& segment : use.segments) {
        for (const tariff::MinimumBill& minimum : tariff.revisions[segment.revision].minimums) {
            auto same = std::ranges::find_if(
                found, [&](const Least& least) { return least.minimum->name == minimum.name; });
            if (same == found.end()) same = found.insert(found.end(), Least{});
            same->minimum = &minimum;
            same->amount +=
                times(ExactAmount(minimum.amount),
                      multiple_of(tariff, minimum.per, bill, {segment.days, kAllYear}, terms.months));
        }
    }
    return found;
}

}  // namespace

std::vector<ExactLine> minimum_lines(const Tariff& tariff, DateSpan bill, const Use& use, const Terms& terms,
                                     const std::vector<Line>& lines) {
    std::vector<ExactLine> found;
    const bool banked = banks_money(tariff, use);
    for (const Least& least : leasts_of(tariff, bill, use, terms)) {
        ExactAmount sum;
        for (const Line& line : lines) {
            const bool credit = banked && line.part == Part::exported;
            if (!credit && counts(least.minimum->of, line)) sum += ExactAmount(line.amount);
        }
        for (const ExactLine& other : found) {
            if (counts(least.minimum->of, other.line)) sum += other.amount;
        }
        const ExactAmount lacks = least.amount - sum;
        if (lacks <= ExactAmount()) continue;
        Line line{Part::minimum, least.minimum->name, bill, 0, Line::Unit::none, {}, {}, {}};
        line.rule = "the least is " +
                    decimal_text(static_cast<std::int64_t>(least.amount.atto() / 1'000'000'000'000), 6, 2);
        found.push_back({std::move(line), lacks});
    }
    return found;
}

Money least_due(const Tariff& tariff, DateSpan bill, const Use& use, const Terms& terms) {
    ExactAmount greatest;
    for (const Least& least : leasts_of(tariff, bill, use, terms))
        greatest = std::max(greatest, least.amount);
    return Money(static_cast<std::int64_t>(nearest_quotient(greatest.atto(), 1'000'000'000'000)));
}

bool banks_money(const Tariff& tariff, const Use& use) {
    const auto& exported = tariff.revisions[use.segments.back().revision].exported;
    return exported && exported->bank == tariff::Export::Bank::money;
}

}  // namespace lullwatt::account
