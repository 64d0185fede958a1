#include "io/tariff_file/tariff_table.hpp"

#include <array>

#include "io/tariff_file/charge_tables.hpp"

namespace lullwatt::io {
namespace {

constexpr std::string_view kWeekdayChoices = "mon | tue | wed | thu | fri | sat | sun";
constexpr std::string_view kObservances =
    "as-is | nearest-weekday | sunday-to-monday | sunday-to-monday-drop-saturday | next-free-weekday";

constexpr std::array kSeasonOptions = {
    Option{.key = "name", .required = true, .consequence = "How windows and people call it."},
    Option{.key = "from",
           .kind = Kind::month_day,
           .required = true,
           .consequence = "Its first day, every year."},
    Option{.key = "to", .kind = Kind::month_day, .required = true, .consequence = "Its last day."},
};
constexpr Table kSeason{"season", kSeasonOptions};

constexpr std::array kHolidayOptions = {
    Option{.key = "name", .required = true, .consequence = "What people call the day."},
    Option{.key = "date", .kind = Kind::month_day, .consequence = "A holiday of the same date every year."},
    Option{.key = "weekday",
           .kind = Kind::choice,
           .choices = kWeekdayChoices,
           .consequence = "With `of` and `nth`, or `on_or_before`, or `on_or_after`: a holiday by weekday."},
    Option{.key = "of", .kind = Kind::whole_number, .least = 1, .greatest = 12, .consequence = "The month."},
    Option{.key = "nth",
           .kind = Kind::whole_number,
           .least = -5,
           .greatest = 5,
           .consequence = "Which one of the month; -1 is the last."},
    Option{
        .key = "on_or_before", .kind = Kind::month_day, .consequence = "The weekday on or before this day."},
    Option{.key = "on_or_after", .kind = Kind::month_day, .consequence = "The weekday on or after this day."},
    Option{.key = "easter",
           .kind = Kind::whole_number,
           .least = -100,
           .greatest = 100,
           .consequence = "Days from Easter Sunday: Good Friday is -2."},
    Option{.key = "on", .kind = Kind::date, .consequence = "One date, once."},
    Option{.key = "observed",
           .kind = Kind::choice,
           .choices = kObservances,
           .consequence = "For this holiday alone: what becomes of it on a Saturday or Sunday."},
    Option{.key = "only_if_weekday",
           .kind = Kind::boolean,
           .fallback = "no",
           .consequence = "Kept Monday to Friday only, never moved."},
    Option{.key = "first_year",
           .kind = Kind::whole_number,
           .least = 1900,
           .greatest = 2400,
           .consequence = "Since."},
    Option{.key = "last_year",
           .kind = Kind::whole_number,
           .least = 1900,
           .greatest = 2400,
           .consequence = "Until."},
};
constexpr Table kHoliday{"holiday", kHolidayOptions};

constexpr std::array kHolidaysOptions = {
    Option{.key = "observed",
           .kind = Kind::choice,
           .fallback = "as-is",
           .choices = kObservances,
           .consequence = "What becomes of a holiday that falls on a Saturday or Sunday."},
    Option{.key = "days",
           .kind = Kind::sections,
           .required = true,
           .table = &kHoliday,
           .consequence = "The holidays, each by its rule."},
};
constexpr Table kHolidays{"list of holidays", kHolidaysOptions};

constexpr std::array kDayTypeOptions = {
    Option{.key = "name", .required = true, .consequence = "How windows call these days."},
    Option{.key = "days",
           .kind = Kind::list,
           .required = true,
           .consequence = "weekdays, weekends, holidays, every-day, mon to sun, or a day type named above."},
};
constexpr Table kDayType{"day type", kDayTypeOptions};

constexpr std::array kWindowOptions = {
    Option{.key = "name", .required = true, .consequence = "What the household calls this price."},
    Option{.key = "seasons", .kind = Kind::list, .consequence = "Seasons it holds in; without it, all year."},
    Option{.key = "days",
           .kind = Kind::list,
           .consequence = "Days it holds on (weekdays, weekends, holidays, mon to sun, a day type's name); "
                          "without it, every day. A holiday is no weekday and no weekend."},
    Option{.key = "from", .kind = Kind::time_of_day, .fallback = "00:00", .consequence = "Its begin."},
    Option{.key = "to",
           .kind = Kind::time_of_day,
           .fallback = "24:00",
           .consequence = "Its end; at or before `from` it runs across midnight."},
    Option{.key = "past_midnight",
           .kind = Kind::choice,
           .fallback = "own-day",
           .choices = "own-day | day-before",
           .consequence = "Whose days and seasons count for its part after midnight."},
    Option{
        .key = "classes", .kind = Kind::list, .consequence = "Classes of days it holds on; without it, all."},
    Option{.key = "per_kwh", .kind = Kind::rate, .required = true, .consequence = "Its price, without tax."},
    Option{.key = "export_per_kwh",
           .kind = Kind::rate,
           .consequence = "What is paid for energy given back in these hours."},
    Option{.key = "loss_factor",
           .kind = Kind::factor,
           .fallback = "1",
           .least = 0.5,
           .greatest = 2,
           .consequence = "The meter's kilowatt-hours are billed times this."},
};
constexpr Table kWindow{"window", kWindowOptions};

constexpr std::array kAdderOptions = {
    Option{.key = "name", .required = true, .consequence = "As the bill calls it."},
    Option{
        .key = "per_kwh", .kind = Kind::rate, .required = true, .consequence = "Added to the hours' prices."},
    Option{.key = "windows", .kind = Kind::list, .consequence = "Windows it is added to; without it, all."},
    Option{
        .key = "seasons", .kind = Kind::list, .consequence = "Seasons it counts in; without it, all year."},
    Option{.key = "loss_factor",
           .kind = Kind::factor,
           .fallback = "1",
           .least = 0.5,
           .greatest = 2,
           .consequence = "The meter's kilowatt-hours are billed times this."},
    Option{.key = "on_all_taken",
           .kind = Kind::boolean,
           .fallback = "no",
           .consequence = "Also on energy that energy given back has cancelled."},
};
constexpr Table kAdder{"per-kWh adder", kAdderOptions};

constexpr std::array kRevisionOptions = {
    Option{.key = "from",
           .kind = Kind::date,
           .required = true,
           .consequence = "The first day these prices hold."},
    Option{.key = "to",
           .kind = Kind::date,
           .consequence = "Their last day; without it, until the next revision."},
    Option{.key = "windows",
           .kind = Kind::sections,
           .table = &kWindow,
           .consequence = "Hours and their prices; of two that hold an hour the first counts."},
    Option{.key = "adders", .kind = Kind::sections, .table = &kAdder, .consequence = "Per-kWh parts on top."},
    Option{.key = "blocks",
           .kind = Kind::sections,
           .table = &kBlockTable,
           .consequence = "Prices that depend on how much was used, on top of the windows'."},
    Option{.key = "demand",
           .kind = Kind::sections,
           .table = &kDemandTable,
           .consequence = "Charges for the highest power."},
    Option{.key = "fixed",
           .kind = Kind::sections,
           .table = &kFixedTable,
           .consequence = "Amounts that do not depend on use."},
    Option{.key = "minimums",
           .kind = Kind::sections,
           .table = &kMinimumTable,
           .consequence = "What a bill or some of its lines come to at least."},
    Option{.key = "riders",
           .kind = Kind::sections,
           .table = &kRiderTable,
           .consequence = "Percentages on charges before tax, in this order; rebates are negative."},
    Option{.key = "taxes",
           .kind = Kind::sections,
           .table = &kTaxTable,
           .consequence = "Taxes on charges and riders, in this order."},
    Option{.key = "export",
           .kind = Kind::section,
           .table = &kExportTable,
           .consequence = "What becomes of energy given back."},
};
constexpr Table kRevision{"revision", kRevisionOptions};

constexpr std::array kOverrideOptions = {
    Option{.key = "from", .kind = Kind::date, .required = true, .consequence = "Its first day."},
    Option{.key = "to", .kind = Kind::date, .required = true, .consequence = "Its last day."},
    Option{.key = "name", .required = true, .consequence = "What the household calls this price."},
    Option{.key = "per_kwh",
           .kind = Kind::rate,
           .consequence = "The price of all its hours; without it, that of the window called `name`."},
};
constexpr Table kOverride{"override", kOverrideOptions};

constexpr std::array kWeekdayRuleOptions = {
    Option{.key = "weekday",
           .kind = Kind::choice,
           .required = true,
           .choices = kWeekdayChoices,
           .consequence = "The day."},
    Option{.key = "of",
           .kind = Kind::whole_number,
           .required = true,
           .least = 1,
           .greatest = 12,
           .consequence = "The month."},
    Option{.key = "nth",
           .kind = Kind::whole_number,
           .required = true,
           .least = -5,
           .greatest = 5,
           .consequence = "Which one of the month; -1 is the last."},
};
constexpr Table kWeekdayRule{"weekday of a month", kWeekdayRuleOptions};

constexpr std::array kSummerTimeOptions = {
    Option{.key = "begins",
           .kind = Kind::section,
           .required = true,
           .table = &kWeekdayRule,
           .consequence = "The day on which the clock goes an hour ahead at 02:00."},
    Option{.key = "ends",
           .kind = Kind::section,
           .required = true,
           .table = &kWeekdayRule,
           .consequence = "The day on which it goes back at 02:00."},
};
constexpr Table kSummerTime{"summer time of its own", kSummerTimeOptions};

constexpr std::array kTariffOptions = {
    Option{.key = "format",
           .kind = Kind::choice,
           .required = true,
           .choices = "1",
           .consequence = "The version of this file's format."},
    Option{.key = "name", .required = true, .consequence = "How reports call the tariff."},
    Option{
        .key = "currency", .required = true, .consequence = "Three capitals by ISO 4217; sets the rounding."},
    Option{.key = "zone",
           .consequence = "The clock its hours are read on, when it is not the site's: a zone name."},
    Option{.key = "offset",
           .kind = Kind::offset,
           .consequence = "The clock of a meter that never changes: hours ahead of UTC."},
    Option{.key = "summer_time",
           .kind = Kind::section,
           .table = &kSummerTime,
           .consequence =
               "Beside `offset`: a meter that changes its clock by a rule of its own, such as an old law."},
    Option{.key = "day_starts",
           .kind = Kind::time_of_day,
           .fallback = "00:00",
           .consequence =
               "Hours before it still belong to the day before; after 12:00: hours from it on belong to "
               "the next day."},
    Option{.key = "large_rates",
           .kind = Kind::boolean,
           .fallback = "no",
           .consequence = "Silences the question whether cents were written for whole units."},
    Option{.key = "small_taxes",
           .kind = Kind::boolean,
           .fallback = "no",
           .consequence = "Silences the question whether 0.13 % was written for 13 %."},
    Option{.key = "revisions_by",
           .kind = Kind::choice,
           .fallback = "day",
           .choices = "day | bill-begin | bill-end",
           .consequence = "The date that decides between revisions: each day's own, or its bill's first or "
                          "last."},
    Option{.key = "seasons_by",
           .kind = Kind::choice,
           .fallback = "day",
           .choices = "day | bill-begin | bill-end",
           .consequence = "The same for seasons."},
    Option{.key = "usage_by_days",
           .kind = Kind::boolean,
           .fallback = "no",
           .consequence = "Energy over a change of prices is split by days, not as it was used."},
    Option{.key = "proration",
           .kind = Kind::section,
           .table = &kProrationTable,
           .consequence = "How many months a bill is."},
    Option{.key = "rounding",
           .kind = Kind::section,
           .table = &kRoundingTable,
           .consequence = "How lines and totals are rounded."},
    Option{.key = "day_classes",
           .kind = Kind::section,
           .table = &kDayClassesTable,
           .consequence = "Days the utility announces the day before, such as red days or events."},
    Option{.key = "seasons", .kind = Kind::sections, .table = &kSeason, .consequence = "Parts of the year."},
    Option{.key = "holidays", .kind = Kind::section, .table = &kHolidays, .consequence = "Days off."},
    Option{.key = "day_types",
           .kind = Kind::sections,
           .table = &kDayType,
           .consequence = "Names for sets of days that several windows share."},
    Option{.key = "revisions",
           .kind = Kind::sections,
           .required = true,
           .table = &kRevision,
           .consequence = "Prices, each from its date on, oldest first."},
    Option{.key = "overrides",
           .kind = Kind::sections,
           .table = &kOverride,
           .consequence = "Days on which all hours cost the same by order."},
    Option{.key = "prices_from",
           .kind = Kind::file,
           .consequence = "A file of announced prices; revisions then carry adders and taxes only."},
    Option{.key = "prices_every",
           .kind = Kind::choice,
           .fallback = "60 min",
           .choices = "60 min | 30 min | 15 min",
           .consequence = "How long each announced price holds."},
    Option{.key = "prices_per",
           .kind = Kind::choice,
           .fallback = "kWh",
           .choices = "kWh | MWh",
           .consequence = "The energy an announced price is for."},
    Option{.key = "fallback_per_kwh",
           .kind = Kind::rate,
           .consequence = "What an hour without an announced price is assumed to cost."},
};

}  // namespace

const Table kTariffTable{"tariff file", kTariffOptions};

}  // namespace lullwatt::io
