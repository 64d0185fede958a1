// lullwatt-demo-history: writes the meter history of Harbour Row 9, an invented all-electric household in the
// zone America/Halifax, for the year from 2025-11-01. All numbers are made up; whole-number arithmetic and a
// generator of its own make every build write the same bytes.
#include <algorithm>
#include <array>
#include <chrono>
#include <cstdint>
#include <iostream>
#include <vector>

#include "core/quantity/wide.hpp"
#include "core/site/history.hpp"
#include "core/time/zone.hpp"
#include "io/history/history.hpp"

namespace {

using namespace lullwatt;
using namespace std::chrono_literals;
using date::operator""_y;

constexpr date::local_days kFirstDay{2025_y / 11 / 1};
constexpr date::local_days kEnd{2026_y / 11 / 1};
constexpr std::uint64_t kSeed = 9;

// The clock changes of that year, so that no zone file has a say.
Zone halifax() {
    return {"America/Halifax",
            {{Instant{1741500000s}, -3h, "ADT"},
             {Instant{1762059600s}, -4h, "AST"},
             {Instant{1772949600s}, -3h, "ADT"},
             {Instant{1793509200s}, -4h, "AST"}},
            {Instant{1741500000s}, Instant{1800000000s}}};
}

// SplitMix64 (Steele, Lea and Flood, 2014).
class Chance {
  public:
    explicit Chance(std::uint64_t seed) : state_(seed) {}
    // Evenly from lowest to highest, both included.
    int between(int lowest, int highest) {
        return lowest + static_cast<int>(next() % static_cast<std::uint64_t>(highest - lowest + 1));
    }
    bool percent(int share) { return between(1, 100) <= share; }

  private:
    std::uint64_t next() {
        state_ += 0x9E3779B97F4A7C15U;
        std::uint64_t z = state_;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
        return z ^ (z >> 31);
    }
    std::uint64_t state_;
};

// Watts on the two legs. What runs on 240 V loads both alike.
struct Load {
    int l1 = 0;
    int l2 = 0;
    Load& operator+=(Load other) {
        l1 += other.l1;
        l2 += other.l2;
        return *this;
    }
};
Load both_legs(int watts) { return {watts / 2, watts / 2}; }

class Year {
  public:
    Year() : minutes_(static_cast<std::size_t>((end_ - begin_) / 1min)), hot_water_(minutes_.size()) {}

    site::MeterHistory history() {
        for (date::local_days day = kFirstDay; day < kEnd; day += date::days{1}) live(day);
        for (std::size_t minute = 0; minute < minutes_.size(); ++minute)
            minutes_[minute] += by_itself(minute);
        site::MeterHistory history{"house", {site::Leg::L1, site::Leg::L2}, {}};
        for (std::size_t minute = 0; minute + 15 <= minutes_.size(); minute += 15)
            history.rows.push_back(row(minute));
        return history;
    }

  private:
    // What people do on one day of the clock.
    void live(date::local_days day) {
        const date::weekday weekday{day};
        const bool weekend = weekday == date::Saturday || weekday == date::Sunday;
        warmth_ = warmth_ * 7 / 10 + chance_.between(-30, 30);
        day_warmth_.push_back(warmth_);

        const CivilTime wake = day + (weekend ? 8h : 6h) + minutes(15, 45);
        const CivilTime sleep = day + 22h + minutes(15, 75);
        const auto morning = minutes(50, 90);
        run(wake, morning, people(150, 300));
        run(wake + 5min, minutes(3, 5), {0, 1500});  // kettle
        run(wake + 15min, minutes(4, 8), {900, 0});  // toaster
        for (int shower = chance_.between(1, 2); shower > 0; --shower) draw(wake + minutes(5, 60), 2200);
        if (weekend) run(day + 10h, 7h, people(120, 260));
        if (weekend && chance_.percent(55)) cook(day + 12h + minutes(0, 40), 25min);

        const CivilTime home = day + 17h + minutes(0, 30);
        run(home, std::chrono::floor<std::chrono::minutes>(sleep - home), people(230, 400));
        run(home + 10min, minutes(3, 5), {0, 1500});
        const auto dinner = minutes(35, 50);
        if (chance_.percent(85)) cook(home + minutes(15, 45), dinner);
        draw(day + 19h + minutes(0, 20), 900);  // washing up
        if (chance_.percent(60)) draw(day + 20h + minutes(0, 80), 2500);
        if (weekend ? chance_.percent(60) : chance_.percent(25)) {
            dry(day + (weekend ? 14h : 19h) + minutes(45, 75));
        } else if (chance_.percent(60)) {
            run(day + 20h + minutes(0, 30), 35min, {0, 1150});  // dishwasher
        }
    }

    // Lights, screens and whatever else is on where people are. The two legs are drawn one after the other,
    // for the order of a call's arguments is the compiler's choice.
    Load people(int least, int most) {
        const int l1 = chance_.between(least, most);
        const int l2 = chance_.between(least, most);
        return {l1, l2};
    }

    std::chrono::minutes minutes(int least, int most) {
        return std::chrono::minutes{chance_.between(least, most)};
    }

    // A range on 240 V: hot at once, then on and off by its thermostat.
    void cook(CivilTime from, std::chrono::minutes length) {
        run(from, 10min, both_legs(3000));
        for (auto at = 10min; at < length; at += 6min) run(from + at, 3min, both_legs(3000));
        run(from + 12min, length / 2, both_legs(1400));
        run(from + 12min, length / 2, {0, 150});  // hood
    }

    void dry(CivilTime from) {
        for (auto at = 0min; at < 50min; at += 5min)
            run(from + at, at < 25min ? 5min : 3min, both_legs(4400));
        run(from, 50min, {300, 0});  // drum
    }

    void run(CivilTime from, std::chrono::minutes length, Load load) {
        for (std::size_t at = minute_of(from), end = at + static_cast<std::size_t>(length.count());
             at < end && at < minutes_.size(); ++at) {
            minutes_[at] += load;
        }
    }

    // Hot water drawn, in watt-hours.
    void draw(CivilTime at, int watt_hours) {
        if (const std::size_t minute = minute_of(at); minute < hot_water_.size())
            hot_water_[minute] += watt_hours;
    }

    // What runs without anybody: standby, refrigeration, heat pump, water heater. Called minute by minute.
    Load by_itself(std::size_t minute) {
        Load load{130, 160};
        if (minute % 47 < 16) load += {140, 0};  // refrigerator
        if (minute % 61 < 21) load += {0, 110};  // freezer
        load += both_legs(heat_pump(minute));
        return load += both_legs(water_heater(minute));
    }

    int heat_pump(std::size_t minute) {
        constexpr int kPerDegree = 105;  // watts per degree below 16
        const CivilTime label = zone_.civil(begin_ + std::chrono::minutes{minute});
        const auto day = date::floor<date::days>(label);
        const auto of_day = static_cast<int>((label - day) / 1min);
        const int watts = (160 - outdoors(day, of_day)) * kPerDegree / 10;
        if (watts < 300) return 0;
        const bool night = of_day < 5 * 60 || of_day >= 22 * 60 + 30;
        return std::min(night ? watts * 6 / 10 : watts, 3600);
    }

    // Tenths of a degree: the season's mean, the day's own warmth, and the hour of the day.
    [[nodiscard]] int outdoors(date::local_days day, int minute_of_day) const {
        constexpr std::array<int, 13> kMonths = {-40, -42, -5, 48, 100, 150, 188, 190, 152, 95, 45, -10, -40};
        const date::year_month_day date{day};
        const auto month = static_cast<std::size_t>(static_cast<unsigned>(date.month()) - 1);
        const int of_month = static_cast<int>(static_cast<unsigned>(date.day())) - 1;
        const int season = kMonths[month] + (kMonths[month + 1] - kMonths[month]) * of_month / 31;
        const int from_three = std::abs(minute_of_day - 15 * 60);
        const int hour = 30 - 60 * std::min(from_three, 24 * 60 - from_three) / (12 * 60);
        const auto lived = static_cast<std::size_t>((day - kFirstDay).count());
        return season + day_warmth_[std::min(lived, day_warmth_.size() - 1)] + hour;
    }

    int water_heater(std::size_t minute) {
        constexpr int kElement = 4500;
        missing_ += hot_water_[minute] * 60 + 70;  // watt-minutes; 70 W leak through the jacket
        if (missing_ > 700 * 60) heating_ = true;
        if (missing_ < kElement) heating_ = false;
        if (!heating_) return 0;
        missing_ -= kElement;
        return kElement;
    }

    [[nodiscard]] site::HistoryRow row(std::size_t minute) const {
        Load sum;
        for (std::size_t i = 0; i < 15; ++i) sum += minutes_[minute + i];
        const Instant begin = begin_ + std::chrono::minutes{minute};
        const auto energy = [](int watt_minutes) {
            return WattHours(static_cast<std::int64_t>(nearest_quotient(watt_minutes, 60)));
        };
        return {{begin, begin + 15min}, {energy(sum.l1), energy(sum.l2), WattHours(0)}, Quality::measured};
    }

    [[nodiscard]] std::size_t minute_of(CivilTime label) const {
        return static_cast<std::size_t>((zone_.instant(label) - begin_) / 1min);
    }

    Zone zone_ = halifax();
    Instant begin_ = zone_.instant(kFirstDay);
    Instant end_ = zone_.instant(kEnd);
    Chance chance_{kSeed};
    std::vector<Load> minutes_;
    std::vector<int> hot_water_;
    std::vector<int> day_warmth_;
    int warmth_ = 0;
    int missing_ = 0;
    bool heating_ = false;
};

}  // namespace

int main() {
    std::cout << io::history_text(Year().history());
    return std::cout.flush() ? 0 : 1;
}
