// Printed lines held against ours.
#include "core/account/printed.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::account;

namespace {

using Kind = PrintedLine::Kind;

Money cents(std::int64_t amount) { return Money(amount * 10'000); }

Line ours(Part part, const char* name, std::int64_t amount) {
    Line line;
    line.part = part;
    line.name = name;
    line.amount = cents(amount);
    return line;
}

Bill bill_of(std::vector<Line> lines) {
    Bill bill;
    for (const Line& line : lines) bill.total += line.amount;
    bill.lines = std::move(lines);
    return bill;
}

}  // namespace

TEST_CASE("printed lines that are the same of ours are compared by their sum") {
    const Bill bill = bill_of({ours(Part::window, "day", 1000), ours(Part::window, "day", 1250)});
    SECTION("by name") {
        const auto found = compare_printed(bill,
                                           {{"Day, old price", Kind::energy, cents(1000), {"day"}},
                                            {"Day, new price", Kind::energy, cents(1250), {"day"}}},
                                           cents(2250));
        REQUIRE(found.lines.size() == 1);
        CHECK(found.lines.front().name == "Day, old price + Day, new price");
        CHECK(found.agrees());
        CHECK(found.unexplained == Money(0));
    }
    SECTION("a list in another order") {
        const Bill two = bill_of({ours(Part::window, "day", 1000), ours(Part::adder, "fuel", 50)});
        const auto found = compare_printed(two,
                                           {{"a", Kind::energy, cents(500), {"day", "fuel"}},
                                            {"b", Kind::energy, cents(550), {"fuel", "day"}}},
                                           {});
        CHECK(found.agrees());
    }
    SECTION("their own name") {
        CHECK(compare_printed(
                  bill, {{"day", Kind::energy, cents(1000), {}}, {"day", Kind::energy, cents(1250), {}}}, {})
                  .agrees());
    }
}

TEST_CASE("a name that no line of ours has is told") {
    const auto found = compare_printed(bill_of({ours(Part::window, "day", 1000)}),
                                       {{"Energy", Kind::energy, cents(1000), {"day", "fuel"}}}, {});
    REQUIRE(found.lines.size() == 1);
    CHECK(found.lines.front().unknown == std::vector<std::string>{"fuel"});
    CHECK(found.names == std::vector<std::string>{"day"});
}

TEST_CASE("a levelled bill's total is its budget amount with what stands apart, or the sum of all lines") {
    const Bill bill = bill_of({ours(Part::window, "day", 13'000)});
    const PrintedLine day{"day", Kind::energy, cents(13'000), {}};
    const PrintedLine balance{"Balance", Kind::balance, cents(500), {}};
    const PrintedLine asked{"Budget amount", Kind::budget, cents(12'000), {}};
    CHECK(compare_printed(bill, {day, balance, asked}, cents(12'500)).unexplained == Money(0));
    CHECK(compare_printed(bill, {day, balance, asked}, cents(12'600)).unexplained == cents(100));
    const PrintedLine less{"Budget difference", Kind::budget, cents(-1000), {}};
    CHECK(compare_printed(bill, {day, less}, cents(12'000)).unexplained == Money(0));
    CHECK(compare_printed(bill, {day, balance}, cents(500)).unexplained == cents(-13'000));
}

TEST_CASE("minimums and roundings have kinds of their own, and a minimum else counts as fixed") {
    const Bill bill = bill_of({ours(Part::fixed, "basic", 900), ours(Part::minimum, "least", 150),
                               ours(Part::rounding, "rounding", 2)});
    CHECK(compare_printed(bill,
                          {{"Service", Kind::fixed, cents(900), {}},
                           {"Minimum", Kind::minimum, cents(150), {}},
                           {"Rounded", Kind::rounding, cents(2), {}}},
                          {})
              .agrees());
    CHECK(
        compare_printed(
            bill, {{"Service", Kind::fixed, cents(1050), {}}, {"Rounded", Kind::rounding, cents(2), {}}}, {})
            .agrees());
}
