#include "io/tariff_file/charge_tables.hpp"

#include <array>

namespace lullwatt::io {
namespace {

constexpr std::string_view kPers = "bill | month | day | year";

// Keys that several tables have, each with the same meaning.
constexpr Option kName{.key = "name", .required = true, .consequence = "As the bill calls it."};
constexpr Option kSeasons{
    .key = "seasons", .kind = Kind::list, .consequence = "Seasons it counts in; without it, all year."};
constexpr Option kWindows{
    .key = "windows", .kind = Kind::list, .consequence = "Windows whose energy it counts; without it, all."};
constexpr Option kLossFactor{.key = "loss_factor",
                             .kind = Kind::factor,
                             .fallback = "1",
                             .least = 0.5,
                             .greatest = 2,
                             .consequence = "The meter's kilowatt-hours are billed times this."};
constexpr Option kPer{.key = "per",
                      .kind = Kind::choice,
                      .fallback = "bill",
                      .choices = kPers,
                      .consequence = "What the amount is for; a bill takes it as often as it is long."};
constexpr Option kOf{.key = "of",
                     .kind = Kind::list,
                     .consequence =
                         "Lines above it: energy, adders, blocks, demand, fixed, export, minimum, "
                         "riders, or names; without it, all."};
constexpr Option kChargesOf{
    .key = "of", .kind = Kind::list, .consequence = "Charges it counts, by word or name; without it, all."};
constexpr Option kCompound{.key = "compound",
                           .kind = Kind::boolean,
                           .fallback = "no",
                           .consequence = "Also of the percentages above; those `of` names count anyway."};

constexpr std::array kBlockStepOptions = {
    Option{.key = "up_to",
           .kind = Kind::fine_energy,
           .least = 0,
           .greatest = 10'000'000,
           .consequence = "Where the step ends; the last one has none."},
    Option{.key = "per_kwh", .kind = Kind::rate, .required = true, .consequence = "Its price, without tax."},
};
constexpr Table kBlockStep{"step", kBlockStepOptions};

constexpr std::array kBlockOptions = {
    kName,
    kWindows,
    kSeasons,
    Option{.key = "per",
           .kind = Kind::choice,
           .fallback = "bill",
           .choices = "bill | month | day",
           .consequence = "What `up_to` is for; a bill of 60 days has 60 times a day's."},
    Option{.key = "over",
           .kind = Kind::choice,
           .fallback = "bill",
           .choices = "bill | day | season | year",
           .consequence = "What the use adds up over before it is held against `up_to`."},
    Option{.key = "year_begins",
           .kind = Kind::month_day,
           .fallback = "01-01",
           .consequence = "The first day of the year of `over: year`."},
    Option{.key = "round_limits",
           .kind = Kind::fine_energy,
           .least = 0,
           .greatest = 1000,
           .consequence = "A bill's limits go to the nearest multiple of this."},
    Option{.key = "net",
           .kind = Kind::boolean,
           .fallback = "no",
           .consequence = "Of energy taken less energy given back; may go below nothing."},
    kLossFactor,
    Option{.key = "steps",
           .kind = Kind::sections,
           .required = true,
           .table = &kBlockStep,
           .consequence = "Prices of the energy up to each limit."},
};

constexpr std::array kDemandHoursOptions = {
    kSeasons,
    Option{.key = "days", .kind = Kind::list, .consequence = "Days they count on; without it, every day."},
    Option{.key = "from", .kind = Kind::time_of_day, .fallback = "00:00", .consequence = "Their begin."},
    Option{.key = "to",
           .kind = Kind::time_of_day,
           .fallback = "24:00",
           .consequence = "Their end; at or before `from` they run across midnight."},
    Option{.key = "counts",
           .kind = Kind::percent,
           .fallback = "100 %",
           .least = 0,
           .greatest = 100,
           .consequence = "The share of the power that counts in these hours."},
};
constexpr Table kDemandHours{"hours of demand", kDemandHoursOptions};

constexpr std::array kRatchetOptions = {
    Option{.key = "share",
           .kind = Kind::percent,
           .required = true,
           .least = 0,
           .greatest = 100,
           .consequence = "Never less than this share of the highest of the bills before."},
    Option{.key = "bills",
           .kind = Kind::whole_number,
           .fallback = "11",
           .least = 1,
           .greatest = 120,
           .consequence = "How many bills back it looks."},
};
constexpr Table kRatchet{"ratchet", kRatchetOptions};

constexpr std::array kDemandStepOptions = {
    Option{.key = "up_to",
           .kind = Kind::demand,
           .least = 0,
           .greatest = 10'000,
           .consequence = "Where the step ends; the last one has none."},
    Option{.key = "per_kw",
           .kind = Kind::demand_rate,
           .least = -1'000'000,
           .greatest = 1'000'000,
           .consequence = "Its price, without tax."},
    Option{.key = "amount",
           .kind = Kind::money,
           .least = -1'000'000,
           .greatest = 1'000'000,
           .consequence = "Instead of a price: what the whole step costs, however much of it is used."},
};
constexpr Table kDemandStep{"step", kDemandStepOptions};

constexpr std::array kDemandOptions = {
    kName,
    kSeasons,
    Option{.key = "measure",
           .kind = Kind::choice,
           .fallback = "highest",
           .choices = "highest | mean-of-daily | given | contracted",
           .consequence =
               "The mean of the `highest_of` highest intervals, the mean of each day's highest, the "
               "utility's own figure, or the power ordered."},
    Option{.key = "interval",
           .kind = Kind::duration,
           .fallback = "15 min",
           .least = 60,
           .greatest = 86'400,
           .consequence = "Power is the mean over this."},
    Option{.key = "rolling",
           .kind = Kind::boolean,
           .fallback = "no",
           .consequence = "An interval may end with any reading; otherwise they go by the clock."},
    Option{.key = "hours",
           .kind = Kind::sections,
           .table = &kDemandHours,
           .consequence = "When power counts; without it, always. The first that holds an interval counts."},
    Option{.key = "highest_of",
           .kind = Kind::whole_number,
           .fallback = "1",
           .least = 1,
           .greatest = 100,
           .consequence = "How many of the highest the mean is taken of."},
    Option{.key = "distinct",
           .kind = Kind::choice,
           .fallback = "no",
           .choices = "no | days | weeks",
           .consequence = "Whether each of the highest is of a day or week of its own."},
    Option{.key = "mean_of_bills",
           .kind = Kind::whole_number,
           .fallback = "1",
           .least = 1,
           .greatest = 24,
           .consequence = "The mean with so many bills, this one included."},
    Option{.key = "least_each",
           .kind = Kind::demand,
           .fallback = "0 kW",
           .least = 0,
           .greatest = 10'000,
           .consequence = "Each bill's own figure is at least this, before any mean or ratchet."},
    Option{.key = "least",
           .kind = Kind::demand,
           .fallback = "0 kW",
           .least = 0,
           .greatest = 10'000,
           .consequence = "Never billed less, whatever the rounding."},
    Option{.key = "ratchet",
           .kind = Kind::section,
           .table = &kRatchet,
           .consequence = "A peak that stays on later bills."},
    Option{.key = "round_to",
           .kind = Kind::demand,
           .least = 0,
           .greatest = 1000,
           .consequence = "The power billed is a multiple of this."},
    Option{.key = "rounding",
           .kind = Kind::choice,
           .fallback = "nearest",
           .choices = "nearest | up | down",
           .consequence = "Which multiple."},
    Option{.key = "factors",
           .kind = Kind::list,
           .least = 0,
           .greatest = 10,
           .element = Kind::factor,
           .consequence = "The amount is multiplied by each of these."},
    kPer,
    Option{.key = "band",
           .kind = Kind::choice,
           .fallback = "steps",
           .choices = "steps | whole",
           .consequence = "whole: all of the power at the price of the step it ends in."},
    Option{.key = "per_kw",
           .kind = Kind::demand_rate,
           .least = -1'000'000,
           .greatest = 1'000'000,
           .consequence = "The price, where there is only one."},
    Option{.key = "steps",
           .kind = Kind::sections,
           .table = &kDemandStep,
           .consequence = "Prices of the power up to each limit."},
};

constexpr std::array kFuseOptions = {
    Option{.key = "up_to",
           .kind = Kind::whole_amps,
           .required = true,
           .least = 1,
           .greatest = 1000,
           .consequence = "The largest main fuse of this amount."},
    Option{.key = "amount",
           .kind = Kind::money,
           .required = true,
           .least = -1'000'000,
           .greatest = 1'000'000,
           .consequence = "What it costs."},
};
constexpr Table kFuse{"fuse", kFuseOptions};

constexpr std::array kFixedOptions = {
    kName,
    kSeasons,
    Option{.key = "amount",
           .kind = Kind::money,
           .least = -1'000'000,
           .greatest = 1'000'000,
           .consequence = "Whatever was used; may be negative."},
    kPer,
    Option{.key = "each",
           .kind = Kind::choice,
           .fallback = "flat",
           .choices = "flat | ampere-of-fuse | contracted-kilowatt",
           .consequence = "The amount is for each of these."},
    Option{.key = "by_fuse",
           .kind = Kind::sections,
           .table = &kFuse,
           .consequence = "Amounts by the main fuse, smallest first, instead of `amount`."},
};

constexpr std::array kMinimumOptions = {
    kName,
    Option{.key = "amount",
           .kind = Kind::money,
           .required = true,
           .least = 0,
           .greatest = 1'000'000,
           .consequence = "Where its lines come to less, a line makes up for it."},
    kPer,
    kChargesOf,
};

constexpr std::array kRiderOptions = {
    kName,
    Option{.key = "percent",
           .kind = Kind::percent,
           .required = true,
           .least = -100,
           .greatest = 100,
           .consequence = "Of the charges it counts; negative for a rebate."},
    kOf,
    kCompound,
};

constexpr std::array kTaxOptions = {
    kName,
    Option{.key = "percent",
           .kind = Kind::percent,
           .required = true,
           .least = 0,
           .greatest = 100,
           .consequence = "Of the charges and riders it counts."},
    kOf,
    kCompound,
};

constexpr std::array kExportOptions = {
    Option{.key = "netting",
           .kind = Kind::choice,
           .fallback = "none",
           .choices = "none | 15 min | 30 min | 60 min | window | bill",
           .consequence = "Over what energy taken and given back cancel before either is priced."},
    Option{.key = "per_kwh",
           .kind = Kind::rate,
           .consequence = "What is paid for what is left; without it, what it would have cost."},
    Option{.key = "bank",
           .kind = Kind::choice,
           .fallback = "none",
           .choices = "none | money | energy",
           .consequence = "What goes into the next bill: a bill below nothing, or the energy left."},
    Option{.key = "expires",
           .kind = Kind::month_day,
           .consequence = "What is banked ends with the bill that holds this day."},
    Option{.key = "settled_per_kwh", .kind = Kind::rate, .consequence = "What energy that ends is paid."},
    Option{.key = "pays_out",
           .kind = Kind::boolean,
           .fallback = "no",
           .consequence = "Banked money that ends is paid to the household; otherwise it is gone."},
};

}  // namespace

const Table kBlockTable{"block charge", kBlockOptions};
const Table kDemandTable{"demand charge", kDemandOptions};
const Table kFixedTable{"fixed charge", kFixedOptions};
const Table kMinimumTable{"minimum", kMinimumOptions};
const Table kRiderTable{"rider", kRiderOptions};
const Table kTaxTable{"tax", kTaxOptions};
const Table kExportTable{"export", kExportOptions};

}  // namespace lullwatt::io
