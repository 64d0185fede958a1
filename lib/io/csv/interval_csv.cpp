#include "io/csv/interval_csv.hpp"

#include <algorithm>
#include <cassert>
#include <chrono>
#include <map>
#include <string>
#include <utility>

#include "core/quantity/wide.hpp"
#include "io/csv/dated_rows.hpp"
#include "io/csv/label.hpp"

namespace lullwatt::io {
namespace {

using namespace std::chrono_literals;
using site::HistoryRow;

constexpr Seconds kLongestInterval = 1h;
constexpr Watts kImplausible = Watts(100'000);  // no house draws a mean of 100 kW: ours

bool is_power(CsvUnit unit) { return unit == CsvUnit::mean_kilowatts || unit == CsvUnit::mean_watts; }

// 1e-9 of the unit, over `length` where it is a power.
MilliwattHours energy_of(Wide count, CsvUnit unit, Seconds length) {
    const bool kilo = unit == CsvUnit::kilowatt_hours || unit == CsvUnit::mean_kilowatts;
    const Wide divisor = kilo ? 1'000 : 1'000'000;
    const Wide energy = is_power(unit) ? nearest_quotient(count * length.count(), divisor * 3600)
                                       : nearest_quotient(count, divisor);
    return MilliwattHours(static_cast<std::int64_t>(energy));
}

std::string seconds_text(Seconds length) { return std::to_string(length.count()) + " s"; }

// What most labels are apart; of two equally frequent the shorter.
std::optional<Seconds> usual_step(const std::vector<DatedRow>& rows) {
    std::map<Seconds, std::size_t> steps;
    for (std::size_t i = 1; i < rows.size(); ++i) ++steps[rows[i].at - rows[i - 1].at];
    const auto usual = std::ranges::max_element(steps, {}, [](const auto& step) { return step.second; });
    if (usual == steps.end()) return std::nullopt;
    return usual->first;
}

class Table {
  public:
    Table(const CsvMap& map, FaultLog& faults, FaultLog& warnings, DatedRows dated)
        : map_(map), faults_(faults), warnings_(warnings), dated_(std::move(dated)) {}

    IntervalTable build() {
        IntervalTable table;
        if (dated_.rows.empty() || !find_interval()) return table;
        table.interval = interval_;
        table.history.legs = legs();
        check_steps();
        table.history.rows = map_.is_register ? differences() : readings();
        tell_implausible(table.history.rows);
        return table;
    }

  private:
    [[nodiscard]] site::Legs legs() const {
        site::Legs legs;
        for (const CsvReadingColumn& reading : map_.readings) {
            if (reading.leg) legs = legs.with(*reading.leg);
        }
        return legs;
    }

    [[nodiscard]] std::size_t place(std::size_t reading) const {
        const auto leg = map_.readings[reading].leg;
        return leg ? static_cast<std::size_t>(*leg) : 0;
    }

    bool find_interval() {
        const auto usual = usual_step(dated_.rows);
        if (!usual && !map_.interval) {
            if (!faults_.empty()) return false;  // the rows that would tell are the faulty ones
            faults_.add({"", 0, 0, "", "holds one reading, so how long it lasted is not known", "", "",
                         "give the interval's length"});
            return false;
        }
        interval_ = map_.interval.value_or(usual.value_or(0s));
        if (usual && map_.interval && *usual != *map_.interval) {
            faults_.add({"", 0, 0, "", "has labels that are mostly " + seconds_text(*usual) + " apart", "",
                         "the interval given, " + seconds_text(*map_.interval), "correct the interval"});
            return false;
        }
        if (interval_ > kLongestInterval) {
            faults_.add({"", 0, 0, "", "has intervals too long to say anything of the time of day",
                         seconds_text(interval_), "up to 3600 s", "ask the utility for finer data"});
            return false;
        }
        return true;
    }

    // Labels whole intervals apart: one too near the row before is a fault, one too far leaves a gap.
    void check_steps() {
        for (std::size_t i = 1; i < dated_.rows.size(); ++i) {
            const DatedRow& row = dated_.rows[i];
            const Seconds step = row.at - dated_.rows[i - 1].at;
            if (step % interval_ != 0s) {
                tell_label(faults_, row,
                           "is not a whole number of intervals of " + seconds_text(interval_) +
                               " after the label before it",
                           seconds_text(step) + " after line " + std::to_string(dated_.rows[i - 1].line));
            } else if (step > interval_) {
                tell_label(warnings_, row,
                           map_.is_register ? "comes after a gap: one difference covers it"
                                            : "comes after a gap without readings",
                           seconds_text(step - interval_) + " are missing before it");
            }
        }
    }

    void tell_label(FaultLog& log, const DatedRow& row, std::string what, const std::string& detail) {
        log.add({"", row.line, row.label_column, dated_.time_key, std::move(what), row.label + ", " + detail,
                 "", ""});
    }

    std::vector<HistoryRow> readings() {
        std::vector<HistoryRow> rows;
        rows.reserve(dated_.rows.size());
        for (const DatedRow& dated : dated_.rows) {
            const Instant begin = *map_.label == LabelMeans::start ? dated.at : dated.at - interval_;
            HistoryRow row{{begin, begin + interval_}, {}, Quality::measured};
            for (std::size_t i = 0; i < map_.readings.size(); ++i) {
                row.energy[place(i)] = energy_of(dated.counts[i], map_.unit, interval_);
            }
            rows.push_back(row);
        }
        return rows;
    }

    std::vector<HistoryRow> differences() {
        std::vector<HistoryRow> rows;
        for (std::size_t at = 1; at < dated_.rows.size(); ++at) {
            HistoryRow row{{dated_.rows[at - 1].at, dated_.rows[at].at}, {}, Quality::measured};
            bool known = true;
            for (std::size_t i = 0; i < map_.readings.size(); ++i) {
                const auto energy = difference(dated_.rows[at - 1], dated_.rows[at], i);
                known = known && energy.has_value();
                row.energy[place(i)] = energy.value_or(MilliwattHours(0));
            }
            if (known) rows.push_back(row);
        }
        return rows;
    }

    // What a register counted between two rows. One that went back rolled over where its digits say so and
    // the way over the top is the shorter one; otherwise it was reset or exchanged, and nobody knows.
    std::optional<MilliwattHours> difference(const DatedRow& before, const DatedRow& after, std::size_t i) {
        const Wide step = static_cast<Wide>(after.counts[i]) - before.counts[i];
        if (step >= 0 || map_.may_be_negative) return energy_of(step, map_.unit, interval_);
        const auto tell = [&](std::string what, std::string mend) {
            warnings_.add({"", after.line, after.columns[i], dated_.reading_keys[i], std::move(what),
                           before.written[i] + " to " + after.written[i], "", std::move(mend)});
        };
        if (!map_.register_digits) {
            tell("went back: taken for a reset, and left as a gap",
                 "if the register rolled over, give its number of digits");
            return std::nullopt;
        }
        Wide modulus = 1'000'000'000;
        for (int digit = 0; digit < *map_.register_digits; ++digit) modulus *= 10;
        if (step + modulus < 0 || step + modulus > modulus / 2) {
            tell("went back further than by rolling over: taken for a reset, and left as a gap", "");
            return std::nullopt;
        }
        tell("went back: taken for rolling over", "");
        return energy_of(step + modulus, map_.unit, interval_);
    }

    void tell_implausible(const std::vector<HistoryRow>& rows) {
        const auto loud = std::ranges::find_if(rows, [](const HistoryRow& row) {
            return mean_power({row.when, site::total(row), row.quality}) > kImplausible;
        });
        if (loud == rows.end()) return;
        warnings_.add({"", 0, 0, "", "has means above 100 kW, the first from " + utc_text(loud->when.begin),
                       "", "", "check the unit: no house draws that"});
    }

    const CsvMap& map_;
    FaultLog& faults_;
    FaultLog& warnings_;
    DatedRows dated_;
    Seconds interval_{};
};

}  // namespace

Read<IntervalTable> read_interval_csv(std::string_view text, const std::string& file, const CsvMap& map,
                                      const Zone& clock) {
    assert(!map.time.empty() && !map.readings.empty() && map.readings.size() <= 3);
    assert(map.is_register ? !is_power(map.unit) : map.label.has_value());
    assert(map.delimiter != map.decimal);
    if (text.find('\0') != text.npos) {
        return Faults{{file, 0, 0, "", "is not plain text in UTF-8", "", "", "save it as CSV in UTF-8"}};
    }
    FaultLog faults(file);
    FaultLog warnings(file);
    DatedRows dated = read_dated_rows(text, map, clock, faults, warnings);
    IntervalTable table = Table(map, faults, warnings, std::move(dated)).build();
    if (!faults.empty()) return std::move(faults).take();
    if (table.history.rows.empty()) {
        return Faults{
            {file, 0, 0, "", "holds no reading that can be used", "", "", "look at the columns' map"}};
    }
    table.warnings = std::move(warnings).take();
    return table;
}

}  // namespace lullwatt::io
