// What every face of `circuit` says alike: cautions, wires, and figures rounded to the safe side.
//
// Pure functions; call from any thread.
#pragma once

#include <cmath>
#include <string>

#include "tools/lullwatt/circuit_wiring.hpp"

namespace lullwatt::tools {

inline constexpr const char* kCircuitCautions =
    "This helps a conversation with a licensed electrician; it is no permit, no design and no inspection. "
    "The\n"
    "local code, the authority and the electrician decide; the figures come from secondary sources, so look "
    "each\n"
    "up in the code book first. Lullwatt is not overcurrent protection and not a listed energy management "
    "system:\n"
    "breakers, wiring and the equipment's own setting must be right without it.";

inline constexpr const char* kEmergency =
    "A burning smell, buzzing, or a plug or cover too hot to hold: do not touch the plug under load; switch "
    "the\n"
    "circuit off at the panel if that is safe, and leave it off until an electrician has looked. Fire or "
    "smoke:\n"
    "leave the house and call the emergency number. Never open the panel.";

// A load printed with so many decimals is never less than it is.
template <class Quantity>
[[nodiscard]] double up(Quantity load, int decimals = 0) {
    const double scale = std::pow(10.0, decimals);
    return std::ceil(load.count() * scale - 1e-6) / scale;
}

// "NM-B", "THHN in raceway".
[[nodiscard]] std::string wiring_name(circuit::Wiring wiring);
// For machines: "before-correction".
[[nodiscard]] std::string rule_word(circuit::ConductorRule rule);

// The wire that is there, judged; others that would do; what each loses.
[[nodiscard]] std::string wiring_text(const io::Household& house, const NodeWiring& at);
// Why a wire or cable could not be judged, what a rule of cables asks, how well a figure is attested.
[[nodiscard]] std::string lack_text(circuit::CableLack lack);
[[nodiscard]] std::string conductor_lack_text(circuit::ConductorLack lack);
[[nodiscard]] std::string cable_rule_text(circuit::CableRule rule);
[[nodiscard]] std::string evidence_text(circuit::Evidence evidence);

// No entered answer is one that is not enough.
[[nodiscard]] bool protected_enough(const io::CableSettings& cable);
// The installed wire suits what the points on it are set to.
[[nodiscard]] bool suits(const NodeWiring& at);

}  // namespace lullwatt::tools
