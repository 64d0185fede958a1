#include "daemon/planner/worker.hpp"

#include <utility>

namespace lullwatt::daemon {

Worker::Worker() : thread_([this](const std::stop_token& ending) { work(ending); }) {}

Worker::~Worker() {
    thread_.request_stop();
    const std::lock_guard lock(mutex_);
    if (running_) running_->request_stop();
}

std::optional<std::stop_source> Worker::submit(Job job, Turn turn) {
    const std::lock_guard lock(mutex_);
    std::erase_if(waiting_, [](const Waiting& one) { return one.stop.stop_requested(); });
    if (turn == Turn::last && waiting_.size() >= kMostWaiting) return std::nullopt;
    changed_.notify_all();
    if (turn == Turn::next) return waiting_.insert(waiting_.begin(), {std::move(job), {}})->stop;
    return waiting_.insert(waiting_.end(), {std::move(job), {}})->stop;
}

bool Worker::idle() const {
    const std::lock_guard lock(mutex_);
    return waiting_.empty() && !running_;
}

void Worker::wait_until_idle() const {
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [this] { return waiting_.empty() && !running_; });
}

void Worker::work(const std::stop_token& ending) {
    std::unique_lock lock(mutex_);
    while (changed_.wait(lock, ending, [this] { return !waiting_.empty(); }) && !ending.stop_requested()) {
        Waiting next = std::move(waiting_.front());
        waiting_.pop_front();
        if (!next.stop.stop_requested()) {
            running_ = next.stop;
            lock.unlock();
            next.job(next.stop.get_token());
            next.job = nullptr;  // what it holds is let go before anybody hears that it is done
            lock.lock();
            running_.reset();
        }
        changed_.notify_all();
    }
}

}  // namespace lullwatt::daemon
