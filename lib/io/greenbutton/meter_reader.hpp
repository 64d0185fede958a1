// Reads the objects one MeterReading hangs on, and keeps the faults of that meter together.
//
// Not safe to use from several threads.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/time/instant.hpp"
#include "io/fault/fault_log.hpp"
#include "io/greenbutton/greenbutton.hpp"
#include "io/greenbutton/reading_type.hpp"
#include "io/greenbutton/settle.hpp"
#include "io/greenbutton/xml.hpp"

namespace lullwatt::io {

class MeterReader {
  public:
    // `lines` must outlive the reader.
    MeterReader(const std::string& file, const Lines& lines)
        : lines_(lines), faults_(file), warnings_(file) {}

    // A child's whole number. A fault where it is none, or missing although needed.
    std::optional<std::int64_t> number(const pugi::xml_node& parent, std::string_view name, bool needed);
    std::optional<Interval> interval(const pugi::xml_node& node);
    std::optional<ReadingType> type(const pugi::xml_node& reading_type);
    // Adds the block's readings to `printed`.
    void block(const pugi::xml_node& block, const ReadingType& type, std::vector<PrintedReading>& printed);
    std::optional<StatedTotal> stated(const pugi::xml_node& summary);
    // Where the readings cover the stated period whole, they must come to what it says.
    void check_total(const MeterSeries& series);

    FaultLog& faults() { return faults_; }
    FaultLog& warnings() { return warnings_; }

  private:
    std::optional<Interval> reading_time(const pugi::xml_node& node, const ReadingType& type,
                                         std::optional<Instant> next);
    void reading(const pugi::xml_node& node, std::optional<Interval> when, const ReadingType& type,
                 std::vector<PrintedReading>& printed);
    std::optional<Money> cost(const pugi::xml_node& node);
    Quality quality(const pugi::xml_node& node, Quality otherwise);

    void fault(const pugi::xml_node& at, std::string_view key, std::string what, std::string value,
               std::string allowed);
    void warn(const pugi::xml_node& at, std::string_view key, std::string what, std::string value,
              std::string allowed = "");

    const Lines& lines_;
    FaultLog faults_;
    FaultLog warnings_;
};

}  // namespace lullwatt::io
