#include "daemon/requests/requests.hpp"

#include <algorithm>
#include <array>
#include <exception>
#include <utility>

#include <fmt/format.h>

#include "io/fault/printable.hpp"
#include "io/settings/scalar.hpp"

namespace lullwatt::daemon {
namespace {

struct Named {
    std::string_view name;
    void (*reply)(const Asked&);
    std::optional<Seconds> around = kAskedAround;  // of the civil clock it needs to know; empty: nothing
};
constexpr std::array kCommands = {
    Named{"now", reply_now, date::days{30}},
    Named{"when", reply_night},
    Named{"plan", reply_night},
    Named{"why", reply_night},
    Named{"need", reply_need},
    Named{"hold", reply_hold},
    Named{"reload", reply_reload, std::nullopt},
    Named{"sessions", reply_ledger},
    Named{"report", reply_ledger},
};

io::Fault no_such_command(const std::string& name) {
    std::vector<std::string> names;
    std::string all;
    for (const Named& command : kCommands) {
        names.emplace_back(command.name);
        all += (all.empty() ? "" : " | ") + names.back();
    }
    const auto meant = io::nearest(name, names);
    return asked_wrong("do", name, "is no command of the daemon", all,
                       meant ? fmt::format("did you mean '{}'?", *meant) : "");
}

// Nothing can be said about a time for which no clock change is known.
io::Fault clock_far_off() {
    return {
        "lullwattd",
        0,
        0,
        "clock",
        "was set by more than a year since the settings were read; they are being read anew",
        "",
        "",
        "ask again in a moment; where it stays so, set the clock, or `lullwatt reload` tells what is wrong"};
}

}  // namespace

Handler requests(Keeper& keeper, Loop& loop, Worker& worker, const Log& log) {
    return [&keeper, &loop, &worker, log](const Request& request, const Reply& reply) {
        const auto found = std::ranges::find(kCommands, request.command, &Named::name);
        if (found == kCommands.end()) {
            reply(fault_line({no_such_command(request.command)}));
            return;
        }
        if (found->around && !keeper.knows_the_clock(*found->around)) {
            reply(fault_line({clock_far_off()}));
            return;
        }
        try {
            found->reply({request, reply, keeper, loop, worker});
        } catch (const std::exception& failure) {
            log.error(fmt::format("'{}' failed: {}", request.command, failure.what()));
            reply(fault_line({asked_wrong("do", request.command, "failed inside the daemon", "",
                                          "its journal says more: journalctl -u lullwatt")}));
        }
    };
}

void reply_later(const Asked& asked, const std::function<std::string(const std::stop_token&)>& line) {
    const auto work = [line, command = asked.request.command, reply = asked.reply,
                       &loop = asked.loop](const std::stop_token& stop) {
        std::string answer;
        try {
            answer = line(stop);
        } catch (const std::exception& failure) {
            answer = fault_line({asked_wrong("do", command, std::string("failed: ") + failure.what(), "",
                                             "report it, with the site file and what was asked")});
        }
        loop.post([reply, answer = std::move(answer)] { reply(answer); });
    };
    if (!asked.worker.submit(work)) asked.reply(too_many_waiting());
}

std::string too_many_waiting() {
    return fault_line({{"lullwattd", 0, 0, "", "has too many questions waiting", "", "", "ask again"}});
}

io::Fault asked_wrong(std::string key, std::string value, std::string what, std::string allowed,
                      std::string mend) {
    return {kAsked,         0, 0, std::move(key), std::move(what), std::move(value), std::move(allowed),
            std::move(mend)};
}

io::Fault clock_unproven(const std::string& consequence, Trust trust) {
    if (trust == Trust::before_ledger) {
        return {"lullwattd",
                0,
                0,
                "clock",
                "is earlier than what the ledger has last, " + consequence,
                "",
                "",
                "set the clock; where it is right and was ahead before, stop the service and move "
                "ledger.sqlite away: the next one begins anew"};
    }
    return {"lullwattd",
            0,
            0,
            "clock",
            "is not proven yet, " + consequence,
            "",
            "",
            "wait for the time service, or say `clock: trusted` in the site file where another one keeps the "
            "time"};
}

io::Faults unknown_fields(const Request& request, std::initializer_list<std::string_view> known) {
    io::Faults faults;
    for (const auto& [key, value] : request.fields) {
        if (std::ranges::find(known, key) != known.end()) continue;
        std::string all;
        for (const std::string_view each : known) all += (all.empty() ? "" : ", ") + std::string(each);
        faults.push_back(asked_wrong(key, value, fmt::format("is nothing that '{}' takes", request.command),
                                     all.empty() ? "nothing" : all));
    }
    return faults;
}

tools::QuestionOptions need_options(const Request& request) {
    tools::QuestionOptions options;
    const auto take = [&](const char* name, std::string& option) {
        const auto found = request.fields.find(name);
        if (found == request.fields.end()) return;
        option = found->second;
        if (option.empty()) options.left_empty.push_back(std::string("--") + name);
    };
    take("need", options.need);
    take("from-soc", options.from_soc);
    take("to-soc", options.to_soc);
    take("distance", options.distance);
    take("floor", options.floor);
    take("plug-in", options.plug_in);
    take("ready-by", options.ready_by);
    take("preference", options.preference);
    take("month-peak", options.month_peak);
    take("month-use", options.month_use);
    options.fill = request.fields.contains("fill");
    return options;
}

std::optional<std::string> named_car(const Request& request, const Keeper& keeper, io::Faults& faults) {
    const auto& cars = keeper.household()->site.cars;
    const auto field = request.fields.find("car");
    const std::string name = field == request.fields.end() ? "" : field->second;
    if (name.empty() && cars.size() == 1) return cars.front().car.name;
    std::vector<std::string> names;
    std::string all;
    for (const auto& car : cars) {
        if (car.car.name == name) return name;
        names.push_back(car.car.name);
        all += (all.empty() ? "" : ", ") + car.car.name;
    }
    const auto meant = io::nearest(name, names);
    faults.push_back(asked_wrong(
        "--car", name, name.empty() ? "is missing: there are several cars" : "is no car of this house", all,
        meant ? fmt::format("did you mean '{}'?", *meant) : "say which"));
    return std::nullopt;
}

}  // namespace lullwatt::daemon
