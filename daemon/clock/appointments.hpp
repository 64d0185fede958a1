// Alarms of a time that somebody moves: they ring when its master says that their time has come.
//
// Loop thread only.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "daemon/ports/alarm.hpp"

namespace lullwatt::daemon {

class Appointments final : public Alarms {
  public:
    [[nodiscard]] std::unique_ptr<Alarm> alarm(std::function<void()> ring) override;

    [[nodiscard]] std::optional<BootTime> next() const;
    // One of those at `at`: what it sets going comes before the next one. REQUIRES: at == next().
    void ring_one(BootTime at);

  private:
    struct Appointment;
    class Entry;
    std::vector<std::weak_ptr<Appointment>> all_;
};

}  // namespace lullwatt::daemon
