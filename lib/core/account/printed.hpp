// A printed bill laid beside ours: which lines agree, which stand on one side only, and which cannot be
// compared.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/account/bill.hpp"

namespace lullwatt::account {

struct PrintedLine {
    // Up to `rounding` a line follows from use and tariff; the others do not, and are told apart.
    enum class Kind : std::uint8_t {
        energy,
        demand,
        fixed,
        rider,
        exported,
        tax,
        minimum,
        rounding,
        correction,
        estimated,
        true_up,
        budget,
        payment,
        balance,
    };
    std::string name;
    Kind kind = Kind::energy;
    Money amount;
    std::vector<std::string> is;  // our lines it is the sum of; empty: the one of its own name
};

[[nodiscard]] bool is_comparable(PrintedLine::Kind kind);

struct ComparedLine {
    std::string name;  // of several printed lines of ours: theirs, joined
    std::optional<Money> printed;
    std::optional<Money> ours;
    std::vector<std::string> unknown = {};  // of those it is said to be: no lines of ours
    [[nodiscard]] bool agrees() const { return printed && ours && *printed == *ours; }
};

struct Comparison {
    std::vector<ComparedLine> lines;  // printed ones in their order, then ours that nobody printed
    std::vector<PrintedLine> apart;   // not comparable
    Money printed;                    // sum of the comparable lines
    Money ours;
    std::vector<std::string> names;  // of our lines
    // Printed total less all printed lines; 0 where no total is printed. With a levelled bill's `budget`
    // line, which is paid in the place of the comparable ones: less the others alone, where that fits better.
    Money unexplained;
    [[nodiscard]] bool agrees() const;
};

// A line that names none of ours stands for all of its kind that no other line names, where it is the only
// such line; a fixed one also for minimums that no line of their own kind stands for. Printed lines that name
// the same of ours, as a bill over a change of prices has them, are compared by their sum.
[[nodiscard]] Comparison compare_printed(const Bill& bill, const std::vector<PrintedLine>& printed,
                                         std::optional<Money> total);

}  // namespace lullwatt::account
