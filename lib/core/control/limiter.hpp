// The live limiter: keeps every node within its continuous share while cars charge (design §7).
//
// It holds all state of the live control and has neither clock nor devices: it is told what was heard, and
// asked what to do. One thread. Times given to it never go backwards; every index is within the settings'
// site. A limiter built anew knows only what equipment then reports, and needs no more.
//
// Not here: adoption with its drill, free experiments and the ladder. They come as further inputs (a point
// that may not be driven above standing; a suspect meter; a point to be shut off) that lower a cap.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/control/calm_time.hpp"
#include "core/control/current_model.hpp"
#include "core/control/decision.hpp"
#include "core/control/house_watch.hpp"
#include "core/control/settings.hpp"
#include "core/control/sharing.hpp"
#include "core/control/worst_ahead.hpp"
#include "core/control/write_budget.hpp"

namespace lullwatt::control {

class Limiter {
  public:
    // `seed`: chooses waits after an interruption. `writes`: per point, as the caller kept them; empty: none.
    // REQUIRES: settings' lists of the site's size.
    Limiter(LimiterSettings settings, BootTime start, std::uint64_t seed,
            std::vector<WritesSoFar> writes = {});

    // What was heard. Ask decide() after any of these. A sample that is not all numbers is none.
    void meter(const MeterSample& sample);
    void report(std::size_t point, const PointReport& report);
    void plan(std::size_t point, PointPlan plan);
    void hold(std::size_t point, std::optional<Hold> hold) { points_[point].hold = hold; }
    void ceiling(std::size_t node, std::optional<Ceiling> ceiling) { ceilings_[node] = ceiling; }
    // A link that comes back is told its offer anew. Links count as up from the first report on.
    void link(std::size_t point, bool up);
    void rebooted(std::size_t point, BootTime at);
    // A meter tells by itself that the supply was interrupted for over a minute and is back.
    void supply_interrupted(BootTime back) { told_interruption_ = back; }
    // The equipment took a write, or refused it (it is then decided anew, after
    // LimiterOptions::answer_within).
    void accepted(std::size_t point, std::uint64_t number, BootTime at);
    void refused(std::size_t point, std::uint64_t number, BootTime at);
    // The caller's loop noticed a stall or a suspend that decide() cannot see.
    void stalled(BootTime at);
    // Takes new settings for the same nodes and points, keeping what was heard and the options. False, and
    // nothing changed, where their names, order or legs or the meters differ: build a new limiter then.
    [[nodiscard]] bool change(LimiterSettings settings);

    // The writes in it count as sent at now.boot.
    [[nodiscard]] Decision decide(const Now& now);

    [[nodiscard]] const WritesSoFar& writes(std::size_t point) const {
        return points_[point].writes.so_far();
    }
    // The house as last judged; empty where no meter was heard.
    [[nodiscard]] std::optional<site::LegAmps> house(std::size_t node) const;
    // The learned time a point's car takes to follow an offer.
    [[nodiscard]] Milliseconds response(std::size_t point) const { return points_[point].model.response(); }

  private:
    struct PointState {
        CurrentModel model;
        CalmTime calm;
        WriteBudget writes;
        std::vector<std::size_t> path = {};
        std::optional<PointPlan> plan = {};
        std::optional<Hold> hold = {};
        bool link_up = false;
        bool reported = false;
        Stop stop = {};
        bool write_anew = false;
        std::optional<BootTime> refused = {};  // when the last write was
        WholeAmps refused_amps = {};
        std::optional<BootTime> rebooted = {};
        std::optional<BootTime> waits_until = {};  // after an interruption
    };

    void notice_stall(BootTime now);
    void notice_interruption(std::size_t point, BootTime now);
    void hear_nothing(std::size_t point, BootTime now);
    [[nodiscard]] std::vector<NodeNow> nodes_now(const Now& now);
    [[nodiscard]] PointNow point_now(std::size_t point, const Now& now);
    [[nodiscard]] std::vector<std::size_t> least_slack_first() const;
    [[nodiscard]] bool may_be_told(std::size_t point) const;
    [[nodiscard]] Milliseconds lease_length(std::size_t point, const std::vector<NodeNow>& nodes,
                                            const std::vector<PointNow>& points,
                                            const std::vector<Share>& shares) const;
    [[nodiscard]] PointDecision answer(std::size_t point, const PointNow& at, const Share& share,
                                       Milliseconds lease, BootTime now);
    [[nodiscard]] Reason why_not_told(std::size_t point) const;
    [[nodiscard]] BootTime look_again(const std::vector<PointNow>& points, BootTime now) const;

    LimiterSettings settings_;
    BootTime start_;
    std::uint64_t seed_;
    std::uint64_t last_write_ = 0;
    WorstAhead worst_;
    std::vector<std::optional<HouseWatch>> watches_;
    std::vector<std::optional<Ceiling>> ceilings_;
    std::vector<PointState> points_;
    std::optional<BootTime> told_interruption_;
    std::optional<BootTime> promised_;  // the last decision's look_again
};

}  // namespace lullwatt::control
