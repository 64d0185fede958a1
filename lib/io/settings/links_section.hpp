// How lullwattd reaches equipment and meters, and the house it simulates where it reaches a simulated one.
//
// Plain values; safe to read from any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "core/site/site.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

enum class Link : std::uint8_t { none, simulated };

struct MeterLink {
    Link link = Link::none;
    Seconds interval{1};  // between two samples
};

struct Links {
    std::vector<Link> points;       // one per point
    std::vector<MeterLink> meters;  // one per node

    // None at all: nothing can be driven.
    [[nodiscard]] bool none() const;
    // Whether every link there is leads to something simulated, so that the time may be too.
    [[nodiscard]] bool all_simulated() const;
};

// An appliance of the simulated house, on every day at the same hour.
struct SimulatedLoad {
    std::string name;
    std::size_t node = 0;
    site::LegAmps amps{};
    Seconds from{0};  // time of day
    Seconds lasts{0};
};

struct Simulation {
    std::uint64_t seed = 1;
    bool household = true;  // the usual appliances of an electrically heated house, by chance
    std::vector<SimulatedLoad> loads;
};

// Faults: a link of a point that is set by hand; an interval of no meter; a simulation of nothing.
[[nodiscard]] Links read_links(const Section& file, const site::Site& site, Faults& faults);
[[nodiscard]] Simulation read_simulation(const Section& file, const site::Site& site, const Links& links,
                                         Faults& faults);

}  // namespace lullwatt::io
