// The `dwelling` part of a site file: what a load calculation starts from.
//
// Values; safe to read from any thread.
#pragma once

#include <filesystem>
#include <optional>
#include <vector>

#include "core/circuit/diversity.hpp"
#include "core/circuit/load.hpp"
#include "core/circuit/measured_demand.hpp"
#include "core/site/site.hpp"
#include "io/fault/fault.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

// What the household states about its meter data; the data itself is the service's history.
struct MeasuredSettings {
    circuit::CarsInData cars = circuit::CarsInData::held_back;
    std::optional<std::filesystem::path> cars_history;
    bool generation_or_storage = false;
    bool occupied = false;
    std::optional<VoltAmperes> seasonal;
    double power_factor = 1;
    std::optional<double> hourly_correction;
};

// One load of a household by IEC, with the legs it is on.
struct HouseholdSettings {
    circuit::HouseholdLoad load;
    site::Legs legs;
};

enum class Rules : std::uint8_t { nec, cec, iec };

struct DwellingSettings {
    Rules rules = Rules::nec;
    std::vector<HouseholdSettings> household;  // iec
    circuit::Dwelling dwelling;  // with every supply point as equipment, in the order of Site::points
    circuit::Code code = circuit::Code::nec;  // nec and cec
    int edition = 0;
    bool adds_climate = false;
    std::optional<MeasuredSettings> measured;
};

// The code is the service's `continuous`; one of `iec` or `declared` has no load calculation of this kind,
// and is told so.
[[nodiscard]] std::optional<DwellingSettings> read_dwelling(const Section& file, const site::Site& site,
                                                            const std::filesystem::path& folder,
                                                            Faults& faults);

// What the household draws by its load calculation without any car, leg by leg: a worst load where nothing
// was measured (docs/design.md §5).
[[nodiscard]] std::optional<site::LegAmps> demand_without_cars(const DwellingSettings& dwelling,
                                                               const site::Site& site);

}  // namespace lullwatt::io
