#include <array>

#include "io/settings/site_tables.hpp"

namespace lullwatt::io {
namespace {

constexpr std::array kApplianceOptions = {
    Option{.key = "name", .required = true, .sample = "range", .consequence = "How the sheet calls it."},
    Option{.key = "kind",
           .kind = Kind::choice,
           .fallback = "fixed",
           .choices =
               "range | cooking | dryer | water-heater | tankless-water-heater | pool-or-spa | fixed | motor",
           .consequence = "What the code takes it for; cooking: a cooktop or wall oven of its own."},
    Option{.key = "nameplate",
           .kind = Kind::nameplate,
           .required = true,
           .sample = "12 kW",
           .least = 1,
           .greatest = 100000,
           .consequence = "What its nameplate says."},
};
constexpr Table kAppliance{"load of the dwelling", kApplianceOptions};

constexpr std::array kClimateOptions = {
    Option{.key = "name", .required = true, .sample = "heat pump", .consequence = "How the sheet calls it."},
    Option{.key = "kind",
           .kind = Kind::choice,
           .required = true,
           .sample = "heat-pump",
           .choices = "air-conditioning | heat-pump | central-heat | separate-heaters | thermal-storage",
           .consequence = "separate-heaters: electric room heaters, each with its own control."},
    Option{.key = "nameplate",
           .kind = Kind::nameplate,
           .required = true,
           .sample = "24 A at 240 V",
           .least = 1,
           .greatest = 100000,
           .consequence = "Compressor, or all heaters together."},
    Option{.key = "supplemental",
           .kind = Kind::nameplate,
           .least = 1,
           .greatest = 100000,
           .consequence = "A heat pump's electric backup heat."},
    Option{.key = "interlocked",
           .kind = Kind::boolean,
           .fallback = "no",
           .consequence = "yes: the compressor cannot run together with the backup heat."},
    Option{.key = "controls",
           .kind = Kind::whole_number,
           .fallback = "1",
           .least = 1,
           .greatest = 100,
           .consequence = "Separately controlled heaters; from four on the NEC counts them lower."},
    Option{.key = "motor_quarter",
           .kind = Kind::boolean,
           .fallback = "yes",
           .consequence =
               "no: the nameplate is a minimum circuit ampacity, which has the motor's quarter already."},
};
constexpr Table kClimate{"heating or cooling", kClimateOptions};

constexpr std::array kHouseholdOptions = {
    Option{.key = "name", .required = true, .sample = "cooker", .consequence = "How the sheet calls it."},
    Option{.key = "use",
           .kind = Kind::choice,
           .required = true,
           .sample = "cooking",
           .choices = "lighting | heating-and-power | cooking | instantaneous-water | without-diversity | "
                      "final-circuit | socket-or-fixed",
           .consequence = "The row of the diversity table; without-diversity: storage and floor heating, "
                          "thermostatic water heaters."},
    Option{.key = "current",
           .kind = Kind::amps,
           .required = true,
           .sample = "32 A",
           .least = 0,
           .greatest = 400,
           .consequence = "Connected on each of its legs; of a final circuit, its device's rating."},
    Option{.key = "legs",
           .kind = Kind::list,
           .choices = "L1 | L2 | L3",
           .element = Kind::choice,
           .consequence = "The legs it is on; without it, all of them."},
    Option{.key = "with_socket",
           .kind = Kind::boolean,
           .fallback = "no",
           .consequence = "Cooking: its control unit has a socket outlet."},
};
constexpr Table kHousehold{"load of the household", kHouseholdOptions};

constexpr std::array kMeasuredOptions = {
    Option{
        .key = "cars",
        .kind = Kind::choice,
        .required = true,
        .sample = "held-back",
        .choices = "none | never-held-back | held-back",
        .consequence = "How cars charged while the service's meter recorded; a plan or a timer holds back."},
    Option{.key = "generation_or_storage",
           .kind = Kind::boolean,
           .required = true,
           .sample = "no",
           .consequence = "yes: the meter hides part of the load, and no measured demand may be used."},
    Option{.key = "cars_history",
           .kind = Kind::file,
           .consequence = "The cars' own metered energy, by the same intervals, to be taken out."},
    Option{.key = "occupied",
           .kind = Kind::boolean,
           .fallback = "no",
           .consequence = "yes: people lived there as usual; asked for with less than a year of data."},
    Option{.key = "seasonal",
           .kind = Kind::nameplate,
           .least = 0,
           .greatest = 100000,
           .consequence = "Heating or cooling that the data does not hold, with less than a year of it."},
    Option{
        .key = "power_factor",
        .kind = Kind::number,
        .fallback = "1",
        .least = 0.5,
        .greatest = 1,
        .consequence = "Of the whole house; the meter counts kilowatts, a service carries kilovolt-amperes."},
    Option{.key = "hourly_correction",
           .kind = Kind::number,
           .least = 1,
           .greatest = 5,
           .consequence = "CEC with hourly readings: the factor that your authority wants."},
};
constexpr Table kMeasured{"measured demand", kMeasuredOptions};

constexpr std::array kDwellingOptions = {
    Option{.key = "edition",
           .kind = Kind::whole_number,
           .sample = "2023",
           .least = 2000,
           .greatest = 2100,
           .consequence = "nec, cec: that your authority has adopted; NEC 2017 to 2026, C22.1 2021 or 2024."},
    Option{.key = "area",
           .kind = Kind::area,
           .sample = "150 m2",
           .least = 1,
           .greatest = 100000,
           .consequence = "Floor area above ground: outside dimensions for the NEC, inside for the CEC."},
    Option{.key = "below_ground",
           .kind = Kind::area,
           .least = 0,
           .greatest = 100000,
           .consequence = "Floor area below ground; CEC: with more than 1.8 m of height."},
    Option{.key = "small_appliance_circuits",
           .kind = Kind::whole_number,
           .fallback = "2",
           .least = 2,
           .greatest = 20,
           .consequence = "NEC: 20 A circuits for kitchen and dining outlets."},
    Option{.key = "laundry_circuits",
           .kind = Kind::whole_number,
           .fallback = "1",
           .least = 0,
           .greatest = 10,
           .consequence = "NEC: circuits for laundry outlets."},
    Option{.key = "adds_heating_or_cooling",
           .kind = Kind::boolean,
           .fallback = "no",
           .consequence = "yes: heating or cooling is added or made larger, so 220.83(B) and not (A)."},
    Option{.key = "heating_excludes_cooling",
           .kind = Kind::boolean,
           .fallback = "no",
           .consequence = "CEC, yes: interlocked, so that only the larger counts."},
    Option{
        .key = "loads",
        .kind = Kind::sections,
        .table = &kAppliance,
        .consequence = "All that is fastened in place or has a circuit of its own, but for cars' equipment."},
    Option{.key = "climate",
           .kind = Kind::sections,
           .table = &kClimate,
           .consequence = "Electric heating and cooling."},
    Option{.key = "household",
           .kind = Kind::sections,
           .table = &kHousehold,
           .consequence = "iec: what is connected, for the maximum demand with diversity."},
    Option{.key = "measured",
           .kind = Kind::section,
           .table = &kMeasured,
           .consequence = "What must be known before the service's meter data may stand for a calculation."},
};

}  // namespace

const Table kDwellingTable{"dwelling", kDwellingOptions};

}  // namespace lullwatt::io
