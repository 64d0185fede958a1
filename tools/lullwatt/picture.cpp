#include "tools/lullwatt/picture.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <utility>

#include <fmt/format.h>

#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

constexpr std::size_t kWidest = 72;
constexpr int kRows = 5;
constexpr std::string_view kHatching = "-=%@ABCDEFGHIJKLMNOPQRSTUVWXYZ";  // cheapest first
constexpr std::array kSteps = {5, 10, 15, 20, 30, 60, 120, 180, 240, 360, 720, 1440};

struct Column {
    Instant begin;
    WholeAmps amps;  // the greatest within the column
    WholeAmps room;
    Rate price;  // at its begin
};

Seconds step_for(Interval span) {
    for (const int step : kSteps) {
        const Seconds length{step * 60};
        if (span.length() <= length * static_cast<long>(kWidest)) return length;
    }
    return Seconds{86400};
}

std::vector<Column> columns_of(const std::vector<PictureSlot>& slots, Seconds step) {
    const Instant first{slots.front().when.begin.time_since_epoch() / step * step};
    std::vector<Column> columns;
    for (Instant at = first; at < slots.back().when.end; at += step) {
        Column column{at, {}, {}, slots.front().price};
        for (const PictureSlot& slot : slots) {
            if (slot.when.end <= at || slot.when.begin >= at + step) continue;
            if (slot.when.begin <= at) column.price = slot.price;
            column.amps = std::max(column.amps, slot.amps);
            column.room = std::max(column.room, slot.room);
        }
        columns.push_back(column);
    }
    return columns;
}

std::string hours_row(const std::vector<Column>& columns, const Zone& zone) {
    std::string row(columns.size() + 2, ' ');
    std::size_t free_from = 0;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const std::string label = clock_text(zone, columns[i].begin).substr(0, 5);
        if (!label.ends_with(":00") || i < free_from) continue;
        row.replace(i, 2, label, 0, 2);
        free_from = i + 3;
    }
    row.erase(row.find_last_not_of(' ') + 1);
    return row;
}

// Hatching by price, cheapest first.
std::map<Rate, char> hatching_of(const std::vector<PictureSlot>& slots) {
    std::map<Rate, char> hatching;
    for (const PictureSlot& slot : slots) hatching[slot.price] = ' ';
    std::size_t rank = 0;
    for (auto& [price, mark] : hatching) mark = kHatching[std::min(rank++, kHatching.size() - 1)];
    return hatching;
}

std::string legend(const std::vector<PictureSlot>& slots, const std::map<Rate, char>& hatching, int digits) {
    std::string text;
    for (const auto& [price, mark] : hatching) {
        const auto named = std::ranges::find(slots, price, &PictureSlot::price);
        text += fmt::format("{}{} {} {}", text.empty() ? "" : "   ", mark, named->price_name,
                            rate_text(price, digits));
    }
    return text;
}

}  // namespace

std::string picture(const std::vector<PictureSlot>& slots, const Zone& zone, int currency_digits) {
    const auto columns = columns_of(slots, step_for({slots.front().when.begin, slots.back().when.end}));
    int tallest = 1;
    for (const Column& column : columns)
        tallest = std::max({tallest, column.amps.count(), column.room.count()});

    std::string text;
    for (int row = kRows; row >= 1; --row) {
        const int level = (tallest * row + kRows - 1) / kRows;
        std::string line;
        for (const Column& column : columns) {
            line += column.amps.count() >= level ? '#' : (column.room.count() >= level ? '.' : ' ');
        }
        line.erase(line.find_last_not_of(' ') + 1);
        text += fmt::format("{:>4} A |{}\n", level, line);
    }
    const auto hatching = hatching_of(slots);
    std::string prices;
    for (const Column& column : columns) prices += hatching.at(column.price);
    text += fmt::format(" price |{}\n  hour  {}\n", prices, hours_row(columns, zone));
    text += "  # charging   . room left unused\n";
    if (hatching.size() <= 8) text += "  price per kWh: " + legend(slots, hatching, currency_digits) + "\n";
    return text;
}

}  // namespace lullwatt::tools
