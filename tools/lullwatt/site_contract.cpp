#include "tools/lullwatt/site_contract.hpp"

#include <algorithm>
#include <utility>

#include "io/household/household.hpp"
#include "tools/lullwatt/option_fault.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {
namespace {

io::Read<std::size_t> chosen_supply(const std::string& contract, const io::Household& household) {
    std::string names;
    for (std::size_t i = 0; i < household.supplies.size(); ++i) {
        const std::string& name = household.supplies[i].contract.name;
        if (name == contract) return i;
        names += (names.empty() ? "" : ", ") + name;
    }
    if (contract.empty() && household.supplies.size() == 1) return std::size_t{0};
    return io::Faults{
        {kCommandLine, 0, 0, "--contract",
         contract.empty() ? "is missing, and the site has several" : "is no contract of the site", contract,
         names, "name one of them"}};
}

// Whole milliwatt-hours, each reading for itself.
void multiply(EnergySeries& series, std::int64_t multiplier) {
    for (EnergyReading& reading : series) {
        reading.energy = MilliwattHours(static_cast<std::int64_t>(
            nearest_quotient(static_cast<Wide>(reading.energy.count()) * multiplier, tariff::kWhole)));
    }
}

}  // namespace

int months_of(const BillOptions& options, const io::Supply& supply, const BillUsage& usage) {
    const int of_contract = supply.contract.terms.months;
    const auto asked = bill_spans(options, supply.tariff, supply.clock, supply.contract.bills, usage);
    if (!asked.ok()) return of_contract;
    const account::DateSpan span = asked.value().spans.front();
    if (tariff::bill_of(supply.contract.bills, span.from) == span) return of_contract;
    return std::max(1, (span.days() * 24 + 365) / 730);
}

io::Read<SiteContract> site_contract(const std::string& site, const std::string& contract,
                                     const BillOptions& options) {
    SiteOption option;
    option.site = site;
    auto read = io::load_household(site_path(option), system_now());
    if (!read.ok()) return read.faults();
    io::Household household = std::move(read).value();
    const auto chosen = chosen_supply(contract, household);
    if (!chosen.ok()) return chosen.faults();
    SiteContract found{std::move(household.supplies[chosen.value()]), household.site.zone, options, {}};
    const io::Contract& terms = found.supply.contract;
    const auto& load = household.site.loads[terms.node];
    const bool typed = !options.kwh.empty() || !options.register_reads.empty();
    const bool own_history = options.readings.empty() && !typed && load && load->history;
    if (own_history) found.asked.readings = load->history->string();
    if (options.multiplier.empty()) found.asked.multiplier = decimal_text(terms.multiplier, 6);
    auto usage = bill_usage(found.asked);
    if (!usage.ok()) return usage.faults();
    found.usage = std::move(usage).value();
    found.usage.terms = terms.terms;
    if (own_history && !household.site.cars.empty()) {
        found.usage.warnings.push_back({found.asked.readings, 0, 0, "", "counts the house without its cars",
                                        "", "",
                                        "give the meter's own readings as --readings for the whole bill"});
    }
    if (auto* metered = std::get_if<account::Metered>(&found.usage.usage)) {
        multiply(metered->taken, terms.multiplier);
        multiply(metered->given, terms.multiplier);
    }
    return found;
}

}  // namespace lullwatt::tools
