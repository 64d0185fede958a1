// Building blocks that the load calculations share: a sheet under construction.
//
// Not safe to use from several threads.
#pragma once

#include <string>
#include <utility>

#include "core/circuit/calculation.hpp"

namespace lullwatt::circuit {

class Sheet {
  public:
    void add(std::string rule, std::string what, VoltAmperes connected, double factor = 1,
             bool from_memory = false) {
        if (connected == VoltAmperes(0)) return;
        const VoltAmperes counted = connected * factor;
        calculation_.total += counted;
        calculation_.lines.push_back(
            {std::move(rule), std::move(what), connected, factor, counted, from_memory});
    }
    // A line that is only listed; its amount enters with a later one.
    void list(std::string rule, std::string what, VoltAmperes connected) {
        calculation_.lines.push_back({std::move(rule), std::move(what), connected, 0, VoltAmperes(0), false});
    }
    // `first` at 100 %, the rest at `factor`.
    void tiers(const std::string& rule, const std::string& what, VoltAmperes pool, VoltAmperes first,
               double factor);
    // Lifts the total to the least that a rule asks for.
    void at_least(std::string rule, std::string what, VoltAmperes least) {
        if (calculation_.total >= least) return;
        calculation_.to_least = least - calculation_.total;
        add(std::move(rule), std::move(what), calculation_.to_least);
    }
    [[nodiscard]] VoltAmperes total() const { return calculation_.total; }
    [[nodiscard]] Calculation finish(const Dwelling& dwelling) &&;

  private:
    Calculation calculation_;
};

// "12000 VA": whole volt-amperes, as sheets have them.
[[nodiscard]] std::string volt_amperes_text(VoltAmperes power);

// Of an equipment; a NEC edition may ask for more than its setting (220.57).
[[nodiscard]] VoltAmperes at_setting(const Equipment& equipment);

[[nodiscard]] bool any(const Dwelling& dwelling, ApplianceKind kind);
[[nodiscard]] VoltAmperes sum(const Dwelling& dwelling, ApplianceKind kind);

// What heats and what cools, each already with its own factor.
enum class ClimateFactors : std::uint8_t { nec_optional, connected };
struct ClimateSum {
    VoltAmperes heating;
    VoltAmperes cooling;
    VoltAmperes heaters;  // of `heating`: four and more separately controlled heaters
    std::string heating_words;
    std::string cooling_words;
    bool from_memory = false;  // a factor of the heating
};
[[nodiscard]] ClimateSum climate(const Dwelling& dwelling, ClimateFactors factors);

// Floor area (by `rule`) and the circuits that go with it, line by line into `sheet`; their sum, not yet
// counted.
[[nodiscard]] VoltAmperes list_general(const Dwelling& dwelling, int edition, const char* rule, Sheet& sheet);
// 220.57: from 2023 the larger of 7200 VA and the nameplate.
[[nodiscard]] VoltAmperes equipment_load(const Equipment& equipment, int edition);

[[nodiscard]] Outcome nec_optional(const Dwelling& dwelling, const Basis& basis);
[[nodiscard]] Outcome nec_existing(const Dwelling& dwelling, const Basis& basis);
[[nodiscard]] Outcome nec_standard(const Dwelling& dwelling, const Basis& basis);
[[nodiscard]] Outcome cec_dwelling(const Dwelling& dwelling, const Basis& basis);

}  // namespace lullwatt::circuit
