// A house around the real daemon, second by second over its lockstep socket: one metered service, one car at
// one point.
//
// The simulator is the master of time, so a night takes seconds and the same seconds give the same answers.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "e2e/daemon/running_daemon.hpp"

namespace lullwatt::tests {

class SimulatedHouse {
  public:
    static constexpr long long kTuesdayEvening = 1792530000;  // 18:00 of 20 October 2026 in Halifax
    // `house`: amperes on both legs, by second from `begins`.
    SimulatedHouse(TimeMaster& master, std::function<double(int second)> house,
                   long long begins = kTuesdayEvening);

    void begin();  // to a daemon that was just started; also to one that follows a dead one
    void plug_in();
    void unplug();
    void run_to(int second);
    // Without a daemon: nothing is told to anybody.
    void run_alone_to(int second);
    void lose_link();
    void restore_link();
    // Its profiles are gone; it is back after 20 s.
    void restart_equipment();
    // The car wants nothing, though it is offered, until it wakes.
    void sleep(bool asleep);
    // Somebody sets the daemon's wall clock.
    void set_wall(long long seconds_ahead);
    bool meter_silent = false;

    [[nodiscard]] int second() const { return second_; }
    [[nodiscard]] double car() const { return car_; }
    [[nodiscard]] int offer() const;
    [[nodiscard]] long long register_wh() const { return milliwatt_hours_ / 1000; }
    [[nodiscard]] int writes() const { return writes_; }
    // Seconds in a row, at most, with the service above its limit (99.9 A) while the car drew.
    [[nodiscard]] int longest_excess() const { return longest_excess_; }
    [[nodiscard]] const std::string& recorded() const { return recorded_; }

  private:
    struct Period {
        int amps;
        long long ends;  // second; the last one never
    };
    void step();
    void obey(const std::string& line);
    void report(bool whole);

    TimeMaster& master_;
    std::function<double(int)> house_;
    long long begins_;
    int second_ = 0;
    bool plugged_ = false;
    bool link_ = true;
    bool alone_ = false;
    bool asleep_ = false;
    int starts_again_ = 0;  // second at which it answers again
    double car_ = 0;
    std::vector<int> offers_;  // of the last seconds: the car follows after its response
    std::vector<Period> profile_;
    long long milliwatt_hours_ = 1'000'000;
    int writes_ = 0;
    int excess_ = 0;
    int longest_excess_ = 0;
    std::string recorded_;
};

}  // namespace lullwatt::tests
