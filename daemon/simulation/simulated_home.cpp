#include "daemon/simulation/simulated_home.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace lullwatt::daemon {
namespace {

constexpr Seconds kOut = std::chrono::hours{8};  // ours: from ready-by, where no habit says
constexpr Seconds kWholeDay = std::chrono::hours{24};

bool at_home(const io::CarSettings& car, const Zone& zone, Instant at) {
    const CivilTime civil = zone.civil(at);
    const auto today = date::floor<date::days>(civil);
    const Seconds time_of_day = civil - today;
    if (const vehicle::Habit* habit = vehicle::habit_on(car.habits, CivilDate{today}))
        return time_of_day < habit->leaves || time_of_day >= habit->returns;
    if (!car.habits.empty()) return true;
    return (time_of_day - car.ready_by + kWholeDay) % kWholeDay >= kOut;
}

// As its meter tells it: in steps of its resolution.
Amps stepped(Amps amps, Amps step) {
    return step > Amps(0) ? step * std::round(amps.count() / step.count()) : amps;
}

}  // namespace

SimulatedHome::SimulatedHome(Ports ports, std::shared_ptr<const io::Household> household,
                             const std::vector<PointMemory>& memory)
    : ports_(std::move(ports)),
      household_(std::move(household)),
      loads_(std::make_unique<HouseholdLoads>(*household_)),
      begin_(ports_.clock.now().boot),
      next_second_(ports_.alarms.alarm([this] { tick(); })) {
    for (std::size_t point = 0; point < household_->site.site.points.size(); ++point) {
        const auto found =
            std::ranges::find(memory, household_->site.site.points[point].name, &PointMemory::point);
        points_.push_back(new_point(point, found == memory.end() ? nullptr : &*found));
    }
}

SimulatedHome::~SimulatedHome() { *alive_ = false; }

bool SimulatedHome::linked(std::size_t point) const {
    return household_->site.links.points[point] == io::Link::simulated;
}

SimulatedHome::PointState SimulatedHome::new_point(std::size_t point, const PointMemory* memory) const {
    const io::SiteFile& file = household_->site;
    const site::Point& there = file.site.points[point];
    const auto car =
        std::ranges::find_if(file.cars, [&](const io::CarSettings& each) { return each.point == point; });
    site::Legs legs = there.legs;
    if (car != file.cars.end())
        legs = site::used_legs(file.site.supply, file.site.leg_to_neutral, there.legs, car->car.legs);
    PointState state{
        .name = there.name,
        .equipment = rehearse::Equipment(
            {.legs = legs,
             .watts_per_ampere = site::watts_per_ampere(file.site.supply, file.site.leg_to_neutral, legs),
             .hard_setting = there.hard_setting,
             .standing = household_->standing[point].current,
             .counted = memory == nullptr ? WattHours(0) : memory->energy_register}),
        .path = site::path(file.site, there)};
    if (car != file.cars.end()) state.car = static_cast<std::size_t>(car - file.cars.begin());
    if (memory != nullptr && memory->begun_at && state.car) {
        state.equipment.plug_in(traits(*state.car, memory->energy_register - *memory->begun_at));
        state.transaction = true;
    }
    return state;
}

rehearse::CarTraits SimulatedHome::traits(std::size_t car, WattHours already) const {
    const io::CarSettings& settings = household_->site.cars[car];
    const auto need = vehicle::energy_at_register(settings.car, settings.need);
    const WattHours room = need ? nearest_watt_hours(*need) : settings.car.battery;
    return {.most = settings.car.most, .room = std::max(room - already, WattHours(0))};
}

void SimulatedHome::change(std::shared_ptr<const io::Household> household) {
    const auto before = std::exchange(points_, {});
    ++settings_;
    household_ = std::move(household);
    loads_ = std::make_unique<HouseholdLoads>(*household_);
    for (std::size_t point = 0; point < household_->site.site.points.size(); ++point) {
        PointState state = new_point(point, nullptr);
        const auto old = std::ranges::find(before, state.name, &PointState::name);
        if (old != before.end()) {
            state.equipment = old->equipment;
            state.transaction = old->transaction;
        }
        points_.push_back(std::move(state));
    }
    go_on();
}

// A house to which nothing leads stands still, and wakes nobody.
void SimulatedHome::go_on() {
    if (listener_ != nullptr && !household_->site.links.none()) {
        next_second_->set(ports_.clock.now().boot);
    } else {
        next_second_->clear();
    }
}

void SimulatedHome::listen(EquipmentListener* listener) {
    listener_ = listener;
    for (PointState& point : points_) point.told = false;
    go_on();
}

void SimulatedHome::offer(std::size_t point, const control::Write& write) {
    if (!linked(point)) return;
    const bool accepted = points_[point].equipment.write(write, done_);
    ports_.loop.post([this, alive = alive_, settings = settings_, point, number = write.number, accepted] {
        if (*alive && listener_ != nullptr && settings == settings_)
            listener_->answered(point, number, accepted);
    });
}

std::optional<Milliseconds> SimulatedHome::interval(std::size_t node) const {
    const io::MeterLink& meter = household_->site.links.meters[node];
    return meter.link == io::Link::simulated ? std::optional(Milliseconds(meter.interval)) : std::nullopt;
}

void SimulatedHome::tick() {
    const Moment now = ports_.clock.now();
    const Seconds due = std::chrono::floor<Seconds>(now.boot - begin_);
    for (; done_ < due; ++done_) {
        for (std::size_t point = 0; point < points_.size(); ++point) {
            come_and_go(point, now.wall - (due - done_ - Seconds{1}));
            points_[point].equipment.step(done_);
        }
    }
    next_second_->set(begin_ + done_ + Seconds{1});
    for (std::size_t point = 0; point < points_.size(); ++point) tell(point, done_, now.boot);
    sample(done_, now);
}

// A car is plugged in when it comes home, and is let charge.
void SimulatedHome::come_and_go(std::size_t point, Instant at) {
    PointState& state = points_[point];
    if (!linked(point) || listener_ == nullptr || !state.car) return;
    const bool home = at_home(household_->site.cars[*state.car], household_->zone, at);
    if (home == state.transaction) return;
    state.transaction = home;
    const WattHours shown = state.equipment.energy_register();
    if (home) {
        state.equipment.plug_in(traits(*state.car, WattHours(0)));
        listener_->began(point, {.at = at, .energy_register = shown, .token = {}}, {});
    } else {
        state.equipment.unplug();
        listener_->ended(point, {.at = at, .energy_register = shown, .reason = "unplugged"});
    }
}

void SimulatedHome::tell(std::size_t point, Seconds at, BootTime boot) {
    PointState& state = points_[point];
    if (!linked(point) || listener_ == nullptr) return;
    const bool anew = !std::exchange(state.told, true);
    if (anew) listener_->link(point, true);
    if (const auto report = state.equipment.report(at, boot, anew)) listener_->reported(point, *report);
}

void SimulatedHome::sample(Seconds at, const Moment& moment) {
    const site::Site& site = household_->site.site;
    std::vector<site::LegAmps> amps = loads_->draw(moment.wall);
    for (std::size_t point = 0; point < points_.size(); ++point) {
        if (!linked(point)) continue;
        for (const std::size_t node : points_[point].path) {
            for (const site::Leg leg : site::kLegs) {
                if (points_[point].equipment.legs().has(leg))
                    amps[node][static_cast<std::size_t>(leg)] += points_[point].equipment.current();
            }
        }
    }
    for (std::size_t node = 0; node < amps.size(); ++node) {
        const auto every = interval(node);
        if (!every || !sampled_ || (at % std::chrono::floor<Seconds>(*every)).count() != 0) continue;
        const Amps resolution = site.nodes[node].meter_resolution;
        control::MeterSample told{.node = node, .arrived = moment.boot, .resolution = resolution};
        for (std::size_t leg = 0; leg < amps[node].size(); ++leg)
            told.amps[leg] = stepped(amps[node][leg], resolution);
        sampled_(told);
    }
}

}  // namespace lullwatt::daemon
