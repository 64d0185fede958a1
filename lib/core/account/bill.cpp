#include "core/account/bill.hpp"

#include <algorithm>
#include <cassert>

#include "core/account/energy_lines.hpp"
#include "core/account/standing_lines.hpp"
#include "core/account/use.hpp"

namespace lullwatt::account {
namespace {

using tariff::BillRounding;
using tariff::LineRounding;
using tariff::Tariff;

constexpr std::int64_t kMicro = 1'000'000;

int digits_of(const Tariff& tariff) { return minor_digits(tariff.currency).value_or(2); }

Money step_of(int digits) {
    std::int64_t step = kMicro;
    for (int i = 0; i < digits; ++i) step /= 10;
    return Money(step);
}

// Sums of lines stay far from 64 bits below it.
constexpr Wide kMostMicro = Wide{1'000'000'000'000} * kMicro;

// To a multiple of `step`, which divides no amount finer than 1e-6; capped just beyond what a bill may come
// to.
Money to_step(ExactAmount amount, Money step, LineRounding rounding) {
    const Wide atto = ExactAmount(step).atto();
    const Wide count =
        rounding == LineRounding::down ? amount.atto() / atto : nearest_quotient(amount.atto(), atto);
    return Money(
        static_cast<std::int64_t>(std::clamp(count * step.count(), -2 * kMostMicro, 2 * kMostMicro)));
}

class Rounder {
  public:
    explicit Rounder(const Tariff& tariff) : rounding_(tariff.rounding), digits_(digits_of(tariff)) {}

    [[nodiscard]] Money line(ExactAmount amount) const {
        const bool exact = rounding_.lines == LineRounding::exact;
        return to_step(amount, exact ? Money(1) : step_of(digits_), rounding_.lines);
    }
    [[nodiscard]] Money total(Money sum) const {
        if (rounding_.total == LineRounding::exact) return sum;
        const Money step = rounding_.total_step > Money(0) ? rounding_.total_step : step_of(digits_);
        return to_step(ExactAmount(sum), step, rounding_.total);
    }

  private:
    BillRounding rounding_;
    int digits_;
};

Money sum_of(const std::vector<Line>& lines) {
    Money sum;
    for (const Line& line : lines) sum += line.amount;
    return sum;
}

void add(std::vector<Line>& lines, std::vector<ExactLine> exact, const Rounder& rounder) {
    for (ExactLine& one : exact) {
        one.line.amount = rounder.line(one.amount);
        lines.push_back(std::move(one.line));
    }
}

bool fits(const std::vector<Line>& lines) {
    Wide sum = 0;
    for (const Line& line : lines)
        sum += line.amount.count() < 0 ? -Wide{line.amount.count()} : line.amount.count();
    return sum <= kMostMicro;
}

// The part of a line's amount that falls on some days.
ExactAmount part_of(const Line& line, DateSpan days) {
    const auto from = std::max(date::sys_days{line.days.from}, date::sys_days{days.from});
    const auto to = std::min(date::sys_days{line.days.to}, date::sys_days{days.to});
    if (to <= from) return {};
    return scaled(ExactAmount(line.amount), (to - from).count(), line.days.days());
}

// A bill over a change of percentages takes each by its days.
void add_percentages(std::vector<Line>& lines, const Tariff& tariff, const Use& use, Part part,
                     const Rounder& rounder) {
    const std::size_t before = lines.size();
    for (const Segment& segment : use.segments) {
        const tariff::Revision& revision = tariff.revisions[segment.revision];
        for (const tariff::Percentage& percentage : part == Part::rider ? revision.riders : revision.taxes) {
            const std::size_t end = percentage.compound ? lines.size() : before;
            ExactAmount base;
            for (std::size_t i = 0; i < end; ++i) {
                const Line& line = lines[i];
                if (!counts(percentage.of, line)) continue;
                base += part_of(line, segment.days);
            }
            Line line{
                part, percentage.name, segment.days, percentage.millionths * 100, Line::Unit::percent, {}, {},
                {}};
            line.amount = rounder.line(scaled(base, percentage.millionths, tariff::kWhole));
            line.rule = "of " + decimal_text(to_step(base, Money(1), LineRounding::nearest).count(), 6, 2);
            lines.push_back(std::move(line));
        }
    }
}

// Credit beyond what a bill's minimum leaves to pay goes into the next bill, until it expires.
void carry_money(std::vector<Line>& lines, const DemandInput& input, Carried& after) {
    if (!banks_money(input.tariff, input.use)) return;
    const auto& exported = *input.tariff.revisions[input.use.segments.back().revision].exported;
    const auto put = [&](const char* name, Money amount) {
        lines.push_back({Part::carried, name, input.bill, 0, Line::Unit::none, {}, amount, {}});
        after.money += amount;
    };
    const Money above = sum_of(lines) - least_due(input.tariff, input.bill, input.use, input.terms);
    if (above < Money(0)) put("credit carried forward", -above);
    if (above > Money(0) && after.money > Money(0))
        put("credit from earlier bills", -std::min(after.money, above));
    if (!exported.expires || !falls_in(*exported.expires, input.bill)) return;
    if (exported.pays_out && after.money > Money(0)) put("credit paid out", -after.money);
    after.money = Money(0);
}

void round_total(std::vector<Line>& lines, DateSpan bill, const Rounder& rounder) {
    const Money sum = sum_of(lines);
    const Money total = rounder.total(sum);
    if (total == sum) return;
    lines.push_back({Part::rounding, "rounding", bill, 0, Line::Unit::none, {}, total - sum, {}});
}

// Energy taken and given cancels within each interval by the clock.
Metered net_by_interval(const Metered& metered, Seconds interval, Interval span, const Zone& clock) {
    struct Bin {
        Instant begin;
        std::int64_t net = 0;
    };
    std::vector<Bin> bins;
    const auto add = [&](const EnergySeries& series, int sign) {
        for (const EnergyReading& reading : series) {
            // A whole interval more on either side: one that the bill's edge cuts is netted whole.
            if (reading.when.end <= span.begin - interval || span.end + interval <= reading.when.begin)
                continue;
            Instant at = reading.when.begin;
            std::int64_t done = 0;
            while (at < reading.when.end) {
                const Seconds local = (at + clock.offset_at(at)).time_since_epoch();
                const Instant begin = at - (local % interval + interval) % interval;
                const Instant end = std::min(begin + interval, reading.when.end);
                const auto until = static_cast<std::int64_t>(nearest_quotient(
                    static_cast<Wide>(reading.energy.count()) * (end - reading.when.begin).count(),
                    reading.when.length().count()));
                bins.push_back({begin, sign * (until - done)});
                done = until;
                at = end;
            }
        }
    };
    add(metered.taken, 1);
    add(metered.given, -1);
    std::ranges::stable_sort(bins, {}, &Bin::begin);
    Metered net;
    for (std::size_t i = 0; i < bins.size();) {
        const Instant begin = bins[i].begin;
        std::int64_t sum = 0;
        for (; i < bins.size() && bins[i].begin == begin; ++i) sum += bins[i].net;
        const Interval when{begin, begin + interval};
        net.taken.push_back({when, MilliwattHours(std::max<std::int64_t>(sum, 0))});
        net.given.push_back({when, MilliwattHours(std::max<std::int64_t>(-sum, 0))});
    }
    return net;
}

const tariff::Export* export_on(const Tariff& tariff, CivilDate last) {
    for (auto revision = tariff.revisions.rbegin(); revision != tariff.revisions.rend(); ++revision) {
        if (revision->from <= last) return revision->exported ? &*revision->exported : nullptr;
    }
    return nullptr;
}

// None: energy taken and given stay as they were metered.
std::optional<std::variant<Metered, Typed>> netted(const Tariff& tariff, const Zone& clock, DateSpan days,
                                                   const std::variant<Metered, Typed>& usage) {
    const auto* metered = std::get_if<Metered>(&usage);
    const tariff::Export* rules = export_on(tariff, days.last());
    if (metered == nullptr || rules == nullptr || rules->netting != tariff::Export::Netting::interval)
        return std::nullopt;
    return net_by_interval(*metered, rules->interval, instants_of(tariff, clock, days), clock);
}

std::variant<Bill, Refusal> assemble(const DemandInput& input, const Carried& before) {
    const Rounder rounder(input.tariff);
    Bill bill{.days = input.bill, .after = before};
    ++bill.after.bills;
    for (const WindowUse& window : input.use.windows) {
        bill.taken += window.taken;
        bill.given += window.given;
    }
    bill.without_readings = input.use.without_readings;
    bill.assumed = input.use.assumed;
    add(bill.lines, energy_lines(input.tariff, input.bill, input.use, input.terms, bill.after), rounder);
    for (auto& more : {demand_lines(input, bill.peaks, bill.after),
                       fixed_lines(input.tariff, input.bill, input.use, input.terms)}) {
        if (const auto* refusal = std::get_if<Refusal>(&more)) return *refusal;
        add(bill.lines, std::get<std::vector<ExactLine>>(more), rounder);
    }
    const Refusal too_much{"the bill comes to more than 1e12 " + input.tariff.currency,
                           "look at the energy and the prices"};
    if (!fits(bill.lines)) return too_much;
    add(bill.lines, minimum_lines(input.tariff, input.bill, input.use, input.terms, bill.lines), rounder);
    add_percentages(bill.lines, input.tariff, input.use, Part::rider, rounder);
    if (!fits(bill.lines)) return too_much;
    add_percentages(bill.lines, input.tariff, input.use, Part::tax, rounder);
    if (!fits(bill.lines)) return too_much;
    carry_money(bill.lines, input, bill.after);
    round_total(bill.lines, input.bill, rounder);
    bill.total = sum_of(bill.lines);
    return bill;
}

}  // namespace

std::variant<Bill, Refusal> bill(const Tariff& tariff, const Zone& clock, DateSpan days,
                                 const std::variant<Metered, Typed>& usage, const Terms& terms,
                                 const Carried& before) {
    assert(days.from < days.to);
    const bool by_bills =
        tariff.seasons_by != tariff::DatedBy::day || tariff.revisions_by != tariff::DatedBy::day;
    if (by_bills && tariff.bills.reads != std::vector{days.from, days.to}) {
        Tariff dated = tariff;
        dated.bills.reads = {days.from, days.to};
        return bill(dated, clock, days, usage, terms, before);
    }
    const auto net = netted(tariff, clock, days, usage);
    auto use = use_of(tariff, clock, days, net ? *net : usage);
    if (const auto* refusal = std::get_if<Refusal>(&use)) return *refusal;
    // Netting is for energy: demand and gaps are the meter's own.
    if (net)
        std::get<Use>(use).without_readings =
            uncovered(std::get<Metered>(usage).taken, instants_of(tariff, clock, days));
    return assemble({tariff, clock, days, std::get<Use>(use), usage, terms}, before);
}

std::variant<std::vector<Bill>, Refusal> bills(const Tariff& tariff, const Zone& clock,
                                               const std::vector<DateSpan>& spans,
                                               const std::variant<Metered, Typed>& usage,
                                               const Terms& terms) {
    std::vector<Bill> found;
    for (const DateSpan span : spans) {
        auto next = bill(tariff, clock, span, usage, terms, found.empty() ? Carried{} : found.back().after);
        if (auto* refusal = std::get_if<Refusal>(&next)) return std::move(*refusal);
        found.push_back(std::get<Bill>(std::move(next)));
    }
    return found;
}

}  // namespace lullwatt::account
