// What a bill charges besides each kilowatt-hour's price by the hour: blocks, demand, fixed amounts, a
// minimum, percentages, and what it pays for energy given back.
//
// Plain values, built by io/tariff_file and by tests; safe to read from any thread.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "core/quantity/money.hpp"
#include "core/time/instant.hpp"

namespace lullwatt::tariff {

// Kinds of days. A holiday is no weekday and no weekend: it matches only where `holidays` is set.
struct DaySet {
    std::array<bool, 7> weekdays{};  // Sunday first, as date::weekday counts
    bool holidays = false;

    [[nodiscard]] static DaySet every_day() { return {{true, true, true, true, true, true, true}, true}; }
    friend bool operator==(const DaySet&, const DaySet&) = default;
};

// Millionths of a whole: 14 % is 140,000, a loss factor of 1.0376 is 1,037,600.
inline constexpr std::int64_t kWhole = 1'000'000;

// The kind of a bill's line; also what a percentage or a minimum may be taken of.
enum class Part : std::uint8_t {
    window,
    adder,
    block,
    demand,
    fixed,
    exported,
    minimum,
    rider,
    tax,
    carried,
    rounding
};

// Lines by their kind or name. Both empty: what the charge's own header says.
struct LinesOf {
    std::vector<Part> parts;
    std::vector<std::string> names;
};

// How much of its amount one bill takes: as it stands, or for each month, day or year the bill is long.
enum class Per : std::uint8_t { bill, month, day, year };

// A price per kilowatt-hour on top of windows: a rider, a levy, a network part. May be negative.
struct Adder {
    std::string name;
    Rate rate;
    std::vector<std::string> windows = {};  // names; empty: all
    std::vector<std::size_t> seasons = {};  // indices into Tariff::seasons; empty: all year
    std::int64_t loss_factor = kWhole;      // its kilowatt-hours are the meter's times this
    bool on_all_taken = false;              // also on energy that energy given back has cancelled
};

// Energy at a price that depends on how much was used already. Negative on net energy: what was given back
// beyond what was taken moves the other way along the first step.
struct BlockCharge {
    enum class Over : std::uint8_t { bill, day, season, year };  // what the use adds up over
    struct Step {
        std::optional<MilliwattHours> up_to;  // the last one: none
        Rate rate;
        friend bool operator==(const Step&, const Step&) = default;
    };

    std::string name;
    std::vector<std::string> windows = {};
    std::vector<std::size_t> seasons = {};
    Per per = Per::bill;  // what the steps' limits are for
    Over over = Over::bill;
    MilliwattHours round_limits{0};  // to the nearest multiple; 0: not
    bool net = false;                // of energy taken less energy given back
    std::int64_t loss_factor = kWhole;
    date::month_day year_begins = date::month{1} / 1;  // of Over::year
    std::vector<Step> steps;
    friend bool operator==(const BlockCharge&, const BlockCharge&) = default;
};

// Hours in which demand counts, and how much of it. Of hours that hold an interval the first counts.
struct DemandHours {
    std::vector<std::size_t> seasons = {};
    DaySet days = DaySet::every_day();
    Seconds from{0};
    Seconds to{86400};  // at or before `from`: across midnight
    std::int64_t share = kWhole;
};

struct DemandCharge {
    enum class Measure : std::uint8_t {
        highest,        // the mean of the n highest, n = 1 for most
        mean_of_daily,  // the mean over all days with counted hours of each day's highest
        given,          // a figure the utility states, such as a share of last summer's peak
        contracted,     // the power the household has ordered
    };
    enum class Distinct : std::uint8_t { no, days, weeks };  // weeks: Monday to Sunday
    struct Step {
        std::optional<Milliwatts> up_to;
        DemandRate rate;
        std::optional<Money> amount = {};  // instead of a rate: the whole step for this much
    };
    struct Ratchet {
        std::int64_t share = 0;  // of the highest in the months before
        int months = 11;
    };
    enum class Rounding : std::uint8_t { nearest, up, down };

    std::string name;
    std::vector<std::size_t> seasons = {};
    Seconds interval{900};
    bool rolling = false;                 // may begin with any reading; otherwise by the clock
    std::vector<DemandHours> hours = {};  // empty: all
    Measure measure = Measure::highest;
    int highest_of = 1;
    Distinct distinct = Distinct::no;
    int mean_of_bills = 1;     // with the bills before
    Milliwatts least_each{0};  // each bill's own figure is at least this, before any mean
    Milliwatts least{0};       // never billed less
    std::optional<Ratchet> ratchet = {};
    Milliwatts round_to{0};
    Rounding rounding = Rounding::nearest;
    std::vector<std::int64_t> factors = {};  // losses, published capacity factors
    Per per = Per::bill;
    bool whole_band = false;  // all of it at the price of the step it ends in, not step by step
    std::vector<Step> steps;
};

// An amount that does not depend on use, by the size of the main fuse where `by_fuse` is not empty.
struct FixedCharge {
    enum class Each : std::uint8_t { flat, ampere_of_fuse, contracted_kilowatt };
    struct Fuse {
        WholeAmps up_to;
        Money amount;
    };

    std::string name;
    Money amount;
    Per per = Per::bill;
    std::vector<std::size_t> seasons = {};
    Each each = Each::flat;
    std::vector<Fuse> by_fuse = {};  // ascending
};

// Where the lines it counts come to less, a line makes up for it. Of all charges, unless it says which.
struct MinimumBill {
    std::string name;
    Money amount;
    Per per = Per::bill;
    LinesOf of = {};
};

// A tax, a rider or a rebate in millionths, taken in the order they stand. A rider is of all charges, a tax
// of all charges and riders; `compound`: of all lines above it, percentages included.
struct Percentage {
    std::string name;
    std::int64_t millionths = 0;
    LinesOf of = {};
    bool compound = false;
};

// Energy that leaves the house.
struct Export {
    enum class Netting : std::uint8_t { none, interval, window, bill };
    enum class Bank : std::uint8_t { none, money, energy };

    Netting netting = Netting::none;
    Seconds interval{3600};      // of Netting::interval, by the clock
    std::optional<Rate> rate{};  // what is paid; none: what the energy would have cost (without adders
                                 // that count all energy taken)
    Bank bank = Bank::none;      // what is left over goes into the next bill as money, or as energy
    std::optional<date::month_day> expires = {};  // in the first bill that ends on or after it
    std::optional<Rate> settled_at = {};          // what expiring energy is paid; none: nothing
    bool pays_out = false;                        // expiring money is paid; otherwise it is gone
};

}  // namespace lullwatt::tariff
