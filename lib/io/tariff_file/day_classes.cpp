#include "io/tariff_file/day_classes.hpp"

#include <algorithm>
#include <utility>

#include <date/date.h>
#include <fmt/format.h>

#include "io/csv/rows.hpp"
#include "io/file/file.hpp"
#include "io/settings/scalar.hpp"
#include "io/tariff_file/charge_words.hpp"

namespace lullwatt::io {
namespace {

using tariff::DayClasses;

constexpr std::uintmax_t kLargestFile = 1U << 20U;
constexpr std::size_t kMostFaults = 20;

std::optional<std::size_t> index_of(const std::vector<std::string>& names, const std::string& name) {
    const auto found = std::ranges::find(names, name);
    if (found == names.end()) return std::nullopt;
    return static_cast<std::size_t>(found - names.begin());
}

std::string listed(const std::vector<std::string>& names) {
    return fmt::format("{}", fmt::join(names, ", "));
}

// The first day of the limits' year that holds `date`.
CivilDate year_of(const DayClasses& classes, CivilDate date) {
    const auto begin = [&](date::year year) {
        return CivilDate{year / classes.year_begins.month() / classes.year_begins.day()};
    };
    return date < begin(date.year()) ? begin(date.year() - date::years{1}) : begin(date.year());
}

// Rows of `date,class` under that heading, ascending.
class Announcements {
  public:
    Announcements(std::string file, DayClasses& classes, Faults& faults)
        : file_(std::move(file)), classes_(classes), faults_(faults) {}

    void read(const std::string& text) {
        const auto rows = csv_rows(text, ',');
        const bool headed = !rows.empty() && rows.front().fields.size() == 2 &&
                            rows.front().fields[0].text == "date" && rows.front().fields[1].text == "class";
        if (!headed) {
            fault(1, 1, "", "is no header of announced days", "", "date,class",
                  "name the two columns in the first line");
            return;
        }
        const std::size_t most = faults_.size() + kMostFaults;  // beside those of the tariff file
        for (std::size_t i = 1; i < rows.size() && faults_.size() < most; ++i) row(rows[i]);
    }

  private:
    void row(const CsvRow& row) {
        if (row.fields.size() != 2) {
            fault(row.line, 1, "", "has not two fields", "", "a date and a class", "");
            return;
        }
        const auto date = parse_scalar({.key = "date", .kind = Kind::date}, Kind::date, row.fields[0].text);
        const auto* scalar = std::get_if<Scalar>(&date);
        const auto day_class = index_of(classes_.names, row.fields[1].text);
        if (scalar == nullptr) {
            fault(row.line, row.fields[0].column, "date", std::get<ScalarError>(date).what,
                  row.fields[0].text, "a date such as '2026-01-31'", "");
        }
        if (!day_class) {
            fault(row.line, row.fields[1].column, "class", "is none of the tariff's classes",
                  row.fields[1].text, listed(classes_.names), "");
        }
        if (scalar == nullptr || !day_class) return;
        const auto day = std::get<CivilDate>(*scalar);
        if (!classes_.announced.empty() && day <= classes_.announced.back().date) {
            fault(row.line, row.fields[0].column, "date", "is not after the row above it", row.fields[0].text,
                  "ascending dates, each once", "put the rows in order");
            return;
        }
        classes_.announced.push_back({day, *day_class});
        check_most(row, day, *day_class);
    }

    void check_most(const CsvRow& row, CivilDate day, std::size_t day_class) {
        const auto most = std::ranges::find(classes_.most, day_class, &DayClasses::Most::day_class);
        if (most == classes_.most.end()) return;
        const CivilDate since = year_of(classes_, day);
        const auto count = std::ranges::count_if(classes_.announced, [&](const auto& announced) {
            return announced.day_class == day_class && since <= announced.date;
        });
        if (count != most->days + 1) return;
        fault(row.line, row.fields[1].column, "class",
              fmt::format("is one day more than a year has of it: {} since {}", count,
                          date::format("%F", date::sys_days{since})),
              row.fields[1].text, fmt::format("at most {} days", most->days),
              "correct the row, or 'most' in the tariff file");
    }

    void fault(int line, int column, const char* key, std::string what, std::string value,
               std::string allowed, std::string mend) {
        faults_.push_back({file_, line, column, key, std::move(what), std::move(value), std::move(allowed),
                           std::move(mend)});
    }

    std::string file_;
    DayClasses& classes_;
    Faults& faults_;
};

void read_names(const Section& section, DayClasses& classes, Faults& faults) {
    const auto& elements = section.list("names");
    for (std::size_t i = 0; i < elements.size(); ++i) {
        if (index_of(classes.names, elements[i].written))
            faults.push_back(
                section.element_fault("names", i, "is named twice", "each class once", "remove one of them"));
        classes.names.push_back(elements[i].written);
    }
    if (section.stated("names") && elements.empty())
        faults.push_back(section.fault("names", "is an empty list", "at least two classes", "name them"));
    const auto* assumed = section.find<std::string>("assumed");
    if (assumed == nullptr) return;
    if (const auto index = index_of(classes.names, *assumed)) {
        classes.assumed = *index;
    } else {
        faults.push_back(section.fault("assumed", "is none of the classes", listed(classes.names), ""));
    }
}

}  // namespace

std::optional<DayClasses> read_day_classes(const Section& file, const std::filesystem::path& folder,
                                           Faults& faults) {
    if (file.sections("day_classes").empty()) return std::nullopt;
    const Section& section = file.sections("day_classes").front();
    DayClasses classes;
    read_names(section, classes, faults);
    take_yearly_day(section, "year_begins", classes.year_begins, faults);
    for (const Section& most : section.sections("most")) {
        const auto* name = most.find<std::string>("class");
        const auto* days = most.find<long long>("days");
        if (name == nullptr || days == nullptr) continue;
        if (const auto index = index_of(classes.names, *name)) {
            classes.most.push_back({*index, static_cast<int>(*days)});
        } else {
            faults.push_back(most.fault("class", "is none of the classes", listed(classes.names), ""));
        }
    }
    if (const auto* name = section.find<std::string>("announced_from")) {
        const auto path = folder / *name;
        const auto text = read_whole_file(path, kLargestFile);
        if (text.ok()) {
            Announcements(path.string(), classes, faults).read(text.value());
        } else {
            faults.insert(faults.end(), text.faults().begin(), text.faults().end());
        }
    }
    if (classes.names.empty()) return std::nullopt;
    return classes;
}

std::vector<std::size_t> class_indices(const Section& window, const tariff::Tariff& tariff, Faults& faults) {
    std::vector<std::size_t> indices;
    const auto& elements = window.list("classes");
    if (window.stated("classes") && !tariff.classes) {
        faults.push_back(window.fault("classes", "is said in a file without classes of days", "",
                                      "name them under 'day_classes'"));
        return indices;
    }
    for (std::size_t i = 0; i < elements.size(); ++i) {
        if (const auto index = index_of(tariff.classes->names, elements[i].written)) {
            indices.push_back(*index);
        } else {
            faults.push_back(window.element_fault("classes", i, "is no class of this file",
                                                  listed(tariff.classes->names),
                                                  "name it under 'day_classes'"));
        }
    }
    return indices;
}

}  // namespace lullwatt::io
