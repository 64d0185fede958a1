// Devices' ratings and operating currents as makers and guides print them.
#include <iterator>
#include <sstream>
#include <vector>

#include "core/circuit/metric_rating.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

namespace {

std::vector<double> list(const char* text) {
    std::istringstream in(text);
    return {std::istream_iterator<double>(in), {}};
}
std::vector<double> of(DeviceType type) {
    std::vector<double> ratings;
    for (const Amps rating : device_ratings(type)) ratings.push_back(rating.count());
    return ratings;
}

}  // namespace

// IEC 60898-1 preferred values: liquisearch.com (circuit breaker), infralens.in (IS/IEC 60898).
// IEC 60269 gG: eyby.com (fuse ratings), issuu.com (BS 88 cross reference).
TEST_CASE("standard ratings are those printed", "[check:iec-device-ratings]") {
    CHECK(of(DeviceType::breaker) == list("6 10 13 16 20 25 32 40 50 63 80 100 125"));
    CHECK(of(DeviceType::fuse_gg) ==
          list("2 4 6 10 16 20 25 32 40 50 63 80 100 125 160 200 250 315 400 500 630 800 1000 1250"));
}

// IEC 60898-1: 1.13 and 1.45 In (the same pages). gG: Electrical Installation Guide fig. G (Iz >= k3 In,
// k3 1.31 below 16 A, 1.10 from 16 A), and the KS C IEC 60364-4-43 transcription.
TEST_CASE("devices operate where the standards say", "[check:iec-operating-currents]") {
    CHECK(conventional_currents(Amps(32)).never_trips.count() == Approx(36.16));
    CHECK(conventional_currents(Amps(32)).trips.count() == Approx(46.4));
    CHECK(operating_current({DeviceType::breaker, Amps(100)})->count() == Approx(145));
    // k3 In = least Iz.
    struct Row {
        double fuse, least_cable;
    };
    for (const Row row : {Row{2, 2.62}, Row{10, 13.1}, Row{16, 17.6}, Row{32, 35.2}, Row{100, 110}}) {
        INFO(row.fuse << " A");
        CHECK(operating_current({DeviceType::fuse_gg, Amps(row.fuse)})->count() / 1.45 ==
              Approx(row.least_cable));
    }
}
