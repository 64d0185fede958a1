// The words a tariff file has for days: weekdays, weekends, holidays, single weekdays, and names of its own.
//
// A value; safe to read from any thread.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "core/tariff/tariff.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

class DayWords {
  public:
    // Takes the file's `day_types`. Adds a fault for a name that has a meaning already, and as days_of does.
    DayWords(const Section& file, Faults& faults);

    // The days its list `days` says. Adds a fault for each word that means nothing here, and for an empty
    // list.
    [[nodiscard]] tariff::DaySet days_of(const Section& section, Faults& faults) const;

  private:
    void add(std::string_view word, const tariff::DaySet& days);

    std::map<std::string, tariff::DaySet, std::less<>> meanings_;
    std::vector<std::string> words_;  // in the order people are told them
};

}  // namespace lullwatt::io
