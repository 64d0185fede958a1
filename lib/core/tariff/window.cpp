#include "core/tariff/window.hpp"

#include <algorithm>

namespace lullwatt::tariff {
namespace {

bool crosses_midnight(const Window& window) { return window.to <= window.from; }

bool holds_time(const Window& window, Seconds time) {
    if (!crosses_midnight(window)) return window.from <= time && time < window.to;
    return window.from <= time || time < window.to;
}

bool holds_day(const Window& window, const DayKind& day) {
    const bool kind = day.holiday ? window.days.holidays : window.days.weekdays[day.weekday];
    const bool of_class =
        window.classes.empty() ||
        (day.day_class && std::ranges::find(window.classes, *day.day_class) != window.classes.end());
    return kind && of_class && holds_season(window.seasons, day.season);
}

// A night that belongs to its evening is judged by the day on which it began.
const DayKind& judged_by(const Tariff& tariff, const Window& window, const TwoDays& days, Seconds time) {
    if (window.past_midnight == PastMidnight::own_day || !crosses_midnight(window)) return days.day;
    const auto day_at = [&](Seconds label) { return date::floor<date::days>(label - tariff.day_start); };
    const Seconds began = time < window.to ? window.from - kDay : window.from;
    return day_at(began) < day_at(time) ? days.before : days.day;
}

}  // namespace

DayKind day_kind(const Tariff& tariff, CivilDate date) {
    DayKind kind;
    kind.weekday = date::weekday{date::local_days{date}}.c_encoding();
    kind.holiday = tariff.holidays.holiday(date).has_value();
    kind.season = season_of(tariff, date);
    if (tariff.classes) kind.day_class = day_class_of(*tariff.classes, date).index;
    return kind;
}

CivilDate deciding_date(const Tariff& tariff, CivilDate date, DatedBy rule) {
    if (rule == DatedBy::day) return date;
    const DateSpan bill = bill_of(tariff.bills, date);
    return rule == DatedBy::bill_begin ? bill.from : bill.last();
}

std::optional<std::size_t> season_of(const Tariff& tariff, CivilDate date) {
    if (tariff.seasons.empty()) return std::nullopt;
    const CivilDate decides = deciding_date(tariff, date, tariff.seasons_by);
    const auto season = std::ranges::find_if(
        tariff.seasons, [&](const NamedSeason& named) { return named.days.contains(decides); });
    if (season == tariff.seasons.end()) return std::nullopt;
    return static_cast<std::size_t>(season - tariff.seasons.begin());
}

const Revision* revision_of(const Tariff& tariff, CivilDate date) {
    const CivilDate decides = deciding_date(tariff, date, tariff.revisions_by);
    const auto later =
        std::ranges::find_if(tariff.revisions, [&](const Revision& r) { return decides < r.from; });
    if (later == tariff.revisions.begin()) return nullptr;
    const Revision& latest = *std::prev(later);
    return latest.to && *latest.to < decides ? nullptr : &latest;
}

std::optional<Tariff> with_prices_of(const Tariff& tariff, CivilDate date) {
    const Revision* revision = revision_of(tariff, date);
    if (revision == nullptr) return std::nullopt;
    Tariff frozen = tariff;
    frozen.revisions = {*revision};
    frozen.revisions.front().from = date::year{1900} / 1 / 1;
    frozen.revisions.front().to.reset();
    return frozen;
}

DayClass day_class_of(const DayClasses& classes, CivilDate date) {
    const auto found = std::ranges::lower_bound(classes.announced, date, {}, &DayClasses::Announcement::date);
    if (found != classes.announced.end() && found->date == date) return {found->day_class, false};
    return {classes.assumed, true};
}

bool holds_season(const std::vector<std::size_t>& seasons, std::optional<std::size_t> season) {
    if (seasons.empty()) return true;
    return season && std::ranges::find(seasons, *season) != seasons.end();
}

CivilDate tariff_day(const Tariff& tariff, CivilTime label) {
    return CivilDate{date::floor<date::days>(label - tariff.day_start)};
}

const Window* window_at(const Tariff& tariff, const Revision& revision, const TwoDays& days,
                        Seconds time_of_day) {
    const auto found = std::ranges::find_if(revision.windows, [&](const Window& window) {
        return holds_time(window, time_of_day) &&
               holds_day(window, judged_by(tariff, window, days, time_of_day));
    });
    return found == revision.windows.end() ? nullptr : &*found;
}

const Window* window_named(const Revision& revision, const DayKind& day, std::string_view name) {
    const auto found = std::ranges::find_if(revision.windows, [&](const Window& window) {
        return window.name == name && holds_season(window.seasons, day.season);
    });
    return found == revision.windows.end() ? nullptr : &*found;
}

bool has_one_price(const Revision& revision, std::optional<std::size_t> season, std::string_view name) {
    const Window* first = window_named(revision, {season}, name);
    return std::ranges::none_of(revision.windows, [&](const Window& window) {
        return window.name == name && holds_season(window.seasons, season) &&
               (window.rate != first->rate || window.export_rate != first->export_rate ||
                window.loss_factor != first->loss_factor);
    });
}

std::vector<Seconds> edges(const Tariff& tariff, const Revision& revision) {
    std::vector<Seconds> found = {Seconds{0}, (tariff.day_start + kDay) % kDay};
    for (const Window& window : revision.windows) {
        found.push_back(window.from);
        found.push_back(window.to % kDay);
    }
    std::ranges::sort(found);
    found.erase(std::unique(found.begin(), found.end()), found.end());
    return found;
}

}  // namespace lullwatt::tariff
