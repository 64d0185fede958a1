#include <algorithm>
#include <utility>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "daemon/requests/requests.hpp"
#include "tools/lullwatt/time_option.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::daemon {
namespace {

using Json = nlohmann::ordered_json;

std::string field(const Request& request, const char* name) {
    const auto found = request.fields.find(name);
    return found == request.fields.end() ? "" : found->second;
}

// "need 18.6, ready-by 2026-…": as typed, in the order of their names.
std::string as_typed(const OneOff& need) {
    std::string text;
    for (const auto& [name, value] : need.fields) {
        text += fmt::format("{}{}{}", text.empty() ? "" : ", ", name, name == "fill" ? "" : " " + value);
    }
    return text;
}

std::string needs_line(const Keeper& keeper) {
    const Zone& zone = keeper.household()->zone;
    std::string text;
    Json json{{"needs", Json::array()}};
    for (const auto& car : keeper.household()->site.cars) {
        const OneOff* told = keeper.wishes().need_of(car.car.name);
        text += told == nullptr ? fmt::format("{}: as the site file says.\n", car.car.name)
                                : fmt::format("{}: {}; until {}.\n", car.car.name, as_typed(*told),
                                              tools::day_and_clock_text(zone, told->until));
        Json each{{"car", car.car.name}, {"told", told != nullptr}};
        if (told != nullptr) {
            each["need"] = told->fields;
            each["until"] = tools::iso_text(zone, told->until);
        }
        json["needs"].push_back(std::move(each));
    }
    return answer_line(text, json.dump());
}

std::string holds_line(const Keeper& keeper) {
    const Zone& zone = keeper.household()->zone;
    std::string text;
    Json json{{"holds", Json::array()}};
    for (const Held& hold : keeper.wishes().holds) {
        text += fmt::format("{}: no charging before {}.\n", hold.car.empty() ? "Every car" : hold.car,
                            tools::day_and_clock_text(zone, hold.until));
        json["holds"].push_back({{"car", hold.car}, {"until", tools::iso_text(zone, hold.until)}});
    }
    if (text.empty()) text = "Nothing is held.\n";
    return answer_line(text, json.dump());
}

// Replies with what stands once it is on the disk, or with why it may be lost.
void change(Keeper& keeper, const Reply& reply, Wishes wishes, std::string (*line)(const Keeper&)) {
    keeper.change_wishes(std::move(wishes), [reply, &keeper, line](const std::optional<io::Fault>& fault) {
        reply(fault ? fault_line({*fault}) : line(keeper));
    });
}

// Settled at once, on the worker, so that what is refused is refused to whoever said it and not by a plan at
// midnight.
void tell_need(const Asked& asked, const std::string& car) {
    const Instant told = asked.keeper.now().wall;
    tools::QuestionOptions options = need_options(asked.request);
    options.car = car;
    const auto work = [reply = asked.reply, &keeper = asked.keeper, &loop = asked.loop,
                       request = asked.request, household = asked.keeper.household(), options, car,
                       told](const std::stop_token&) {
        const auto question = tools::settle(options, household, told, {});
        if (!question.ok()) {
            loop.post([reply, line = fault_line(question.faults())] { reply(line); });
            return;
        }
        const Instant ready_by = question.value().present.end;
        OneOff need{.car = car, .fields = request.fields, .told = told, .until = ready_by};
        need.fields.erase("car");
        // "07:00" would mean another day tomorrow.
        need.fields["ready-by"] = tools::iso_text(household->zone, ready_by);
        loop.post([&keeper, reply, need = std::move(need)] {
            Wishes wishes = keeper.wishes();
            wishes.tell(need);
            change(keeper, reply, std::move(wishes), needs_line);
        });
    };
    if (!asked.worker.submit(work)) asked.reply(too_many_waiting());
}

}  // namespace

void reply_need(const Asked& asked) {
    const Request& request = asked.request;
    io::Faults faults = unknown_fields(request, {"car", "need", "from-soc", "to-soc", "distance", "fill",
                                                 "floor", "ready-by", "preference", "usual"});
    const bool usual = request.fields.contains("usual");
    const std::size_t others = request.fields.size() - usual - request.fields.contains("car");
    if (usual && others > 0) {
        faults.push_back(asked_wrong("--usual", "", "stands beside a need", "one or the other"));
    }
    std::optional<std::string> car;
    if (usual || others > 0) {
        car = named_car(request, asked.keeper, faults);
        if (others > 0 && !proven(asked.keeper.trust())) {
            faults.push_back(clock_unproven("so no ready-by can be told", asked.keeper.trust()));
        }
    }
    if (!faults.empty()) {
        asked.reply(fault_line(faults));
    } else if (usual) {
        Wishes wishes = asked.keeper.wishes();
        wishes.forget_need(*car);
        change(asked.keeper, asked.reply, std::move(wishes), needs_line);
    } else if (others > 0) {
        tell_need(asked, *car);
    } else {
        asked.reply(needs_line(asked.keeper));
    }
}

void reply_hold(const Asked& asked) {
    const Request& request = asked.request;
    io::Faults faults = unknown_fields(request, {"until", "car", "off"});
    const bool off = request.fields.contains("off");
    const bool begins = request.fields.contains("until");
    const std::string until_text = field(request, "until");
    std::string car;
    if (request.fields.contains("car")) car = named_car(request, asked.keeper, faults).value_or("");
    const Moment at = asked.keeper.now();
    std::optional<Instant> until;
    if (begins) {
        until = tools::parse_time(until_text, asked.keeper.household()->zone, at.wall);
        if (!until) faults.push_back(asked_wrong("until", until_text, "is no time", tools::kTimeForms));
        if (until && *until <= at.wall) {
            faults.push_back(asked_wrong("until", until_text, "is past", "a time to come"));
        }
        if (until && *until - at.wall > date::days{366}) {
            faults.push_back(asked_wrong("until", until_text, "is more than a year ahead", "a year at most"));
        }
        if (off) faults.push_back(asked_wrong("off", "", "stands beside a time", "one or the other"));
        if (!proven(asked.keeper.trust())) {
            faults.push_back(clock_unproven("so no time can be told", asked.keeper.trust()));
        }
    }
    if (!faults.empty()) {
        asked.reply(fault_line(faults));
    } else if (off) {
        Wishes wishes = asked.keeper.wishes();
        wishes.forget_hold(car);
        change(asked.keeper, asked.reply, std::move(wishes), holds_line);
    } else if (until) {
        Wishes wishes = asked.keeper.wishes();
        wishes.tell(Held{.car = car, .told = at.wall, .until = *until});
        change(asked.keeper, asked.reply, std::move(wishes), holds_line);
    } else {
        asked.reply(holds_line(asked.keeper));
    }
}

void reply_reload(const Asked& asked) {
    if (const auto faults = unknown_fields(asked.request, {}); !faults.empty()) {
        asked.reply(fault_line(faults));
        return;
    }
    asked.keeper.reload([reply = asked.reply, &keeper = asked.keeper](const io::Faults& faults) {
        if (!faults.empty()) {
            reply(fault_line(faults));
            return;
        }
        const std::string& name = keeper.household()->site.name;
        reply(answer_line(fmt::format("The settings of {} are in force.\n", name),
                          Json{{"site", name}, {"taken", true}}.dump()));
    });
}

}  // namespace lullwatt::daemon
