#include "io/tariff_file/announced_prices.hpp"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <string>
#include <string_view>
#include <utility>

#include <date/date.h>
#include <fmt/format.h>

#include "io/tariff_file/magnitude.hpp"

namespace lullwatt::io {
namespace {

constexpr std::size_t kMostPriceFaults = 20;
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
        greatest_ = std::max(greatest_, Rate(std::abs(*count)));
        if (!begin) return;
        prices_.push_back({{*begin, *begin + format_.every}, Rate(*count)});
        lines_.push_back(number);
    }

    [[nodiscard]] bool full() const { return faults_.size() >= kMostPriceFaults; }

    Read<std::vector<tariff::AnnouncedPrice>> finish() && {
        if (full()) fault(0, "", "may hold more faults than these", "", "", "mend these first");
        if (faults_.empty() && prices_.empty())
            fault(0, "", "holds no prices", "", "rows of start,price", "");
        if (faults_.empty()) check_too_small();
        if (!faults_.empty()) return std::move(faults_);
        return std::move(prices_);
    }

    // REQUIRES: the rows are without faults.
    Faults notices(CivilDate today) && {
        if (prices_.empty()) return {};
        note_gaps();
        note_end(today);
        return std::move(faults_);
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

    // Where not one row reaches what a megawatt-hour costs, all of them are for a kilowatt-hour.
    void check_too_small() {
        if (!format_.implausible || !format_.per_megawatt_hour || greatest_ == Rate(0)) return;
        const Rate least(format_.implausible->count() / 1000);
        if (greatest_ >= least) return;
        fault(lines_.front(), "price",
              "is less than a megawatt-hour costs, as all of them are: is it for a kilowatt-hour?", "",
              fmt::format("one price at least from {} per MWh on", decimal_text(least.count(), 9)),
              "leave out 'prices_per: MWh' in the tariff file, or state 'large_rates: yes'");
    }

    void note_gaps() {
        std::size_t gaps = 0;
        std::size_t first = 0;
        Seconds missing{0};
        for (std::size_t i = 1; i < prices_.size(); ++i) {
            const Seconds gap = prices_[i].when.begin - prices_[i - 1].when.end;
            if (gap == Seconds{0}) continue;
            if (gaps++ == 0) first = i;
            missing += gap;
        }
        if (gaps == 0) return;
        const Seconds apart = prices_[first].when.begin - prices_[first - 1].when.begin;
        if (gaps > prices_.size() / 2) {
            fault(lines_[first], "start",
                  fmt::format("is {} min after the row above it, as most rows are, and each holds {} min",
                              apart.count() / 60, format_.every.count() / 60),
                  "", "", "state 'prices_every' in the tariff file as the rows stand");
            return;
        }
        fault(lines_[first], "start",
              fmt::format(
                  "leaves {} min before it without a price{}", (apart - format_.every).count() / 60,
                  gaps == 1 ? "" : fmt::format("; {} gaps are {} min in all", gaps, missing.count() / 60)),
              "", "", "add the missing rows; the fallback counts there");
    }

    void note_end(CivilDate today) {
        constexpr Seconds kSoon = std::chrono::hours{36};  // ours: west of Greenwich a day ends that late
        const date::sys_seconds now = date::sys_days{today};
        const Instant end = prices_.back().when.end;
        if (end > now + kSoon) return;
        const auto ago = std::chrono::floor<date::days>(now - end).count();
        fault(lines_.back(), "start",
              end > now ? "is of the last prices, which end soon"
                        : fmt::format("is of the last prices, which ended {} ago",
                                      ago == 0   ? "less than a day"
                                      : ago == 1 ? "1 day"
                                                 : fmt::format("{} days", ago)),
              "", "", "bring the file up to date; the fallback counts after them");
    }

    void fault(int number, const char* column, std::string what, std::string value, std::string allowed,
               std::string mend) {
        faults_.push_back({file_, number, 0, column, std::move(what), std::move(value), std::move(allowed),
                           std::move(mend)});
    }

    std::string file_;
    AnnouncedFormat format_;
    std::vector<tariff::AnnouncedPrice> prices_;
    std::vector<int> lines_;  // of prices_
    Rate greatest_{0};        // by size
    Faults faults_;
    bool asked_ = false;
};

}  // namespace

AnnouncedFormat announced_format(const Section& tariff) {
    AnnouncedFormat format;
    if (const auto* every = tariff.find<std::string>("prices_every"))
        format.every = std::chrono::minutes{*every == "15 min" ? 15 : *every == "30 min" ? 30 : 60};
    const auto* per = tariff.find<std::string>("prices_per");
    format.per_megawatt_hour = per != nullptr && *per == "MWh";
    const auto* silenced = tariff.find<bool>("large_rates");
    const auto* currency = tariff.find<std::string>("currency");
    if (silenced != nullptr && !*silenced && currency != nullptr)
        format.implausible = implausible_rate(*currency);
    return format;
}

namespace {

void read_rows(std::istream& stream, Rows& rows) {
    std::string line;
    for (int number = 1; std::getline(stream, line) && !rows.full(); ++number) {
        if (line.ends_with('\r')) line.pop_back();
        if (number == 1) {
            rows.header(line);
        } else if (!line.empty()) {
            rows.row(number, line);
        }
    }
}

// A wider encoding turns every row into nonsense: told once.
bool is_wide(std::istream& stream) {
    const int first = stream.get();
    const int second = stream.get();
    stream.clear();
    stream.seekg(0);
    return (first == 0xFF && second == 0xFE) || (first == 0xFE && second == 0xFF) || first == 0 ||
           second == 0;
}

}  // namespace

Read<std::vector<tariff::AnnouncedPrice>> read_announced_prices(const std::filesystem::path& file,
                                                                const AnnouncedFormat& format) {
    constexpr std::uintmax_t kMostBytes = 64 << 20;  // ours: fifty years of quarters
    std::error_code error;
    std::ifstream stream(file, std::ios::binary);
    if (!std::filesystem::is_regular_file(file, error) || !stream) {
        return Faults{
            {file.string(), 0, 0, "", "cannot be read", "", "", "check its name and who may read it"}};
    }
    if (std::filesystem::file_size(file, error) > kMostBytes)
        return Faults{{file.string(), 0, 0, "", "is too large for a file of prices", "", "64 MiB at most",
                       "keep the years that are billed"}};
    if (is_wide(stream))
        return Faults{{file.string(), 0, 0, "", "is text in UTF-16", "", "UTF-8", "save it as UTF-8"}};
    Rows rows(file.string(), format);
    read_rows(stream, rows);
    return std::move(rows).finish();
}

Faults announced_price_notices(const std::filesystem::path& file, const AnnouncedFormat& format,
                               CivilDate today) {
    std::ifstream stream(file, std::ios::binary);
    Rows rows(file.string(), format);
    read_rows(stream, rows);
    return std::move(rows).notices(today);
}

}  // namespace lullwatt::io
