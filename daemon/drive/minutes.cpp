#include "daemon/drive/minutes.hpp"

#include <algorithm>
#include <utility>

namespace lullwatt::daemon {

void Minutes::change(std::shared_ptr<const io::Household> household) {
    for (const auto& [node, minute] : open_) write(node, minute);
    open_.clear();
    household_ = std::move(household);
}

void Minutes::sampled(std::size_t node, const site::LegAmps& amps, Instant at) {
    const Instant begin = std::chrono::floor<std::chrono::minutes>(at);
    const auto known = open_.find(node);
    if (known != open_.end() && known->second.begin != begin) {
        write(node, known->second);
        open_.erase(known);
    }
    Minute& minute = open_[node];
    minute.begin = begin;
    for (std::size_t leg = 0; leg < amps.size(); ++leg) {
        Leg& sums = minute.legs[leg];
        sums.sum += amps[leg].count();
        sums.most = minute.samples == 0 ? amps[leg] : std::max(sums.most, amps[leg]);
        sums.least = minute.samples == 0 ? amps[leg] : std::min(sums.least, amps[leg]);
    }
    ++minute.samples;
}

void Minutes::write(std::size_t node, const Minute& minute) {
    const site::Node& there = household_->site.site.nodes[node];
    for (const site::Leg leg : site::kLegs) {
        if (!there.legs.has(leg)) continue;
        const Leg& sums = minute.legs[static_cast<std::size_t>(leg)];
        store_.post(io::ledger::Minute{
            .node = there.name,
            .leg = leg,
            .begin = minute.begin,
            .load = io::ledger::Spread<Amps>{
                .mean = Amps(sums.sum / minute.samples), .most = sums.most, .least = sums.least}});
    }
}

}  // namespace lullwatt::daemon
