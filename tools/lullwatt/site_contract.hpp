// A contract of the site as `bill` and `compare` price it: its tariff, clock, figures and meter's readings.
#pragma once

#include <string>

#include "io/household/supplies.hpp"
#include "tools/lullwatt/bill_options.hpp"

namespace lullwatt::tools {

struct SiteContract {
    io::Supply supply;
    std::string zone;   // the household's clock
    BillOptions asked;  // what was asked, with the contract's readings and multiplier where none were typed
    BillUsage usage;    // with the contract's figures; `months` those of its own bills
};

// `contract` may be empty where the site has only one. `site` empty: where site_path looks.
[[nodiscard]] io::Read<SiteContract> site_contract(const std::string& site, const std::string& contract,
                                                   const BillOptions& options);

// The months that the days asked for stand for: the contract's, for its own bills; any other days are as many
// as they come nearest to.
[[nodiscard]] int months_of(const BillOptions& options, const io::Supply& supply, const BillUsage& usage);

}  // namespace lullwatt::tools
