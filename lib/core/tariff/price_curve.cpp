#include "core/tariff/price_curve.hpp"

#include <algorithm>
#include <cassert>
#include <utility>

#include "core/quantity/wide.hpp"
#include "core/tariff/window.hpp"

namespace lullwatt::tariff {
namespace {

constexpr std::int64_t kMillion = 1'000'000;

struct Price {
    Rate rate;
    std::string name;
};

Rate with_tax(Rate rate, const Revision& revision) {
    std::int64_t millionths = kMillion;
    for (const Tax& tax : revision.taxes) millionths += tax.millionths;
    return Rate(
        static_cast<std::int64_t>(nearest_quotient(static_cast<Wide>(rate.count()) * millionths, kMillion)));
}

Rate adders_of(const Revision& revision) {
    Rate sum;
    for (const Adder& adder : revision.adders) sum += adder.rate;
    return sum;
}

const Revision* revision_on(const Tariff& tariff, CivilDate date) {
    const auto later =
        std::ranges::find_if(tariff.revisions, [&](const Revision& r) { return date < r.from; });
    if (later == tariff.revisions.begin()) return nullptr;
    const Revision& latest = *std::prev(later);
    return latest.to && *latest.to < date ? nullptr : &latest;
}

const Override* override_on(const Tariff& tariff, CivilDate date) {
    const auto found = std::ranges::find_if(
        tariff.overrides, [&](const Override& order) { return order.from <= date && date <= order.to; });
    return found == tariff.overrides.end() ? nullptr : &*found;
}

// Every instant of `span` at which the price may change, `span` itself included.
std::vector<Instant> cuts(const Tariff& tariff, const Zone& clock, Interval span) {
    std::vector<Instant> found = {span.begin, span.end};
    const auto add = [&](Instant at) {
        if (span.begin < at && at < span.end) found.push_back(at);
    };
    std::vector<Seconds> labels = {tariff.day_start};
    for (const Revision& revision : tariff.revisions) {
        const auto of_revision = edges(revision);
        labels.insert(labels.end(), of_revision.begin(), of_revision.end());
    }
    std::ranges::sort(labels);
    labels.erase(std::unique(labels.begin(), labels.end()), labels.end());

    // A day more on either side: a clock set back across midnight shows a date again.
    const auto first = date::floor<date::days>(clock.civil(span.begin)) - date::days{1};
    const auto last = date::floor<date::days>(clock.civil(span.end - Seconds{1})) + date::days{1};
    for (auto day = first; day <= last; day += date::days{1}) {
        for (const Seconds label : labels) {
            for (const Instant at : clock.instants(day + label)) add(at);
        }
    }
    for (Instant at = clock.next_change(span.begin); at < span.end; at = clock.next_change(at)) add(at);
    if (tariff.announced) {
        for (const AnnouncedPrice& price : tariff.announced->prices) {
            add(price.when.begin);
            add(price.when.end);
        }
    }
    std::ranges::sort(found);
    found.erase(std::unique(found.begin(), found.end()), found.end());
    return found;
}

Price announced_at(const Announced& announced, Instant at) {
    const auto after = std::ranges::upper_bound(announced.prices, at, {},
                                                [](const AnnouncedPrice& price) { return price.when.end; });
    if (after != announced.prices.end() && after->when.contains(at)) return {after->rate, "announced"};
    return {announced.fallback, "assumed"};
}

// Keeps the kinds of the days last asked for: pieces come in order, and a holiday calendar is slow to ask.
class DayByDay {
  public:
    explicit DayByDay(const Tariff& tariff) : tariff_(tariff) {}
    const TwoDays& kinds(CivilDate date) {
        if (date_ == date) return kinds_;
        const CivilDate before{date::sys_days{date} - date::days{1}};
        kinds_ = {date_ == before ? kinds_.day : day_kind(tariff_, before), day_kind(tariff_, date)};
        date_ = date;
        return kinds_;
    }

  private:
    const Tariff& tariff_;
    std::optional<CivilDate> date_;
    TwoDays kinds_;
};

std::optional<Price> price_of(const Tariff& tariff, const Revision& revision, DayByDay& days, CivilTime label,
                              Instant at) {
    const CivilDate date = tariff_day(tariff, label);
    const Override* order = override_on(tariff, date);
    if (order != nullptr && order->rate) return Price{*order->rate, order->name};
    if (order == nullptr && tariff.announced) return announced_at(*tariff.announced, at);
    const TwoDays& kinds = days.kinds(date);
    const Window* window = order != nullptr
                               ? window_named(revision, kinds.day, order->name)
                               : window_at(revision, kinds, label - date::floor<date::days>(label));
    if (window == nullptr) return std::nullopt;
    return Price{window->rate, window->name};
}

template <class Piece>
void append(std::vector<Piece>& pieces, Piece piece, bool same_as_last) {
    if (same_as_last) {
        pieces.back().when.end = piece.when.end;
    } else {
        pieces.push_back(std::move(piece));
    }
}

}  // namespace

std::variant<PriceCurve, Uncovered> price_curve(const Tariff& tariff, const Zone& clock, Interval span) {
    assert(span.begin < span.end);
    PriceCurve curve;
    Uncovered uncovered;
    DayByDay days(tariff);
    const auto marks = cuts(tariff, clock, span);
    for (std::size_t i = 0; i + 1 < marks.size(); ++i) {
        const Interval when{marks[i], marks[i + 1]};
        const CivilTime label = clock.civil(when.begin);
        const Revision* revision = revision_on(tariff, tariff_day(tariff, label));
        const auto price =
            revision == nullptr ? std::nullopt : price_of(tariff, *revision, days, label, when.begin);
        if (!price) {
            if (!uncovered.empty() && uncovered.back().end == when.begin) {
                uncovered.back().end = when.end;
            } else {
                uncovered.push_back(when);
            }
            continue;
        }
        const Rate rate = price->rate + adders_of(*revision);
        PricePiece piece{when, rate, with_tax(rate, *revision), price->name};
        const bool same = !curve.empty() && curve.back().when.end == when.begin &&
                          curve.back().rate == piece.rate && curve.back().marginal == piece.marginal &&
                          curve.back().name == piece.name;
        append(curve, std::move(piece), same);
    }
    if (!uncovered.empty()) return uncovered;
    return curve;
}

const PricePiece& price_at(const PriceCurve& curve, Instant at) {
    const auto after =
        std::ranges::upper_bound(curve, at, {}, [](const PricePiece& piece) { return piece.when.end; });
    assert(after != curve.end() && after->when.contains(at));
    return *after;
}

}  // namespace lullwatt::tariff
