// What a day writes to the disk, counted below SQLite.
#include "io/ledger/grouping.hpp"
#include "io/ledger/ledger.hpp"
#include "support/catch.hpp"
#include "support/disk.hpp"
#include "support/house.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using io::ledger::Grouping;
using io::ledger::Ledger;
using io::ledger::Row;

namespace {

constexpr std::uint64_t kMegabyte = 1'000'000;

// A day told second by second, committed when the grouping says so.
class Day {
  public:
    explicit Day(const std::string& disk) {
        auto opened = Ledger::open("ledger.sqlite", disk);
        REQUIRE(opened.ok());
        ledger_.emplace(std::move(opened).value());
    }
    void at(Seconds second) {
        now_ = Grouping::Time{second};
        if (grouping_.due() && *grouping_.due() <= now_) commit();
    }
    io::ledger::Id append(const Row& row) {
        const auto appended = ledger_->append(row);
        REQUIRE(std::holds_alternative<io::ledger::Appended>(appended));
        grouping_.row_waits(is_durable(row), now_);
        return std::get<io::ledger::Appended>(appended).row;
    }
    void commit() {
        REQUIRE_FALSE(ledger_->commit().has_value());
        grouping_.committed();
    }

  private:
    std::optional<Ledger> ledger_;
    Grouping grouping_{{}};
    Grouping::Time now_;
};

}  // namespace

TEST_CASE("a day with one driven point and one meter writes 25 MB and syncs 2,000 times at most") {
    tests::Disk disk("budget");
    Day day(disk.name());
    const Instant midnight = tests::utc(2026, 10, 20);
    WattHours value{4'210'000};
    io::ledger::Id transaction = 0;
    const auto before = disk.counts();
    for (Seconds second{0}; second < 24h; second += 1s) {
        day.at(second);
        const Instant now = midnight + second;
        // Plugged in at 18:00, charging from 20:00 to 24:00 at 20 A on two legs; a report every 10 s.
        if (second == 18h)
            transaction = day.append(io::ledger::TransactionStart{{now}, "left point", "Heron", "", value});
        if (second >= 18h && second % 10s == 0s) {
            const bool draws = second >= 20h;
            value += WattHours(draws ? 13 : 0);
            day.append(io::ledger::Sample{"left point", now, {}, value});
            day.append(io::ledger::Sample{"left point", now, {}, Watts(draws ? 4'790.5 : 3)});
            for (const site::Leg leg : {site::Leg::L1, site::Leg::L2}) {
                day.append(io::ledger::Sample{"left point", now, leg, Amps(draws ? 19.9 : 0)});
                day.append(io::ledger::Sample{"left point", now, leg, Volts(120.3)});
            }
        }
        if (second % 15min == 0s)
            day.append(io::ledger::Reading{"left point",
                                           transaction == 0 ? std::nullopt : std::optional(transaction),
                                           {now},
                                           value,
                                           io::ledger::Mark::clock});
        if (second % 60s == 59s) {
            for (const site::Leg leg : {site::Leg::L1, site::Leg::L2})
                day.append(io::ledger::Minute{"service", leg, now - 59s,
                                              io::ledger::Spread<Amps>{Amps(21.2), Amps(48.1), Amps(12.6)}});
        }
        if (second == 24h - 1s)
            day.append(io::ledger::TransactionStop{transaction, {now}, value, "unplugged"});
    }
    day.commit();
    const std::uint64_t written = disk.counts().written - before.written;
    const std::uint64_t syncs = disk.counts().syncs - before.syncs;
    INFO("written " << written << " bytes, " << syncs << " syncs");
    REQUIRE(written <= 25 * kMegabyte);
    REQUIRE(syncs <= 2'000);
    REQUIRE(syncs >= 1'440);  // a minute's rows are never later than the next minute
}

TEST_CASE("durable rows wait 50 ms for others, passing ones a minute, and a failure is tried again in 5 s") {
    const Grouping::Time start{1h};
    Grouping grouping{{}};
    REQUIRE_FALSE(grouping.due().has_value());
    grouping.row_waits(false, start);
    REQUIRE(grouping.due() == start + 60s);
    grouping.row_waits(true, start + 10s);
    REQUIRE(grouping.due() == start + 10s + 50ms);
    grouping.row_waits(true, start + 10s + 40ms);
    REQUIRE(grouping.due() == start + 10s + 50ms);
    grouping.failed(start + 11s);
    REQUIRE(grouping.due() == start + 16s);
    grouping.committed();
    REQUIRE_FALSE(grouping.due().has_value());
}
