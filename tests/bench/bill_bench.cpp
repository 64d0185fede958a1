// A year of quarter hours in twelve bills, under one tariff and under fifty, beside a bare sum of the
// readings.
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <vector>

#include "core/account/bill.hpp"
#include "io/tariff_file/tariff_file.hpp"
#include "io/zone/zone.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using date::operator""_y;
using date::sys_days;

namespace {

constexpr account::DateSpan kYear{2026_y / 1 / 1, 2027_y / 1 / 1};

tariff::Tariff tariff_of(const std::string& name) {
    return io::read_tariff_file(std::string(LULLWATT_SOURCE_DIR "/config/tariffs/") + name + ".yaml").value();
}

template <class Work>
double milliseconds(Work work) {
    std::vector<double> times;
    for (int i = 0; i < 9; ++i) {
        const auto begin = std::chrono::steady_clock::now();
        work();
        times.push_back(
            std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - begin).count());
    }
    std::ranges::sort(times);
    return times[times.size() / 2];
}

void report(const char* name, const tariff::Tariff& tariff, const Zone& clock, const std::variant<account::Metered, account::Typed>& usage,
            double bare) {
    const auto months = tariff::bills_in({}, kYear);
    account::Terms terms;
    terms.fuse = WholeAmps(20);
    std::int64_t total = 0;
    const double one = milliseconds([&] {
        const auto bills = account::bills(tariff, clock, months, usage, terms);
        total = 0;
        for (const auto& bill : std::get<std::vector<account::Bill>>(bills)) total += bill.total.count();
    });
    const double fifty = milliseconds([&] {
        for (int i = 0; i < 50; ++i) (void)account::bills(tariff, clock, months, usage, terms);
    });
    std::printf("%-24s %8.2f ms a year  %8.1f ms for fifty  %6.0f x a bare sum  (%lld)\n", name, one, fifty,
                one / bare, static_cast<long long>(total));
}

}  // namespace

int main() {
    account::Metered usage;
    std::uint32_t random = 1;
    for (Instant at = sys_days{kYear.from} - 24h; at < sys_days{kYear.to} + 24h; at += 15min) {
        random = random * 1'664'525U + 1'013'904'223U;
        usage.taken.push_back({{at, at + 15min}, MilliwattHours(random >> 12U)});
    }
    volatile std::int64_t sink = 0;
    const double bare = milliseconds([&] {
        std::int64_t sum = 0;
        for (const EnergyReading& reading : usage.taken) sum += reading.energy.count();
        sink = sum;
    });
    std::printf("calibration: a bare sum of %zu readings takes %.4f ms\n", usage.taken.size(), bare);
    const Zone clock = io::load_zone("America/Halifax", {sys_days{2025_y / 1 / 1}, sys_days{2028_y / 1 / 1}},
                                     sys_days{2026_y / 11 / 1})
                           .value();
    for (const char* name : {"flat", "two-rate", "tidewater-night"})
        report(name, tariff_of(name), clock, usage, bare);
    auto demand = tariff_of("tidewater-night");
    demand.revisions[0].demand = {{.name = "rolling peak",
                                   .interval = 60min,
                                   .rolling = true,
                                   .highest_of = 3,
                                   .distinct = tariff::DemandCharge::Distinct::days,
                                   .steps = {{{}, DemandRate(5'000'000'000'000)}}}};
    report("with rolling demand", demand, clock, usage, bare);
}
