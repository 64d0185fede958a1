#include "core/control/house_watch.hpp"

#include <algorithm>

namespace lullwatt::control {
namespace {

constexpr Amps kNothing{1e-6};  // rounding, no load

}  // namespace

HouseWatch::HouseWatch(Milliseconds interval, BootTime start, const LimiterOptions& options)
    : options_(options), last_(start), unbroken_from_(start) {
    const Milliseconds by_interval{
        static_cast<Milliseconds::rep>(static_cast<double>(interval.count()) * options.stale_intervals)};
    stale_after_ = std::max(options.stale_least, by_interval);
}

void HouseWatch::sample(BootTime arrived, const site::LegAmps& measured, const site::LegAmps& low,
                        const site::LegAmps& high) {
    if (arrived - last_ > options_.interruption) silence_ = Silence{last_, arrived};
    if (samples_ == 0 || stale(arrived)) {
        unbroken_from_ = arrived;
        for (auto& peaks : peaks_) peaks.clear();
    }
    last_ = arrived;
    forgotten_.reset();
    ++samples_;
    // Twice the longest calm time: near the budget of writes it is doubled.
    const BootTime horizon = arrived - std::max(2 * options_.calm_most, options_.resume_after);
    for (std::size_t leg = 0; leg < measured.size(); ++leg) {
        // Never below 0: what flows back is no relief.
        for_lowering_[leg] = std::max(Amps(0), measured[leg] - high[leg]);
        for_raising_[leg] = std::max(Amps(0), measured[leg] - low[leg]);
        auto& peaks = peaks_[leg];
        while (!peaks.empty() && peaks.back().house <= for_raising_[leg]) peaks.pop_back();
        while (!peaks.empty() && peaks.front().arrived < horizon) peaks.pop_front();
        peaks.push_back({arrived, for_raising_[leg]});
    }
}

void HouseWatch::forget(BootTime now) {
    if (!stale(now)) forgotten_ = now;
}

BootTime HouseWatch::stale_from() const {
    // At the very moment of a stall it is stale already.
    return forgotten_ ? *forgotten_ - Milliseconds{1} : last_ + stale_after_;
}

std::optional<Amps> HouseWatch::greatest(site::Leg leg, BootTime now, Milliseconds time) const {
    if (samples_ == 0 || unbroken_from_ > now - time) return std::nullopt;
    const auto& peaks = peaks_[static_cast<std::size_t>(leg)];
    const auto first = std::ranges::lower_bound(peaks, now - time, {}, &Peak::arrived);
    return first == peaks.end() ? site::on(for_raising_, leg) : first->house;
}

HouseWatch::Verdict HouseWatch::judge(site::Leg leg, Amps load, Amps limit, Amps rating, BootTime now) {
    Above& above = above_[static_cast<std::size_t>(leg)];
    if (load <= limit + kNothing) {
        above = {.judged = samples_};
        return Verdict::keep;
    }
    if (above.judged != samples_ || !above.since) {
        above.judged = samples_;
        ++above.samples;
        if (!above.since) above.since = now;
    }
    const bool lasts =
        above.samples >= options_.samples_above || now - *above.since >= options_.above_for;
    if (load > rating + kNothing) return lasts ? Verdict::above_rating : Verdict::above_rating_once;
    return lasts ? Verdict::above_limit : Verdict::keep;
}

std::optional<BootTime> HouseWatch::judged_again() const {
    std::optional<BootTime> first;
    for (const Above& above : above_) {
        if (!above.since) continue;
        const BootTime at = *above.since + options_.above_for;
        if (!first || at < *first) first = at;
    }
    return first;
}

std::optional<HouseWatch::Silence> HouseWatch::silence(BootTime now) const {
    if (now - last_ > options_.interruption) return Silence{last_, std::nullopt};
    return silence_;
}

}  // namespace lullwatt::control
