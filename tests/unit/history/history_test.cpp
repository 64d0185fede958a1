#include "io/history/history.hpp"

#include <filesystem>
#include <unistd.h>

#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/samples.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace std::chrono_literals;
using site::Leg;
using site::MeterHistory;
using tests::row;

namespace {

const Instant kNoon = tests::utc(2026, 1, 14, 12h);

const std::string kHead = "# lullwatt history 1\n# meter: house\n# legs: L1 L2\nstart,seconds,L1,L2\n";

MeterHistory house() {
    MeterHistory history{
        "house", {Leg::L1, Leg::L2}, {row(kNoon, 15min, {312, 287}), row(kNoon + 15min, 15min, {0, -3})}};
    history.rows[0].energy[0] = MilliwattHours(312'500);
    history.rows[1].quality = Quality::estimated;
    return history;
}

// A folder that goes with the case.
class Folder {
  public:
    Folder()
        : path_(std::filesystem::temp_directory_path() / ("lullwatt-history-" + std::to_string(::getpid()))) {
        std::filesystem::remove_all(path_);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() { std::filesystem::remove_all(path_); }
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

  private:
    std::filesystem::path path_;
};

std::string told(const Faults& faults) {
    std::string out;
    for (const Fault& fault : faults) out += text(fault) + "\n";
    return out;
}

}  // namespace

TEST_CASE("a history is written as its format says, and read back the same") {
    CHECK(history_text(house()) == kHead +
                                       "2026-01-14T12:00:00Z,900,312.5,287\n"
                                       "2026-01-14T12:15:00Z,900,0,-3,estimated\n");
    const auto read = parse_history(history_text(house()), "house.csv");
    REQUIRE(read.ok());
    CHECK(read.value() == house());
    SECTION("a total only") {
        const MeterHistory total{"flat-2", {}, {row(kNoon, 1h, {981})}};
        CHECK(history_text(total) ==
              "# lullwatt history 1\n# meter: flat-2\n# legs: "
              "total\nstart,seconds,total\n2026-01-14T12:00:00Z,3600,981\n");
        CHECK(parse_history(history_text(total), "flat-2.csv").value() == total);
    }
}

TEST_CASE("keeping adds what is new to the file, and nothing else ever") {
    const Folder folder;
    const auto file = folder.path() / "house.csv";
    const auto first = keep_history(folder.path(), house());
    REQUIRE(first.ok());
    CHECK(first.value().written);
    CHECK(read_history(file).value() == house());

    SECTION("the same again writes nothing") {
        std::filesystem::permissions(folder.path(),
                                     std::filesystem::perms::owner_read | std::filesystem::perms::owner_exec);
        const auto again = keep_history(folder.path(), house());
        std::filesystem::permissions(folder.path(), std::filesystem::perms::owner_all);
        REQUIRE(again.ok());
        CHECK_FALSE(again.value().written);
        CHECK(again.value().merged.known == 2);
    }
    SECTION("more readings join, one that disagrees does not") {
        MeterHistory more = house();
        more.rows[0].energy[1] = WattHours(999);
        more.rows.push_back(row(kNoon + 30min, 15min, {1, 2}));
        const auto kept = keep_history(folder.path(), more);
        REQUIRE(kept.ok());
        CHECK(kept.value().merged.added == 1);
        CHECK(kept.value().merged.disagreements.size() == 1);
        MeterHistory expected = house();
        expected.rows.push_back(more.rows[2]);
        CHECK(read_history(file).value() == expected);
        const auto left = std::filesystem::directory_iterator(folder.path());
        CHECK(std::distance(begin(left), end(left)) == 1);
    }
    SECTION("other legs are refused") {
        const auto refused = keep_history(folder.path(), {"house", {}, {row(kNoon + 1h, 1h, {5})}});
        REQUIRE_FALSE(refused.ok());
        CHECK(told(refused.faults()) ==
              file.string() +
                  ": 'L1 L2': holds other legs than the readings offered. Allowed: total. "
                  "Mend: import under another meter's name.\n");
        CHECK(read_history(file).value() == house());
    }
    SECTION("trying writes nothing") {
        MeterHistory more = house();
        more.rows.push_back(row(kNoon + 30min, 15min, {1, 2}));
        REQUIRE(try_history(folder.path(), more).ok());
        CHECK(read_history(file).value() == house());
    }
}

TEST_CASE("a faulty history is refused with every fault's place") {
    struct Case {
        std::string text;
        std::string message;
    };
    const std::vector<Case> cases = {
        {"",
         "house.csv:1: does not begin as a meter history does. Allowed: # lullwatt history 1. Mend: lullwatt "
         "import "
         "writes such files.\n"},
        {"# lullwatt history 2\n",
         "house.csv:1: '# lullwatt history 2': does not begin as a meter history does. Allowed: # lullwatt "
         "history 1. "
         "Mend: lullwatt import writes such files.\n"},
        {"# lullwatt history 1\n# meter: My House\n# legs: L2 L1\n",
         "house.csv:2: meter 'My House': is not a meter's name. Allowed: 1 to 40 of a-z, 0-9 and '-', not "
         "'-' first.\n"
         "house.csv:3: legs 'L2 L1': are no legs. Allowed: total, or L1, L2 and L3 in this order.\n"},
        {"# lullwatt history 1\n# meter: house\n# legs: L1 L2\nstart,seconds,total\n",
         "house.csv:4: 'start,seconds,total': are not the headings of this history. Allowed: "
         "start,seconds,L1,L2.\n"},
        {kHead + "2026-01-14T12:00:00Z,900,1\n",
         "house.csv:5: '2026-01-14T12:00:00Z,900,1': has another number of columns than the headings. "
         "Allowed: "
         "start,seconds,L1,L2, and a quality where it is not measured.\n"},
        {kHead + "2026-01-14T12:00:00,900,1,2\n2026-01-14T12:15:00Z,0,1,x\n2026-01-14T12:30:00Z,900,1,2.0001,"
                 "good\n",
         "house.csv:5:1: start '2026-01-14T12:00:00': is not a time in UTC. Allowed: such as "
         "2026-03-01T14:15:00Z.\n"
         "house.csv:6:22: seconds '0': is not a length. Allowed: 1 to 34560000.\n"
         "house.csv:6:26: energy 'x': is no energy. Allowed: Wh with up to three decimals.\n"
         "house.csv:7:28: energy '2.0001': is no energy. Allowed: Wh with up to three decimals.\n"
         "house.csv:7:35: quality 'good': is no quality. Allowed: measured, estimated, questionable.\n"},
        {kHead + "2026-01-14T12:00:00Z,900,1,2\n2026-01-14T12:14:59Z,900,1,2\n",
         "house.csv:6:1: start '2026-01-14T12:14:59Z': is before the row above it ends. Mend: delete the "
         "wrong one of "
         "the two rows.\n"},
    };
    for (const Case& faulty : cases) {
        INFO(faulty.text);
        const auto read = parse_history(faulty.text, "house.csv");
        REQUIRE_FALSE(read.ok());
        CHECK(told(read.faults()) == faulty.message);
    }
}

TEST_CASE("a file that is not there, or no file, is a fault") {
    CHECK(told(read_history("no-such-folder/house.csv").faults()) ==
          "no-such-folder/house.csv: cannot be read: there is no such file. Mend: check the name and the "
          "folder.\n");
    const std::string folder = std::filesystem::temp_directory_path().string();
    CHECK(told(read_history(folder).faults()) ==
          folder + ": is a folder or a device, not a file. Mend: name a file.\n");
}
