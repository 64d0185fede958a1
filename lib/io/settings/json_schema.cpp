#include "io/settings/json_schema.hpp"

#include <optional>
#include <vector>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "io/settings/scalar.hpp"

namespace lullwatt::io {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::string_view kNumber = "[+-]?[0-9]+(\\.[0-9]+)?";
constexpr std::string_view kMonthDay = "(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])";

// The units a text of this kind may end with, as a pattern; empty: it is no number with a unit.
std::string_view units_of(Kind kind) {
    switch (kind) {
        case Kind::whole_amps:
        case Kind::amps:
            return "A";
        case Kind::volts:
            return "V";
        case Kind::watts:
        case Kind::demand:
            return "k?W";
        case Kind::area:
            return "(m2|m²|sq ft|ft2)";
        case Kind::length:
            return "(m|ft)";
        case Kind::temperature:
            return "°?C";
        case Kind::energy:
        case Kind::fine_energy:
            return "k?Wh";
        case Kind::energy_per_100km:
            return "k?Wh/100km";
        case Kind::distance:
            return "km";
        case Kind::percent:
            return "%";
        case Kind::duration:
            return "(s|min|h)";
        default:
            return "";
    }
}

// What the text looks like; empty where the kind says nothing of it.
std::string text_pattern(Kind kind) {
    if (const auto units = units_of(kind); !units.empty()) return fmt::format("{}[ \\t]*{}", kNumber, units);
    switch (kind) {
        case Kind::nameplate:
            return fmt::format("{0}[ \\t]*(k?VA|k?W|A at {0}[ \\t]*V)", kNumber);
        case Kind::time_of_day:
            return "([01][0-9]|2[0-3]):[0-5][0-9]|24:00";
        case Kind::offset:
            return "[+-](0[0-9]|1[0-4]):[0-5][0-9]|[+-]15:00";
        case Kind::date:
            return fmt::format("[0-9]{{4}}-{}", kMonthDay);
        case Kind::month_day:
            return std::string(kMonthDay);
        case Kind::whole_number:
            return "[+-]?[0-9]+";
        case Kind::number:
        case Kind::money:
        case Kind::rate:
        case Kind::demand_rate:
        case Kind::factor:
            return std::string(kNumber);
        default:
            return "";
    }
}

bool is_plain_number(Kind kind) {
    return kind == Kind::whole_number || kind == Kind::number || kind == Kind::money || kind == Kind::rate ||
           kind == Kind::demand_rate || kind == Kind::factor;
}

// What an editor makes of a word it is given without quotes.
Json plain_value(const std::string& word) {
    if (word == "yes") return true;
    if (word == "no") return false;
    const Json read = Json::parse(word, nullptr, false);
    return read.is_number() ? read : Json(word);
}

// "1" may stand there as a number, "no" as a truth.
Json words_of(std::string_view choices) {
    Json words = Json::array();
    for (const std::string& word : split_choices(choices)) {
        words.push_back(word);
        if (const Json plain = plain_value(word); !plain.is_string()) words.push_back(plain);
    }
    return words;
}

Json scalar(const Option& option, Kind kind) {
    if (kind == Kind::choice) return {{"enum", words_of(option.choices)}};
    if (kind == Kind::boolean) return {{"enum", {true, false, "yes", "no"}}};
    if (kind == Kind::text || kind == Kind::file)
        return {{"type", {"string", "number", "boolean"}}, {"pattern", "\\S"}};
    std::string pattern = text_pattern(kind);
    for (const std::string& word : split_choices(option.choices)) pattern.insert(0, word + "|");
    Json schema{{"type", "string"}, {"pattern", "^(" + pattern + ")$"}};
    if (!is_plain_number(kind)) return schema;
    // Quoted it is a text still; ranges are of numbers only.
    schema["type"] = {kind == Kind::whole_number ? "integer" : "number", "string"};
    if (option.least <= option.greatest) {
        schema["minimum"] = option.least;
        schema["maximum"] = option.greatest;
    }
    return schema;
}

Json mapping(const Table& table);

Json value(const Option& option) {
    switch (option.kind) {
        case Kind::section:
            return mapping(*option.table);
        case Kind::sections:
            return {{"type", "array"}, {"items", mapping(*option.table)}};
        case Kind::list:
            return {{"type", "array"}, {"items", scalar(option, option.element)}};
        default:
            return scalar(option, option.kind);
    }
}

std::string description(const Option& option) {
    if (option.table != nullptr) return std::string(option.consequence);
    return fmt::format("{} Allowed: {}.", option.consequence, allowed_text(option));
}

Json default_of(const Option& option) {
    if (option.kind == Kind::section) return Json::object();
    const std::string written(option.fallback);
    const bool is_text = option.kind != Kind::boolean && !is_plain_number(option.kind);
    return is_text ? Json(written) : plain_value(written);
}

Json mapping(const Table& table) {
    Json required = Json::array();
    Json properties = Json::object();
    for (const Option& option : table.options) {
        const std::string key(option.key);
        Json& property = properties[key] = {{"description", description(option)}};
        property.update(value(option));
        if (!option.fallback.empty()) property["default"] = default_of(option);
        if (option.required) required.push_back(key);
    }
    Json schema{{"type", "object"}, {"additionalProperties", false}};
    if (!required.empty()) schema["required"] = required;
    schema["properties"] = properties;
    return schema;
}

}  // namespace

std::string json_schema(const Table& table, std::string_view title) {
    Json schema{{"$schema", "https://json-schema.org/draft/2020-12/schema"}, {"title", std::string(title)}};
    schema.update(mapping(table));
    return schema.dump(2) + "\n";
}

}  // namespace lullwatt::io
