#include "io/tariff_file/announced_prices.hpp"

#include <algorithm>
#include <fstream>
#include <optional>
#include <sstream>

#include <date/date.h>

namespace lullwatt::io {
namespace {

constexpr Seconds kHour{3600};
constexpr int kMostFaults = 20;

std::optional<Instant> instant_of(const std::string& text) {
    for (const char* pattern : {"%FT%RZ", "%FT%TZ", "%FT%R%Ez", "%FT%T%Ez"}) {
        std::istringstream stream(text);
        Instant at;
        stream >> date::parse(pattern, at);
        if (!stream.fail() && stream.peek() == std::istringstream::traits_type::eof()) return at;
    }
    return std::nullopt;
}

struct Row {
    Instant begin;
    Rate rate;
};

std::vector<tariff::AnnouncedPrice> priced(const std::vector<Row>& rows) {
    std::vector<tariff::AnnouncedPrice> prices;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        Seconds length = kHour;
        if (i + 1 < rows.size()) {
            length = std::min(kHour, rows[i + 1].begin - rows[i].begin);
        } else if (i > 0) {
            length = std::min(kHour, rows[i].begin - rows[i - 1].begin);
        }
        prices.push_back({{rows[i].begin, rows[i].begin + length}, rows[i].rate});
    }
    return prices;
}

}  // namespace

Read<std::vector<tariff::AnnouncedPrice>> read_announced_prices(const std::filesystem::path& file) {
    Faults faults;
    std::ifstream stream(file, std::ios::binary);
    if (!stream) {
        return Faults{
            {file.string(), 0, 0, "", "cannot be read", "", "", "check its name and who may read it"}};
    }
    std::vector<Row> rows;
    std::string line;
    for (int number = 1; std::getline(stream, line) && faults.size() < kMostFaults; ++number) {
        if (line.ends_with('\r')) line.pop_back();
        const auto fault = [&](const char* column, std::string what, std::string value, const char* allowed) {
            faults.push_back(
                {file.string(), number, 0, column, std::move(what), std::move(value), allowed, ""});
        };
        if (number == 1) {
            if (line != "start,price") fault("", "is no header of announced prices", line, "start,price");
            continue;
        }
        if (line.empty()) continue;
        const auto comma = line.find(',');
        const auto begin = instant_of(line.substr(0, comma));
        const auto rate =
            comma == line.npos ? std::nullopt : parse_decimal(std::string_view(line).substr(comma + 1), 12);
        if (!begin) {
            fault("start", "is no instant", line.substr(0, comma),
                  "'2026-10-25T02:00Z' or '2026-10-25T02:00+02:00'");
        } else if (!rate) {
            fault("price", "is no price per kWh", comma == line.npos ? "" : line.substr(comma + 1),
                  "digits and at most one point");
        } else if (!rows.empty() && *begin <= rows.back().begin) {
            fault("start", "is not after the row above it", line.substr(0, comma),
                  "rows in ascending order, each once");
        } else {
            rows.push_back({*begin, Rate(*rate)});
        }
    }
    if (!faults.empty()) return faults;
    if (rows.empty())
        return Faults{{file.string(), 0, 0, "", "holds no prices", "", "rows of start,price", ""}};
    return priced(rows);
}

}  // namespace lullwatt::io
