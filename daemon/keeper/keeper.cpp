#include "daemon/keeper/keeper.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "core/plan/solve.hpp"
#include "io/fault/fault.hpp"

namespace lullwatt::daemon {
namespace {

constexpr Milliseconds kLookAgain{5'000};                     // while the clock is unproven: is it by now?
constexpr Milliseconds kPlanAgain = std::chrono::minutes{5};  // the planner's grid

std::string trust_text(Trust trust) {
    switch (trust) {
        case Trust::unproven:
            return "unproven: no time service has set it";
        case Trust::before_ledger:
            return "wrong: it is earlier than what was recorded last";
        case Trust::synchronized:
            return "synchronized";
        case Trust::stated:
            return "trusted, as the site file says";
    }
    return {};
}

}  // namespace

Keeper::Keeper(KeeperPorts ports, KeeperFiles files, HouseholdPtr household, Wishes wishes)
    : ports_(std::move(ports)),
      files_(std::move(files)),
      household_(std::move(household)),
      wishes_(std::move(wishes)),
      cars_(household_->site.cars.size()),
      look_again_(ports_.alarms.alarm([this] { look(); })) {}

Keeper::~Keeper() {
    *alive_ = false;
    for (CarState& car : cars_) {
        if (car.planning) car.planning->request_stop();
    }
}

void Keeper::start() {
    look_at_clock(now());
    plan_all();
    look();
}

void Keeper::look() {
    const Moment at = now();
    look_at_clock(at);
    if (wishes_.forget_past(at.wall) && proven(trust_)) {
        write_wishes_later({});
        plan_all();
    }
    if (at.boot - planned_at_ >= kPlanAgain) plan_all();
    look_again_->set(proven(trust_) ? planned_at_ + kPlanAgain : at.boot + kLookAgain);
}

void Keeper::look_at_clock(const Moment& at) {
    const Trust found = daemon::trust({.wall = at.wall,
                                       .synchronized = synchronized(files_.synchronized),
                                       .stated = household_->site.clock_trusted,
                                       .last_recorded = {}});
    if (found == trust_) return;
    trust_ = found;
    ports_.log.of("clock").notice("the wall clock is " + trust_text(trust_));
    plan_all();
}

void Keeper::clock_stepped() {
    ports_.log.of("clock").notice("the wall clock was set; planning anew");
    look_at_clock(now());
    plan_all();
    look();
}

void Keeper::reload(std::function<void(const io::Faults&)> done) {
    ports_.notifier.reloading();
    const auto read = [this, alive = alive_, about = now().wall, file = files_.site,
                       done](const std::stop_token&) {
        const auto household = std::make_shared<io::Read<io::Household>>(io::load_household(file, about));
        ports_.loop.post([this, alive, household, done] {
            if (*alive) take(std::move(*household), done);
        });
    };
    if (ports_.worker.submit(read)) return;
    take(io::Faults{{files_.site.string(), 0, 0, "", "is not read now: too much is waiting for the planner",
                     "", "", "try again in a moment"}},
         done);
}

void Keeper::take(io::Read<io::Household> read, const std::function<void(const io::Faults&)>& done) {
    const Log log = ports_.log.of("settings");
    if (!read.ok()) {
        for (const io::Fault& fault : read.faults()) log.error(io::text(fault));
        const std::size_t count = read.faults().size();
        log.error(fmt::format("{} has {} fault{}; the settings in force stay in force", files_.site.string(),
                              count, count == 1 ? "" : "s"));
        ports_.notifier.ready(status() + "; the changed settings have faults and were not taken");
        done(read.faults());
        return;
    }
    household_ = std::make_shared<const io::Household>(std::move(read).value());
    for (CarState& car : cars_) {
        if (car.planning) car.planning->request_stop();
    }
    // Counted on, so that a plan under the old settings is not taken for one under the new.
    unsigned generation = 0;
    for (const CarState& car : cars_) generation = std::max(generation, car.generation);
    cars_ = std::vector<CarState>(household_->site.cars.size(), CarState{.generation = generation});
    log.notice(fmt::format("the settings in {} are in force", files_.site.string()));
    look_at_clock(now());
    plan_all();
    look();
    ports_.notifier.ready(status());
    done({});
}

std::string Keeper::status() const {
    return fmt::format("{}: {} cars, the clock is {}", household_->site.name, cars_.size(),
                       trust_text(trust_));
}

void Keeper::change_wishes(Wishes wishes, std::function<void(std::optional<io::Fault>)> done) {
    wishes_ = std::move(wishes);
    plan_all();
    look();
    write_wishes_later(std::move(done));
}

void Keeper::write_wishes_later(std::function<void(std::optional<io::Fault>)> done) {
    const auto write = [this, alive = alive_, file = files_.wishes, wishes = wishes_,
                        done](const std::stop_token&) {
        const auto fault = write_wishes(file, wishes);
        ports_.loop.post([this, alive, fault, done] {
            if (!*alive) return;
            if (fault) ports_.log.error(io::text(*fault));
            if (done) done(fault);
        });
    };
    if (!ports_.worker.submit(write) && done) {
        done(io::Fault{files_.wishes.string(), 0, 0, "", "is not written now: too much is waiting", "", "",
                       "say it again in a moment"});
    }
}

tools::QuestionOptions Keeper::options_for(const std::string& car, tools::QuestionOptions asked) const {
    asked.car = car;
    const OneOff* told = wishes_.need_of(car);
    if (told == nullptr) return asked;
    const auto told_field = [&](const char* name) {
        const auto found = told->fields.find(name);
        return found == told->fields.end() ? std::string() : found->second;
    };
    const auto unless_asked = [&](std::string& option, const char* name) {
        if (option.empty()) option = told_field(name);
    };
    const bool need_asked = asked.fill || !asked.need.empty() || !asked.from_soc.empty() ||
                            !asked.to_soc.empty() || !asked.distance.empty();
    if (!need_asked) {
        unless_asked(asked.need, "need");
        unless_asked(asked.from_soc, "from-soc");
        unless_asked(asked.to_soc, "to-soc");
        unless_asked(asked.distance, "distance");
        asked.fill = !told_field("fill").empty();
        unless_asked(asked.floor, "floor");
    }
    unless_asked(asked.ready_by, "ready-by");
    unless_asked(asked.preference, "preference");
    return asked;
}

plan::Hold Keeper::hold_for(const std::string& car, Instant now) const {
    const auto until = wishes_.held_until(car, now);
    return until ? plan::Hold(Interval{now, *until}) : std::nullopt;
}

void Keeper::plan_all() {
    planned_at_ = now().boot;
    for (std::size_t car = 0; car < cars_.size(); ++car) {
        if (proven(trust_)) {
            plan(car);
        } else {
            cars_[car].night.reset();
        }
    }
}

void Keeper::plan(std::size_t car) {
    CarState& state = cars_[car];
    if (state.planning) state.planning->request_stop();
    const std::string& name = household_->site.cars[car].car.name;
    const Instant wall = now().wall;
    const auto work = [this, alive = alive_, car, generation = ++state.generation, household = household_,
                       options = options_for(name), wall,
                       hold = hold_for(name, wall)](const std::stop_token& stop) {
        auto settled = tools::settle(options, household, wall, hold);
        if (stop.stop_requested()) return;
        std::optional<io::Read<PlannedNight>> night;
        if (settled.ok()) {
            auto question = std::make_shared<const tools::Question>(std::move(settled).value());
            plan::Plan plan = plan::solve(question->problem);
            night.emplace(PlannedNight{std::move(question), std::move(plan)});
        } else {
            night.emplace(settled.faults());
        }
        if (stop.stop_requested()) return;
        ports_.loop.post([this, alive, car, generation, night = std::move(*night)]() mutable {
            if (*alive) planned(car, generation, std::move(night));
        });
    };
    state.planning = ports_.worker.submit(work);
}

void Keeper::planned(std::size_t car, unsigned generation, io::Read<PlannedNight> night) {
    if (car >= cars_.size() || cars_[car].generation != generation) return;
    CarState& state = cars_[car];
    state.planning.reset();
    state.faults.clear();
    if (night.ok()) {
        state.night = std::move(night).value();
        return;
    }
    state.night.reset();
    state.faults = night.faults();
    const std::string& name = household_->site.cars[car].car.name;
    for (const io::Fault& fault : state.faults) {
        ports_.log.of("planner").warning(fmt::format("{} has no plan: {}", name, io::text(fault)));
    }
}

}  // namespace lullwatt::daemon
