#include "core/tariff/sum_curves.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::tariff;
using namespace std::chrono_literals;

namespace {

constexpr Rate rate(std::int64_t ten_thousandths) { return Rate(ten_thousandths * 100'000'000); }
constexpr Instant at(Seconds second) { return Instant{second}; }

PricePiece piece(Seconds from, Seconds to, std::int64_t price, std::int64_t with_tax, std::string name,
                 bool assumed = false) {
    return {{at(from), at(to)}, rate(price), rate(with_tax), std::move(name), assumed};
}

// A network with a dear day, and a supplier whose evening begins within it.
const PriceCurve kGrid = {piece(0h, 6h, 200, 250, "low"), piece(6h, 20h, 600, 750, "high"),
                          piece(20h, 24h, 200, 250, "low")};
const PriceCurve kEnergy = {piece(0h, 17h, 1000, 1100, "day"), piece(17h, 24h, 1500, 1650, "evening", true)};

std::vector<std::string> names(const PriceCurve& curve) {
    std::vector<std::string> found;
    for (const PricePiece& one : curve) found.push_back(one.name);
    return found;
}

}  // namespace

TEST_CASE("prices of one meter add up between all cuts, and are assumed where one of them is") {
    CHECK(sum_curves({{kGrid}, {kEnergy}}) == PriceCurve{piece(0h, 6h, 1200, 1350, "low + day"),
                                                         piece(6h, 17h, 1600, 1850, "high + day"),
                                                         piece(17h, 20h, 2100, 2400, "high + evening", true),
                                                         piece(20h, 24h, 1700, 1900, "low + evening", true)});
}

TEST_CASE("a single contract's prices are its own") {
    CHECK(sum_curves({{kGrid}}) == kGrid);
    CHECK(sum_curves({{{piece(0h, 24h, 900, 900, "all day")}, true}}) ==
          PriceCurve{piece(0h, 24h, 900, 900, "all day")});
}

TEST_CASE("a price with one name for all hours is added and not named beside one that tells hours apart") {
    const PriceCurve transfer = {piece(0h, 24h, 302, 378, "transfer")};
    CHECK(sum_curves({{transfer, true}, {kGrid}}) == PriceCurve{piece(0h, 6h, 502, 628, "low"),
                                                                piece(6h, 20h, 902, 1128, "high"),
                                                                piece(20h, 24h, 502, 628, "low")});
    SECTION("where none tells hours apart all are named") {
        CHECK(sum_curves({{transfer, true}, {{piece(0h, 24h, 100, 100, "energy")}, true}}) ==
              PriceCurve{piece(0h, 24h, 402, 478, "transfer + energy")});
    }
}

TEST_CASE("a name that several contracts share is said once, and pieces that come out alike are one") {
    CHECK(names(sum_curves({{kGrid}, {kGrid}})) == std::vector<std::string>{"low", "high", "low"});
    const PriceCurve up = {piece(0h, 12h, 100, 100, "a"), piece(12h, 24h, 200, 200, "a")};
    const PriceCurve down = {piece(0h, 12h, 200, 200, "a"), piece(12h, 24h, 100, 100, "a")};
    CHECK(sum_curves({{up}, {down}}) == PriceCurve{piece(0h, 24h, 300, 300, "a")});
}

TEST_CASE("a tariff has one name for its hours where all windows of all revisions have it") {
    const CivilDate old = date::year{2020} / 1 / 1;
    const CivilDate later = date::year{2026} / 1 / 1;
    Tariff tariff{.name = "test", .revisions = {{old, {{.name = "all day"}}, {}, {}}}};
    CHECK(one_name(tariff));
    SECTION("another revision's windows count too") {
        tariff.revisions.push_back({later, {{.name = "night"}, {.name = "all day"}}, {}, {}});
        CHECK_FALSE(one_name(tariff));
    }
    SECTION("the same name at two prices is one name") {
        tariff.revisions.push_back({later, {{.name = "all day", .rate = rate(5)}}, {}, {}});
        CHECK(one_name(tariff));
    }
    SECTION("announced hours and ordered days have names of their own") {
        Tariff announced = tariff;
        announced.announced = Announced{{}, rate(1)};
        CHECK_FALSE(one_name(announced));
        tariff.overrides.push_back({later, later, "relief"});
        CHECK_FALSE(one_name(tariff));
    }
}
