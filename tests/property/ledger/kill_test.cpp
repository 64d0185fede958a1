// A process killed in mid-write: what it had acknowledged stands, and the next one goes on from there.
#include <array>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <future>
#include <signal.h>
#include <unistd.h>

#include <sys/wait.h>

#include "io/ledger/writer.hpp"
#include "support/catch.hpp"
#include "support/charging_script.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using io::ledger::Appended;
using io::ledger::Outcome;
using io::ledger::Reader;
using io::ledger::Writer;
using tests::Progress;
using tests::Script;
using tests::Step;

namespace {

// What the child tells its parent of each acknowledgement.
struct Told {
    std::size_t step = 0;
    io::ledger::Id row = 0;
};

bool needs_answer(Step::Kind kind) { return kind == Step::Kind::start || kind == Step::Kind::stop; }

// The child: goes on with the script, through the queue as the daemon does, and tells what was acknowledged.
int go_on(const std::string& file, const Script& script, Progress progress, int pipe) {
    auto opened = io::ledger::Ledger::open(file);
    if (!opened.ok()) return 2;
    Writer writer(std::move(opened).value(), {.durable = 1ms, .passing = 20ms});
    for (std::size_t step = 0; step < script.size(); ++step) {
        if (progress.acknowledged.count(step) != 0) continue;
        std::optional<Reader> reader;
        if (script[step].kind == Step::Kind::settle) {
            auto read = Reader::open(file);
            if (!read.ok()) return 3;
            reader.emplace(std::move(read).value());
        }
        auto row = tests::row_of(script, step, progress, reader ? &*reader : nullptr);
        if (!row) return 4;
        auto answer = std::make_shared<std::promise<Outcome>>();
        const bool waits = needs_answer(script[step].kind);
        const bool taken = writer.post(std::move(*row), [=](const Outcome& outcome) {
            if (const auto* appended = std::get_if<Appended>(&outcome)) {
                const Told told{step, appended->row};
                if (::write(pipe, &told, sizeof told) != sizeof told) ::_exit(5);
            }
            answer->set_value(outcome);
        });
        if (!taken) return 6;
        if (!waits) continue;
        const Outcome outcome = answer->get_future().get();
        const auto* appended = std::get_if<Appended>(&outcome);
        if (appended == nullptr) return 7;
        progress.acknowledge(script, step, appended->row);
    }
    return 0;
}

// Runs a child until it ends or is killed after so many acknowledgements and a little longer.
bool run_and_kill(const std::string& file, const Script& script, Progress& progress, std::mt19937& chance) {
    std::array<int, 2> pipe{};
    REQUIRE(::pipe(pipe.data()) == 0);
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        ::close(pipe[0]);
        ::_exit(go_on(file, script, progress, pipe[1]));
    }
    ::close(pipe[1]);
    int left = static_cast<int>(chance() % 12);
    const auto longer = std::chrono::microseconds(chance() % 3'000);
    Told told;
    while (left > 0 && ::read(pipe[0], &told, sizeof told) == sizeof told) {
        progress.acknowledge(script, told.step, told.row);
        --left;
    }
    for (const auto begin = std::chrono::steady_clock::now();
         std::chrono::steady_clock::now() - begin < longer;) {
    }
    const bool killed = ::kill(child, SIGKILL) == 0;
    while (::read(pipe[0], &told, sizeof told) == sizeof told)
        progress.acknowledge(script, told.step, told.row);
    ::close(pipe[0]);
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    if (WIFEXITED(status)) REQUIRE(WEXITSTATUS(status) == 0);
    return killed && WIFSIGNALED(status);
}

std::filesystem::path fresh_folder(std::uint32_t seed) {
    const auto folder = std::filesystem::temp_directory_path() /
                        ("lullwatt-kill-" + std::to_string(::getpid()) + "-" + std::to_string(seed));
    std::filesystem::remove_all(folder);
    std::filesystem::create_directories(folder);
    return folder;
}

// One equipment's nights through processes killed again and again; adds to `kills`.
std::string through_kills(std::uint32_t seed, int& kills) {
    std::mt19937 chance(seed);
    const auto folder = fresh_folder(seed);
    const std::string file = (folder / "ledger.sqlite").string();
    const Script script = tests::charging_script(chance, 4);
    Progress progress;
    std::string what;
    for (bool done = false; !done && what.empty();) {
        done = !run_and_kill(file, script, progress, chance);
        kills += done ? 0 : 1;
        auto reader = Reader::open(file);
        if (!reader.ok()) {
            if (!progress.acknowledged.empty()) what = io::text(reader.faults().front());
            continue;
        }
        Reader opened = std::move(reader).value();
        what =
            done ? tests::wrong_at_the_end(opened, script, progress) : tests::wrong(opened, script, progress);
    }
    std::filesystem::remove_all(folder);
    return what;
}

}  // namespace

TEST_CASE("a process killed at any moment leaves every acknowledged row, once, and sums that hold") {
    const int wanted = std::getenv("LULLWATT_LONG") != nullptr ? 200 : 20;
    int kills = 0;
    for (std::uint32_t seed = 1; kills < wanted; ++seed) {
        const std::string what = through_kills(seed, kills);
        INFO("seed " << seed);
        REQUIRE(what == "");
    }
    REQUIRE(kills >= wanted);
}
