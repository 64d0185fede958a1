#include "io/report/session_line.hpp"

#include <array>

#include <date/date.h>
#include <fmt/format.h>

#include "io/fault/printable.hpp"

namespace lullwatt::io {
namespace {

constexpr std::size_t kLongestName = 60;

std::string time_text(const Zone& zone, Instant at) {
    if (!zone.known().contains(at)) return date::format("%F %RZ", at);
    return date::format("%F %R", date::floor<std::chrono::minutes>(zone.civil(at)));
}

std::string kwh(WattHours energy) { return decimal_text(energy.count(), 3); }

// "night 18.1, day 0.5": by price, in the order they came.
std::string by_price(const account::Session& session) {
    std::vector<std::pair<std::string, WattHours>> sums;
    for (const account::CostPart& part : session.parts) {
        auto known = sums.begin();
        while (known != sums.end() && known->first != part.price) ++known;
        if (known == sums.end()) known = sums.insert(sums.end(), {part.price, WattHours(0)});
        known->second += part.energy;
    }
    std::string text;
    for (const auto& [price, energy] : sums)
        text += fmt::format("{}{} {}", text.empty() ? "" : ", ", printable(price, kLongestName), kwh(energy));
    return text;
}

}  // namespace

std::string evidence_text(account::Evidence evidence) {
    constexpr std::array kWords = {"register by transaction", "register by clock", "sub-meter",
                                   "step in the house meter", "typed"};
    return kWords.at(static_cast<std::size_t>(evidence));
}

std::vector<std::string> session_doubts(const ledger::StoredSession& stored) {
    const account::Session& session = stored.row.session;
    std::vector<std::string> doubts;
    if (session.uncertain >= kWorthAWord)
        doubts.push_back(fmt::format("up to {} kWh may lie at the other price", kwh(session.uncertain)));
    if (session.resets + session.breaks > 0)
        doubts.push_back(fmt::format("the register broke off: up to {} kWh more", kwh(session.uncounted)));
    if (session.rollovers > 0) doubts.emplace_back("the register ran full and counted on");
    if (session.dropped > 0)
        doubts.push_back(fmt::format("{} {} left out as impossible", session.dropped,
                                     session.dropped == 1 ? "reading was" : "readings were"));
    if (!stored.clock_proven) doubts.emplace_back("the clock was not proven then");
    return doubts;
}

std::string session_line(const ledger::StoredSession& stored, const Zone& zone) {
    const account::Session& session = stored.row.session;
    const int digits = stored.row.currency_digits;
    std::string line =
        fmt::format("Session {}: {}", stored.row.transaction, printable(stored.point, kLongestName));
    if (!stored.car.empty()) line += ", " + printable(stored.car, kLongestName);
    line += fmt::format(", {} to {}, {} kWh", time_text(zone, session.plugged_in.begin),
                        time_text(zone, session.plugged_in.end), kwh(session.energy));
    if (!session.parts.empty()) line += fmt::format(" ({})", by_price(session));
    line += fmt::format(", {} {}", money_text(session.cost(), digits), printable(stored.row.currency, 8));
    if (session.at_once && session.plain_timer) {
        line += fmt::format("; at once {}, plain timer {}", money_text(*session.at_once, digits),
                            money_text(*session.plain_timer, digits));
    }
    line += "; " + evidence_text(session.evidence);
    for (const std::string& doubt : session_doubts(stored)) line += "; " + doubt;
    return line + ".";
}

}  // namespace lullwatt::io
