#include "io/report/month_report.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include "core/account/use.hpp"
#include "core/tariff/left_out.hpp"

namespace lullwatt::io {
namespace {

using account::CarsPart;
using account::DateSpan;

using EnergySerieses = std::vector<EnergySeries>;

// For each session, which contracts bill it; none where the site has its point no more.
std::vector<std::vector<std::size_t>> contracts_of(const std::vector<ledger::StoredSession>& sessions,
                                                   const Household& household) {
    const site::Site& site = household.site.site;
    std::vector<std::vector<std::size_t>> contracts;
    for (const ledger::StoredSession& session : sessions) {
        const auto point = std::ranges::find(site.points, session.point, &site::Point::name);
        contracts.push_back(point == site.points.end() ? std::vector<std::size_t>{}
                                                       : supplies_at(household, point->circuit));
    }
    return contracts;
}

struct HouseUse {
    EnergySeries energy;
    bool from_amperes = false;  // at the nominal voltage: apparent energy, no less than what is billed
};

// A meter's minutes as energy, legs added up. A meter that tells watts is believed before amperes.
HouseUse house_use(const std::vector<ledger::Minute>& minutes, Volts leg_to_neutral) {
    constexpr Seconds kMinute{60};
    const bool watts = std::ranges::any_of(minutes, [](const ledger::Minute& minute) {
        return std::holds_alternative<ledger::Spread<Watts>>(minute.load);
    });
    std::map<Instant, double> sums;  // W
    for (const ledger::Minute& minute : minutes) {
        if (const auto* power = std::get_if<ledger::Spread<Watts>>(&minute.load)) {
            sums[minute.begin] += power->mean.count();
        } else if (!watts) {
            sums[minute.begin] +=
                std::get<ledger::Spread<Amps>>(minute.load).mean.count() * leg_to_neutral.count();
        }
    }
    HouseUse use{.energy = {}, .from_amperes = !watts && !sums.empty()};
    for (const auto& [begin, power] : sums)
        use.energy.push_back({{begin, begin + kMinute}, MilliwattHours(std::llround(power * 1000 / 60))});
    return use;
}

// Whether the meter recorded while the cars charged; a minute at either end of a reading may be another's.
bool covers(const EnergySeries& house, const EnergySerieses& cars) {
    const auto recorded = [&](const EnergyReading& reading) {
        const auto begin = [](const EnergyReading& minute) { return minute.when.begin; };
        const auto from = std::ranges::lower_bound(house, reading.when.begin, {}, begin);
        const auto to = std::ranges::lower_bound(house, reading.when.end, {}, begin);
        return (to - from + 1) * Seconds{60} >= reading.when.length();
    };
    return !house.empty() && std::ranges::all_of(cars, [&](const EnergySeries& series) {
        return std::ranges::all_of(series, recorded);
    });
}

// Whether what the cars add to a bill depends on what else was used.
bool depends_on_the_rest(const Supply& supply, Interval when) {
    const auto left_out = tariff::left_out(supply.tariff, supply.clock, when);
    return left_out.blocks || left_out.demand ||
           std::ranges::any_of(supply.tariff.revisions,
                               [](const tariff::Revision& revision) { return !revision.minimums.empty(); });
}

struct Billed {
    CarsPart part;
    bool cars_alone = false;
    bool from_amperes = false;
};

Read<Billed> billed_by(const Supply& supply, DateSpan days, Interval when, const EnergySerieses& cars,
                       ledger::Reader& reader, const site::Site& site) {
    const auto part = [&](const EnergySeries& taken) {
        return account::cars_part(supply.tariff, supply.clock, days, {taken, {}}, cars, supply.contract.terms,
                                  {});
    };
    auto alone = part(account::sum_of(cars));
    if (const auto* refusal = std::get_if<account::Refusal>(&alone))
        return Faults{{supply.contract.tariff.string(), 0, 0, "", refusal->what, "", "", refusal->mend}};
    if (!depends_on_the_rest(supply, when)) return Billed{std::get<CarsPart>(std::move(alone))};
    const auto minutes = reader.minutes(site.nodes[supply.contract.node].name, when);
    if (!minutes.ok()) return minutes.faults();
    const HouseUse house = house_use(minutes.value(), site.leg_to_neutral);
    const auto with_house = part(house.energy);
    const auto* whole = std::get_if<CarsPart>(&with_house);
    // A meter that missed some of the cars is no measure of the rest.
    if (covers(house.energy, cars) && whole != nullptr && whole->missing == MilliwattHours(0))
        return Billed{*whole, false, house.from_amperes};
    return Billed{std::get<CarsPart>(std::move(alone)), true};
}

// Sessions at points that are gone: their cost is that of their hours.
CarsPart at_hourly_prices(const std::vector<account::Session>& sessions,
                          const std::vector<std::vector<std::size_t>>& contracts, Interval when) {
    CarsPart part;
    for (std::size_t i = 0; i < sessions.size(); ++i) {
        const bool gone = contracts[i].empty();
        const Money cost =
            gone ? rounded(account::cost_of(account::within(sessions[i].parts, when)), 6) : Money(0);
        part.sessions.push_back(cost);
        part.whole += cost;
    }
    return part;
}

Read<WattHours> energy_between(ledger::Reader& reader, const std::vector<ledger::StoredSession>& sessions) {
    std::map<std::string, std::vector<std::vector<account::RegisterReading>>> by_point;
    for (const ledger::StoredSession& session : sessions) {
        auto transaction = reader.transaction(session.row.transaction);
        if (!transaction.ok()) return transaction.faults();
        if (transaction.value()) by_point[session.point].push_back(transaction.value()->readings);
    }
    WattHours sum{0};
    for (const auto& [point, readings] : by_point) sum += account::between_sessions(readings);
    return sum;
}

}  // namespace

Read<MonthReport> month_report(ledger::Reader& reader, const Household& household, date::year_month month,
                               Instant now) {
    const Supply& first = household.supplies.front();
    const DateSpan days{month / 1, (month + date::months{1}) / 1};
    const Interval known = first.clock.known();
    if (Instant{date::sys_days{days.from}} < known.begin + date::days{2} ||
        known.end - date::days{2} < Instant{date::sys_days{days.to}}) {
        return Faults{{household.site.file.string(), 0, 0, "site.zone", "is not known so far from now", "",
                       "months within two years of now", "ask about a nearer month"}};
    }
    MonthReport report;
    const Interval when = account::instants_of(first.tariff, first.clock, days);
    auto stored = reader.sessions(when);
    if (!stored.ok()) return stored.faults();
    report.sessions = std::move(stored).value();
    std::vector<account::Session> sessions;
    for (const ledger::StoredSession& session : report.sessions) sessions.push_back(session.row.session);

    const auto contracts = contracts_of(report.sessions, household);
    std::vector<CarsPart> billed = {at_hourly_prices(sessions, contracts, when)};
    for (const auto& of_session : contracts) report.elsewhere += of_session.empty() ? 1 : 0;
    for (std::size_t supply = 0; supply < household.supplies.size(); ++supply) {
        EnergySerieses cars;
        bool any = false;
        for (std::size_t i = 0; i < sessions.size(); ++i) {
            const bool its = std::ranges::find(contracts[i], supply) != contracts[i].end();
            cars.push_back(its ? account::series_of(sessions[i].parts) : EnergySeries{});
            any = any || its;
        }
        if (!any) continue;
        const Supply& by = household.supplies[supply];
        auto part = billed_by(by, days, when, cars, reader, household.site.site);
        if (!part.ok()) return part.faults();
        report.cars_alone = report.cars_alone || part.value().cars_alone;
        report.house_from_amperes = report.house_from_amperes || part.value().from_amperes;
        billed.push_back(part.value().part);
    }
    report.month = account::month_of(when, sessions, billed, household.site.currency_digits);

    auto head = reader.head();
    auto unsettled = reader.unsettled();
    auto between = energy_between(reader, report.sessions);
    for (const Faults* faults :
         {head.ok() ? nullptr : &head.faults(), unsettled.ok() ? nullptr : &unsettled.faults(),
          between.ok() ? nullptr : &between.faults()}) {
        if (faults != nullptr) return *faults;
    }
    report.head = head.value();
    report.between = between.value();
    for (const auto& transaction : unsettled.value())
        report.unsettled += when.contains(transaction.begin.at) ? 1 : 0;
    report.provisional = now < when.end;
    return report;
}

}  // namespace lullwatt::io
