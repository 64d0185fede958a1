#include <filesystem>
#include <fstream>
#include <sstream>
#include <unistd.h>

#include <nlohmann/json.hpp>

#include "support/catch.hpp"
#include "support/samples.hpp"
#include "tools/lullwatt/run.hpp"

using namespace lullwatt;
using tools::Exit;

namespace {

// A folder that goes with the case, with one table in it.
class Desk {
  public:
    Desk()
        : folder_(std::filesystem::temp_directory_path() /
                  ("lullwatt-import-" + std::to_string(::getpid()))) {
        std::filesystem::remove_all(folder_);
        std::filesystem::create_directories(folder_);
    }
    Desk(const Desk&) = delete;
    Desk& operator=(const Desk&) = delete;
    ~Desk() { std::filesystem::remove_all(folder_); }

    std::string table(const std::string& text) const {
        std::ofstream(folder_ / "usage.csv") << text;
        return (folder_ / "usage.csv").string();
    }
    [[nodiscard]] std::string history() const { return (folder_ / "history").string(); }
    [[nodiscard]] std::string kept(const std::string& meter) const {
        return tests::bytes_of(folder_ / "history" / (meter + ".csv"));
    }
    [[nodiscard]] bool wrote() const { return std::filesystem::exists(folder_ / "history"); }
    // With this folder's name taken out, which differs from run to run.
    [[nodiscard]] std::string anonymous(std::string text) const {
        const std::string name = folder_.string() + "/";
        for (auto at = text.find(name); at != text.npos; at = text.find(name)) text.erase(at, name.size());
        return text;
    }

  private:
    std::filesystem::path folder_;
};

struct Said {
    Exit exit;
    std::string out;
    std::string err;
};

Said import(std::vector<std::string> arguments, const std::string& answers = "", bool interactive = false) {
    arguments.insert(arguments.begin(), "import");
    std::istringstream in(answers);
    std::ostringstream out;
    std::ostringstream err;
    const Exit exit = tools::run(std::move(arguments), in, out, err, interactive);
    return {exit, out.str(), err.str()};
}

std::string march() { return tests::committed("reference/greenbutton/hourlyForMonthMar.xml").string(); }

const std::string kHalfHours =
    "Time,kWh\n2026-01-14 00:00,0.5\n2026-01-14 00:30,0.75\n2026-01-14 01:00,1\n2026-01-14 01:30,0.25\n";

}  // namespace

TEST_CASE("a Green Button file becomes a meter's history, once") {
    const Desk desk;
    const Said first = import({march(), "--meter", "house", "--into", desk.history()});
    CHECK(first.exit == Exit::done);
    CHECK(first.err.empty());
    CHECK(
        first.out.starts_with("Tuesday 1 March 2011, by UTC-05:00\n"
                              "  from   energy       greatest mean\n"
                              "  00:00    0.981 kWh   0.98 kW\n"));
    CHECK(desk.anonymous(first.out).ends_with(
        "\n743 readings of 1 h, 2011-03-01T00:00:00-05:00 to 2011-03-31T23:00:00-05:00: 2278.213 kWh.\n"
        "No gaps.\n\nWrote history/house.csv: 743 readings added.\n"));
    CHECK(desk.kept("house").starts_with(
        "# lullwatt history 1\n# meter: house\n# legs: total\nstart,seconds,total\n"
        "2011-03-01T05:00:00Z,3600,981\n"));
    const Said again = import({march(), "--meter", "house", "--into", desk.history()});
    CHECK(again.exit == Exit::done);
    CHECK(desk.anonymous(again.out).ends_with(
        "\nhistory/house.csv stays as it is: nothing is new, 743 known before.\n"));
}

TEST_CASE("without a terminal every missing answer is an error that names its option") {
    const Desk desk;
    const std::string file = desk.table(kHalfHours);
    const Said said = import({file, "--meter", "house", "--into", desk.history()});
    CHECK(said.exit == Exit::usage);
    CHECK(said.out.empty());
    CHECK(desk.anonymous(said.err) ==
          "usage.csv: --time-column: is missing. Allowed: Time, kWh.\n"
          "usage.csv: --reading-column: is missing. Allowed: Time, kWh.\n"
          "usage.csv: --unit: is missing. Allowed: kWh, Wh, kW (mean over the interval), W.\n"
          "usage.csv: --label: is missing. Allowed: start, end (whether a row's time begins or ends its "
          "interval).\n"
          "usage.csv: --zone or --offset: is missing. Allowed: --zone America/Halifax, or --offset -04:00 "
          "where the "
          "meter's clock never changes.\n");
    CHECK_FALSE(desk.wrote());
}

TEST_CASE("with all answers on the command line nothing is asked") {
    const Desk desk;
    const std::string file = desk.table(kHalfHours);
    const Said said =
        import({file, "--meter", "house", "--into", desk.history(), "--time-column", "Time",
                "--reading-column", "2", "--unit", "kWh", "--label", "end", "--zone", "America/Halifax"});
    CHECK(said.err.empty());
    CHECK(said.exit == Exit::done);
    CHECK(desk.kept("house") ==
          "# lullwatt history 1\n# meter: house\n# legs: "
          "total\nstart,seconds,total\n2026-01-14T03:30:00Z,1800,500\n"
          "2026-01-14T04:00:00Z,1800,750\n2026-01-14T04:30:00Z,1800,1000\n2026-01-14T05:00:00Z,1800,250\n");
}

TEST_CASE("at a terminal what is missing is asked, and the first day shown before anything is kept") {
    const Desk desk;
    const std::string file = desk.table(kHalfHours);
    const std::vector<std::string> arguments = {file, "--meter", "house", "--into", desk.history()};
    SECTION("kept") {
        const Said said = import(arguments, "Time\nkWh\nkWh\nstart\n-04:00\nyes\n", true);
        CHECK(said.exit == Exit::done);
        CHECK(said.err.empty());
        CHECK(desk.anonymous(said.out) ==
              "Columns: Time, kWh\n"
              "Which one holds the time (two: date+time)? "
              "Which one holds the readings (legs: L1=first+L2=second)? "
              "In what unit are they: kWh, Wh, kW or W? "
              "Time,kWh\n2026-01-14 00:00,0.5\n2026-01-14 00:30,0.75\n2026-01-14 01:00,1\n"
              "Is a row's time the start or the end of its interval: start or end? "
              "By which clock: a zone such as America/Halifax, or a fixed offset such as -04:00, which "
              "summer does not "
              "change? "
              "Wednesday 14 January 2026, by UTC-04:00\n"
              "  from   energy       greatest mean\n"
              "  00:00    1.250 kWh   1.50 kW\n"
              "  01:00    1.250 kWh   2.00 kW\n"
              "\n4 readings of 30 min, 2026-01-14T00:00:00-04:00 to 2026-01-14T02:00:00-04:00: 2.500 kWh.\n"
              "No gaps.\n\n"
              "Keep these readings: yes or no? Wrote history/house.csv: 4 readings added.\n");
    }
    SECTION("not kept") {
        const Said said = import(arguments, "Time\nkWh\nkWh\nstart\n-04:00\nno\n", true);
        CHECK(said.exit == Exit::done);
        CHECK(desk.anonymous(said.out).ends_with(
            "Nothing written: 4 readings would be added to history/house.csv.\n"));
        CHECK_FALSE(desk.wrote());
    }
    SECTION("a wrong answer is a fault") {
        const Said said = import(arguments, "Time\nkWh\nkWh\nmiddle\n-04:00\nyes\n", true);
        CHECK(said.exit == Exit::usage);
        CHECK(desk.anonymous(said.err) == "usage.csv: --label 'middle': is neither. Allowed: start, end.\n");
    }
    SECTION("an input that ends leaves its question open") {
        CHECK(import(arguments, "Time\nkWh\n", true).exit == Exit::usage);
        CHECK_FALSE(desk.wrote());
    }
}

TEST_CASE("readings that disagree with what is held are told and left out") {
    const Desk desk;
    const auto bring = [&](const std::string& text) {
        return import({desk.table(text), "--meter", "house", "--into", desk.history(), "--time-column",
                       "Time", "--reading-column", "kWh", "--unit", "kWh", "--label", "start", "--offset",
                       "Z"});
    };
    REQUIRE(bring(kHalfHours).exit == Exit::done);
    const std::string before = desk.kept("house");
    const Said said = bring("Time,kWh\n2026-01-14 01:00,9\n2026-01-14 01:30,0.25\n2026-01-14 02:00,0.125\n");
    CHECK(said.exit == Exit::done);
    CHECK(
        desk.anonymous(said.out).ends_with("Wrote history/house.csv: 1 readings added, 1 known before.\n"
                                           "1 readings disagree with what is held; the held ones stay:\n"
                                           "  2026-01-14T01:00:00Z: held 1.000 kWh, offered 9.000 kWh\n"));
    CHECK(desk.kept("house") == before + "2026-01-14T02:00:00Z,1800,125\n");
}

TEST_CASE("legs are read from their own columns") {
    const Desk desk;
    const std::string file = desk.table("Date;Hour;A;B\n14.01.2026;00:00;1,5;2\n14.01.2026;01:00;0;0,25\n");
    const Said said = import({file,
                              "--meter",
                              "house",
                              "--into",
                              desk.history(),
                              "--time-column",
                              "Date",
                              "--time-column",
                              "Hour",
                              "--time-format",
                              "%d.%m.%Y %H:%M",
                              "--reading-column",
                              "L1=A",
                              "--reading-column",
                              "L2=B",
                              "--unit",
                              "kWh",
                              "--label",
                              "start",
                              "--offset",
                              "+01:00",
                              "--decimal",
                              ","});
    CHECK(said.err.empty());
    CHECK(desk.kept("house") ==
          "# lullwatt history 1\n# meter: house\n# legs: L1 L2\nstart,seconds,L1,L2\n"
          "2026-01-13T23:00:00Z,3600,1500,2000\n2026-01-14T00:00:00Z,3600,0,250\n");
}

TEST_CASE("JSON holds what is said, and dry runs write nothing") {
    const Desk desk;
    const Said said =
        import({tests::committed("reference/greenbutton/coastal-2011-clock-change-days.xml").string(),
                "--meter", "coast", "--into", desk.history(), "--dry-run", "--json"});
    CHECK(said.exit == Exit::done);
    CHECK(said.err.empty());
    const auto json = nlohmann::json::parse(said.out);
    CHECK(json["readings"] == 46);
    CHECK(json["interval_seconds"] == 3600);
    CHECK(json["energy_wh"] == 32'327);
    CHECK(json["kept_out"].size() == 2);
    CHECK(json["kept_out"][0]["energy_wh"] == 721);
    CHECK(json["warnings"].size() == 5);
    CHECK(json["written"] == false);
    CHECK(json["added"] == 46);
    CHECK_FALSE(desk.wrote());
}

TEST_CASE("what cannot be imported is refused with what to do") {
    const Desk desk;
    const auto said = [&](std::vector<std::string> arguments) {
        arguments.insert(arguments.end(), {"--into", desk.history()});
        const Said answer = import(std::move(arguments));
        CHECK(answer.exit != Exit::done);
        return desk.anonymous(answer.err);
    };
    CHECK(said({desk.table(kHalfHours), "--meter", "My House"}) ==
          "usage.csv: --meter 'My House': is not a meter's name. Allowed: 1 to 40 of a-z, 0-9 and '-', not "
          "'-' first.\n");
    CHECK(said({desk.history() + "/none.xml", "--meter", "house"}) ==
          "history/none.xml: cannot be read: there is no such file. Mend: check the name and the folder.\n");
    CHECK(said({march(), "--meter", "house", "--label", "start"}) ==
          march() + ": --label: is for tables, and this is a Green Button file. Mend: leave it out.\n");
    CHECK(said({march(), "--meter", "house", "--usage-point", "02"}) ==
          march() +
              ": usage point '02': is not in the file. Allowed: "
              "RetailCustomer/9b6c7063/UsagePoint/01/MeterReading/01 (a galaxy far, far away, Hourly "
              "Electricity "
              "Consumption). Mend: name one of them.\n");
    CHECK(said({desk.table(kHalfHours), "--meter", "house", "--time-column", "Time", "--reading-column",
                "L1=kWh", "--reading-column", "kWh", "--unit", "kW", "--register", "--zone", "UTC",
                "--offset", "Z", "--decimal", ","}) ==
          "usage.csv: --decimal ',': is also the delimiter. Allowed: another mark than the delimiter.\n"
          "usage.csv: --reading-column: is neither one total nor one column a leg. Allowed: COLUMN, or "
          "L1=COLUMN "
          "L2=COLUMN.\n"
          "usage.csv: --unit 'kW': is no unit of a register. Allowed: kWh, Wh.\n"
          "usage.csv: --offset 'Z': goes against --zone. Allowed: one of the two.\n");
}

TEST_CASE("a file without readings is told before anything is asked or chosen") {
    const Desk desk;
    const auto said = [&](const std::string& text, std::vector<std::string> more = {}) {
        std::vector<std::string> arguments = {desk.table(text), "--meter", "house", "--into", desk.history()};
        arguments.insert(arguments.end(), more.begin(), more.end());
        const Said answer = import(std::move(arguments), "Time\n", true);
        CHECK(answer.exit == Exit::refused);
        CHECK(answer.out.empty());
        return desk.anonymous(answer.err);
    };
    CHECK(said("") == "usage.csv: is empty. Mend: name another file, or download it again.\n");
    CHECK(said(std::string("\x89PNG\r\n\x1A\n\0\0", 10)) ==
          "usage.csv:2: is no text: it holds the character \\x1A. Mend: name a text file in UTF-8.\n");
    CHECK(said("<feed/>", {"--label", "start"}) ==
          "usage.csv: has no readings: there is no MeterReading in it. Mend: ask for a file with interval "
          "data.\n");
    const std::string meter =
        "<entry><link rel='self' href='M'/><content><MeterReading/></content></entry>\n";
    CHECK(said("<feed>" + meter + meter + "</feed>")
              .starts_with("usage.csv:1: MeterReading: belongs to no UsagePoint of this file."));
}

TEST_CASE("what a table holds reaches the terminal in printable form, and JSON always") {
    const Desk desk;
    const std::string file = desk.table("Z\xE4hler,kWh\n2026-01-14 00:00,\xFF\n");
    const Said asked =
        import({file, "--meter", "house", "--into", desk.history()}, "1\n2\nkWh\nstart\nZ\n", true);
    CHECK(asked.out.starts_with("Columns: Z\\xE4hler, kWh\n"));
    CHECK(asked.out.find("Z\\xE4hler,kWh\n2026-01-14 00:00,\\xFF\n") != std::string::npos);
    CHECK(asked.out.find('\xE4') == std::string::npos);
    CHECK(asked.err.find("'\\xFF'") != std::string::npos);
    const Said json = import({file, "--meter", "house", "--into", desk.history(), "--json"});
    CHECK(nlohmann::json::parse(json.out)["faults"][0]["allowed"] == "Z\\xE4hler, kWh");
}

TEST_CASE("the site's own history folder and clock are the usual ones") {
    const auto site = std::filesystem::path(LULLWATT_SOURCE_DIR) / "config/harbour-row-9/site.yaml";
    const Said said = import({march(), "--meter", "house", "--site", site.string(), "--dry-run"});
    CHECK(said.exit == Exit::refused);  // its history tells two legs apart, the month's file none
    const std::string history = (site.parent_path() / "history/house.csv").string();
    CHECK(said.err ==
          history +
              ": 'L1 L2': holds other legs than the readings offered. Allowed: total. Mend: import "
              "under another meter's name.\n");
    CHECK(said.out.starts_with(
        "Tuesday 1 March 2011, by America/Halifax\n  from   energy       greatest mean\n  01:00"));
}
