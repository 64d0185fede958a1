#include "io/tariff_file/tariff_age.hpp"

#include <fstream>
#include <string>

#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace date::literals;

namespace {

// What is said on a day of a file with these revisions, without the folder's name; empty: nothing.
std::string said(const std::string& revisions, CivilDate today) {
    const tests::Folder folder;
    const std::string file = folder.file("t.yaml");
    std::ofstream(file) << "format: 1\nname: a\ncurrency: CAD\nrevisions:\n" << revisions;
    const auto found = io::old_prices(file, today);
    return found.empty() ? "" : text(found.front()).substr(file.size() - 6);
}

const std::string kOpen = "  - {from: 2025-01-01, windows: [{name: w, per_kwh: 0.1}]}\n";
const std::string kEnds = "  - {from: 2026-01-01, to: 2026-12-31, windows: [{name: w, per_kwh: 0.1}]}\n";

}  // namespace

TEST_CASE("prices without an end are old a year after they began") {
    CHECK(said(kOpen, 2026_y / 1 / 1).empty());
    CHECK(said(kOpen, 2026_y / 1 / 2) ==
          "t.yaml:5:12: revisions[0].from '2025-01-01': is the newest revision, and 366 days old. Mend: "
          "compare "
          "it with the latest bill, and add a revision where that differs.");
    CHECK(said(kOpen + kEnds, 2026_y / 3 / 1).empty());
}

TEST_CASE("prices with an end are told from 60 days before it") {
    CHECK(said(kEnds, 2026_y / 10 / 31).empty());
    const std::string mend =
        " Mend: add the revision of the next price sheet, or remove 'to' where prices stay.";
    CHECK(said(kEnds, 2026_y / 11 / 1) ==
          "t.yaml:5:28: revisions[0].to '2026-12-31': ends in 60 days, and no revision follows." + mend);
    CHECK(said(kEnds, 2027_y / 1 / 1) ==
          "t.yaml:5:28: revisions[0].to '2026-12-31': ended 1 day ago." + mend);
    CHECK(
        said(kEnds + "  - {from: 2027-01-01, windows: [{name: w, per_kwh: 0.1}]}\n", 2027_y / 1 / 1).empty());
}
