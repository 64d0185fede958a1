#include "e2e/daemon/simulated_house.hpp"

#include <algorithm>
#include <limits>

#include <nlohmann/json.hpp>

namespace lullwatt::tests {
namespace {

using Json = nlohmann::ordered_json;

constexpr int kStarts = 20;      // seconds the equipment takes
constexpr int kResponse = 4;     // seconds until the car follows
constexpr double kLimit = 99.9;  // 80 % of 125 A, less the meter's 0.1 A
constexpr const char* kPoint = "left point";

}  // namespace

SimulatedHouse::SimulatedHouse(TimeMaster& master, std::function<double(int)> house, long long begins)
    : master_(master), house_(std::move(house)), begins_(begins) {}

void SimulatedHouse::begin() {
    master_.begin(begins_ + second_, second_ * 1000LL, R"({"service":1000})");
    link_ = true;
    report(true);
}

void SimulatedHouse::plug_in() {
    plugged_ = true;
    report(true);
    master_.tell(Json{{"begun", {{"point", kPoint}, {"register_wh", register_wh()}}}}.dump());
}

void SimulatedHouse::unplug() {
    plugged_ = false;
    master_.tell(
        Json{{"ended", {{"point", kPoint}, {"register_wh", register_wh()}, {"reason", "unplugged"}}}}.dump());
    report(true);
}

void SimulatedHouse::lose_link() {
    link_ = false;
    master_.tell(Json{{"link", {{"point", kPoint}, {"up", false}}}}.dump());
}

void SimulatedHouse::restore_link() {
    link_ = true;
    master_.tell(Json{{"link", {{"point", kPoint}, {"up", true}}}}.dump());
    report(true);
}

void SimulatedHouse::restart_equipment() {
    profile_.clear();
    starts_again_ = second_ + kStarts;
}

void SimulatedHouse::sleep(bool asleep) {
    asleep_ = asleep;
    report(true);
}

void SimulatedHouse::set_wall(long long seconds_ahead) {
    master_.set_wall(begins_ + second_ + seconds_ahead);
}

int SimulatedHouse::offer() const {
    if (second_ < starts_again_) return 0;
    for (const Period& period : profile_) {
        if (second_ < period.ends) return period.amps;
    }
    return 0;  // its default profile
}

void SimulatedHouse::run_to(int second) {
    while (second_ < second) step();
}

void SimulatedHouse::run_alone_to(int second) {
    alone_ = true;
    run_to(second);
    alone_ = false;
}

void SimulatedHouse::step() {
    ++second_;
    offers_.push_back(plugged_ ? offer() : 0);
    if (offers_.size() > kResponse) offers_.erase(offers_.begin());
    const double before = car_;
    car_ = plugged_ && !asleep_ ? offers_.front() : 0;
    milliwatt_hours_ += static_cast<long long>(car_ * 240 * 1000 / 3600);
    const double total = house_(second_) + car_;
    excess_ = car_ > 0.5 && total > kLimit + 0.5 ? excess_ + 1 : 0;
    longest_excess_ = std::max(longest_excess_, excess_);
    if (alone_) return;
    if (!meter_silent) {
        master_.tell(
            Json{{"meter", {{"node", "service"}, {"amps", {total, total}}, {"resolution", 0.1}}}}.dump());
    }
    if (second_ == starts_again_) {
        master_.tell(Json{{"restarted", {{"point", kPoint}}}}.dump());
        report(true);
    }
    if (link_ && second_ >= starts_again_ && (second_ % 10 == 0 || car_ != before)) report(false);
    for (const std::string& line : master_.advance(std::chrono::milliseconds(second_ * 1000LL))) obey(line);
}

void SimulatedHouse::report(bool whole) {
    Json said{{"point", kPoint}, {"amps", {car_, car_}}, {"register_wh", register_wh()}, {"offer", offer()}};
    if (whole) said["status"] = !plugged_ ? "empty" : asleep_ ? "suspended-by-car" : "charging";
    master_.tell(Json{{"report", std::move(said)}}.dump());
}

void SimulatedHouse::obey(const std::string& line) {
    const Json json = Json::parse(line);
    if (json.contains("recorded")) recorded_ = json.at("recorded").dump();
    if (!json.contains("offer") || json.at("offer").at("point") != kPoint || !link_) return;
    if (second_ < starts_again_) return;  // nobody answers
    const Json& told = json.at("offer");
    ++writes_;
    profile_.clear();
    long long from = second_;
    for (const Json& period : told.at("periods")) {
        const bool lasts = !period.contains("ms");
        from = lasts ? std::numeric_limits<long long>::max() : from + period.at("ms").get<long long>() / 1000;
        profile_.push_back({period.at("amps").get<int>(), from});
    }
    master_.tell(
        Json{{"answer", {{"point", kPoint}, {"write", told.at("write")}, {"accepted", true}}}}.dump());
}

}  // namespace lullwatt::tests
