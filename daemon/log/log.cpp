#include "daemon/log/log.hpp"

#include <array>
#include <cstdio>
#include <cstdlib>
#include <mutex>
#include <unistd.h>

#include <date/date.h>
#include <fmt/format.h>
#include <spdlog/async.h>
#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>
#include <sys/stat.h>

#include "daemon/log/repeats.hpp"
#include "io/fault/printable.hpp"

namespace lullwatt::daemon {
namespace {

constexpr std::size_t kLinesWaiting = 256;
constexpr std::size_t kLongestLine = 2000;

// syslog's numbers, as the journal reads them at the head of a line.
constexpr std::array kPriority = {3, 4, 5, 6, 7};

bool stderr_is_the_journal() {
    const char* named = std::getenv("JOURNAL_STREAM");
    struct stat here {};
    if (named == nullptr || ::fstat(STDERR_FILENO, &here) != 0) return false;
    return fmt::format("{}:{}", here.st_dev, here.st_ino) == named;
}

spdlog::level::level_enum spdlog_level(Level level) {
    constexpr std::array kLevels = {spdlog::level::err, spdlog::level::warn, spdlog::level::info,
                                    spdlog::level::info, spdlog::level::debug};
    return kLevels[static_cast<std::size_t>(level)];
}

}  // namespace

struct LogBook::Inside {
    const Clock* clock;
    bool journal = stderr_is_the_journal();
    std::shared_ptr<spdlog::details::thread_pool> pool =
        std::make_shared<spdlog::details::thread_pool>(kLinesWaiting, 1);
    std::shared_ptr<spdlog::async_logger> logger =
        std::make_shared<spdlog::async_logger>("lullwattd", std::make_shared<spdlog::sinks::stderr_sink_mt>(),
                                               pool, spdlog::async_overflow_policy::overrun_oldest);
    std::mutex guards_repeats;
    Repeats repeats;

    // REQUIRES: the text has one line.
    void write(std::string_view module, Level level, std::string_view text, unsigned withheld) const {
        const std::string times = withheld == 0 ? "" : fmt::format(" ({} more like it since)", withheld);
        // Stamped without the C library, which looks at the environment for its time zone, while reading
        // settings changes it (io/zone).
        const std::string head = journal ? fmt::format("<{}>", kPriority[static_cast<std::size_t>(level)])
                                         : date::format("%FT%TZ ", clock->now().wall);
        logger->log(spdlog_level(level), "{}{}: {}{}", head, module, io::printable(text, kLongestLine),
                    times);
    }
};

LogBook::LogBook(const Clock& clock, Level least) : inside_(new Inside{.clock = &clock}) {
    inside_->logger->set_level(spdlog_level(least));
    inside_->logger->flush_on(spdlog::level::debug);
    inside_->logger->set_pattern("%v");
}

LogBook::~LogBook() {
    for (const auto& [key, text, count] : inside_->repeats.all()) {
        inside_->write(key.substr(0, key.find('\n')), Level::info, text, count - 1);
    }
    inside_->pool.reset();  // writes what waits and ends its thread, before the logger goes
}

void LogBook::tell_time_by(const Clock& clock) { inside_->clock = &clock; }

void LogBook::say(std::string_view module, Level level, std::string_view text, std::string_view same) {
    const std::string key = fmt::format("{}\n{}", module, same.empty() ? text : same);
    std::optional<unsigned> withheld;
    {
        const std::lock_guard lock(inside_->guards_repeats);
        withheld = inside_->repeats.pass(key, text, inside_->clock->now().boot);
    }
    if (withheld) inside_->write(module, level, text, *withheld);
}

void LogBook::say_overdue() {
    std::vector<Repeats::Withheld> overdue;
    {
        const std::lock_guard lock(inside_->guards_repeats);
        overdue = inside_->repeats.overdue(inside_->clock->now().boot);
    }
    for (const auto& [key, text, count] : overdue) {
        inside_->write(key.substr(0, key.find('\n')), Level::info, text, count - 1);
    }
}

}  // namespace lullwatt::daemon
