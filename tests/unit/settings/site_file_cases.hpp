// A site file without faults, edits of it, and what is told of each.
#pragma once

#include <string>
#include <vector>

#include "io/settings/site_file.hpp"
#include "support/catch.hpp"

namespace lullwatt::tests {

inline const std::string kGood = R"(format: 1
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

inline std::vector<std::string> messages(const std::string& yaml) {
    const auto read = io::read_site_text(yaml, "site.yaml", ".");
    std::vector<std::string> texts;
    if (read.ok()) return texts;
    for (const io::Fault& fault : read.faults()) texts.push_back(text(fault));
    return texts;
}

inline void check_messages(const std::vector<Case>& cases) {
    for (const Case& one : cases) {
        INFO(one.rule);
        std::string yaml = kGood;
        const auto at = yaml.find(one.written);
        REQUIRE(at != std::string::npos);
        yaml.replace(at, std::string(one.written).size(), one.instead);
        CHECK(messages(yaml) == one.messages);
    }
}

}  // namespace lullwatt::tests
