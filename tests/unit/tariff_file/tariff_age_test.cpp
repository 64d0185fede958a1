#include "io/tariff_file/tariff_age.hpp"

#include <fstream>
#include <string>

#include "io/tariff_file/announced_prices.hpp"
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

TEST_CASE("prices that begin in the future are told: today has none") {
    CHECK(said(kEnds, 2025_y / 12 / 30) ==
          "t.yaml:5:12: revisions[0].from '2026-01-01': is in 2 days: today has no price. Mend: add the "
          "revision that holds today, or correct the date.");
}

TEST_CASE("announced prices that end, lack rows or stand too far apart are told with their line") {
    const tests::Folder folder;
    std::ofstream(folder.file("t.yaml")) << "format: 1\nname: a\ncurrency: CAD\nprices_from: p.csv\n"
                                            "prices_every: 15 min\nfallback_per_kwh: 0.5\n"
                                            "revisions: [{from: 2026-01-01}]\n";
    const auto told = [&](const char* rows) {
        std::ofstream(folder.file("p.csv")) << "start,price\n" << rows;
        std::string texts;
        for (const io::Fault& fault : io::old_prices(folder.file("t.yaml"), 2026_y / 3 / 1))
            texts += text(fault).substr(folder.file("p.csv").size() - 5) + "\n";
        return texts;
    };
    const std::string ended =
        "start: is of the last prices, which ended 28 days ago. Mend: bring the file up to date; the "
        "fallback "
        "counts after them.\n";
    CHECK(told("2026-01-31T23:30Z,0.1\n2026-01-31T23:45Z,0.1\n") == "p.csv:3: " + ended);
    CHECK(told("2026-01-31T22:15Z,0.1\n2026-01-31T23:15Z,0.1\n2026-01-31T23:30Z,0.1\n"
               "2026-01-31T23:45Z,0.1\n") ==
          "p.csv:3: start: leaves 45 min before it without a price. Mend: add the missing rows; the fallback "
          "counts there.\np.csv:5: " +
              ended);
    CHECK(told("2026-03-02T20:00Z,0.1\n2026-03-02T21:00Z,0.1\n2026-03-02T22:00Z,0.1\n") ==
          "p.csv:3: start: is 60 min after the row above it, as most rows are, and each holds 15 min. Mend: "
          "state 'prices_every' in the tariff file as the rows stand.\n");
    CHECK(told("2026-03-01T22:45Z,0.1\n").find("which end soon") != std::string::npos);
}

TEST_CASE("a file of prices in a wide encoding is told once") {
    const tests::Folder folder;
    std::ofstream(folder.file("p.csv")) << "\xFF\xFEs" << '\0' << 't' << '\0' << '\n' << '\0';
    const auto read = io::read_announced_prices(folder.file("p.csv"), {});
    REQUIRE_FALSE(read.ok());
    REQUIRE(read.faults().size() == 1);
    CHECK(read.faults().front().what == "is text in UTF-16");
}
