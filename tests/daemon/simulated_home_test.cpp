// The house that the daemon simulates for itself, behind the ports of real equipment and meters.
#include "daemon/simulation/simulated_home.hpp"

#include "daemon/clock/system_clock.hpp"
#include "daemon/memory_ports.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::daemon;
using namespace std::chrono_literals;
using tests::utc;

namespace {

const Instant kQuarterToSix = utc(2026, 10, 20, 20h + 44min);  // in Halifax; Heron returns at 17:45

std::shared_ptr<const io::Household> harbour_row() {
    auto read = io::load_household(tests::config("harbour-row-9/site.yaml"), kQuarterToSix);
    REQUIRE(read.ok());
    return std::make_shared<const io::Household>(std::move(read).value());
}

struct Heard final : EquipmentListener {
    void link(std::size_t point, bool up) override { links.emplace_back(point, up); }
    void restarted(std::size_t, BootTime) override {}
    void reported(std::size_t point, const control::PointReport& report) override {
        if (report.status) status[point] = *report.status;
        if (report.current) current[point] = site::on(*report.current, site::Leg::L1);
        if (report.energy_register) energy_register[point] = *report.energy_register;
    }
    void answered(std::size_t, std::uint64_t write, bool accepted) override {
        answers.emplace_back(write, accepted);
    }
    void began(std::size_t point, const TransactionBegun& begun,
               std::function<void(std::optional<std::int64_t>)>) override {
        begins.emplace_back(point, begun.at);
    }
    void ended(std::size_t point, const TransactionEnded& ended) override {
        ends.emplace_back(point, ended.at);
    }
    std::vector<std::pair<std::size_t, bool>> links;
    std::map<std::size_t, control::PointStatus> status;
    std::map<std::size_t, Amps> current;
    std::map<std::size_t, WattHours> energy_register;
    std::vector<std::pair<std::uint64_t, bool>> answers;
    std::vector<std::pair<std::size_t, Instant>> begins;
    std::vector<std::pair<std::size_t, Instant>> ends;
};

struct Home {
    SystemClock real;
    LogBook book{real, Level::error};
    Loop loop;
    tests::MemoryClock clock{kQuarterToSix};
    std::shared_ptr<const io::Household> household = harbour_row();
    Heard heard;
    std::vector<control::MeterSample> samples;
    std::optional<SimulatedHome> home;

    explicit Home(const std::vector<PointMemory>& memory = {}) {
        home.emplace(SimulatedHome::Ports{loop, clock, clock, Log(book, "test")}, household, memory);
        home->listen(&heard);
        home->listen([this](const control::MeterSample& sample) { samples.push_back(sample); });
    }
    void pass(Seconds time) {
        clock.pass(time);
        loop.drain();
    }
    void offer(std::size_t point, int amps) {
        home->offer(point, {.number = 7, .periods = {{WholeAmps(amps), {}}}});
        loop.drain();
    }
};

}  // namespace

TEST_CASE("a simulated car comes home by its habit, draws what it is offered, and leaves by its habit") {
    Home home;
    home.pass(30s);
    CHECK(home.heard.links.size() == 2);
    CHECK(home.heard.status[0] == control::PointStatus::empty);
    REQUIRE(home.heard.begins.size() == 1);  // Plover has no habit: it was home already
    CHECK(home.heard.begins[0].first == 1);
    home.pass(60s);
    REQUIRE(home.heard.begins.size() == 2);
    CHECK(home.heard.begins[1] == std::pair(std::size_t{0}, utc(2026, 10, 20, 20h + 45min)));
    home.offer(0, 10);
    CHECK(home.heard.answers == std::vector{std::pair(std::uint64_t{7}, true)});
    home.pass(1h);
    CHECK(home.heard.status[0] == control::PointStatus::charging);
    CHECK(home.heard.current[0] == Amps(10));
    // 240 V across both legs, 10 A: 2.4 kWh in the hour, and at 6 A, its standing current, half a minute
    // before.
    CHECK(home.heard.energy_register[0].count() > 2'390);
    CHECK(home.heard.energy_register[0].count() < 2'430);
    home.pass(13h);
    REQUIRE(home.heard.ends.size() == 1);
    CHECK(home.heard.ends[0] == std::pair(std::size_t{0}, utc(2026, 10, 21, 10h)));  // 07:00
    CHECK(home.heard.status[0] == control::PointStatus::empty);
    CHECK(home.heard.current[0] == Amps(0));
}

TEST_CASE("its meter tells house and cars together, in steps of its resolution, as often as it was set") {
    Home home;
    home.offer(1, 16);
    home.pass(50s);  // Plover alone is home
    REQUIRE(home.samples.size() >= 50);
    HouseholdLoads loads(*home.household);
    const control::MeterSample& last = home.samples.back();
    CHECK(last.node == 0);
    CHECK(last.resolution == Amps(0.1));
    const Amps house = site::on(loads.draw(home.clock.now().wall)[0], site::Leg::L1);
    CHECK(std::abs((site::on(last.amps, site::Leg::L1) - house - Amps(16)).count()) <= 0.05 + 1e-9);
}

TEST_CASE("a restart of the daemon is none of the equipment: car, transaction and register go on") {
    Home home({{"right point", WattHours(52'000), WattHours(50'000)}, {"left point", WattHours(9'000), {}}});
    home.pass(30s);
    CHECK(home.heard.begins.empty());
    CHECK(home.heard.energy_register[1].count() >= 52'000);
    CHECK(home.heard.energy_register[1].count() < 52'020);  // 6 A for half a minute
    CHECK(home.heard.energy_register[0].count() == 9'000);
}

TEST_CASE("a late loop loses no second of the simulated register") {
    Home home;
    home.offer(1, 16);
    home.pass(60s);
    const WattHours before = home.heard.energy_register[1];
    home.clock.stall(600s);
    home.pass(10s);
    // 16 A at 240 V for 610 s, give or take the last report.
    CHECK((home.heard.energy_register[1] - before).count() >= 640);
    CHECK((home.heard.energy_register[1] - before).count() <= 661);
}

TEST_CASE("an answer on its way when other settings come is for nobody") {
    Home home;
    home.home->offer(1, {.number = 7, .periods = {{WholeAmps(10), {}}}});
    home.home->change(std::make_shared<io::Household>(*home.household));
    home.loop.drain();
    CHECK(home.heard.answers.empty());
}

TEST_CASE("a house to which nothing is linked wakes nobody") {
    Home home;
    auto other = std::make_shared<io::Household>(*home.household);
    other->site.links = {.points = {io::Link::none, io::Link::none},
                         .meters = std::vector<io::MeterLink>(other->site.site.nodes.size())};
    home.home->change(other);
    const std::size_t before = home.samples.size();
    home.pass(1h);
    CHECK(home.samples.size() == before);
    CHECK(home.heard.begins.empty());
}
