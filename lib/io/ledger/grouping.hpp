// When the rows that wait are to be committed: durable ones together within 50 ms, passing ones each minute.
//
// A value; not safe to use from several threads at once. Time is told to it.
#pragma once

#include <algorithm>
#include <chrono>
#include <optional>

namespace lullwatt::io::ledger {

struct Waits {
    std::chrono::milliseconds durable{50};
    std::chrono::milliseconds passing{60'000};
    std::chrono::milliseconds after_failure{5'000};
};

class Grouping {
  public:
    using Time = std::chrono::steady_clock::time_point;

    explicit Grouping(const Waits& waits) : waits_(waits) {}

    void row_waits(bool durable, Time now) {
        const Time due = now + (durable ? waits_.durable : waits_.passing);
        due_ = due_ ? std::min(*due_, due) : due;
    }
    void committed() { due_.reset(), not_before_.reset(); }
    void failed(Time now) { not_before_ = now + waits_.after_failure; }

    // None: nothing waits.
    [[nodiscard]] std::optional<Time> due() const {
        return due_ && not_before_ ? std::max(*due_, *not_before_) : due_;
    }

  private:
    Waits waits_;
    std::optional<Time> due_;
    std::optional<Time> not_before_;
};

}  // namespace lullwatt::io::ledger
