// Cents for dollars, and prices of a kilowatt-hour taken for a megawatt-hour's.
#include <fstream>

#include "io/tariff_file/tariff_file.hpp"
#include "support/catch.hpp"
#include "support/shell.hpp"

using namespace lullwatt;

namespace {

std::string said(const std::string& head, const std::string& revision,
                 const std::filesystem::path& folder = ".") {
    const auto read = io::read_tariff_text(
        "format: 1\nname: t\ncurrency: CAD\n" + head + "revisions:\n  - from: 2025-01-01\n" + revision,
        "t.yaml", folder);
    std::string text;
    if (read.ok()) return text;
    for (const io::Fault& fault : read.faults()) text += io::text(fault) + "\n";
    return text;
}

const std::string kFlat = "    windows: [{name: all, per_kwh: 0.10}]\n";

}  // namespace

TEST_CASE("an amount for each day that is cents is asked about") {
    const std::string fixed = kFlat + "    fixed: [{name: basic, amount: 44.81, per: day}]\n";
    CHECK(said("", fixed) ==
          "t.yaml:7:35: revisions[0].fixed[0].amount '44.81': is more than a day costs: were hundredths "
          "written for whole units? Allowed: an amount below 5 CAD a day. Mend: write '0.4481', or state "
          "'large_rates: yes'.\n");
    CHECK(said("large_rates: yes\n", fixed).empty());
    CHECK(said("", kFlat + "    fixed: [{name: basic, amount: 44.81, per: month}]\n").empty());
    CHECK(said("", kFlat + "    minimums: [{name: least, amount: 36, per: day}]\n")
              .find("minimums[0].amount '36': is more than a day costs") != std::string::npos);
}

TEST_CASE("an adder at all hours that is as large as a price is asked about") {
    CHECK(said("", kFlat + "    adders: [{name: rider, per_kwh: 1.31}]\n") ==
          "t.yaml:7:37: revisions[0].adders[0].per_kwh '1.31': is more than a kilowatt-hour costs: were "
          "hundredths written for whole units? Allowed: a price below 0.5 CAD per kWh. Mend: write '0.0131', "
          "or state 'large_rates: yes'.\n");
    CHECK(said("", kFlat + "    adders: [{name: event, windows: [all], per_kwh: 1.31}]\n").empty());
}

TEST_CASE("prices of a kilowatt-hour that are called a megawatt-hour's are asked about") {
    const tests::Folder folder;
    std::ofstream(folder.file("p.csv"))
        << "start,price\n2026-01-01T00:00Z,0.0312\n2026-01-01T01:00Z,-0.002\n";
    const std::string head = "prices_from: p.csv\nfallback_per_kwh: 0.5\n";
    const auto in = std::filesystem::path(folder.file("p.csv")).parent_path();
    CHECK(said(head, "", in).empty());
    CHECK(
        said(head + "prices_per: MWh\n", "", in) ==
        folder.file("p.csv") +
            ":2: price: is less than a megawatt-hour costs, as all of them are: is it for a kilowatt-hour? "
            "Allowed: one price at least from 2 per MWh on. Mend: leave out 'prices_per: MWh' in the tariff "
            "file, or state 'large_rates: yes'.\n");
    CHECK(said(head + "prices_per: MWh\nlarge_rates: yes\n", "", in).empty());
}
