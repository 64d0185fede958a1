#include "io/tariff_file/line_lists.hpp"

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "io/tariff_file/charge_words.hpp"

namespace lullwatt::io {
namespace {

using tariff::Part;

struct LineWord {
    std::string_view word;
    std::vector<Part> parts;
    bool before_minimums = true;
};

const std::vector<LineWord>& line_words() {
    static const std::vector<LineWord> words = {
        {"energy", {Part::window, Part::adder, Part::block, Part::exported}},
        {"adders", {Part::adder}},
        {"blocks", {Part::block}},
        {"demand", {Part::demand}},
        {"fixed", {Part::fixed}},
        {"export", {Part::exported}},
        {"minimum", {Part::minimum}, false},
        {"riders", {Part::rider}, false},
    };
    return words;
}

// Lines that stand above the taker on the bill; words for lines behind them.
std::vector<std::string> known_names(const tariff::Revision& revision, Taker kind) {
    std::vector<std::string> names;
    const auto add = [&](const auto& lines) {
        for (const auto& line : lines) names.push_back(line.name);
    };
    add(revision.windows);
    add(revision.adders);
    add(revision.blocks);
    add(revision.demand);
    add(revision.fixed);
    if (kind != Taker::minimum) {
        add(revision.minimums);
        add(revision.riders);
        add(revision.taxes);
    }
    for (const LineWord& word : line_words()) {
        if (word.before_minimums || kind != Taker::minimum) names.emplace_back(word.word);
    }
    return names;
}

// What is made later than the taker, itself included.
std::vector<std::string> later_names(const Section& whole, Taker kind) {
    std::vector<std::string> names;
    for (const std::string_view key : {"minimums", "riders", "taxes"}) {
        for (const Section& entry : whole.sections(key)) {
            if (const auto* name = entry.find<std::string>("name")) names.push_back(*name);
        }
    }
    if (kind == Taker::minimum) names.insert(names.end(), {"minimum", "riders"});
    return names;
}

const char* order_text(Taker kind) {
    switch (kind) {
        case Taker::minimum:
            return "charges only: minimums come before riders and taxes";
        case Taker::rider:
            return "charges, minimums and the riders above it";
        case Taker::tax:
            break;
    }
    return "charges, minimums, riders and the taxes above it";
}

bool holds(const std::vector<std::string>& names, const std::string& name) {
    return std::ranges::find(names, name) != names.end();
}

}  // namespace

tariff::LinesOf read_lines_of(const Section& taker, Taker kind, const Section& whole,
                              const tariff::Revision& revision, Faults& faults) {
    tariff::LinesOf of;
    std::vector<std::string> known = known_names(revision, kind);
    const auto later = later_names(whole, kind);
    const auto own = taker.find<std::string>("name");
    const auto& elements = taker.list("of");
    for (std::size_t i = 0; i < elements.size(); ++i) {
        const std::string& name = elements[i].written;
        const bool first_rider = kind == Taker::rider && name == "riders" && revision.riders.empty();
        if (!first_rider && (holds(known, name) || !holds(later, name))) continue;
        faults.push_back(taker.element_fault("of", i,
                                             own != nullptr && name == *own
                                                 ? "is the line itself"
                                                 : "is made after this line, so it never counts",
                                             order_text(kind), "remove it, or put the lines in order"));
        known.push_back(name);  // told
    }
    check_names(taker, "of", known, "line", faults);
    for (const std::string& name : texts(taker, "of")) {
        const auto word = std::ranges::find(line_words(), name, &LineWord::word);
        if (word == line_words().end()) {
            of.names.push_back(name);
        } else {
            of.parts.insert(of.parts.end(), word->parts.begin(), word->parts.end());
        }
    }
    if (taker.stated("of") && elements.empty())
        faults.push_back(taker.fault("of", "is an empty list", "lines it counts",
                                     "leave it out where all lines are meant"));
    return of;
}

void settle_compound(const Section& section, const std::vector<tariff::Percentage>& above, Taker kind,
                     tariff::Percentage& percentage, Faults& faults) {
    const tariff::LinesOf& of = percentage.of;
    if (of.parts.empty() && of.names.empty()) return;
    const bool by_word = kind == Taker::rider && std::ranges::find(of.parts, Part::rider) != of.parts.end();
    const bool named = by_word || std::ranges::any_of(above, [&](const tariff::Percentage& other) {
                           return holds(of.names, other.name);
                       });
    if (named && section.stated("compound") && !percentage.compound)
        faults.push_back(section.fault("compound", "leaves out what 'of' names", "yes, or nothing",
                                       "remove it, or the percentage from 'of'"));
    if (!named && percentage.compound)
        faults.push_back(section.fault("compound", "adds nothing: 'of' names no percentage above it", "",
                                       "name it in 'of', or remove one of the two"));
    percentage.compound = named;
}

}  // namespace lullwatt::io
