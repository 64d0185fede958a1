#include <array>

#include "io/settings/site_tables.hpp"

namespace lullwatt::io {
namespace {

constexpr std::string_view kLegs = "L1 | L2 | L3";
constexpr std::string_view kBases = "nec | cec | iec | declared";

constexpr std::array kServiceOptions = {
    Option{.key = "name", .fallback = "service", .consequence = "How messages call it."},
    Option{.key = "supply",
           .kind = Kind::choice,
           .required = true,
           .sample = "split-phase",
           .choices = "single-phase | split-phase | two-legs-of-208 | three-phase",
           .consequence = "Which legs there are, and what an ampere across two of them is worth."},
    Option{.key = "leg_to_neutral",
           .kind = Kind::volts,
           .required = true,
           .sample = "120 V",
           .least = 100,
           .greatest = 277,
           .consequence = "Turns amperes into energy: 120 V in a 120/240 V house, 230 V in a 230/400 V one."},
    Option{.key = "rating",
           .kind = Kind::amps,
           .required = true,
           .sample = "100 A",
           .least = 10,
           .greatest = 1200,
           .consequence = "The least of main breaker or fuse, service conductors and meter."},
    Option{.key = "continuous",
           .kind = Kind::choice,
           .required = true,
           .sample = "nec",
           .choices = kBases,
           .consequence =
               "The basis of the share a node may carry for hours: 80 % by nec, cec and (our caution) iec."},
    Option{.key = "share",
           .kind = Kind::percent,
           .least = 10,
           .greatest = 100,
           .consequence = "With `declared` only: the share, as whoever is named in declared_by declared it."},
    Option{.key = "declared_by", .consequence = "With `declared`: who declared the share, on what ground."},
    Option{.key = "meter_resolution",
           .kind = Kind::amps,
           .fallback = "0 A",
           .least = 0,
           .greatest = 5,
           .consequence = "The house meter's step; taken off the limit where load is measured."},
};

constexpr std::array kNodeOptions = {
    Option{.key = "name", .required = true, .sample = "garage", .consequence = "How messages call it."},
    Option{.key = "fed_from", .required = true, .sample = "service", .consequence = "The node above it."},
    Option{.key = "rating",
           .kind = Kind::amps,
           .required = true,
           .sample = "50 A",
           .least = 6,
           .greatest = 400,
           .consequence = "The least of breaker, corrected conductor and connector."},
    Option{.key = "legs",
           .kind = Kind::list,
           .choices = kLegs,
           .element = Kind::choice,
           .consequence = "The legs it has; without it, those of the node above."},
    Option{.key = "continuous",
           .kind = Kind::choice,
           .choices = kBases,
           .consequence = "As for the service; without it, the basis of the node above, except a declared "
                          "one, which must be "
                          "stated here too."},
    Option{.key = "share",
           .kind = Kind::percent,
           .least = 10,
           .greatest = 100,
           .consequence = "With `declared` only: the declared share."},
    Option{.key = "declared_by", .consequence = "With `declared`: who declared the share, on what ground."},
    Option{
        .key = "sized_for_full_current",
        .kind = Kind::boolean,
        .fallback = "no",
        .consequence =
            "iec, dedicated final circuit: the installer's sheet shows Ib <= In <= Iz; the share is 100 %."},
    Option{.key = "meter_resolution",
           .kind = Kind::amps,
           .fallback = "0 A",
           .least = 0,
           .greatest = 5,
           .consequence = "The step of a meter on this node; taken off its limit."},
    Option{.key = "cable",
           .kind = Kind::section,
           .table = &kCableTable,
           .consequence = "Its cable by IEC 60364 or BS 7671, for `lullwatt circuit`."},
    Option{.key = "wire",
           .kind = Kind::section,
           .table = &kWireTable,
           .consequence = "Its conductors by the NEC or the CEC, for `lullwatt circuit`."},
};

constexpr std::array kPointOptions = {
    Option{.key = "name", .required = true, .sample = "garage wall", .consequence = "How messages call it."},
    Option{.key = "circuit", .required = true, .sample = "garage", .consequence = "The circuit it hangs on."},
    Option{.key = "legs",
           .kind = Kind::list,
           .choices = kLegs,
           .element = Kind::choice,
           .consequence = "The legs it is wired to; without it, those of its circuit."},
    Option{.key = "hard_setting",
           .kind = Kind::whole_amps,
           .required = true,
           .sample = "40 A",
           .least = 6,
           .greatest = 80,
           .consequence = "What its installer set: all it can ever draw, with or without this program."},
    Option{.key = "minimum",
           .kind = Kind::whole_amps,
           .fallback = "6 A",
           .least = 6,
           .greatest = 32,
           .consequence = "The least current it offers; below that it pauses."},
    Option{.key = "control",
           .kind = Kind::choice,
           .fallback = "driven",
           .choices = "driven | by-hand",
           .consequence = "driven: an open protocol sets its current; by-hand: the household does."},
    Option{.key = "standing",
           .kind = Kind::whole_amps,
           .fallback = "auto",
           .choices = "auto",
           .least = 0,
           .greatest = 80,
           .consequence =
               "What it does when nobody tells it; auto: its minimum where that fits at any hour, else 0."},
    Option{.key = "standing_beyond_limit",
           .kind = Kind::boolean,
           .fallback = "no",
           .consequence = "Accepts a standing current above the continuous limit, never above a rating."},
    Option{.key = "connection",
           .kind = Kind::choice,
           .fallback = "hard-wired",
           .choices = "hard-wired | receptacle",
           .consequence = "A receptacle caps it at 80 % of the receptacle's rating."},
    Option{.key = "receptacle",
           .kind = Kind::amps,
           .least = 10,
           .greatest = 125,
           .consequence = "With `connection: receptacle`: the receptacle's rating."},
};

}  // namespace

const Table kServiceTable{"service", kServiceOptions};
const Table kFeederTable{"feeder", kNodeOptions};
const Table kCircuitTable{"circuit", kNodeOptions};
const Table kPointTable{"point", kPointOptions};

}  // namespace lullwatt::io
