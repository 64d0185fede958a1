#include <charconv>
#include <utility>

#include "daemon/requests/requests.hpp"
#include "tools/lullwatt/ledger_answer.hpp"

namespace lullwatt::daemon {
namespace {

std::string worked_out(const std::filesystem::path& ledger, const io::Household& household, bool report,
                       const tools::AskedOfLedger& asked, Instant now) {
    auto reader = io::ledger::Reader::open(ledger);
    if (!reader.ok()) return fault_line(reader.faults());
    io::ledger::Reader open = std::move(reader).value();
    const auto answer = report ? tools::report_answer(open, household, asked, now)
                               : tools::sessions_answer(open, household, asked, now);
    return answer.ok() ? answer_line(answer.value().text, answer.value().json) : fault_line(answer.faults());
}

}  // namespace

void reply_ledger(const Asked& asked) {
    const Request& request = asked.request;
    const bool report = request.command == "report";
    io::Faults faults = report ? unknown_fields(request, {"month", "csv"})
                               : unknown_fields(request, {"month", "csv", "number"});
    tools::AskedOfLedger about{.csv = request.fields.contains("csv")};
    if (const auto month = request.fields.find("month"); month != request.fields.end())
        about.month = month->second;
    if (const auto number = request.fields.find("number"); number != request.fields.end()) {
        const std::string& text = number->second;
        std::int64_t value = 0;
        const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
        if (error != std::errc{} || end != text.data() + text.size())
            faults.push_back(asked_wrong("number", text, "is no number", "a number that 'sessions' lists"));
        about.number = value;
    }
    if (!proven(asked.keeper.trust())) {
        faults.push_back(clock_unproven("so nobody knows which days are meant", asked.keeper.trust()));
    }
    if (!faults.empty()) {
        asked.reply(fault_line(faults));
        return;
    }
    reply_later(asked, [report, about, ledger = asked.keeper.ledger(), household = asked.keeper.household(),
                        now = asked.keeper.now().wall](const std::stop_token&) {
        return worked_out(ledger, *household, report, about, now);
    });
}

}  // namespace lullwatt::daemon
