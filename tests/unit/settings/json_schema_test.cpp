#include "io/settings/json_schema.hpp"

#include <array>
#include <string>

#include <nlohmann/json.hpp>

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using nlohmann::json;

namespace {

constexpr std::array kStepOptions = {
    Option{.key = "up_to", .kind = Kind::whole_amps, .required = true, .consequence = "Its end."},
};
constexpr Table kStep{"step", kStepOptions};

constexpr std::array kOptions = {
    Option{.key = "name", .required = true, .consequence = "A name."},
    Option{.key = "share",
           .kind = Kind::number,
           .fallback = "0.90",
           .least = 0.5,
           .greatest = 1,
           .consequence = "A share."},
    Option{.key = "format", .kind = Kind::choice, .choices = "1", .consequence = "A format."},
    Option{.key = "distinct",
           .kind = Kind::choice,
           .fallback = "no",
           .choices = "no | days",
           .consequence = "Which."},
    Option{.key = "standing",
           .kind = Kind::whole_amps,
           .fallback = "auto",
           .choices = "auto",
           .consequence = "A current."},
    Option{.key = "at", .kind = Kind::time_of_day, .fallback = "07:00", .consequence = "A time."},
    Option{.key = "net", .kind = Kind::boolean, .fallback = "yes", .consequence = "A truth."},
    Option{.key = "factors", .kind = Kind::list, .element = Kind::factor, .consequence = "Factors."},
    Option{.key = "steps", .kind = Kind::sections, .table = &kStep, .consequence = "Steps."},
    Option{.key = "rest", .kind = Kind::section, .fallback = "{}", .table = &kStep, .consequence = "A step."},
};
constexpr Table kTable{"thing", kOptions};

json property(const char* key) { return json::parse(json_schema(kTable, "A thing"))["properties"][key]; }

}  // namespace

TEST_CASE("the schema of a table takes its keys, and no others") {
    const json schema = json::parse(json_schema(kTable, "A thing"));
    CHECK(schema["$schema"] == "https://json-schema.org/draft/2020-12/schema");
    CHECK(schema["title"] == "A thing");
    CHECK(schema["additionalProperties"] == false);
    CHECK(schema["required"] == json{"name"});
    CHECK(schema["properties"].size() == kOptions.size());
}

TEST_CASE("a number has its range, and stays a number in quotes") {
    CHECK(property("share") == json{{"description", "A share. Allowed: 0.5 to 1, a number such as '0.65'."},
                                    {"type", {"number", "string"}},
                                    {"pattern", "^([+-]?[0-9]+(\\.[0-9]+)?)$"},
                                    {"minimum", 0.5},
                                    {"maximum", 1.0},
                                    {"default", 0.9}});
    CHECK(property("factors")["items"]["type"] == json{"number", "string"});
}

TEST_CASE("a choice may be a word, and the number or truth that an editor makes of it") {
    CHECK(property("format")["enum"] == json{"1", 1});
    CHECK(property("distinct")["enum"] == json{"no", false, "days"});
    CHECK(property("distinct")["default"] == "no");
}

TEST_CASE("a text with a unit has a pattern, with the words that may stand for it") {
    CHECK(property("standing")["pattern"] == "^(auto|[+-]?[0-9]+(\\.[0-9]+)?[ \\t]*A)$");
    CHECK(property("standing")["default"] == "auto");
    CHECK(property("at")["pattern"] == "^(([01][0-9]|2[0-3]):[0-5][0-9]|24:00)$");
    CHECK(property("at")["default"] == "07:00");
}

TEST_CASE("a truth is one, or yes or no") {
    CHECK(property("net")["enum"] == json{true, false, "yes", "no"});
    CHECK(property("net")["default"] == true);
}

TEST_CASE("a mapping and a list of mappings take the keys of their table") {
    const json step = {{"type", "object"},
                       {"additionalProperties", false},
                       {"required", {"up_to"}},
                       {"properties",
                        {{"up_to",
                          {{"description", "Its end. Allowed: whole amperes such as '25 A'."},
                           {"type", "string"},
                           {"pattern", "^([+-]?[0-9]+(\\.[0-9]+)?[ \\t]*A)$"}}}}}};
    CHECK(property("steps") == json{{"description", "Steps."}, {"type", "array"}, {"items", step}});
    json rest = step;
    rest["description"] = "A step.";
    rest["default"] = json::object();
    CHECK(property("rest") == rest);
}
