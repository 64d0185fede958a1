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

#include "daemon/drive/point_time.hpp"
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

    // When something was told, and whether its wall time can be trusted.
    struct Told {
        Moment at;
        bool proven = true;
    };

    // `open`: transactions that the ledger has no session of. All are settled now but the last of each
    // point, where its end is not known.
    Sessions(Ports ports, std::shared_ptr<const io::Household> household,
             const std::vector<io::ledger::StoredTransaction>& open);
    ~Sessions() { *alive_ = false; }
    Sessions(const Sessions&) = delete;
    Sessions& operator=(const Sessions&) = delete;
    void change(std::shared_ptr<const io::Household> household);

    void began(std::size_t point, const TransactionBegun& begun, const Told& told,
               const std::function<void(std::optional<std::int64_t>)>& recorded);
    void ended(std::size_t point, const TransactionEnded& ended, const Told& told);
    // A report's register and current, as samples; a register at a quarter of an hour also as a reading that
    // money rests on.
    void reported(std::size_t point, const control::PointReport& report, const Told& told);

    // Of the transaction under way; none: there is none.
    [[nodiscard]] std::optional<WattHours> begun_at(std::size_t point) const;
    // The register's last word.
    [[nodiscard]] std::optional<WattHours> last_register(std::size_t point) const;

  private:
    // Shared with the store, whose answer may come when it is over already.
    struct Open {
        std::optional<io::ledger::Id> id;  // none: not recorded yet, or not at all
        WattHours begin;
        Instant told;                                        // as the equipment has it
        io::ledger::Stamp when;                              // as it stands in the ledger
        bool refused = false;                                // it will never be recorded
        std::optional<io::ledger::TransactionStop> ended{};  // told before its begin was recorded
    };
    struct PointState {
        std::shared_ptr<Open> open;
        PointTime time;
        std::optional<WattHours> last;
        std::optional<Instant> quarter;  // the last one read at
        std::optional<site::LegAmps> sampled_current;
        std::optional<WattHours> sampled_register;
        std::optional<Instant> sampled_at;
    };
    [[nodiscard]] const std::string& name(std::size_t point) const;
    void sample(std::size_t point, const control::PointReport& report, Instant at);
    void end_untold(std::size_t point, bool proven);
    void began_recorded(const std::string& name, Open& open, std::optional<io::ledger::Id> id);
    void stop(const io::ledger::TransactionStop& stop);
    void settle(io::ledger::Id transaction);
    void keep(io::ledger::Id transaction, const io::Read<Settled>& found);

    Ports ports_;
    std::shared_ptr<const io::Household> household_;
    std::vector<PointState> points_;
    std::vector<io::ledger::Id> unsettled_;  // until settings come that may settle them
    std::shared_ptr<bool> alive_ = std::make_shared<bool>(true);
};

}  // namespace lullwatt::daemon
