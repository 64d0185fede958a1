// Collects the faults of a file, so that a file wrong on every line fills a screen and not a thousand.
//
// Not safe to use from several threads.
#pragma once

#include <cstddef>
#include <map>
#include <string>

#include "io/fault/fault.hpp"

namespace lullwatt::io {

class FaultLog {
  public:
    explicit FaultLog(std::string file) : file_(std::move(file)) {}

    // `fault.file` is set here. Of faults that say the same of the same key, the first kShown are kept whole;
    // the rest are counted.
    void add(Fault fault);

    [[nodiscard]] bool empty() const { return faults_.empty(); }

    // By line and column, each kind's uncounted rest after its last one shown.
    [[nodiscard]] Faults take() &&;

    static constexpr std::size_t kShown = 20;

  private:
    std::string file_;
    Faults faults_;
    std::map<std::string, std::size_t> seen_;  // by key and what
};

}  // namespace lullwatt::io
