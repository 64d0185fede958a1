#include "daemon/simulation/household_loads.hpp"

namespace lullwatt::daemon {
namespace {

constexpr date::days kDay{1};

int day_of_year(date::local_days date) {
    const CivilDate civil{date};
    return static_cast<int>((date - date::local_days{civil.year() / date::January / 1}).count());
}

}  // namespace

const HouseholdLoads::Day& HouseholdLoads::day(date::local_days date) {
    const auto known = days_.find(date);
    if (known != days_.end()) return known->second;
    std::erase_if(days_, [&](const auto& entry) { return entry.first < date - kDay; });
    const io::Simulation& simulation = household_.site.simulation;
    const Zone& zone = household_.zone;
    Day day{.midnight = zone.instant(date)};
    day.runs.resize(household_.site.site.nodes.size());
    if (simulation.household) {
        rehearse::Random random(simulation.seed * 1'000'003 +
                                static_cast<std::uint64_t>(date.time_since_epoch().count()));
        day.runs.front() = rehearse::household_day(random, Seconds{0}, day_of_year(date));
    }
    for (const io::SimulatedLoad& load : simulation.loads) {
        const Seconds begin = zone.instant(date + load.from) - day.midnight;
        day.runs[load.node].push_back({begin, begin + load.lasts, load.amps});
    }
    return days_.emplace(date, std::move(day)).first->second;
}

std::vector<site::LegAmps> HouseholdLoads::draw(Instant at) {
    const site::Site& site = household_.site.site;
    std::vector<site::LegAmps> amps(site.nodes.size());
    const auto today = date::floor<date::days>(household_.zone.civil(at));
    for (const auto date : {today - kDay, today}) {  // some of yesterday's end after midnight
        const Day& runs = day(date);
        for (std::size_t node = 0; node < amps.size(); ++node) {
            const site::LegAmps own = rehearse::draw(runs.runs[node], at - runs.midnight);
            for (const site::Leg leg : site::kLegs) {
                const auto place = static_cast<std::size_t>(leg);
                if (site.nodes[node].legs.has(leg)) amps[node][place] += own[place];
            }
        }
    }
    for (std::size_t node = amps.size(); node-- > 1;) {  // children before parents
        for (std::size_t leg = 0; leg < amps[node].size(); ++leg)
            amps[*site.nodes[node].parent][leg] += amps[node][leg];
    }
    return amps;
}

}  // namespace lullwatt::daemon
