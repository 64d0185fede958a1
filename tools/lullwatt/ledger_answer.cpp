#include "tools/lullwatt/ledger_answer.hpp"

#include <charconv>

#include <date/date.h>

#include "io/report/month_report.hpp"
#include "tools/lullwatt/ledger_text.hpp"
#include "tools/lullwatt/option_fault.hpp"
#include "tools/lullwatt/question.hpp"

namespace lullwatt::tools {
namespace {

constexpr date::days kRecent{31};

std::optional<date::year_month> parse_month(const std::string& text) {
    if (text.size() != 7 || text[4] != '-') return std::nullopt;
    int year = 0;
    unsigned month = 0;
    const char* begin = text.data();
    const auto [year_end, year_error] = std::from_chars(begin, begin + 4, year);
    const auto [month_end, month_error] = std::from_chars(begin + 5, begin + 7, month);
    const bool digits = year_error == std::errc{} && month_error == std::errc{} && year_end == begin + 4 &&
                        month_end == begin + 7 && year >= 1970;
    const date::year_month read = date::year{year} / date::month{month};
    return digits && read.ok() ? std::optional(read) : std::nullopt;
}

// The month asked for; none where none was. A fault where it is no month.
io::Read<std::optional<date::year_month>> asked_month(const AskedOfLedger& asked) {
    if (asked.month.empty()) return std::optional<date::year_month>{};
    const auto month = parse_month(asked.month);
    if (month) return month;
    return io::Faults{{kCommandLine, 0, 0, "--month", "is not a month", asked.month, "YYYY-MM, as in 2026-10",
                       "write year and month in digits"}};
}

io::Read<Answer> one_session(io::ledger::Reader& reader, const Zone& zone, const AskedOfLedger& asked) {
    const auto stored = reader.session_of(*asked.number);
    if (!stored.ok()) return stored.faults();
    if (!stored.value()) {
        const auto transaction = reader.transaction(*asked.number);
        const bool unsettled = transaction.ok() && transaction.value();
        return io::Faults{
            {kCommandLine, 0, 0, "show",
             unsettled ? "is plugged in still, or not settled yet" : "is no session of this ledger",
             std::to_string(*asked.number), "a number that 'lullwatt sessions' lists",
             unsettled ? "ask again when it has ended" : "list them with 'lullwatt sessions'"}};
    }
    return Answer{
        .text = asked.csv ? session_csv(*stored.value(), zone) : session_text(*stored.value(), zone),
        .json = session_json(*stored.value(), zone)};
}

}  // namespace

io::Read<Answer> sessions_answer(io::ledger::Reader& reader, const io::Household& household,
                                 const AskedOfLedger& asked, Instant now) {
    const Zone& zone = household.zone;
    if (asked.number) return one_session(reader, zone, asked);
    const auto month = asked_month(asked);
    if (!month.ok()) return month.faults();
    Interval when{now - kRecent, now + date::days{1}};
    std::string days = "in the last 31 days; --month YYYY-MM asks about others";
    if (month.value()) {
        const date::local_days first{*month.value() / 1};
        const date::local_days next{(*month.value() + date::months{1}) / 1};
        const Interval known = zone.known();
        // Far from now the zone is not known: UTC will do to find sessions.
        const bool near = known.contains(Instant{first.time_since_epoch()} - date::days{2}) &&
                          known.contains(Instant{next.time_since_epoch()} + date::days{2});
        when = near ? Interval{zone.instant(first), zone.instant(next)}
                    : Interval{Instant{first.time_since_epoch()}, Instant{next.time_since_epoch()}};
        days = "in " + asked.month;
    }
    const auto sessions = reader.sessions(when);
    if (!sessions.ok()) return sessions.faults();
    return Answer{.text = asked.csv ? sessions_csv(sessions.value(), zone)
                                    : sessions_text(sessions.value(), zone, days),
                  .json = sessions_json(sessions.value(), zone)};
}

io::Read<Answer> report_answer(io::ledger::Reader& reader, const io::Household& household,
                               const AskedOfLedger& asked, Instant now) {
    const auto month = asked_month(asked);
    if (!month.ok()) return month.faults();
    const CivilDate today{date::floor<date::days>(household.zone.civil(now))};
    const date::year_month about = month.value().value_or(today.year() / today.month());
    const auto report = io::month_report(reader, household, about, now);
    if (!report.ok()) return report.faults();
    const io::SiteFile& site = household.site;
    const ReportWords words{site.name, site.currency, site.currency_digits, household.zone};
    return Answer{.text = asked.csv ? report_csv(report.value(), words) : report_text(report.value(), words),
                  .json = report_json(report.value(), words)};
}

}  // namespace lullwatt::tools
