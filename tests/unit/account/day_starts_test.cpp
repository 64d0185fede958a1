// Bills of a tariff whose day does not start at midnight.
#include "io/tariff_file/tariff_file.hpp"
#include "support/billing.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using date::operator""_y;
using date::sys_days;

namespace {

tariff::Tariff read(const std::string& yaml) {
    const auto read =
        io::read_tariff_text("format: 1\nname: t\ncurrency: USD\noffset: \"+00:00\"\n" + yaml, "t.yaml", {});
    if (!read.ok()) FAIL(text(read.faults().front()));
    return read.value();
}

constexpr account::DateSpan kJanuary{2026_y / 1 / 1, 2026_y / 2 / 1};

}  // namespace

TEST_CASE("the hours of a bill begin with its first day's start") {
    const auto begin = [](const std::string& start) {
        account::Metered metered;
        // Told apart by their size: 1, 2, 4 kWh before 31 December 23:00, before and after 1 January 06:00.
        const Instant new_year = sys_days{2026_y / 1 / 1};
        metered.taken = {{{new_year - 2h, new_year - 1h}, MilliwattHours(1'000'000)},
                         {{new_year - 1h, new_year}, MilliwattHours(2'000'000)},
                         {{new_year + 6h, new_year + 7h}, MilliwattHours(4'000'000)}};
        return testing::bill(
                   read("day_starts: \"" + start +
                        "\"\nrevisions: [{from: 2025-01-01, windows: [{name: all, per_kwh: 1}]}]\n"),
                   kJanuary, metered)
            .taken;
    };
    CHECK(begin("00:00") == MilliwattHours(4'000'000));
    CHECK(begin("06:00") == MilliwattHours(4'000'000));
    CHECK(begin("07:00") == MilliwattHours(0));
    CHECK(begin("23:00") == MilliwattHours(6'000'000));
    CHECK(begin("22:00") == MilliwattHours(7'000'000));
}
