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
            if (state.open) settle(*state.open->id);  // another began since
            state.open = std::make_shared<Open>(Open{transaction.id, transaction.readings.front().value,
                                                     transaction.begin.at, transaction.begin});
            state.last = transaction.readings.back().value;
            state.time.told_before(transaction.readings.back().at);
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
    for (const io::ledger::Id transaction : std::exchange(unsettled_, {})) settle(transaction);
}

const std::string& Sessions::name(std::size_t point) const {
    return household_->site.site.points[point].name;
}

std::optional<WattHours> Sessions::begun_at(std::size_t point) const {
    return points_[point].open ? std::optional(points_[point].open->begin) : std::nullopt;
}

std::optional<WattHours> Sessions::last_register(std::size_t point) const { return points_[point].last; }

void Sessions::began(std::size_t point, const TransactionBegun& begun, const Told& told,
                     const std::function<void(std::optional<std::int64_t>)>& recorded) {
    PointState& state = points_[point];
    // Equipment that missed our answer says it again.
    const bool again =
        state.open && state.open->begin == begun.energy_register && state.open->told == begun.at;
    if (!again) {
        if (state.open && state.open->id) end_untold(point, told.proven);
        state.time.begin(told.at);
        state.open = std::make_shared<Open>(Open{.begin = begun.energy_register,
                                                 .told = begun.at,
                                                 .when = state.time.stamp(begun.at, told.at, told.proven)});
        state.last = begun.energy_register;
    }
    ports_.store.post(io::ledger::TransactionStart{.when = state.open->when,
                                                   .point = name(point),
                                                   .car = car_at(*household_, point),
                                                   .token = begun.token,
                                                   .value = begun.energy_register},
                      [this, alive = alive_, name = name(point), open = state.open,
                       recorded](std::optional<io::ledger::Id> id) {
                          if (!*alive) return;
                          began_recorded(name, *open, id);
                          if (recorded) recorded(id);
                      });
}

// The register's last word stands for its end.
void Sessions::end_untold(std::size_t point, bool proven) {
    const PointState& state = points_[point];
    ports_.log.warning(name(point) + ": a session begins, and nobody told the end of the one before");
    const io::ledger::Id id = *state.open->id;
    ports_.store.post(io::ledger::Reading{.point = name(point),
                                          .transaction = id,
                                          .when = {state.time.latest().value_or(state.open->when.at), proven},
                                          .value = state.last.value_or(state.open->begin),
                                          .mark = io::ledger::Mark::end},
                      [this, alive = alive_, id](std::optional<io::ledger::Id>) {
                          if (*alive) settle(id);
                      });
}

void Sessions::began_recorded(const std::string& name, Open& open, std::optional<io::ledger::Id> id) {
    if (open.id) return;  // said again
    open.id = id;
    open.refused = !id;
    if (!id) {
        ports_.log.error(name + ": a session begins and is not recorded");
    } else if (open.ended) {
        open.ended->transaction = *id;
        stop(*open.ended);
    }
}

void Sessions::ended(std::size_t point, const TransactionEnded& ended, const Told& told) {
    PointState& state = points_[point];
    const auto open = std::exchange(state.open, nullptr);
    state.last = ended.energy_register;
    if (!open || open->refused) {
        ports_.log.error(name(point) + ": a session ends whose begin is not recorded");
        return;
    }
    const io::ledger::TransactionStop row{.transaction = open->id.value_or(0),
                                          .when = state.time.stamp(ended.at, told.at, told.proven),
                                          .value = ended.energy_register,
                                          .reason = ended.reason};
    if (open->id) {
        stop(row);
    } else {
        open->ended = row;  // recorded with its begin, once there is room on the disk
    }
}

void Sessions::stop(const io::ledger::TransactionStop& stop) {
    ports_.store.post(stop, [this, alive = alive_, id = stop.transaction](std::optional<io::ledger::Id> row) {
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

void Sessions::reported(std::size_t point, const control::PointReport& report, const Told& told) {
    PointState& state = points_[point];
    const Stamp when = state.open ? state.time.stamp(told.at.wall, told.at, told.proven)
                                  : Stamp{state.time.idle(told.at), told.proven};
    sample(point, report, when.at);
    if (!report.energy_register) return;
    state.last = report.energy_register;
    const Instant quarter = when.at - when.at.time_since_epoch() % kQuarter;
    if (!state.open || !state.open->id || state.quarter == quarter) return;
    if (state.quarter) {
        ports_.store.post(io::ledger::Reading{.point = name(point),
                                              .transaction = state.open->id,
                                              .when = when,
                                              .value = *report.energy_register,
                                              .mark = io::ledger::Mark::clock});
    }
    state.quarter = quarter;
}

void Sessions::settle(io::ledger::Id transaction) {
    const auto work = [this, alive = alive_, &loop = ports_.loop, household = household_, transaction,
                       file = ports_.ledger](const std::stop_token&) {
        const auto found = std::make_shared<io::Read<Settled>>(settled(*household, transaction, file));
        loop.post([this, alive, transaction, found] {
            if (*alive) keep(transaction, *found);
        });
    };
    if (!ports_.worker.submit(work)) {
        unsettled_.push_back(transaction);
        ports_.log.error("a session is settled later: too much is waiting for the planner");
    }
}

void Sessions::keep(io::ledger::Id transaction, const io::Read<Settled>& found) {
    const Log log = ports_.log.of("session");
    if (!found.ok()) {
        unsettled_.push_back(transaction);
        for (const io::Fault& fault : found.faults()) log.error("not settled: " + io::text(fault));
        return;
    }
    ports_.store.post(found.value().row, [log, line = found.value().line](std::optional<io::ledger::Id> row) {
        row ? log.notice(line) : log.error("not recorded: " + line);
    });
}

}  // namespace lullwatt::daemon
