#include "io/tariff_file/announced_prices.hpp"

#include <fstream>
#include <sstream>
#include <string>
#include <string_view>
#include <utility>

#include <date/date.h>
#include <fmt/format.h>

namespace lullwatt::io {
namespace {

constexpr std::size_t kMostFaults = 20;
constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";

std::optional<Instant> instant_of(const std::string& text) {
    for (const char* pattern : {"%FT%RZ", "%FT%TZ", "%FT%R%Ez", "%FT%T%Ez"}) {
        std::istringstream stream(text);
        Instant at;
        stream >> date::parse(pattern, at);
        if (!stream.fail() && stream.peek() == std::istringstream::traits_type::eof()) return at;
    }
    return std::nullopt;
}

bool has_no_offset(const std::string& text) {
    std::istringstream stream(text);
    date::local_seconds at;
    stream >> date::parse("%FT%R", at);
    return !stream.fail() && text.size() <= std::string_view("2026-10-25T02:00:00").size();
}

// Reads row after row, gathering prices and faults.
class Rows {
  public:
    Rows(std::string file, const AnnouncedFormat& format) : file_(std::move(file)), format_(format) {}

    void header(std::string line) {
        if (line.starts_with(kByteOrderMark)) line.erase(0, kByteOrderMark.size());
        if (line != "start,price") {
            fault(1, "", "is no header of announced prices", line, "start,price",
                  "name the two columns in the first line");
        }
    }

    void row(int number, const std::string& line) {
        const auto comma = line.find(',');
        const std::string start = line.substr(0, comma);
        const std::string price = comma == line.npos ? "" : line.substr(comma + 1);
        const auto begin = instant_of(start);
        // 10^-12 per kWh; a price per MWh is a thousand times finer.
        const auto count = parse_decimal(price, format_.per_megawatt_hour ? 9 : 12);
        if (!begin) {
            fault(number, "start", has_no_offset(start) ? "has no offset from UTC" : "is no instant", start,
                  "'2026-10-25T02:00Z' or '2026-10-25T02:00+02:00'", "");
        } else if (!prices_.empty() && *begin < prices_.back().when.end) {
            const bool after = *begin > prices_.back().when.begin;
            fault(number, "start",
                  after ? "begins before the row above it has ended" : "is not after the row above it", start,
                  fmt::format("ascending rows, {} min apart or more", format_.every.count() / 60),
                  after ? "state the true length as 'prices_every' in the tariff file"
                        : "put the rows in order, each start once");
        }
        if (!count) {
            fault(number, "price", "is no price", price, "digits and at most one point",
                  price.find(',') == price.npos ? "" : "write a decimal point, and nothing behind it");
            return;
        }
        check_magnitude(number, Rate(*count), price);
        if (begin) prices_.push_back({{*begin, *begin + format_.every}, Rate(*count)});
    }

    [[nodiscard]] bool full() const { return faults_.size() >= kMostFaults; }

    Read<std::vector<tariff::AnnouncedPrice>> finish() && {
        if (full()) fault(0, "", "may hold more faults than these", "", "", "mend these first");
        if (faults_.empty() && prices_.empty())
            fault(0, "", "holds no prices", "", "rows of start,price", "");
        if (!faults_.empty()) return std::move(faults_);
        return std::move(prices_);
    }

  private:
    void check_magnitude(int number, Rate rate, const std::string& price) {
        if (asked_ || !format_.implausible || (-*format_.implausible < rate && rate < *format_.implausible)) {
            return;
        }
        asked_ = true;  // once: the rest of the file will be alike
        fault(number, "price", "is more than a kilowatt-hour costs: is it for a megawatt-hour?", price,
              fmt::format("a price below {} per kWh", decimal_text(format_.implausible->count(), 12)),
              "state 'prices_per: MWh' in the tariff file, or 'large_rates: yes'");
    }

    void fault(int number, const char* column, std::string what, std::string value, std::string allowed,
               std::string mend) {
        faults_.push_back({file_, number, 0, column, std::move(what), std::move(value), std::move(allowed),
                           std::move(mend)});
    }

    std::string file_;
    AnnouncedFormat format_;
    std::vector<tariff::AnnouncedPrice> prices_;
    Faults faults_;
    bool asked_ = false;
};

}  // namespace

Read<std::vector<tariff::AnnouncedPrice>> read_announced_prices(const std::filesystem::path& file,
                                                                const AnnouncedFormat& format) {
    std::error_code error;
    std::ifstream stream(file, std::ios::binary);
    if (!std::filesystem::is_regular_file(file, error) || !stream) {
        return Faults{
            {file.string(), 0, 0, "", "cannot be read", "", "", "check its name and who may read it"}};
    }
    Rows rows(file.string(), format);
    std::string line;
    for (int number = 1; std::getline(stream, line) && !rows.full(); ++number) {
        if (line.ends_with('\r')) line.pop_back();
        if (number == 1) {
            rows.header(line);
        } else if (!line.empty()) {
            rows.row(number, line);
        }
    }
    return std::move(rows).finish();
}

}  // namespace lullwatt::io
