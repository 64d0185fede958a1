// What the house draws at one metered node, as far as the meter and the cars' current models tell.
//
// Owned by the limiter; one thread. Times never go backwards.
#pragma once

#include <array>
#include <cstdint>
#include <deque>
#include <optional>

#include "core/control/options.hpp"
#include "core/site/site.hpp"

namespace lullwatt::control {

class HouseWatch {
  public:
    // `interval`: between two samples of this meter. Until the first sample, age counts from `start`.
    HouseWatch(Milliseconds interval, BootTime start, const LimiterOptions& options);

    // `low` and `high`: the least and greatest that the cars below may draw in what was measured.
    void sample(BootTime arrived, const site::LegAmps& measured, const site::LegAmps& low,
                const site::LegAmps& high);
    // A stall: whatever was heard before counts for nothing.
    void forget(BootTime now);

    [[nodiscard]] bool stale(BootTime now) const { return now > stale_from(); }
    // The moment from which it is stale unless a sample comes.
    [[nodiscard]] BootTime stale_from() const;

    [[nodiscard]] bool heard() const { return samples_ > 0; }
    // The latest sample's arrival, or the start.
    [[nodiscard]] BootTime last() const { return last_; }
    // The latest sample less the most the cars may draw: judges lowering.
    [[nodiscard]] Amps house_for_lowering(site::Leg leg) const { return site::on(for_lowering_, leg); }
    // The latest sample less the least the cars draw.
    [[nodiscard]] Amps house_for_raising(site::Leg leg) const { return site::on(for_raising_, leg); }
    // Its greatest over the last `time`; empty where the meter was not heard all along.
    [[nodiscard]] std::optional<Amps> greatest(site::Leg leg, BootTime now, Milliseconds time) const;

    // Whether the leg must come down, with `load` on it as the cars will draw and the latest house: at once
    // above `rating`, even for what may be a motor's inrush (`once`); after some samples or some time above
    // `limit`.
    enum class Verdict : std::uint8_t { keep, above_limit, above_rating_once, above_rating };
    [[nodiscard]] Verdict judge(site::Leg leg, Amps load, Amps limit, Amps rating, BootTime now);
    // When `judge` may change its mind without another sample.
    [[nodiscard]] std::optional<BootTime> judged_again() const;

    // The last silence longer than LimiterOptions::interruption: when it began, and its end where it is over.
    struct Silence {
        BootTime begin;
        std::optional<BootTime> end;
    };
    [[nodiscard]] std::optional<Silence> silence(BootTime now) const;

  private:
    struct Peak {
        BootTime arrived;
        Amps house;
    };
    struct Above {
        std::uint64_t judged = 0;  // the last sample looked at
        int samples = 0;
        std::optional<BootTime> since;
    };

    LimiterOptions options_;
    Milliseconds stale_after_;
    BootTime last_;           // the latest sample's arrival, or the start
    BootTime unbroken_from_;  // heard without a gap since then
    std::optional<BootTime> forgotten_;
    std::uint64_t samples_ = 0;
    site::LegAmps for_lowering_{};
    site::LegAmps for_raising_{};
    std::array<std::deque<Peak>, 3> peaks_;  // per leg, ascending in time, descending in house
    std::array<Above, 3> above_;
    std::optional<Silence> silence_;
};

}  // namespace lullwatt::control
