// Bills of a tariff file of the tree, or the test ends with why there is none.
#pragma once

#include <string>
#include <string_view>

#include "core/account/bill.hpp"
#include "core/tariff/own_clock.hpp"
#include "support/catch.hpp"
#include "support/tariff_reading.hpp"

namespace lullwatt::testing {

// By the tariff's own clock, known for two years around the span.
inline Zone clock_of(const tariff::Tariff& tariff, account::DateSpan span) {
    const Interval known{date::sys_days{span.from} - date::days{366},
                         date::sys_days{span.to} + date::days{366}};
    if (auto own = tariff::own_clock(tariff, known)) return *std::move(own);
    const auto* name = std::get_if<std::string>(&tariff.clock);
    return zone(name == nullptr ? "UTC" : *name, known);
}

inline account::Bill bill(const tariff::Tariff& tariff, account::DateSpan days,
                          const std::variant<account::Metered, account::Typed>& usage,
                          const account::Terms& terms = {}, const account::Carried& before = {}) {
    auto made = account::bill(tariff, clock_of(tariff, days), days, usage, terms, before);
    if (const auto* refusal = std::get_if<account::Refusal>(&made)) FAIL(refusal->what);
    return std::get<account::Bill>(std::move(made));
}

// One total of kilowatt-hours, in milliwatt-hours.
inline account::Typed total(std::int64_t milliwatt_hours) {
    return {.taken = {{"", MilliwattHours(milliwatt_hours)}}, .given = {}, .demand = {}};
}

// "tier 1332 x 0.1097 = 146.12; …; total 170.00": what a bill's lines print.
std::string text_of(const account::Bill& bill);

}  // namespace lullwatt::testing
