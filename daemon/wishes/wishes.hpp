// What the household told the daemon and has not taken back: needs for this time, and holds.
//
// A value; the loop owns the one in force. A small file keeps it over a restart.
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/quantity/quantity.hpp"
#include "core/time/instant.hpp"
#include "io/fault/fault.hpp"

namespace lullwatt::daemon {

// A need as typed, for one car, until its ready-by has passed.
struct OneOff {
    std::string car;
    std::map<std::string, std::string> fields;  // of the request: "need", "from-soc", "ready-by", …
    Instant told;
    Instant until;
    std::optional<WattHours> told_at = {};  // what the point's register showed then
    friend bool operator==(const OneOff&, const OneOff&) = default;
};

// No charging before `until`.
struct Held {
    std::string car;  // empty: every car
    Instant told;
    Instant until;
    friend bool operator==(const Held&, const Held&) = default;
};

struct Wishes {
    std::vector<OneOff> needs;
    std::vector<Held> holds;

    // In the place of what stood for that car.
    void tell(OneOff need);
    void tell(Held hold);
    void forget_need(const std::string& car);
    // Of that car alone; empty: every hold, of whatever car.
    void forget_hold(const std::string& car);
    // Drops what is over. True: something was.
    bool forget_past(Instant now);

    [[nodiscard]] const OneOff* need_of(const std::string& car) const;
    // The latest that holds this car, its own or everybody's.
    [[nodiscard]] std::optional<Instant> held_until(const std::string& car, Instant now) const;
    friend bool operator==(const Wishes&, const Wishes&) = default;
};

// Whole, or as it was.
[[nodiscard]] std::optional<io::Fault> write_wishes(const std::filesystem::path& file, const Wishes& wishes);
// Nothing told where there is no file; a fault where it is not ours.
[[nodiscard]] io::Read<Wishes> read_wishes(const std::filesystem::path& file);

}  // namespace lullwatt::daemon
