// Every fault a person can make in a site file, with the whole of its message.
#include <string>
#include <vector>

#include "io/settings/site_file.hpp"
#include "support/catch.hpp"

using namespace lullwatt::io;

namespace {

const std::string kGood = R"(format: 1
site: {name: Home, zone: America/Halifax, currency: CAD}
service: {supply: split-phase, leg_to_neutral: 120 V, rating: 100 A, continuous: nec}
circuits:
  - {name: garage, fed_from: service, rating: 50 A}
points:
  - {name: wall, circuit: garage, hard_setting: 40 A}
cars:
  - {name: Heron, point: wall, battery: 60 kWh, most: 32 A}
loads:
  - {node: service, constant: 6 A, calculation: 60 A}
tariff: tariff.yaml
)";

// One edit of the good file, and every message it must give.
struct Case {
    const char* rule;
    const char* written;
    const char* instead;
    std::vector<std::string> messages;
};

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
    {"the voltage across the legs for that to neutral",
     "leg_to_neutral: 120 V",
     "leg_to_neutral: 240 V",
     {"site.yaml:3:48: service.leg_to_neutral '240 V': is the voltage across two legs of such a supply, or "
      "of another one. "
      "Allowed: 100 V to 140 V, from one leg to neutral. Mend: write 120 V."}},

    {"an unknown key, with the one that was meant",
     "hard_setting: 40 A",
     "hard_seting: 40 A",
     {"site.yaml:7:5: points[0].hard_setting: is missing. Allowed: 6 A to 80 A, whole amperes such as '25 "
      "A'. Mend: add it.",
      "site.yaml:7:35: points[0].hard_seting: is not a key of a point. Allowed: name, circuit, legs, "
      "hard_setting, minimum, control, standing, standing_beyond_limit, connection, receptacle. Mend: did "
      "you mean 'hard_setting'?"}},
    {"a value without its unit",
     "rating: 50 A",
     "rating: 50",
     {"site.yaml:5:47: circuits[0].rating '50': has no unit. Allowed: 6 A to 400 A, amperes such as '12.5 "
      "A'. Mend: write the unit behind the number (A)."}},
    {"a value in another unit",
     "battery: 60 kWh",
     "battery: 60 km",
     {"site.yaml:9:41: cars[0].battery '60 km': has the unit 'km'. Allowed: 1 kWh to 250 kWh, an energy such "
      "as '60 kWh' or '500 Wh'. Mend: write it in Wh, kWh."}},
    {"a current that is not whole",
     "hard_setting: 40 A",
     "hard_setting: 40.5 A",
     {"site.yaml:7:49: points[0].hard_setting '40.5 A': is not a whole number of amperes. Allowed: 6 A to 80 "
      "A, whole amperes such as '25 A'. Mend: round it down."}},
    {"a value out of range",
     "most: 32 A",
     "most: 120 A",
     {"site.yaml:9:55: cars[0].most '120 A': is out of range. Allowed: 6 A to 80 A, whole amperes such as "
      "'25 A'."}},
    {"a key twice",
     "rating: 50 A}",
     "rating: 50 A, rating: 60 A}",
     {"site.yaml:5:53: circuits[0].rating '60 A': stands here a second time. Allowed: each key once. Mend: "
      "remove one of them."}},
    {"a word that is no choice",
     "split-phase",
     "splitphase",
     {"site.yaml:3:19: service.supply 'splitphase': is not one of the choices. Allowed: single-phase | "
      "split-phase | two-legs-of-208 | three-phase. Mend: did you mean 'split-phase'?"}},
    {"a circuit fed from nowhere",
     "fed_from: service",
     "fed_from: servic",
     {"site.yaml:5:30: circuits[0].fed_from 'servic': names nothing: there is no node above it in the file "
      "of that name. Allowed: service. Mend: did you mean 'service'?"}},
    {"a point on no circuit",
     "circuit: garage",
     "circuit: barn",
     {"site.yaml:7:27: points[0].circuit 'barn': names nothing: there is no circuit of that name. Allowed: "
      "service, garage. Mend: correct the name, or add it."}},
    {"a point on the service itself",
     "circuit: garage",
     "circuit: service",
     {"site.yaml:7:27: points[0].circuit 'service': is no circuit. Allowed: a name under 'circuits'. Mend: "
      "name its own circuit."}},
    {"a car at no point",
     "point: wall",
     "point: wal",
     {"site.yaml:9:26: cars[0].point 'wal': names nothing: there is no point of that name. Allowed: wall. "
      "Mend: did you mean 'wall'?"}},
    {"a name used twice",
     "tariff: tariff.yaml",
     "tariff: tariff.yaml\nfeeders:\n  - {name: service, fed_from: service, rating: 60 A}",
     {"site.yaml:14:12: feeders[0].name 'service': is used twice. Allowed: a name of its own. Mend: rename "
      "one of the two."}},
    {"a leg that the node above has not",
     "rating: 50 A}",
     "rating: 50 A, legs: [L1, L3]}",
     {"site.yaml:5:53: circuits[0].legs: has a leg that service has not. Allowed: L1, L2. Mend: correct the "
      "legs of one of them."}},
    {"a setting above the circuit's continuous share",
     "hard_setting: 40 A",
     "hard_setting: 41 A",
     {"site.yaml:7:49: points[0].hard_setting '41 A': is above what circuit garage may carry for hours (80 % "
      "of 50 A): a factory reset of the equipment would load this breaker past 80 %. Allowed: at most 40 A. "
      "Mend: have the installer set 40 A or less."}},
    {"a leg twice in a list",
     "rating: 50 A}",
     "rating: 50 A, legs: [L1, L1]}",
     {"site.yaml:5:64: circuits[0].legs[1] 'L1': stands in the list twice. Allowed: each leg once. Mend: "
      "name "
      "the other leg it has, or remove one of them."}},
    {"feeders that feed each other",
     "circuits:",
     "feeders:\n  - {name: shed, fed_from: barn, rating: 60 A}\n  - {name: barn, fed_from: shed, rating: 60 "
     "A}\ncircuits:",
     {"site.yaml:5:28: feeders[0].fed_from 'barn': goes round in a circle: shed is fed from barn, that from "
      "shed. Allowed: a way that ends at the service. Mend: name the panel its breaker sits in."}},
    {"a feeder that feeds itself",
     "circuits:",
     "feeders:\n  - {name: shed, fed_from: shed, rating: 60 A}\ncircuits:",
     {"site.yaml:5:28: feeders[0].fed_from 'shed': goes round in a circle: shed is fed from shed. Allowed: a "
      "way that ends at the service. Mend: name the panel its breaker sits in."}},
    {"a feeder above the one it is fed from",
     "circuits:",
     "feeders:\n  - {name: shed, fed_from: barn, rating: 60 A}\n  - {name: barn, fed_from: service, rating: "
     "60 "
     "A}\ncircuits:",
     {"site.yaml:5:28: feeders[0].fed_from 'barn': stands further down in the file. Allowed: a node above "
      "it. Mend: move the entry of 'barn' above this one."}},
    {"a feeder fed from a circuit",
     "circuits:",
     "feeders:\n  - {name: shed, fed_from: garage, rating: 60 A}\ncircuits:",
     {"site.yaml:5:28: feeders[0].fed_from 'garage': is a circuit, which ends in points. Allowed: the "
      "service "
      "or a feeder. Mend: name the panel the breaker sits in."}},
    {"a setting above what the feeder bears",
     "circuits:\n  - {name: garage, fed_from: service",
     "feeders:\n  - {name: shed, fed_from: service, rating: 40 A}\ncircuits:\n  - {name: garage, fed_from: "
     "shed",
     {"site.yaml:9:49: points[0].hard_setting '40 A': is above what shed may carry for hours (80 % of 40 A): "
      "a factory reset of the equipment would load it past 80 %. Allowed: at most 32 A. Mend: have the "
      "installer set 32 A or less."}},
    {"a setting above what the service and its meter bear",
     "rating: 100 A, continuous: nec}\ncircuits",
     "rating: 50 A, continuous: nec, meter_resolution: 0.1 A}\ncircuits",
     {"site.yaml:7:49: points[0].hard_setting '40 A': is above what service may carry for hours (80 % of 50 "
      "A less its meter's 0.1 A): a factory reset of the equipment would load it past 80 %. Allowed: at most "
      "39 A. Mend: have the installer set 39 A or less.",
      "site.yaml:11:49: loads[0].calculation '60 A': is above the rating of service. Allowed: at most 50 A. "
      "Mend: look at both figures again; if both are right, this supply is too small for the house."}},
    {"a declared share that a circuit would inherit",
     "continuous: nec",
     "continuous: declared, share: 100 %, declared_by: the utility's letter",
     {"site.yaml:5:5: circuits[0].continuous: is missing: the share declared for service holds for it alone. "
      "Allowed: nec | cec | iec | declared. Mend: state the basis of this one's share."}},
    {"a receptacle without its rating",
     "hard_setting: 40 A",
     "hard_setting: 40 A, connection: receptacle",
     {"site.yaml:7:67: points[0].connection 'receptacle': needs the receptacle's rating. Allowed: both or "
      "neither. Mend: add 'receptacle: 50 A' with its rating."}},
    {"a setting above 80 % of the receptacle",
     "hard_setting: 40 A",
     "hard_setting: 40 A, connection: receptacle, receptacle: 30 A",
     {"site.yaml:7:49: points[0].hard_setting '40 A': is above 80 % of the receptacle's rating. Allowed: at "
      "most 24 A. Mend: have the installer set 24 A or less."}},
    {"another version of the format",
     "format: 1",
     "format: 2",
     {"site.yaml:1:9: format '2': is out of range. Allowed: 1."}},
    {"a minimum above the least setting",
     "hard_setting: 40 A",
     "hard_setting: 6 A, minimum: 12 A",
     {"site.yaml:7:63: points[0].minimum '12 A': is above the installer's setting. Allowed: 6 A. "
      "Mend: correct one of them."}},
    {"a minimum above the setting",
     "hard_setting: 40 A",
     "hard_setting: 10 A, minimum: 12 A",
     {"site.yaml:7:64: points[0].minimum '12 A': is above the installer's setting. Allowed: 6 A to 10 A. "
      "Mend: correct one of them."}},
    {"a standing current above the setting",
     "hard_setting: 40 A",
     "hard_setting: 10 A, standing: 12 A",
     {"site.yaml:7:65: points[0].standing '12 A': is above the installer's setting. Allowed: auto, or 0 A to "
      "10 A. Mend: lower it."}},
    {"a standing current below the minimum",
     "hard_setting: 40 A",
     "hard_setting: 40 A, standing: 4 A",
     {"site.yaml:7:65: points[0].standing '4 A': is below the point's minimum. Allowed: 0 A, or 6 A and "
      "more."}},
    {"a share without its declaration",
     "continuous: nec",
     "continuous: nec, share: 90 %",
     {"site.yaml:3:94: service.share '90 %': stands without 'continuous: declared'. Allowed: nec, cec and "
      "iec have their own share, 80 %. Mend: remove it, or declare it with declared_by."}},
    {"a declaration without its share",
     "continuous: nec",
     "continuous: declared",
     {"site.yaml:3:82: service.continuous 'declared': needs the share and who declared it. Allowed: share "
      "and declared_by beside it. Mend: add them, or use nec, cec or iec."}},
    {"a full share under nec",
     "rating: 50 A}",
     "rating: 50 A, sized_for_full_current: yes}",
     {"site.yaml:5:77: circuits[0].sized_for_full_current 'yes': is a matter of the iec basis only. Allowed: "
      "no. Mend: remove it: under nec and cec a circuit carries 80 % for hours."}},
    {"no currency code",
     "currency: CAD",
     "currency: dollars",
     {"site.yaml:2:53: site.currency 'dollars': is no currency code. Allowed: three capitals of ISO 4217 "
      "(the codes of April 2023, and XCG and ZWG), such as CAD. Mend: write the code of the bill's "
      "currency."}},
    {"two letters of a currency code swapped",
     "currency: CAD",
     "currency: CDA",
     {"site.yaml:2:53: site.currency 'CDA': is no currency code. Allowed: three capitals of ISO 4217 (the "
      "codes of April 2023, and XCG and ZWG), such as CAD. Mend: did you mean 'CAD'?"}},
    {"a currency code in small letters",
     "currency: CAD",
     "currency: usd",
     {"site.yaml:2:53: site.currency 'usd': is no currency code. Allowed: three capitals of ISO 4217 (the "
      "codes of April 2023, and XCG and ZWG), such as CAD. Mend: did you mean 'USD'?"}},
    {"three capitals that are no currency",
     "currency: CAD",
     "currency: QQQ",
     {"site.yaml:2:53: site.currency 'QQQ': is no currency code. Allowed: three capitals of ISO 4217 (the "
      "codes of April 2023, and XCG and ZWG), such as CAD. Mend: write the code of the bill's currency."}},
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
    {"a minimum the control pilot cannot offer",
     "hard_setting: 40 A",
     "hard_setting: 40 A, minimum: 52 A",
     {"site.yaml:7:64: points[0].minimum '52 A': is out of range. Allowed: 6 A to 32 A, whole amperes such "
      "as '25 A'."}},
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
    {"a name over two lines",
     "circuits:\n  - {name: garage, fed_from: service",
     "circuits:\n  - {name: \"gar\\nage\", fed_from: service",
     {"site.yaml:5:12: circuits[0].name 'gar\\nage': holds a character that cannot be shown. "
      "Allowed: text. Mend: write it with letters and signs.",
      "site.yaml:7:27: points[0].circuit 'garage': names nothing: there is no circuit of that name. Allowed: "
      "service. Mend: correct the name, or add it."}},
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
    {"no points at all",
     "points:\n  - {name: wall, circuit: garage, hard_setting: 40 A}\ncars:\n  - {name: Heron, point: wall, "
     "battery: 60 kWh, most: 32 A}",
     "points: []\ncars: []",
     {"site.yaml:6:1: points: is an empty list. Allowed: at least one. Mend: add it.",
      "site.yaml:7:1: cars: is an empty list. Allowed: at least one car. Mend: add it."}},
    {"no tariff",
     "tariff: tariff.yaml\n",
     "",
     {"site.yaml:1:1: tariff: is missing. Allowed: a file name. Mend: add it."}},
    {"not YAML",
     "service: {",
     "service: [",
     {"site.yaml:3:85: is not readable as YAML: illegal flow end. Allowed: spaces for indentation, 'key: "
      "value', quotes around text that holds ': ' or '#'. Mend: look at this line and the one above it."}},
    {"a circuit's name used twice",
     "rating: 50 A}",
     "rating: 50 A}\n  - {name: garage, fed_from: service, rating: 30 A}",
     {"site.yaml:6:12: circuits[1].name 'garage': is used twice. Allowed: a name of its own. Mend: rename "
      "one of the two."}},
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
    {"a circuit fed from a circuit",
     "rating: 50 A}",
     "rating: 50 A}\n  - {name: attic, fed_from: garage, rating: 30 A}",
     {"site.yaml:6:29: circuits[1].fed_from 'garage': is a circuit, which ends in points. Allowed: the "
      "service or a feeder. Mend: name the panel the breaker sits in."}},
    {"52 A, which the control pilot cannot say",
     "rating: 50 A}\npoints:\n  - {name: wall, circuit: garage, hard_setting: 40 A",
     "rating: 70 A}\npoints:\n  - {name: wall, circuit: garage, hard_setting: 52 A",
     {"site.yaml:7:49: points[0].hard_setting '52 A': does not exist on the control pilot. Allowed: 51 A, or "
      "53 A and more. Mend: write 51 A."}},
    {"a declared share without who declared it",
     "continuous: nec",
     "continuous: declared, share: 90 %",
     {"site.yaml:3:82: service.continuous 'declared': needs the share and who declared it. Allowed: share "
      "and declared_by beside it. Mend: add them, or use nec, cec or iec."}},
    {"a full share at a feeder",
     "circuits:",
     "feeders:\n  - {name: shed, fed_from: service, rating: 60 A, continuous: iec, sized_for_full_current: "
     "yes}\ncircuits:",
     {"site.yaml:5:92: feeders[0].sized_for_full_current 'yes': is a matter of a final circuit. Allowed: no. "
      "Mend: state it at the circuit."}},
    {"a point's leg that its circuit has not",
     "hard_setting: 40 A",
     "hard_setting: 40 A, legs: [L3]",
     {"site.yaml:7:55: points[0].legs: has a leg that circuit garage has not. Allowed: L1, L2."}},
    {"a list of legs without legs",
     "hard_setting: 40 A",
     "hard_setting: 40 A, legs: []",
     {"site.yaml:7:55: points[0].legs: is an empty list. Allowed: L1, L2. Mend: name its legs, or leave it "
      "out if it has all."}},
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
    {"a service that is no mapping",
     "service: {supply: split-phase, leg_to_neutral: 120 V, rating: 100 A, continuous: nec}",
     "service: 100 A",
     {"site.yaml:3:10: service '100 A': is not a service. Allowed: a mapping of keys."}},
    {"a service whose name is no text",
     "service: {",
     "service: {name: [a], ",
     {"site.yaml:3:17: service.name '[…]': is not a single value. Allowed: text."}},
    {"no service at all",
     "service: {supply: split-phase, leg_to_neutral: 120 V, rating: 100 A, continuous: nec}\n",
     "",
     {"site.yaml:1:1: service: is missing. Allowed: a mapping of keys. Mend: add it."}},
    {"a circuit whose full share is neither yes nor no",
     "rating: 50 A}",
     "rating: 50 A, sized_for_full_current: perhaps}",
     {"site.yaml:5:77: circuits[0].sized_for_full_current 'perhaps': is neither yes nor no. Allowed: 'yes' "
      "or 'no'."}},
    {"a feeder whose full share is neither yes nor no",
     "circuits:",
     "feeders:\n  - {name: shed, fed_from: service, rating: 60 A, sized_for_full_current: "
     "perhaps}\ncircuits:",
     {"site.yaml:5:75: feeders[0].sized_for_full_current 'perhaps': is neither yes nor no. Allowed: 'yes' or "
      "'no'."}},
    {"a car and a load that are no mappings",
     "cars:\n  - {name: Heron, point: wall, battery: 60 kWh, most: 32 A}\nloads:\n  - {node: service, "
     "constant: 6 A, "
     "calculation: 60 A}",
     "cars: [3]\nloads: [4]",
     {"site.yaml:8:8: cars[0] '3': is not a car. Allowed: a mapping of keys.",
      "site.yaml:9:9: loads[0] '4': is not a load. Allowed: a mapping of keys."}},
    {"a receptacle that is no current",
     "hard_setting: 40 A",
     "hard_setting: 40 A, connection: receptacle, receptacle: big",
     {"site.yaml:7:91: points[0].receptacle 'big': is not a number with a unit. Allowed: 10 A to 125 A, "
      "amperes such as '12.5 A'."}},
    {"a share that is no percentage",
     "continuous: nec",
     "continuous: declared, share: most, declared_by: the installer",
     {"site.yaml:3:99: service.share 'most': is not a number with a unit. Allowed: 10 % to 100 %, a "
      "percentage such as '80 %'."}},
    {"a second document in the file",
     "tariff: tariff.yaml\n",
     "tariff: tariff.yaml\n---\nformat: 1\n",
     {"site.yaml:14:1: holds a second document. Allowed: one document. Mend: remove the line '---' above "
      "it."}},
    {"an empty name",
     "name: Heron",
     "name: \"\"",
     {"site.yaml:9:12: cars[0].name: is empty. Allowed: text."}},
    {"two faults, two messages",
     "rating: 50 A}\npoints:\n  - {name: wall, circuit: garage, hard_setting: 40 A}",
     "rating: 50}\npoints:\n  - {name: wall, circuit: barn, hard_setting: 40 A}",
     {"site.yaml:5:47: circuits[0].rating '50': has no unit. Allowed: 6 A to 400 A, amperes such as '12.5 "
      "A'. Mend: write the unit behind the number (A).",
      "site.yaml:7:27: points[0].circuit 'barn': names nothing: there is no circuit of that name. Allowed: "
      "service, garage. Mend: correct the name, or add it."}},
};

std::vector<std::string> messages(const std::string& yaml) {
    const auto read = read_site_text(yaml, "site.yaml", ".");
    std::vector<std::string> texts;
    if (read.ok()) return texts;
    for (const Fault& fault : read.faults()) texts.push_back(text(fault));
    return texts;
}

}  // namespace

TEST_CASE("the good site file has no faults") { CHECK(messages(kGood) == std::vector<std::string>{}); }

TEST_CASE("every fault of a site file names file, line, column, key, value, what is allowed and the mend") {
    for (const Case& one : kCases) {
        INFO(one.rule);
        std::string yaml = kGood;
        const auto at = yaml.find(one.written);
        REQUIRE(at != std::string::npos);
        yaml.replace(at, std::string(one.written).size(), one.instead);
        CHECK(messages(yaml) == one.messages);
    }
}

TEST_CASE("text without control characters is kept as it is written, whatever its letters") {
    const auto name = [](const std::string& written) {
        std::string yaml = kGood;
        yaml.replace(yaml.find("name: Home"), 10, "name: \"" + written + "\"");
        const auto read = read_site_text(yaml, "site.yaml", ".");
        return read.ok() ? read.value().name : "refused: " + read.faults()[0].what;
    };
    const std::string refused = "refused: holds a character that cannot be shown";
    CHECK(name("Norra Ängen, № 9") == "Norra Ängen, № 9");
    for (const char* control : {"\\n", "\\t", "\\e[2J", "\\x7f", "\\x85", "\\x9b", "\\0"}) {
        INFO(control);
        CHECK(name(std::string("Ho") + control + "me") == refused);
    }
}
