// A bill to the last cent: what was used in a bill's days, under a tariff, as lines that sum to the total.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/tariff/stretches.hpp"
#include "core/time/energy_series.hpp"

namespace lullwatt::account {

using tariff::DateSpan;
using tariff::Part;

// What a tariff has to know of the household that has signed for it.
struct Terms {
    std::optional<WholeAmps> fuse;         // the main fuse charges go by
    std::optional<Milliwatts> contracted;  // the power ordered
    std::optional<Milliwatts> given_peak;  // the utility's own figure, where a charge goes by one
    int months = 1;                        // that one bill stands for, where the proration says `bill`
};

// A meter's readings. They may reach beyond the bill; energy is spread evenly over a reading.
struct Metered {
    EnergySeries taken;
    EnergySeries given;  // back to the network; negative readings of `taken` are moved here
};

// Totals as a bill prints them. An empty name: the only one there is.
struct Typed {
    struct Energy {
        std::string window;
        MilliwattHours energy;
    };
    struct Demand {
        std::string charge;
        Milliwatts power;
    };
    std::vector<Energy> taken;
    std::vector<Energy> given;
    std::vector<Demand> demand;
};

// What one bill leaves for the next.
struct Carried {
    struct Used {
        std::string block;
        CivilDate since;  // the year's or season's begin
        MilliwattHours energy;
    };
    struct Peak {
        std::string charge;
        CivilDate bill;  // its first day
        Milliwatts power;
        int number = 0;  // of the bill, counted from the first
    };
    struct Banked {
        std::string window;  // empty: of any hours
        MilliwattHours energy;
    };
    std::vector<Used> used;
    std::vector<Peak> peaks;
    std::vector<Banked> energy;
    Money money;
    int bills = 0;  // that went before
};

struct Line {
    enum class Unit : std::uint8_t { none, kilowatt_hour, kilowatt, percent };
    Part part = Part::window;
    std::string name;
    DateSpan days;              // of the bill that it counts
    std::int64_t quantity = 0;  // in 1e-6 of the unit; percent: of the lines it counts
    Unit unit = Unit::none;
    std::optional<std::int64_t> rate =
        {};            // in 1e-12 of the currency per unit; none: it varies, or there is none
    Money amount;      // rounded as the tariff says
    std::string rule;  // how it came about, where that is no plain product
};

struct PeakTime {
    std::string charge;
    Interval when;
    Milliwatts power;     // as it counts: with the share of its hours
    bool coarse = false;  // a reading longer than the interval: the true peak may be higher
};

struct Bill {
    DateSpan days;
    std::vector<Line> lines;
    Money total;  // the lines' sum
    MilliwattHours taken;
    MilliwattHours given;
    Seconds without_readings{0};
    bool assumed = false;  // a price or class of day in it was not announced
    std::vector<PeakTime> peaks;
    Carried after;
};

struct Refusal {
    std::string what;
    std::string mend;
};

// `clock` is the tariff's own. A bill beyond 1e12 of the currency is refused. REQUIRES: days.from < days.to,
// within clock.known(); energies below 1 TWh in all, and amounts as io/tariff_file admits them.
[[nodiscard]] std::variant<Bill, Refusal> bill(const tariff::Tariff& tariff, const Zone& clock, DateSpan days,
                                               const std::variant<Metered, Typed>& usage, const Terms& terms,
                                               const Carried& before);

// Bills of `spans` in order, each with what the one before carries over.
[[nodiscard]] std::variant<std::vector<Bill>, Refusal> bills(const tariff::Tariff& tariff, const Zone& clock,
                                                             const std::vector<DateSpan>& spans,
                                                             const std::variant<Metered, Typed>& usage,
                                                             const Terms& terms);

}  // namespace lullwatt::account
