// What `circuit` answers, point by point, before it is put in words or JSON.
//
// Values and pure functions over a household; call from any thread.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/circuit/diversity.hpp"
#include "core/circuit/load.hpp"
#include "core/circuit/measured_demand.hpp"
#include "core/site/setting_cap.hpp"
#include "io/household/household.hpp"

namespace lullwatt::tools {

// One load calculation with the point as it is set, and the most the point could be set to by it.
struct ReadingAdvice {
    circuit::Basis basis;
    circuit::Outcome outcome;
    std::optional<WholeAmps> most;  // empty: not even 6 A, or the method is not for this dwelling
};

// The maximum demand of one leg by IEC practice, without this point.
struct LegDemand {
    site::Leg leg = site::Leg::L1;
    circuit::HouseholdDemand demand;
    circuit::MainFuseCheck fuse;
};

// no_method: the dwelling is described, and every method was refused.
enum class ServiceAnswer : std::uint8_t { not_described, no_method, nothing_fits, most };

// What a described wire leaves for the point, beside the others on it.
struct WireCap {
    std::size_t node = 0;
    WholeAmps bears;
    bool judged = true;
    WholeAmps most;
};

struct PointAdvice {
    std::size_t point = 0;
    std::vector<site::SettingCap> nodes;
    std::vector<WireCap> wires;
    std::optional<WholeAmps> receptacle;
    std::vector<ReadingAdvice> readings;              // nec, cec
    std::optional<circuit::MeasuredDemand> measured;  // nec, cec
    Amps beside_measured;         // all else that is new to the meter's data, as the rule counts it
    std::vector<LegDemand> legs;  // iec
    ServiceAnswer service = ServiceAnswer::not_described;
    WholeAmps service_most;
    std::string service_rule;  // the method that decides, strictest reading
    WholeAmps managed;         // without the service: what circuits, feeders and plug bear
    WholeAmps most;            // 0: nothing may be set

    // Every part of the answer could be judged.
    [[nodiscard]] bool known() const;
    [[nodiscard]] bool within(WholeAmps setting) const { return known() && setting <= most; }
};

// `series` of the service's meter and of the cars', where the site's `measured` asks for them.
struct MeterData {
    std::optional<site::MeterHistory> service;
    std::optional<site::MeterHistory> cars;
    VoltAmperes added;  // by --with, which no meter has seen
};

[[nodiscard]] PointAdvice advise(const io::Household& house, std::size_t point, const MeterData& data,
                                 Instant now);

}  // namespace lullwatt::tools
