#include <algorithm>
#include <array>
#include <filesystem>
#include <iostream>
#include <memory>
#include <string>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "io/file/file.hpp"
#include "io/household/household.hpp"
#include "io/settings/json_schema.hpp"
#include "io/settings/reference_file.hpp"
#include "io/settings/site_file.hpp"
#include "io/settings/site_table.hpp"
#include "io/tariff_file/tariff_file.hpp"
#include "io/tariff_file/tariff_table.hpp"
#include "io/zone/zone.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/setup_text.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {
namespace {

namespace fs = std::filesystem;

struct Ask {
    int number;  // of the question it is part of
    const char* flag;
    const char* key;  // where the answer goes in the site file; its faults begin with it
    const char* question;
    const char* why;
    const char* fallback;  // taken where nobody answers; empty: an answer is needed
    const char* trial;     // stands in its place while earlier answers are judged
};

// Meter data first: nothing else says so well what the house leaves for a car. The voltage has a fallback
// that depends on the supply, the basis one that depends on the voltage.
constexpr std::array kQuestions = {
    Ask{1, "load", "loads",
        "Twelve months of interval data: the file that `lullwatt import` wrote? Without data, the load "
        "calculation's amperes per leg ('60 A'), or a worst load and its reason ('45 A, the clamp meter's "
        "highest in January').",
        "Data say what the house leaves for a car; a calculation is more cautious, so it leaves less.", "",
        "60 A"},
    Ask{2, "name", "site.name", "What is the house called?", "Reports call it so.", "Home", "Home"},
    Ask{2, "zone", "site.zone", "Which time zone is it in, such as America/Halifax?",
        "Tariff hours and ready-by follow its clock.", "", "UTC"},
    Ask{3, "currency", "site.currency", "In which currency is energy billed, such as CAD?",
        "Costs are rounded as it is.", "", "CAD"},
    Ask{4, "supply", "service.supply",
        "Is the supply single-phase, split-phase, two-legs-of-208 or three-phase?",
        "It says which legs there are and what an ampere is worth.", "", "split-phase"},
    Ask{4, "volts", "service.leg_to_neutral", "How many volts are there from one leg to neutral?",
        "An ampere is worth that much; 120 V in a 120/240 V house, 230 V in a 230/400 V one.", "", "120 V"},
    Ask{4, "service", "service.rating", "What is the service rated, in amperes?",
        "No plan may load a leg beyond its share for hours.", "", "100 A"},
    Ask{5, "basis", "service.continuous", "Which rules was it wired by: nec, cec or iec?",
        "They say what share of a rating may flow for hours.", "", "nec"},
    Ask{6, "breaker", "circuits[0].rating", "What is the breaker of the car's circuit rated, in amperes?",
        "The circuit has its own limit.", "", "400 A"},
    Ask{7, "setting", "points[0].hard_setting",
        "To what current did the installer set the equipment, in amperes?",
        "It is all the equipment can ever draw, with or without this program; at most 80 % of the breaker.",
        "", "6 A"},
    Ask{7, "control", "points[0].control", "Does this program set its current (driven), or you (by-hand)?",
        "A plan for hands has one start and one current. Driving needs the daemon, which does not exist yet: "
        "until it does, by-hand is what really happens, and `check` says whether that is safe.",
        "driven", "driven"},
    Ask{8, "battery", "cars[0].battery", "How much energy does the car's battery hold, in kWh?",
        "It turns states of charge into energy.", "", "60 kWh"},
    Ask{8, "most", "cars[0].most", "What is the most the car takes, in amperes?",
        "A plan with more would be late.", "32 A", "32 A"},
    Ask{9, "clock", "site.clock",
        "Does another service keep this computer's time (trusted)? Else: until it is proven, do cars wait, "
        "take "
        "their standing current, or charge?",
        "A wrong clock charges at the wrong hour; until it is known to be right, no plan relies on it.",
        "wait", "wait"},
    Ask{10, "tariff", "tariff",
        "A tariff file? Or the price of a kilowatt-hour: one ('0.15'), or two and the hours of the first "
        "('0.08 22:00-06:00 0.16').",
        "Without prices every hour is as good as any.", "", "0.15"},
};

struct SetupOptions {
    Answers answers;
    std::string output = "site.yaml";
    bool reference = false;
    std::string schema;
    bool json = false;
};

std::string fallback_of(const Ask& ask, const Answers& answers) {
    const std::string_view flag = ask.flag;
    if (flag == "volts") return usual_volts(answers.at("supply"));
    return flag == "basis" ? usual_basis(answers.at("volts")) : ask.fallback;
}

io::Fault about(const Ask& ask, const Answers& answers, const io::Fault& fault) {
    const std::string key = std::string("--") + ask.flag;
    return {"command line", 0, 0, key, fault.what, answers.at(ask.flag), fault.allowed, fault.mend};
}

// A file a person names stands in the folder they are in; the site file names it from its own.
std::string from_site(const std::string& file, const fs::path& site) {
    std::error_code none;
    if (!fs::exists(file, none)) return file;
    return fs::absolute(file).lexically_proximate(fs::absolute(site).parent_path()).string();
}

std::string site_text_for(const SetupOptions& options, const fs::path& tariff) {
    return site_text(options.answers, tariff.string(), from_site(options.answers.at("load"), options.output));
}

fs::path seen_from_site(const char* flag, const SetupOptions& options) {
    return fs::path(options.output).parent_path() / from_site(options.answers.at(flag), options.output);
}

fs::path tariff_beside(const fs::path& site) {
    return site.parent_path() / (site.stem().string() + "-tariff.yaml");
}

// What the readers say of one answer, each fault under its flag. REQUIRES: every flag has an answer.
io::Faults faults_of(const Ask& ask, const SetupOptions& options) {
    const Answers& answers = options.answers;
    io::Faults faults;
    const auto take = [&](const io::Faults& found, std::string_view key) {
        for (const io::Fault& fault : found) {
            if (!fault.key.starts_with(key)) continue;
            const io::Fault told = about(ask, answers, fault);
            if (std::ranges::find(faults, told) == faults.end()) faults.push_back(told);
        }
    };
    const auto site = io::read_site_text(site_text_for(options, "tariff.yaml"), options.output, {});
    if (!site.ok()) take(site.faults(), ask.key);
    const std::string_view flag = ask.flag;
    const Instant now = system_now();
    if (flag == "zone" && faults.empty()) {
        const auto zone = io::load_zone(answers.at("zone"), {now, now}, now);
        if (!zone.ok()) take(zone.faults(), "");
    }
    if (flag == "load" && !stated_load(answers.at("load")) && !fs::exists(seen_from_site("load", options))) {
        take({{.what = "is neither a file nor amperes",
               .allowed = "what `lullwatt import` wrote, or '60 A', or '45 A, the reason'",
               .mend = "import the meter data first, or answer with the load calculation"}},
             "");
    }
    if (flag == "tariff" && faults.empty()) {
        const auto text = tariff_text(answers);
        const auto tariff = text ? io::read_tariff_text(*text, "", {})
                                 : io::read_tariff_file(seen_from_site("tariff", options));
        // The currency is an answer of its own.
        if (!tariff.ok()) {
            auto found = tariff.faults();
            std::erase_if(found, [&](const io::Fault& fault) { return text && fault.key == "currency"; });
            take(found, "");
        }
    }
    return faults;
}

// Asks one part of a question until its answer stands. False where the input ends.
bool ask_person(const Ask& ask, SetupOptions& options, Shell& shell) {
    std::string& answer = options.answers[ask.flag];
    const std::string fallback = fallback_of(ask, options.answers);
    while (true) {
        shell.out << fmt::format("{} of 10. {}\n  {}\n{}> ", ask.number, ask.question, ask.why,
                                 fallback.empty() ? "" : fmt::format("[{}] ", fallback))
                  << std::flush;
        if (!std::getline(shell.in, answer)) return false;
        if (answer.empty()) answer = fallback;
        if (answer.empty()) continue;
        const io::Faults faults = faults_of(ask, options);
        if (faults.empty()) return true;
        print_faults(shell, faults, options.json);
    }
}

// Settles every answer, or says of all of them at once what is missing or wrong.
io::Faults complete(SetupOptions& options, Shell& shell) {
    std::array<bool, kQuestions.size()> given{};
    for (std::size_t at = 0; at < kQuestions.size(); ++at) {
        std::string& answer = options.answers[kQuestions[at].flag];
        given[at] = !answer.empty();
        if (!given[at]) answer = kQuestions[at].trial;
    }
    io::Faults faults;
    for (std::size_t at = 0; at < kQuestions.size(); ++at) {
        const Ask& ask = kQuestions[at];
        std::string& answer = options.answers[ask.flag];
        if (given[at]) {
            for (io::Fault& fault : faults_of(ask, options)) faults.push_back(std::move(fault));
        } else if (shell.interactive) {
            if (!faults.empty()) continue;  // a wrong flag is told before more is asked
            if (ask_person(ask, options, shell)) continue;
            return {{"command line", 0, 0, std::string("--") + ask.flag, "was not answered", "", ask.question,
                     ""}};
        } else if (const std::string fallback = fallback_of(ask, options.answers); !fallback.empty()) {
            answer = fallback;
        } else {
            faults.push_back({"command line", 0, 0, std::string("--") + ask.flag,
                              "is missing, and there is nobody to ask", "", ask.question, ""});
        }
    }
    return faults;
}

io::Faults already_there(const fs::path& file) {
    std::error_code none;
    if (!fs::exists(fs::symlink_status(file, none))) return {};
    return {{file.string(), 0, 0, "", "is there already, and setup overwrites nothing", "", "",
             "name another --output, or move it away"}};
}

// The site file takes its name only once the whole house, as `check` reads it, is without fault.
io::Faults write_files(const SetupOptions& options, Shell& shell) {
    const fs::path site = options.output;
    const fs::path beside = tariff_beside(site);
    const fs::path candidate = site.string() + ".unchecked";
    const auto prices = tariff_text(options.answers);
    for (const fs::path& file : {candidate, prices ? beside : candidate}) {
        if (auto faults = already_there(file); !faults.empty()) return faults;
    }
    const fs::path named =
        prices ? beside.filename() : fs::path(from_site(options.answers.at("tariff"), site));
    if (prices) {
        if (auto fault = io::replace_file(beside, *prices)) return {*fault};
    }
    io::Faults faults;
    if (auto fault = io::replace_file(candidate, site_text_for(options, named))) faults = {*fault};
    if (faults.empty()) {
        const auto household = io::load_household(candidate, system_now());
        if (!household.ok()) faults = household.faults();
        for (io::Fault& fault : faults) {
            if (fault.file == candidate.string()) fault.file = site.string();
        }
    }
    std::error_code failed;
    if (faults.empty()) {
        fs::rename(candidate, site, failed);
        if (failed)
            faults = {{site.string(), 0, 0, "", "cannot be written: " + failed.message(), "", "", ""}};
    }
    if (!faults.empty()) {
        fs::remove(candidate, failed);
        if (prices) fs::remove(beside, failed);
        return faults;
    }
    if (prices) shell.out << "wrote " << beside.string() << '\n';
    shell.out << "wrote " << site.string() << '\n'
              << guess_text(options.answers) << "Now: lullwatt check --site " << site.string() << '\n';
    return {};
}

Exit act(SetupOptions options, Shell& shell) {
    if (!options.schema.empty()) {
        const bool tariff = options.schema == "tariff";
        shell.out << io::json_schema(tariff ? io::kTariffTable : io::kSiteTable,
                                     tariff ? "Lullwatt tariff file" : "Lullwatt site file");
        return Exit::done;
    }
    if (options.reference) {
        shell.out << io::reference_text(io::kSiteTable);
        return Exit::done;
    }
    io::Faults faults = already_there(options.output);
    if (faults.empty()) faults = complete(options, shell);
    if (faults.empty()) faults = write_files(options, shell);
    if (faults.empty()) return Exit::done;
    print_faults(shell, faults, options.json);
    return Exit::refused;
}

}  // namespace

Command add_setup(CLI::App& app) {
    auto options = std::make_shared<SetupOptions>();
    CLI::App* command =
        app.add_subcommand("setup", "Ten questions, or flags, to a site file that `check` accepts");
    for (const Ask& ask : kQuestions) {
        command->add_option(std::string("--") + ask.flag, options->answers[ask.flag], ask.question);
    }
    command->add_option("--output", options->output, "The site file to write; never overwritten.")
        ->capture_default_str();
    command
        ->add_option("--schema", options->schema,
                     "Print the JSON Schema of tariff or site files, for an editor, and do nothing else.")
        ->check(CLI::IsMember({"tariff", "site"}));
    command->add_flag("--reference", options->reference,
                      "Print every key of a site file with its default and consequence.");
    command->add_flag("--json", options->json, "Tell faults as JSON.");
    command->footer(
        "Example, unattended:\n"
        "  lullwatt setup --output home.yaml --load 60 --service 100 --breaker 50 --setting 40 --battery 60 "
        "\\\n"
        "                 --tariff '0.08 22:00-06:00 0.16' --zone America/Halifax --currency CAD \\\n"
        "                 --supply split-phase");
    return {command, [options](Shell& shell) { return act(*options, shell); }};
}

}  // namespace lullwatt::tools
