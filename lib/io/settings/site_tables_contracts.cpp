#include <array>

#include "io/settings/site_tables.hpp"

namespace lullwatt::io {
namespace {

constexpr std::array kBillOptions = {
    Option{.key = "day",
           .kind = Kind::whole_number,
           .fallback = "1",
           .least = 1,
           .greatest = 31,
           .consequence = "The day of the month a bill begins on; where a month is shorter, its last."},
    Option{.key = "every",
           .kind = Kind::choice,
           .fallback = "1 month",
           .choices = "1 month | 2 months | 3 months | 4 months | 6 months | 12 months",
           .consequence = "How long a bill is."},
    Option{.key = "from_month",
           .kind = Kind::whole_number,
           .fallback = "1",
           .least = 1,
           .greatest = 12,
           .consequence = "A month in which a bill begins, where it is longer than one: 1 is January."},
};
constexpr Table kBills{"set of bill dates", kBillOptions};

constexpr std::array kTaxOptions = {
    Option{.key = "name", .required = true, .sample = "city tax", .consequence = "As the bill calls it."},
    Option{.key = "percent",
           .kind = Kind::percent,
           .required = true,
           .sample = "5 %",
           .least = 0,
           .greatest = 100,
           .consequence = "Of all charges and riders, beside the tariff's own taxes."},
};
constexpr Table kTax{"tax", kTaxOptions};

constexpr std::array kContractOptions = {
    Option{
        .key = "name", .required = true, .sample = "grid", .consequence = "How messages and bills call it."},
    Option{.key = "tariff",
           .kind = Kind::file,
           .required = true,
           .sample = "tariffs/flat.yaml",
           .consequence = "What it charges for (docs/tariff-format.md)."},
    Option{.key = "node",
           .sample = "service",
           .consequence = "Where its meter is; without it, at the service. A meter below takes what hangs on "
                          "it out of the contracts above."},
    Option{.key = "multiplier",
           .kind = Kind::factor,
           .fallback = "1",
           .sample = "40",
           .least = 0.001,
           .greatest = 10'000,
           .consequence = "What its bills multiply the meter's readings by, where it counts behind current "
                          "transformers."},
    Option{.key = "bills",
           .kind = Kind::section,
           .table = &kBills,
           .consequence = "When its bills begin, by a rule; without it, with each month."},
    Option{.key = "reads",
           .kind = Kind::list,
           .sample = "[2026-01-12, 2026-02-11]",
           .element = Kind::date,
           .consequence = "The days the meter was read, ascending: each begins a bill, and the rule goes on "
                          "from the last."},
    Option{.key = "fuse",
           .kind = Kind::whole_amps,
           .sample = "25 A",
           .least = 1,
           .greatest = 1200,
           .consequence = "The main fuse, where charges go by it."},
    Option{.key = "contracted_power",
           .kind = Kind::demand,
           .sample = "9 kW",
           .least = 0,
           .greatest = 10'000,
           .consequence = "The power ordered, where charges go by it."},
    Option{.key = "given_peak",
           .kind = Kind::demand,
           .sample = "4.2 kW",
           .least = 0,
           .greatest = 10'000,
           .consequence = "The utility's own figure of a peak, where a charge goes by one."},
    Option{.key = "months",
           .kind = Kind::whole_number,
           .sample = "1",
           .least = 1,
           .greatest = 12,
           .consequence = "The months one bill stands for; without it, what `every` says."},
    Option{.key = "taxes",
           .kind = Kind::sections,
           .table = &kTax,
           .consequence = "What comes on top of the tariff's own taxes, such as a town's."},
};

}  // namespace

const Table kContractTable{"contract", kContractOptions};

}  // namespace lullwatt::io
