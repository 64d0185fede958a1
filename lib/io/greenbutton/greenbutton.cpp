#include "io/greenbutton/greenbutton.hpp"

#include <algorithm>
#include <map>
#include <pugixml.hpp>
#include <set>
#include <utility>

#include "core/time/instant.hpp"
#include "io/fault/fault_log.hpp"
#include "io/file/file.hpp"
#include "io/greenbutton/meter_reader.hpp"
#include "io/greenbutton/settle.hpp"
#include "io/greenbutton/xml.hpp"

namespace lullwatt::io {
namespace {

constexpr std::size_t kMostMeters = 64;  // ours; more is no household's file

// One Atom entry: an object and the links that tie it to others.
struct Entry {
    std::string kind;  // the object's element, such as "MeterReading"
    std::string self;
    std::string up;
    std::vector<std::string> related;
    std::string title;
    pugi::xml_node content;  // what holds the object, or several of them
};

std::string href(pugi::xml_node link) { return link.attribute("href").value(); }

Entry read_entry(pugi::xml_node node) {
    Entry entry;
    for (const pugi::xml_node part : node.children()) {
        const std::string_view name = local_name(part);
        const std::string_view rel = part.attribute("rel").value();
        if (name == "title") entry.title = text_of(part);
        if (name == "link" && rel == "self") entry.self = href(part);
        if (name == "link" && rel == "up") entry.up = href(part);
        if (name == "link" && rel == "related") entry.related.push_back(href(part));
        if (name != "content") continue;
        entry.content = part;
        const auto object = part.find_child([](pugi::xml_node n) { return n.type() == pugi::node_element; });
        entry.kind = local_name(object);
    }
    return entry;
}

// Entries of one kind by the links under which another may name them: their own, their collection's, and what
// their collection belongs to.
class Index {
  public:
    void add(const Entry& entry) {
        if (!entry.self.empty()) by_link_.emplace(entry.self, &entry);
        if (entry.up.empty()) return;
        by_link_.emplace(entry.up, &entry);
        if (const auto slash = entry.up.rfind('/'); slash != entry.up.npos) {
            by_link_.emplace(entry.up.substr(0, slash), &entry);
        }
    }
    // In file order.
    [[nodiscard]] std::vector<const Entry*> of(const Entry& parent) const {
        std::set<const Entry*> found;
        const auto take = [&](const std::string& link) {
            const auto [from, to] = by_link_.equal_range(link);
            for (auto entry = from; entry != to; ++entry) found.insert(entry->second);
        };
        for (const std::string& link : parent.related) take(link);
        if (!parent.self.empty()) take(parent.self);
        return {found.begin(), found.end()};
    }

  private:
    std::multimap<std::string, const Entry*> by_link_;
};

class Feed {
  public:
    Feed(std::string_view text, const std::string& file) : file_(file), lines_(text) {}

    Read<GreenButtonFile> read(const pugi::xml_document& document) {
        const pugi::xml_node root = document.document_element();
        if (local_name(root) != "feed") {
            return refused(lines_.of(root), "is no Atom feed", std::string(local_name(root)), "feed",
                           "name the Green Button file itself");
        }
        for (const pugi::xml_node node : root.children()) {
            if (local_name(node) == "entry") entries_.push_back(read_entry(node));
        }
        for (const Entry& entry : entries_) by_kind_[entry.kind].add(entry);
        GreenButtonFile feed;
        for (const Entry& entry : entries_) {
            if (entry.kind != "MeterReading") continue;
            if (feed.meters.size() == kMostMeters) {
                return refused(0, "holds more than " + std::to_string(kMostMeters) + " meter readings", "",
                               "", "split it by usage point");
            }
            feed.meters.push_back(meter(entry));
        }
        if (feed.meters.empty())
            return refused(0, "has no readings: there is no MeterReading in it", "", "",
                           "ask for a file with interval data");
        feed.warnings = untied();
        return feed;
    }

  private:
    Faults refused(int line, std::string what, std::string value, std::string allowed,
                   std::string mend) const {
        return {{file_, line, 0, "", std::move(what), std::move(value), std::move(allowed), std::move(mend)}};
    }

    // The usage point whose links lead to this reading.
    const Entry* usage_point(const Entry& reading) const {
        for (const Entry& entry : entries_) {
            if (entry.kind != "UsagePoint") continue;
            const auto readings = index("MeterReading").of(entry);
            if (std::ranges::find(readings, &reading) != readings.end()) return &entry;
        }
        return nullptr;
    }

    GreenButtonMeter meter(const Entry& entry) {
        const Entry* point = usage_point(entry);
        MeterReader reader(file_, lines_);
        const std::optional<LocalTime> clock = point != nullptr ? local_time(*point, reader) : std::nullopt;
        const std::string link = point != nullptr ? point->self : "";
        const std::string title = point != nullptr ? point->title : "";
        return {link, title, entry.self, entry.title, clock, series(entry, point, reader)};
    }

    std::optional<LocalTime> local_time(const Entry& point, MeterReader& reader) const {
        for (const char* kind : {"LocalTimeParameters", "TimeConfiguration"}) {
            for (const Entry* entry : index(kind).of(point)) {
                const pugi::xml_node node = child(entry->content, kind);
                const auto standard = reader.number(node, "tzOffset", true);
                const auto summer = reader.number(node, "dstOffset", false).value_or(0);
                constexpr std::int64_t kDay = 86'400;
                if (!standard || std::abs(*standard) >= kDay || std::abs(summer) >= kDay) continue;
                return LocalTime{Seconds{*standard}, Seconds{summer}};
            }
        }
        return std::nullopt;
    }

    Read<MeterSeries> series(const Entry& entry, const Entry* point, MeterReader& reader) {
        const auto blocks = index("IntervalBlock").of(entry);
        tied_.insert(blocks.begin(), blocks.end());
        if (point == nullptr) {
            reader.faults().add({"", lines_.of(entry.content), 0, "MeterReading",
                                 "belongs to no UsagePoint of this file", "", "", "ask for a complete file"});
        } else {
            check_service(*point, reader);
        }
        const auto types = index("ReadingType").of(entry);
        if (types.size() != 1) {
            reader.faults().add(
                {"", lines_.of(entry.content), 0, "MeterReading",
                 types.empty() ? "names no ReadingType of this file" : "names several ReadingTypes", "",
                 "a link rel=related to exactly one", "ask for a complete file"});
            return std::move(reader.faults()).take();
        }
        const auto type = reader.type(child(types.front()->content, "ReadingType"));
        if (!type) return std::move(reader.faults()).take();
        std::vector<PrintedReading> printed;
        for (const Entry* block : blocks) {
            for (const pugi::xml_node node : block->content.children()) {
                if (local_name(node) == "IntervalBlock") reader.block(node, *type, printed);
            }
        }
        MeterSeries series = settle(std::move(printed), *type, reader.faults(), reader.warnings());
        if (point != nullptr) series.stated = stated(*point, reader);
        if (reader.faults().empty() && series.kept.empty() && series.kept_out.empty()) {
            reader.faults().add({"", lines_.of(entry.content), 0, "MeterReading", "has no readings", "", "",
                                 "ask for a file with interval data"});
        }
        if (!reader.faults().empty()) return std::move(reader.faults()).take();
        reader.check_total(series);
        series.warnings = std::move(reader.warnings()).take();
        return series;
    }

    // ServiceCategory.kind 0 is electricity.
    void check_service(const Entry& point, MeterReader& reader) const {
        const pugi::xml_node category = child(child(point.content, "UsagePoint"), "ServiceCategory");
        if (!category) return;
        const auto kind = reader.number(category, "kind", true);
        if (kind.value_or(0) == 0) return;
        reader.faults().add({"", lines_.of(category), 0, "ServiceCategory", "is not electricity",
                             std::to_string(*kind), "0 (electricity)", "choose another usage point"});
    }

    std::optional<StatedTotal> stated(const Entry& point, MeterReader& reader) const {
        for (const char* kind : {"UsageSummary", "ElectricPowerUsageSummary"}) {
            for (const Entry* summary : index(kind).of(point)) {
                if (auto total = reader.stated(child(summary->content, kind))) return total;
            }
        }
        return std::nullopt;
    }

    Faults untied() const {
        FaultLog warnings(file_);
        for (const Entry& entry : entries_) {
            if (entry.kind != "IntervalBlock" || tied_.contains(&entry)) continue;
            warnings.add({"", lines_.of(entry.content), 0, "IntervalBlock",
                          "belongs to no MeterReading of this file: not read", entry.self, "", ""});
        }
        return std::move(warnings).take();
    }

    const Index& index(const std::string& kind) const {
        static const Index kNone;
        const auto found = by_kind_.find(kind);
        return found == by_kind_.end() ? kNone : found->second;
    }

    const std::string& file_;
    Lines lines_;
    std::vector<Entry> entries_;
    std::map<std::string, Index> by_kind_;
    std::set<const Entry*> tied_;
};

bool ends_with_part(const std::string& link, const std::string& name) {
    return link == name || link.ends_with("/" + name);
}

}  // namespace

Read<GreenButtonFile> parse_green_button(std::string_view text, const std::string& file) {
    pugi::xml_document document;
    const auto result =
        document.load_buffer(text.data(), text.size(), pugi::parse_default, pugi::encoding_utf8);
    if (!result) {
        return Faults{{file, Lines(text).at(result.offset), 0, "",
                       "is not readable as XML in UTF-8: " + std::string(result.description()), "", "",
                       "download it again; it may be cut short"}};
    }
    return Feed(text, file).read(document);
}

Read<GreenButtonFile> read_green_button(const std::filesystem::path& file) {
    const Read<std::string> bytes = read_whole_file(file, kLargestGreenButtonFile);
    if (!bytes.ok()) return bytes.faults();
    return parse_green_button(bytes.value(), file.string());
}

Read<std::size_t> choose_meter(const GreenButtonFile& feed, const std::string& file,
                               const std::optional<std::string>& name) {
    std::vector<std::size_t> found;
    std::string listed;
    for (std::size_t i = 0; i < feed.meters.size(); ++i) {
        const GreenButtonMeter& meter = feed.meters[i];
        if (!name || ends_with_part(meter.usage_point, *name) || ends_with_part(meter.meter_reading, *name) ||
            meter.usage_point_title == *name || meter.title == *name) {
            found.push_back(i);
        }
        listed += (i == 0 ? "" : "; ") + meter.meter_reading + " (" + meter.usage_point_title + ", " +
                  meter.title + ")";
    }
    if (found.size() == 1) return found.front();
    return Faults{{file, 0, 0, "usage point", found.empty() ? "is not in the file" : "is one of several",
                   name.value_or(""), listed, "name one of them"}};
}

}  // namespace lullwatt::io
