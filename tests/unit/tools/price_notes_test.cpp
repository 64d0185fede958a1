// Sentences about what the money of an answer rests on.
#include "tools/lullwatt/price_notes.hpp"

#include <algorithm>

#include "support/catch.hpp"

using namespace lullwatt;
using namespace date::literals;
using namespace std::chrono_literals;

TEST_CASE("a note of assumed prices names the hours, and counts their pieces where they are many") {
    const Zone zone = Zone::fixed(0s);
    const Instant begin = date::sys_days{2026_y / 1 / 14};  // a Wednesday
    const auto note = [&](const std::vector<int>& hours) {
        tariff::PriceCurve prices;
        for (int hour = 0; hour < 24; ++hour) {
            tariff::PricePiece piece{};
            piece.when = {begin + std::chrono::hours{hour}, begin + std::chrono::hours{hour + 1}};
            piece.assumed = std::ranges::find(hours, hour) != hours.end();
            prices.push_back(piece);
        }
        return tools::assumed_note(prices, {begin, begin + 12h}, zone);
    };
    CHECK(note({}).empty());
    CHECK(note({2}) == "Prices of Wed 02:00–03:00 are assumed, for none are announced.");
    CHECK(note({2, 3, 7}) ==
          "Prices of Wed 02:00–04:00 and Wed 07:00–08:00 are assumed, for none are announced.");
    CHECK(note({1, 3, 5, 7, 8}) ==
          "Prices of 5 hours, in 4 pieces from Wed 01:00 on, are assumed, for none are announced.");
    CHECK(note({11, 12}) == "Prices of Wed 11:00–12:00 are assumed, for none are announced.");
    CHECK(note({13}).empty());
}
