// The commands that read the ledger, on nights of the demo house settled as the daemon settles them.
#include <nlohmann/json.hpp>

#include "io/ledger/ledger.hpp"
#include "io/report/month_report.hpp"
#include "io/report/session_line.hpp"
#include "io/report/settle.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/shell.hpp"
#include "tools/lullwatt/ledger_text.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using tests::lullwatt_run;
using tests::utc;
using tools::Exit;

namespace {

const io::Household& harbour_row() {
    static const auto household =
        io::load_household(tests::config("harbour-row-9/site.yaml"), utc(2026, 10, 25));
    REQUIRE(household.ok());
    return household.value();
}

// A ledger with nights charged at 4.8 kW from 23:00 by the house's clock (UTC−3 until November).
class Nights {
  public:
    [[nodiscard]] std::string file() const { return folder_.file("ledger.sqlite"); }

    // Plugged in at `plugged_in`, charged from `begin` until so much is in, unplugged at `end`.
    io::ledger::Id charge(Instant plugged_in, Instant begin, WattHours energy, Instant end) {
        const auto id =
            append(io::ledger::TransactionStart{{plugged_in}, "left point", "Heron", "", register_});
        const WattHours full = register_ + energy;
        for (Instant at = plugged_in + 15min; at < end; at += 15min) {
            if (begin < at) register_ = std::min(full, register_ + WattHours(1'200));
            append(io::ledger::Reading{"left point", id, {at}, register_});
        }
        append(io::ledger::TransactionStop{id, {end}, register_, "unplugged"});
        settle(id);
        return id;
    }
    // While nobody saw.
    void went_past(WattHours energy) { register_ += energy; }
    io::ledger::Id append(const io::ledger::Row& row) {
        const auto appended = ledger_->append(row);
        REQUIRE(std::holds_alternative<io::ledger::Appended>(appended));
        REQUIRE_FALSE(ledger_->commit().has_value());
        return std::get<io::ledger::Appended>(appended).row;
    }

  private:
    void settle(io::ledger::Id id) {
        auto reader = io::ledger::Reader::open(file());
        REQUIRE(reader.ok());
        io::ledger::Reader open = std::move(reader).value();
        const auto transaction = open.transaction(id);
        REQUIRE(transaction.ok());
        const auto row = io::settle_session(harbour_row(), *transaction.value());
        if (!row.ok()) FAIL(io::text(row.faults().front()));
        append(row.value());
    }

    static io::ledger::Ledger opened(const std::string& file) {
        auto ledger = io::ledger::Ledger::open(file);
        REQUIRE(ledger.ok());
        return std::move(ledger).value();
    }

    tests::Folder folder_;
    std::optional<io::ledger::Ledger> ledger_{opened(file())};
    WattHours register_{52'310};
};

tests::Ran run(const Nights& nights, std::vector<std::string> arguments) {
    arguments.insert(arguments.end(),
                     {"--site", tests::config("harbour-row-9/site.yaml"), "--ledger", nights.file()});
    return lullwatt_run(arguments);
}

// A cheap night, an evening begun too early, and a night over the first of November.
void three_nights(Nights& nights) {
    nights.charge(utc(2026, 10, 20, 21h), utc(2026, 10, 21, 2h), WattHours(18'600), utc(2026, 10, 21, 10h));
    nights.charge(utc(2026, 10, 24, 20h), utc(2026, 10, 24, 22h), WattHours(21'000), utc(2026, 10, 25, 10h));
    nights.charge(utc(2026, 10, 31, 21h), utc(2026, 11, 1, 2h), WattHours(9'000), utc(2026, 11, 1, 10h));
}

io::MonthReport report_of(const Nights& nights, date::year_month month, Instant now) {
    auto reader = io::ledger::Reader::open(nights.file());
    REQUIRE(reader.ok());
    io::ledger::Reader open = std::move(reader).value();
    auto report = io::month_report(open, harbour_row(), month, now);
    if (!report.ok()) FAIL(io::text(report.faults().front()));
    return std::move(report).value();
}

std::string without_head(const std::string& text) { return text.substr(0, text.find("Head of the ledger")); }

}  // namespace

TEST_CASE("sessions lists what each took, cost, and would have cost at once and by a plain timer") {
    Nights nights;
    three_nights(nights);
    const auto ran = run(nights, {"sessions", "--month", "2026-10"});
    REQUIRE(ran.exit == Exit::done);
    REQUIRE(ran.out ==
            "number  plugged in        unplugged         point       car             kWh      cost   at once "
            "    timer\n"
            "     1  2026-10-20 18:00  2026-10-21 07:00  left point  Heron          18.6      2.09      4.32 "
            "     2.09\n"
            "     2  2026-10-24 17:00  2026-10-25 07:00  left point  Heron            21      3.53      3.64 "
            "     2.36\n"
            "     3  2026-10-31 18:00  2026-11-01 06:00  left point  Heron             9      1.01      1.56 "
            "     1.01\n"
            "One with its cost lines: lullwatt sessions show NUMBER.\n");
    SECTION("as a table") {
        REQUIRE(
            run(nights, {"sessions", "--month", "2026-11", "--csv"}).out ==
            "number,point,car,plugged_in,unplugged,kwh,uncertain_kwh,currency,cost,at_once,plain_timer,"
            "evidence\n"
            "3,left point,Heron,2026-10-31T18:00:00-03:00,2026-11-01T06:00:00-04:00,9,0,CAD,1.01,1.56,1.01,"
            "register by transaction\n");
    }
    SECTION("as JSON") {
        const auto json =
            nlohmann::json::parse(run(nights, {"sessions", "--month", "2026-10", "--json"}).out);
        REQUIRE(json["sessions"].size() == 3);
        REQUIRE(json["sessions"][1]["cost"] == "3.53");
        REQUIRE(json["sessions"][1]["doubts"].empty());
    }
    SECTION("a month without any says so") {
        REQUIRE(run(nights, {"sessions", "--month", "2026-08"}).out == "No session in 2026-08.\n");
    }
}

TEST_CASE("sessions show tells one session's lines, which sum to it") {
    Nights nights;
    three_nights(nights);
    const auto ran = run(nights, {"sessions", "show", "2"});
    REQUIRE(ran.exit == Exit::done);
    REQUIRE(
        ran.out ==
        "Session 2: left point, Heron, 2026-10-24 17:00 to 2026-10-25 07:00, 21 kWh (weekend 19.2, night "
        "1.8), "
        "3.53 CAD; at once 3.64, plain timer 2.36; register by transaction.\n\n"
        "  2026-10-24 19:00 to 2026-10-24 23:00  weekend           19.2 kWh x 0.173394      3.33\n"
        "  2026-10-24 23:00 to 2026-10-24 23:30  night              1.8 kWh x 0.112404      0.20\n"
        "Prices with all that a kilowatt-hour adds to the bill, tax too; not what is charged by blocks or by "
        "demand.\n");
    REQUIRE(run(nights, {"sessions", "show", "2", "--csv"}).out ==
            "from,to,price,kwh,uncertain_kwh,rate,with_tax,cost\n"
            "2026-10-24T19:00:00-03:00,2026-10-24T23:00:00-03:00,weekend,19.2,0,0.1521,0.173394,3.33\n"
            "2026-10-24T23:00:00-03:00,2026-10-24T23:30:00-03:00,night,1.8,0,0.0986,0.112404,0.20\n");
    const auto json = nlohmann::json::parse(run(nights, {"sessions", "show", "2", "--json"}).out);
    REQUIRE(json["lines"].size() == 2);
    REQUIRE(json["lines"][0]["with_tax"] == "0.173394");
}

TEST_CASE("sessions show without such a session says what there is") {
    Nights nights;
    const auto ran = run(nights, {"sessions", "show", "9"});
    REQUIRE(ran.exit == Exit::usage);
    REQUIRE(ran.err ==
            "command line: show '9': is no session of this ledger. Allowed: a number that 'lullwatt "
            "sessions' lists. Mend: list them with 'lullwatt sessions'.\n");
    nights.append(
        io::ledger::TransactionStart{{utc(2026, 10, 20, 21h)}, "left point", "Heron", "", WattHours(1)});
    REQUIRE(run(nights, {"sessions", "show", "1"}).err.find("is plugged in still, or not settled yet") !=
            std::string::npos);
}

TEST_CASE(
    "a month's sessions sum to the cars' part of its bill, one over midnight of the first with its part") {
    Nights nights;
    three_nights(nights);
    const tools::ReportWords words{"Harbour Row 9", "CAD", 2, harbour_row().zone};
    const auto october = report_of(nights, date::year{2026} / 10, utc(2026, 11, 5));
    REQUIRE(without_head(tools::report_text(october, words)) ==
            "Harbour Row 9, October 2026: 3 sessions, 44.4 kWh, 6.16 CAD\n\n"
            "  price                                       kWh       cost\n"
            "  night                                      25.2       2.83\n"
            "  weekend                                    19.2       3.33\n"
            "  the cars' part of the bill                 44.4       6.16\n\n"
            "  session  plugged in        point           car               kWh       cost\n"
            "        1  2026-10-20 18:00  left point      Heron            18.6       2.09\n"
            "        2  2026-10-24 17:00  left point      Heron              21       3.53\n"
            "        3  2026-10-31 18:00  left point      Heron             4.8       0.54  its part in this "
            "month\n\n"
            "At once at full current: 8.79 (+2.63). By a plain timer: 4.99 (-1.17). As charged, by the "
            "hour's price: "
            "6.16.\n");
    const auto november = report_of(nights, date::year{2026} / 11, utc(2026, 11, 5));
    REQUIRE(november.month.energy == WattHours(4'200));
    REQUIRE(november.provisional);
    REQUIRE(tools::report_text(november, words).find("PROVISIONAL: the month is not over.\n") !=
            std::string::npos);
    REQUIRE(october.head == november.head);
}

TEST_CASE("report prints a month as text, table and JSON, with the head of the chain") {
    Nights nights;
    three_nights(nights);
    const auto csv = run(nights, {"report", "--month", "2026-10", "--csv"});
    REQUIRE(csv.exit == Exit::done);
    REQUIRE(csv.out.substr(0, csv.out.find("head,")) ==
            "kind,name,kwh,cost,at_once,plain_timer\n"
            "price,night,25.2,2.83,,\n"
            "price,weekend,19.2,3.33,,\n"
            "beyond,,,0.00,,\n"
            "session,1,18.6,2.09,4.32,2.09\n"
            "session,2,21,3.53,3.64,2.36\n"
            "session,3,4.8,0.54,0.83,0.54\n"
            "total,2026-10,44.4,6.16,8.79,4.99\n");
    const auto json = nlohmann::json::parse(run(nights, {"report", "--month", "2026-10", "--json"}).out);
    REQUIRE(json["cost"] == "6.16");
    REQUIRE(json["sessions"].size() == 3);
    const auto head = io::ledger::parse_head(json["head"].get<std::string>());
    REQUIRE(head.has_value());
    auto reader = io::ledger::Reader::open(nights.file());
    REQUIRE(reader.ok());
    io::ledger::Reader open = std::move(reader).value();
    REQUIRE(open.verify(head).value().what.empty());
    const auto text = run(nights, {"report", "--month", "2026-10"});
    REQUIRE(text.out.find("Head of the ledger's chain: " + json["head"].get<std::string>()) !=
            std::string::npos);
}

TEST_CASE("a report tells what it does not hold") {
    Nights nights;
    nights.charge(utc(2026, 10, 20, 21h), utc(2026, 10, 21, 2h), WattHours(1'000), utc(2026, 10, 21, 10h));
    // Charged while nobody saw: the register went on.
    nights.append(
        io::ledger::TransactionStart{{utc(2026, 10, 22, 21h)}, "left point", "Heron", "", WattHours(99'000)});
    const auto report = report_of(nights, date::year{2026} / 10, utc(2026, 11, 5));
    REQUIRE(report.unsettled == 1);
    const tools::ReportWords words{"Harbour Row 9", "CAD", 2, harbour_row().zone};
    const std::string text = tools::report_text(report, words);
    REQUIRE(text.find("1 session is not in it: still plugged in, or not settled yet.\n") !=
            std::string::npos);
    SECTION("an empty month is a report too") {
        const auto empty = report_of(nights, date::year{2026} / 8, utc(2026, 11, 5));
        REQUIRE(without_head(tools::report_text(empty, words)) ==
                "Harbour Row 9, August 2026: 0 sessions, 0 kWh, 0.00 CAD\n\n");
    }
}

TEST_CASE("a session at a point that the site has no more is told at the price of its hours") {
    Nights nights;
    nights.charge(utc(2026, 10, 20, 21h), utc(2026, 10, 21, 2h), WattHours(1'000), utc(2026, 10, 21, 10h));
    const auto gone = nights.append(
        io::ledger::TransactionStart{{utc(2026, 10, 22, 21h)}, "old point", "", "", WattHours(0)});
    nights.append(io::ledger::TransactionStop{gone, {utc(2026, 10, 23, 1h)}, WattHours(1'000), "unplugged"});
    account::Session session{.plugged_in = {utc(2026, 10, 22, 21h), utc(2026, 10, 23, 1h)},
                             .energy = WattHours(1'000)};
    session.parts = {{{utc(2026, 10, 22, 22h), utc(2026, 10, 22, 22h + 15min)},
                      WattHours(1'000),
                      WattHours(0),
                      "day",
                      Rate(300'000'000'000),
                      Rate(300'000'000'000)}};
    nights.append(io::ledger::SessionRow{gone, session, "CAD", 2, "2026b"});
    const auto report = report_of(nights, date::year{2026} / 10, utc(2026, 11, 5));
    REQUIRE(report.elsewhere == 1);
    REQUIRE(report.month.sessions[1].cost == Money(300'000));
    REQUIRE(report.month.uncompared == WattHours(1'000));
}

TEST_CASE("energy between two sessions is found and told") {
    Nights nights;
    nights.charge(utc(2026, 10, 20, 21h), utc(2026, 10, 21, 2h), WattHours(1'000), utc(2026, 10, 21, 10h));
    nights.went_past(WattHours(5'500));
    nights.charge(utc(2026, 10, 22, 21h), utc(2026, 10, 23, 2h), WattHours(1'000), utc(2026, 10, 23, 10h));
    const auto report = report_of(nights, date::year{2026} / 10, utc(2026, 11, 5));
    REQUIRE(report.month.energy == WattHours(2'000));
    REQUIRE(report.between == WattHours(5'500));
    const tools::ReportWords words{"Harbour Row 9", "CAD", 2, harbour_row().zone};
    REQUIRE(
        tools::report_text(report, words).find("5.5 kWh more went past the registers between sessions.\n") !=
        std::string::npos);
}

TEST_CASE("a session says how sure it is") {
    io::ledger::StoredSession stored;
    stored.row = {7,
                  {.plugged_in = {utc(2026, 10, 20, 21h), utc(2026, 10, 21, 10h)},
                   .evidence = account::Evidence::typed,
                   .energy = WattHours(1'500),
                   .uncertain = WattHours(400),
                   .uncounted = WattHours(900),
                   .resets = 1,
                   .rollovers = 1,
                   .dropped = 2},
                  "CAD",
                  2,
                  ""};
    stored.point = "left\npoint";
    stored.clock_proven = false;
    REQUIRE(io::session_line(stored, harbour_row().zone) ==
            "Session 7: left\\npoint, 2026-10-20 18:00 to 2026-10-21 07:00, 1.5 kWh, 0.00 CAD; typed; up to "
            "0.4 kWh may "
            "lie at the other price; the register broke off: up to 0.9 kWh more; the register ran full and "
            "counted on; 2 "
            "readings were left out as impossible; the clock was not proven then.");
}

TEST_CASE("commands of the ledger refuse what they cannot read, and say how to mend it") {
    Nights nights;
    const std::string site = tests::config("harbour-row-9/site.yaml");
    SECTION("no ledger") {
        const auto ran = lullwatt_run({"report", "--site", site, "--ledger", nights.file() + ".not"});
        REQUIRE(ran.exit == Exit::refused);
        REQUIRE(ran.err ==
                nights.file() +
                    ".not: cannot be opened. Allowed: a ledger that lullwattd has begun. Mend: name "
                    "the ledger with --ledger, or ask as a user of the group lullwatt.\n");
    }
    SECTION("no month") {
        for (const char* month :
             {"2026", "2026-13", "10-2026", "2026-1", "2026-10-01", "20x6-10", "-026-10"}) {
            const auto ran = run(nights, {"report", "--month", month});
            REQUIRE(ran.exit == Exit::usage);
            REQUIRE(ran.err ==
                    "command line: --month '" + std::string(month) +
                        "': is not a month. Allowed: YYYY-MM, as in 2026-10. Mend: write year and month in "
                        "digits.\n");
            REQUIRE(run(nights, {"sessions", "--month", month}).exit == Exit::usage);
        }
    }
    SECTION("a month so far away that no clock is known for it") {
        const auto ran = run(nights, {"report", "--month", "1980-01"});
        REQUIRE(ran.exit == Exit::refused);
        REQUIRE(ran.err.find("is not known so far from now") != std::string::npos);
        REQUIRE(run(nights, {"sessions", "--month", "1980-01"}).out == "No session in 1980-01.\n");
    }
    SECTION("a site and a ledger that are both not there are told together, as JSON too") {
        const auto ran = lullwatt_run({"sessions", "--site", "no.yaml", "--ledger", "no.sqlite", "--json"});
        REQUIRE(ran.exit == Exit::refused);
        REQUIRE(nlohmann::json::parse(ran.out)["faults"].size() == 2);
    }
    SECTION("table and JSON at once") {
        REQUIRE(run(nights, {"report", "--csv", "--json"}).exit == Exit::usage);
    }
}

TEST_CASE("ledger verify tells whether the chain holds, and whether a kept head is in it") {
    Nights nights;
    nights.charge(utc(2026, 10, 20, 21h), utc(2026, 10, 21, 2h), WattHours(1'000), utc(2026, 10, 21, 10h));
    const auto json = nlohmann::json::parse(run(nights, {"report", "--month", "2026-10", "--json"}).out);
    const auto head = json["head"].get<std::string>();
    const auto verify = [&](std::vector<std::string> more) {
        more.insert(more.begin(), {"ledger", "verify", "--ledger", nights.file()});
        return lullwatt_run(more);
    };
    REQUIRE(verify({}).exit == Exit::done);
    REQUIRE(verify({}).out.find("Head: " + head) != std::string::npos);
    const auto kept = verify({"--head", head});
    REQUIRE(kept.exit == Exit::done);
    REQUIRE(kept.out.find("The head you gave is in it: nothing before it was altered.\n") !=
            std::string::npos);
    const auto other = verify({"--head", "1:" + head.substr(head.find(':') + 1)});
    REQUIRE(other.exit == Exit::refused);
    REQUIRE(other.out == "ALTERED OR DAMAGED: link 1 is not the one kept.\n");
    REQUIRE(nlohmann::json::parse(verify({"--json"}).out)["holds"] == true);
    const auto wrong = verify({"--head", "abc"});
    REQUIRE(wrong.exit == Exit::usage);
    REQUIRE(wrong.err ==
            "command line: --head 'abc': is no head of a chain. Allowed: links:64 hexadecimal digits, as a "
            "report prints it. Mend: copy it whole from the report.\n");
}
