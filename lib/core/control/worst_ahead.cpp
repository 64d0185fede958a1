#include "core/control/worst_ahead.hpp"

namespace lullwatt::control {
namespace {

site::LegAmps within(const site::WorstByHour& worst, std::optional<Instant> from, Seconds length,
                     const Zone& zone) {
    site::LegAmps amps{};
    for (const site::Leg leg : site::kLegs) {
        amps[static_cast<std::size_t>(leg)] =
            from ? site::worst_within(worst, leg, {*from, *from + length}, zone) : site::greatest(worst, leg);
    }
    return amps;
}

}  // namespace

void WorstAhead::look(const Now& now, const LimiterSettings& settings) {
    constexpr std::chrono::minutes kMinute{1};
    std::optional<Instant> minute;
    if (now.wall) minute = std::chrono::floor<std::chrono::minutes>(*now.wall);
    if (!usual_.empty() && minute == minute_) return;
    minute_ = minute;
    usual_.clear();
    longest_.clear();
    const auto most = std::chrono::ceil<Seconds>(settings.options.lease_most);
    for (const site::WorstByHour& worst : settings.worst) {
        usual_.push_back(within(worst, minute, settings.site.lease + kMinute, settings.zone));
        longest_.push_back(within(worst, minute, most + kMinute, settings.zone));
    }
}

}  // namespace lullwatt::control
