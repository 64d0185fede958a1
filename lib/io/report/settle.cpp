#include "io/report/settle.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "io/zone/zone.hpp"

namespace lullwatt::io {
namespace {

std::optional<std::size_t> point_named(const site::Site& site, const std::string& name) {
    const auto found = std::ranges::find(site.points, name, &site::Point::name);
    if (found == site.points.end()) return std::nullopt;
    return static_cast<std::size_t>(found - site.points.begin());
}

// What point and car take together at most; of a car nobody knows, all that the point may.
Watts full_power(const SiteFile& site, const site::Point& point, const std::string& car) {
    WholeAmps most = point.hard_setting;
    site::Legs legs = point.legs;
    for (const CarSettings& known : site.cars) {
        if (known.car.name != car) continue;
        most = std::min(most, known.car.most);
        legs = site::used_legs(site.site.supply, site.site.leg_to_neutral, point.legs, known.car.legs);
    }
    return most.count() * site::watts_per_ampere(site.site.supply, site.site.leg_to_neutral, legs);
}

void compare(account::Session& session, const Household& household, std::size_t point, Watts power) {
    const account::FullCurrent charge{session.energy, power};
    const Seconds charging{
        static_cast<std::int64_t>(static_cast<double>(session.energy.count()) * 3600 / power.count()) + 60};
    const Instant begin = session.plugged_in.begin;
    const Interval span{begin, begin + date::days{2} + charging};
    if (household.zone.known().end < span.end) return;
    const auto curve = prices(household, point, span);
    if (!curve.ok()) return;  // the prices end here: no comparison, rather than a guessed one
    session.at_once = account::cost_from(begin, charge, curve.value());
    session.plain_timer =
        account::cost_from(account::plain_timer_start(begin, std::nullopt, household.zone, curve.value()),
                           charge, curve.value());
}

}  // namespace

Read<ledger::SessionRow> settle_session(const Household& household,
                                        const ledger::StoredTransaction& transaction) {
    const site::Site& site = household.site.site;
    const auto index = point_named(site, transaction.point);
    if (!index) {
        return Faults{{household.site.file.string(), 0, 0, "points",
                       fmt::format("have none called '{}', where transaction {} was", transaction.point,
                                   transaction.id),
                       "", "the points that sessions were at", "give the point its name back"}};
    }
    const site::Point& point = site.points[*index];
    Instant end = transaction.end ? transaction.end->at : transaction.begin.at;
    if (!transaction.end && !transaction.readings.empty()) end = transaction.readings.back().at;
    const Interval plugged_in{transaction.begin.at, std::max(end, transaction.begin.at + Seconds{1})};
    if (plugged_in.begin < household.zone.known().begin || household.zone.known().end < plugged_in.end) {
        return Faults{{household.site.file.string(), 0, 0, "site.zone",
                       fmt::format("is not known at the time of transaction {}", transaction.id), "",
                       "times within two years of now", "check the equipment's clock"}};
    }
    const auto curve = prices(household, *index, plugged_in);
    if (!curve.ok()) return curve.faults();
    const account::RegisterRules rules{
        .most =
            point.hard_setting.count() * site::watts_per_ampere(site.supply, site.leg_to_neutral, point.legs),
        .resolution = account::shown_resolution(transaction.readings)};
    ledger::SessionRow row{.transaction = transaction.id,
                           .currency = household.site.currency,
                           .currency_digits = household.site.currency_digits};
    row.session = account::settle(
        {plugged_in, transaction.readings,
         transaction.end ? account::Evidence::register_by_transaction : account::Evidence::register_by_clock},
        rules, curve.value());
    const Watts power = full_power(household.site, point, transaction.car);
    if (row.session.energy > WattHours(0) && power > Watts(0)) compare(row.session, household, *index, power);
    const auto zone_data = zone_data_version();
    row.zone_data = zone_data.ok() ? zone_data.value() : "";
    return row;
}

}  // namespace lullwatt::io
