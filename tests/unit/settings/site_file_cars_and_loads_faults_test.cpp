// Every fault of cars and loads in a site file, with the whole of its message.
#include <string>
#include <vector>

#include "support/catch.hpp"
#include "unit/settings/site_file_cases.hpp"

using namespace lullwatt::tests;

namespace {

const std::vector<Case> kCases = {
    {"a worst load of nothing",
     "calculation: 60 A",
     "calculation: 0 A",
     {"site.yaml:11:49: loads[0].calculation '0 A': is out of range. Allowed: 1 A to 1200 A, amperes such as "
      "'12.5 A'."}},
    {"a worst load above the service's rating",
     "calculation: 60 A",
     "calculation: 101 A",
     {"site.yaml:11:49: loads[0].calculation '101 A': is above the rating of service. Allowed: at most 100 "
      "A. Mend: look at "
      "both figures again; if both are right, this supply is too small for the house."}},
    {"a value in another unit",
     "battery: 60 kWh",
     "battery: 60 km",
     {"site.yaml:9:41: cars[0].battery '60 km': has the unit 'km'. Allowed: 1 kWh to 250 kWh, an energy such "
      "as '60 kWh' or '500 Wh'. Mend: write it in Wh, kWh."}},
    {"a value out of range",
     "most: 32 A",
     "most: 120 A",
     {"site.yaml:9:55: cars[0].most '120 A': is out of range. Allowed: 6 A to 80 A, whole amperes such as "
      "'25 A'."}},
    {"a car at no point",
     "point: wall",
     "point: wal",
     {"site.yaml:9:26: cars[0].point 'wal': names nothing: there is no point of that name. Allowed: wall. "
      "Mend: did you mean 'wall'?"}},
    {"a need above what the battery takes",
     "most: 32 A",
     "most: 32 A, need: 67 kWh",
     {"site.yaml:9:67: cars[0].need '67 kWh': is more than an empty battery takes. Allowed: at most 66.6 kWh "
      "at the register, 60 kWh divided by the efficiency 0.9. Mend: correct it, or the battery."}},
    {"a floor above what the battery takes",
     "most: 32 A",
     "most: 32 A, efficiency: 1, floor: 60.1 kWh",
     {"site.yaml:9:83: cars[0].floor '60.1 kWh': is more than an empty battery takes. Allowed: at most 60 "
      "kWh at the register, 60 kWh divided by the efficiency 1. Mend: correct it, or the battery."}},
    {"a car's minimum below the standard's least",
     "most: 32 A",
     "most: 32 A, minimum: 5 A",
     {"site.yaml:9:70: cars[0].minimum '5 A': is out of range. Allowed: 6 A to 32 A, whole amperes such as "
      "'25 A'."}},
    {"a car that takes 52 A",
     "most: 32 A",
     "most: 52 A",
     {"site.yaml:9:55: cars[0].most '52 A': does not exist on the control pilot. Allowed: 51 A, or 53 A and "
      "more. Mend: write 51 A."}},
    {"an overhead that the usual efficiency holds already",
     "most: 32 A",
     "most: 32 A, overhead: 200 W",
     {"site.yaml:9:71: cars[0].overhead '200 W': would be counted twice: the usual efficiency of 0.90 holds "
      "it too. Allowed: an efficiency beside it. Mend: add 'efficiency: 0.94' with the charger's own figure, "
      "0.93 to 0.95 for most."}},
    {"an overhead no charger has",
     "most: 32 A",
     "most: 32 A, overhead: 500 W",
     {"site.yaml:9:71: cars[0].overhead '500 W': is out of range. Allowed: 0 W to 400 W, a power such as "
      "'400 W' or '7.2 kW'."}},
    {"a taper that goes backwards",
     "most: 32 A",
     "most: 32 A, taper: [{from: 90 %, most: 16 A}, {from: 85 %, most: 20 A}]",
     {"site.yaml:9:102: cars[0].taper[1].from '85 %': is not above the step before it. Allowed: above 90 %. "
      "Mend: order the steps by state of charge.",
      "site.yaml:9:114: cars[0].taper[1].most '20 A': is not below the step before it. Allowed: below 16 A. "
      "Mend: a battery takes less the fuller it is."}},
    {"a taper that begins above the car's most",
     "most: 32 A",
     "most: 16 A, taper: [{from: 90 %, most: 20 A}]",
     {"site.yaml:9:88: cars[0].taper[0].most '20 A': is above the most the car takes at all. Allowed: at "
      "most "
      "16 A. Mend: correct one of them."}},
    {"ready at the end of the day",
     "most: 32 A",
     "most: 32 A, ready_by: \"24:00\"",
     {"site.yaml:9:71: cars[0].ready_by '24:00': is the day's end. Allowed: 00:00 to 23:59. Mend: write "
      "00:00 for the midnight that begins a day."}},
    {"a profile step at the end of the day",
     "constant: 6 A, calculation",
     "profile: [{days: weekday, from: \"00:00\", current: 6 A}, {days: weekday, from: \"24:00\", current: 6 "
     "A}, {days: rest-day, from: \"00:00\", current: 6 A}], calculation",
     {"site.yaml:11:99: loads[0].profile[1].from '24:00': is the day's end. Allowed: 00:00 to 23:59. Mend: "
      "write 00:00 for the midnight that begins a day."}},
    {"two sources of one load",
     "constant: 6 A",
     "constant: 6 A, history: a.csv",
     {"site.yaml:11:5: loads[0]: has not exactly one source. Allowed: history, constant or profile. Mend: "
      "keep one of them."}},
    {"no worst load",
     "constant: 6 A, calculation: 60 A",
     "constant: 6 A",
     {"site.yaml:11:5: loads[0]: gives no worst load, on which every fail-safe figure rests. Allowed: "
      "history of twelve months, worst with worst_reason, calculation, or a dwelling. Mend: import meter "
      "data, or add "
      "the load calculation's result."}},
    {"a stated worst load without its reason",
     "calculation: 60 A",
     "worst: 60 A",
     {"site.yaml:11:43: loads[0].worst '60 A': is stated without its reason. Allowed: worst and worst_reason "
      "together. Mend: add the other."}},
    {"a worst load and a constant that are no currents",
     "constant: 6 A, calculation: 60 A",
     "constant: little, worst: 60, worst_reason: \"\"",
     {"site.yaml:11:31: loads[0].constant 'little': is not a number with a unit. Allowed: 0 A to 400 A, "
      "amperes "
      "such as '12.5 A'.",
      "site.yaml:11:46: loads[0].worst '60': has no unit. Allowed: 1 A to 400 A, amperes such as '12.5 A'. "
      "Mend: write the unit behind the number (A).",
      "site.yaml:11:64: loads[0].worst_reason: is empty. Allowed: text."}},
    {"nothing said of the house's load",
     "  - {node: service, constant: 6 A, calculation: 60 A}",
     "  - {node: garage, constant: 1 A, calculation: 2 A}",
     {"site.yaml:10:1: loads: says nothing of the service: no house draws nothing. Allowed: an entry for "
      "service. Mend: add one with history, profile or constant."}},
    {"habits of a car whose consumption is not known",
     "most: 32 A",
     "most: 32 A, habits: [{days: [mon], leaves: \"07:00\", returns: \"17:00\", distance: 40 km}]",
     {"site.yaml:9:61: cars[0].habits: need the car's consumption to become energy. Allowed: consumption "
      "beside them. Mend: add 'consumption: 18 kWh/100km' with the car's own figure."}},
    {"a habit that returns before it leaves",
     "most: 32 A",
     "most: 32 A, consumption: 18 kWh/100km, habits: [{days: [mon], leaves: \"17:00\", returns: \"07:00\", "
     "distance: 40 km}]",
     {"site.yaml:9:137: cars[0].habits[0].returns '07:00': is not after 'leaves'. Allowed: a later time of "
      "the same day."}},
    {"a car's name used twice",
     "most: 32 A}",
     "most: 32 A}\n  - {name: Heron, point: wall, battery: 40 kWh, most: 16 A}",
     {"site.yaml:10:12: cars[1].name 'Heron': is used twice. Allowed: a name of its own. Mend: rename one of "
      "the two."}},
    {"a node with two loads",
     "calculation: 60 A}",
     "calculation: 60 A}\n  - {node: service, constant: 2 A, calculation: 20 A}",
     {"site.yaml:12:12: loads[1].node 'service': has a load already. Allowed: one entry per node. Mend: put "
      "them together."}},
    {"a car's minimum above its most",
     "most: 32 A",
     "most: 8 A, minimum: 10 A",
     {"site.yaml:9:69: cars[0].minimum '10 A': is above the most the car takes. Allowed: at most 8 A. Mend: "
      "correct one of them."}},
    {"a profile out of order",
     "constant: 6 A, calculation",
     "profile: [{days: weekday, from: \"00:00\", current: 6 A}, {days: weekday, from: \"17:00\", current: 20 "
     "A}, "
     "{days: weekday, from: \"08:00\", current: 9 A}, {days: rest-day, from: \"00:00\", current: 6 A}], "
     "calculation",
     {"site.yaml:11:146: loads[0].profile[2].from '08:00': is out of order. Allowed: the first of each kind "
      "of day at 00:00, then later ones. Mend: put the steps in order."}},
    {"a profile that begins after midnight",
     "constant: 6 A, calculation",
     "profile: [{days: weekday, from: \"06:00\", current: 6 A}, {days: rest-day, from: \"00:00\", current: 6 "
     "A}], "
     "calculation",
     {"site.yaml:11:53: loads[0].profile[0].from '06:00': is out of order. Allowed: the first of each kind "
      "of day at 00:00, then later ones. Mend: put the steps in order."}},
    {"a profile without rest days",
     "constant: 6 A, calculation",
     "profile: [{days: weekday, from: \"00:00\", current: 6 A}], calculation",
     {"site.yaml:11:21: loads[0].profile: lacks steps for one kind of day. Allowed: steps for weekday and "
      "for rest-day. Mend: add them; they may be the same."}},
    {"a day with two habits",
     "most: 32 A",
     "most: 32 A, consumption: 18 kWh/100km, habits: [{days: [weekdays], leaves: \"07:00\", returns: "
     "\"17:00\", "
     "distance: 40 km}, {days: [fri], leaves: \"08:00\", returns: \"12:00\", distance: 10 km}]",
     {"site.yaml:9:170: cars[0].habits[1].days: has a day that a habit above it has too. Allowed: each day "
      "once. Mend: leave the day to one of them."}},
    {"a habit on no day",
     "most: 32 A",
     "most: 32 A, consumption: 18 kWh/100km, habits: [{days: [], leaves: \"07:00\", returns: \"17:00\", "
     "distance: 40 km}]",
     {"site.yaml:9:98: cars[0].habits[0].days: is an empty list. Allowed: at least one day. Mend: name the "
      "days."}},
    {"a car and a load that are no mappings",
     "cars:\n  - {name: Heron, point: wall, battery: 60 kWh, most: 32 A}\nloads:\n  - {node: service, "
     "constant: 6 A, "
     "calculation: 60 A}",
     "cars: [3]\nloads: [4]",
     {"site.yaml:8:8: cars[0] '3': is not a car. Allowed: a mapping of keys.",
      "site.yaml:9:9: loads[0] '4': is not a load. Allowed: a mapping of keys."}},
    {"an empty name",
     "name: Heron",
     "name: \"\"",
     {"site.yaml:9:12: cars[0].name: is empty. Allowed: text."}},
};

}  // namespace

TEST_CASE(
    "every fault of a car or a load names file, line, column, key, value, what is allowed and the mend") {
    check_messages(kCases);
}
