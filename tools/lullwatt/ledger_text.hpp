// Sessions and months out of the ledger in words, as JSON and as CSV.
//
// Pure functions; call from any thread. Energy in kilowatt-hours, money as decimal text.
#pragma once

#include <string>
#include <vector>

#include "io/ledger/reader.hpp"
#include "io/report/month_report.hpp"

namespace lullwatt::tools {

using Sessions = std::vector<io::ledger::StoredSession>;

// A line each. `asked`: the days asked about, for when there are none.
[[nodiscard]] std::string sessions_text(const Sessions& sessions, const Zone& zone, const std::string& asked);
[[nodiscard]] std::string sessions_json(const Sessions& sessions, const Zone& zone);
// number,point,car,plugged_in,unplugged,kwh,uncertain_kwh,currency,cost,at_once,plain_timer,evidence
[[nodiscard]] std::string sessions_csv(const Sessions& sessions, const Zone& zone);

// One session with its cost lines.
[[nodiscard]] std::string session_text(const io::ledger::StoredSession& session, const Zone& zone);
[[nodiscard]] std::string session_json(const io::ledger::StoredSession& session, const Zone& zone);
// from,to,price,kwh,uncertain_kwh,rate,with_tax,cost
[[nodiscard]] std::string session_csv(const io::ledger::StoredSession& session, const Zone& zone);

struct ReportWords {
    std::string site;
    std::string currency;
    int digits = 2;
    const Zone& zone;
};
[[nodiscard]] std::string report_text(const io::MonthReport& report, const ReportWords& words);
[[nodiscard]] std::string report_json(const io::MonthReport& report, const ReportWords& words);
// kind,name,kwh,cost,at_once,plain_timer: rows of prices, sessions, what goes beyond prices, and the total
[[nodiscard]] std::string report_csv(const io::MonthReport& report, const ReportWords& words);

}  // namespace lullwatt::tools
