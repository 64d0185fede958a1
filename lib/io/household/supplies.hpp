// The contracts of a site with their tariffs, read and checked against each other.
//
// Values; safe to read from any thread.
#pragma once

#include <vector>

#include "core/tariff/tariff.hpp"
#include "core/time/zone.hpp"
#include "io/fault/fault.hpp"
#include "io/settings/site_file.hpp"

namespace lullwatt::io {

struct Supply {
    Contract contract;
    tariff::Tariff tariff;  // billed on the contract's dates, its taxes behind the tariff's own
    Zone clock;             // the tariff's own
};

// One tariff per contract, whole only where no fault was added. Faults: those of the tariff files, each
// file's once; another currency than the site's; a fuse, a contracted power or a peak that a charge goes by
// and the contract does not state.
[[nodiscard]] std::vector<tariff::Tariff> read_tariffs(const SiteFile& site, Faults& faults);

// The tariff as that contract is billed by it: on its dates, its taxes behind the tariff's own.
[[nodiscard]] tariff::Tariff billed_by(const Contract& contract, tariff::Tariff tariff);

// The contracts with those tariffs and their clocks; faults for a clock that cannot be had. REQUIRES: one
// tariff per contract.
[[nodiscard]] std::vector<Supply> supplies_of(const SiteFile& site, std::vector<tariff::Tariff> tariffs,
                                              const Zone& site_zone, Interval needed, Instant now,
                                              Faults& faults);

}  // namespace lullwatt::io
