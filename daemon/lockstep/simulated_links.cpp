#include "daemon/lockstep/simulated_links.hpp"

#include <algorithm>
#include <array>
#include <stdexcept>

#include <nlohmann/json.hpp>

#include "daemon/drive/reason_words.hpp"

namespace lullwatt::daemon {
namespace {

using Json = nlohmann::ordered_json;

template <class Named>
std::size_t place(const std::vector<Named>& all, const Json& name) {
    const auto found = std::ranges::find(all, name.get<std::string>(), &Named::name);
    if (found == all.end()) throw std::out_of_range("no " + name.dump() + " in this house");
    return static_cast<std::size_t>(found - all.begin());
}

// In the order of the legs that there are.
site::LegAmps leg_amps(const Json& json, site::Legs legs) {
    site::LegAmps amps{};
    std::size_t next = 0;
    for (const site::Leg leg : site::kLegs) {
        if (legs.has(leg) && next < json.size())
            amps[static_cast<std::size_t>(leg)] = Amps(json.at(next++).get<double>());
    }
    return amps;
}

control::PointStatus status_of(const std::string& word) {
    using enum control::PointStatus;
    for (const auto status :
         {empty, connected, charging, suspended_by_car, suspended_by_us, finished, faulted}) {
        if (status_word(status) == word) return status;
    }
    throw std::out_of_range("no status '" + word + "'");
}

control::MeterSample sample_of(const Json& json, const site::Site& site, BootTime now) {
    control::MeterSample sample{.node = place(site.nodes, json.at("node")), .arrived = now};
    const site::Legs legs = site.nodes[sample.node].legs;
    sample.amps = leg_amps(json.at("amps"), legs);
    sample.resolution = Amps(json.value("resolution", 0.0));
    const site::LegAmps feeding = leg_amps(json.value("feeding", Json::array()), legs);
    for (std::size_t leg = 0; leg < feeding.size(); ++leg) {
        sample.direction[leg] =
            feeding[leg] > Amps(0) ? control::Direction::feeding : control::Direction::drawing;
    }
    return sample;
}

control::PointReport report_of(const Json& json, const site::Point& point, BootTime now) {
    control::PointReport report{.taken = now - Milliseconds(json.value("age_ms", std::int64_t{0}))};
    if (json.contains("status")) report.status = status_of(json.at("status").get<std::string>());
    if (json.contains("offer")) report.offer = WholeAmps(json.at("offer").get<int>());
    if (json.contains("amps")) report.current = leg_amps(json.at("amps"), point.legs);
    if (json.contains("register_wh"))
        report.energy_register = WattHours(json.at("register_wh").get<std::int64_t>());
    return report;
}

}  // namespace

void SimulatedLinks::take(const std::string& line) {
    try {
        const Json json = Json::parse(line);
        if (!json.is_object() || json.empty()) throw std::out_of_range("no object");
        const std::string& kind = json.begin().key();
        const Json& said = json.begin().value();
        const Moment now = lockstep_.now();
        const auto household = household_();
        const site::Site& site = household->site.site;
        if (kind == "meter") {
            if (sampled_) sampled_(sample_of(said, site, now.boot));
            return;
        }
        if (listener_ == nullptr) return;
        const std::size_t point = place(site.points, said.at("point"));
        if (kind == "report") {
            listener_->reported(point, report_of(said, site.points[point], now.boot));
        } else if (kind == "link") {
            listener_->link(point, said.at("up").get<bool>());
        } else if (kind == "restarted") {
            listener_->restarted(point, now.boot);
        } else if (kind == "answer") {
            listener_->answered(point, said.at("write").get<std::uint64_t>(),
                                said.at("accepted").get<bool>());
        } else if (kind == "begun") {
            listener_->began(
                point,
                {now.wall, WattHours(said.at("register_wh").get<std::int64_t>()), said.value("token", "")},
                [this, name = site.points[point].name](std::optional<std::int64_t> id) {
                    lockstep_.tell(
                        Json{{"recorded", {{"point", name}, {"transaction", id ? Json(*id) : Json(nullptr)}}}}
                            .dump());
                });
        } else if (kind == "ended") {
            listener_->ended(point, {now.wall, WattHours(said.at("register_wh").get<std::int64_t>()),
                                     said.value("reason", "")});
        } else {
            log_.error("lockstep: not understood: " + line);
        }
    } catch (const std::exception& failure) {  // a simulator's mistake: told, and gone on
        log_.error("lockstep: " + line + ": " + failure.what());
    }
}

void SimulatedLinks::offer(std::size_t point, const control::Write& write) {
    Json periods = Json::array();
    for (const control::Period& period : write.periods) {
        Json each{{"amps", period.amps.count()}};
        if (period.length) each["ms"] = period.length->count();
        periods.push_back(std::move(each));
    }
    lockstep_.tell(Json{{"offer",
                         {{"point", household_()->site.site.points[point].name},
                          {"write", write.number},
                          {"reduces", write.reduces},
                          {"periods", std::move(periods)}}}}
                       .dump());
}

std::optional<Milliseconds> SimulatedLinks::interval(std::size_t node) const {
    const auto& meters = lockstep_.meters();
    const auto found = meters.find(household_()->site.site.nodes[node].name);
    return found == meters.end() ? std::nullopt : std::optional(found->second);
}

}  // namespace lullwatt::daemon
