#include "tools/lullwatt/priced_bills.hpp"

#include <algorithm>
#include <cstdlib>
#include <optional>

#include <date/date.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "core/account/known_before.hpp"
#include "core/account/use.hpp"
#include "core/tariff/window.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

using account::DateSpan;
using account::Metered;
using tariff::Tariff;

// The bills that end where the first one asked for begins.
tariff::BillDates dates_up_to(tariff::BillDates dates, CivilDate first) {
    if (tariff::bill_of(dates, first).from == first) return dates;
    if (dates.reads.empty()) {
        dates.day = static_cast<unsigned>(first.day());
        dates.first_month = static_cast<unsigned>(first.month());
    } else {
        dates.reads.insert(std::ranges::lower_bound(dates.reads, first), first);
    }
    return dates;
}

std::vector<DateSpan> earlier_spans(const Tariff& tariff, const Zone& clock, const tariff::BillDates& dates,
                                    DateSpan first, const EnergySeries& taken) {
    std::vector<DateSpan> found;
    const CivilDate begin = tariff::tariff_day(tariff, clock.civil(taken.front().when.begin));
    if (first.from <= begin) return found;
    for (const DateSpan span : tariff::bills_in(dates_up_to(dates, first.from), {begin, first.from})) {
        if (span.from < begin || first.from < span.to) continue;
        const bool priced = tariff::revision_of(tariff, span.from) != nullptr &&
                            tariff::revision_of(tariff, span.last()) != nullptr;
        if (!priced) found.clear();
        if (priced) found.push_back(span);
    }
    return found;
}

constexpr std::int64_t kMostEnergy = 1'000'000'000'000;  // mWh of one bill; ours: a million kWh

// Money could not hold what such readings might cost.
std::optional<account::Refusal> too_much(const Tariff& tariff, const Zone& clock, DateSpan span,
                                         const std::variant<Metered, account::Typed>& usage) {
    const auto* metered = std::get_if<Metered>(&usage);
    if (metered == nullptr) return std::nullopt;
    const Interval when = account::instants_of(tariff, clock, span);
    for (const EnergySeries* series : {&metered->taken, &metered->given}) {
        Wide sum = 0;
        for (const EnergyReading& reading : *series) {
            if (reading.when.begin < when.end && when.begin < reading.when.end)
                sum += std::abs(reading.energy.count());
        }
        if (sum <= kMostEnergy) continue;
        return account::Refusal{fmt::format("the readings of the bill from {} come to more than 1000000 kWh",
                                            day_text(span.from)),
                                "look at their unit"};
    }
    return std::nullopt;
}

std::variant<account::Bill, account::Refusal> one_bill(const Tariff& tariff, const Zone& clock, DateSpan span,
                                                       const std::variant<Metered, account::Typed>& usage,
                                                       const account::Terms& terms,
                                                       const account::Carried& carried) {
    if (auto refusal = too_much(tariff, clock, span, usage)) return *std::move(refusal);
    return account::bill(tariff, clock, span, usage, terms, carried);
}

// What of the tariff's memory lies before the known bills.
std::string unknown_text(const Tariff& tariff, std::vector<DateSpan> known, DateSpan first) {
    const std::size_t shown = known.size();
    known.push_back(first);
    const auto unknown = account::unknown_before(tariff, known, shown);
    if (unknown.empty()) return "";
    return fmt::format("Bills before {} are unknown: '{}' start{} at nothing there.",
                       day_text(known.front().from), fmt::join(unknown, "' and '"),
                       unknown.size() == 1 ? "s" : "");
}

}  // namespace

std::variant<PricedBills, account::Refusal> priced_bills(const Tariff& tariff, const Zone& clock,
                                                         const tariff::BillDates& dates,
                                                         const std::vector<DateSpan>& spans,
                                                         const std::variant<Metered, account::Typed>& usage,
                                                         const account::Terms& terms) {
    PricedBills priced;
    account::Carried carried;
    if (account::counts_earlier_bills(tariff)) {
        std::vector<DateSpan> known;
        const auto* metered = std::get_if<Metered>(&usage);
        if (metered != nullptr) known = earlier_spans(tariff, clock, dates, spans.front(), metered->taken);
        std::vector<DateSpan> carries;  // without those before one that could not be priced
        for (const DateSpan span : known) {
            auto bill = one_bill(tariff, clock, span, usage, terms, carried);
            const bool made = std::holds_alternative<account::Bill>(bill);
            carried = made ? std::get<account::Bill>(std::move(bill)).after : account::Carried{};
            if (!made) carries.clear();
            if (made) carries.push_back(span);
        }
        priced.note = unknown_text(tariff, carries, spans.front());
    }
    for (const DateSpan span : spans) {
        auto bill = one_bill(tariff, clock, span, usage, terms, carried);
        if (auto* refusal = std::get_if<account::Refusal>(&bill)) return std::move(*refusal);
        priced.bills.push_back(std::get<account::Bill>(std::move(bill)));
        carried = priced.bills.back().after;
    }
    return priced;
}

}  // namespace lullwatt::tools
