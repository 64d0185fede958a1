// Slips that once passed, or were told of something else.
#include <fstream>

#include "io/tariff_file/tariff_file.hpp"
#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt;

namespace {

std::string said(const std::string& head, const std::string& rest = "",
                 const std::filesystem::path& folder = ".") {
    const auto read = io::read_tariff_text(
        "format: 1\nname: t\ncurrency: CAD\n" + head +
            "revisions:\n  - from: 2025-01-01\n    windows: [{name: all, per_kwh: 0.10}]\n" + rest,
        "t.yaml", folder);
    std::string text;
    if (read.ok()) return text;
    for (const io::Fault& fault : read.faults()) text += io::text(fault) + "\n";
    return text;
}

}  // namespace

TEST_CASE("a zone that is none is told with its line, beside the other faults") {
    const std::string text = said("zone: Mars/Olympus\n", "    fixed: [{name: basic}]\n");
    CHECK(text.find("t.yaml:4:7: zone 'Mars/Olympus': is no zone of this system.") == 0);
    CHECK(text.find("fixed[0]: has not exactly one amount") != std::string::npos);
    CHECK(said("zone: ../zoneinfo/UTC\n").find("is no zone of this system") != std::string::npos);
    CHECK(said("zone: America/Halifax\n").empty());
}

TEST_CASE("a year does not begin on the leap day") {
    CHECK(said("", "    blocks: [{name: tier, over: year, year_begins: 02-29, steps: [{per_kwh: 0.1}]}]\n") ==
          "t.yaml:7:52: revisions[0].blocks[0].year_begins '02-29': comes in leap years only. Allowed: a day "
          "of "
          "every year. Mend: write 02-28 or 03-01.\n");
    CHECK(said("", "    export: {netting: bill, bank: energy, expires: 02-29}\n").find("expires '02-29'") !=
          std::string::npos);
    CHECK(said("", "    export: {netting: bill, bank: energy, expires: 02-28}\n").empty());
}

TEST_CASE("a decimal comma within braces is called one") {
    CHECK(said("", "    adders: [{name: rider, per_kwh: 0,0131}]\n")
              .find("0131: stands behind a comma: is it the decimals of the number before it? Mend: write a "
                    "decimal point.") != std::string::npos);
}

TEST_CASE("rows of announced days have a limit of faults of their own") {
    const tests::Folder folder;
    std::ofstream file(folder.file("days.csv"));
    file << "date,class\n";
    for (int row = 0; row < 30; ++row) file << "2026-01-01,blue\n";
    file.close();
    std::string overlap;
    for (int season = 0; season < 25; ++season) overlap += "  - {name: s, from: 01-01, to: 99-99}\n";
    const std::string text = said(
        "day_classes: {names: [plain, red], assumed: plain, announced_from: days.csv}\nseasons:\n" + overlap,
        "", std::filesystem::path(folder.file("days.csv")).parent_path());
    std::size_t rows = 0;
    for (auto at = text.find("days.csv:"); at != text.npos; at = text.find("days.csv:", at + 1)) ++rows;
    CHECK(rows == 20);
}
