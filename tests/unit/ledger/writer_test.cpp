#include "io/ledger/writer.hpp"

#include <algorithm>
#include <future>
#include <thread>

#include "io/ledger/reader.hpp"
#include "support/catch.hpp"
#include "support/disk.hpp"
#include "support/house.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using io::ledger::Appended;
using io::ledger::Event;
using io::ledger::Failure;
using io::ledger::Ledger;
using io::ledger::Outcome;
using io::ledger::Row;
using io::ledger::Waits;
using io::ledger::Writer;
using tests::utc;

namespace {

constexpr Waits kSoon{.durable = 1ms, .passing = 60s, .after_failure = 1ms};

Ledger opened(const tests::Disk& disk) {
    auto ledger = Ledger::open("ledger.sqlite", disk.name());
    REQUIRE(ledger.ok());
    return std::move(ledger).value();
}

Event note(int number) { return {{utc(2026, 10, 20) + number * 1s}, "test", "note", std::to_string(number)}; }
io::ledger::Sample sample(int number) {
    return {"left point", utc(2026, 10, 20) + number * 1s, {}, Watts(number)};
}

// Posts a row and waits for what became of it.
Outcome posted(Writer& writer, Row row) {
    std::promise<Outcome> answer;
    REQUIRE(writer.post(std::move(row), [&](const Outcome& outcome) { answer.set_value(outcome); }));
    return answer.get_future().get();
}

std::size_t notes_in(const tests::Disk& disk) {
    auto reader = io::ledger::Reader::open("ledger.sqlite", disk.name());
    REQUIRE(reader.ok());
    io::ledger::Reader open = std::move(reader).value();
    return open.events({Instant{}, utc(2100, 1, 1)}).value().size();
}

}  // namespace

TEST_CASE("a durable row is acknowledged once it is on disk") {
    const tests::Disk disk("writer-durable");
    {
        Writer writer(opened(disk), kSoon);
        const Outcome outcome = posted(writer, note(1));
        REQUIRE(std::get<Appended>(outcome).row == 1);
        REQUIRE(writer.status().head.links == 1);
    }
    REQUIRE(notes_in(disk) == 1);
}

TEST_CASE("rows are acknowledged in the order they were posted, many in one commit") {
    const tests::Disk disk("writer-order");
    std::vector<int> acknowledged;  // by the writer's thread alone, until it has ended
    {
        Writer writer(opened(disk), {.durable = 1h});
        for (int number = 0; number < 100; ++number)
            REQUIRE(
                writer.post(note(number), [&, number](const Outcome&) { acknowledged.push_back(number); }));
        REQUIRE(writer.status().durable_waiting == 100);
        REQUIRE_FALSE(writer.status().drained());
        std::promise<Outcome> last;
        REQUIRE(writer.post(note(100), [&](const Outcome& outcome) { last.set_value(outcome); }));
        writer.flush();
        REQUIRE(std::get<Appended>(last.get_future().get()).row == 101);
        REQUIRE(writer.status().commits == 1);
    }
    REQUIRE(acknowledged.size() == 100);
    REQUIRE(std::is_sorted(acknowledged.begin(), acknowledged.end()));
}

TEST_CASE("passing rows wait for a commit, and the end of the writer is one") {
    const tests::Disk disk("writer-passing");
    {
        Writer writer(opened(disk), kSoon);
        REQUIRE(writer.post(sample(1)));
        REQUIRE(writer.status().waiting == 1);
        REQUIRE(writer.status().drained());
    }
    {
        Writer writer(opened(disk), kSoon);
        // A row that stands already is found: the sample had been written.
        REQUIRE(std::get<Appended>(posted(writer, note(1))).row == 1);
    }
    auto reader = io::ledger::Reader::open("ledger.sqlite", disk.name());
    REQUIRE(reader.ok());
}

TEST_CASE("a row that contradicts the ledger is refused, and those beside it are written") {
    const tests::Disk disk("writer-refused");
    Writer writer(opened(disk), kSoon);
    const Outcome outcome =
        posted(writer, io::ledger::TransactionStop{77, {utc(2026, 10, 20)}, WattHours(1), "unplugged"});
    REQUIRE(std::get<Failure>(outcome).kind == Failure::Kind::refused);
    REQUIRE(std::holds_alternative<Appended>(posted(writer, note(1))));
    REQUIRE_FALSE(writer.status().failing.has_value());
}

TEST_CASE("while the disk is full nothing is acknowledged, and with room again all is, without a hand") {
    tests::Disk disk("writer-full");
    {
        Writer writer(opened(disk), kSoon);
        disk.set_capacity(0);
        std::promise<Outcome> first;
        auto answer = first.get_future();
        REQUIRE(writer.post(note(1), [&](const Outcome& outcome) { first.set_value(outcome); }));
        while (!writer.status().failing) std::this_thread::yield();
        REQUIRE(writer.status().failing.value_or(Failure{}).kind == Failure::Kind::full);
        REQUIRE(answer.wait_for(0s) == std::future_status::timeout);
        REQUIRE_FALSE(writer.status().drained());
        disk.set_capacity(~std::uint64_t{0});
        REQUIRE(std::get<Appended>(answer.get()).row == 1);
        REQUIRE(std::get<Appended>(posted(writer, note(2))).row == 2);
        REQUIRE_FALSE(writer.status().failing.has_value());
    }
    REQUIRE(notes_in(disk) == 2);
}

TEST_CASE("the queue is bounded: passing rows are turned away at half of it, durable ones at its end") {
    tests::Disk disk("writer-bounded");
    Writer writer(opened(disk), {.durable = 1h, .passing = 1h}, 8);
    for (int number = 0; number < 4; ++number) REQUIRE(writer.post(sample(number)));
    REQUIRE_FALSE(writer.post(sample(4)));
    REQUIRE(writer.status().lost_passing == 1);
    for (int number = 0; number < 4; ++number) REQUIRE(writer.post(note(number)));
    REQUIRE_FALSE(writer.post(note(4), [](const Outcome&) { FAIL("called for a row turned away"); }));
    REQUIRE(writer.status().lost_passing == 1);
}
