#include "io/csv/dated_rows.hpp"

#include <algorithm>
#include <string>
#include <utility>

#include "core/quantity/money.hpp"
#include "io/csv/label.hpp"
#include "io/csv/rows.hpp"

namespace lullwatt::io {
namespace {

constexpr int kScale = 9;

std::string joined(const std::vector<std::string>& words) {
    std::string out;
    for (const std::string& word : words) out += (out.empty() ? "" : ", ") + word;
    return out;
}

// A decimal in 1e-9; decimals past the ninth, which binary arithmetic leaves behind, are cut off.
std::optional<std::int64_t> parse_count(std::string text, char decimal) {
    if (decimal != '.') {
        if (text.find('.') != text.npos) return std::nullopt;
        std::ranges::replace(text, decimal, '.');
    }
    if (text.starts_with('.')) text.insert(0, 1, '0');
    const auto point = text.find('.');
    if (point != text.npos && text.size() > point + 1 + kScale) {
        const auto tail = std::string_view(text).substr(point + 1 + kScale);
        if (tail.find_first_not_of("0123456789") != tail.npos) return std::nullopt;
        text.resize(point + 1 + kScale);
    }
    return parse_decimal(text, kScale);
}

class Dating {
  public:
    Dating(const CsvMap& map, const Zone& clock, FaultLog& faults, FaultLog& warnings)
        : map_(map), clock_(clock), faults_(faults), warnings_(warnings) {}

    DatedRows read(std::string_view text) {
        const std::vector<CsvRow> rows = csv_rows(text, map_.delimiter);
        const std::size_t first = map_.header ? 1 : 0;
        if (rows.size() <= first) {
            faults_.add({"", 0, 0, "", "holds no readings", "", "", "name the file that was downloaded"});
            return {};
        }
        if (!find_columns(rows.front())) return {};
        std::vector<Raw> raw;
        for (std::size_t i = first; i < rows.size(); ++i) take_row(rows[i], raw);
        const bool newest_first = !raw.empty() && raw.back().label.label < raw.front().label.label;
        if (newest_first) std::ranges::reverse(raw);
        for (Raw& row : raw) place(row);
        return std::move(result_);
    }

  private:
    struct Raw {
        TimeLabel label;
        DatedRow row;
    };

    // Where every column of the map stands. False with a fault for each that does not.
    bool find_columns(const CsvRow& first) {
        width_ = first.fields.size();
        bool all = true;
        for (const CsvColumn& column : map_.time) all &= find_column(column, first, time_at_);
        for (const CsvReadingColumn& reading : map_.readings)
            all &= find_column(reading.column, first, reading_at_);
        if (!all) return false;
        for (const std::size_t at : time_at_) {
            result_.time_key += (result_.time_key.empty() ? "" : " + ") + key(first, at);
        }
        for (std::size_t i = 0; i < reading_at_.size(); ++i)
            result_.reading_keys[i] = key(first, reading_at_[i]);
        return true;
    }

    bool find_column(const CsvColumn& column, const CsvRow& first, std::vector<std::size_t>& found) {
        if (const auto* number = std::get_if<std::size_t>(&column)) {
            found.push_back(*number - 1);
            if (*number >= 1 && *number <= width_) return true;
            faults_.add({"", first.line, 0, "", "has no such column", std::to_string(*number),
                         width_ == 1 ? "1" : "1 to " + std::to_string(width_), "is the delimiter right?"});
            return false;
        }
        const std::string& name = std::get<std::string>(column);
        std::vector<std::string> headings;
        for (const CsvField& field : first.fields) headings.push_back(field.text);
        const auto count = map_.header ? std::ranges::count(headings, name) : 0;
        found.push_back(static_cast<std::size_t>(std::ranges::find(headings, name) - headings.begin()));
        if (count == 1) return true;
        if (count > 1) {
            faults_.add({"", first.line, 0, "", "names more than one column", name, "",
                         "give the column's number instead"});
        } else {
            faults_.add({"", first.line, 0, "", "names no column", name,
                         map_.header ? joined(headings) : "numbers, for there is no heading", ""});
        }
        return false;
    }

    [[nodiscard]] std::string key(const CsvRow& first, std::size_t at) const {
        const bool named = map_.header && !first.fields[at].text.empty();
        return named ? first.fields[at].text : "column " + std::to_string(at + 1);
    }

    void take_row(const CsvRow& row, std::vector<Raw>& raw) {
        if (row.unclosed_quote) {
            faults_.add(
                {"", row.line, 0, "", "opens a quote that is never closed", "", "", "close or drop it"});
            return;
        }
        if (row.fields.size() != width_) {
            faults_.add({"", row.line, 0, "", "has another number of columns than the first line",
                         std::to_string(row.fields.size()), std::to_string(width_),
                         "is the delimiter right, and every text that holds it quoted?"});
            return;
        }
        Raw taken;
        const bool dated = take_label(row, taken);
        const Values values = take_values(row, taken.row);
        if (dated && values == Values::all) raw.push_back(std::move(taken));
    }

    bool take_label(const CsvRow& row, Raw& taken) {
        std::string text;
        for (const std::size_t at : time_at_) text += (text.empty() ? "" : " ") + row.fields[at].text;
        taken.row.label = text;
        taken.row.line = row.line;
        taken.row.label_column = row.fields[time_at_.front()].column;
        const auto label =
            map_.time_pattern.empty() ? parse_iso_label(text) : parse_label(text, map_.time_pattern);
        if (label) {
            taken.label = *label;
            return true;
        }
        const std::string allowed = map_.time_pattern.empty()
                                        ? "ISO 8601, such as 2026-03-01T14:15 or 2026-03-01 14:15:00-04:00"
                                        : "the pattern " + map_.time_pattern;
        tell(taken.row, "is not a time as the map says", allowed,
             "give the pattern of the times, such as %d.%m.%Y %H:%M");
        return false;
    }

    enum class Values : std::uint8_t { all, missing, faulty };

    Values take_values(const CsvRow& row, DatedRow& dated) {
        Values state = Values::all;
        for (std::size_t i = 0; i < reading_at_.size(); ++i) {
            const CsvField& field = row.fields[reading_at_[i]];
            dated.columns[i] = field.column;
            dated.written[i] = field.text;
            if (field.text.empty()) {
                warnings_.add({"", row.line, field.column, result_.reading_keys[i],
                               "has no value: left as a gap", "", "", ""});
                state = std::max(state, Values::missing);
                continue;
            }
            const auto count = parse_count(field.text, map_.decimal);
            if (!count) {
                faults_.add({"", row.line, field.column, result_.reading_keys[i], "is not a number",
                             field.text,
                             std::string("digits with at most one decimal '") + map_.decimal +
                                 "', no separators of thousands",
                             "give the decimal mark, or name the right column"});
            } else if (*count < 0 && !map_.may_be_negative) {
                faults_.add({"", row.line, field.column, result_.reading_keys[i], "is negative", field.text,
                             "0 or more", "if the meter counts net of export, say so"});
            }
            if (!count || (*count < 0 && !map_.may_be_negative)) state = Values::faulty;
            dated.counts[i] = count.value_or(0);
        }
        return state;
    }

    void tell(const DatedRow& row, std::string what, std::string allowed, std::string mend) {
        faults_.add({"", row.line, row.label_column, result_.time_key, std::move(what), row.label,
                     std::move(allowed), std::move(mend)});
    }

    [[nodiscard]] std::vector<Instant> candidates(const TimeLabel& label) const {
        if (label.offset) return {Instant{label.label.time_since_epoch() - *label.offset}};
        return clock_.instants(label.label);
    }

    [[nodiscard]] bool within_clock(CivilTime label) const {
        const Instant near{label.time_since_epoch()};
        return clock_.known().begin + date::days{1} <= near && near <= clock_.known().end - date::days{1};
    }

    // Of the instants a label names, the first after the row above.
    void place(Raw& raw) {
        if (!raw.label.offset && !within_clock(raw.label.label)) {
            tell(raw.row, "is outside the time the clock is known for",
                 utc_text(clock_.known().begin) + " to " + utc_text(clock_.known().end), "");
            return;
        }
        const std::vector<Instant> instants = candidates(raw.label);
        if (instants.empty()) {
            tell(raw.row, "does not exist: the clock " + clock_.name() + " skips it", "",
                 "if the meter's clock never changes, give its offset from UTC instead of the zone");
            return;
        }
        const auto later = std::ranges::find_if(
            instants, [&](Instant at) { return result_.rows.empty() || at > result_.rows.back().at; });
        if (later != instants.end()) {
            raw.row.at = *later;
            result_.rows.push_back(std::move(raw.row));
            return;
        }
        const DatedRow& above = result_.rows.back();
        const bool same = instants.back() == above.at;
        raw.row.label += same ? ", also on line " : ", after " + above.label + " on line ";
        raw.row.label += std::to_string(above.line);
        tell(raw.row, same ? "stands twice" : "is earlier than the label before it", "",
             same ? "delete the wrong one of the two lines" : "sort the rows by time");
    }

    const CsvMap& map_;
    const Zone& clock_;
    FaultLog& faults_;
    FaultLog& warnings_;
    std::size_t width_ = 0;
    std::vector<std::size_t> time_at_;
    std::vector<std::size_t> reading_at_;
    DatedRows result_;
};

}  // namespace

DatedRows read_dated_rows(std::string_view text, const CsvMap& map, const Zone& clock, FaultLog& faults,
                          FaultLog& warnings) {
    return Dating(map, clock, faults, warnings).read(text);
}

std::vector<std::string> csv_headings(std::string_view text, char delimiter, bool header) {
    const std::vector<CsvRow> rows = csv_rows(text.substr(0, text.find('\n')), delimiter);
    std::vector<std::string> headings;
    if (rows.empty()) return headings;
    for (const CsvField& field : rows.front().fields) {
        headings.push_back(header ? field.text : "column " + std::to_string(headings.size() + 1));
    }
    return headings;
}

}  // namespace lullwatt::io
