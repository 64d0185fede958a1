#include <algorithm>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "io/report/session_line.hpp"
#include "tools/lullwatt/ledger_text.hpp"
#include "tools/lullwatt/ledger_words.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

using account::Month;
using account::SessionShare;
using io::MonthReport;

std::string month_name(const Month& month, const Zone& zone) {
    return zone.known().contains(month.when.begin) ? date::format("%B %Y", zone.civil(month.when.begin))
                                                   : date::format("%B %Y", month.when.begin);
}

std::string signed_text(Money amount, int digits) {
    return (amount >= Money(0) ? "+" : "") + money_text(amount, digits);
}

// "At once at full current: 12.10 (+7.02). By a plain timer: 5.13 (+0.05). As charged, …"
std::string comparison(const Month& month, const ReportWords& words) {
    if (month.energy == WattHours(0) || month.uncompared == month.energy) return "";
    std::string text = fmt::format(
        "At once at full current: {} ({}). By a plain timer: {} ({}). As charged, by the hour's price: {}.\n",
        money_text(month.at_once, words.digits), signed_text(month.at_once - month.compared, words.digits),
        money_text(month.plain_timer, words.digits),
        signed_text(month.plain_timer - month.compared, words.digits),
        money_text(month.compared, words.digits));
    if (month.uncompared > WattHours(0))
        text += fmt::format("{} kWh are not in that comparison: no prices reach far enough.\n",
                            kwh_text(month.uncompared));
    return text;
}

std::vector<std::string> notes_of(const MonthReport& report) {
    std::vector<std::string> notes;
    if (report.provisional) notes.emplace_back("PROVISIONAL: the month is not over.");
    if (report.month.assumed) notes.emplace_back("Some prices are assumed, for none are announced.");
    if (report.month.uncertain >= io::kWorthAWord)
        notes.push_back(
            fmt::format("Up to {} kWh may lie at another price: no reading lies where it changed.",
                        kwh_text(report.month.uncertain)));
    if (report.cars_alone)
        notes.emplace_back(
            "Blocks, demand and minimums are reckoned for the cars alone: the ledger has no whole month of "
            "the house's use.");
    if (report.house_from_amperes)
        notes.emplace_back(
            "The house's own use, on which blocks and demand depend, is reckoned from amperes at the nominal "
            "voltage.");
    if (report.unsettled > 0)
        notes.push_back(fmt::format(
            "{} not in it: still plugged in, or not settled yet.",
            report.unsettled == 1 ? "1 session is" : fmt::format("{} sessions are", report.unsettled)));
    if (report.elsewhere > 0)
        notes.push_back(fmt::format(
            "{} at points the site file has no more, at the price of the hour.",
            report.elsewhere == 1 ? "1 session was" : fmt::format("{} sessions were", report.elsewhere)));
    if (report.between > WattHours(0))
        notes.push_back(
            fmt::format("{} kWh more went past the registers between sessions.", kwh_text(report.between)));
    return notes;
}

std::string prices_table(const Month& month, const ReportWords& words) {
    std::size_t width = 36;
    for (const account::PriceTotal& price : month.prices)
        width = std::max(width, shown_name(price.price).size());
    std::string text = fmt::format("  {:<{}}  {:>9}  {:>9}\n", "price", width, "kWh", "cost");
    for (const account::PriceTotal& price : month.prices)
        text += fmt::format("  {:<{}}  {:>9}  {:>9}\n", shown_name(price.price), width,
                            kwh_text(price.energy), money_text(price.cost, words.digits));
    if (month.beyond != Money(0))
        text += fmt::format("  {:<{}}  {:>9}  {:>9}\n", "blocks, demand and rounding of the bill", width, "",
                            amount_text(month.beyond, words.digits));
    return text + fmt::format("  {:<{}}  {:>9}  {:>9}\n", "the cars' part of the bill", width,
                              kwh_text(month.energy), amount_text(month.total, words.digits));
}

std::string sessions_table(const MonthReport& report, const ReportWords& words) {
    std::string text = fmt::format("\n  {:>7}  {:<16}  {:<14}  {:<10}  {:>9}  {:>9}\n", "session",
                                   "plugged in", "point", "car", "kWh", "cost");
    for (const SessionShare& share : report.month.sessions) {
        const auto& stored = report.sessions[share.session];
        const bool part = share.energy != stored.row.session.energy;
        text +=
            fmt::format("  {:>7}  {:<16}  {:<14}  {:<10}  {:>9}  {:>9}{}\n", stored.row.transaction,
                        label_text(words.zone, stored.row.session.plugged_in.begin), shown_name(stored.point),
                        stored.car.empty() ? "-" : shown_name(stored.car), kwh_text(share.energy),
                        amount_text(share.cost, words.digits), part ? "  its part in this month" : "");
    }
    return text;
}

}  // namespace

std::string report_text(const MonthReport& report, const ReportWords& words) {
    const Month& month = report.month;
    const std::size_t count = month.sessions.size();
    std::string text =
        fmt::format("{}, {}: {} {}, {} kWh, {} {}\n\n", words.site, month_name(month, words.zone), count,
                    count == 1 ? "session" : "sessions", kwh_text(month.energy),
                    amount_text(month.total, words.digits), words.currency);
    if (count > 0) text += prices_table(month, words) + sessions_table(report, words) + "\n";
    text += comparison(month, words);
    for (const std::string& note : notes_of(report)) text += note + "\n";
    return text + fmt::format("Head of the ledger's chain: {}\n", io::ledger::text(report.head));
}

std::string report_json(const MonthReport& report, const ReportWords& words) {
    const Month& month = report.month;
    nlohmann::ordered_json prices = nlohmann::ordered_json::array();
    for (const account::PriceTotal& price : month.prices) {
        prices.push_back({{"price", shown_name(price.price)},
                          {"kwh", kwh_text(price.energy)},
                          {"cost", money_text(price.cost, words.digits)}});
    }
    nlohmann::ordered_json sessions = nlohmann::ordered_json::array();
    for (const SessionShare& share : month.sessions) {
        const auto& stored = report.sessions[share.session];
        nlohmann::ordered_json one{
            {"number", stored.row.transaction},
            {"point", shown_name(stored.point)},
            {"car", shown_name(stored.car)},
            {"plugged_in", instant_text(words.zone, stored.row.session.plugged_in.begin)},
            {"kwh", kwh_text(share.energy)},
            {"cost", amount_text(share.cost, words.digits)}};
        if (share.compared) {
            one["at_once"] = money_text(share.at_once, words.digits);
            one["plain_timer"] = money_text(share.plain_timer, words.digits);
        }
        sessions.push_back(std::move(one));
    }
    return nlohmann::ordered_json{{"site", shown_name(words.site)},
                                  {"from", instant_text(words.zone, month.when.begin)},
                                  {"to", instant_text(words.zone, month.when.end)},
                                  {"currency", words.currency},
                                  {"kwh", kwh_text(month.energy)},
                                  {"uncertain_kwh", kwh_text(month.uncertain)},
                                  {"cost", amount_text(month.total, words.digits)},
                                  {"prices", prices},
                                  {"beyond_prices", amount_text(month.beyond, words.digits)},
                                  {"compared", money_text(month.compared, words.digits)},
                                  {"at_once", money_text(month.at_once, words.digits)},
                                  {"plain_timer", money_text(month.plain_timer, words.digits)},
                                  {"uncompared_kwh", kwh_text(month.uncompared)},
                                  {"sessions", sessions},
                                  {"between_sessions_kwh", kwh_text(report.between)},
                                  {"unsettled", report.unsettled},
                                  {"provisional", report.provisional},
                                  {"notes", notes_of(report)},
                                  {"head", io::ledger::text(report.head)}}
        .dump(2);
}

std::string report_csv(const MonthReport& report, const ReportWords& words) {
    const Month& month = report.month;
    std::string text = "kind,name,kwh,cost,at_once,plain_timer\n";
    for (const account::PriceTotal& price : month.prices)
        text += fmt::format("price,{},{},{},,\n", csv_text(price.price), kwh_text(price.energy),
                            money_text(price.cost, words.digits));
    text += fmt::format("beyond,,,{},,\n", amount_text(month.beyond, words.digits));
    for (const SessionShare& share : month.sessions) {
        text += fmt::format("session,{},{},{},{},{}\n", report.sessions[share.session].row.transaction,
                            kwh_text(share.energy), amount_text(share.cost, words.digits),
                            share.compared ? money_text(share.at_once, words.digits) : "",
                            share.compared ? money_text(share.plain_timer, words.digits) : "");
    }
    return text + fmt::format("total,{},{},{},{},{}\nhead,{},,,,\n",
                              date::format("%Y-%m", words.zone.civil(month.when.begin)),
                              kwh_text(month.energy), amount_text(month.total, words.digits),
                              money_text(month.at_once, words.digits),
                              money_text(month.plain_timer, words.digits), io::ledger::text(report.head));
}

}  // namespace lullwatt::tools
