// Small pieces tests build meters' histories from.
#pragma once

#include <chrono>
#include <initializer_list>

#include "core/site/history.hpp"
#include "core/time/zone.hpp"

namespace lullwatt::tests {

// Halifax around 2026: UTC−4, and UTC−3 from 2025-03-09 to 2025-11-02 and from 2026-03-08 to 2026-11-01.
inline Zone halifax() {
    using namespace std::chrono_literals;
    return {"America/Halifax",
            {{Instant{0s}, -4h, "AST"},
             {Instant{1741500000s}, -3h, "ADT"},
             {Instant{1762059600s}, -4h, "AST"},
             {Instant{1772949600s}, -3h, "ADT"},
             {Instant{1793509200s}, -4h, "AST"}},
            {Instant{0s}, Instant{1900000000s}}};
}

inline Instant utc(int year, unsigned month, unsigned day, Seconds time_of_day = Seconds{0}) {
    return Instant{date::sys_days{date::year{year} / month / day} + time_of_day};
}

inline bool no_holiday(CivilDate) { return false; }

// A reading of whole watt-hours per leg.
inline site::HistoryRow row(Instant begin, Seconds length, std::initializer_list<std::int64_t> watt_hours,
                            Quality quality = Quality::measured) {
    site::HistoryRow made{{begin, begin + length}, {}, quality};
    std::size_t place = 0;
    for (const std::int64_t energy : watt_hours) made.energy[place++] = WattHours(energy);
    return made;
}

}  // namespace lullwatt::tests
