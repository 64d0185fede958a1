#include "core/circuit/diversity.hpp"

#include <algorithm>
#include <cassert>
#include <functional>
#include <utility>

namespace lullwatt::circuit {
namespace {

// The loads of one row, as the guide counts them.
struct UseTotals {
    std::vector<Amps> currents;  // falling
    int sockets = 0;             // units with one
    Amps connected{};
};

struct Rule {
    HouseholdUse use;
    std::string_view words;
    Amps (*demand)(const UseTotals&);
};

Amps above(Amps current, Amps threshold) { return std::max(current - threshold, Amps(0)); }

// The first `whole` at 100 %, the rest at `share`.
Amps largest_whole(const UseTotals& row, std::size_t whole, double share) {
    Amps demand{0};
    for (std::size_t at = 0; at < row.currents.size(); ++at) {
        demand += at < whole ? row.currents[at] : share * row.currents[at];
    }
    return demand;
}

Amps all(const UseTotals& row) { return row.connected; }
Amps two_thirds(const UseTotals& row) { return 0.66 * row.connected; }
Amps half_above_ten(const UseTotals& row) { return row.connected - 0.5 * above(row.connected, Amps(10)); }
Amps cooking(const UseTotals& row) {
    return row.connected - 0.7 * above(row.connected, Amps(10)) + row.sockets * Amps(5);
}
Amps showers(const UseTotals& row) { return largest_whole(row, 2, 0.25); }
Amps largest_and_forty(const UseTotals& row) { return largest_whole(row, 1, 0.40); }

// IET On-Site Guide Table A2, individual household installations, as Electricians' Guide Table 6.2 prints it
// too.
constexpr std::array<Rule, 8> kRules{{
    {HouseholdUse::lighting, "66 % of total (On-Site Guide A2)", two_thirds},
    {HouseholdUse::heating_and_power, "100 % up to 10 A + 50 % of the excess (On-Site Guide A2)",
     half_above_ten},
    {HouseholdUse::cooking, "10 A + 30 % of the rest + 5 A for a socket in the unit (On-Site Guide A2)",
     cooking},
    {HouseholdUse::instantaneous_water, "100 % of the two largest + 25 % of the rest (On-Site Guide A2)",
     showers},
    {HouseholdUse::without_diversity, "100 %, no diversity (On-Site Guide A2)", all},
    {HouseholdUse::final_circuit, "100 % of the largest + 40 % of each other (On-Site Guide A2)",
     largest_and_forty},
    {HouseholdUse::socket_or_fixed, "100 % of the largest + 40 % of the rest (On-Site Guide A2)",
     largest_and_forty},
    {HouseholdUse::charging_point, "100 % of each point's rated current (BS 7671 722.311)", all},
}};

}  // namespace

HouseholdDemand household_demand(std::span<const HouseholdLoad> loads) {
    HouseholdDemand result;
    for (const auto& [use, words, demand] : kRules) {
        DemandLine line{.use = use, .rule = words};
        UseTotals row;
        for (const HouseholdLoad& load : loads) {
            assert(load.current >= Amps(0));
            if (load.use != use) continue;
            line.loads.push_back(load.name);
            row.currents.push_back(load.current);
            row.connected += load.current;
            row.sockets += load.with_socket ? 1 : 0;
        }
        if (line.loads.empty()) continue;
        std::ranges::sort(row.currents, std::greater{});
        line.connected = row.connected;
        line.demand = demand(row);
        result.total += line.demand;
        result.lines.push_back(std::move(line));
    }
    return result;
}

MainFuseCheck check_main_fuse(Amps demand, Amps fuse) {
    return {demand, fuse, at_most(demand, fuse), floor_amps(fuse - demand)};
}

UnbalanceCheck check_unbalance(const std::array<Amps, 3>& per_phase, const UnbalanceRule& rule,
                               Volts line_to_neutral) {
    const Amps difference = std::ranges::max(per_phase) - std::ranges::min(per_phase);
    return {difference, VoltAmperes(difference.count() * line_to_neutral.count()), rule.most,
            at_most(difference, rule.most)};
}

}  // namespace lullwatt::circuit
