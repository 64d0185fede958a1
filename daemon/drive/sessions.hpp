// From transactions at the points to rows of the ledger: begun, read, ended, settled with what they cost.
//
// Loop thread only; a session is settled on the worker.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <vector>

#include "daemon/log/log.hpp"
#include "daemon/loop/loop.hpp"
#include "daemon/planner/worker.hpp"
#include "daemon/ports/equipment.hpp"
#include "daemon/ports/store.hpp"
#include "io/household/household.hpp"
#include "io/ledger/reader.hpp"

namespace lullwatt::daemon {

class Sessions {
  public:
    struct Ports {
        Loop& loop;
        Worker& worker;
        Store& store;
        std::filesystem::path ledger;
        Log log;
    };
    // A finished session, not in the ledger yet.
    struct Settled {
        io::ledger::SessionRow row;
        std::string line;  // for the log
    };

    // `open`: transactions that the ledger has no session of. Those that ended are settled now.
    Sessions(Ports ports, std::shared_ptr<const io::Household> household,
             const std::vector<io::ledger::StoredTransaction>& open);
    ~Sessions() { *alive_ = false; }
    Sessions(const Sessions&) = delete;
    Sessions& operator=(const Sessions&) = delete;
    void change(std::shared_ptr<const io::Household> household);

    void began(std::size_t point, const TransactionBegun& begun, bool proven,
               const std::function<void(std::optional<std::int64_t>)>& recorded);
    void ended(std::size_t point, const TransactionEnded& ended, bool proven);
    // A report's register and current, as samples; a register at a quarter of an hour also as a reading that
    // money rests on.
    void reported(std::size_t point, const control::PointReport& report, Instant at, bool proven);

    // Of the transaction under way; none: there is none.
    [[nodiscard]] std::optional<WattHours> begun_at(std::size_t point) const;
    // The register's last word.
    [[nodiscard]] std::optional<WattHours> last_register(std::size_t point) const;

  private:
    struct Open {
        std::optional<io::ledger::Id> id;  // none: not recorded yet, or not at all
        WattHours begin;
        Instant at;
    };
    struct PointState {
        std::optional<Open> open;
        std::optional<WattHours> last;
        std::optional<Instant> quarter;  // the last one read at
        std::optional<site::LegAmps> sampled_current;
        std::optional<WattHours> sampled_register;
        std::optional<Instant> sampled_at;
    };
    [[nodiscard]] const std::string& name(std::size_t point) const;
    void sample(std::size_t point, const control::PointReport& report, Instant at);
    void settle(io::ledger::Id transaction);
    void keep(const io::Read<Settled>& found);

    Ports ports_;
    std::shared_ptr<const io::Household> household_;
    std::vector<PointState> points_;
    std::shared_ptr<bool> alive_ = std::make_shared<bool>(true);
};

}  // namespace lullwatt::daemon
