// Whether the wall clock may be believed (design §4): a small server may have no battery clock.
//
// Pure function over plain values but for `synchronized`, which looks at the file system; call from any
// thread.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>

#include "core/time/instant.hpp"

namespace lullwatt::daemon {

enum class Trust : std::uint8_t {
    unproven,       // nothing vouches for it yet
    before_ledger,  // it reads earlier than something that was already recorded: certainly wrong
    synchronized,   // the time service has set it
    stated,         // the site file says another service keeps it
};

[[nodiscard]] constexpr bool proven(Trust trust) {
    return trust == Trust::synchronized || trust == Trust::stated;
}

// What systemd-timesyncd leaves once it has set the clock in this boot.
inline constexpr const char* kSynchronizedFile = "/run/systemd/timesync/synchronized";

struct ClockEvidence {
    Instant wall;
    bool synchronized = false;             // the file above exists
    bool stated = false;                   // `clock: trusted` in the site file
    std::optional<Instant> last_recorded;  // the newest time in the ledger
};

[[nodiscard]] constexpr Trust trust(const ClockEvidence& evidence) {
    // The ledger was written under some proven clock; half a minute covers a second that was rounded, and
    // small corrections.
    constexpr Seconds kSlack{30};
    if (evidence.last_recorded && evidence.wall + kSlack < *evidence.last_recorded)
        return Trust::before_ledger;
    if (evidence.synchronized) return Trust::synchronized;
    return evidence.stated ? Trust::stated : Trust::unproven;
}

[[nodiscard]] bool synchronized(const std::filesystem::path& file);

}  // namespace lullwatt::daemon
