#include "io/tariff_file/tariff_checks.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <utility>
#include <vector>

#include <date/date.h>
#include <fmt/format.h>

#include "core/tariff/coverage.hpp"
#include "core/tariff/window.hpp"
#include "io/tariff_file/tariff_bounds.hpp"

namespace lullwatt::io {
namespace {

using tariff::DayKind;
using tariff::Tariff;

constexpr std::array<std::string_view, 7> kDayNames = {"Sunday",   "Monday", "Tuesday", "Wednesday",
                                                       "Thursday", "Friday", "Saturday"};
constexpr int kFirstYear = 1970;
constexpr int kLastYear = 2199;

std::string time_text(Seconds time) {
    return fmt::format("{:02}:{:02}", time.count() / 3600, time.count() / 60 % 60);
}

std::string date_text(CivilDate date) { return date::format("%F", date::sys_days{date}); }

std::string joined(const std::vector<std::string>& words) {
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0) text += i + 1 == words.size() ? " and " : ", ";
        text += words[i];
    }
    return text;
}

// "Monday to Friday and holidays"
std::string days_text(const std::vector<DayKind>& days, bool has_holidays) {
    std::array<bool, 7> on{};
    bool holidays = false;
    for (const DayKind& day : days) (day.holiday ? holidays : on[day.weekday]) = true;
    const auto count = std::ranges::count(on, true);
    std::vector<std::string> words;
    if (count == 7) {
        if (holidays == has_holidays) return "every day";
        words.emplace_back("every day but holidays");
    } else if (count == 5 && !on[0] && !on[6]) {
        words.emplace_back("Monday to Friday");
    } else {
        for (std::size_t i = 1; i <= 7; ++i) {
            if (on[i % 7]) words.emplace_back(kDayNames[i % 7]);
        }
    }
    if (holidays) words.emplace_back("holidays");
    return joined(words);
}

// " on days of class plain", where not all classes are meant.
std::string classes_text(const Tariff& tariff, const tariff::Hole& hole) {
    if (!tariff.classes) return "";
    std::vector<std::string> names;
    for (std::size_t i = 0; i < tariff.classes->names.size(); ++i) {
        const bool in =
            std::ranges::any_of(hole.days, [&](const DayKind& day) { return day.day_class == i; });
        if (in) names.push_back(tariff.classes->names[i]);
    }
    if (names.size() == tariff.classes->names.size()) return "";
    return " on days of class " + joined(names);
}

// "Saturday 23:00–24:00 in season winter"; seasons alike are told once.
std::string hole_text(const Tariff& tariff, const tariff::Hole& hole) {
    const std::string hours = fmt::format("{}–{}", time_text(hole.from), time_text(hole.to));
    std::vector<std::pair<std::string, std::vector<std::string>>> told;  // days, seasons
    const std::size_t seasons = std::max<std::size_t>(1, tariff.seasons.size());
    for (std::size_t season = 0; season < seasons; ++season) {
        std::vector<DayKind> days;
        std::ranges::copy_if(hole.days, std::back_inserter(days),
                             [&](const DayKind& day) { return day.season.value_or(0) == season; });
        if (days.empty()) continue;
        const std::string text = days_text(days, !tariff.holidays.empty());
        const auto same = std::ranges::find(told, text, &decltype(told)::value_type::first);
        auto& names = same == told.end() ? told.emplace_back(text, std::vector<std::string>{}) : *same;
        if (!tariff.seasons.empty()) names.second.push_back(tariff.seasons[season].name);
    }
    std::vector<std::string> parts;
    for (const auto& [days, names] : told) {
        std::string part = fmt::format("{} {}", days, hours);
        if (names.size() < tariff.seasons.size()) part += " in season " + joined(names);
        part += classes_text(tariff, hole);
        parts.push_back(std::move(part));
    }
    return joined(parts);
}

void check_date(const Section& section, std::string_view key, Faults& faults) {
    const auto* date = section.find<CivilDate>(key);
    if (date == nullptr) return;
    const int year{date->year()};
    if (kFirstYear <= year && year <= kLastYear) return;
    faults.push_back(section.fault(key, "is no date of a tariff in use",
                                   fmt::format("a date from {} to {}", kFirstYear, kLastYear), ""));
}

CivilDate day_after(CivilDate date) { return CivilDate{date::sys_days{date} + date::days{1}}; }

// REQUIRES: both begin on a stated day.
void check_follows(const Section& section, const tariff::Revision& above, const tariff::Revision& revision,
                   Faults& faults) {
    if (revision.from == above.from) {
        faults.push_back(section.fault("from", "begins on the same day as the revision above it",
                                       "each date once", "remove one of the two"));
    } else if (revision.from < above.from) {
        faults.push_back(section.fault("from", "is before the revision above it",
                                       fmt::format("a date after {}", date_text(above.from)),
                                       "put the revisions in order, oldest first"));
    } else if (above.to && revision.from <= *above.to) {
        faults.push_back(section.fault(
            "from", fmt::format("is within the revision above it, which holds to {}", date_text(*above.to)),
            fmt::format("a date after {}", date_text(*above.to)),
            "leave out that revision's 'to', or mend it"));
    } else if (above.to && day_after(*above.to) < revision.from) {
        faults.push_back(section.fault(
            "from",
            fmt::format("leaves the days from {} on without a price", date_text(day_after(*above.to))),
            "no gap between revisions", "add the revision that is missing, or leave out the 'to' above"));
    }
}

void check_revisions(const Section& file, const Tariff& tariff, Faults& faults) {
    const auto& sections = file.sections("revisions");
    if (file.stated("revisions") && sections.empty() &&
        std::ranges::none_of(faults, [](const Fault& fault) { return fault.key == "revisions"; })) {
        faults.push_back(
            file.fault("revisions", "is an empty list", "at least one revision", "add its first"));
    }
    const bool announced = file.stated("prices_from");
    for (std::size_t i = 0; i < sections.size(); ++i) {
        check_date(sections[i], "from", faults);
        check_date(sections[i], "to", faults);
        if (i > 0 && sections[i].has("from") && sections[i - 1].has("from")) {
            check_follows(sections[i], tariff.revisions[i - 1], tariff.revisions[i], faults);
        }
        if (sections[i].has("from") && tariff.revisions[i].to &&
            *tariff.revisions[i].to < tariff.revisions[i].from) {
            faults.push_back(
                sections[i].fault("to", "is before 'from'",
                                  fmt::format("a date from {} on", date_text(tariff.revisions[i].from)),
                                  "swap the two, or mend the year"));
        }
        const bool windows = !tariff.revisions[i].windows.empty();
        if (windows && announced) {
            faults.push_back(sections[i].fault("windows", "stands beside 'prices_from', which would hide it",
                                               "adders and taxes only",
                                               "remove the windows or 'prices_from'"));
        }
        if (!windows && !announced && !sections[i].stated("windows")) {
            faults.push_back(sections[i].fault("windows", "is missing", "a list of windows, or 'prices_from'",
                                               "add at least one window"));
        } else if (!windows && !announced && sections[i].sections("windows").empty()) {
            faults.push_back(
                sections[i].fault("windows", "holds no window", "at least one window", "add one"));
        }
    }
}

bool has_window(const Tariff& tariff, const tariff::Override& order) {
    return std::ranges::any_of(tariff.revisions, [&](const tariff::Revision& revision) {
        return std::ranges::find(revision.windows, order.name, &tariff::Window::name) !=
               revision.windows.end();
    });
}

// A revision and season of the order's days in which its window has several prices.
bool is_ambiguous(const Tariff& tariff, const tariff::Override& order) {
    for (std::size_t i = 0; i < tariff.revisions.size(); ++i) {
        const bool over = i + 1 < tariff.revisions.size() && tariff.revisions[i + 1].from <= order.from;
        if (over || order.to < tariff.revisions[i].from) continue;
        if (tariff.seasons.empty() && !tariff::has_one_price(tariff.revisions[i], {}, order.name))
            return true;
        for (std::size_t season = 0; season < tariff.seasons.size(); ++season) {
            if (!tariff::has_one_price(tariff.revisions[i], season, order.name)) return true;
        }
    }
    return false;
}

void check_overrides(const Section& file, const Tariff& tariff, Faults& faults) {
    const auto& sections = file.sections("overrides");
    for (std::size_t i = 0; i < sections.size(); ++i) {
        const Section& section = sections[i];
        check_date(section, "from", faults);
        check_date(section, "to", faults);
        if (section.has("name") && !section.stated("per_kwh") && !has_window(tariff, tariff.overrides[i])) {
            faults.push_back(section.fault("name", "is no window of this file, and no price stands beside it",
                                           "the name of a window, or 'per_kwh' beside a name of its own",
                                           "add 'per_kwh'"));
        }
        if (!section.has("from") || !section.has("to")) continue;
        const tariff::Override& order = tariff.overrides[i];
        if (!section.stated("per_kwh") && is_ambiguous(tariff, order)) {
            faults.push_back(section.fault("name", "names windows of several prices",
                                           "the name of one price in each season",
                                           "rename one of the windows, or add 'per_kwh' here"));
        }
        if (order.to < order.from) {
            faults.push_back(section.fault("to", "is before 'from'",
                                           fmt::format("a date from {} on", date_text(order.from)),
                                           "swap the two, or mend the year"));
            continue;
        }
        for (std::size_t j = 0; j < i; ++j) {
            const tariff::Override& other = tariff.overrides[j];
            if (!sections[j].has("from") || !sections[j].has("to")) continue;
            if (order.to < other.from || other.to < order.from) continue;
            faults.push_back(section.fault("from",
                                           fmt::format("overlaps the override '{}' of {} to {}", other.name,
                                                       date_text(other.from), date_text(other.to)),
                                           "days that no other override names", "shorten one of them"));
            break;
        }
    }
}

void check_seasons(const Section& file, const Tariff& tariff, Faults& faults) {
    for (const auto& fault : tariff::season_faults(tariff)) {
        faults.push_back(file.fault(
            "seasons",
            fmt::format("{} {:02}-{:02}", fault.twice ? "overlap on" : "leave out",
                        static_cast<unsigned>(fault.day.month()), static_cast<unsigned>(fault.day.day())),
            "every day of the year in exactly one season", "correct their first and last days"));
    }
}

void check_coverage(const Section& file, const Tariff& tariff, Faults& faults) {
    const auto& revisions = file.sections("revisions");
    for (const auto& hole : tariff::holes(tariff)) {
        if (tariff.revisions[hole.revision].windows.empty()) continue;  // told already
        faults.push_back(revisions[hole.revision].fault(
            "windows", fmt::format("leave {} without a price", hole_text(tariff, hole)),
            "a window for every hour of every kind of day",
            "add a last window without days and hours for the rest"));
    }
    for (const auto& hidden : tariff::shadowed(tariff)) {
        faults.push_back(revisions[hidden.revision].sections("windows")[hidden.window].fault(
            "", "never counts: the windows above it hold all of its hours", "", "move it up, or remove it"));
    }
}

// The word without a list behind it, once per file.
bool check_holidays(const Section& file, Faults& faults) {
    if (!file.sections("holidays").empty()) return true;
    std::vector<Section> users = file.sections("day_types");
    for (const Section& revision : file.sections("revisions")) {
        const auto& windows = revision.sections("windows");
        users.insert(users.end(), windows.begin(), windows.end());
        for (const Section& charge : revision.sections("demand")) {
            const auto& hours = charge.sections("hours");
            users.insert(users.end(), hours.begin(), hours.end());
        }
    }
    for (const Section& user : users) {
        const auto& days = user.list("days");
        for (std::size_t i = 0; i < days.size(); ++i) {
            if (days[i].written != "holidays") continue;
            faults.push_back(user.element_fault("days", i, "is said of a tariff without holidays", "",
                                                "list them under 'holidays', or remove the word"));
            return false;
        }
    }
    return true;
}

// Hours cannot be judged where windows, seasons or holidays were only half read.
bool hours_are_known(const Section& file, const Faults& faults) {
    if (file.stated("prices_from")) return false;
    return std::ranges::none_of(faults, [](const Fault& fault) {
        if (fault.key.starts_with("seasons") || fault.key.starts_with("holidays") ||
            fault.key.starts_with("day_types")) {
            return true;
        }
        if (fault.key.ends_with(".windows")) return true;
        const bool of_window = fault.key.find(".windows[") != std::string::npos;
        return of_window && !fault.key.ends_with(".per_kwh") && !fault.key.ends_with(".name");
    });
}

}  // namespace

void check_tariff(const Section& file, const Tariff& tariff, Faults& faults) {
    const bool seasons_read =
        std::ranges::none_of(faults, [](const Fault& fault) { return fault.key.starts_with("seasons"); });
    if (seasons_read) check_seasons(file, tariff, faults);
    const bool known = check_holidays(file, faults) && hours_are_known(file, faults);
    check_revisions(file, tariff, faults);
    check_overrides(file, tariff, faults);
    check_bounds(file, tariff, faults);
    if (known) check_coverage(file, tariff, faults);
}

}  // namespace lullwatt::io
