#include <filesystem>
#include <fstream>

#include "daemon/wishes/wishes.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::daemon;
using namespace std::chrono_literals;

TEST_CASE("what was told is read back as it was written") {
    const tests::Folder folder;
    const std::filesystem::path file = folder.file("wishes.json");
    const Instant now = tests::utc(2026, 10, 20, 18h);
    Wishes wishes;
    wishes.tell(
        OneOff{"Heron \"2\"", {{"need", "18.6"}, {"ready-by", "2026-10-21T07:00:00-03:00"}}, now, now + 13h});
    wishes.tell(Held{"", now, now + 4h});
    REQUIRE_FALSE(write_wishes(file, wishes));
    const auto read = read_wishes(file);
    REQUIRE(read.ok());
    CHECK(read.value() == wishes);
}

TEST_CASE("no file means nothing was told, and a file of another kind is a fault that says so") {
    const tests::Folder folder;
    const std::filesystem::path file = folder.file("wishes.json");
    std::filesystem::remove(file);
    REQUIRE(read_wishes(file).ok());
    CHECK(read_wishes(file).value() == Wishes{});
    const std::string text =
        GENERATE(as<std::string>{}, "", "{", "[]", "{\"format\":2,\"needs\":[],\"holds\":[]}",
                 "{\"format\":1,\"needs\":[{\"car\":7}],\"holds\":[]}", "{\"format\":1,\"needs\":[]}",
                 "{\"format\":1,\"needs\":[],\"holds\":[{\"car\":\"\",\"told\":0,\"until\":9e18}]}",
                 "{\"format\":1,\"needs\":[],\"holds\":[{\"car\":\"\",\"told\":0,\"until\":4102444801}]}");
    std::ofstream(file) << text;
    const auto read = read_wishes(file);
    REQUIRE_FALSE(read.ok());
    CHECK(io::text(read.faults().front()) ==
          file.string() +
              ": does not hold what lullwattd writes there. Mend: move it away; needs and holds told "
              "before are then forgotten.");
}
