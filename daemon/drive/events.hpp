// What a person may ask about later, as rows of the ledger: links lost, settings taken, clocks set.
//
// Loop thread only.
#pragma once

#include <map>
#include <string>
#include <utility>

#include "daemon/ports/clock.hpp"
#include "daemon/ports/store.hpp"

namespace lullwatt::daemon {

class Events {
  public:
    // Ours: what happens again and again, such as a link that comes and goes, must not wear out the disk.
    static constexpr Milliseconds kQuiet = std::chrono::minutes{10};

    // REQUIRES: both outlive it.
    Events(Store& store, const Clock& clock) : store_(store), clock_(clock) {}

    // `kind`: one word. The same kind of the same source is written once in ten minutes at most; the next row
    // tells how often it was not.
    void happened(const std::string& source, const std::string& kind, std::string text);
    // Every time, for what is counted.
    void counted(const std::string& source, const std::string& kind, std::string text);
    void trust_wall(bool proven) { proven_ = proven; }

  private:
    struct Memory {
        BootTime written;
        unsigned withheld = 0;
    };
    Store& store_;
    const Clock& clock_;
    bool proven_ = false;
    std::map<std::pair<std::string, std::string>, Memory> memory_;
};

}  // namespace lullwatt::daemon
