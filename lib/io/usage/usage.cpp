#include "io/usage/usage.hpp"

#include <utility>

#include "core/site/history.hpp"
#include "io/file/file.hpp"
#include "io/history/history.hpp"

namespace lullwatt::io {
namespace {

Read<UsageFile> from_green_button(const std::string& text, const std::string& file,
                                  const std::optional<std::string>& meter) {
    const auto feed = parse_green_button(text, file);
    if (!feed.ok()) return feed.faults();
    const auto chosen = choose_meter(feed.value(), file, meter);
    if (!chosen.ok()) return chosen.faults();
    const GreenButtonMeter& found = feed.value().meters[chosen.value()];
    if (!found.series.ok()) return found.series.faults();
    const MeterSeries& series = found.series.value();
    const auto refused = [&](std::string what, std::string mend) {
        return Faults{{file, 0, 0, "", std::move(what), found.meter_reading, "", std::move(mend)}};
    };
    if (series.flow == Flow::total)
        return refused("counts energy to and from the house as one sum, which no bill goes by",
                       "name the meter that counts one way");
    if (series.kept.empty()) return refused("has no reading that can be kept", "ask for another file");
    UsageFile usage{series.kept, series.flow, feed.value().warnings};
    usage.warnings.insert(usage.warnings.end(), series.warnings.begin(), series.warnings.end());
    return usage;
}

}  // namespace

Read<UsageFile> read_usage(const std::filesystem::path& file, const std::optional<std::string>& meter) {
    const auto text = read_whole_file(file, kLargestGreenButtonFile);
    if (!text.ok()) return text.faults();
    if (const auto binary = why_no_text(text.value(), file.string())) return Faults{*binary};
    const auto first = text.value().find_first_not_of("\xEF\xBB\xBF \t\r\n");
    if (first != std::string::npos && text.value()[first] == '<')
        return from_green_button(text.value(), file.string(), meter);
    if (meter) {
        return Faults{{file.string(), 0, 0, "", "holds one meter only, so none can be named", *meter, "",
                       "leave the meter's name out"}};
    }
    const auto history = parse_history(text.value(), file.string());
    if (!history.ok()) {
        Faults faults = history.faults();
        if (text.value().starts_with("# lullwatt history")) return faults;
        faults.front().mend += (faults.front().mend.empty() ? "" : "; ") +
                               std::string("a table from elsewhere becomes readings by `lullwatt import`");
        return faults;
    }
    if (history.value().rows.empty())
        return Faults{{file.string(), 0, 0, "", "holds no reading", "", "", "import some"}};
    return UsageFile{site::totals(history.value()), Flow::unstated, {}};
}

}  // namespace lullwatt::io
