// Supply equipment as the daemon sees it, whatever protocol is behind it: told what to offer, heard what it
// says.
//
// Loop thread only. A link translates and never decides.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>

#include "core/control/decision.hpp"
#include "core/control/input.hpp"

namespace lullwatt::daemon {

// A car was plugged in and let charge.
struct TransactionBegun {
    Instant at;
    WattHours energy_register;
    std::string token;  // what the equipment was shown; may be empty
};
struct TransactionEnded {
    Instant at;
    WattHours energy_register;
    std::string reason;
};

// Who hears it. Points by their place in the site.
class EquipmentListener {
  public:
    EquipmentListener() = default;
    EquipmentListener(const EquipmentListener&) = delete;
    EquipmentListener& operator=(const EquipmentListener&) = delete;
    virtual ~EquipmentListener() = default;
    virtual void link(std::size_t point, bool up) = 0;
    virtual void restarted(std::size_t point, BootTime at) = 0;
    // Status, offer in force, current and register, each with the time it was taken.
    virtual void reported(std::size_t point, const control::PointReport& report) = 0;
    virtual void answered(std::size_t point, std::uint64_t write, bool accepted) = 0;
    // `recorded` is called once it stands on disk, with the transaction's number; or with none where it
    // cannot.
    virtual void began(std::size_t point, const TransactionBegun& begun,
                       std::function<void(std::optional<std::int64_t>)> recorded) = 0;
    virtual void ended(std::size_t point, const TransactionEnded& ended) = 0;
};

class Equipment {
  public:
    Equipment() = default;
    Equipment(const Equipment&) = delete;
    Equipment& operator=(const Equipment&) = delete;
    virtual ~Equipment() = default;
    virtual void listen(EquipmentListener* listener) = 0;  // null: nobody any more
    // An offer with its schedule. Never waits; what became of it comes to answered(). One that reduces jumps
    // every queue.
    virtual void offer(std::size_t point, const control::Write& write) = 0;
};

}  // namespace lullwatt::daemon
