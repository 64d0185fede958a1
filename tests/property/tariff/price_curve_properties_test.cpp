// What holds for any tariff on any clock.
#include <rapidcheck.h>
#include <set>

#include "core/tariff/coverage.hpp"
#include "core/tariff/price_curve.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::tariff;
using namespace std::chrono_literals;
using date::operator""_y;
using date::sys_days;

namespace {

constexpr Instant kFirst{sys_days{2025_y / 1 / 1}};
constexpr Interval kKnown{Instant{0s}, sys_days{2028_y / 1 / 1}};

Seconds any_quarter() { return 15min * *rc::gen::inRange(0, 96); }

DaySet any_days() {
    DaySet days;
    for (bool& day : days.weekdays) day = *rc::gen::arbitrary<bool>();
    days.holidays = *rc::gen::arbitrary<bool>();
    return days;
}

Window any_window(const std::string& name) {
    Window window{.name = name, .days = any_days(), .from = any_quarter()};
    window.to = any_quarter() + 15min;
    if (window.to == window.from) window.to = window.from + 15min;
    if (*rc::gen::arbitrary<bool>()) window.seasons = {*rc::gen::inRange<std::size_t>(0, 2)};
    if (*rc::gen::arbitrary<bool>()) window.past_midnight = PastMidnight::day_before;
    window.rate = Rate(*rc::gen::inRange<std::int64_t>(-1'000'000'000'000, 1'000'000'000'000));
    return window;
}

Revision any_revision(CivilDate from) {
    Revision revision{.from = from};
    const int windows = *rc::gen::inRange(0, 6);
    for (int i = 0; i < windows; ++i) revision.windows.push_back(any_window("w" + std::to_string(i)));
    revision.windows.push_back({.name = "rest", .rate = Rate(150'000'000'000)});
    if (*rc::gen::arbitrary<bool>()) revision.adders = {{"adder", Rate(12'345'678'901)}};
    if (*rc::gen::arbitrary<bool>()) revision.taxes = {{"tax", *rc::gen::inRange(0, 300'000)}};
    return revision;
}

CivilDate any_date() { return CivilDate{sys_days{2025_y / 1 / 1} + date::days{*rc::gen::inRange(0, 1000)}}; }

Tariff any_tariff() {
    Tariff tariff{.name = "any", .currency = "CAD"};
    tariff.seasons = {{"winter", {date::November / 1, date::April / 30}},
                      {"summer", {date::May / 1, date::October / 31}}};
    tariff.holidays = {{{.name = "a", .when = FixedDate{date::November / 1}},
                        {.name = "b", .when = EasterOffset{date::days{-2}}}},
                       Observance::next_free_weekday};
    tariff.day_start = *rc::gen::element(Seconds{0}, Seconds{5h}, Seconds{6h + 30min}, Seconds{-1h});
    tariff.revisions = {any_revision(2000_y / 1 / 1), any_revision(any_date())};
    const CivilDate ordered = any_date();
    if (*rc::gen::arbitrary<bool>()) tariff.overrides = {{ordered, ordered, "order", Rate(1)}};
    return tariff;
}

// Two changes, by whole and half hours, at any minute of the day: as odd as clocks have been.
std::vector<Zone::Change> any_changes() {
    const Seconds offset = 15min * *rc::gen::inRange(-44, 45);
    const Seconds moved = *rc::gen::element(Seconds{1h}, Seconds{30min}, Seconds{-1h}, Seconds{2h});
    const Instant first = kFirst + 1min * *rc::gen::inRange(60 * 24 * 10, 60 * 24 * 400);
    const Instant second = first + 1min * *rc::gen::inRange(60 * 24 * 10, 60 * 24 * 400);
    return {{kKnown.begin, offset, ""}, {first, offset + moved, ""}, {second, offset, ""}};
}

Zone clock_of(const std::vector<Zone::Change>& changes) { return {"clock", changes, kKnown}; }

Instant any_instant(Interval span) {
    return span.begin + 1s * *rc::gen::inRange<long long>(0, span.length().count());
}

// Half of them around a change of the clock, where mistakes live.
Interval any_span(const std::vector<Zone::Change>& changes) {
    const Instant change = changes[*rc::gen::inRange<std::size_t>(1, changes.size())].at;
    const bool near = *rc::gen::arbitrary<bool>();
    const Instant begin =
        near ? any_instant({change - 72h, change}) : any_instant({kFirst, kFirst + 700 * 24h});
    return {begin, begin + 1s * *rc::gen::inRange(1, 9 * 86400)};
}

PriceCurve curve(const Tariff& tariff, const Zone& clock, Interval span) {
    auto priced = price_curve(tariff, clock, span);
    RC_ASSERT(std::holds_alternative<PriceCurve>(priced));
    return std::get<PriceCurve>(std::move(priced));
}

bool alike(const PricePiece& a, const PricePiece& b) {
    return a.rate == b.rate && a.marginal == b.marginal && a.name == b.name;
}

void hold(const std::string& rule, void (*property)()) { REQUIRE(rc::check(rule, property)); }

}  // namespace

TEST_CASE("price pieces tile the span without gap or overlap, and no two neighbours are alike") {
    hold("tiled", [] {
        const auto changes = any_changes();
        const Interval span = any_span(changes);
        const PriceCurve pieces = curve(any_tariff(), clock_of(changes), span);
        RC_ASSERT(pieces.front().when.begin == span.begin);
        RC_ASSERT(pieces.back().when.end == span.end);
        for (std::size_t i = 0; i < pieces.size(); ++i) {
            RC_ASSERT(pieces[i].when.begin < pieces[i].when.end);
            if (i == 0) continue;
            RC_ASSERT(pieces[i - 1].when.end == pieces[i].when.begin);
            RC_ASSERT(!alike(pieces[i - 1], pieces[i]));
        }
    });
}

TEST_CASE("splitting the span of a price curve anywhere gives the same prices") {
    hold("split", [] {
        const auto changes = any_changes();
        const Zone clock = clock_of(changes);
        const Tariff tariff = any_tariff();
        const Interval span = any_span(changes);
        RC_PRE(span.length() > 1s);
        const Instant cut = any_instant({span.begin + 1s, span.end});
        PriceCurve joined = curve(tariff, clock, {span.begin, cut});
        for (const PricePiece& piece : curve(tariff, clock, {cut, span.end})) {
            if (alike(joined.back(), piece)) {
                joined.back().when.end = piece.when.end;
            } else {
                joined.push_back(piece);
            }
        }
        RC_ASSERT(joined == curve(tariff, clock, span));
    });
}

TEST_CASE("an instant costs what the first window that holds its label says") {
    // The rules of a window once more, label by label, without the library's own reading of them.
    hold("label", [] {
        const auto changes = any_changes();
        const Zone clock = clock_of(changes);
        const Tariff tariff = any_tariff();
        const Interval span = any_span(changes);
        const PriceCurve pieces = curve(tariff, clock, span);
        const auto own_day = [&](CivilTime label) {
            return date::floor<date::days>(label - tariff.day_start);
        };
        const auto holds = [&](const Window& window, date::local_days label_day, Seconds time) {
            auto day = own_day(label_day + time);
            const bool crosses = window.to <= window.from;
            const bool early = crosses && time < window.to;
            if (!early && (time < window.from || (!crosses && time >= window.to))) return false;
            if (crosses && window.past_midnight == PastMidnight::day_before)
                day = own_day(label_day + window.from - (early ? Seconds{24h} : Seconds{0}));
            const CivilDate date{day};
            const bool holiday = tariff.holidays.holiday(date).has_value();
            const auto weekday = date::weekday{day}.c_encoding();
            if (!(holiday ? window.days.holidays : window.days.weekdays[weekday])) return false;
            const unsigned month{date.month()};
            const std::size_t season = month >= 5 && month <= 10 ? 1 : 0;
            return window.seasons.empty() || window.seasons.front() == season;
        };
        for (int i = 0; i < 20; ++i) {
            const Instant at = any_instant(span);
            const CivilTime label = clock.civil(at);
            const Seconds time = label - date::floor<date::days>(label);
            const auto day = date::floor<date::days>(label);
            const CivilDate date{own_day(label)};
            std::string expected;
            if (!tariff.overrides.empty() && tariff.overrides[0].from == date) {
                expected = "order";
            } else {
                const bool second = date >= tariff.revisions[1].from;
                for (const Window& window : tariff.revisions[second ? 1 : 0].windows) {
                    if (expected.empty() && holds(window, day, time)) expected = window.name;
                }
            }
            RC_ASSERT(price_at(pieces, at).name == expected);
        }
    });
}

TEST_CASE("the same clock under another name, its offset stated again in between, changes no price") {
    hold("name", [] {
        const auto changes = any_changes();
        const Interval span = any_span(changes);
        std::vector<Zone::Change> restated;
        const Instant again = any_instant(span);
        for (const Zone::Change& change : changes) {
            if (!restated.empty() && restated.back().at < again && again < change.at) {
                restated.push_back({again, restated.back().offset, "again"});
            }
            restated.push_back(change);
        }
        if (restated.back().at < again) restated.push_back({again, restated.back().offset, "again"});
        const Tariff tariff = any_tariff();
        RC_ASSERT(curve(tariff, clock_of(changes), span) ==
                  curve(tariff, {"another", restated, kKnown}, span));
    });
}

TEST_CASE("a fixed clock that is ahead has the same prices that much earlier") {
    hold("shift", [] {
        const Tariff tariff = any_tariff();
        const Seconds ahead = 15min * *rc::gen::inRange(-40, 41);
        const Interval span = any_span(any_changes());
        PriceCurve shifted = curve(tariff, Zone::fixed(ahead), {span.begin - ahead, span.end - ahead});
        for (PricePiece& piece : shifted) piece.when = {piece.when.begin + ahead, piece.when.end + ahead};
        RC_ASSERT(shifted == curve(tariff, Zone::fixed(0s), span));
    });
}

TEST_CASE("hours that a year leaves without a price are reported as a hole of the tariff") {
    hold("hole", [] {
        Tariff tariff = any_tariff();
        tariff.overrides.clear();
        tariff.revisions.pop_back();
        auto& windows = tariff.revisions.front().windows;
        windows.pop_back();
        tariff.day_start = 0s;
        const auto found = holes(tariff);
        const auto priced = price_curve(tariff, Zone::fixed(0s), {kFirst, kFirst + 365 * 24h});
        const auto* uncovered = std::get_if<Uncovered>(&priced);
        RC_CLASSIFY(uncovered == nullptr, "all hours priced");
        if (uncovered == nullptr) return;
        for (const Interval& hole : *uncovered) {
            const auto day = date::floor<date::days>(hole.begin);
            const Seconds time = hole.begin - day;
            const bool reported = std::ranges::any_of(
                found, [&](const Hole& each) { return each.from <= time && time < each.to; });
            RC_ASSERT(reported);
        }
    });
}
