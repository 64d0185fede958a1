// Standard ratings and the rules around them, as printed.
#include <iterator>
#include <sstream>
#include <vector>

#include "core/circuit/standard_rating.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;
using enum OvercurrentDevice;

namespace {

std::vector<double> list(const std::string& text) {
    std::istringstream in(text);
    return {std::istream_iterator<double>(in), {}};
}
std::vector<double> of(int edition, OvercurrentDevice device) {
    std::vector<double> ratings;
    for (const Amps rating : standard_ratings(edition, device)) ratings.push_back(rating.count());
    return ratings;
}

}  // namespace

// NEC 240.6(A): callout.app/codes/nec-2023-240-6, ecmweb.com article 20904390 (fuses' own ratings too).
// 10 A from 2023: expertce.com, "How does the 2023 NEC change standard circuit breaker amp ratings".
TEST_CASE("standard ratings are those of 240.6(A)", "[check:nec-standard-ratings]") {
    const std::string common =
        "15 20 25 30 35 40 45 50 60 70 80 90 100 110 125 150 175 200 225 250 300 350 400 450 500 600 ";
    const std::string above = "700 800 1000 1200 1600 2000 2500 3000 4000 5000 6000";
    CHECK(of(2017, breaker).size() == 37);
    CHECK(of(2017, breaker) == list(common + above));
    CHECK(of(2020, breaker) == list(common + above));
    CHECK(of(2023, breaker) == list("10 " + common + above));
    for (const int edition : {2017, 2020, 2023})
        CHECK(of(edition, fuse) == list("1 3 6 10 " + common + "601 " + above));
}

// 125 % by 625.41 and 210.20(A): tradehub.tools/resources/electrical/nec-625-42-ev-load-management,
// kwhrmeter.blogspot.com (2013-05). The least device is worked out from the list above.
TEST_CASE("a car's equipment has the least device of 125 %", "[check:nec-least-device]") {
    struct Row {
        double equipment, device;
    };
    for (const Row row : {Row{12, 15}, Row{16, 20}, Row{24, 30}, Row{32, 40}, Row{40, 50}, Row{48, 60},
                          Row{60, 80}, Row{64, 80}, Row{80, 100}}) {
        INFO(row.equipment << " A");
        CHECK(least_device(2023, breaker, Amps(row.equipment)) == Amps(row.device));
    }
}

// 240.4(B) and (C): intrysys.com/tools/electrical/standard-breaker-sizes,
// electriciancalculators.com/calculators/s240_6.html. The ampacities are NEC 310.16's.
TEST_CASE("the next size up ends at 800 A", "[check:nec-next-size-up]") {
    CHECK(protection_limit(2023, breaker, Amps(65)).rating == Amps(70));
    CHECK(protection_limit(2023, breaker, Amps(95)).rating == Amps(100));
    CHECK(protection_limit(2023, breaker, Amps(380)).rating == Amps(400));
    CHECK(protection_limit(2023, breaker, Amps(800)).rating == Amps(800));
    CHECK(protection_limit(2023, breaker, Amps(850)).rating == Amps(850));
    CHECK(protection_limit(2023, breaker, Amps(65), true).rating == Amps(65));
}
