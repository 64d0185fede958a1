// The planner's thread: what takes longer than the loop may stand still for, one thing after another.
//
// submit() and cancel() from any thread. A job runs on the worker's thread and hands its result back by
// Loop::post. It is the only thread that reads settings, for that touches the environment (io/zone says why).
#pragma once

#include <condition_variable>
#include <cstddef>
#include <deque>
#include <functional>
#include <mutex>
#include <optional>
#include <stop_token>
#include <thread>

namespace lullwatt::daemon {

class Worker {
  public:
    // Looks at the token wherever it could leave off; when stopping is asked for, nobody waits for its
    // result.
    using Job = std::function<void(std::stop_token)>;
    static constexpr std::size_t kMostWaiting = 64;  // ours

    Worker();
    // Cancels everything, and waits for the job in hand to notice.
    ~Worker();
    Worker(const Worker&) = delete;
    Worker& operator=(const Worker&) = delete;

    enum class Turn : bool { last, next };
    // The source cancels the job, before or while it runs. Empty: too much is waiting, and the job was not
    // taken.
    [[nodiscard]] std::optional<std::stop_source> submit(Job job, Turn turn = Turn::last);
    // No job waits or runs.
    [[nodiscard]] bool idle() const;
    void wait_until_idle() const;

  private:
    struct Waiting {
        Job job;
        std::stop_source stop;
    };
    void work(const std::stop_token& ending);

    mutable std::mutex mutex_;
    mutable std::condition_variable_any changed_;
    std::deque<Waiting> waiting_;
    std::optional<std::stop_source> running_;
    std::jthread thread_;  // last: it uses the others
};

}  // namespace lullwatt::daemon
