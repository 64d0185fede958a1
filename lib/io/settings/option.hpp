// The option table: every key of a settings file with its kind, range, default and consequence, in one place.
//
// The table parses, checks, explains and writes the commented reference file; nothing else knows a key's
// rules. Constant data; safe to read from any thread.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

namespace lullwatt::io {

enum class Kind : std::uint8_t {
    text,
    choice,            // one of Option::choices
    whole_number,      // 3
    number,            // 0.65
    whole_amps,        // 25 A
    amps,              // 12.5 A
    volts,             // 120 V
    watts,             // 400 W, 7.2 kW
    nameplate,         // 1200 VA, 4.5 kW, 7.2 A at 120 V
    area,              // 140 m2, 1500 sq ft
    length,            // 25 m, 80 ft
    temperature,       // 35 C
    energy,            // 60 kWh, 500 Wh
    fine_energy,       // 22.1918 kWh
    demand,            // 7.2 kW, to the milliwatt
    energy_per_100km,  // 18 kWh/100km
    distance,          // 60 km
    percent,           // 80 %
    duration,          // 30 s, 5 min, 2 h
    time_of_day,       // 07:00, to 24:00
    offset,            // +02:00, -03:30
    date,              // 2026-01-31
    month_day,         // 11-01
    money,             // 0.02 of the file's currency
    rate,              // 0.0951 of the currency per kWh
    demand_rate,       // 8.40 of the currency per kW
    factor,            // 1.0376
    boolean,           // yes, no
    file,              // a path, relative to the file it stands in
    list,              // [a, b]; each element by Option::element
    section,           // a mapping with a table of its own
    sections,          // a sequence of such mappings
};

struct Option;

struct Table {
    std::string_view name;  // "point": how messages call one such mapping
    std::span<const Option> options;
};

struct Option {
    std::string_view key;
    Kind kind = Kind::text;
    bool required = false;
    std::string_view fallback;  // as one would write it; empty: no default; "{}": a section of its defaults
    std::string_view sample;    // what the reference file shows for a key without default
    std::string_view choices;   // "a | b | c" for Kind::choice and lists of choices; words a number may be
    double least = 0;  // range of numeric kinds, in the unit of `unit_text(kind)`; least > greatest: no range
    double greatest = -1;
    Kind element = Kind::text;         // of a list
    const Table* table = nullptr;      // of a section or sections
    bool stated_in_reference = false;  // not required, but one of several of which a readable file needs one
    std::string_view consequence;      // one line: what happens when it changes
};

// "whole amperes, such as '25 A'"
[[nodiscard]] std::string_view example(Kind kind);

// The unit in which a range of this kind is given and printed: "A", "kWh", "min"; empty where there is none.
[[nodiscard]] std::string_view unit_text(Kind kind);

// What is allowed, for messages and the reference file: "6 A to 80 A, whole amperes, such as '25 A'".
[[nodiscard]] std::string allowed_text(const Option& option);

}  // namespace lullwatt::io
