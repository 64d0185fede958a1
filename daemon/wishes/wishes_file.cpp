#include <stdexcept>

#include <date/date.h>
#include <nlohmann/json.hpp>

#include "daemon/wishes/wishes.hpp"
#include "io/file/file.hpp"

namespace lullwatt::daemon {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::uintmax_t kLargest = std::uintmax_t{1} << 20;
constexpr int kFormat = 1;

std::int64_t seconds(Instant at) { return at.time_since_epoch().count(); }

// What no time service ever set and no request told is a file of another kind.
Instant instant(const Json& json) {
    constexpr std::int64_t kYear2100 = 4'102'444'800;
    const auto since_1970 = json.get<std::int64_t>();
    if (since_1970 < 0 || since_1970 > kYear2100) throw std::out_of_range("time");
    return Instant{Seconds{since_1970}};
}

// A request tells no more than a year ahead.
void check_length(Instant told, Instant until) {
    if (until < told || until - told > date::days{367}) throw std::out_of_range("time ahead");
}

Wishes wishes_of(const Json& json) {
    Wishes wishes;
    for (const Json& each : json.at("needs")) {
        OneOff need{each.at("car"), each.at("fields"), instant(each.at("told")), instant(each.at("until"))};
        if (each.contains("told_at_wh")) need.told_at = WattHours(each.at("told_at_wh").get<std::int64_t>());
        check_length(need.told, need.until);
        wishes.needs.push_back(std::move(need));
    }
    for (const Json& each : json.at("holds")) {
        wishes.holds.push_back({each.at("car"), instant(each.at("told")), instant(each.at("until"))});
        check_length(wishes.holds.back().told, wishes.holds.back().until);
    }
    return wishes;
}

}  // namespace

std::optional<io::Fault> write_wishes(const std::filesystem::path& file, const Wishes& wishes) {
    Json json{{"format", kFormat}, {"needs", Json::array()}, {"holds", Json::array()}};
    for (const OneOff& need : wishes.needs) {
        Json each{{"car", need.car},
                  {"fields", need.fields},
                  {"told", seconds(need.told)},
                  {"until", seconds(need.until)}};
        if (need.told_at) each["told_at_wh"] = need.told_at->count();
        json["needs"].push_back(std::move(each));
    }
    for (const Held& hold : wishes.holds) {
        json["holds"].push_back(
            {{"car", hold.car}, {"told", seconds(hold.told)}, {"until", seconds(hold.until)}});
    }
    return io::replace_file(file, json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n");
}

io::Read<Wishes> read_wishes(const std::filesystem::path& file) {
    std::error_code none;
    if (!std::filesystem::exists(file, none)) return Wishes{};
    const auto bytes = io::read_whole_file(file, kLargest);
    if (!bytes.ok()) return bytes.faults();
    try {
        const Json json = Json::parse(bytes.value());
        if (json.at("format").get<int>() == kFormat) return wishes_of(json);
    } catch (const Json::exception&) {  // no JSON, or not this shape: told below
    } catch (const std::out_of_range&) {
    }
    return io::Faults{{file.string(), 0, 0, "", "does not hold what lullwattd writes there", "", "",
                       "move it away; needs and holds told before are then forgotten"}};
}

}  // namespace lullwatt::daemon
