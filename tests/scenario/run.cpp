#include <map>

#include "scenario/scenario.hpp"

namespace lullwatt::tests {
namespace {

std::string seconds(Seconds length) { return std::to_string(length.count()) + " s"; }

// An episode of one leg that is too long.
void judge(const rehearse::Excess& measure, Seconds allowed, const std::string& where,
           std::vector<std::string>& found) {
    for (const rehearse::Episode& episode : measure.episodes()) {
        if (episode.length() <= allowed) continue;
        found.push_back(where + ": from " + seconds(episode.begin) + " for " + seconds(episode.length()) +
                        ", up to " + std::to_string(episode.greatest.count()) + " A; allowed " +
                        seconds(allowed));
    }
}

void look(const rehearse::World& world, const Expectation& expected, std::vector<std::string>& found) {
    const rehearse::Equipment& equipment = world.equipment(expected.point);
    const std::string where =
        "at " + seconds(expected.at) + ", point " + std::to_string(expected.point) + ": ";
    const int offer = equipment.offer().count();
    if (expected.offer && offer != *expected.offer)
        found.push_back(where + "offers " + std::to_string(offer) + " A, not " +
                        std::to_string(*expected.offer));
    if (expected.at_least && offer < *expected.at_least)
        found.push_back(where + "offers " + std::to_string(offer) + " A, below " +
                        std::to_string(*expected.at_least));
    if (expected.draws && *expected.draws != (equipment.current() > Amps(0)))
        found.push_back(where + (*expected.draws ? "draws nothing" : "draws"));
    if (!expected.why) return;
    std::string told;
    for (const control::Reason& reason : world.decision()->points[expected.point].reasons) {
        if (name(reason.bind) == *expected.why) return;
        told += " " + name(reason.bind);
    }
    found.push_back(where + "the reasons are" + told + ", not " + *expected.why);
}

}  // namespace

std::string name(control::Bind bind) {
    using control::Bind;
    static const std::map<Bind, std::string> names = {{Bind::plan, "plan"},
                                                      {Bind::waiting, "waiting"},
                                                      {Bind::past_plan, "past plan"},
                                                      {Bind::no_plan_yet, "no plan yet"},
                                                      {Bind::clock_unproven, "clock unproven"},
                                                      {Bind::hold, "hold"},
                                                      {Bind::installer_setting, "installer setting"},
                                                      {Bind::receptacle, "receptacle"},
                                                      {Bind::limit, "limit"},
                                                      {Bind::rating, "rating"},
                                                      {Bind::ceiling, "ceiling"},
                                                      {Bind::unbalance, "unbalance"},
                                                      {Bind::calm_time, "calm time"},
                                                      {Bind::lease_cap, "lease cap"},
                                                      {Bind::stale, "stale"},
                                                      {Bind::stale_for_long, "stale for long"},
                                                      {Bind::unmetered, "unmetered"},
                                                      {Bind::other_point, "other point"},
                                                      {Bind::below_minimum, "below minimum"},
                                                      {Bind::resume_wait, "resume wait"},
                                                      {Bind::interruption, "interruption"},
                                                      {Bind::write_budget, "write budget"},
                                                      {Bind::unheard, "unheard"},
                                                      {Bind::link_lost, "link lost"},
                                                      {Bind::no_car, "no car"},
                                                      {Bind::car_done, "car done"},
                                                      {Bind::fault, "fault"}};
    return names.at(bind);
}

std::vector<std::string> complaints_without_reaction(const Scenario& scenario) {
    Scenario off = scenario;
    off.world.settings.options = scenario.without;
    off.world.settings.site.lease = scenario.lease_without;
    return complaints(off);
}

std::vector<std::string> complaints(const Scenario& scenario) {
    rehearse::WorldSetup setup = scenario.world;
    const site::Site site = setup.settings.site;
    rehearse::World world(std::move(setup));
    std::vector<std::string> found;
    while (world.now() < scenario.length) {
        const Seconds at = world.now();
        world.step();
        for (const Expectation& expected : scenario.expectations) {
            if (expected.at == at) look(world, expected, found);
        }
        for (std::size_t p = 0; p < site.points.size(); ++p) {
            const int offer = world.equipment(p).offer().count();
            if (offer != 0 && (offer < 6 || offer > site.points[p].hard_setting.count()))
                found.push_back("at " + seconds(at) + ": offers " + std::to_string(offer) + " A");
        }
    }
    int writes = 0;
    for (std::size_t p = 0; p < site.points.size(); ++p) writes += world.equipment(p).writes();
    if (scenario.writes_at_most && writes > *scenario.writes_at_most)
        found.push_back(std::to_string(writes) + " writes, more than " +
                        std::to_string(*scenario.writes_at_most));
    for (std::size_t n = 0; n < site.nodes.size(); ++n) {
        for (const site::Leg leg : {site::Leg::L1, site::Leg::L2}) {
            const std::string where = site.nodes[n].name + " L" + std::to_string(static_cast<int>(leg) + 1);
            judge(world.at_limit(n, leg), scenario.at_limit, where + " above its limit", found);
            judge(world.at_rating(n, leg), scenario.at_rating, where + " above its rating", found);
        }
    }
    return found;
}

}  // namespace lullwatt::tests
