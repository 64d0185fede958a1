// Where what happened is kept.
//
// post() never waits for the disk. Loop thread only, and `done` is called there.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "io/ledger/rows.hpp"

namespace lullwatt::daemon {

class Store {
  public:
    // The row's number; none: it does not stand there and will not.
    using Done = std::function<void(std::optional<io::ledger::Id>)>;

    Store() = default;
    Store(const Store&) = delete;
    Store& operator=(const Store&) = delete;
    virtual ~Store() = default;
    // `done` is called once, when a durable row is on disk, or at once where it is turned away; of a passing
    // row never.
    virtual void post(io::ledger::Row row, Done done = {}) = 0;
    // Why nothing is recorded at present; empty: all is well.
    [[nodiscard]] virtual std::string trouble() const = 0;
};

}  // namespace lullwatt::daemon
