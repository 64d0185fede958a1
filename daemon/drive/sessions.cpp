#include "daemon/drive/sessions.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "io/report/session_line.hpp"
#include "io/report/settle.hpp"

namespace lullwatt::daemon {
namespace {

using io::ledger::Stamp;

constexpr Seconds kQuarter{900};
constexpr Seconds kMinute{60};

// The car that a point serves; empty where several share its cable.
std::string car_at(const io::Household& household, std::size_t point) {
    std::string name;
    for (const auto& car : household.site.cars) {
        if (car.point != point) continue;
        if (!name.empty()) return {};
        name = car.car.name;
    }
    return name;
}

// What the ledger has of a transaction, on the prices of its hours. Faults: what the ledger or the tariff
// lacks.
io::Read<Sessions::Settled> settled(const io::Household& household, io::ledger::Id transaction,
                                    const std::filesystem::path& ledger) {
    auto reader = io::ledger::Reader::open(ledger);
    if (!reader.ok()) return reader.faults();
    io::ledger::Reader open = std::move(reader).value();
    const auto stored = open.transaction(transaction);
    if (!stored.ok()) return stored.faults();
    if (!stored.value()) {
        return io::Faults{
            {ledger.string(), 0, 0, "", fmt::format("has no transaction {}", transaction), "", "", ""}};
    }
    auto row = io::settle_session(household, *stored.value());
    if (!row.ok()) return row.faults();
    const io::ledger::StoredSession session{
        .row = row.value(), .point = stored.value()->point, .car = stored.value()->car};
    std::string line = io::session_line(session, household.zone);
    return Sessions::Settled{std::move(row).value(), std::move(line)};
}

}  // namespace

Sessions::Sessions(Ports ports, std::shared_ptr<const io::Household> household,
                   const std::vector<io::ledger::StoredTransaction>& open)
    : ports_(std::move(ports)),
      household_(std::move(household)),
      points_(household_->site.site.points.size()) {
    const auto& points = household_->site.site.points;
    for (const auto& transaction : open) {
        const auto found = std::ranges::find(points, transaction.point, &site::Point::name);
        if (transaction.end) {
            settle(transaction.id);  // the daemon died between a session's end and its settling
        } else if (found != points.end() && !transaction.readings.empty()) {
            PointState& state = points_[static_cast<std::size_t>(found - points.begin())];
            state.open = Open{transaction.id, transaction.readings.front().value, transaction.begin.at};
            state.last = transaction.readings.back().value;
        }
    }
}

void Sessions::change(std::shared_ptr<const io::Household> household) {
    const auto before = std::exchange(household_, std::move(household));
    std::vector<PointState> kept(household_->site.site.points.size());
    for (std::size_t point = 0; point < kept.size(); ++point) {
        const auto& old = before->site.site.points;
        const auto found = std::ranges::find(old, name(point), &site::Point::name);
        if (found != old.end()) kept[point] = points_[static_cast<std::size_t>(found - old.begin())];
    }
    points_ = std::move(kept);
}

const std::string& Sessions::name(std::size_t point) const {
    return household_->site.site.points[point].name;
}

std::optional<WattHours> Sessions::begun_at(std::size_t point) const {
    return points_[point].open ? std::optional(points_[point].open->begin) : std::nullopt;
}

std::optional<WattHours> Sessions::last_register(std::size_t point) const { return points_[point].last; }

void Sessions::began(std::size_t point, const TransactionBegun& begun, bool proven,
                     const std::function<void(std::optional<std::int64_t>)>& recorded) {
    PointState& state = points_[point];
    state.open = Open{{}, begun.energy_register, begun.at};
    state.last = begun.energy_register;
    ports_.store.post(io::ledger::TransactionStart{.when = {begun.at, proven},
                                                   .point = name(point),
                                                   .car = car_at(*household_, point),
                                                   .token = begun.token,
                                                   .value = begun.energy_register},
                      [this, alive = alive_, point, recorded](std::optional<io::ledger::Id> id) {
                          if (!*alive) return;
                          if (point < points_.size() && points_[point].open) points_[point].open->id = id;
                          if (!id) ports_.log.error(name(point) + ": a session begins and is not recorded");
                          if (recorded) recorded(id);
                      });
}

void Sessions::ended(std::size_t point, const TransactionEnded& ended, bool proven) {
    const auto open = std::exchange(points_[point].open, std::nullopt);
    points_[point].last = ended.energy_register;
    if (!open || !open->id) {
        ports_.log.error(name(point) + ": a session ends whose begin is not recorded");
        return;
    }
    ports_.store.post(io::ledger::TransactionStop{.transaction = *open->id,
                                                  .when = {ended.at, proven},
                                                  .value = ended.energy_register,
                                                  .reason = ended.reason},
                      [this, alive = alive_, id = *open->id](std::optional<io::ledger::Id> row) {
                          if (*alive && row) settle(id);
                      });
}

// What has not changed is sampled again once a minute: equipment that stands idle fills no disk.
void Sessions::sample(std::size_t point, const control::PointReport& report, Instant at) {
    PointState& state = points_[point];
    const bool due = !state.sampled_at || at < *state.sampled_at || at - *state.sampled_at >= kMinute;
    bool sampled = false;
    if (report.current && (due || state.sampled_current != report.current)) {
        for (const site::Leg leg : site::kLegs) {
            if (!household_->site.site.points[point].legs.has(leg)) continue;
            ports_.store.post(io::ledger::Sample{
                .point = name(point), .at = at, .leg = leg, .value = site::on(*report.current, leg)});
        }
        state.sampled_current = report.current;
        sampled = true;
    }
    if (report.energy_register && (due || state.sampled_register != report.energy_register)) {
        ports_.store.post(
            io::ledger::Sample{.point = name(point), .at = at, .value = *report.energy_register});
        state.sampled_register = report.energy_register;
        sampled = true;
    }
    if (sampled) state.sampled_at = at;
}

void Sessions::reported(std::size_t point, const control::PointReport& report, Instant at, bool proven) {
    sample(point, report, at);
    if (!report.energy_register) return;
    PointState& state = points_[point];
    state.last = report.energy_register;
    const Instant quarter = at - at.time_since_epoch() % kQuarter;
    if (!state.open || !state.open->id || state.quarter == quarter) return;
    if (state.quarter) {
        ports_.store.post(io::ledger::Reading{.point = name(point),
                                              .transaction = state.open->id,
                                              .when = {at, proven},
                                              .value = *report.energy_register,
                                              .mark = io::ledger::Mark::clock});
    }
    state.quarter = quarter;
}

void Sessions::settle(io::ledger::Id transaction) {
    const auto work = [this, alive = alive_, &loop = ports_.loop, household = household_, transaction,
                       file = ports_.ledger](const std::stop_token&) {
        const auto found = std::make_shared<io::Read<Settled>>(settled(*household, transaction, file));
        loop.post([this, alive, found] {
            if (*alive) keep(*found);
        });
    };
    if (!ports_.worker.submit(work)) {
        ports_.log.error("a session is settled at the next start only: too much is waiting for the planner");
    }
}

void Sessions::keep(const io::Read<Settled>& found) {
    const Log log = ports_.log.of("session");
    if (!found.ok()) {
        for (const io::Fault& fault : found.faults()) log.error("not settled: " + io::text(fault));
        return;
    }
    ports_.store.post(found.value().row, [log, line = found.value().line](std::optional<io::ledger::Id> row) {
        row ? log.notice(line) : log.error("not recorded: " + line);
    });
}

}  // namespace lullwatt::daemon
