// A clock people read: when its offset from UTC changes, and what a wall-clock label means on it.
//
// A Zone is an immutable value built elsewhere (io/zone reads the system's zone files; tests write their
// own), so nothing here asks the system. Safe to read from any thread.
#pragma once

#include <string>
#include <vector>

#include "core/time/instant.hpp"

namespace lullwatt {

class Zone {
  public:
    // From `at` on the clock reads UTC + `offset`.
    struct Change {
        Instant at;
        Seconds offset;
        std::string abbreviation;
    };

    // A civil zone. Labels are known for instants in `known`; asking outside it is a bug.
    // REQUIRES: `changes` strictly ascending, the first at or before known.begin; every |offset| < 24 h.
    Zone(std::string name, std::vector<Change> changes, Interval known);

    // A clock that never changes, as many meters keep. REQUIRES: |offset| < 24 h.
    [[nodiscard]] static Zone fixed(Seconds offset);

    [[nodiscard]] const std::string& name() const { return name_; }
    [[nodiscard]] Interval known() const { return known_; }

    // REQUIRES: known().contains(at).
    [[nodiscard]] Seconds offset_at(Instant at) const;
    [[nodiscard]] CivilTime civil(Instant at) const;
    [[nodiscard]] const std::string& abbreviation_at(Instant at) const;

    // The instants in known() that carry a label: none (the label is skipped in spring), one, or two
    // (autumn), ascending.
    [[nodiscard]] std::vector<Instant> instants(CivilTime label) const;

    // What a person means by a label: the earlier of two; for a skipped one the first instant that exists
    // after it (design §4: a ready-by in the missing hour moves forward, in the repeated hour it is the
    // earlier). REQUIRES: the label is carried, or skipped, inside known().
    [[nodiscard]] Instant instant(CivilTime label) const;

    // The first instant strictly after `at` at which the offset or its name changes, or known().end.
    [[nodiscard]] Instant next_change(Instant at) const;

  private:
    using Changes = std::vector<Change>;
    [[nodiscard]] const Change& change_at(Instant at) const;
    [[nodiscard]] Changes::const_iterator in_force(Instant at) const;

    std::string name_;
    std::vector<Change> changes_;
    Interval known_;
};

// Midnight to midnight by the zone's clock: 23, 23.5, 24, 24.5 or 25 hours, and none for a date the clock
// skipped (Apia 2011-12-30). The days tile the time line, so where a clock went back across midnight (St.
// John's until 2011, at 00:01) the second late evening lies in the day that had already begun.
[[nodiscard]] Interval civil_day(const Zone& zone, CivilDate date);

// Noon to noon around the midnight that begins the day after `evening`.
[[nodiscard]] Interval night(const Zone& zone, CivilDate evening);

}  // namespace lullwatt
