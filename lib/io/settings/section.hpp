// One mapping of a settings file after every key of it was held against its option table.
//
// A value that owns what it read; safe to read from any thread. Reading collects all faults of the file
// instead of stopping at the first.
#pragma once

#include <cassert>
#include <filesystem>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "io/fault/fault.hpp"
#include "io/settings/option.hpp"
#include "io/settings/scalar.hpp"

namespace lullwatt::io {

struct Place {
    int line = 0;
    int column = 0;
};

class Section {
  public:
    struct Element {
        Scalar value;
        std::string written;
        Place place;
        std::size_t written_as = 0;  // its place in the list, those without a value counted
    };

    // The key was written in the file (defaults do not count).
    [[nodiscard]] bool stated(std::string_view key) const;
    // There is a value: written, or by default.
    [[nodiscard]] bool has(std::string_view key) const { return scalars_.contains(key); }
    // The value of a scalar key. REQUIRES: has(key), and Value is the type its kind parses to.
    template <class Value>
    [[nodiscard]] const Value& get(std::string_view key) const {
        const auto found = scalars_.find(key);
        assert(found != scalars_.end());
        return std::get<Value>(found->second.value);
    }
    // The same, or null where there is none or a word stands in a number's place.
    template <class Value>
    [[nodiscard]] const Value* find(std::string_view key) const {
        const auto found = scalars_.find(key);
        return found == scalars_.end() ? nullptr : std::get_if<Value>(&found->second.value);
    }
    // Where the key stands, or the mapping itself when it was not written.
    [[nodiscard]] Place place(std::string_view key) const;
    [[nodiscard]] Place place() const { return place_; }
    [[nodiscard]] std::string written(std::string_view key) const;
    // Elements of a list; empty when it was not written.
    [[nodiscard]] const std::vector<Element>& list(std::string_view key) const;
    // Mappings under a `section` (none or one) or `sections` key.
    [[nodiscard]] const std::vector<Section>& sections(std::string_view key) const;

    // A fault about one key (or, with an empty key, about the mapping), with file, place and value filled in.
    [[nodiscard]] Fault fault(std::string_view key, std::string what, std::string allowed,
                              std::string mend) const;
    // The same about one element of a list. REQUIRES: index < list(key).size().
    [[nodiscard]] Fault element_fault(std::string_view key, std::size_t index, std::string what,
                                      std::string allowed, std::string mend) const;

    [[nodiscard]] const std::string& file() const { return file_; }
    // "points[0]": how the mapping is reached; empty for the whole file.
    [[nodiscard]] const std::string& path() const { return path_; }

  private:
    friend class SectionReader;
    std::string file_;
    std::string path_;
    Place place_;
    std::map<std::string, Element, std::less<>> scalars_;
    std::map<std::string, Place, std::less<>> stated_;
    std::map<std::string, std::vector<Element>, std::less<>> lists_;
    std::map<std::string, std::vector<Section>, std::less<>> sections_;
};

// What was read, and everything that is wrong with it. The section is whole only where there are no faults;
// it is handed out all the same so that checks across keys can add theirs and a person gets all of them at
// once.
struct ReadSection {
    Section section;
    Faults faults;
};

// Reads YAML by its table. Names in messages begin with `file`. Never throws on what the file holds.
[[nodiscard]] ReadSection read_file(const std::filesystem::path& file, const Table& table);
[[nodiscard]] ReadSection read_text(const std::string& text, const std::string& file, const Table& table);

}  // namespace lullwatt::io
