#include "core/control/interruption.hpp"

namespace lullwatt::control {
namespace {

// The finaliser of splitmix64 (Steele, Lea, Flood 2014; from memory): neighbouring seeds give unlike results.
std::uint64_t mixed(std::uint64_t value) {
    value += 0x9e3779b97f4a7c15U;
    value = (value ^ (value >> 30U)) * 0xbf58476d1ce4e5b9U;
    value = (value ^ (value >> 27U)) * 0x94d049bb133111ebU;
    return value ^ (value >> 31U);
}

}  // namespace

bool supply_was_interrupted(const HouseWatch::Silence& silence, BootTime rebooted,
                            const LimiterOptions& options) {
    return rebooted >= silence.begin && (!silence.end || rebooted <= *silence.end + options.reboot_after_gap);
}

Seconds wait_after_interruption(std::uint64_t seed, std::size_t point, const LimiterOptions& options) {
    const auto span = static_cast<std::uint64_t>((options.wait_most - options.wait_least).count()) + 1;
    return options.wait_least + Seconds(static_cast<Seconds::rep>(mixed(mixed(seed) + point) % span));
}

}  // namespace lullwatt::control
