// The supply tree of a site file: service, feeders, circuits and points, with the checks across them.
#pragma once

#include "core/site/site.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

// Adds a fault for each name used twice, each reference to nothing, each setting the tree cannot bear. The
// tree is whole only where no fault was added.
[[nodiscard]] site::Site read_tree(const Section& file, Faults& faults);

// A fault where a list was written and holds nothing.
void check_not_empty(const Section& section, std::string_view key, std::string allowed, std::string mend,
                     Faults& faults);

// The legs a list names; `otherwise` where it was not written. A fault where it names none.
[[nodiscard]] site::Legs read_legs(const Section& section, site::Legs otherwise, Faults& faults);

// Looks a name up among those of the tree. Empty and a fault where there is none.
[[nodiscard]] std::optional<std::size_t> read_reference(const Section& section, std::string_view key,
                                                        const std::vector<std::string>& names,
                                                        std::string_view what, Faults& faults);

}  // namespace lullwatt::io
