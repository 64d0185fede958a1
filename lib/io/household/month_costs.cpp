#include "io/household/month_costs.hpp"

#include <algorithm>
#include <utility>

#include "core/account/blocks.hpp"
#include "core/account/demand.hpp"
#include "core/account/standing_lines.hpp"
#include "core/account/use.hpp"
#include "core/tariff/window.hpp"
#include "io/household/demand_power.hpp"
#include "io/household/house_power.hpp"

namespace lullwatt::io {
namespace {

using tariff::BlockCharge;
using tariff::DateSpan;
using tariff::DemandCharge;
using tariff::Revision;
using tariff::Stretch;

constexpr date::days kDay{1};
constexpr date::days kLookBack{28};  // what the house is expected to go on using goes by these; ours
constexpr Seconds kSlotGrid{300};    // of plan::assemble

std::vector<Stretch> stretches_of(const Supply& supply, Interval span) {
    if (span.end <= span.begin) return {};
    auto found = tariff::stretches(supply.tariff, supply.clock, span);
    auto* all = std::get_if<tariff::Stretches>(&found);
    return all != nullptr ? std::move(*all) : tariff::Stretches{};
}

// Builds the costs of one contract.
class Contracted {
  public:
    Contracted(const Household& household, const Supply& supply, const plan::Problem& problem,
               const site::SiteLoads& loads, Instant now, const MonthSoFar& stated,
               std::vector<plan::Taken::Draw> beside, MonthOfNight& month)
        : supply_(supply),
          problem_(problem),
          now_(now),
          stated_(stated),
          beside_(std::move(beside)),
          month_(month),
          house_(household, supply.contract, loads),
          readings_(readings_until(household, supply, now)),
          night_(stretches_of(supply, {problem.slots.front().when.begin, problem.slots.back().when.end})) {}

    void add() {
        for (const DateSpan bill : bills()) {
            for (const std::size_t revision : revisions_in(bill)) {
                for (const DemandCharge& charge : supply_.tariff.revisions[revision].demand)
                    add_peak(bill, revision, charge);
                for (const BlockCharge& block : supply_.tariff.revisions[revision].blocks)
                    add_block(bill, revision, block);
            }
        }
    }

  private:
    [[nodiscard]] std::vector<DateSpan> bills() const {
        std::vector<DateSpan> found;
        for (const Stretch& stretch : night_) {
            const DateSpan bill = tariff::bill_of(supply_.contract.bills, stretch.day);
            if (found.empty() || found.back() != bill) found.push_back(bill);
        }
        return found;
    }
    [[nodiscard]] std::vector<std::size_t> revisions_in(DateSpan bill) const {
        std::vector<std::size_t> found;
        for (const Stretch& stretch : night_) {
            if (bill.contains(stretch.day) && (found.empty() || found.back() != stretch.revision))
                found.push_back(stretch.revision);
        }
        return found;
    }
    [[nodiscard]] account::Multiple multiple(tariff::Per per, DateSpan bill,
                                             const std::vector<std::size_t>& seasons) const {
        return account::multiple_of(supply_.tariff, per, bill, {bill, seasons},
                                    supply_.contract.terms.months);
    }
    // Whether readings say anything of the days from `from` on. A bill that begins in the night knows itself.
    [[nodiscard]] bool recorded(DateSpan days) const {
        const Interval span = account::instants_of(supply_.tariff, supply_.clock, days);
        return span.begin >= now_ || (!readings_.empty() && readings_.back().when.end > span.begin);
    }

    void add_peak(DateSpan bill, std::size_t revision, const DemandCharge& charge);
    [[nodiscard]] std::vector<account::IntervalDemand> peaks_so_far(DateSpan bill, const DemandCharge& charge,
                                                                    ToldPeak& told) const;
    [[nodiscard]] std::vector<plan::CountedInterval> counted(
        DateSpan bill, std::size_t revision, const DemandCharge& charge, bool by_slot,
        const std::vector<plan::Taken::Draw>& beside) const;
    [[nodiscard]] account::Carried earlier_bills(DateSpan bill, const DemandCharge& charge) const;
    void add_block(DateSpan bill, std::size_t revision, const BlockCharge& block);
    void add_count(DateSpan bill, DateSpan counts, std::size_t revision, const BlockCharge& block);
    [[nodiscard]] MilliwattHours counted_energy(const BlockCharge& block, Interval span) const;

    const Supply& supply_;
    const plan::Problem& problem_;
    Instant now_;
    const MonthSoFar& stated_;
    std::vector<plan::Taken::Draw> beside_;
    MonthOfNight& month_;
    HousePower house_;
    EnergySeries readings_;
    std::vector<Stretch> night_;
};

std::vector<account::IntervalDemand> Contracted::peaks_so_far(DateSpan bill, const DemandCharge& charge,
                                                              ToldPeak& told) const {
    const Interval span = account::instants_of(supply_.tariff, supply_.clock, bill);
    if (stated_.peak && span.begin < now_) {
        told.known = Known::stated;
        std::vector<account::IntervalDemand> all;
        for (int i = 0; i < charge.highest_of; ++i) {
            const CivilDate day{date::sys_days{bill.from} - (i + 1) * date::days{7}};
            all.push_back({{span.begin, span.begin + charge.interval}, day, *stated_.peak});
        }
        return all;
    }
    if (!recorded(bill)) return {};
    told.known = Known::readings;
    told.until = readings_.empty() ? span.begin : std::max(readings_.back().when.end, span.begin);
    return account::demand_intervals(supply_.tariff, supply_.clock, charge, bill, readings_);
}

// A flat power through the night tells which intervals count, and for how much.
std::vector<plan::CountedInterval> Contracted::counted(DateSpan bill, std::size_t revision,
                                                       const DemandCharge& charge, bool by_slot,
                                                       const std::vector<plan::Taken::Draw>& beside) const {
    constexpr MilliwattHours kAMinute(1'000'000);
    constexpr std::int64_t kFlatPerShare = 60;  // mW of 60 kW for each millionth that counts
    const Interval night{problem_.slots.front().when.begin, problem_.slots.back().when.end};
    EnergySeries flat;
    DemandCharge aligned = charge;
    aligned.rolling = false;
    if (by_slot) aligned.interval = Seconds{60};
    const Seconds step = by_slot ? Seconds{60} : charge.interval;
    for (Instant at = night.begin - charge.interval; at < night.end + charge.interval; at += Seconds{60})
        flat.push_back({{at, at + Seconds{60}}, kAMinute});
    std::vector<plan::CountedInterval> found;
    for (const account::IntervalDemand& interval :
         account::demand_intervals(supply_.tariff, supply_.clock, aligned, bill, flat)) {
        const auto stretch =
            std::ranges::find_if(night_, [&](const Stretch& one) { return one.day == interval.day; });
        if (stretch == night_.end() || stretch->revision != revision) continue;
        plan::CountedInterval counts{.first = 0,
                                     .last = 0,
                                     .length = step,
                                     .house = {},
                                     .share = interval.power.count() / kFlatPerShare};
        for (std::size_t t = 0; t < problem_.slots.size(); ++t) {
            const Interval slot = problem_.slots[t].when;
            if (slot.end <= interval.when.begin || interval.when.end <= slot.begin) continue;
            if (counts.last == 0) counts.first = t;
            counts.last = t + 1;
        }
        if (counts.last == 0) continue;
        Interval when = interval.when;
        if (by_slot) {
            when = problem_.slots[counts.first].when;
            if (!found.empty() && found.back().first == counts.first) {
                found.back().share = std::max(found.back().share, counts.share);
                continue;
            }
            counts.length = when.length();
        }
        const MilliwattHours others = energy_of(beside, when);
        counts.house =
            house_.mean(when) + Milliwatts(static_cast<std::int64_t>(nearest_quotient(
                                    static_cast<Wide>(others.count()) * 3600, when.length().count())));
        found.push_back(counts);
    }
    return found;
}

// Peaks of the bills before this one, where the charge goes by them and they are recorded.
account::Carried Contracted::earlier_bills(DateSpan bill, const DemandCharge& charge) const {
    account::Carried before;
    const int count = std::max(charge.mean_of_bills - 1, charge.ratchet ? charge.ratchet->months : 0);
    if (count == 0 || readings_.empty()) return before;
    std::vector<DateSpan> spans;
    DateSpan at = bill;
    for (int i = 0; i < count; ++i) {
        at = tariff::bill_of(supply_.contract.bills, CivilDate{date::sys_days{at.from} - kDay});
        if (account::instants_of(supply_.tariff, supply_.clock, at).begin < readings_.front().when.begin)
            break;
        spans.insert(spans.begin(), at);
    }
    if (spans.empty()) return before;
    const auto priced = account::bills(supply_.tariff, supply_.clock, spans, account::Metered{readings_, {}},
                                       supply_.contract.terms);
    if (const auto* all = std::get_if<std::vector<account::Bill>>(&priced)) before = all->back().after;
    return before;
}

void Contracted::add_peak(DateSpan bill, std::size_t revision, const DemandCharge& charge) {
    const bool stated =
        charge.measure == DemandCharge::Measure::given || charge.measure == DemandCharge::Measure::contracted;
    if (stated) return;  // billed whatever is drawn
    const bool by_slot = charge.rolling || charge.interval % kSlotGrid != Seconds{0};
    auto intervals = counted(bill, revision, charge, by_slot, beside_);
    if (intervals.empty()) return;
    const bool several = charge.highest_of > 1 && charge.distinct == DemandCharge::Distinct::no;
    if (charge.measure == DemandCharge::Measure::mean_of_daily || several || !never_falls(charge)) {
        month_.not_counted.push_back(charge.name);
        return;
    }
    ToldPeak told{.contract = supply_.contract.name,
                  .charge = charge.name,
                  .bill = bill,
                  .so_far = {},
                  .known = Known::nothing,
                  .until = {},
                  .by_slot = by_slot};
    auto so_far = peaks_so_far(bill, charge, told);
    told.so_far = account::measured_demand(charge, so_far).power;
    // A night over two days may raise the figure of either, so it counts for both.
    std::vector<CivilDate> days;
    for (const plan::CountedInterval& interval : intervals) {
        const CivilTime label = supply_.clock.civil(problem_.slots[interval.first].when.begin);
        const CivilDate day = tariff::tariff_day(supply_.tariff, label);
        if (charge.distinct == DemandCharge::Distinct::no && !days.empty()) break;
        if (days.empty() || days.back() != day) days.push_back(day);
    }
    plan::PeakCharge peak{.name = charge.name, .free = {}, .intervals = std::move(intervals), .cost = {}};
    peak.cost = [charge, days, so_far = std::move(so_far), before = earlier_bills(bill, charge),
                 per = multiple(charge.per, bill, charge.seasons),
                 prices = supply_.tariff.revisions[revision]](Milliwatts power) {
        auto all = so_far;
        for (const CivilDate day : days) all.push_back({{}, day, power});
        const Milliwatts billed =
            account::billed_demand(charge, account::measured_demand(charge, all).power, before);
        return tariff::with_percentages(prices, tariff::Part::demand, charge.name,
                                        account::demand_amount(charge, billed, per));
    };
    // Whatever the house does alone is free, and so is what costs no more than that.
    const Milliwatts house = highest_house(peak.intervals);
    constexpr std::int64_t kFurthest = 1'000'000'000;  // 1 MW: no house is above it
    std::int64_t low = house.count();
    std::int64_t high = std::max(low, kFurthest) + 1;
    const ExactAmount cost = peak.cost(Milliwatts(low));
    while (high - low > 1) {
        const std::int64_t middle = low + (high - low) / 2;
        (peak.cost(Milliwatts(middle)) == cost ? low : high) = middle;
    }
    peak.free = Milliwatts(low);
    const Milliwatts alone =
        beside_.empty() ? house : highest_house(counted(bill, revision, charge, by_slot, {}));
    told.by_house = peak.cost(Milliwatts(0)) != cost;
    told.by_others = peak.cost(alone) != cost;
    month_.costs.peaks.push_back(std::move(peak));
    month_.peaks.push_back(std::move(told));
}

// Recorded energy of `span` in the hours a block counts.
MilliwattHours Contracted::counted_energy(const BlockCharge& block, Interval span) const {
    Wide sum = 0;
    auto reading = readings_.begin();
    for (const Stretch& stretch : stretches_of(supply_, span)) {
        while (reading != readings_.end() && reading->when.end <= stretch.when.begin) ++reading;
        if (!tariff::applies(block, stretch)) continue;
        for (auto at = reading; at != readings_.end() && at->when.begin < stretch.when.end; ++at) {
            const Instant begin = std::max(at->when.begin, stretch.when.begin);
            const Instant end = std::min(at->when.end, stretch.when.end);
            sum += nearest_quotient(static_cast<Wide>(at->energy.count()) * (end - begin).count(),
                                    at->when.length().count());
        }
    }
    return MilliwattHours(static_cast<std::int64_t>(sum));
}

void Contracted::add_block(DateSpan bill, std::size_t revision, const BlockCharge& block) {
    const bool by_use = std::ranges::any_of(
        block.steps, [&](const BlockCharge::Step& step) { return step.rate != block.steps.front().rate; });
    if (!by_use) return;
    std::vector<DateSpan> counts;
    for (const Stretch& stretch : night_) {
        if (!bill.contains(stretch.day) || stretch.revision != revision || !tariff::applies(block, stretch))
            continue;
        DateSpan days = bill;
        if (block.over == BlockCharge::Over::day)
            days = {stretch.day, CivilDate{date::sys_days{stretch.day} + kDay}};
        if (block.over == BlockCharge::Over::year || block.over == BlockCharge::Over::season) {
            days.from = account::counted_since(supply_.tariff, block, stretch.day);
            for (const DateSpan part : account::counts_of(supply_.tariff, block, bill)) {
                if (part.contains(stretch.day)) days.to = part.to;
            }
        }
        if (counts.empty() || counts.back() != days) counts.push_back(days);
    }
    for (const DateSpan days : counts) add_count(bill, days, revision, block);
}

void Contracted::add_count(DateSpan bill, DateSpan counts, std::size_t revision, const BlockCharge& block) {
    const Revision& prices = supply_.tariff.revisions[revision];
    const Interval span = account::instants_of(supply_.tariff, supply_.clock, counts);
    ToldSteps told{.contract = supply_.contract.name,
                   .block = block.name,
                   .counts = counts,
                   .so_far = {},
                   .expected = {},
                   .known = Known::nothing,
                   .until = now_,
                   .steps = {}};
    // What is recorded stands; what is not goes on as the weeks before did.
    const Instant recorded_until =
        readings_.empty() ? span.begin : std::clamp(readings_.back().when.end, span.begin, span.end);
    Instant from = recorded_until;
    if (stated_.use && span.begin < now_ && block.over == BlockCharge::Over::bill) {
        told.known = Known::stated;
        told.so_far = *stated_.use;
        from = std::max(now_, span.begin);
    } else if (recorded(counts) && !readings_.empty()) {
        told.known = Known::readings;
        told.until = recorded_until;
        told.so_far = counted_energy(block, {span.begin, recorded_until});
    }
    if (told.known == Known::nothing) {
        const bool ahead = span.begin >= now_;
        const bool known = std::ranges::any_of(month_.at_dearest, [&](const UnknownUse& before) {
            return before.block == block.name && before.ahead == ahead;
        });
        if (!known) {
            const bool asked = !ahead && block.over == BlockCharge::Over::bill;
            month_.at_dearest.push_back({block.name, counts.from, ahead, asked});
        }
        return;
    }
    if (!readings_.empty()) {
        const Instant end = readings_.back().when.end;
        const Instant begin = std::max(end - kLookBack, readings_.front().when.begin);
        const MilliwattHours used = counted_energy(block, {begin, end});
        const Wide left = std::max<std::int64_t>((span.end - from).count(), 0);
        told.expected = MilliwattHours(static_cast<std::int64_t>(
            nearest_quotient(static_cast<Wide>(used.count()) * left, (end - begin).count())));
    }
    plan::StepAccount account{
        .name = block.name, .slots = {}, .used = told.so_far + told.expected, .steps = {}, .held = {}};
    for (const Stretch& stretch : night_) {
        if (counts.contains(stretch.day) && bill.contains(stretch.day) && stretch.revision == revision &&
            tariff::applies(block, stretch))
            account.used += energy_of(beside_, stretch.when);
    }
    bool any = false;
    for (const plan::Slot& slot : problem_.slots) {
        const auto stretch = std::ranges::find_if(
            night_, [&](const Stretch& one) { return one.when.contains(slot.when.begin); });
        const bool in = stretch != night_.end() && counts.contains(stretch->day) &&
                        bill.contains(stretch->day) && stretch->revision == revision &&
                        tariff::applies(block, *stretch);
        account.slots.push_back(in);
        any |= in;
    }
    if (!any) return;
    const account::Limits limits = account::limits_of(block, multiple(block.per, bill, block.seasons));
    for (std::size_t i = 0; i < block.steps.size(); ++i) {
        // Per kilowatt-hour at the meter, in 1e-18 so that only the end is rounded.
        const ExactAmount one = tariff::with_percentages(
            prices, tariff::Part::block, block.name,
            scaled(ExactAmount(static_cast<Wide>(block.steps[i].rate.count()) * 1'000'000), block.loss_factor,
                   tariff::kWhole));
        const Rate rate(static_cast<std::int64_t>(nearest_quotient(one.atto(), 1'000'000)));
        account.steps.push_back({i < limits.size() ? std::optional(limits[i]) : std::nullopt, rate});
        told.steps.push_back(account::step_text(limits, i));
        account.held = i == 0 ? rate : std::max(account.held, rate);
    }
    month_.costs.steps.push_back(std::move(account));
    month_.steps.push_back(std::move(told));
}

}  // namespace

MonthOfNight month_of_night(const Household& household, std::size_t point, const plan::Problem& problem,
                            const site::SiteLoads& loads, Instant now, const MonthSoFar& stated,
                            const std::vector<plan::Taken>& beside) {
    MonthOfNight month;
    if (problem.slots.empty()) return month;
    const auto supplies_of = [&](std::size_t of) {
        return supplies_at(household, household.site.site.points[of].circuit);
    };
    for (const std::size_t index : supplies_of(point)) {
        std::vector<plan::Taken::Draw> draws;
        for (const plan::Taken& other : beside) {
            const auto billed = supplies_of(other.point);
            if (std::ranges::find(billed, index) == billed.end()) continue;
            draws.insert(draws.end(), other.draws.begin(), other.draws.end());
        }
        Contracted(household, household.supplies[index], problem, loads, now, stated, std::move(draws), month)
            .add();
    }
    return month;
}

}  // namespace lullwatt::io
