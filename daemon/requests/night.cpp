#include <algorithm>
#include <memory>
#include <utility>
#include <vector>

#include "daemon/requests/requests.hpp"
#include "tools/lullwatt/answer.hpp"

namespace lullwatt::daemon {
namespace {

io::Read<tools::Answer> answer(const std::string& command, const tools::Night& night,
                               const std::string& slot) {
    if (command == "plan") return tools::plan_answer(night);
    if (command == "why") return tools::why_answer(night, slot);
    tools::Progress silent(nullptr);
    return tools::when_answer(night, silent);
}

bool own_need(const tools::QuestionOptions& options) {
    return options.fill || !(options.need + options.from_soc + options.to_soc + options.distance).empty();
}

// Every car as it stands, but the one named as it is asked about; its rivals for the cable step back.
HouseAsked house_asked_about(const Asked& asked, const std::string& name) {
    const Keeper& keeper = asked.keeper;
    const tools::QuestionOptions options = need_options(asked.request);
    HouseAsked house = keeper.house_asked(own_need(options) ? From::now : From::next_slot);
    const auto& cars = keeper.household()->site.cars;
    const auto place = static_cast<std::size_t>(
        std::ranges::find(cars, name, [](const auto& each) { return each.car.name; }) - cars.begin());
    for (std::size_t car = 0; car < cars.size(); ++car) {
        CarAsked& each = house.cars[car];
        each.asked = car == place;
        if (car == place) {
            each.options = keeper.options_for(name, options);
            each.here = true;
            if (own_need(options)) each.done = WattHours(0);
            continue;
        }
        each.options.month_peak = options.month_peak;
        each.options.month_use = options.month_use;
        if (cars[car].point == cars[place].point) each.here = false;
    }
    return house;
}

std::string answered(const std::string& command, const std::string& slot, const HouseAsked& house,
                     const std::stop_token& stop) {
    const HouseNight found = plan_house(house, stop);
    for (std::size_t car = 0; car < found.faults.size(); ++car) {
        if (house.cars[car].asked && !found.faults[car].empty()) return fault_line(found.faults[car]);
    }
    const auto told = answer(command, found.night, slot);
    return told.ok() ? answer_line(told.value().text, told.value().json) : fault_line(told.faults());
}

}  // namespace

void reply_night(const Asked& asked) {
    const Request& request = asked.request;
    const std::string command = request.command;
    // Asked about no other time and no other need, `why` is a question about this very moment.
    if (command == "why" && reply_why_now(asked)) return;
    io::Faults faults =
        unknown_fields(request, {"car", "need", "from-soc", "to-soc", "distance", "fill", "floor", "plug-in",
                                 "ready-by", "preference", "month-peak", "month-use", "slot"});
    // Of a plan where nothing else is said, every car is meant.
    const bool every_one = command == "plan" && request.fields.empty();
    const auto name = every_one ? std::nullopt : named_car(request, asked.keeper, faults);
    if (!proven(asked.keeper.trust())) {
        faults.push_back(clock_unproven("so no night can be told", asked.keeper.trust()));
    }
    if (!faults.empty()) {
        asked.reply(fault_line(faults));
        return;
    }
    const auto slot_field = request.fields.find("slot");
    const std::string slot = slot_field == request.fields.end() ? "" : slot_field->second;
    const HouseAsked house =
        name ? house_asked_about(asked, *name) : asked.keeper.house_asked(From::next_slot);
    reply_later(asked, [command, slot, house](const std::stop_token& stop) {
        return answered(command, slot, house, stop);
    });
}

}  // namespace lullwatt::daemon
