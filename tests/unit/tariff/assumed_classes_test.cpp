// Where a price hangs on the class of a day that nobody has announced yet.
#include "core/tariff/price_curve.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::tariff;
using namespace std::chrono_literals;
using date::sys_days;
using date::operator""_y;

namespace {

constexpr Instant kFirst = sys_days{2026_y / 11 / 20};
constexpr std::size_t kPlain = 0;
constexpr std::size_t kRed = 1;

Window window(std::string name, std::vector<std::size_t> classes, Seconds from = 0h, Seconds to = 24h) {
    return {.name = std::move(name), .from = from, .to = to, .rate = Rate(1), .classes = std::move(classes)};
}

// Plain unless announced; the second day is announced as `announced`.
Tariff with(std::vector<Window> windows, std::optional<std::size_t> announced) {
    DayClasses classes{.names = {"plain", "red"}, .assumed = kPlain};
    if (announced) classes.announced = {{2026_y / 11 / 21, *announced}};
    return {.name = "t",
            .currency = "CAD",
            .revisions = {{2000_y / 1 / 1, std::move(windows), {}, {}}},
            .classes = std::move(classes)};
}

// The assumed stretches of the second day and the morning after it, joined.
std::vector<Interval> assumed(const Tariff& tariff) {
    const auto priced = price_curve(tariff, Zone::fixed(0s), {kFirst + 24h, kFirst + 60h});
    REQUIRE(std::holds_alternative<PriceCurve>(priced));
    std::vector<Interval> found;
    for (const PricePiece& piece : std::get<PriceCurve>(priced)) {
        if (!piece.assumed) continue;
        const Interval when{piece.when.begin - kFirst.time_since_epoch(),
                            piece.when.end - kFirst.time_since_epoch()};
        if (!found.empty() && found.back().end == when.begin) {
            found.back().end = when.end;
        } else {
            found.push_back(when);
        }
    }
    return found;
}

Interval hours(Seconds from, Seconds to) { return {Instant{from}, Instant{to}}; }

using Intervals = std::vector<Interval>;

}  // namespace

TEST_CASE("a price is assumed while another class of an unannounced day would change its window") {
    const std::vector<Window> windows = {window("peak", {kRed}, 16h, 21h), window("day", {})};
    SECTION("only in the hours in which a red day differs, though the window that holds names no class") {
        CHECK(assumed(with(windows, {})) == Intervals{hours(24h + 16h, 24h + 21h)});
    }
    SECTION("not on a day whose class is known, whichever it is") {
        CHECK(assumed(with(windows, kPlain)).empty());
        CHECK(assumed(with(windows, kRed)).empty());
    }
    SECTION("not where the window that holds has every class") {
        CHECK(assumed(with({window("day", {kPlain, kRed})}, {})).empty());
    }
    SECTION("all day where each class has windows of its own") {
        CHECK(assumed(with({window("plain", {kPlain}), window("red", {kRed})}, {})) ==
              Intervals{hours(24h, 60h)});
    }
    SECTION("not where an order has set the price") {
        Tariff tariff = with(windows, {});
        tariff.overrides = {{2026_y / 11 / 21, 2026_y / 11 / 22, "order", Rate(2)}};
        CHECK(assumed(tariff).empty());
    }
}

TEST_CASE("a night that belongs to its evening is assumed by the class of that evening's day") {
    Window night = window("red night", {kRed}, 22h, 6h);
    night.past_midnight = PastMidnight::day_before;
    const std::vector<Window> windows = {night, window("day", {})};
    // The 20th and the 22nd are not announced.
    CHECK(assumed(with(windows, kPlain)) == Intervals{hours(24h, 30h)});
    CHECK(assumed(with(windows, {})) == Intervals{hours(24h, 30h), hours(46h, 54h)});
}
