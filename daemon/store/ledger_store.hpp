// The ledger as the daemon's store: its writer's thread, with answers brought back to the loop.
//
// Loop thread only, but for the writer inside.
#pragma once

#include <condition_variable>
#include <memory>
#include <mutex>

#include "daemon/loop/loop.hpp"
#include "daemon/ports/store.hpp"
#include "io/ledger/writer.hpp"

namespace lullwatt::daemon {

class LedgerStore final : public Store {
  public:
    // REQUIRES: the loop outlives it.
    LedgerStore(Loop& loop, io::ledger::Ledger ledger) : loop_(loop), writer_(std::move(ledger)) {}
    // Commits what waits.
    ~LedgerStore() override = default;
    void post(io::ledger::Row row, Done done = {}) override;
    [[nodiscard]] std::string trouble() const override;

    // For lockstep: whether a durable row is under way, and waiting until none is. A failing disk keeps
    // nobody.
    [[nodiscard]] bool drained() const;
    void wait_until_drained();

  private:
    Loop& loop_;
    mutable std::mutex mutex_;
    std::condition_variable answered_;
    std::size_t outstanding_ = 0;  // guarded by mutex_
    io::ledger::Writer writer_;    // last: its thread uses the others
};

}  // namespace lullwatt::daemon
