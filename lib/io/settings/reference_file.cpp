#include "io/settings/reference_file.hpp"

#include <fmt/format.h>

namespace lullwatt::io {
namespace {

std::string value_of(const Option& option) {
    if (!option.fallback.empty()) {
        const bool text = option.kind == Kind::time_of_day;
        return text ? fmt::format("\"{}\"", option.fallback) : std::string(option.fallback);
    }
    return std::string(option.sample);
}

bool is_stated(const Option& option) { return option.required || option.stated_in_reference; }

// A mapping's first stated key stands behind the dash of its list entry.
void write(std::string& out, const Table& table, const std::string& indent, bool in_list) {
    bool first = in_list;
    for (const Option& option : table.options) {
        const std::string lead = first ? indent.substr(0, indent.size() - 2) + "- " : indent;
        out += fmt::format("{}# {}\n", indent, option.consequence);
        if (option.table != nullptr) {
            const bool list = option.kind == Kind::sections;
            out += fmt::format("{}# {}{}\n", indent, list ? "A list of mappings" : "A mapping",
                               option.required ? ", required." : ", optional.");
            if (option.required) {
                out += fmt::format("{}{}:\n", lead, option.key);
                write(out, *option.table, indent + (list ? "    " : "  "), list);
            } else {
                std::string inside;
                write(inside, *option.table, list ? "    " : "  ", list);
                out += fmt::format("{}# {}:\n", indent, option.key);
                for (std::size_t at = 0; at < inside.size();) {
                    const std::size_t end = inside.find('\n', at);
                    out += fmt::format("{}# {}\n", indent, inside.substr(at, end - at));
                    at = end + 1;
                }
            }
        } else {
            out += fmt::format("{}# Allowed: {}.{}\n", indent, allowed_text(option),
                               option.required ? " Required." : "");
            const std::string value = value_of(option);
            out += is_stated(option)
                       ? fmt::format("{}{}: {}\n", lead, option.key, value)
                       : fmt::format("{}# {}:{}\n", indent, option.key, value.empty() ? "" : " " + value);
        }
        if (is_stated(option)) first = false;
    }
}

}  // namespace

std::string reference_text(const Table& table) {
    std::string out = fmt::format(
        "# Every key of a {}. What a readable file needs carries a sample, the rest stands commented out at "
        "its "
        "default.\n"
        "# Written from the option table by `lullwatt setup --reference`.\n",
        table.name);
    write(out, table, "", false);
    return out;
}

}  // namespace lullwatt::io
