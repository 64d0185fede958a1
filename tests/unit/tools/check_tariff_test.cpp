// `lullwatt check --tariff` as one who writes a tariff file would use it.
#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;

namespace {

std::string tariff_from(const Folder& folder, const char* from) {
    std::ofstream(folder.file("t.yaml"))
        << "format: 1\nname: Mill Lane\ncurrency: CAD\nrevisions:\n  - {from: " << from
        << ", windows: [{name: all, per_kwh: 0.1}]}\n";
    return folder.file("t.yaml");
}

}  // namespace

TEST_CASE("a tariff file is checked by itself") {
    const Folder folder;
    SECTION("in order") {
        const Ran ran = lullwatt_run({"check", "--tariff", tariff_from(folder, "2190-01-01")});
        CHECK(ran.exit == Exit::done);
        CHECK(ran.out.find("Mill Lane (" + folder.file("t.yaml") +
                           "): in order, 1 revision, the newest from 2190-01-01, in CAD.\nOLD PRICES: ") ==
              0);
        CHECK(ran.out.find("t.yaml:5:12: revisions[0].from '2190-01-01': is in ") != std::string::npos);
    }
    SECTION("as JSON") {
        const Ran ran = lullwatt_run({"check", "--json", "--tariff", tariff_from(folder, "2190-01-01")});
        CHECK(ran.out.find(
                  "\"faults\": [],\n  \"revisions\": [\n    \"2190-01-01\"\n  ],\n  \"old_prices\": [\n") !=
              std::string::npos);
    }
    SECTION("with a fault") {
        const Ran ran = lullwatt_run({"check", "--tariff", tariff_from(folder, "soon")});
        CHECK(ran.exit == Exit::refused);
        CHECK(ran.err.find("revisions[0].from 'soon'") != std::string::npos);
        CHECK(ran.err.ends_with("\n1 fault.\n"));
    }
    SECTION("a file and a site are not checked together") {
        CHECK(lullwatt_run({"check", "--site", "a", "--tariff", "b"}).exit == Exit::usage);
    }
}
