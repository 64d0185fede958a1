#include "daemon/drive/driver.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "core/control/ceiling_now.hpp"
#include "daemon/drive/reason_words.hpp"

namespace lullwatt::daemon {
namespace {

// Whether the car draws or waits is our own doing, and nothing to plan anew for.
bool same_to_a_plan(control::PointStatus before, control::PointStatus now) {
    const auto can_charge = [](control::PointStatus status) {
        return status == control::PointStatus::connected || status == control::PointStatus::charging ||
               status == control::PointStatus::suspended_by_us;
    };
    return before == now || (can_charge(before) && can_charge(now));
}

}  // namespace

Driver::Driver(DriverPorts ports, std::shared_ptr<const io::Household> household, std::uint64_t seed,
               std::vector<control::WritesSoFar> writes, std::function<void(std::size_t)> changed)
    : ports_(std::move(ports)),
      household_(std::move(household)),
      seed_(seed),
      changed_(std::move(changed)),
      limiter_(
          std::make_unique<control::Limiter>(settings(), ports_.clock.now().boot, seed_, std::move(writes))),
      heard_(household_->site.site.points.size()),
      said_(heard_.size()),
      lost_(heard_.size()),
      look_again_(ports_.alarms.alarm([this] { decide(); })) {
    ports_.equipment.listen(this);
    ports_.meters.listen([this](const control::MeterSample& sample) { sampled(sample); });
}

Driver::~Driver() {
    ports_.equipment.listen(nullptr);
    ports_.meters.listen({});
}

control::LimiterSettings Driver::settings() const {
    const io::Household& house = *household_;
    control::LimiterSettings settings{.site = house.site.site,
                                      .unattended = house.unattended,
                                      .zone = house.zone,
                                      .unproven = house.site.clock.until_proven};
    for (std::size_t node = 0; node < house.site.site.nodes.size(); ++node) {
        settings.worst.push_back(house.worst[node].by_hour);
        settings.interval.push_back(ports_.meters.interval(node));
    }
    return settings;
}

void Driver::change(std::shared_ptr<const io::Household> household) {
    const auto before = std::exchange(household_, std::move(household));
    if (!limiter_->change(settings())) {
        std::vector<control::WritesSoFar> writes;
        for (const site::Point& point : household_->site.site.points) {
            const auto& known = before->site.site.points;
            const auto same = std::ranges::find(known, point.name, &site::Point::name);
            const auto place = static_cast<std::size_t>(same - known.begin());
            writes.push_back(same == known.end() ? control::WritesSoFar{} : limiter_->writes(place));
        }
        limiter_ =
            std::make_unique<control::Limiter>(settings(), ports_.clock.now().boot, seed_, std::move(writes));
        heard_.assign(household_->site.site.points.size(), {});
        said_.assign(heard_.size(), {});
        lost_.assign(heard_.size(), false);
    }
    decide();
}

void Driver::trust_wall(bool proven) {
    if (std::exchange(proven_, proven) != proven) decide();
}

void Driver::plan(std::size_t point, control::PointPlan plan) {
    limiter_->plan(point, std::move(plan));
    decide();
}

void Driver::hold(std::size_t point, std::optional<Instant> until) {
    limiter_->hold(point, until ? std::optional(control::Hold{until}) : std::nullopt);
    decide();
}

void Driver::sampled(const control::MeterSample& sample) {
    ever_heard_ = true;
    const Moment at = ports_.clock.now();
    if (proven_) {
        site::LegAmps amps = sample.amps;
        for (std::size_t leg = 0; leg < amps.size(); ++leg) {
            if (sample.direction[leg] == control::Direction::feeding) amps[leg] = Amps(0) - amps[leg];
        }
        ports_.minutes.sampled(sample.node, amps, at.wall);
    }
    limiter_->meter(sample);
    decide();
}

void Driver::link(std::size_t point, bool up) {
    const std::string& name = household_->site.site.points[point].name;
    if (up) {
        ports_.log.info(name + ": its link is up", name + " link up");
        if (lost_[point]) ports_.events.happened(name, "link-back", "its link is back");
        lost_[point] = false;
    } else {
        ports_.log.warning(name + ": its link is lost", name + " link lost");
        ports_.events.happened(name, "link-lost", "its link is lost");
        lost_[point] = true;
    }
    limiter_->link(point, up);
    decide();
}

void Driver::restarted(std::size_t point, BootTime at) {
    const std::string& name = household_->site.site.points[point].name;
    ports_.log.warning(name + ": its equipment started again");
    ports_.events.happened(name, "restarted", "its equipment started again");
    limiter_->rebooted(point, at);
    decide();
}

void Driver::reported(std::size_t point, const control::PointReport& report) {
    ever_heard_ = true;
    std::optional<control::PointReport>& heard = heard_[point];
    if (!heard) heard.emplace();
    const bool new_status = report.status && report.status != heard->status;
    const bool changed = report.status && (!heard->status || !same_to_a_plan(*heard->status, *report.status));
    heard->taken = report.taken;
    if (report.status) heard->status = report.status;
    if (report.offer) heard->offer = report.offer;
    if (report.current) heard->current = report.current;
    if (report.energy_register) heard->energy_register = report.energy_register;
    ports_.sessions.reported(point, report, {ports_.clock.now(), proven_});
    limiter_->report(point, report);
    decide();
    if (!new_status) return;
    if (*report.status == control::PointStatus::faulted) {
        const std::string& name = household_->site.site.points[point].name;
        ports_.log.error(name + ": its equipment reports a fault");
        ports_.events.happened(name, "fault", "its equipment reports a fault");
    }
    if (changed) changed_(point);
}

void Driver::answered(std::size_t point, std::uint64_t write, bool accepted) {
    const BootTime now = ports_.clock.now().boot;
    if (accepted) {
        limiter_->accepted(point, write, now);
    } else {
        const std::string& name = household_->site.site.points[point].name;
        ports_.log.warning(name + ": its equipment refused an offer", name + " refused");
        ports_.events.happened(name, "refused", "its equipment refused an offer");
        limiter_->refused(point, write, now);
    }
    decide();
}

void Driver::began(std::size_t point, const TransactionBegun& begun,
                   std::function<void(std::optional<std::int64_t>)> recorded) {
    ports_.sessions.began(point, begun, {ports_.clock.now(), proven_}, recorded);
    changed_(point);
}

void Driver::ended(std::size_t point, const TransactionEnded& ended) {
    ports_.sessions.ended(point, ended, {ports_.clock.now(), proven_});
    changed_(point);
}

void Driver::decide() {
    const Moment at = ports_.clock.now();
    // A clock that was set by years is no clock until the settings were read for that time.
    const Interval known = household_->zone.known();
    const bool wall = proven_ && known.contains(at.wall) && known.contains(at.wall + date::days{2});
    const Now now{.boot = at.boot, .wall = wall ? std::optional(at.wall) : std::nullopt};
    const auto& nodes = household_->site.site.nodes;
    for (std::size_t node = 0; node < nodes.size(); ++node)
        limiter_->ceiling(node, control::ceiling_now(nodes[node], household_->zone, now));
    decision_ = limiter_->decide(now);
    for (std::size_t point = 0; point < decision_->points.size(); ++point) {
        const control::PointDecision& decided = decision_->points[point];
        if (!decided.write) continue;
        ports_.equipment.offer(point, *decided.write);
        const site::Site& site = household_->site.site;
        ports_.events.counted(
            site.points[point].name, kOffered,
            fmt::format("{} A: {}", decided.setpoint.count(), reason_text(decided.reasons.front(), site)));
        say(point, decided);
    }
    look_again_->set(decision_->look_again);
}

void Driver::say(std::size_t point, const control::PointDecision& decided) {
    if (std::exchange(said_[point], decided.setpoint) == decided.setpoint) return;  // a lease renewed
    const site::Site& site = household_->site.site;
    ports_.log.info(fmt::format("{}: {} A: {}", site.points[point].name, decided.setpoint.count(),
                                reason_text(decided.reasons.front(), site)));
}

}  // namespace lullwatt::daemon
