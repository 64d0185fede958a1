#include "io/settings/section.hpp"

#include <algorithm>
#include <fstream>
#include <optional>
#include <set>
#include <sstream>

#include <fmt/format.h>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/yaml.h>

#include "io/file/file.hpp"

namespace lullwatt::io {
namespace {

constexpr std::size_t kLargestFile = 1U << 20U;

Place place_of(const YAML::Node& node) {
    const YAML::Mark mark = node.Mark();
    return mark.is_null() ? Place{} : Place{mark.line + 1, mark.column + 1};
}

std::string shown(const YAML::Node& node) {
    if (node.IsScalar()) return node.Scalar();
    if (node.IsNull()) return "";
    return node.IsSequence() ? "[…]" : "{…}";
}

const Option* option_named(const Table& table, const std::string& key) {
    const auto found = std::ranges::find(table.options, key, &Option::key);
    return found == table.options.end() ? nullptr : &*found;
}

std::vector<std::string> keys_of(const Table& table) {
    std::vector<std::string> keys;
    for (const Option& option : table.options) keys.emplace_back(option.key);
    return keys;
}

bool is_decimals(std::string_view key) {
    return !key.empty() && key.find_first_not_of("0123456789") == key.npos;
}

std::string joined(const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
    return text;
}

std::string with_article(std::string_view name) {
    const bool vowel =
        !name.empty() && std::string_view("aeiou").find(name.front()) != std::string_view::npos;
    return fmt::format("{} {}", vowel ? "an" : "a", name);
}

// Counts documents and remembers where the second begins. YAML::LoadAll would do, but never ends on a comma
// between two lines (yaml-cpp 0.7 and 0.8).
class Documents : public YAML::EventHandler {
  public:
    void OnDocumentStart(const YAML::Mark& mark) override {
        if (++count_ == 2) second_ = Place{mark.line + 1, mark.column + 1};
    }
    void OnDocumentEnd() override {}
    void OnNull(const YAML::Mark& /*mark*/, YAML::anchor_t /*anchor*/) override {}
    void OnAlias(const YAML::Mark& /*mark*/, YAML::anchor_t /*anchor*/) override {}
    void OnScalar(const YAML::Mark& /*mark*/, const std::string& /*tag*/, YAML::anchor_t /*anchor*/,
                  const std::string& /*value*/) override {}
    void OnSequenceStart(const YAML::Mark& /*mark*/, const std::string& /*tag*/, YAML::anchor_t /*anchor*/,
                         YAML::EmitterStyle::value /*style*/) override {}
    void OnSequenceEnd() override {}
    void OnMapStart(const YAML::Mark& /*mark*/, const std::string& /*tag*/, YAML::anchor_t /*anchor*/,
                    YAML::EmitterStyle::value /*style*/) override {}
    void OnMapEnd() override {}

    [[nodiscard]] std::optional<Place> second() const { return second_; }

  private:
    int count_ = 0;
    std::optional<Place> second_;
};

std::optional<Place> second_document(const std::string& text) {
    std::istringstream stream(text);
    YAML::Parser parser(stream);
    Documents documents;
    while (!documents.second() && parser.HandleNextDocument(documents)) {
    }
    return documents.second();
}

}  // namespace

bool Section::stated(std::string_view key) const { return stated_.contains(key); }

Place Section::place(std::string_view key) const {
    const auto found = stated_.find(key);
    return found == stated_.end() ? place_ : found->second;
}

std::string Section::written(std::string_view key) const {
    const auto found = scalars_.find(key);
    return found == scalars_.end() ? "" : found->second.written;
}

const std::vector<Section::Element>& Section::list(std::string_view key) const {
    static const std::vector<Element> none;
    const auto found = lists_.find(key);
    return found == lists_.end() ? none : found->second;
}

const std::vector<Section>& Section::sections(std::string_view key) const {
    static const std::vector<Section> none;
    const auto found = sections_.find(key);
    return found == sections_.end() ? none : found->second;
}

Fault Section::fault(std::string_view key, std::string what, std::string allowed, std::string mend) const {
    const auto scalar = scalars_.find(key);
    const bool has_value_place = scalar != scalars_.end() && scalar->second.place.line > 0;
    const Place at = has_value_place ? scalar->second.place : key.empty() ? place_ : place(key);
    std::string full = path_;
    if (!key.empty()) full += fmt::format("{}{}", path_.empty() ? "" : ".", key);
    return {file_,
            at.line,
            at.column,
            full,
            std::move(what),
            key.empty() ? "" : written(key),
            std::move(allowed),
            std::move(mend)};
}

Fault Section::element_fault(std::string_view key, std::size_t index, std::string what, std::string allowed,
                             std::string mend) const {
    const Element& element = list(key)[index];
    Fault result = fault(key, std::move(what), std::move(allowed), std::move(mend));
    result.line = element.place.line;
    result.column = element.place.column;
    result.key += fmt::format("[{}]", index);
    result.value = element.written;
    return result;
}

// Walks one mapping after another, gathering values and faults.
class SectionReader {
  public:
    SectionReader(std::string file, Faults& faults) : file_(std::move(file)), faults_(faults) {}

    Section read(const YAML::Node& node, const Table& table, const std::string& path, Place at) {
        Section section;
        section.file_ = file_;
        section.path_ = path;
        section.place_ = at;
        if (!node.IsMap()) {
            fault(section, at, "", fmt::format("is not {}", with_article(table.name)), shown(node),
                  "a mapping of keys", "");
            return section;
        }
        std::set<std::string> seen;
        for (const auto& pair : node) take_pair(section, table, pair.first, pair.second, seen);
        for (const Option& option : table.options) {
            if (!seen.contains(std::string(option.key))) take_absent(section, option);
        }
        return section;
    }

  private:
    void take_pair(Section& section, const Table& table, const YAML::Node& key_node, const YAML::Node& value,
                   std::set<std::string>& seen) {
        const std::string key = shown(key_node);
        const Place at = place_of(key_node);
        const Option* option = option_named(table, key);
        if (option == nullptr) {
            if (is_decimals(key)) {
                fault(section, at, key, "stands behind a comma: is it the decimals of the number before it?",
                      "", "", "write a decimal point");
                return;
            }
            const auto meant = nearest(key, keys_of(table));
            fault(section, at, key, fmt::format("is not a key of {}", with_article(table.name)), "",
                  joined(keys_of(table)), meant ? fmt::format("did you mean '{}'?", *meant) : "remove it");
            return;
        }
        if (!seen.insert(key).second) {
            fault(section, at, key, "stands here a second time", shown(value), "each key once",
                  "remove one of them");
            return;
        }
        section.stated_[key] = at;
        take_value(section, *option, value, at);
    }

    void take_value(Section& section, const Option& option, const YAML::Node& value, Place at) {
        const std::string key(option.key);
        const Place value_at = place_of(value).line == 0 ? at : place_of(value);
        switch (option.kind) {
            case Kind::section:
                section.sections_[key].push_back(read(value, *option.table, inside(section, key), value_at));
                return;
            case Kind::sections:
                take_sections(section, option, value, value_at);
                return;
            case Kind::list:
                take_list(section, option, value, value_at);
                return;
            default:
                break;
        }
        if (const auto element = scalar(section, option, option.kind, value, key, value_at)) {
            section.scalars_[key] = *element;
        }
    }

    void take_sections(Section& section, const Option& option, const YAML::Node& value, Place at) {
        const std::string key(option.key);
        if (!value.IsSequence()) {
            fault(section, at, key, "is not a list", shown(value), allowed_text(option),
                  "begin each entry with '- '");
            return;
        }
        std::size_t index = 0;
        auto& entries = section.sections_[key];
        for (const auto& entry : value) {
            entries.push_back(read(entry, *option.table, inside(section, fmt::format("{}[{}]", key, index)),
                                   place_of(entry)));
            ++index;
        }
    }

    void take_list(Section& section, const Option& option, const YAML::Node& value, Place at) {
        const std::string key(option.key);
        if (!value.IsSequence()) {
            fault(section, at, key, "is not a list", shown(value), allowed_text(option),
                  "write it in brackets: [a, b]");
            return;
        }
        auto& elements = section.lists_[key];
        std::size_t index = 0;
        for (const auto& entry : value) {
            const std::string name = fmt::format("{}[{}]", key, index++);
            if (auto element = scalar(section, option, option.element, entry, name, place_of(entry))) {
                elements.push_back(std::move(*element));
            }
        }
    }

    std::optional<Section::Element> scalar(const Section& section, const Option& option, Kind kind,
                                           const YAML::Node& value, const std::string& key, Place at) {
        if (!value.IsScalar()) {
            fault(section, at, key, value.IsNull() ? "has no value" : "is not a single value", shown(value),
                  kind == option.kind ? allowed_text(option) : std::string(example(kind)), "");
            return std::nullopt;
        }
        const auto parsed = parse_scalar(option, kind, value.Scalar());
        if (const auto* error = std::get_if<ScalarError>(&parsed)) {
            fault(section, at, key, error->what, value.Scalar(),
                  kind == option.kind
                      ? allowed_text(option)
                      : (kind == Kind::choice ? std::string(option.choices) : std::string(example(kind))),
                  error->mend);
            return std::nullopt;
        }
        return Section::Element{std::get<Scalar>(parsed), value.Scalar(), at};
    }

    void take_absent(Section& section, const Option& option) {
        if (option.required) {
            fault(section, section.place_, std::string(option.key), "is missing", "", allowed_text(option),
                  "add it");
            return;
        }
        if (option.fallback.empty()) return;
        if (option.kind == Kind::section) {
            section.sections_[std::string(option.key)].push_back(
                read(YAML::Node(YAML::NodeType::Map), *option.table, inside(section, std::string(option.key)),
                     section.place_));
            return;
        }
        const auto parsed = parse_scalar(option, option.kind, option.fallback);
        assert(std::holds_alternative<Scalar>(parsed) && "a default of the table is a legal value");
        section.scalars_[std::string(option.key)] = {
            std::get<Scalar>(parsed), std::string(option.fallback), {}};
    }

    static std::string inside(const Section& section, const std::string& key) {
        return section.path_.empty() ? key : section.path_ + "." + key;
    }

    void fault(const Section& section, Place at, const std::string& key, std::string what, std::string value,
               std::string allowed, std::string mend) {
        faults_.push_back({file_, at.line, at.column, key.empty() ? section.path_ : inside(section, key),
                           std::move(what), std::move(value), std::move(allowed), std::move(mend)});
    }

    std::string file_;
    Faults& faults_;
};

ReadSection read_text(const std::string& text, const std::string& file, const Table& table) {
    ReadSection result;
    const bool blank = text.find_first_not_of(" \t\r\n") == text.npos;  // told below with the keys it wants
    if (const auto binary = blank ? std::nullopt : why_no_text(text, file)) {
        result.faults.push_back(*binary);
        return result;
    }
    try {
        if (const auto second = second_document(text)) {
            const bool marked = text.find("\n---") != text.npos;
            result.faults.push_back(
                {file, second->line, second->column, "",
                 marked ? "holds a second document" : "is not readable as YAML from here on", "",
                 marked ? "one document" : "'key: value'",
                 marked ? "remove the line '---'" : "look at this line"});
            return result;
        }
        const YAML::Node root = YAML::Load(text);
        if (root.IsNull()) {
            result.faults.push_back({file, 0, 0, "", "is empty", "",
                                     fmt::format("the keys of {}", with_article(table.name)), ""});
            return result;
        }
        SectionReader reader(file, result.faults);
        result.section = reader.read(root, table, "", {1, 1});
    } catch (const YAML::Exception& broken) {
        const Place at =
            broken.mark.is_null() ? Place{} : Place{broken.mark.line + 1, broken.mark.column + 1};
        result.faults.push_back(
            {file, at.line, at.column, "", "is not readable as YAML: " + broken.msg, "",
             "spaces for indentation, 'key: value', quotes around text that holds ': ' or '#'",
             "look at this line and the one above it"});
    }
    std::ranges::stable_sort(result.faults, [](const Fault& a, const Fault& b) {
        return std::pair(a.line, a.column) < std::pair(b.line, b.column);
    });
    return result;
}

ReadSection read_file(const std::filesystem::path& file, const Table& table) {
    const auto failed = [&](std::string what, std::string mend) {
        return ReadSection{{}, {{file.string(), 0, 0, "", std::move(what), "", "", std::move(mend)}}};
    };
    std::error_code error;
    if (std::filesystem::exists(file, error) && !std::filesystem::is_regular_file(file, error)) {
        return failed("is no file but a folder or a device", "name the file in it");
    }
    if (!std::filesystem::is_regular_file(file, error)) {
        return failed("cannot be read: there is no such file", "check the name and the folder");
    }
    if (std::filesystem::file_size(file, error) > kLargestFile || error) {
        return failed("is larger than 1 MiB, so it is no settings file", "name the right file");
    }
    std::ifstream stream(file, std::ios::binary);
    std::ostringstream content;
    content << stream.rdbuf();
    if (!stream) return failed("cannot be read", "check who may read it");
    return read_text(content.str(), file.string(), table);
}

}  // namespace lullwatt::io
