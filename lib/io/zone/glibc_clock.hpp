// A zone file as glibc reads it, the rule at its end included, while the object lives.
//
// Sets TZ for the whole process and puts it back at its end. One lives at a time, others wait; what else must
// hold stands in zone.hpp.
#pragma once

#include <filesystem>
#include <mutex>
#include <optional>
#include <string>

#include "core/time/instant.hpp"

namespace lullwatt::io {

class GlibcClock {
  public:
    // What a clock on the wall does: its offset from UTC and the name of that.
    struct Reading {
        Seconds offset;
        std::string abbreviation;
        friend bool operator==(const Reading&, const Reading&) = default;
    };

    // REQUIRES: `file` is absolute and names a zone file; glibc takes any other for UTC without a word.
    explicit GlibcClock(const std::filesystem::path& file);
    ~GlibcClock();
    GlibcClock(const GlibcClock&) = delete;
    GlibcClock& operator=(const GlibcClock&) = delete;

    [[nodiscard]] Reading at(Instant instant) const;

  private:
    std::unique_lock<std::mutex> alone_;
    std::optional<std::string> before_;
};

}  // namespace lullwatt::io
