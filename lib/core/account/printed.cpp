#include "core/account/printed.hpp"

#include <algorithm>
#include <cstdlib>
#include <utility>

namespace lullwatt::account {
namespace {

using Kind = PrintedLine::Kind;

Kind kind_of(Part part) {
    switch (part) {
        case Part::window:
        case Part::adder:
        case Part::block:
            return Kind::energy;
        case Part::demand:
            return Kind::demand;
        case Part::fixed:
            return Kind::fixed;
        case Part::minimum:
            return Kind::minimum;
        case Part::exported:
            return Kind::exported;
        case Part::tax:
            return Kind::tax;
        case Part::rider:
            return Kind::rider;
        case Part::rounding:
            return Kind::rounding;
        case Part::carried:
            break;
    }
    return Kind::balance;
}

std::vector<std::string> names_of(const PrintedLine& line) {
    return line.is.empty() ? std::vector{line.name} : line.is;
}

bool is_named(const PrintedLine& printed, const Line& line) {
    const auto names = names_of(printed);
    return std::ranges::find(names, line.name) != names.end();
}

bool stands_for(Kind kind, Part part, const std::vector<PrintedLine>& printed) {
    if (kind_of(part) == kind) return true;
    return kind == Kind::fixed && part == Part::minimum &&
           std::ranges::find(printed, Kind::minimum, &PrintedLine::kind) == printed.end();
}

// Comparable lines that name the same of ours become one, in the place of the first.
std::vector<PrintedLine> merged(const std::vector<PrintedLine>& printed) {
    std::vector<PrintedLine> lines;
    for (PrintedLine line : printed) {
        std::ranges::sort(line.is);
        const auto same = std::ranges::find_if(lines, [&](const PrintedLine& other) {
            return is_comparable(line.kind) && other.kind == line.kind && names_of(other) == names_of(line);
        });
        if (same == lines.end()) {
            lines.push_back(std::move(line));
            continue;
        }
        if (same->name != line.name) {
            same->is = names_of(line);
            same->name += " + " + line.name;
        }
        same->amount += line.amount;
    }
    return lines;
}

std::vector<std::string> unknown_of(const PrintedLine& line, const std::vector<std::string>& known) {
    std::vector<std::string> unknown;
    for (const std::string& name : line.is) {
        if (std::ranges::find(known, name) == known.end()) unknown.push_back(name);
    }
    return unknown;
}

// A levelled bill may print its true charges for information, and ask for the budget amount instead of them.
Money unexplained(Money total, const std::vector<PrintedLine>& printed) {
    Money all;
    Money apart;
    bool budget = false;
    for (const PrintedLine& line : printed) {
        all += line.amount;
        if (!is_comparable(line.kind)) apart += line.amount;
        budget = budget || line.kind == Kind::budget;
    }
    const Money whole = total - all;
    const Money levelled = total - apart;
    return budget && std::abs(levelled.count()) < std::abs(whole.count()) ? levelled : whole;
}

// Which printed line each of ours belongs to; none: no one names it.
std::vector<std::optional<std::size_t>> claims(const Bill& bill, const std::vector<PrintedLine>& printed) {
    std::vector<std::optional<std::size_t>> claimed(bill.lines.size());
    std::vector<bool> matched(printed.size(), false);
    for (std::size_t i = 0; i < bill.lines.size(); ++i) {
        for (std::size_t j = 0; j < printed.size() && !claimed[i]; ++j) {
            if (!is_comparable(printed[j].kind) || !is_named(printed[j], bill.lines[i])) continue;
            // Of two lines of one name the kind decides.
            const bool other = std::ranges::any_of(printed, [&](const PrintedLine& line) {
                return &line != &printed[j] && is_named(line, bill.lines[i]) &&
                       line.kind == kind_of(bill.lines[i].part);
            });
            if (other && printed[j].kind != kind_of(bill.lines[i].part)) continue;
            claimed[i] = j;
            matched[j] = true;
        }
    }
    for (std::size_t j = 0; j < printed.size(); ++j) {
        const bool alone = std::ranges::count_if(printed, [&](const PrintedLine& line) {
                               return line.kind == printed[j].kind &&
                                      !matched[static_cast<std::size_t>(&line - printed.data())];
                           }) == 1;
        if (matched[j] || !alone || !printed[j].is.empty() || !is_comparable(printed[j].kind)) continue;
        for (std::size_t i = 0; i < bill.lines.size(); ++i) {
            if (!claimed[i] && stands_for(printed[j].kind, bill.lines[i].part, printed)) claimed[i] = j;
        }
    }
    return claimed;
}

}  // namespace

bool is_comparable(Kind kind) { return kind <= Kind::rounding; }

bool Comparison::agrees() const {
    return std::ranges::all_of(lines, [](const ComparedLine& line) { return line.agrees(); });
}

Comparison compare_printed(const Bill& bill, const std::vector<PrintedLine>& as_printed,
                           std::optional<Money> total) {
    Comparison comparison;
    for (const Line& line : bill.lines) {
        if (std::ranges::find(comparison.names, line.name) == comparison.names.end())
            comparison.names.push_back(line.name);
    }
    const std::vector<PrintedLine> printed = merged(as_printed);
    const auto claimed = claims(bill, printed);
    for (std::size_t j = 0; j < printed.size(); ++j) {
        if (!is_comparable(printed[j].kind)) {
            comparison.apart.push_back(printed[j]);
            continue;
        }
        ComparedLine line{printed[j].name, printed[j].amount, {}, unknown_of(printed[j], comparison.names)};
        for (std::size_t i = 0; i < claimed.size(); ++i) {
            if (claimed[i] == j) line.ours = line.ours.value_or(Money(0)) + bill.lines[i].amount;
        }
        comparison.printed += printed[j].amount;
        comparison.lines.push_back(std::move(line));
    }
    for (std::size_t i = 0; i < claimed.size(); ++i) {
        if (!claimed[i] && bill.lines[i].amount != Money(0))
            comparison.lines.push_back({bill.lines[i].name, {}, bill.lines[i].amount});
    }
    comparison.ours = bill.total;
    if (total) comparison.unexplained = unexplained(*total, as_printed);
    return comparison;
}

}  // namespace lullwatt::account
