#include "io/greenbutton/xml.hpp"

#include <algorithm>
#include <pugixml.hpp>

namespace lullwatt::io {

std::string_view local_name(const pugi::xml_node& node) {
    const std::string_view name = node.name();
    const auto colon = name.find(':');
    return colon == name.npos ? name : name.substr(colon + 1);
}

pugi::xml_node child(const pugi::xml_node& parent, std::string_view name) {
    return parent.find_child([name](const pugi::xml_node& node) { return local_name(node) == name; });
}

std::string_view text_of(const pugi::xml_node& node) {
    const std::string_view text = node.text().get();
    constexpr std::string_view kBlank = " \t\r\n";
    const auto begin = text.find_first_not_of(kBlank);
    if (begin == text.npos) return {};
    return text.substr(begin, text.find_last_not_of(kBlank) - begin + 1);
}

Lines::Lines(std::string_view text) {
    for (auto at = text.find('\n'); at != text.npos; at = text.find('\n', at + 1)) ends_.push_back(at);
}

int Lines::at(std::ptrdiff_t offset) const {
    const auto place = static_cast<std::size_t>(std::max<std::ptrdiff_t>(offset, 0));
    return static_cast<int>(std::ranges::lower_bound(ends_, place) - ends_.begin()) + 1;
}

int Lines::of(const pugi::xml_node& node) const { return at(node.offset_debug()); }

}  // namespace lullwatt::io
