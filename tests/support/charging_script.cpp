#include "support/charging_script.hpp"

#include <algorithm>
#include <set>

namespace lullwatt::tests {
namespace {

using namespace std::chrono_literals;
using io::ledger::Id;
using io::ledger::Mark;
using io::ledger::Reader;

constexpr const char* kPoint = "left point";
constexpr account::RegisterRules kRules{.most = Watts(7'680)};
const Interval kAlways{Instant{}, Instant{} + date::days{40'000}};

tariff::PriceCurve flat() { return {{kAlways, Rate(100'000'000'000), Rate(115'000'000'000), "flat"}}; }

std::string fault_text(const io::Faults& faults) { return io::text(faults.front()); }

// Of the register, from the script alone.
WattHours taken(const Script& script, int session) {
    WattHours first{-1};
    WattHours last{0};
    for (const Step& step : script) {
        if (step.session != session) continue;
        if (step.kind == Step::Kind::start) first = step.value;
        if (step.kind == Step::Kind::stop) last = step.value;
    }
    return last - first;
}

std::string wrong_transaction(Reader& reader, const Script& script, std::size_t index, Id id) {
    const Step& step = script[index];
    const auto read = reader.transaction(id);
    if (!read.ok()) return fault_text(read.faults());
    if (!read.value()) return "an acknowledged transaction is gone";
    const auto& stored = *read.value();
    if (step.kind == Step::Kind::stop && (!stored.end || stored.end->at != step.at))
        return "an acknowledged stop is gone";
    const account::RegisterReading reading{step.at, step.value};
    if (std::ranges::count(stored.readings, reading) != 1) return "a boundary reading is gone or there twice";
    return {};
}

}  // namespace

bool is_durable(const Step& step) {
    return step.kind != Step::Kind::sample && step.kind != Step::Kind::minute;
}

Script charging_script(std::mt19937& chance, int sessions) {
    const auto dice = [&](int sides) { return static_cast<int>(chance() % static_cast<unsigned>(sides)); };
    Script script;
    Instant at = date::sys_days{date::year{2026} / 10 / 20} + 18h;
    WattHours value(dice(90'000'000));
    for (int session = 0; session < sessions; ++session) {
        script.push_back({Step::Kind::start, session, at, value});
        for (int quarter = dice(6); quarter >= 0; --quarter) {
            const Instant next{(at.time_since_epoch() / 900s + 1) * 900s};
            while (at + 60s < next) {
                at += 60s;
                value += WattHours(dice(120));
                script.push_back({Step::Kind::sample, session, at, value});
                script.push_back({Step::Kind::minute, session, at, value});
            }
            at = next;
            value += WattHours(dice(120));
            script.push_back({Step::Kind::clock, session, at, value});
        }
        at += Seconds{1 + dice(600)};
        value += WattHours(dice(2));
        script.push_back({Step::Kind::stop, session, at, value});
        script.push_back({Step::Kind::settle, session, at, value});
        if (dice(3) == 0) script.push_back({Step::Kind::event, session, at, value});
        at += 4h;
        if (dice(4) == 0) value += WattHours(dice(500));  // charged while nobody saw
    }
    return script;
}

void Progress::acknowledge(const Script& script, std::size_t step, Id row) {
    acknowledged[step] = row;
    if (script[step].kind == Step::Kind::start) transactions[script[step].session] = row;
}

std::optional<io::ledger::Row> row_of(const Script& script, std::size_t index, const Progress& progress,
                                      Reader* reader) {
    const Step& step = script[index];
    const auto known = progress.transactions.find(step.session);
    const Id transaction = known == progress.transactions.end() ? 0 : known->second;
    switch (step.kind) {
        case Step::Kind::start:
            return io::ledger::TransactionStart{{step.at}, kPoint, "Heron", "", step.value};
        case Step::Kind::clock:
            return io::ledger::Reading{kPoint, transaction, {step.at}, step.value, Mark::clock};
        case Step::Kind::sample:
            return io::ledger::Sample{kPoint, step.at, {}, step.value};
        case Step::Kind::minute:
            return io::ledger::Minute{"service", site::Leg::L1, step.at,
                                      io::ledger::Spread<Amps>{Amps(20), Amps(40.1), Amps(3)}};
        case Step::Kind::stop:
            return io::ledger::TransactionStop{transaction, {step.at}, step.value, "unplugged"};
        case Step::Kind::event:
            return io::ledger::Event{{step.at}, kPoint, "fault", "of step " + std::to_string(index)};
        case Step::Kind::settle:
            break;
    }
    const auto read = reader->transaction(transaction);
    if (!read.ok() || !read.value() || !read.value()->end) return std::nullopt;
    const auto& stored = *read.value();
    const account::SessionFacts facts{{stored.begin.at, stored.end->at}, stored.readings};
    return io::ledger::SessionRow{transaction, account::settle(facts, kRules, flat()), "CAD", 2, "2026b"};
}

std::string wrong(Reader& reader, const Script& script, const Progress& progress) {
    const auto verified = reader.verify();
    if (!verified.ok()) return fault_text(verified.faults());
    if (!verified.value().what.empty()) return verified.value().what;
    const auto sessions = reader.sessions(kAlways);
    const auto events = reader.events(kAlways);
    if (!sessions.ok()) return fault_text(sessions.faults());
    if (!events.ok()) return fault_text(events.faults());
    std::set<Id> settled;
    for (const auto& session : sessions.value()) {
        if (!settled.insert(session.row.transaction).second) return "a session stands twice";
    }
    for (const auto& [index, row] : progress.acknowledged) {
        const Step& step = script[index];
        std::string what;
        if (step.kind == Step::Kind::start) what = wrong_transaction(reader, script, index, row);
        if (step.kind == Step::Kind::stop || step.kind == Step::Kind::clock)
            what = wrong_transaction(reader, script, index, progress.transactions.at(step.session));
        if (step.kind == Step::Kind::settle && settled.count(progress.transactions.at(step.session)) == 0)
            what = "an acknowledged session is gone";
        if (step.kind == Step::Kind::event &&
            std::ranges::count(events.value(), row, &io::ledger::StoredEvent::id) != 1)
            what = "an acknowledged event is gone or there twice";
        if (!what.empty()) return what + " (step " + std::to_string(index) + ")";
    }
    return {};
}

std::string wrong_at_the_end(Reader& reader, const Script& script, const Progress& progress) {
    if (auto what = wrong(reader, script, progress); !what.empty()) return what;
    const auto sessions = reader.sessions(kAlways);
    const auto unsettled = reader.unsettled();
    if (!sessions.ok() || !unsettled.ok()) return "the ledger cannot be read";
    if (!unsettled.value().empty()) return "a transaction stands twice or was never settled";
    const int count = 1 + std::ranges::max(script, {}, &Step::session).session;
    if (sessions.value().size() != static_cast<std::size_t>(count)) return "there are not as many sessions";
    WattHours sum{0};
    std::vector<std::vector<account::RegisterReading>> readings;
    for (int session = 0; session < count; ++session) {
        const auto& stored = sessions.value()[static_cast<std::size_t>(session)];
        if (stored.row.session.energy != taken(script, session))
            return "a session has other energy than its register";
        if (account::energy_of(stored.row.session.parts) != stored.row.session.energy)
            return "a session's parts do not sum to it";
        sum += stored.row.session.energy;
        const auto transaction = reader.transaction(stored.row.transaction);
        if (!transaction.ok() || !transaction.value()) return "a session's transaction is gone";
        readings.push_back(transaction.value()->readings);
    }
    WattHours last{0};
    for (const Step& step : script) {
        if (step.kind == Step::Kind::stop) last = step.value;
    }
    return sum + account::between_sessions(readings) == last - script.front().value
               ? std::string{}
               : "sessions and what went past between them are not the register's difference";
}

}  // namespace lullwatt::tests
