// Who a household has signed with, as the site file says: tariffs, the meters they bill, and when.
//
// Values; safe to read from any thread.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "core/account/bill.hpp"
#include "core/site/site.hpp"
#include "core/tariff/tariff.hpp"
#include "io/fault/fault.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

struct Contract {
    std::string name;
    std::filesystem::path tariff;
    std::size_t node = 0;  // index into Site::nodes: where its meter is
    tariff::BillDates bills;
    account::Terms terms;
    std::vector<tariff::Percentage> taxes;     // behind those of the tariff
    std::int64_t multiplier = tariff::kWhole;  // of its meter's readings, in millionths
};

// The contracts of a site file; `tariff` alone is one called "household", billed by calendar months. Tariffs
// are taken to be of `folder`.
[[nodiscard]] std::vector<Contract> read_contracts(const Section& file, const site::Site& site,
                                                   const std::filesystem::path& folder, Faults& faults);

// A fault for each point whose energy no contract bills. REQUIRES: the tree and the contracts are whole.
void check_all_billed(const Section& file, const site::Site& site, const std::vector<Contract>& contracts,
                      Faults& faults);

// Which contracts bill energy taken at `node`: those of the nearest node at or above it that has any, for a
// meter of its own takes what hangs on it out of the house's.
[[nodiscard]] std::vector<std::size_t> contracts_at(const std::vector<Contract>& contracts,
                                                    const site::Site& site, std::size_t node);

// A fault about a key of a contract, found later; where the site file has `tariff` alone, about that.
// REQUIRES: contract is an index of what read_contracts gave without faults.
[[nodiscard]] Fault contract_fault(const Section& file, std::size_t contract, std::string_view key,
                                   std::string what, std::string allowed, std::string mend);

}  // namespace lullwatt::io
