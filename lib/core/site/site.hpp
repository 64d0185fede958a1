// A household's supply as a tree of ratings: service, feeders, circuits and the supply points on them.
//
// Plain values, built by io/settings from the site file and by tests; safe to read from any thread.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <optional>
#include <string>
#include <vector>

#include "core/quantity/quantity.hpp"
#include "core/site/timed_ceiling.hpp"
#include "core/time/instant.hpp"

namespace lullwatt::site {

enum class Supply : std::uint8_t { single_phase, split_phase, two_legs_of_208, three_phase };

enum class Leg : std::uint8_t { L1, L2, L3 };
inline constexpr std::array kLegs = {Leg::L1, Leg::L2, Leg::L3};

// A set of legs, at most three.
class Legs {
  public:
    constexpr Legs() = default;
    constexpr Legs(std::initializer_list<Leg> legs) {
        for (const Leg leg : legs)
            bits_ = static_cast<std::uint8_t>(bits_ | (1U << static_cast<unsigned>(leg)));
    }
    [[nodiscard]] constexpr bool has(Leg leg) const {
        return ((bits_ >> static_cast<unsigned>(leg)) & 1U) != 0;
    }
    [[nodiscard]] constexpr Legs with(Leg leg) const {
        Legs more = *this;
        more.bits_ = static_cast<std::uint8_t>(bits_ | (1U << static_cast<unsigned>(leg)));
        return more;
    }
    [[nodiscard]] constexpr bool within(Legs other) const { return (bits_ & ~other.bits_) == 0; }
    constexpr void add(Leg leg) {
        bits_ = static_cast<std::uint8_t>(bits_ | (1U << static_cast<unsigned>(leg)));
    }
    [[nodiscard]] constexpr int count() const {
        return (bits_ & 1) + ((bits_ >> 1) & 1) + ((bits_ >> 2) & 1);
    }
    friend constexpr bool operator==(Legs, Legs) = default;

  private:
    std::uint8_t bits_ = 0;
};

// Current per leg; legs a node does not have stay 0.
using LegAmps = std::array<Amps, 3>;
[[nodiscard]] constexpr Amps on(const LegAmps& amps, Leg leg) { return amps[static_cast<std::size_t>(leg)]; }

// Why a node may carry no more than this share of its rating for hours (docs/design.md §5).
enum class ShareBasis : std::uint8_t { nec, cec, iec, declared };
struct ContinuousShare {
    double share = 0.80;
    ShareBasis basis = ShareBasis::nec;
    std::string text;  // for `declared`: the words of whoever declared it
};

enum class NodeKind : std::uint8_t { service, feeder, circuit };

// What a supplier grants a node, all of its legs together.
struct GrantedPower {
    VoltAmperes most;
    double power_factor = 1;  // of the house: its watts over its volt-amperes, above 0; a car's is 1
};

struct Node {
    std::string name;
    NodeKind kind = NodeKind::service;
    std::optional<std::size_t> parent;  // index of an earlier node; empty for the service
    Amps rating;                        // the least of device, corrected conductor and connector
    Legs legs;
    ContinuousShare continuous;
    Amps meter_resolution;  // 0 where no house load is measured on it
    std::optional<GrantedPower> granted = {};
    // The most by which cars may load one leg above another (unbalance.hpp). REQUIRES: several legs.
    std::optional<Amps> unbalance = {};
    std::vector<TimedCeiling> ceilings = {};
};

enum class Control : std::uint8_t { driven, by_hand };

struct Point {
    std::string name;
    std::size_t circuit = 0;  // index into Site::nodes
    Legs legs;
    WholeAmps hard_setting;  // what its installer set
    WholeAmps minimum = WholeAmps(6);
    Control control = Control::driven;
    std::optional<WholeAmps> standing;  // empty: `auto`
    bool standing_beyond_limit = false;
    std::optional<Amps>
        receptacle;           // connected by plug: its rating, of which 80 % may flow; empty: hard-wired
    int fewest_car_legs = 3;  // legs that every car charged here uses at least
};

struct Site {
    Supply supply = Supply::split_phase;
    Volts leg_to_neutral;
    std::vector<Node> nodes;  // parents before children; nodes[0] is the service
    std::vector<Point> points;
    Seconds lease = Seconds{900};  // design §7: 15 min unless the site says otherwise
};

// Limit = rating × share, less the meter's resolution where house load is measured (60 A circuit: 48 A).
[[nodiscard]] Amps continuous_limit(const Node& node);

// Two legs that a charger is wired across, as in a 120 V country, not two phases of a 230/400 V supply.
[[nodiscard]] bool is_pair(Supply supply, Volts leg_to_neutral, Legs legs);

// What one ampere at a point takes from the supply: 240 W across split-phase legs, 208 W across two legs of
// 208Y/120, 3 × 230 W on three legs.
[[nodiscard]] Watts watts_per_ampere(Supply supply, Volts leg_to_neutral, Legs legs);

// The legs a car loads at a point: both of a pair; else as many of the point's, in order, as its charger
// uses, and no more than the point has.
[[nodiscard]] Legs used_legs(Supply supply, Volts leg_to_neutral, Legs point, int car_legs);

// From the point's circuit up to the service.
[[nodiscard]] std::vector<std::size_t> path(const Site& site, const Point& point);

}  // namespace lullwatt::site
