#include "io/greenbutton/settle.hpp"

#include <algorithm>
#include <string>
#include <utility>

#include "core/quantity/money.hpp"
#include "io/greenbutton/reading_text.hpp"

namespace lullwatt::io {
namespace {

class Settling {
  public:
    Settling(const ReadingType& type, FaultLog& faults, FaultLog& warnings)
        : type_(type), faults_(faults), warnings_(warnings) {
        series_.flow = type.flow;
        series_.currency = type.currency;
        series_.interval = type.interval;
    }

    MeterSeries settle(std::vector<PrintedReading> printed) {
        std::ranges::stable_sort(printed, {},
                                 [](const PrintedReading& reading) { return reading.when.begin; });
        if (type_.form == ReadingForm::energy_register) {
            differences(printed);
        } else {
            for (const PrintedReading& reading : printed) take(reading);
        }
        return std::move(series_);
    }

  private:
    std::optional<MilliwattHours> energy(const PrintedReading& reading) {
        const auto energy = energy_of(reading.value, type_, reading.when.length());
        if (!energy) {
            faults_.add({"", reading.line, 0, "value", "is more than any house uses",
                         std::to_string(reading.value), "up to a gigawatt-hour",
                         "is powerOfTenMultiplier right?"});
        }
        return energy;
    }

    void take(const PrintedReading& reading) {
        const auto amount = energy(reading);
        if (!amount) return;
        const bool has_sign = type_.flow == Flow::net;
        if (reading.when.length() == Seconds{0}) {
            keep_out(reading, *amount, "lasts 0 s");
        } else if (*amount < MilliwattHours(0) && !has_sign) {
            keep_out(reading, *amount, "is negative where energy has no sign");
        } else if (!series_.kept.empty() && reading.when.begin < series_.kept.back().when.end) {
            const EnergyReading& before = series_.kept.back();
            const bool same = before.when == reading.when && before.energy == *amount;
            keep_out(reading, *amount, same ? "stands twice" : "overlaps a reading before it");
        } else {
            keep(reading, *amount);
        }
    }

    void keep(const PrintedReading& reading, MilliwattHours amount) {
        Quality quality = reading.quality;
        if (type_.interval > Seconds{0} && reading.when.length() != type_.interval) {
            tell(reading.line, "duration", "is another length than the type's: kept as questionable",
                 span_text(reading.when) + ", " + energy_text(amount),
                 std::to_string(type_.interval.count()) + " s");
            quality = Quality::questionable;
        }
        tell_gap(reading);
        series_.kept.push_back({reading.when, amount, quality});
        series_.costs.push_back(reading.cost);
    }

    void tell_gap(const PrintedReading& reading) {
        if (series_.kept.empty() || reading.when.begin == series_.kept.back().when.end) return;
        tell(reading.line, "start", "leaves a gap before it",
             span_text({series_.kept.back().when.end, reading.when.begin}), "");
    }

    void keep_out(const PrintedReading& reading, MilliwattHours amount, const std::string& why) {
        tell(reading.line, "IntervalReading", why + ": kept out",
             span_text(reading.when) + ", " + energy_text(amount), "");
        series_.kept_out.push_back({reading.when, amount, reading.cost, why, reading.line});
    }

    void differences(const std::vector<PrintedReading>& printed) {
        const PrintedReading* before = nullptr;
        for (const PrintedReading& reading : printed) {
            const PrintedReading* last = std::exchange(before, &reading);
            if (last == nullptr) continue;
            const Interval when{last->when.end, reading.when.end};
            if (when.begin >= when.end) {
                tell(reading.line, "IntervalReading",
                     "reads the register at a time it was read before: kept out", utc_text(reading.when.end),
                     "");
                before = last;
                continue;
            }
            const auto from = energy(*last);
            const auto to = energy(reading);
            if (!from || !to) continue;
            if (*to < *from && type_.flow != Flow::net) {
                tell(reading.line, "value", "is below the reading before it: left as a gap",
                     std::to_string(last->value) + " to " + std::to_string(reading.value), "");
                continue;
            }
            series_.kept.push_back({when, *to - *from, std::max(last->quality, reading.quality)});
            series_.costs.push_back(reading.cost);
        }
    }

    void tell(int line, std::string key, std::string what, std::string value, std::string allowed) {
        warnings_.add(
            {"", line, 0, std::move(key), std::move(what), std::move(value), std::move(allowed), ""});
    }

    const ReadingType& type_;
    FaultLog& faults_;
    FaultLog& warnings_;
    MeterSeries series_;
};

}  // namespace

MeterSeries settle(std::vector<PrintedReading> printed, const ReadingType& type, FaultLog& faults,
                   FaultLog& warnings) {
    return Settling(type, faults, warnings).settle(std::move(printed));
}

}  // namespace lullwatt::io
