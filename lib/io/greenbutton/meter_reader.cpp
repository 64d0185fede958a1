#include "io/greenbutton/meter_reader.hpp"

#include <algorithm>
#include <charconv>
#include <pugixml.hpp>
#include <utility>

#include "io/greenbutton/reading_text.hpp"

namespace lullwatt::io {
void MeterReader::fault(const pugi::xml_node& at, std::string_view key, std::string what, std::string value,
                        std::string allowed) {
    faults_.add(
        {"", lines_.of(at), 0, std::string(key), std::move(what), std::move(value), std::move(allowed), ""});
}

void MeterReader::warn(const pugi::xml_node& at, std::string_view key, std::string what, std::string value,
                       std::string allowed) {
    warnings_.add(
        {"", lines_.of(at), 0, std::string(key), std::move(what), std::move(value), std::move(allowed), ""});
}

std::optional<std::int64_t> MeterReader::number(const pugi::xml_node& parent, std::string_view name,
                                                bool needed) {
    const pugi::xml_node node = child(parent, name);
    if (!node) {
        if (needed) fault(parent, name, "is missing", "", "a whole number");
        return std::nullopt;
    }
    const std::string_view text = text_of(node);
    std::int64_t value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error == std::errc{} && end == text.data() + text.size()) return value;
    fault(node, name, "is not a whole number", std::string(text.substr(0, 40)), "a whole number");
    return std::nullopt;
}

std::optional<Interval> MeterReader::interval(const pugi::xml_node& node) {
    constexpr std::int64_t kYear2400 = 13'569'465'600;
    constexpr std::int64_t kLongest = 0xFFFFFFFF;  // the schema's 32 bits
    const auto duration = number(node, "duration", true);
    const auto start = number(node, "start", true);
    if (!duration || !start) return std::nullopt;
    const bool timely = *start >= 0 && *start < kYear2400;
    const bool lasting = *duration >= 0 && *duration <= kLongest;
    if (!timely) {
        fault(node, "start", "is no time of a meter's", std::to_string(*start),
              "seconds since 1970, up to the year 2400");
    }
    if (!lasting) {
        fault(node, "duration", "is no length", std::to_string(*duration), "0 to 4294967295 seconds");
    }
    if (!timely || !lasting) return std::nullopt;
    const Instant begin{Seconds{*start}};
    return Interval{begin, begin + Seconds{*duration}};
}

std::optional<ReadingType> MeterReader::type(const pugi::xml_node& reading_type) {
    ReadingTypeCodes codes;
    codes.accumulation = number(reading_type, "accumulationBehaviour", false);
    codes.currency = number(reading_type, "currency", false);
    codes.default_quality = number(reading_type, "defaultQuality", false);
    codes.flow = number(reading_type, "flowDirection", false);
    codes.interval_length = number(reading_type, "intervalLength", false);
    codes.multiplier = number(reading_type, "powerOfTenMultiplier", false);
    codes.qualifier = number(reading_type, "dataQualifier", false);
    codes.unit = number(reading_type, "uom", false);
    codes.line = lines_.of(reading_type);
    return io::reading_type(codes, faults_, warnings_);
}

void MeterReader::block(const pugi::xml_node& block, const ReadingType& type,
                        std::vector<PrintedReading>& printed) {
    const pugi::xml_node stated = child(block, "interval");
    const auto whole = stated ? interval(stated) : std::nullopt;
    std::optional<Instant> next = whole ? std::optional(whole->begin) : std::nullopt;
    const std::size_t first = printed.size();
    for (const pugi::xml_node& node : block.children()) {
        if (local_name(node) != "IntervalReading") continue;
        const auto when = reading_time(node, type, next);
        if (when) next = when->end;
        reading(node, when, type, printed);
    }
    if (!whole || printed.size() == first) return;
    const Interval held{printed[first].when.begin, printed.back().when.end};
    if (held == *whole) return;
    warn(block, "interval", "is not the time its readings cover", span_text(*whole), span_text(held));
}

std::optional<Interval> MeterReader::reading_time(const pugi::xml_node& node, const ReadingType& type,
                                                  std::optional<Instant> next) {
    if (const pugi::xml_node period = child(node, "timePeriod")) return interval(period);
    if (next && type.interval > Seconds{0}) return Interval{*next, *next + type.interval};
    fault(node, "timePeriod", "is missing, and nothing else says the reading's time", "",
          "a timePeriod, or the block's interval and the type's intervalLength");
    return std::nullopt;
}

void MeterReader::reading(const pugi::xml_node& node, std::optional<Interval> when, const ReadingType& type,
                          std::vector<PrintedReading>& printed) {
    if (!child(node, "value")) {
        warn(node, "value", "is missing: left as a gap", when ? utc_text(when->begin) : "");
        return;
    }
    const auto value = number(node, "value", true);
    const auto printed_cost = cost(node);
    const Quality how = quality(node, type.default_quality);
    if (when && value) printed.push_back({*when, *value, printed_cost, how, lines_.of(node)});
}

// Printed in 1e-5 of the currency; ten of ours each.
std::optional<Money> MeterReader::cost(const pugi::xml_node& node) {
    constexpr std::int64_t kMost = std::int64_t{1} << 47;  // the schema's 48 bits, with a sign
    const auto count = number(node, "cost", false);
    if (!count) return std::nullopt;
    if (*count >= -kMost && *count < kMost) return Money(*count * 10);
    fault(node, "cost", "is no cost", std::to_string(*count), "a whole number of 48 bits");
    return std::nullopt;
}

// The worst of those stated.
Quality MeterReader::quality(const pugi::xml_node& node, Quality otherwise) {
    std::optional<Quality> worst;
    for (const pugi::xml_node& part : node.children()) {
        if (local_name(part) != "ReadingQuality") continue;
        const auto code = number(part, "quality", true);
        const auto known = code ? quality_of(*code) : std::nullopt;
        if (code && !known) {
            warn(part, "quality", "is no code of the schema: read as questionable", std::to_string(*code));
        }
        worst = std::max(worst.value_or(Quality::measured), known.value_or(Quality::questionable));
    }
    return worst.value_or(otherwise);
}

std::optional<StatedTotal> MeterReader::stated(const pugi::xml_node& summary) {
    const pugi::xml_node total = child(summary, "overallConsumptionLastPeriod");
    const pugi::xml_node period = child(summary, "billingPeriod");
    if (!total || !period) return std::nullopt;
    const auto when = interval(period);
    const auto value = number(total, "value", true);
    const auto unit = number(total, "uom", false);
    const std::int64_t multiplier = number(total, "powerOfTenMultiplier", false).value_or(0);
    constexpr std::int64_t kWattHours = 72;
    if (!when || !value || unit != kWattHours || !is_power_of_ten(multiplier)) return std::nullopt;
    ReadingType type;
    type.power_of_ten = static_cast<int>(multiplier);
    const auto energy = energy_of(*value, type, Seconds{0});
    if (!energy) return std::nullopt;
    return StatedTotal{*when, *energy};
}

void MeterReader::check_total(const MeterSeries& series) {
    if (!series.stated || series.kept.empty()) return;
    const Interval period = series.stated->period;
    MilliwattHours sum(0);
    Seconds covered{0};
    for (const EnergyReading& reading : series.kept) {
        if (reading.when.begin < period.begin || reading.when.end > period.end) continue;
        sum += reading.energy;
        covered += reading.when.length();
    }
    if (covered != period.length() || sum == series.stated->energy) return;
    warnings_.add({"", 0, 0, "overallConsumptionLastPeriod", "is not the sum of the readings of its period",
                   energy_text(series.stated->energy), energy_text(sum), ""});
}

}  // namespace lullwatt::io
