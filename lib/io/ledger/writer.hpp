// The ledger behind a bounded queue and a thread of its own, so that nobody waits for the disk.
//
// post() and status() from any thread. Acknowledgements are called on the writer's thread, in order, and must
// not wait for it. While the disk is full or fails, durable rows are kept and tried again without a hand;
// only what no longer fits the queue is turned away, passing rows first.
#pragma once

#include <condition_variable>
#include <cstdint>
#include <deque>
#include <functional>
#include <mutex>
#include <optional>
#include <thread>
#include <vector>

#include "io/ledger/grouping.hpp"
#include "io/ledger/ledger.hpp"

namespace lullwatt::io::ledger {

// What became of a row: it stands on disk, or the ledger refuses it for good.
using Outcome = std::variant<Appended, Failure>;
using Done = std::function<void(const Outcome&)>;

struct WriterStatus {
    std::size_t waiting = 0;          // rows not on disk
    std::size_t durable_waiting = 0;  // of them such as somebody waits for
    std::optional<Failure> failing;   // since the last attempt: nothing is recorded
    std::uint64_t lost_passing = 0;   // turned away since the start
    std::uint64_t commits = 0;
    Head head;  // of what is on disk

    // Nothing that matters is on its way (lockstep waits for this).
    [[nodiscard]] bool drained() const { return durable_waiting == 0; }
};

class Writer {
  public:
    static constexpr std::size_t kCapacity = 4'096;  // ours: hours of one point with a full disk

    explicit Writer(Ledger ledger, const Waits& waits = {}, std::size_t capacity = kCapacity);
    // Tries to commit what waits once more, then ends the thread. What is not on disk then is not
    // acknowledged.
    ~Writer();
    Writer(const Writer&) = delete;
    Writer& operator=(const Writer&) = delete;

    // Never waits for the disk. `done` is called once, when a durable row is on disk or refused; of a passing
    // row never. False: turned away, the queue is full; nobody will be called.
    bool post(Row row, Done done = {});

    // Commits what waits now, without the grouping's delay; does not wait for it.
    void flush();

    [[nodiscard]] WriterStatus status() const;

  private:
    struct Entry {
        Row row;
        Done done;
    };
    void run();
    // All of `batch_`, or nothing. On the writer's thread, without the lock.
    [[nodiscard]] std::optional<Failure> write(std::vector<Outcome>& outcomes);
    void settle(std::unique_lock<std::mutex>& lock, const std::optional<Failure>& failure,
                const std::vector<Outcome>& outcomes);

    Ledger ledger_;             // the thread's
    std::vector<Entry> batch_;  // the thread's: being written, or waiting to be tried again
    const std::size_t capacity_;

    mutable std::mutex mutex_;  // guards what follows
    std::condition_variable changed_;
    std::deque<Entry> queue_;
    Grouping grouping_;
    WriterStatus status_;
    bool flush_ = false;
    bool stop_ = false;

    std::thread thread_;  // last: it uses all of the above
};

}  // namespace lullwatt::io::ledger
