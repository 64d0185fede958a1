#include "daemon/store/ledger_store.hpp"

#include <utility>
#include <variant>

namespace lullwatt::daemon {

void LedgerStore::post(io::ledger::Row row, Done done) {
    const bool durable = io::ledger::is_durable(row);
    if (durable) {
        const std::lock_guard lock(mutex_);
        ++outstanding_;
    }
    const auto acknowledge = [this, done](const io::ledger::Outcome& outcome) {
        std::optional<io::ledger::Id> id;
        if (const auto* appended = std::get_if<io::ledger::Appended>(&outcome)) id = appended->row;
        if (done) loop_.post([done, id] { done(id); });
        const std::lock_guard lock(mutex_);
        --outstanding_;
        answered_.notify_all();
    };
    if (writer_.post(std::move(row), acknowledge) || !durable) return;
    {
        const std::lock_guard lock(mutex_);
        --outstanding_;
    }
    if (done) loop_.post([done] { done(std::nullopt); });
}

std::string LedgerStore::trouble() const {
    const auto failing = writer_.status().failing;
    return failing ? failing->what : std::string();
}

bool LedgerStore::drained() const {
    const std::lock_guard lock(mutex_);
    return outstanding_ == 0 || writer_.status().failing;
}

void LedgerStore::wait_until_drained() {
    constexpr std::chrono::milliseconds kLookAtTheDisk{50};
    writer_.flush();
    std::unique_lock lock(mutex_);
    while (outstanding_ > 0 && !writer_.status().failing) answered_.wait_for(lock, kLookAtTheDisk);
}

}  // namespace lullwatt::daemon
