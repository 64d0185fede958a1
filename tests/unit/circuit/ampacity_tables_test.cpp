#include "core/circuit/ampacity_tables.hpp"

#include <limits>

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;
using enum Column;

TEST_CASE("the ampacity table is named as its code and edition name it") {
    CHECK(ampacity_table(Code::nec, 2017, Metal::copper) == "310.15(B)(16)");
    CHECK(ampacity_table(Code::nec, 2020, Metal::aluminium) == "310.16");
    CHECK(ampacity_table(Code::cec, 2024, Metal::copper) == "table 2");
    CHECK(ampacity_table(Code::cec, 2024, Metal::aluminium) == "table 4");
}

TEST_CASE("ambient correction takes the hotter row and stops where its column stops") {
    CHECK(ambient_correction(c75, Celsius(30)) == 1.00);
    CHECK(ambient_correction(c75, Celsius(30.1)) == 0.94);
    CHECK(ambient_correction(c60, Celsius(55.1)) == std::nullopt);
    CHECK(ambient_correction(c75, Celsius(70.1)) == std::nullopt);
    CHECK(ambient_correction(c90, Celsius(85.1)) == std::nullopt);
    CHECK(ambient_correction(c90, Celsius(std::numeric_limits<double>::quiet_NaN())) == std::nullopt);
    CHECK(ambient_correction(c90, Celsius(std::numeric_limits<double>::infinity())) == std::nullopt);
    SECTION("colder than its first row is in its first row") {
        CHECK(ambient_correction(c75, Celsius(-30)) == 1.20);
    }
}
