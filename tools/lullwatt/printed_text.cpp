#include "tools/lullwatt/printed_text.hpp"

#include <algorithm>

#include <date/date.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "io/settings/scalar.hpp"
#include "tools/lullwatt/faults_json.hpp"

namespace lullwatt::tools {
namespace {

using account::ComparedLine;
using account::Comparison;
using account::PrintedLine;

std::string money(std::optional<Money> amount, int digits) {
    return amount ? decimal_text(amount->count(), 6, digits) : "-";
}

std::string verdict(const ComparedLine& line, int digits) {
    if (!line.ours) return "no line of ours";
    if (!line.printed) return "not printed";
    if (line.agrees()) return "";
    const Money off = *line.ours - *line.printed;
    return fmt::format("ours is {} {}", decimal_text(off < Money(0) ? -off.count() : off.count(), 6, digits),
                       off < Money(0) ? "less" : "more");
}

std::string unknown_text(const ComparedLine& line, const std::string& name,
                         const std::vector<std::string>& ours) {
    const auto meant = io::nearest(name, ours);
    return fmt::format("'{}' is said to be '{}', which is no line of ours: {} Ours are {}.\n", line.name,
                       name, meant ? fmt::format("did you mean '{}'?", *meant) : "correct the name.",
                       fmt::join(ours, ", "));
}

const char* kind_word(PrintedLine::Kind kind) {
    switch (kind) {
        case PrintedLine::Kind::correction:
            return "correction";
        case PrintedLine::Kind::estimated:
            return "estimated reading";
        case PrintedLine::Kind::true_up:
            return "true-up";
        case PrintedLine::Kind::budget:
            return "budget amount";
        case PrintedLine::Kind::payment:
            return "payment";
        default:
            return "balance";
    }
}

}  // namespace

std::string printed_text(const Comparison& comparison, const account::Bill& bill, const BillWords& words) {
    std::size_t width = 24;
    for (const ComparedLine& line : comparison.lines) width = std::max(width, line.name.size());
    for (const PrintedLine& line : comparison.apart) width = std::max(width, line.name.size());
    std::string text = fmt::format(
        "{}: {} to {}, {} days, {}\n", words.tariff, date::format("%F", date::sys_days{bill.days.from}),
        date::format("%F", date::sys_days{bill.days.last()}), bill.days.days(), words.currency);
    const auto row = [&](const std::string& name, const std::string& printed, const std::string& ours,
                         const std::string& remark) {
        std::string line = fmt::format("  {:<{}}  {:>10}  {:>10}  {}", name, width, printed, ours, remark);
        line.erase(line.find_last_not_of(' ') + 1);
        text += line + "\n";
    };
    row("", "printed", "ours", "");
    for (const ComparedLine& line : comparison.lines)
        row(line.name, money(line.printed, words.digits), money(line.ours, words.digits),
            verdict(line, words.digits));
    row("of these in all", money(comparison.printed, words.digits), money(comparison.ours, words.digits),
        verdict({"", comparison.printed, comparison.ours}, words.digits));
    if (!comparison.apart.empty()) text += "Not compared, for they do not follow from use and tariff:\n";
    for (const PrintedLine& line : comparison.apart)
        row(line.name, money(line.amount, words.digits), "", kind_word(line.kind));
    for (const ComparedLine& line : comparison.lines) {
        for (const std::string& name : line.unknown) text += unknown_text(line, name, comparison.names);
    }
    if (comparison.unexplained != Money(0))
        text += fmt::format("The printed lines come to {} {} than the printed total.\n",
                            decimal_text(std::abs(comparison.unexplained.count()), 6, words.digits),
                            comparison.unexplained > Money(0) ? "less" : "more");
    text += comparison.agrees() ? "Every line that can be compared agrees.\n"
                                : "Some lines differ: look at the tariff file, the days and the readings.\n";
    return text;
}

std::string printed_json(const Comparison& comparison, const account::Bill& bill, const BillWords& words) {
    nlohmann::ordered_json lines = nlohmann::ordered_json::array();
    for (const ComparedLine& line : comparison.lines) {
        nlohmann::ordered_json one{{"name", line.name}};
        if (line.printed) one["printed"] = money(line.printed, words.digits);
        if (line.ours) one["ours"] = money(line.ours, words.digits);
        if (!line.unknown.empty()) one["unknown"] = line.unknown;
        one["agrees"] = line.agrees();
        lines.push_back(std::move(one));
    }
    nlohmann::ordered_json apart = nlohmann::ordered_json::array();
    for (const PrintedLine& line : comparison.apart)
        apart.push_back({{"name", line.name},
                         {"kind", kind_word(line.kind)},
                         {"amount", money(line.amount, words.digits)}});
    return nlohmann::ordered_json{{"tariff", words.tariff},
                                  {"currency", words.currency},
                                  {"from", date::format("%F", date::sys_days{bill.days.from})},
                                  {"to", date::format("%F", date::sys_days{bill.days.to})},
                                  {"lines", lines},
                                  {"printed", money(comparison.printed, words.digits)},
                                  {"ours", money(comparison.ours, words.digits)},
                                  {"our_names", comparison.names},
                                  {"not_compared", apart},
                                  {"unexplained", money(comparison.unexplained, words.digits)},
                                  {"agrees", comparison.agrees()},
                                  {"note", words.note},
                                  {"warnings", nlohmann::ordered_json::parse(faults_json(words.warnings))}}
        .dump(2);
}

}  // namespace lullwatt::tools
