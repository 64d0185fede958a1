#include <memory>
#include <utility>

#include <CLI/CLI.hpp>

#include "tools/lullwatt/daemon_client.hpp"
#include "tools/lullwatt/question.hpp"
#include "tools/lullwatt/time_option.hpp"

namespace lullwatt::tools {

namespace {

void watch_for_empty(CLI::App& app, QuestionOptions& options) {
    for (CLI::Option* option : app.get_options()) {
        if (option->get_items_expected() == 0) continue;
        option->each([&options, name = option->get_name()](const std::string& value) {
            if (value.empty()) options.left_empty.push_back(name);
        });
    }
}

void add_need_and_ready_by(CLI::App& app, QuestionOptions& options) {
    app.add_option("--car", options.car, "Which car, where there are several.")->type_name("NAME");
    app.add_option("--need", options.need, "Energy to charge, as the equipment's meter counts it, in kWh.")
        ->type_name("KWH");
    app.add_option("--from-soc", options.from_soc, "State of charge now, in percent.")->type_name("PERCENT");
    app.add_option("--to-soc", options.to_soc, "State of charge to reach; 100 where it is not said.")
        ->type_name("PERCENT");
    app.add_option("--distance", options.distance, "How far it is to be driven on what is charged, in km.")
        ->type_name("KM");
    app.add_flag("--fill", options.fill, "As much as it takes until the car itself stops.");
    app.add_option("--floor", options.floor,
                   "The part of it that is charged at once, whatever energy costs, in kWh.")
        ->type_name("KWH");
    app.add_option("--ready-by", options.ready_by, "When it must be ready; by habit where it is not said.")
        ->type_name("TIME");
    app.add_option("--preference", options.preference,
                   "Among plans of the same cost: early, late, or gentle (the least current).")
        ->type_name("WORD");
}

void add_bounds_of_planning(CLI::App& app, QuestionOptions& options) {
    app.add_flag("--alone", options.alone, "As if no other car needed energy this night.");
    app.add_option("--proof-time", options.proof_time,
                   "Seconds to spend on the best plan of several cars and its proof; 2 where it is not said.")
        ->type_name("SECONDS");
    app.add_option("--month-peak", options.month_peak,
                   "The highest power this bill has counted so far, in kW, where no readings tell it.")
        ->type_name("KW");
    app.add_option("--month-use", options.month_use,
                   "The energy this bill has counted so far, in kWh, where no readings tell it.")
        ->type_name("KWH");
}

}  // namespace

void add_need_options(CLI::App& app, QuestionOptions& options) {
    add_need_and_ready_by(app, options);
    watch_for_empty(app, options);
}

void add_question_options(CLI::App& app, QuestionOptions& options) {
    add_site_option(app, options.site);
    add_socket_option(app, options.socket);
    app.add_option("--at", options.at, "As if now were this time: 18:00, or 2026-10-20T18:00.")
        ->type_name("TIME");
    add_need_and_ready_by(app, options);
    app.add_option("--plug-in", options.plug_in, "When it is plugged in; now where it is not said.")
        ->type_name("TIME");
    add_bounds_of_planning(app, options);
    watch_for_empty(app, options);
}

io::Read<House> read_house(const QuestionOptions& options) {
    if (auto empty = left_empty(options); !empty.empty()) return empty;
    // Which clock is meant stands in the site file; two days around any reading of --at are near enough to
    // load it.
    const auto about = options.at.empty() ? std::optional(system_now())
                                          : parse_time(options.at, Zone::fixed(Seconds{0}), system_now());
    if (!about) return io::Faults{no_time("--at", options.at)};
    auto read = io::load_household(site_path(options.site), *about);
    if (!read.ok()) return read.faults();
    auto household = std::make_shared<const io::Household>(std::move(read).value());
    const auto now = options.at.empty() ? about : parse_time(options.at, household->zone, system_now());
    if (!now) return io::Faults{no_time("--at", options.at)};
    return House{std::move(household), *now};
}

}  // namespace lullwatt::tools
