// Lines that do not count kilowatt-hours: fixed amounts, demand, the minimum.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <variant>
#include <vector>

#include "core/account/energy_lines.hpp"

namespace lullwatt::account {

using LinesOrRefusal = std::variant<std::vector<ExactLine>, Refusal>;

[[nodiscard]] LinesOrRefusal fixed_lines(const tariff::Tariff& tariff, DateSpan bill, const Use& use,
                                         const Terms& terms);

// Demand of a meter's readings or as typed; `peaks` gets the intervals, `after` this bill's peaks.
struct DemandInput {
    const tariff::Tariff& tariff;
    const Zone& clock;
    DateSpan bill;
    const Use& use;
    const std::variant<Metered, Typed>& usage;
    const Terms& terms;
};
[[nodiscard]] LinesOrRefusal demand_lines(const DemandInput& input, std::vector<PeakTime>& peaks,
                                          Carried& after);

// What lacks to each minimum. `lines` are rounded. Where credit is banked as money it pays nothing of a
// minimum.
[[nodiscard]] std::vector<ExactLine> minimum_lines(const tariff::Tariff& tariff, DateSpan bill,
                                                   const Use& use, const Terms& terms,
                                                   const std::vector<Line>& lines);

// The greatest minimum of the bill, which banked credit never pays.
[[nodiscard]] Money least_due(const tariff::Tariff& tariff, DateSpan bill, const Use& use,
                              const Terms& terms);

// Whether a bill below nothing, or below its minimum, is carried into the next.
[[nodiscard]] bool banks_money(const tariff::Tariff& tariff, const Use& use);

// Whether a percentage or minimum counts a line. Both lists empty: all lines.
[[nodiscard]] bool counts(const tariff::LinesOf& of, const Line& line);

}  // namespace lullwatt::account
