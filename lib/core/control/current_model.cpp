#include "core/control/current_model.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace lullwatt::control {
namespace {

constexpr std::size_t kResponsesKept = 5;
constexpr std::size_t kResponsesNeeded = 3;
constexpr Milliseconds kTellsResponse = Seconds{2};  // reports further apart say little of it
constexpr Amps kStepTells{2};

bool is_a_reading(const site::LegAmps& amps) {
    return std::ranges::all_of(amps, [](Amps one) { return std::isfinite(one.count()); });
}

Amps greatest_leg(const site::LegAmps& amps) { return *std::ranges::max_element(amps); }

}  // namespace

CurrentModel::CurrentModel(site::Legs legs, const LimiterOptions& options)
    : legs_(legs), options_(options), response_(options.response) {}

void CurrentModel::sent(const Command& command) {
    assert(commands_.empty() || commands_.back().sent <= command.sent);
    // The same again, because nobody answered: one of them is enough to reckon with.
    if (known() && !commands_.back().answered && commands_.back().amps == command.amps &&
        commands_.back().then == command.then && (!command.ends || commands_.back().ends <= command.ends)) {
        commands_.pop_back();
    }
    commands_.push_back(command);
    if (!command.answered && !unanswered_since_) unanswered_since_ = command.sent;
    forget_old(command.sent);
}

void CurrentModel::accepted(std::uint64_t number, BootTime at) {
    for (Command& command : commands_) {
        if (command.number == number && number != 0) command.answered = at;
    }
    unanswered_since_.reset();
    if (known() && !commands_.back().answered) unanswered_since_ = commands_.back().sent;
}

std::optional<WholeAmps> CurrentModel::refused(std::uint64_t number) {
    const auto found = std::ranges::find(commands_, number, &Command::number);
    if (number == 0 || found == commands_.end()) return std::nullopt;
    const WholeAmps amps = found->amps;
    commands_.erase(found);
    unanswered_since_.reset();
    if (known() && !commands_.back().answered) unanswered_since_ = commands_.back().sent;
    return amps;
}

void CurrentModel::started_over(WholeAmps standing, BootTime at) {
    // Unanswered, so that what was commanded before stays possible beside it.
    Command found{.sent = at, .amps = standing, .then = standing};
    if (commands_.empty()) found.answered = at;
    commands_.push_back(found);
}

bool CurrentModel::draws_nothing() const {
    switch (status_) {
        case PointStatus::charging:
        case PointStatus::suspended_by_us:  // said before the offer it may have by now
            return false;
        case PointStatus::empty:
        case PointStatus::connected:
        case PointStatus::suspended_by_car:
        case PointStatus::finished:
        case PointStatus::faulted:
            return true;
    }
    return false;
}

void CurrentModel::report(const PointReport& report, WholeAmps standing) {
    if (report.status) {
        const bool drew_nothing = draws_nothing();
        status_ = *report.status;
        if (drew_nothing && !draws_nothing()) cap_ = {};
        // A transaction that is over takes its profile along; the default profile remains.
        if (status_ == PointStatus::empty || status_ == PointStatus::finished) {
            unanswered_since_.reset();
            commands_ = {
                {.sent = report.taken, .amps = standing, .then = standing, .answered = report.taken}};
        }
    }
    if (report.offer && commands_.empty()) {
        // How long it has been in force, and how long its lease runs, is not known.
        const BootTime long_ago = report.taken - options_.lease_most;
        commands_.push_back(
            {.sent = long_ago, .amps = *report.offer, .then = standing, .answered = long_ago});
    }
    if (report.current && is_a_reading(*report.current) && !commands_.empty()) {
        learn_response(report);
        note_fall(report);
        note_cap(report);
    }
}

void CurrentModel::note_fall(const PointReport& report) {
    const Command& newest = commands_.back();
    if (!newest.answered || report.taken < *newest.answered) return;
    if (greatest_leg(*report.current) > newest.at(report.taken) + options_.settled_within) return;
    for (Command& command : commands_) command.fall_measured = &command != &newest;
}

void CurrentModel::note_cap(const PointReport& report) {
    const Range offered = in_force(report.taken - response_, report.taken);
    if (offered.low != offered.high) return;  // not settled
    for (const site::Leg leg : site::kLegs) {
        const auto place = static_cast<std::size_t>(leg);
        const Amps drawn = site::on(*report.current, leg);
        cap_[place] = drawn < offered.low - options_.settled_within ? std::optional(drawn) : std::nullopt;
    }
}

void CurrentModel::learn_response(const PointReport& report) {
    const Amps drawn = greatest_leg(*report.current);
    const Command& newest = commands_.back();
    if (last_report_ && last_current_ && newest.number > last_learned_ && *last_report_ >= newest.sent &&
        report.taken - *last_report_ <= kTellsResponse && report.taken > newest.sent) {
        const Amps target = newest.amps;
        const Amps before = *last_current_ < target ? target - *last_current_ : *last_current_ - target;
        const Amps after = drawn < target ? target - drawn : drawn - target;
        if (before >= kStepTells && after <= options_.settled_within) {
            last_learned_ = newest.number;
            observed_.push_back(report.taken - newest.sent);
            if (observed_.size() > kResponsesKept) observed_.erase(observed_.begin());
            if (observed_.size() >= kResponsesNeeded) {
                response_ = std::clamp(*std::ranges::max_element(observed_), options_.response_least,
                                       options_.response_most);
            }
        }
    }
    last_report_ = report.taken;
    last_current_ = drawn;
}

CurrentModel::Range CurrentModel::in_force(BootTime from, BootTime to) const {
    std::optional<Range> range;
    const auto may_be = [&range](WholeAmps amps) {
        if (!range) range = Range{amps, amps};
        range->low = std::min(range->low, amps);
        range->high = std::max(range->high, amps);
    };
    BootTime superseded = BootTime::max();
    for (auto command = commands_.rbegin(); command != commands_.rend() && superseded > from; ++command) {
        if (command->sent > to) continue;
        const BootTime begin = std::max(from, command->sent);
        if (!command->ends || *command->ends > begin) may_be(command->amps);
        if (command->ends && *command->ends <= to && *command->ends < superseded) may_be(command->then);
        if (command->answered && *command->answered <= to)
            superseded = std::min(superseded, *command->answered);
    }
    return range.value_or(Range{});
}

CarAmps CurrentModel::current(BootTime time) const {
    if (!known() || draws_nothing()) return {};
    const Range range = in_force(time - response_ - options_.meter_lag, time);
    CarAmps amps;
    for (const site::Leg leg : site::kLegs) {
        if (!legs_.has(leg)) continue;
        const auto place = static_cast<std::size_t>(leg);
        const auto capped = [&](Amps commanded) {
            return cap_[place] ? std::min(commanded, *cap_[place]) : commanded;
        };
        amps.low[place] = capped(range.low);
        amps.high[place] = capped(range.high);
    }
    return amps;
}

WholeAmps CurrentModel::expected(BootTime now) const {
    if (!known()) return WholeAmps(0);
    const bool in_doubt = unanswered_since_ && now - *unanswered_since_ >= options_.answer_within;
    return in_doubt ? in_force(now, now).high : commands_.back().at(now);
}

WholeAmps CurrentModel::reserved(BootTime now) const {
    if (status_ == PointStatus::empty) return WholeAmps(0);
    WholeAmps most;
    bool superseded = false;
    for (auto command = commands_.rbegin(); command != commands_.rend(); ++command) {
        const bool free = superseded && (command->fall_measured || (command->ends && now >= *command->ends));
        if (!free) most = std::max(most, command->at(now));
        superseded = superseded || command->answered.has_value();
    }
    return most;
}

bool CurrentModel::unanswered(BootTime now) const {
    return known() && !commands_.back().answered && now - commands_.back().sent >= options_.answer_within;
}

// What was said before an answer of long ago matters only while its amperes are reserved.
void CurrentModel::forget_old(BootTime now) {
    const BootTime horizon = now - options_.response_most - options_.meter_lag;
    const auto newest = std::ranges::find_if(
        commands_.rbegin(), commands_.rend(),
        [&](const Command& command) { return command.answered && *command.answered < horizon; });
    if (newest == commands_.rend()) return;
    const auto over = std::remove_if(commands_.begin(), newest.base() - 1, [now](const Command& command) {
        return command.fall_measured || (command.ends && now >= *command.ends);
    });
    commands_.erase(over, newest.base() - 1);
}

}  // namespace lullwatt::control
