#include "core/account/printed.hpp"

#include <algorithm>

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
        case Part::minimum:
            return Kind::fixed;
        case Part::exported:
            return Kind::exported;
        case Part::tax:
            return Kind::tax;
        case Part::rider:
            return Kind::rider;
        case Part::carried:
        case Part::rounding:
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
            if (!claimed[i] && kind_of(bill.lines[i].part) == printed[j].kind) claimed[i] = j;
        }
    }
    return claimed;
}

}  // namespace

bool is_comparable(Kind kind) { return kind <= Kind::tax; }

bool Comparison::agrees() const {
    return std::ranges::all_of(lines, [](const ComparedLine& line) { return line.agrees(); });
}

Comparison compare_printed(const Bill& bill, const std::vector<PrintedLine>& printed,
                           std::optional<Money> total) {
    Comparison comparison;
    const auto claimed = claims(bill, printed);
    Money all;
    for (std::size_t j = 0; j < printed.size(); ++j) {
        all += printed[j].amount;
        if (!is_comparable(printed[j].kind)) {
            comparison.apart.push_back(printed[j]);
            continue;
        }
        ComparedLine line{printed[j].name, printed[j].amount, {}};
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
    if (total) comparison.unexplained = *total - all;
    return comparison;
}

}  // namespace lullwatt::account
