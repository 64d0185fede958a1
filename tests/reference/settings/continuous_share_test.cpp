// NEC 210.20(A) and 625.41: the circuit carries 125 % of a continuous load, so the load at most 80 % of its
// rating.
#include <fmt/format.h>

#include "io/settings/site_file.hpp"
#include "support/catch.hpp"

using namespace lullwatt::io;

namespace {

bool accepted(int breaker, int setting) {
    const std::string yaml = fmt::format(
        "format: 1\nsite: {{name: Home, zone: America/Halifax, currency: CAD}}\n"
        "service: {{supply: split-phase, leg_to_neutral: 120 V, rating: 200 A, continuous: nec}}\n"
        "circuits: [{{name: car, fed_from: service, rating: {} A}}]\n"
        "points: [{{name: wall, circuit: car, hard_setting: {} A}}]\n"
        "cars: [{{name: Heron, point: wall, battery: 60 kWh, most: 32 A}}]\n"
        "loads: [{{constant: 6 A, calculation: 60 A}}]\ntariff: t.yaml\n",
        breaker, setting);
    return read_site_text(yaml, "site.yaml", ".").ok();
}

}  // namespace

TEST_CASE("a breaker carries 80 % of its rating for hours and not an ampere more",
          "[check:continuous-share]") {
    struct Row {
        int breaker, most;
    };
    for (const Row row : {Row{60, 48}, Row{50, 40}, Row{40, 32}, Row{30, 24}, Row{25, 20}, Row{20, 16}}) {
        INFO(row.breaker << " A");
        CHECK(accepted(row.breaker, row.most));
        CHECK_FALSE(accepted(row.breaker, row.most + 1));
    }
}
