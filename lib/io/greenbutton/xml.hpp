// The little of XML that a Green Button file needs: elements by local name, their text, and their lines.
//
// Pure; call from any thread. Only this folder's sources see pugixml itself.
#pragma once

#include <cstddef>
#include <string_view>
#include <vector>

namespace pugi {
class xml_node;
}

namespace lullwatt::io {

// Names are compared without their prefix: which one a namespace carries is the writer's choice.
[[nodiscard]] std::string_view local_name(const pugi::xml_node& node);
// The first child element of this name; a null node where there is none.
[[nodiscard]] pugi::xml_node child(const pugi::xml_node& parent, std::string_view name);
// Without blanks around it.
[[nodiscard]] std::string_view text_of(const pugi::xml_node& node);

// Says on which line of the text a node stands, 1-based.
class Lines {
  public:
    explicit Lines(std::string_view text);
    [[nodiscard]] int at(std::ptrdiff_t offset) const;
    [[nodiscard]] int of(const pugi::xml_node& node) const;

  private:
    std::vector<std::size_t> ends_;
};

}  // namespace lullwatt::io
