// What the daemon says to its journal: one line a message, by module, never the same one twice a minute.
//
// LogBook and Log may be used from any thread; saying never waits for whoever reads the journal (when that
// stands still, the oldest lines are lost). A Log is a small value that borrows its LogBook.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

#include "daemon/ports/clock.hpp"

namespace lullwatt::daemon {

enum class Level : std::uint8_t { error, warning, notice, info, debug };

class LogBook {
  public:
    // To stderr; with "<4>" and the like before each line where that is the journal's (JOURNAL_STREAM). One
    // at a time in a process. REQUIRES: clock outlives it and may be asked from any thread.
    explicit LogBook(const Clock& clock, Level least = Level::info);
    ~LogBook();
    LogBook(const LogBook&) = delete;
    LogBook& operator=(const LogBook&) = delete;

    // From now on. REQUIRES: no other thread says anything yet; it outlives the book.
    void tell_time_by(const Clock& clock);
    // Two messages with the same `same` in the same module are the same message; empty: their text says.
    void say(std::string_view module, Level level, std::string_view text, std::string_view same = {});
    // Says what was withheld more than a minute ago. Once a minute is often enough.
    void say_overdue();

  private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

class Log {
  public:
    Log(LogBook& book, std::string module) : book_(&book), module_(std::move(module)) {}
    void error(std::string_view text, std::string_view same = {}) const {
        book_->say(module_, Level::error, text, same);
    }
    void warning(std::string_view text, std::string_view same = {}) const {
        book_->say(module_, Level::warning, text, same);
    }
    void notice(std::string_view text, std::string_view same = {}) const {
        book_->say(module_, Level::notice, text, same);
    }
    void info(std::string_view text, std::string_view same = {}) const {
        book_->say(module_, Level::info, text, same);
    }
    void debug(std::string_view text, std::string_view same = {}) const {
        book_->say(module_, Level::debug, text, same);
    }
    [[nodiscard]] Log of(std::string module) const { return {*book_, std::move(module)}; }

  private:
    LogBook* book_;
    std::string module_;
};

}  // namespace lullwatt::daemon
