#include "tools/lullwatt/bill_text.hpp"

#include <algorithm>
#include <array>

#include <date/date.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "tools/lullwatt/faults_json.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

using account::Bill;
using account::Line;

std::string unit_word(Line::Unit unit) {
    switch (unit) {
        case Line::Unit::kilowatt_hour:
            return "kWh";
        case Line::Unit::kilowatt:
            return "kW";
        case Line::Unit::percent:
            return "%";
        case Line::Unit::none:
            break;
    }
    return "";
}

std::string quantity_text(const Line& line) {
    if (line.unit == Line::Unit::none) return "";
    return decimal_text(line.quantity, 6) + " " + unit_word(line.unit);
}

// A line that counts only some of the bill's days says which.
std::string rule_text(const Line& line, const Bill& bill) {
    std::string rule = line.rule;
    if (line.days != bill.days) {
        rule += fmt::format("{}{} to {}", rule.empty() ? "" : ", ", day_text(line.days.from),
                            day_text(line.days.last()));
    }
    return rule;
}

struct Row {
    std::string name;
    std::string quantity;
    std::string rate;
    std::string amount;
    std::string rule;
};

std::string table(const std::vector<Row>& rows) {
    std::array<std::size_t, 4> widths{};
    for (const Row& row : rows) {
        widths[0] = std::max(widths[0], row.name.size());
        widths[1] = std::max(widths[1], row.quantity.size());
        widths[2] = std::max(widths[2], row.rate.size());
        widths[3] = std::max(widths[3], row.amount.size());
    }
    std::string text;
    for (const Row& row : rows) {
        std::string line =
            fmt::format("  {:<{}}  {:>{}} {:<{}}  {:>{}}  {}", row.name, widths[0], row.quantity, widths[1],
                        row.rate, widths[2], row.amount, widths[3], row.rule);
        line.erase(line.find_last_not_of(' ') + 1);
        text += line + "\n";
    }
    return text;
}

std::string gaps_text(Seconds seconds) {
    if (seconds <= Seconds{0}) return "";
    return fmt::format("NOT COVERED: {:g} h of this bill have no readings; their energy is not in it.\n",
                       static_cast<double>(seconds.count()) / 3600);
}

// What the next bill begins with.
std::string banked_text(const account::Carried& after, const BillWords& words) {
    std::string text;
    for (const account::Carried::Banked& banked : after.energy) {
        text += fmt::format("Banked for the next bill: {} kWh{}.\n", decimal_text(banked.energy.count(), 6),
                            banked.window.empty() ? "" : " of '" + banked.window + "'");
    }
    if (after.money > Money(0))
        text += fmt::format("Credit for the next bill: {} {}.\n", amount_text(after.money, words.digits),
                            words.currency);
    return text;
}

nlohmann::ordered_json banked_json(const account::Carried& after, int digits) {
    nlohmann::ordered_json energy = nlohmann::ordered_json::array();
    for (const account::Carried::Banked& banked : after.energy)
        energy.push_back({{"price", banked.window}, {"kwh", decimal_text(banked.energy.count(), 6)}});
    return {{"energy", energy}, {"money", amount_text(after.money, digits)}};
}

std::string left_out_text(const BillWords& words) {
    std::string text;
    for (const account::DateSpan& span : words.left_out) {
        text += fmt::format("LEFT OUT: {} to {}, which make no whole bill.\n", day_text(span.from),
                            day_text(span.last()));
    }
    return text;
}

std::string part_title(const Bill& bill, const BillWords& words) {
    return fmt::format("{}: {} to {}, {} days, {}", words.tariff, day_text(bill.days.from),
                       day_text(bill.days.last()), bill.days.days(), words.currency);
}

}  // namespace

std::string part_word(tariff::Part part) {
    constexpr std::array<const char*, 11> kWords = {"window", "adder",   "block",   "demand",
                                                    "fixed",  "export",  "minimum", "rider",
                                                    "tax",    "carried", "rounding"};
    return kWords[static_cast<std::size_t>(part)];
}

std::string bill_text(const Bill& bill, const BillWords& words) {
    std::vector<Row> rows;
    for (const Line& line : bill.lines) {
        rows.push_back({line.name, quantity_text(line),
                        line.rate ? "x " + decimal_text(*line.rate, 12, 2) : "",
                        amount_text(line.amount, words.digits), rule_text(line, bill)});
    }
    rows.push_back({"total", "", "", amount_text(bill.total, words.digits), ""});
    std::string text = part_title(bill, words) + "\n" + table(rows);
    text += fmt::format("\nTaken: {} kWh.", decimal_text(bill.taken.count(), 6));
    if (bill.given.count() != 0)
        text += fmt::format(" Given back: {} kWh.", decimal_text(bill.given.count(), 6));
    text += "\n";
    for (const account::PeakTime& peak : bill.peaks) {
        text += fmt::format(
            "{}: {} kW in {} to {}{}.\n", peak.charge, decimal_text(peak.power.count(), 6),
            day_and_clock_text(words.clock, peak.when.begin), day_and_clock_text(words.clock, peak.when.end),
            peak.coarse ? "; readings are longer than its interval, so the true peak may be higher" : "");
    }
    text += banked_text(bill.after, words);
    if (bill.assumed) text += "Some of its prices are assumed, for none are announced.\n";
    if (!words.note.empty()) text += words.note + "\n";
    return text + gaps_text(bill.without_readings);
}

std::string bills_text(const std::vector<Bill>& bills, const BillWords& words) {
    if (bills.size() == 1) return bill_text(bills.front(), words) + left_out_text(words);
    Money sum;
    MilliwattHours taken;
    Seconds gaps{0};
    std::vector<Row> rows;
    bool assumed = false;
    for (const Bill& bill : bills) {
        sum += bill.total;
        taken += bill.taken;
        gaps += bill.without_readings;
        assumed = assumed || bill.assumed;
        rows.push_back({fmt::format("{} to {}", day_text(bill.days.from), day_text(bill.days.last())),
                        decimal_text(bill.taken.count(), 6) + " kWh", "",
                        amount_text(bill.total, words.digits), ""});
    }
    rows.push_back(
        {"total", decimal_text(taken.count(), 6) + " kWh", "", amount_text(sum, words.digits), ""});
    std::string text = fmt::format("{}, {}\n{}", words.tariff, words.currency, table(rows));
    if (assumed) text += "Some of the prices are assumed, for none are announced.\n";
    if (!words.note.empty()) text += words.note + "\n";
    text += banked_text(bills.back().after, words) + gaps_text(gaps);
    text += left_out_text(words);
    return text + "One bill with its lines: add --month, or --from and --to. All lines: --json or --csv.\n";
}

std::string bills_json(const std::vector<Bill>& bills, const BillWords& words) {
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    Money sum;
    for (const Bill& bill : bills) {
        nlohmann::ordered_json lines = nlohmann::ordered_json::array();
        for (const Line& line : bill.lines) {
            nlohmann::ordered_json one{{"part", part_word(line.part)}, {"name", line.name}};
            if (line.unit != Line::Unit::none) {
                one["quantity"] = decimal_text(line.quantity, 6);
                one["unit"] = unit_word(line.unit);
            }
            if (line.rate) one["rate"] = decimal_text(*line.rate, 12);
            one["amount"] = amount_text(line.amount, words.digits);
            if (!line.rule.empty()) one["rule"] = line.rule;
            if (line.days != bill.days) {
                one["from"] = day_text(line.days.from);
                one["to"] = day_text(line.days.to);
            }
            lines.push_back(std::move(one));
        }
        nlohmann::ordered_json peaks = nlohmann::ordered_json::array();
        for (const account::PeakTime& peak : bill.peaks) {
            peaks.push_back({{"charge", peak.charge},
                             {"from", iso_text(words.clock, peak.when.begin)},
                             {"to", iso_text(words.clock, peak.when.end)},
                             {"kw", decimal_text(peak.power.count(), 6)},
                             {"coarse", peak.coarse}});
        }
        sum += bill.total;
        list.push_back(
            {{"from", day_text(bill.days.from)},
             {"to", day_text(bill.days.to)},
             {"days", bill.days.days()},
             {"taken_kwh", decimal_text(bill.taken.count(), 6)},
             {"given_kwh", decimal_text(bill.given.count(), 6)},
             {"lines", lines},
             {"total", amount_text(bill.total, words.digits)},
             {"peaks", peaks},
             {"banked", banked_json(bill.after, words.digits)},
             {"assumed", bill.assumed},
             {"hours_without_readings", static_cast<double>(bill.without_readings.count()) / 3600}});
    }
    nlohmann::ordered_json left_out = nlohmann::ordered_json::array();
    for (const account::DateSpan& span : words.left_out)
        left_out.push_back({{"from", day_text(span.from)}, {"to", day_text(span.to)}});
    return nlohmann::ordered_json{{"tariff", words.tariff},
                                  {"currency", words.currency},
                                  {"bills", list},
                                  {"total", amount_text(sum, words.digits)},
                                  {"left_out", left_out},
                                  {"note", words.note},
                                  {"warnings", nlohmann::ordered_json::parse(faults_json(words.warnings))}}
        .dump(2);
}

std::string bills_csv(const std::vector<Bill>& bills) {
    const auto quoted_text = [](const std::string& text) {
        if (text.find_first_of(",\"") == text.npos) return text;
        std::string quoted = "\"";
        for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
        return quoted + "\"";
    };
    std::string text = "from,to,part,name,quantity,unit,rate,amount,rule\n";
    for (const Bill& bill : bills) {
        for (const Line& line : bill.lines) {
            text += fmt::format("{},{},{},{},{},{},{},{},{}\n", day_text(line.days.from),
                                day_text(line.days.to), part_word(line.part), quoted_text(line.name),
                                line.unit == Line::Unit::none ? "" : decimal_text(line.quantity, 6),
                                unit_word(line.unit), line.rate ? decimal_text(*line.rate, 12) : "",
                                decimal_text(line.amount.count(), 6, 2), quoted_text(line.rule));
        }
    }
    return text;
}

}  // namespace lullwatt::tools
