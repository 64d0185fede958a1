#include "core/tariff/stretches.hpp"

#include <algorithm>
#include <cassert>
#include <utility>

#include "core/tariff/window.hpp"

namespace lullwatt::tariff {
namespace {

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
    std::vector<Seconds> labels = {(tariff.day_start + kDay) % kDay};
    for (const Revision& revision : tariff.revisions) {
        const auto of_revision = edges(tariff, revision);
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

// What a date settles, kept for the day last asked for: stretches come in order, and a holiday calendar is
// slow to ask.
class DayByDay {
  public:
    explicit DayByDay(const Tariff& tariff) : tariff_(tariff) {}

    void at(CivilDate date) {
        if (date_ == date) return;
        const CivilDate before{date::sys_days{date} - date::days{1}};
        kinds = {date_ == before ? kinds.day : day_kind(tariff_, before), day_kind(tariff_, date)};
        revision = revision_of(tariff_, date);
        order = override_on(tariff_, date);
        assumed = {assumes_class(before), assumes_class(date)};
        date_ = date;
    }

    TwoDays kinds;
    const Revision* revision = nullptr;
    const Override* order = nullptr;
    // Whether nobody has announced the class of the day before, and of the day.
    struct Assumed {
        bool before = false;
        bool day = false;
    };
    Assumed assumed;

  private:
    [[nodiscard]] bool assumes_class(CivilDate date) const {
        return tariff_.classes && day_class_of(*tariff_.classes, date).assumed;
    }

    const Tariff& tariff_;
    std::optional<CivilDate> date_;
};

// Whether another class of a day that nobody has announced would put another window in the place of this one.
bool by_assumption(const Tariff& tariff, const DayByDay& days, Seconds time_of_day, const Window* window) {
    if (!days.assumed.before && !days.assumed.day) return false;
    for (std::size_t other = 0; other < tariff.classes->names.size(); ++other) {
        TwoDays kinds = days.kinds;
        if (days.assumed.before) kinds.before.day_class = other;
        if (window_at(tariff, *days.revision, kinds, time_of_day) != window) return true;
        kinds = days.kinds;
        if (days.assumed.day) kinds.day.day_class = other;
        if (window_at(tariff, *days.revision, kinds, time_of_day) != window) return true;
    }
    return false;
}

// Price, name and what is given back for a stretch from `at` on; false where nothing prices it.
bool set_price(Stretch& stretch, const Tariff& tariff, const DayByDay& days, Seconds time_of_day) {
    if (days.order != nullptr && days.order->rate) {
        stretch.rate = *days.order->rate;
        stretch.name = days.order->name;
        return true;
    }
    if (days.order == nullptr && tariff.announced) {
        const auto& prices = tariff.announced->prices;
        const auto after = std::ranges::upper_bound(
            prices, stretch.when.begin, {}, [](const AnnouncedPrice& price) { return price.when.end; });
        const bool known = after != prices.end() && after->when.contains(stretch.when.begin);
        stretch.rate = known ? after->rate : tariff.announced->fallback;
        stretch.name = known ? "announced" : "assumed";
        stretch.assumed = !known;
        return true;
    }
    const Window* window = days.order != nullptr
                               ? window_named(*days.revision, days.kinds.day, days.order->name)
                               : window_at(tariff, *days.revision, days.kinds, time_of_day);
    if (window == nullptr) return false;
    stretch.rate = window->rate;
    stretch.name = window->name;
    stretch.export_rate = window->export_rate;
    stretch.loss_factor = window->loss_factor;
    stretch.assumed = days.order == nullptr && by_assumption(tariff, days, time_of_day, window);
    return true;
}

bool counts(const std::vector<std::string>& windows, const std::vector<std::size_t>& seasons,
            const Stretch& stretch) {
    const bool window = windows.empty() || std::ranges::find(windows, stretch.name) != windows.end();
    return window && holds_season(seasons, stretch.season);
}

}  // namespace

std::variant<Stretches, Uncovered> stretches(const Tariff& tariff, const Zone& clock, Interval span) {
    assert(span.begin < span.end);
    Stretches found;
    Uncovered uncovered;
    DayByDay days(tariff);
    const auto marks = cuts(tariff, clock, span);
    for (std::size_t i = 0; i + 1 < marks.size(); ++i) {
        Stretch stretch;
        stretch.when = {marks[i], marks[i + 1]};
        const CivilTime label = clock.civil(stretch.when.begin);
        stretch.day = tariff_day(tariff, label);
        days.at(stretch.day);
        const bool priced = days.revision != nullptr &&
                            set_price(stretch, tariff, days, label - date::floor<date::days>(label));
        if (priced) {
            stretch.revision = static_cast<std::size_t>(days.revision - tariff.revisions.data());
            stretch.season = days.kinds.day.season;
            found.push_back(std::move(stretch));
        } else if (!uncovered.empty() && uncovered.back().end == stretch.when.begin) {
            uncovered.back().end = stretch.when.end;
        } else {
            uncovered.push_back(stretch.when);
        }
    }
    if (!uncovered.empty()) return uncovered;
    return found;
}

bool applies(const Adder& adder, const Stretch& stretch) {
    return counts(adder.windows, adder.seasons, stretch);
}

bool applies(const BlockCharge& block, const Stretch& stretch) {
    return counts(block.windows, block.seasons, stretch);
}

}  // namespace lullwatt::tariff
