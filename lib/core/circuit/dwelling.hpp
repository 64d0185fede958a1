// What a dwelling's supply has to bear, as load calculations count it: areas, circuits, appliances by
// nameplate, heating and cooling, and the cars' supply equipment by its installer's setting.
//
// Plain values, built by io/settings and by tests; safe to read from any thread. No planned or live current
// ever stands here: a calculation knows what is installed and what it is set to, nothing else.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "core/quantity/quantity.hpp"

namespace lullwatt::circuit {

struct SquareMetreUnit;
struct SquareFootUnit;
using SquareMetres = Quantity<SquareMetreUnit, double>;
using SquareFeet = Quantity<SquareFootUnit, double>;

// A floor area in the unit it was measured in: the NEC gives a figure for each (3 VA a square foot, 33 VA a
// square metre), and they are not quite the same.
class FloorArea {
  public:
    constexpr FloorArea() = default;
    constexpr FloorArea(SquareMetres metres) : amount_(metres.count()) {}            // NOLINT
    constexpr FloorArea(SquareFeet feet) : amount_(feet.count()), in_feet_(true) {}  // NOLINT
    [[nodiscard]] constexpr bool in_feet() const { return in_feet_; }
    [[nodiscard]] constexpr SquareMetres square_metres() const {
        return SquareMetres(in_feet_ ? amount_ * kSquareMetresInASquareFoot : amount_);
    }
    [[nodiscard]] constexpr SquareFeet square_feet() const {
        return SquareFeet(in_feet_ ? amount_ : amount_ / kSquareMetresInASquareFoot);
    }

  private:
    static constexpr double kSquareMetresInASquareFoot = 0.3048 * 0.3048;  // the foot is 0.3048 m exactly
    double amount_ = 0;
    bool in_feet_ = false;
};

enum class ApplianceKind : std::uint8_t {
    range,                  // a free-standing range
    cooking,                // counter-mounted cooktop or wall oven
    dryer,                  // clothes dryer
    water_heater,           // with a tank
    tankless_water_heater,  // heats as it flows
    pool_or_spa,            // heater of a pool, hot tub or spa
    fixed,                  // anything else fastened in place or on a circuit of its own
    motor,                  // the same with a motor as its main part
};

struct Appliance {
    std::string name;
    ApplianceKind kind = ApplianceKind::fixed;
    VoltAmperes nameplate;
};

enum class ClimateKind : std::uint8_t {
    air_conditioning,
    heat_pump,         // with its supplemental heat, where it has any
    central_heat,      // electric furnace or boiler
    separate_heaters,  // electric room heaters, each with its own control
    thermal_storage,   // heat stored at night, its nameplate continuous
};

struct ClimateLoad {
    std::string name;
    ClimateKind kind = ClimateKind::central_heat;
    VoltAmperes power;         // compressor, or all heaters together
    VoltAmperes supplemental;  // of a heat pump
    bool interlocked = false;  // the compressor cannot run together with the supplemental heat
    int controls = 1;          // separately controlled heaters
    bool motor = false;        // counts among motors; no where the nameplate has its quarter more already
};

// One supply equipment at what its installer set.
struct Equipment {
    std::string name;
    WholeAmps setting;
    VoltAmperes per_ampere;  // 240 V across split-phase legs, 230 V, 3 × 230 V
};

struct Dwelling {
    FloorArea living;                  // ground floor and above, by outside dimensions (NEC) or inside (CEC)
    FloorArea below_ground;            // with more than 1.8 m of height
    int small_appliance_circuits = 2;  // NEC: at least two
    int laundry_circuits = 1;
    std::vector<Appliance> appliances;
    std::vector<ClimateLoad> climate;
    bool heating_excludes_cooling = false;  // interlocked: they cannot run together
    std::vector<Equipment> equipment;
    Amps service;  // rating of the service
    Volts across;  // between the two legs, or line to line
    bool three_phase = false;
};

}  // namespace lullwatt::circuit
