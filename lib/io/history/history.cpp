#include "io/history/history.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <optional>
#include <utility>
#include <vector>

#include "core/quantity/money.hpp"
#include "io/csv/label.hpp"
#include "io/fault/fault_log.hpp"
#include "io/file/file.hpp"

namespace lullwatt::io {
namespace {

using site::HistoryRow;
using site::Leg;
using site::Legs;
using site::MeterHistory;

constexpr std::string_view kFirstLine = "# lullwatt history 1";
constexpr std::string_view kMeter = "# meter: ";
constexpr std::string_view kLegs = "# legs: ";
constexpr std::uintmax_t kLargestFile = 256ULL * 1024 * 1024;
constexpr std::int64_t kMostEnergy = 1'000'000'000'000;  // mWh of one reading; ours: a million kWh
constexpr Seconds kLongestReading = date::days{400};  // a year between two readings of a register, and some
constexpr std::array<std::string_view, 3> kLegNames = {"L1", "L2", "L3"};
constexpr std::array<std::string_view, 3> kQualities = {"measured", "estimated", "questionable"};

std::string legs_text(Legs legs) {
    std::string text;
    for (const Leg leg : site::kLegs) {
        if (legs.has(leg))
            text += (text.empty() ? "" : " ") + std::string(kLegNames[static_cast<std::size_t>(leg)]);
    }
    return text.empty() ? "total" : text;
}

std::optional<Legs> parse_legs(std::string_view text) {
    for (unsigned bits = 0; bits < 8; ++bits) {
        Legs legs;
        for (const Leg leg : site::kLegs) {
            if (((bits >> static_cast<unsigned>(leg)) & 1U) != 0) legs = legs.with(leg);
        }
        if (legs_text(legs) == text) return legs;
    }
    return std::nullopt;
}

// The places of HistoryRow::energy a file of these legs holds.
std::vector<std::size_t> places(Legs legs) {
    if (legs == Legs{}) return {0};
    std::vector<std::size_t> held;
    for (const Leg leg : site::kLegs) {
        if (legs.has(leg)) held.push_back(static_cast<std::size_t>(leg));
    }
    return held;
}

std::string headings(Legs legs) {
    std::string text = "start,seconds,";
    for (const char c : legs_text(legs)) text += c == ' ' ? ',' : c;
    return text;
}

struct Cell {
    std::string_view text;
    int column = 0;  // 1-based; 0: the line as a whole
};

std::vector<Cell> cells(std::string_view line) {
    std::vector<Cell> found;
    for (std::size_t begin = 0;;) {
        const auto end = line.find(',', begin);
        found.push_back({line.substr(begin, end - begin), static_cast<int>(begin) + 1});
        if (end == line.npos) return found;
        begin = end + 1;
    }
}

class Parser {
  public:
    Parser(std::string_view text, const std::string& file) : rest_(text), faults_(file) {}

    Read<MeterHistory> parse() {
        if (!header()) return std::move(faults_).take();
        while (!rest_.empty()) row(next_line());
        if (!faults_.empty()) return std::move(faults_).take();
        return std::move(history_);
    }

  private:
    std::string_view next_line() {
        ++line_;
        const auto end = rest_.find('\n');
        std::string_view line = rest_.substr(0, end);
        rest_.remove_prefix(end == rest_.npos ? rest_.size() : end + 1);
        if (line.ends_with('\r')) line.remove_suffix(1);
        return line;
    }

    // What stands after `key` on the next line.
    std::optional<std::string_view> headed(std::string_view key, const std::string& allowed) {
        const std::string_view line = next_line();
        if (line.starts_with(key)) return line.substr(key.size());
        add({}, "", "is no line of a meter history's header", line, allowed, "");
        return std::nullopt;
    }

    bool header() {
        constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
        std::string_view first = next_line();
        if (first.starts_with(kByteOrderMark)) first.remove_prefix(kByteOrderMark.size());
        if (first != kFirstLine) {
            add({}, "", "does not begin as a meter history does", first, std::string(kFirstLine),
                "lullwatt import writes such files");
            return false;
        }
        const auto meter = headed(kMeter, std::string(kMeter) + "NAME");
        if (meter && !is_meter_name(*meter)) {
            add({}, "meter", "is not a meter's name", *meter, "1 to 40 of a-z, 0-9 and '-', not '-' first",
                "");
        }
        const auto legs = headed(kLegs, std::string(kLegs) + "total, or L1, L2 and L3");
        const auto known = legs ? parse_legs(*legs) : std::nullopt;
        if (legs && !known)
            add({}, "legs", "are no legs", *legs, "total, or L1, L2 and L3 in this order", "");
        if (!faults_.empty()) return false;
        history_.meter = *meter;
        history_.legs = *known;
        places_ = places(*known);
        const std::string_view titles = next_line();
        if (titles != headings(*known)) {
            add({}, "", "are not the headings of this history", titles, headings(*known), "");
            return false;
        }
        return true;
    }

    void row(std::string_view line) {
        const std::vector<Cell> found = cells(line);
        const std::size_t least = 2 + places_.size();
        if (found.size() != least && found.size() != least + 1) {
            add({}, "", "has another number of columns than the headings", line,
                headings(history_.legs) + ", and a quality where it is not measured", "");
            return;
        }
        HistoryRow row;
        bool good = when(found, row);
        for (std::size_t i = 0; i < places_.size(); ++i) good &= energy(found[2 + i], row.energy[places_[i]]);
        if (found.size() > least) good &= quality(found[least], row.quality);
        if (good) history_.rows.push_back(row);
    }

    bool when(const std::vector<Cell>& found, HistoryRow& row) {
        const auto start = parse_iso_label(found[0].text);
        const bool utc = start && start->offset == Seconds{0};
        if (!utc)
            add(found[0], "start", "is not a time in UTC", found[0].text, "such as 2026-03-01T14:15:00Z", "");
        Seconds::rep count = 0;
        const std::string_view text = found[1].text;
        const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), count);
        const bool whole = error == std::errc{} && end == text.data() + text.size();
        const bool length = whole && count > 0 && Seconds{count} <= kLongestReading;
        if (!length) {
            add(found[1], "seconds", "is not a length", text,
                "1 to " + std::to_string(kLongestReading.count()), "");
        }
        if (!utc || !length) return false;
        const Instant begin{start->label.time_since_epoch()};
        row.when = {begin, begin + Seconds{count}};
        const Instant free = std::max(free_, row.when.end);
        const bool after = begin >= std::exchange(free_, free);
        if (!after) {
            add(found[0], "start", "is before the row above it ends", found[0].text, "",
                "delete the wrong one of the two rows");
        }
        return after;
    }

    bool energy(const Cell& cell, MilliwattHours& energy) {
        const auto count = parse_decimal(cell.text, 3);
        const bool plausible = count && -kMostEnergy <= *count && *count <= kMostEnergy;
        if (plausible) energy = MilliwattHours(*count);
        if (!count) {
            add(cell, "energy", "is no energy", cell.text, "Wh with up to three decimals", "");
        } else if (!plausible) {
            add(cell, "energy", "is more than a household uses", cell.text, "up to 1000000000 Wh a reading",
                "look at the unit");
        }
        return plausible;
    }

    bool quality(const Cell& cell, Quality& quality) {
        const auto found = std::ranges::find(kQualities, cell.text);
        if (found != kQualities.end()) quality = static_cast<Quality>(found - kQualities.begin());
        if (found == kQualities.end()) {
            add(cell, "quality", "is no quality", cell.text, "measured, estimated, questionable", "");
        }
        return found != kQualities.end();
    }

    void add(const Cell& cell, std::string key, std::string what, std::string_view value, std::string allowed,
             std::string mend) {
        constexpr std::size_t kMuch = 80;  // a line of another file's may be megabytes
        std::string shown(value.substr(0, kMuch));
        if (value.size() > kMuch) shown += "…";
        faults_.add({"", line_, cell.column, std::move(key), std::move(what), std::move(shown),
                     std::move(allowed), std::move(mend)});
    }

    std::string_view rest_;
    FaultLog faults_;
    MeterHistory history_;
    std::vector<std::size_t> places_;
    Instant free_ = Instant::min();  // the end of the latest row
    int line_ = 0;
};

std::filesystem::path file_of(const std::filesystem::path& folder, const MeterHistory& history) {
    return folder / (history.meter + ".csv");
}

}  // namespace

bool is_meter_name(std::string_view name) {
    const auto allowed = [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-'; };
    return !name.empty() && name.size() <= 40 && name.front() != '-' && std::ranges::all_of(name, allowed);
}

std::string history_text(const MeterHistory& history) {
    const std::vector<std::size_t> held = places(history.legs);
    std::string text = std::string(kFirstLine) + "\n" + std::string(kMeter) + history.meter + "\n" +
                       std::string(kLegs) + legs_text(history.legs) + "\n" + headings(history.legs) + "\n";
    text.reserve(text.size() + history.rows.size() * 40);
    for (const HistoryRow& row : history.rows) {
        text += utc_text(row.when.begin) + "," + std::to_string(row.when.length().count());
        for (const std::size_t place : held) text += "," + decimal_text(row.energy[place].count(), 3);
        if (row.quality != Quality::measured) {
            text += "," + std::string(kQualities[static_cast<std::size_t>(row.quality)]);
        }
        text += "\n";
    }
    return text;
}

Read<MeterHistory> parse_history(std::string_view text, const std::string& file) {
    return Parser(text, file).parse();
}

Read<MeterHistory> read_history(const std::filesystem::path& file) {
    const Read<std::string> bytes = read_whole_file(file, kLargestFile);
    if (!bytes.ok()) return bytes.faults();
    return parse_history(bytes.value(), file.string());
}

Read<Kept> try_history(const std::filesystem::path& folder, const MeterHistory& offered) {
    const std::filesystem::path file = file_of(folder, offered);
    MeterHistory held{offered.meter, offered.legs, {}};
    std::error_code error;
    if (std::filesystem::exists(file, error)) {
        Read<MeterHistory> read = read_history(file);
        if (!read.ok()) return read.faults();
        held = std::move(read).value();
    }
    const auto refused = [&](std::string what, std::string value, std::string allowed) {
        return Faults{{file.string(), 0, 0, "", std::move(what), std::move(value), std::move(allowed),
                       "import under another meter's name"}};
    };
    if (held.meter != offered.meter)
        return refused("holds another meter's readings", held.meter, offered.meter);
    if (held.legs != offered.legs) {
        return refused("holds other legs than the readings offered", legs_text(held.legs),
                       legs_text(offered.legs));
    }
    return Kept{site::merge(held, offered), false};
}

Read<Kept> keep_history(const std::filesystem::path& folder, const MeterHistory& offered) {
    Read<Kept> tried = try_history(folder, offered);
    if (!tried.ok() || tried.value().merged.added == 0) return tried;
    Kept kept = std::move(tried).value();
    std::error_code error;
    std::filesystem::create_directories(folder, error);  // what fails here, the writing tells
    if (auto fault = replace_file(file_of(folder, offered), history_text(kept.merged.history))) {
        return Faults{std::move(*fault)};
    }
    kept.written = true;
    return kept;
}

}  // namespace lullwatt::io
