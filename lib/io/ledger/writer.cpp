#include "io/ledger/writer.hpp"

#include <iterator>

namespace lullwatt::io::ledger {

Writer::Writer(Ledger ledger, const Waits& waits, std::size_t capacity)
    : ledger_(std::move(ledger)), capacity_(capacity), grouping_(waits) {
    status_.head = ledger_.head();
    thread_ = std::thread([this] { run(); });
}

Writer::~Writer() {
    {
        const std::lock_guard lock(mutex_);
        stop_ = true;
    }
    changed_.notify_one();
    thread_.join();
}

bool Writer::post(Row row, Done done) {
    const bool durable = is_durable(row);
    {
        const std::lock_guard lock(mutex_);
        // Half of the queue is for what somebody waits for.
        const std::size_t most = durable ? capacity_ : capacity_ / 2;
        if (status_.waiting >= most) {
            status_.lost_passing += durable ? 0 : 1;
            return false;
        }
        queue_.push_back({std::move(row), std::move(done)});
        ++status_.waiting;
        status_.durable_waiting += durable ? 1 : 0;
        grouping_.row_waits(durable, std::chrono::steady_clock::now());
    }
    changed_.notify_one();
    return true;
}

void Writer::flush() {
    {
        const std::lock_guard lock(mutex_);
        flush_ = true;
    }
    changed_.notify_one();
}

WriterStatus Writer::status() const {
    const std::lock_guard lock(mutex_);
    return status_;
}

void Writer::run() {
    std::unique_lock lock(mutex_);
    for (;;) {
        const auto due = grouping_.due();
        if (!stop_ && !flush_) {
            if (!due) {
                changed_.wait(lock);
                continue;
            }
            if (std::chrono::steady_clock::now() < *due) {
                changed_.wait_until(lock, *due);
                continue;
            }
        }
        flush_ = false;
        const bool last = stop_;
        batch_.insert(batch_.end(), std::make_move_iterator(queue_.begin()),
                      std::make_move_iterator(queue_.end()));
        queue_.clear();
        if (!batch_.empty()) {
            lock.unlock();
            std::vector<Outcome> outcomes;
            const auto failure = write(outcomes);
            lock.lock();
            settle(lock, failure, outcomes);
        }
        if (last) return;
    }
}

std::optional<Failure> Writer::write(std::vector<Outcome>& outcomes) {
    for (const Entry& entry : batch_) {
        auto appended = ledger_.append(entry.row);
        if (const auto* failure = std::get_if<Failure>(&appended);
            failure != nullptr && failure->kind != Failure::Kind::refused)
            return *failure;
        outcomes.push_back(std::move(appended));
    }
    return ledger_.commit();
}

void Writer::settle(std::unique_lock<std::mutex>& lock, const std::optional<Failure>& failure,
                    const std::vector<Outcome>& outcomes) {
    status_.failing = failure;
    if (failure) {
        grouping_.failed(std::chrono::steady_clock::now());
        return;
    }
    std::vector<Entry> written = std::move(batch_);
    batch_.clear();
    grouping_.committed();
    for (const Entry& entry : queue_)  // came meanwhile: their time began no later than now
        grouping_.row_waits(is_durable(entry.row), std::chrono::steady_clock::now());
    ++status_.commits;
    status_.head = ledger_.head();
    lock.unlock();
    for (std::size_t i = 0; i < written.size(); ++i) {
        if (written[i].done && is_durable(written[i].row)) written[i].done(outcomes[i]);
    }
    lock.lock();
    for (const Entry& entry : written) {
        --status_.waiting;
        status_.durable_waiting -= is_durable(entry.row) ? 1 : 0;
    }
}

}  // namespace lullwatt::io::ledger
