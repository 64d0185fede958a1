// A power cut is no killed process: what was not synced is dropped, kept or torn, in no order.
#include <cstdlib>

#include "support/catch.hpp"
#include "support/charging_script.hpp"
#include "support/disk.hpp"

using namespace lullwatt;
using io::ledger::Appended;
using io::ledger::Ledger;
using io::ledger::Reader;
using tests::Progress;
using tests::Script;
using tests::Step;

namespace {

constexpr const char* kFile = "ledger.sqlite";

// Goes on with a script until its end or until the power fails. False: it failed.
bool go_on(Ledger& ledger, const tests::Disk& disk, const Script& script, Progress& progress,
           std::mt19937& chance) {
    std::map<std::size_t, io::ledger::Id> appended;
    const auto commit = [&] {
        if (ledger.commit()) return false;
        for (const auto& [step, row] : appended) progress.acknowledge(script, step, row);
        appended.clear();
        return true;
    };
    for (std::size_t step = 0; step < script.size(); ++step) {
        if (progress.acknowledged.count(step) != 0) continue;
        const Step::Kind kind = script[step].kind;
        // A stop names the transaction that the start's acknowledgement told.
        if (kind != Step::Kind::start && progress.transactions.count(script[step].session) == 0 && !commit())
            return false;
        std::optional<Reader> reader;
        if (kind == Step::Kind::settle) {
            if (!commit()) return false;
            auto opened = Reader::open(kFile, disk.name());
            if (!opened.ok()) return false;
            reader.emplace(std::move(opened).value());
        }
        const auto made = tests::row_of(script, step, progress, reader ? &*reader : nullptr);
        if (!made) return false;
        const auto row = ledger.append(*made);
        if (!std::holds_alternative<Appended>(row)) return false;
        if (tests::is_durable(script[step])) appended[step] = std::get<Appended>(row).row;
        if (chance() % 4 == 0 && !commit()) return false;
    }
    return commit();
}

// One equipment's nights through as many power cuts as `cuts` has left; what is wrong afterwards, or nothing.
std::string through_power_cuts(std::uint32_t seed, int& cuts) {
    std::mt19937 chance(seed);
    tests::Disk disk("disk" + std::to_string(seed));
    const Script script = tests::charging_script(chance, 6);
    Progress progress;
    for (bool done = false; !done;) {
        if (cuts > 0) disk.cut_power_after(1 + chance() % 400);
        {
            auto opened = Ledger::open(kFile, disk.name());
            if (opened.ok()) {
                Ledger ledger = std::move(opened).value();
                done = go_on(ledger, disk, script, progress, chance);
            }
            if (!opened.ok() && !disk.is_off()) return io::text(opened.faults().front());
        }
        if (!done && !disk.is_off()) return "stopped without a power cut";
        if (!done) --cuts;
        disk.power_on(chance);
        if (progress.acknowledged.empty()) continue;
        auto reader = Reader::open(kFile, disk.name());
        if (!reader.ok()) return io::text(reader.faults().front());
        Reader opened = std::move(reader).value();
        const std::string what =
            done ? tests::wrong_at_the_end(opened, script, progress) : tests::wrong(opened, script, progress);
        if (!what.empty()) return what;
    }
    return {};
}

}  // namespace

TEST_CASE("after any power cut every acknowledged row stands once, and sessions sum to the register") {
    int cuts = std::getenv("LULLWATT_LONG") != nullptr ? 3'000 : 300;
    for (std::uint32_t seed = 1; cuts > 0; ++seed) {
        const std::string what = through_power_cuts(seed, cuts);
        INFO("seed " << seed);
        REQUIRE(what == "");
    }
}
