// Every fault a person can make in a site file but for its cars and loads, with the whole of its message.
#include <string>
#include <vector>

#include "io/settings/site_file.hpp"
#include "support/catch.hpp"
#include "unit/settings/site_file_cases.hpp"

using namespace lullwatt::io;
using namespace lullwatt::tests;

namespace {

const std::vector<Case> kCases = {
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
      "hard_setting, minimum, control, standing, standing_beyond_limit, connection, receptacle, link. Mend: "
      "did "
      "you mean 'hard_setting'?"}},
    {"a value without its unit",
     "rating: 50 A",
     "rating: 50",
     {"site.yaml:5:47: circuits[0].rating '50': has no unit. Allowed: 6 A to 400 A, amperes such as '12.5 "
      "A'. Mend: write the unit behind the number (A)."}},
    {"a current that is not whole",
     "hard_setting: 40 A",
     "hard_setting: 40.5 A",
     {"site.yaml:7:49: points[0].hard_setting '40.5 A': is not a whole number of amperes. Allowed: 6 A to 80 "
      "A, whole amperes such as '25 A'. Mend: round it down."}},
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
    {"a minimum the control pilot cannot offer",
     "hard_setting: 40 A",
     "hard_setting: 40 A, minimum: 52 A",
     {"site.yaml:7:64: points[0].minimum '52 A': is out of range. Allowed: 6 A to 32 A, whole amperes such "
      "as '25 A'."}},
    {"a name over two lines",
     "circuits:\n  - {name: garage, fed_from: service",
     "circuits:\n  - {name: \"gar\\nage\", fed_from: service",
     {"site.yaml:5:12: circuits[0].name 'gar\\nage': holds a character that cannot be shown. "
      "Allowed: text. Mend: write it with letters and signs.",
      "site.yaml:7:27: points[0].circuit 'garage': names nothing: there is no circuit of that name. Allowed: "
      "service. Mend: correct the name, or add it."}},
    {"no points at all",
     "points:\n  - {name: wall, circuit: garage, hard_setting: 40 A}\ncars:\n  - {name: Heron, point: wall, "
     "battery: 60 kWh, most: 32 A}",
     "points: []\ncars: []",
     {"site.yaml:6:1: points: is an empty list. Allowed: at least one. Mend: add it.",
      "site.yaml:7:1: cars: is an empty list. Allowed: at least one car. Mend: add it."}},
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
     {"site.yaml:13:1: holds a second document. Allowed: one document. Mend: remove the line '---'."}},
    {"two faults, two messages",
     "rating: 50 A}\npoints:\n  - {name: wall, circuit: garage, hard_setting: 40 A}",
     "rating: 50}\npoints:\n  - {name: wall, circuit: barn, hard_setting: 40 A}",
     {"site.yaml:5:47: circuits[0].rating '50': has no unit. Allowed: 6 A to 400 A, amperes such as '12.5 "
      "A'. Mend: write the unit behind the number (A).",
      "site.yaml:7:27: points[0].circuit 'barn': names nothing: there is no circuit of that name. Allowed: "
      "service, garage. Mend: correct the name, or add it."}},
};

}  // namespace

TEST_CASE("the good site file has no faults") { CHECK(messages(kGood) == std::vector<std::string>{}); }

TEST_CASE("every fault of a site file names file, line, column, key, value, what is allowed and the mend") {
    check_messages(kCases);
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
