#include "io/greenbutton/reading_type.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <utility>

#include "core/quantity/wide.hpp"

namespace lullwatt::io {
namespace {

constexpr std::int64_t kWatts = 38;
constexpr std::int64_t kWattHours = 72;
constexpr std::int64_t kAverage = 2;
constexpr std::array<std::int64_t, 13> kPowersOfTen = {-12, -9, -6, -3, -2, -1, 0, 1, 2, 3, 6, 9, 12};

std::string printed(std::optional<std::int64_t> code) { return code ? std::to_string(*code) : ""; }

Wide power_of_ten(int exponent) {
    Wide value = 1;
    for (int i = 0; i < exponent; ++i) value *= 10;
    return value;
}

std::string currency_name(std::optional<std::int64_t> code) {
    constexpr std::array<std::pair<std::int64_t, const char*>, 14> kNames = {{{36, "AUD"},
                                                                              {124, "CAD"},
                                                                              {156, "CNY"},
                                                                              {208, "DKK"},
                                                                              {356, "INR"},
                                                                              {392, "JPY"},
                                                                              {578, "NOK"},
                                                                              {643, "RUB"},
                                                                              {752, "SEK"},
                                                                              {756, "CHF"},
                                                                              {826, "GBP"},
                                                                              {840, "USD"},
                                                                              {978, "EUR"},
                                                                              {0, ""}}};
    if (!code) return "";
    const auto known = std::ranges::find(kNames, *code, &std::pair<std::int64_t, const char*>::first);
    return known == kNames.end() ? std::to_string(*code) : known->second;
}

class Decoder {
  public:
    Decoder(const ReadingTypeCodes& codes, FaultLog& faults, FaultLog& warnings)
        : codes_(codes), faults_(faults), warnings_(warnings) {}

    std::optional<ReadingType> decode() {
        ReadingType type;
        bool good = form(type);
        good &= flow(type);
        good &= numbers(type);
        type.currency = currency_name(codes_.currency);
        if (!good) return std::nullopt;
        return type;
    }

  private:
    bool refuse(const char* key, std::optional<std::int64_t> code, std::string what, std::string allowed,
                std::string mend = "") {
        faults_.add(
            {"", codes_.line, 0, key, std::move(what), printed(code), std::move(allowed), std::move(mend)});
        return false;
    }

    bool form(ReadingType& type) {
        if (codes_.unit == kWattHours) return accumulation(type);
        if (codes_.unit != kWatts || codes_.qualifier != kAverage) {
            const bool watts = codes_.unit == kWatts;
            return refuse(watts ? "dataQualifier" : "uom", watts ? codes_.qualifier : codes_.unit,
                          watts ? "is no mean over an interval" : "is no unit of a house's energy",
                          "uom 72 (Wh), or uom 38 (W) with dataQualifier 2 (average)");
        }
        type.form = ReadingForm::mean_power;
        const std::int64_t way = codes_.accumulation.value_or(0);
        if (way == 0 || way == 4 || way == 6) return true;
        return refuse("accumulationBehaviour", codes_.accumulation, "does not go with mean power",
                      "0 (none), 4 (interval), 6 (indicating)");
    }

    bool accumulation(ReadingType& type) {
        const std::string allowed = "4 (energy of each interval), 1 or 3 (readings of a register)";
        if (!codes_.accumulation) {
            return refuse("accumulationBehaviour", {}, "is missing, so what a value counts is not known",
                          allowed, "ask the utility for a complete file");
        }
        switch (*codes_.accumulation) {
            case 4:
                type.form = ReadingForm::energy;
                return true;
            case 1:
            case 3:
                type.form = ReadingForm::energy_register;
                return true;
            default:
                return refuse("accumulationBehaviour", codes_.accumulation,
                              "is no way energy is counted here", allowed);
        }
    }

    bool flow(ReadingType& type) {
        switch (codes_.flow.value_or(0)) {
            case 0:
                warnings_.add({"", codes_.line, 0, "flowDirection",
                               "is not stated: read as delivered to the house", printed(codes_.flow), "",
                               ""});
                return true;
            case 1:
                type.flow = Flow::delivered;
                return true;
            case 4:
                type.flow = Flow::net;
                return true;
            case 19:
                type.flow = Flow::received;
                return true;
            case 20:
                type.flow = Flow::total;
                return true;
            default:
                return refuse("flowDirection", codes_.flow, "is no direction of a house's energy",
                              "1 (delivered), 19 (received), 4 (net), 20 (total)");
        }
    }

    bool numbers(ReadingType& type) {
        bool good = true;
        const std::int64_t multiplier = codes_.multiplier.value_or(0);
        if (!is_power_of_ten(multiplier)) {
            good = refuse("powerOfTenMultiplier", codes_.multiplier, "is no multiplier of the schema",
                          "-12 -9 -6 -3 -2 -1 0 1 2 3 6 9 12");
        }
        const std::int64_t length = codes_.interval_length.value_or(0);
        if (length < 0 || length > std::int64_t{366} * 86'400) {
            good = refuse("intervalLength", codes_.interval_length, "is no length", "0 to 31622400 seconds");
        }
        const auto quality = quality_of(codes_.default_quality.value_or(0));
        if (!quality) good = refuse("defaultQuality", codes_.default_quality, "is no quality", "0, 7 to 19");
        if (!good) return false;
        type.power_of_ten = static_cast<int>(multiplier);
        type.interval = Seconds{length};
        type.default_quality = *quality;
        return true;
    }

    const ReadingTypeCodes& codes_;
    FaultLog& faults_;
    FaultLog& warnings_;
};

}  // namespace

std::optional<ReadingType> reading_type(const ReadingTypeCodes& codes, FaultLog& faults, FaultLog& warnings) {
    return Decoder(codes, faults, warnings).decode();
}

std::optional<Quality> quality_of(std::int64_t code) {
    switch (code) {
        case 0:   // valid
        case 14:  // raw
        case 17:  // validated
        case 18:  // verified
        case 19:  // revenue quality
            return Quality::measured;
        case 7:   // edited by hand
        case 8:   // estimated from a reference day
        case 9:   // estimated by interpolation
        case 11:  // derived
        case 12:  // projected
        case 13:  // mixed
        case 15:  // normalised for weather
            return Quality::estimated;
        case 10:  // questionable
        case 16:  // other
            return Quality::questionable;
        default:
            return std::nullopt;
    }
}

std::optional<MilliwattHours> energy_of(std::int64_t value, const ReadingType& type, Seconds over) {
    constexpr std::int64_t kInt48 = (std::int64_t{1} << 47);  // the schema's range; more would overflow below
    constexpr Wide kMost = 1'000'000'000'000;                 // mWh: a gigawatt-hour
    if (value < -kInt48 || value >= kInt48) return std::nullopt;
    const bool power = type.form == ReadingForm::mean_power;
    assert(over >= Seconds{0} && over.count() <= 0xFFFFFFFFLL);
    Wide n = static_cast<Wide>(value) * 1000 * (power ? over.count() : 1);
    Wide d = power ? 3600 : 1;
    (type.power_of_ten < 0 ? d : n) *= power_of_ten(std::abs(type.power_of_ten));
    const Wide energy = nearest_quotient(n, d);
    if (energy < -kMost || energy > kMost) return std::nullopt;
    return MilliwattHours(static_cast<std::int64_t>(energy));
}

bool is_power_of_ten(std::int64_t multiplier) {
    return std::ranges::find(kPowersOfTen, multiplier) != kPowersOfTen.end();
}

}  // namespace lullwatt::io
