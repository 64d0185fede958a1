// A limiter on a bench: a site of one service and a few points, told and asked by hand, a second at a time.
#pragma once

#include <string>
#include <vector>

#include "core/control/limiter.hpp"

namespace lullwatt::tests {

inline constexpr site::Legs kBothLegs{site::Leg::L1, site::Leg::L2};

inline site::LegAmps both(double amps) { return {Amps(amps), Amps(amps), Amps(0)}; }

inline BootTime boot(double seconds) {
    return BootTime{Milliseconds{static_cast<std::int64_t>(seconds * 1000)}};
}

// A 100 A service (limit 80 A, house at worst `worst`) with its points on one 50 A circuit each, driven up to
// 40 A, standing 0 or `standing`.
struct BenchSite {
    std::size_t points = 1;
    double worst = 50;
    int standing = 0;
    std::optional<Milliseconds> interval = Seconds{1};
    double feeder = 0;  // not 0: all circuits hang on a feeder of that rating, without a meter or a load
    control::LimiterOptions options = {};
};

inline control::LimiterSettings bench_settings(const BenchSite& of) {
    using site::Node, site::NodeKind;
    control::LimiterSettings made;
    made.site.leg_to_neutral = Volts(120);
    made.site.nodes = {Node{.name = "service", .rating = Amps(100), .legs = kBothLegs}};
    std::size_t above = 0;
    if (of.feeder > 0) {
        made.site.nodes.push_back({.name = "garage feeder",
                                   .kind = NodeKind::feeder,
                                   .parent = 0,
                                   .rating = Amps(of.feeder),
                                   .legs = kBothLegs});
        above = 1;
    }
    for (std::size_t p = 0; p < of.points; ++p) {
        made.site.nodes.push_back({.name = "circuit " + std::to_string(p),
                                   .kind = NodeKind::circuit,
                                   .parent = above,
                                   .rating = Amps(50),
                                   .legs = kBothLegs});
        made.site.points.push_back({.name = "point " + std::to_string(p),
                                    .circuit = made.site.nodes.size() - 1,
                                    .legs = kBothLegs,
                                    .hard_setting = WholeAmps(40)});
        made.unattended.emplace_back(of.standing);
    }
    made.worst.resize(made.site.nodes.size());
    for (auto& hour : made.worst[0]) hour = both(of.worst);
    made.interval.resize(made.site.nodes.size());
    made.interval[0] = of.interval;
    made.options = of.options;
    return made;
}

class LimiterBench {
  public:
    explicit LimiterBench(const BenchSite& of = {}, BootTime start = BootTime{}, std::uint64_t seed = 1)
        : limiter(bench_settings(of), start, seed), now{start, Instant{Seconds{1'790'000'000}}} {}

    // The clock goes on; nothing is asked.
    void wait(double seconds) {
        const auto step = boot(seconds).time_since_epoch();
        now.boot += step;
        millis_ += step;
        if (now.wall) now.wall = Instant{Seconds{1'790'000'000} + std::chrono::floor<Seconds>(millis_)};
    }
    // What the service's meter shows on both legs, cars and house.
    void measured(double amps) { limiter.meter({.arrived = now.boot, .amps = both(amps)}); }

    void reported(std::size_t point, const control::PointReport& what) {
        control::PointReport report = what;
        report.taken = now.boot;
        limiter.report(point, report);
    }
    void charging(std::size_t point, double amps) {
        reported(point, {.status = control::PointStatus::charging, .current = both(amps)});
    }
    // A plan of one piece from now on.
    void planned(std::size_t point, int amps, std::optional<Seconds> slack = std::nullopt) {
        limiter.plan(point, {.pieces = {{{*now.wall, *now.wall + std::chrono::hours{24}}, WholeAmps(amps)}},
                             .slack = slack});
    }

    // Asks; every write is taken at once unless `answers` is off.
    const control::Decision& ask() {
        last = limiter.decide(now);
        for (std::size_t p = 0; p < last.points.size(); ++p) {
            if (!last.points[p].write) continue;
            ++writes;
            if (answers) limiter.accepted(p, last.points[p].write->number, now.boot);
        }
        return last;
    }
    int setpoint(std::size_t point = 0) const { return last.points[point].setpoint.count(); }
    control::Bind bind(std::size_t point = 0) const { return last.points[point].reasons.front().bind; }
    bool binds(control::Bind bind, std::size_t point = 0) const {
        for (const auto& reason : last.points[point].reasons) {
            if (reason.bind == bind) return true;
        }
        return false;
    }

    // So many seconds with a house of `house` on both legs and cars that draw what they are offered, metered
    // and reported every second.
    void run(int seconds, double house) {
        for (int second = 0; second < seconds; ++second) {
            wait(1);
            double cars = 0;
            for (std::size_t p = 0; p < last.points.size(); ++p) cars += setpoint(p);
            measured(house + cars);
            for (std::size_t p = 0; p < last.points.size(); ++p) charging(p, setpoint(p));
            ask();
        }
    }

    control::Limiter limiter;
    Now now;
    control::Decision last;
    bool answers = true;
    int writes = 0;

  private:
    Milliseconds millis_{0};
};

// Charging at 40 A beside a house of 20 A, watched for long enough to be raised.
inline LimiterBench charging_at_40(const BenchSite& of) {
    LimiterBench bench(of);
    bench.reported(0, {.status = control::PointStatus::charging, .offer = WholeAmps(0), .current = both(0)});
    bench.planned(0, 40);
    bench.measured(20);
    bench.ask();
    bench.run(200, 20);
    return bench;
}

}  // namespace lullwatt::tests
