#include "daemon/loop/loop.hpp"

#include <atomic>
#include <csignal>
#include <list>
#include <utility>

#include <boost/asio/executor_work_guard.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/signal_set.hpp>

namespace lullwatt::daemon {
namespace asio = boost::asio;

struct Loop::Inside {
    // A hint of one thread keeps the lock that post() from other threads needs.
    asio::io_context context{1};
    asio::executor_work_guard<asio::io_context::executor_type> work{context.get_executor()};
    asio::signal_set signals{context};
    std::function<void(int)> on_signal;
    std::atomic<bool> stopped = false;
    struct Watched {
        asio::posix::stream_descriptor descriptor;
        std::function<bool()> act;
    };
    std::list<std::shared_ptr<Watched>> watched;

    void wait_for_signal() {
        signals.async_wait([this](const boost::system::error_code& error, int signal) {
            if (error) return;
            on_signal(signal);
            wait_for_signal();
        });
    }

    static void wait_until_readable(const std::shared_ptr<Watched>& watched) {
        watched->descriptor.async_wait(asio::posix::stream_descriptor::wait_read,
                                       [watched](const boost::system::error_code& error) {
                                           if (!error && watched->act()) wait_until_readable(watched);
                                       });
    }
};

Loop::Loop() : inside_(new Inside) {}

Loop::~Loop() {
    for (const auto& watched : inside_->watched)
        watched->descriptor.release();  // borrowed: not ours to close
}

void Loop::post(std::function<void()> act) { asio::post(inside_->context, std::move(act)); }
void Loop::run() {
    if (!stopped()) inside_->context.run();
}

void Loop::stop() {
    inside_->stopped = true;
    inside_->context.stop();
}

bool Loop::stopped() const { return inside_->stopped; }

bool Loop::drain() {
    if (inside_->context.stopped()) inside_->context.restart();
    return inside_->context.poll() > 0;
}

void Loop::run_one() {
    if (!stopped()) inside_->context.run_one();
}

void Loop::on_signal(std::function<void(int)> act) {
    inside_->on_signal = std::move(act);
    for (const int signal : {SIGTERM, SIGINT, SIGHUP}) inside_->signals.add(signal);
    inside_->wait_for_signal();
}

void Loop::on_readable(int descriptor, std::function<bool()> act) {
    inside_->watched.push_back(std::make_shared<Inside::Watched>(
        Inside::Watched{asio::posix::stream_descriptor(inside_->context, descriptor), std::move(act)}));
    Inside::wait_until_readable(inside_->watched.back());
}

asio::io_context& Loop::context() { return inside_->context; }

}  // namespace lullwatt::daemon
