#include "io/tariff_file/charge_tables.hpp"

namespace lullwatt::io {
namespace {

constexpr std::array kProrationOptions = {
    Option{.key = "month",
           .kind = Kind::choice,
           .fallback = "bill",
           .choices = "bill | 30-days | mean-month | calendar | whole-months",
           .consequence =
               "A month is a bill whatever its days; or bills are days/30, days/(365/12), calendar "
               "months by their own days, or the nearest whole number of months."},
    Option{.key = "whole_from",
           .kind = Kind::whole_number,
           .least = 1,
           .greatest = 31,
           .consequence = "Bills of n times `whole_from` to n times `whole_to` days are n months."},
    Option{.key = "whole_to",
           .kind = Kind::whole_number,
           .least = 1,
           .greatest = 62,
           .consequence = "Beside `whole_from`."},
};

constexpr std::array kRoundingOptions = {
    Option{.key = "lines",
           .kind = Kind::choice,
           .fallback = "nearest",
           .choices = "nearest | down | exact",
           .consequence =
               "Each line to the minor unit, halves away from zero; down: towards zero; exact: six "
               "decimals."},
    Option{.key = "total",
           .kind = Kind::choice,
           .fallback = "nearest",
           .choices = "nearest | down | exact",
           .consequence = "The total, in a line of its own where it changes."},
    Option{.key = "total_step",
           .kind = Kind::money,
           .least = 0,
           .greatest = 100,
           .consequence = "To multiples of this instead of the minor unit."},
    Option{.key = "energy",
           .kind = Kind::fine_energy,
           .least = 0,
           .greatest = 100,
           .consequence = "Each line's energy to the nearest multiple of this, halves up."},
};

constexpr std::array kMostOptions = {
    Option{.key = "class", .required = true, .consequence = "A class of `names`."},
    Option{.key = "days",
           .kind = Kind::whole_number,
           .required = true,
           .least = 0,
           .greatest = 366,
           .consequence = "So many days of a year at most; more are refused."},
};
constexpr Table kMostTable{"limit of a class", kMostOptions};

constexpr std::array kDayClassesOptions = {
    Option{
        .key = "names", .kind = Kind::list, .required = true, .consequence = "The classes a day can have."},
    Option{.key = "assumed",
           .required = true,
           .consequence = "The class of a day nobody has announced; answers say that it is assumed."},
    Option{.key = "announced_from",
           .kind = Kind::file,
           .consequence = "A table `date,class`, read again when it changes."},
    Option{.key = "year_begins",
           .kind = Kind::month_day,
           .fallback = "01-01",
           .consequence = "The first day of the year that limits count in."},
    Option{.key = "most",
           .kind = Kind::sections,
           .table = &kMostTable,
           .consequence = "How often a class can be announced."},
};

}  // namespace

const Table kProrationTable{"proration", kProrationOptions};
const Table kRoundingTable{"rounding", kRoundingOptions};
const Table kDayClassesTable{"classes of days", kDayClassesOptions};

}  // namespace lullwatt::io
