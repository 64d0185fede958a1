// One complaint about something outside: where it stands, what is wrong, what is allowed, how to mend it.
//
// Values only. Every reader of files returns its value or all of its faults, never the first one alone.
#pragma once

#include <string>
#include <variant>
#include <vector>

namespace lullwatt::io {

struct Fault {
    std::string file;
    int line = 0;         // 1-based; 0 where the fault is the file as a whole
    int column = 0;       // 1-based; 0 where the line as a whole
    std::string key;      // dotted path of the setting, or the column of a table; may be empty
    std::string what;     // "has no unit", "is not a key of a point"
    std::string value;    // as written; empty when there is none
    std::string allowed;  // "6 A to 80 A, whole amperes"
    std::string mend;     // "write an amperage such as '25 A'"
    friend bool operator==(const Fault&, const Fault&) = default;
};

// The same with what came from outside made printable and cut to a length a person reads.
[[nodiscard]] Fault shown(const Fault& fault);

// "site.yaml:12:5: points[0].hard_setting '125': has no unit. Allowed: … Mend: …", of what is shown(fault).
[[nodiscard]] std::string text(const Fault& fault);

using Faults = std::vector<Fault>;

// A value, or why there is none. Faults are never empty.
template <class Value>
class Read {
  public:
    Read(Value value) : held_(std::move(value)) {}     // NOLINT: both are answers
    Read(Faults faults) : held_(std::move(faults)) {}  // NOLINT
    [[nodiscard]] bool ok() const { return held_.index() == 0; }
    // REQUIRES: ok().
    [[nodiscard]] const Value& value() const& { return std::get<0>(held_); }
    [[nodiscard]] Value&& value() && { return std::get<0>(std::move(held_)); }
    // REQUIRES: !ok().
    [[nodiscard]] const Faults& faults() const { return std::get<1>(held_); }

  private:
    std::variant<Value, Faults> held_;
};

}  // namespace lullwatt::io
