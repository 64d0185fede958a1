#include "core/circuit/wire_size.hpp"

#include "support/catch.hpp"

using namespace lullwatt::circuit;

TEST_CASE("conductor sizes are read back from their names") {
    CHECK(name(WireSize::awg6) == "6 AWG");
    CHECK(name(WireSize::awg1_0) == "1/0 AWG");
    CHECK(name(WireSize::kcmil250) == "250 kcmil");
    for (const WireSize size : kWireSizes) CHECK(wire_size_of(name(size)) == size);
}

TEST_CASE("what is no conductor size is none") {
    for (const char* text : {"", "6", "6 awg", "5 AWG", "6 AWG ", "600 kcmil", "16 mm2"})
        CHECK(wire_size_of(text) == std::nullopt);
}

TEST_CASE("conductor sizes rise") {
    for (std::size_t i = 1; i < kWireSizes.size(); ++i) {
        CHECK(kWireSizes[i - 1] < kWireSizes[i]);
        CHECK(area(kWireSizes[i - 1]) < area(kWireSizes[i]));
    }
}
