#include "daemon/keeper/keeper.hpp"

#include <algorithm>
#include <exception>
#include <utility>

#include <fmt/format.h>

#include "core/plan/when.hpp"
#include "io/fault/fault.hpp"

namespace lullwatt::daemon {
namespace {

constexpr Milliseconds kLookAgain{5'000};  // while the clock is unproven: is it by now?
constexpr Seconds kLastMinute{60};         // before a need ends: nothing can be planned for it any more
constexpr date::days kPlannedAhead{30};    // at most
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

// A plan's slots begin a little ahead. Until then what is under way goes on, where the plan is to keep it;
// else the first begins now where it has the price of now: a plan made anew in mid-charge would be a pause.
void begin_now(control::PointPlan& plan, const tools::Question& question, Instant now,
               const control::PointPlan& under_way) {
    if (plan.pieces.empty() || now >= plan.pieces.front().when.begin || !question.asked.contains(now)) return;
    if (const auto amps = amps_at(under_way, now)) {
        plan.pieces.insert(plan.pieces.begin(), {{now, plan.pieces.front().when.begin}, *amps});
        return;
    }
    const auto& slots = question.problem.slots;
    if (tariff::price_at(question.prices, now).name ==
        tariff::price_at(question.prices, slots.front().when.begin).name)
        plan.pieces.front().when.begin = now;
}

control::PointPlan point_plan(const PlannedNight& night, const control::PointPlan& under_way) {
    control::PointPlan plan;
    const auto& slots = night.question->problem.slots;
    for (std::size_t slot = 0; slot < slots.size(); ++slot) {
        const WholeAmps amps = night.plan.slots[slot].amps;
        if (plan.pieces.empty() || plan.pieces.back().amps != amps)
            plan.pieces.push_back({slots[slot].when, amps});
        plan.pieces.back().when.end = slots[slot].when.end;
    }
    begin_now(plan, *night.question, night.made, under_way);
    // What is left of the time once it had charged without a pause at the plan's greatest current.
    const WholeAmps most = plan::greatest_current(night.plan);
    if (most > WholeAmps(0)) {
        const double watts = night.question->problem.per_ampere.count() * most.count();
        const auto charging = Seconds(
            static_cast<std::int64_t>(static_cast<double>(night.plan.delivered.count()) * 3.6 / watts));
        plan.slack = night.question->present.length() - charging;
    }
    return plan;
}

io::Read<HouseNight> plan_or_fault(const HouseAsked& asked, const std::stop_token& stop) {
    try {
        return plan_house(asked, stop);
    } catch (const std::exception& failure) {
        return io::Faults{{"lullwattd", 0, 0, "planner", "failed: the last plan stays in force",
                           failure.what(), "", "report it, with the site file"}};
    }
}

}  // namespace

Keeper::Keeper(KeeperPorts ports, KeeperFiles files, KeeperBegin begin)
    : ports_(std::move(ports)),
      files_(std::move(files)),
      household_(std::move(begin.household)),
      wishes_(std::move(begin.wishes)),
      last_recorded_(begin.last_recorded),
      sessions_({ports_.loop, ports_.worker, ports_.store, files_.ledger, ports_.log}, household_,
                begin.open),
      minutes_(ports_.store, household_),
      events_(ports_.store, ports_.clock),
      driver_({ports_.clock, ports_.alarms, ports_.equipment, ports_.meters, sessions_, minutes_, events_,
               ports_.log.of("limiter")},
              household_, begin.seed, std::move(begin.writes),
              [this](std::size_t point) { point_changed(point); }),
      cars_(household_->site.cars.size()),
      look_again_(ports_.alarms.alarm([this] { look(); })) {}

Keeper::~Keeper() {
    *alive_ = false;
    if (planning_.under_way) planning_.under_way->request_stop();
}

void Keeper::start() {
    look_at_clock(now());
    driver_.trust_wall(proven(trust_));
    events_.happened("lullwattd", "started", "the clock is " + trust_text(trust_));
    plan(From::now);
    look();
}

void Keeper::look() {
    const Moment at = now();
    look_at_clock(at);
    if (proven(trust_) && wishes_.forget_past(at.wall)) {
        write_wishes_later({});
        plan(From::now);
    }
    if (at.boot - planned_at_ >= kPlanAgain) plan(From::next_slot);
    look_again_->set(proven(trust_) ? planned_at_ + kPlanAgain : at.boot + kLookAgain);
}

bool Keeper::knows_the_clock(Seconds around) const {
    const Instant at = now().wall;
    const Interval known = household_->zone.known();
    return known.begin + around <= at && at + around <= known.end;
}

void Keeper::look_at_clock(const Moment& at) {
    Trust found = daemon::trust({.wall = at.wall,
                                 .synchronized = synchronized(files_.synchronized),
                                 .stated = household_->site.clock.trusted,
                                 .last_recorded = last_recorded_});
    // Set by years: nothing is planned until the settings were read for that time.
    if (!knows_the_clock(kPlannedAhead)) found = Trust::unproven;
    if (found == trust_) return;
    trust_ = found;
    events_.trust_wall(proven(trust_));
    driver_.trust_wall(proven(trust_));
    ports_.log.of("clock").notice("the wall clock is " + trust_text(trust_));
    plan(From::now);
}

void Keeper::clock_stepped() {
    ports_.log.of("clock").notice("the wall clock was set; planning anew");
    events_.happened("clock", "set", "somebody set the wall clock");
    look_at_clock(now());
    plan(From::now);
    look();
}

void Keeper::reload(const std::function<void(const io::Faults&)>& done) {
    ports_.notifier.reloading();
    const auto read = [this, alive = alive_, &loop = ports_.loop, about = now().wall, file = files_.site,
                       done](const std::stop_token&) {
        const auto household = std::make_shared<io::Read<io::Household>>(io::load_household(file, about));
        loop.post([this, alive, household, done] {
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
    cars_ = std::vector<CarState>(household_->site.cars.size());
    ports_.relink(household_);
    sessions_.change(household_);
    minutes_.change(household_);
    driver_.change(household_);
    events_.happened("settings", "taken", files_.site.string() + " was read anew");
    log.notice(fmt::format("the settings in {} are in force", files_.site.string()));
    look_at_clock(now());
    plan(From::now);
    look();
    ports_.notifier.ready(status());
    done({});
}

std::string Keeper::status() const {
    return fmt::format("{}: {} cars, the clock is {}", household_->site.name, cars_.size(),
                       trust_text(trust_));
}

void Keeper::change_wishes(Wishes wishes, const std::function<void(std::optional<io::Fault>)>& done) {
    // A need is told about what is to come: what the register has counted by now does not count towards it.
    for (OneOff& need : wishes.needs) {
        const auto& cars = household_->site.cars;
        const auto car = std::ranges::find(cars, need.car, [](const auto& each) { return each.car.name; });
        const OneOff* before = wishes_.need_of(need.car);
        if (car != cars.end() && (before == nullptr || *before != need))
            need.told_at = sessions_.last_register(car->point);
    }
    wishes_ = std::move(wishes);
    plan(From::now);
    look();
    write_wishes_later(done);
}

void Keeper::write_wishes_later(const std::function<void(std::optional<io::Fault>)>& done) {
    const auto write = [this, alive = alive_, &loop = ports_.loop, file = files_.wishes, wishes = wishes_,
                        done](const std::stop_token&) {
        const auto fault = write_wishes(file, wishes);
        loop.post([this, alive, fault, done] {
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
    if (told == nullptr || told->until - kLastMinute <= now().wall) return asked;
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

// Holds reach the limiter without a plan: at once, and also while the planner stands still.
void Keeper::hold_points() {
    const Instant at = now().wall;
    for (std::size_t point = 0; point < household_->site.site.points.size(); ++point) {
        // Of several cars on one cable nobody knows for certain which it is.
        std::optional<Instant> until;
        for (const io::CarSettings& car : household_->site.cars) {
            if (car.point == point) until = std::max(until, wishes_.held_until(car.car.name, at));
        }
        driver_.hold(point, until);
    }
}

std::optional<std::size_t> Keeper::car_at(std::size_t point) const {
    std::optional<std::size_t> first;
    for (std::size_t car = 0; car < cars_.size(); ++car) {
        if (household_->site.cars[car].point != point) continue;
        if (wishes_.need_of(household_->site.cars[car].car.name) != nullptr) return car;
        if (!first) first = car;
    }
    return first;
}

void Keeper::point_changed(std::size_t point) {
    const bool has_a_car = std::ranges::any_of(
        household_->site.cars, [point](const io::CarSettings& car) { return car.point == point; });
    if (has_a_car) plan(From::next_slot);
}

std::optional<WattHours> Keeper::delivered(std::size_t car) const {
    const std::size_t point = household_->site.cars[car].point;
    const auto begun = sessions_.begun_at(point);
    const auto last = sessions_.last_register(point);
    return begun && last ? std::optional(*last - *begun) : std::nullopt;
}

WattHours Keeper::done_of_need(std::size_t car) const {
    const auto& settings = household_->site.cars[car];
    const auto last = sessions_.last_register(settings.point);
    const OneOff* told = wishes_.need_of(settings.car.name);
    if (told != nullptr && told->told_at && last) return std::max(*last - *told->told_at, WattHours(0));
    return std::max(delivered(car).value_or(WattHours(0)), WattHours(0));
}

HouseAsked Keeper::house_asked(From from) const {
    const Instant wall = now().wall;
    HouseAsked asked{.household = household_, .now = wall, .from = from, .cars = {}};
    for (std::size_t car = 0; car < cars_.size(); ++car) {
        const auto& settings = household_->site.cars[car];
        const auto& heard = driver_.heard(settings.point);
        const bool away = heard && heard->status == control::PointStatus::empty;
        const bool goes_on = from == From::next_slot && cars_[car].night;
        asked.cars.push_back({.options = options_for(settings.car.name),
                              .hold = hold_for(settings.car.name, wall),
                              .done = done_of_need(car),
                              .under_way = goes_on ? cars_[car].night->driven : control::PointPlan{},
                              .here = !away && car_at(settings.point) == car});
    }
    return asked;
}

void Keeper::plan(From from) {
    hold_points();
    if (!proven(trust_)) {
        for (CarState& car : cars_) car.night.reset();
    }
    // What merely happens waits for the plan under way, else a point that flickers would keep every plan from
    // being finished.
    planned_at_ = now().boot;
    if (planning_.under_way && from == From::next_slot) {
        planning_.again = true;
        return;
    }
    if (planning_.under_way) planning_.under_way->request_stop();
    planning_ = {.generation = planning_.generation + 1};
    if (!proven(trust_)) return;
    const auto work = [this, alive = alive_, &loop = ports_.loop, generation = planning_.generation,
                       asked = house_asked(from)](const std::stop_token& stop) {
        const auto found = std::make_shared<io::Read<HouseNight>>(plan_or_fault(asked, stop));
        if (stop.stop_requested()) return;
        loop.post([this, alive, generation, from = asked.from, made = asked.now, found] {
            if (*alive) planned(generation, from, made, std::move(*found));
        });
    };
    planning_.under_way = ports_.worker.submit(work, Worker::Turn::next);  // before questions
    if (!planning_.under_way)
        ports_.log.of("planner").warning("too much is waiting for it: the last plan stays in force");
}

void Keeper::planned(unsigned generation, From from, Instant made, io::Read<HouseNight> found) {
    if (planning_.generation != generation) return;
    planning_.under_way.reset();
    if (found.ok()) {
        take_house(from, made, std::move(found).value());
    } else {
        for (const io::Fault& fault : found.faults()) ports_.log.of("planner").error(io::text(fault));
    }
    if (planning_.again) plan(From::next_slot);
}

void Keeper::take_house(From from, Instant made, HouseNight house) {
    for (tools::CarNight& car : house.night.cars) {
        const std::size_t index = car.question.car;
        take_night(index, from,
                   {std::make_shared<const tools::Question>(std::move(car.question)),
                    std::move(car.month.plan), made});
    }
    for (std::size_t car = 0; car < cars_.size(); ++car) {
        cars_[car].faults = house.faults[car];
        for (const io::Fault& fault : house.faults[car]) {
            ports_.log.of("planner").warning(
                fmt::format("{} has no new plan: {}", household_->site.cars[car].car.name, io::text(fault)));
        }
        // The last good plan goes on; where there is none under these settings, an older one must not.
        const std::size_t point = household_->site.cars[car].point;
        if (!house.faults[car].empty() && !cars_[car].night && car_at(point) == car) driver_.plan(point, {});
    }
}

void Keeper::take_night(std::size_t car, From from, PlannedNight night) {
    CarState& state = cars_[car];
    const bool goes_on = from == From::next_slot && state.night;
    const control::PointPlan under_way = goes_on ? state.night->driven : control::PointPlan{};
    state.night = std::move(night);
    state.night->driven = point_plan(*state.night, under_way);
    const std::size_t point = household_->site.cars[car].point;
    if (car_at(point) == car) driver_.plan(point, state.night->driven);
}

}  // namespace lullwatt::daemon
