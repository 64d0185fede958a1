#include "core/time/holidays.hpp"

#include <algorithm>
#include <cassert>
#include <utility>

namespace lullwatt {
namespace {

using date::sys_days;

constexpr int kFirstEaster = 1583;
constexpr int kLastEaster = 4099;

template <class... Visitors>
struct Overloaded : Visitors... {
    using Visitors::operator()...;
};
template <class... Visitors>
Overloaded(Visitors...) -> Overloaded<Visitors...>;  // clang 14 does not deduce it

bool is_weekend(sys_days day) {
    const date::weekday weekday{day};
    return weekday == date::Saturday || weekday == date::Sunday;
}

// Where the rule falls in `year`, before any weekend is moved.
std::optional<sys_days> falls_on(const FixedDate& rule, date::year year) {
    const CivilDate day = year / rule.day;
    return day.ok() ? std::optional<sys_days>{day} : std::nullopt;
}

std::optional<sys_days> falls_on(const NthWeekday& rule, date::year year) {
    if (rule.n < 0) {
        const sys_days last{year / rule.month / rule.weekday[date::last]};
        const sys_days day = last + date::weeks{rule.n + 1};
        return CivilDate{day}.month() == rule.month ? std::optional{day} : std::nullopt;
    }
    const auto day = year / rule.month / rule.weekday[static_cast<unsigned>(rule.n)];
    return day.ok() ? std::optional<sys_days>{day} : std::nullopt;
}

std::optional<sys_days> falls_on(const WeekdayNear& rule, date::year year) {
    const sys_days day{year / rule.day};
    const date::weekday is{day};
    return rule.side == WeekdayNear::Side::on_or_before ? day - (is - rule.weekday)
                                                        : day + (rule.weekday - is);
}

std::optional<sys_days> falls_on(const EasterOffset& rule, date::year year) {
    if (int{year} < kFirstEaster || int{year} > kLastEaster) return std::nullopt;
    return sys_days{easter_sunday(int{year})} + rule.after;
}

std::optional<sys_days> falls_on(const ListedDate& rule, date::year year) {
    return rule.date.year() == year ? std::optional<sys_days>{rule.date} : std::nullopt;
}

std::optional<sys_days> actual_day(const HolidayRule& rule, date::year year) {
    if (int{year} < rule.first_year.value_or(int{year}) || int{year} > rule.last_year.value_or(int{year})) {
        return std::nullopt;
    }
    const auto day = std::visit([&](const auto& when) { return falls_on(when, year); }, rule.when);
    if (day && rule.only_if_weekday && is_weekend(*day)) return std::nullopt;
    return day;
}

// The day kept for a holiday that falls on a weekend, by every observance but next_free_weekday.
std::optional<sys_days> moved(sys_days weekend, Observance observance) {
    const bool saturday = date::weekday{weekend} == date::Saturday;
    const sys_days monday = weekend + date::days{saturday ? 2 : 1};
    switch (observance) {
        case Observance::nearest_weekday:
            return saturday ? weekend - date::days{1} : monday;
        case Observance::sunday_to_monday:
            return saturday ? weekend : monday;
        case Observance::sunday_to_monday_drop_saturday:
            return saturday ? std::nullopt : std::optional{monday};
        case Observance::as_is:
        case Observance::next_free_weekday:
            break;
    }
    return weekend;
}

}  // namespace

struct HolidayCalendar::Kept {
    sys_days observed;
    sys_days actual;
    std::size_t rule;
};

bool well_formed(const HolidayRule& rule) {
    if (rule.first_year && rule.last_year && *rule.first_year > *rule.last_year) return false;
    return std::visit(Overloaded{
                          [](const FixedDate& when) { return when.day.ok(); },
                          [](const NthWeekday& when) {
                              return when.month.ok() && when.weekday.ok() && when.n != 0 && when.n >= -5 &&
                                     when.n <= 5;
                          },
                          [](const WeekdayNear& when) {
                              return when.weekday.ok() && when.day.ok() && when.day != date::February / 29;
                          },
                          [](const EasterOffset&) { return true; },
                          [](const ListedDate& when) { return when.date.ok(); },
                      },
                      rule.when);
}

HolidayCalendar::HolidayCalendar(std::vector<HolidayRule> rules, Observance observance)
    : rules_(std::move(rules)), observance_(observance) {
    assert(std::ranges::all_of(rules_, well_formed));
}

// A holiday of the year before or after may be kept in this one, so three years are laid out. Those that look
// for a free weekday do so last, in order of date, once every other holiday has its day.
std::vector<HolidayCalendar::Kept> HolidayCalendar::kept_in(date::year year) const {
    std::vector<Kept> kept;
    std::vector<Kept> waiting;
    for (date::year each = year - date::years{1}; each <= year + date::years{1}; ++each) {
        for (std::size_t rule = 0; rule < rules_.size(); ++rule) {
            const auto day = actual_day(rules_[rule], each);
            if (!day) continue;
            const bool listed = std::holds_alternative<ListedDate>(rules_[rule].when);
            const Observance observance =
                rules_[rule].observance.value_or(listed ? Observance::as_is : observance_);
            if (!is_weekend(*day)) {
                kept.push_back({*day, *day, rule});
            } else if (observance == Observance::next_free_weekday) {
                waiting.push_back({*day, *day, rule});
            } else if (const auto observed = moved(*day, observance)) {
                kept.push_back({*observed, *day, rule});
            }
        }
    }
    std::ranges::stable_sort(waiting, {}, &Kept::actual);
    for (Kept& holiday : waiting) {
        while (is_weekend(holiday.observed) ||
               std::ranges::find(kept, holiday.observed, &Kept::observed) != kept.end()) {
            holiday.observed += date::days{1};
        }
        kept.push_back(holiday);
    }
    std::erase_if(kept, [&](const Kept& holiday) { return CivilDate{holiday.observed}.year() != year; });
    std::ranges::sort(kept, {}, [](const Kept& holiday) {
        return std::pair{holiday.observed, holiday.rule};
    });
    return kept;
}

std::optional<std::string> HolidayCalendar::holiday(CivilDate date) const {
    const auto kept = kept_in(date.year());
    const auto found = std::ranges::find(kept, sys_days{date}, &Kept::observed);
    if (found == kept.end()) return std::nullopt;
    return rules_[found->rule].name;
}

std::vector<ObservedHoliday> HolidayCalendar::in_year(int year) const {
    assert(-32'000 <= year && year <= 32'000);
    std::vector<ObservedHoliday> holidays;
    for (const Kept& each : kept_in(date::year{year})) {
        holidays.push_back({CivilDate{each.observed}, CivilDate{each.actual}, rules_[each.rule].name});
    }
    return holidays;
}

CivilDate easter_sunday(int year) {
    assert(kFirstEaster <= year && year <= kLastEaster);
    const int j = year % 19;
    const int k = year / 100;
    const int h = year % 100;
    const int p = (k + 8) / 25;
    const int q = (k - p + 1) / 3;
    const int r = (19 * j + k - k / 4 - q + 15) % 30;
    const int v = (32 + 2 * (k % 4) + 2 * (h / 4) - r - h % 4) % 7;
    const int w = (j + 11 * r + 22 * v) / 451;
    const int days = r + v - 7 * w + 114;
    return date::year{year} / (days / 31) / (days % 31 + 1);
}

}  // namespace lullwatt
