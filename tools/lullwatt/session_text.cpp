#include <algorithm>

#include <date/date.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "io/fault/printable.hpp"
#include "io/report/session_line.hpp"
#include "tools/lullwatt/ledger_text.hpp"
#include "tools/lullwatt/ledger_words.hpp"

namespace lullwatt::tools {
namespace {

using io::ledger::StoredSession;

std::string money_or_blank(const std::optional<Money>& money, int digits) {
    return money ? money_text(*money, digits) : "-";
}

// Neighbouring parts at one price together.
std::vector<account::CostPart> lines_of(const account::Session& session) {
    std::vector<account::CostPart> lines;
    for (const account::CostPart& part : session.parts) {
        const bool same = !lines.empty() && lines.back().price == part.price &&
                          lines.back().marginal == part.marginal && lines.back().when.end == part.when.begin;
        if (!same) {
            lines.push_back(part);
            continue;
        }
        lines.back().when.end = part.when.end;
        lines.back().energy += part.energy;
        lines.back().uncertain += part.uncertain;
    }
    return lines;
}

// The lines' amounts in the minor unit, summing to the session's.
std::vector<Money> amounts_of(const std::vector<account::CostPart>& lines, const StoredSession& stored) {
    std::vector<ExactAmount> exact;
    for (const account::CostPart& line : lines) exact.push_back(line.cost());
    const int digits = stored.row.currency_digits;
    std::int64_t unit = 1;
    for (int digit = digits; digit < 6; ++digit) unit *= 10;
    return account::shared_out(rounded(account::cost_of(stored.row.session.parts), digits), exact,
                               Money(unit));
}

nlohmann::ordered_json json_of(const StoredSession& stored, const Zone& zone) {
    const account::Session& session = stored.row.session;
    const int digits = stored.row.currency_digits;
    nlohmann::ordered_json json{{"number", stored.row.transaction},
                                {"point", shown_name(stored.point)},
                                {"car", shown_name(stored.car)},
                                {"plugged_in", instant_text(zone, session.plugged_in.begin)},
                                {"unplugged", instant_text(zone, session.plugged_in.end)},
                                {"kwh", kwh_text(session.energy)},
                                {"uncertain_kwh", kwh_text(session.uncertain)},
                                {"currency", shown_name(stored.row.currency)},
                                {"cost", money_text(session.cost(), digits)}};
    if (session.at_once) json["at_once"] = money_text(*session.at_once, digits);
    if (session.plain_timer) json["plain_timer"] = money_text(*session.plain_timer, digits);
    json["evidence"] = io::evidence_text(session.evidence);
    json["doubts"] = io::session_doubts(stored);
    return json;
}

}  // namespace

std::string sessions_text(const Sessions& sessions, const Zone& zone, const std::string& asked) {
    if (sessions.empty()) return fmt::format("No session {}.\n", asked);
    std::size_t width = 5;
    for (const StoredSession& stored : sessions) width = std::max(width, shown_name(stored.point).size());
    std::string text =
        fmt::format("{:>6}  {:<16}  {:<16}  {:<{}}  {:<10}  {:>7}  {:>8}  {:>8}  {:>8}\n", "number",
                    "plugged in", "unplugged", "point", width, "car", "kWh", "cost", "at once", "timer");
    for (const StoredSession& stored : sessions) {
        const account::Session& session = stored.row.session;
        const int digits = stored.row.currency_digits;
        text += fmt::format("{:>6}  {:<16}  {:<16}  {:<{}}  {:<10}  {:>7}  {:>8}  {:>8}  {:>8}{}\n",
                            stored.row.transaction, label_text(zone, session.plugged_in.begin),
                            label_text(zone, session.plugged_in.end), shown_name(stored.point), width,
                            stored.car.empty() ? "-" : shown_name(stored.car), kwh_text(session.energy),
                            money_text(session.cost(), digits), money_or_blank(session.at_once, digits),
                            money_or_blank(session.plain_timer, digits),
                            io::session_doubts(stored).empty() ? "" : "  (see show)");
    }
    return text + "One with its cost lines: lullwatt sessions show NUMBER.\n";
}

std::string sessions_json(const Sessions& sessions, const Zone& zone) {
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const StoredSession& stored : sessions) list.push_back(json_of(stored, zone));
    return nlohmann::ordered_json{{"sessions", list}}.dump(2);
}

std::string sessions_csv(const Sessions& sessions, const Zone& zone) {
    std::string text =
        "number,point,car,plugged_in,unplugged,kwh,uncertain_kwh,currency,cost,at_once,plain_timer,"
        "evidence\n";
    for (const StoredSession& stored : sessions) {
        const account::Session& session = stored.row.session;
        const int digits = stored.row.currency_digits;
        const auto money = [&](const std::optional<Money>& amount) {
            return amount ? money_text(*amount, digits) : std::string{};
        };
        text += fmt::format(
            "{},{},{},{},{},{},{},{},{},{},{},{}\n", stored.row.transaction, csv_text(stored.point),
            csv_text(stored.car), instant_text(zone, session.plugged_in.begin),
            instant_text(zone, session.plugged_in.end), kwh_text(session.energy), kwh_text(session.uncertain),
            csv_text(stored.row.currency), money_text(session.cost(), digits), money(session.at_once),
            money(session.plain_timer), io::evidence_text(session.evidence));
    }
    return text;
}

std::string session_text(const StoredSession& stored, const Zone& zone) {
    const auto lines = lines_of(stored.row.session);
    const auto amounts = amounts_of(lines, stored);
    std::string text = io::session_line(stored, zone) + "\n\n";
    for (std::size_t i = 0; i < lines.size(); ++i) {
        text += fmt::format("  {} to {}  {:<12}  {:>8} kWh x {:<8}  {:>8}{}\n",
                            label_text(zone, lines[i].when.begin), label_text(zone, lines[i].when.end),
                            shown_name(lines[i].price), kwh_text(lines[i].energy),
                            decimal_text(lines[i].marginal.count(), 12, stored.row.currency_digits),
                            money_text(amounts[i], stored.row.currency_digits),
                            lines[i].assumed ? "  assumed: nobody has announced it" : "");
    }
    return text +
           "Prices with all that a kilowatt-hour adds to the bill, tax too; not what is charged by blocks or "
           "by "
           "demand.\n";
}

std::string session_json(const StoredSession& stored, const Zone& zone) {
    nlohmann::ordered_json json = json_of(stored, zone);
    const auto lines = lines_of(stored.row.session);
    const auto amounts = amounts_of(lines, stored);
    json["lines"] = nlohmann::ordered_json::array();
    for (std::size_t i = 0; i < lines.size(); ++i) {
        json["lines"].push_back({{"from", instant_text(zone, lines[i].when.begin)},
                                 {"to", instant_text(zone, lines[i].when.end)},
                                 {"price", shown_name(lines[i].price)},
                                 {"kwh", kwh_text(lines[i].energy)},
                                 {"uncertain_kwh", kwh_text(lines[i].uncertain)},
                                 {"rate", decimal_text(lines[i].rate.count(), 12)},
                                 {"with_tax", decimal_text(lines[i].marginal.count(), 12)},
                                 {"cost", money_text(amounts[i], stored.row.currency_digits)},
                                 {"assumed", lines[i].assumed}});
    }
    json["zone_data"] = shown_name(stored.row.zone_data);
    return json.dump(2);
}

std::string session_csv(const StoredSession& stored, const Zone& zone) {
    const auto lines = lines_of(stored.row.session);
    const auto amounts = amounts_of(lines, stored);
    std::string text = "from,to,price,kwh,uncertain_kwh,rate,with_tax,cost\n";
    for (std::size_t i = 0; i < lines.size(); ++i) {
        text += fmt::format(
            "{},{},{},{},{},{},{},{}\n", instant_text(zone, lines[i].when.begin),
            instant_text(zone, lines[i].when.end), csv_text(lines[i].price), kwh_text(lines[i].energy),
            kwh_text(lines[i].uncertain), decimal_text(lines[i].rate.count(), 12),
            decimal_text(lines[i].marginal.count(), 12), money_text(amounts[i], stored.row.currency_digits));
    }
    return text;
}

}  // namespace lullwatt::tools
