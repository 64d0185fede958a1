#include "io/settings/json_schema.hpp"

#include <nlohmann/json.hpp>

#include "io/settings/scalar.hpp"

namespace lullwatt::io {
namespace {

using Json = nlohmann::ordered_json;

Json pattern(const char* text) { return {{"type", "string"}, {"pattern", text}}; }

// Editors read YAML by its types: 0.13 is a number, '25 A' a string.
Json number_or(const char* text) {
    return {{"anyOf", Json::array({Json{{"type", "number"}}, pattern(text)})}};
}

Json of_kind(const Option& option, Kind kind) {
    constexpr const char* kNumber = "^[+-]?[0-9]*[.]?[0-9]+$";
    const auto with_unit = [](const char* units) {
        return Json{{"type", "string"}, {"pattern", "^[+-]?[0-9]*[.]?[0-9]+ *(" + std::string(units) + ")$"}};
    };
    switch (kind) {
        case Kind::text:
        case Kind::file:
            return {{"type", Json::array({"string", "number", "boolean"})}};
        case Kind::choice: {
            Json words = Json::array();
            for (const std::string& word : split_choices(option.choices)) {
                words.push_back(word);
                if (word == "no" || word == "yes") words.push_back(word == "yes");
                if (word.find_first_not_of("0123456789") == std::string::npos)
                    words.push_back(std::stoi(word));
            }
            return {{"enum", words}};
        }
        case Kind::whole_number:
            return {{"type", "integer"}};
        case Kind::number:
        case Kind::money:
        case Kind::rate:
        case Kind::demand_rate:
        case Kind::factor:
            return number_or(kNumber);
        case Kind::whole_amps:
        case Kind::amps:
            return with_unit("A");
        case Kind::volts:
            return with_unit("V");
        case Kind::watts:
        case Kind::demand:
            return with_unit("k?W");
        case Kind::nameplate:
            return pattern("(VA|W|V)$");
        case Kind::area:
            return with_unit("m2|m²|sq ft|ft2");
        case Kind::length:
            return with_unit("m|ft");
        case Kind::temperature:
            return with_unit("C|°C");
        case Kind::energy:
        case Kind::fine_energy:
            return with_unit("k?Wh");
        case Kind::energy_per_100km:
            return with_unit("k?Wh/100km");
        case Kind::distance:
            return with_unit("km");
        case Kind::percent:
            return with_unit("%");
        case Kind::duration:
            return with_unit("s|min|h");
        case Kind::time_of_day:
            // YAML 1.1 takes 16:00 for a number in base sixty.
            return {{"anyOf", Json::array({pattern("^[0-2][0-9]:[0-5][0-9]$"), Json{{"type", "integer"}}})}};
        case Kind::offset:
            return pattern("^[+-][0-1][0-9]:[0-5][0-9]$");
        case Kind::date:
            return pattern("^[0-9]{4}-[0-1][0-9]-[0-3][0-9]$");
        case Kind::month_day:
            return pattern("^[0-1][0-9]-[0-3][0-9]$");
        case Kind::boolean:
            return {{"enum", Json::array({true, false, "yes", "no", "true", "false"})}};
        case Kind::list:
        case Kind::section:
        case Kind::sections:
            break;
    }
    return Json::object();
}

Json of_table(const Table& table);

Json of_option(const Option& option) {
    if (option.kind == Kind::section) return of_table(*option.table);
    if (option.kind == Kind::sections) return {{"type", "array"}, {"items", of_table(*option.table)}};
    if (option.kind == Kind::list) return {{"type", "array"}, {"items", of_kind(option, option.element)}};
    Json json = of_kind(option, option.kind);
    if (option.kind == Kind::choice || option.choices.empty()) return json;
    Json words = Json::array();
    for (const std::string& word : split_choices(option.choices)) words.push_back(word);
    return {{"anyOf", Json::array({json, Json{{"enum", words}}})}};
}

Json of_table(const Table& table) {
    Json properties = Json::object();
    Json required = Json::array();
    for (const Option& option : table.options) {
        Json json = of_option(option);
        json["description"] = std::string(option.consequence);
        if (!option.fallback.empty() && option.fallback != "{}")
            json["default"] = std::string(option.fallback);
        properties[std::string(option.key)] = std::move(json);
        if (option.required) required.push_back(std::string(option.key));
    }
    Json json{{"type", "object"}, {"properties", properties}, {"additionalProperties", false}};
    if (!required.empty()) json["required"] = required;
    return json;
}

}  // namespace

std::string json_schema(const Table& table, std::string_view title) {
    Json json{{"$schema", "https://json-schema.org/draft/2020-12/schema"}, {"title", std::string(title)}};
    json.update(of_table(table));
    return json.dump(1) + "\n";
}

}  // namespace lullwatt::io
