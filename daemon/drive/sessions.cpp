#include "daemon/drive/sessions.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "io/zone/zone.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::daemon {
namespace {

using io::ledger::Stamp;

constexpr Seconds kQuarter{900};

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

struct Settled {
    io::ledger::SessionRow row;
    std::string line;  // for the log
};

// What the ledger has of a transaction, on the prices of its hours. Faults: what the ledger or the tariff
// lacks.
io::Read<Settled> settled(const io::Household& household, std::size_t point, io::ledger::Id transaction,
                          Interval plugged_in, const std::filesystem::path& ledger) {
    auto reader = io::ledger::Reader::open(ledger);
    if (!reader.ok()) return reader.faults();
    io::ledger::Reader open = std::move(reader).value();
    const auto stored = open.transaction(transaction);
    if (!stored.ok()) return stored.faults();
    if (!stored.value()) {
        return io::Faults{
            {ledger.string(), 0, 0, "", fmt::format("has no transaction {}", transaction), "", "", ""}};
    }
    const auto& site = household.site.site;
    const Watts full(
        site::watts_per_ampere(site.supply, site.leg_to_neutral, site.points[point].legs).count() *
        site.points[point].hard_setting.count());
    // A timer's start may lie a day ahead.
    const auto prices = io::prices(
        household, point, {plugged_in.begin, std::max(plugged_in.end, plugged_in.begin + date::days{2})});
    const auto curve = prices.ok() ? prices : io::prices(household, point, plugged_in);
    if (!curve.ok()) return curve.faults();
    account::Session session = account::settle(
        {.plugged_in = plugged_in, .readings = stored.value()->readings}, {.most = full}, curve.value());
    if (session.energy > WattHours(0)) {
        const account::FullCurrent charge{session.energy, full};
        session.at_once = account::cost_from(plugged_in.begin, charge, curve.value());
        session.plain_timer = account::cost_from(
            account::plain_timer_start(plugged_in.begin, {}, household.zone, curve.value()), charge,
            curve.value());
    }
    const auto zone_data = io::zone_data_version();
    const int digits = household.site.currency_digits;
    const auto money = [&](const std::optional<Money>& amount) {
        return amount ? tools::cost_text(ExactAmount(*amount), digits) : std::string("unknown");
    };
    std::string line = fmt::format(
        "{} at {}, {} to {}: {}, {} {} (at once {}, plain timer {})",
        stored.value()->car.empty() ? "a car" : stored.value()->car, site.points[point].name,
        tools::day_and_clock_text(household.zone, plugged_in.begin),
        tools::day_and_clock_text(household.zone, plugged_in.end), tools::energy_text(session.energy),
        money(session.cost()), household.site.currency, money(session.at_once), money(session.plain_timer));
    return Settled{{.transaction = transaction,
                    .session = std::move(session),
                    .currency = household.site.currency,
                    .currency_digits = digits,
                    .zone_data = zone_data.ok() ? zone_data.value() : ""},
                   std::move(line)};
}

}  // namespace

Sessions::Sessions(Ports ports, std::shared_ptr<const io::Household> household,
                   const std::vector<io::ledger::StoredTransaction>& open)
    : ports_(std::move(ports)),
      household_(std::move(household)),
      points_(household_->site.site.points.size()) {
    for (const auto& transaction : open) {
        const auto& points = household_->site.site.points;
        const auto found = std::ranges::find(points, transaction.point, &site::Point::name);
        if (found == points.end() || transaction.end || transaction.readings.empty()) continue;
        PointState& state = points_[static_cast<std::size_t>(found - points.begin())];
        state.open = Open{transaction.id, transaction.readings.front().value, transaction.begin.at};
        state.last = transaction.readings.back().value;
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
                     std::function<void(std::optional<std::int64_t>)> recorded) {
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
                      [this, alive = alive_, point, id = *open->id,
                       plugged_in = Interval{open->at, ended.at}](std::optional<io::ledger::Id> row) {
                          if (*alive && row) settle(point, id, plugged_in);
                      });
}

void Sessions::reported(std::size_t point, const control::PointReport& report, Instant at, bool proven) {
    PointState& state = points_[point];
    if (report.current) {
        for (const site::Leg leg : site::kLegs) {
            if (!household_->site.site.points[point].legs.has(leg)) continue;
            ports_.store.post(io::ledger::Sample{
                .point = name(point), .at = at, .leg = leg, .value = site::on(*report.current, leg)});
        }
    }
    if (!report.energy_register) return;
    state.last = report.energy_register;
    ports_.store.post(io::ledger::Sample{.point = name(point), .at = at, .value = *report.energy_register});
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

void Sessions::settle(std::size_t point, io::ledger::Id transaction, Interval plugged_in) {
    const auto work = [this, alive = alive_, &loop = ports_.loop, household = household_, point, transaction,
                       plugged_in, file = ports_.ledger](const std::stop_token&) {
        auto row =
            std::make_shared<io::Read<Settled>>(settled(*household, point, transaction, plugged_in, file));
        loop.post([this, alive, row] {
            if (!*alive) return;
            const Log log = ports_.log.of("session");
            if (!row->ok()) {
                for (const io::Fault& fault : row->faults()) log.error("not settled: " + io::text(fault));
                return;
            }
            log.notice(row->value().line);
            ports_.store.post(row->value().row);
        });
    };
    if (!ports_.worker.submit(work)) ports_.log.error("a session is not settled now: too much is waiting");
}

}  // namespace lullwatt::daemon
