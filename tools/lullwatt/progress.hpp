// A line of progress for a person who waits at a terminal.
//
// Not owned: the stream, which must outlive it. One thread.
#pragma once

#include <cstddef>
#include <iosfwd>
#include <string>

namespace lullwatt::tools {

class Progress {
  public:
    // Silent where `to` is null.
    explicit Progress(std::ostream* to) : to_(to) {}
    ~Progress() { say(""); }
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;

    // Replaces the line; an empty text takes it away.
    void say(const std::string& text);

  private:
    std::ostream* to_;
    std::size_t width_ = 0;
};

}  // namespace lullwatt::tools
