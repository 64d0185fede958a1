#include <array>
#include <filesystem>
#include <iostream>
#include <map>
#include <memory>
#include <string>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "core/quantity/money.hpp"
#include "io/file/file.hpp"
#include "io/settings/reference_file.hpp"
#include "io/settings/scalar.hpp"
#include "io/settings/site_file.hpp"
#include "io/settings/site_table.hpp"
#include "io/tariff_file/tariff_file.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {
namespace {

struct Ask {
    const char* flag;
    const char* question;
    const char* why;
    const char* fallback;  // taken when a person just presses return; empty: an answer is needed
};

// Meter data first: nothing else says so well what the house leaves for a car.
constexpr std::array kQuestions = {
    Ask{"load",
        "Meter data of the house (a file that `lullwatt import` wrote), or the load calculation's amperes "
        "per leg?",
        "Twelve months of data say what the house leaves for a car; a calculation is more cautious, so it "
        "leaves less.",
        ""},
    Ask{"zone", "Which time zone is the house in?", "Tariff hours and ready-by follow its clock.", ""},
    Ask{"currency", "In which currency is energy billed?", "Costs are rounded as it is.", ""},
    Ask{"supply", "Is the supply single-phase, split-phase, two-legs-of-208 or three-phase?",
        "It says which legs there are and what an ampere is worth.", ""},
    Ask{"service", "What is the service rated, in amperes?",
        "No plan may load a leg beyond its share for hours.", ""},
    Ask{"breaker", "What is the breaker of the car's circuit rated, in amperes?",
        "The circuit has its own limit.", ""},
    Ask{"setting", "To what current did the installer set the equipment, in amperes?",
        "It is all the equipment can ever draw, with or without this program.", ""},
    Ask{"battery", "How much energy does the car's battery hold, in kWh?",
        "It turns states of charge into energy.", ""},
    Ask{"tariff", "A tariff file, or the price of a kilowatt-hour?",
        "Without prices every hour is as good as any.", ""},
    Ask{"clock", "Does another service keep this computer's time (trusted), or not (wait)?",
        "A wrong clock charges at the wrong hour; until it is known to be right, no plan relies on it.",
        "wait"},
};

struct SetupOptions {
    std::map<std::string, std::string> answers;
    std::string output = "site.yaml";
    std::string name = "Home";
    std::string basis;
    std::string control = "driven";
    std::string most = "32";
    bool reference = false;
    bool json = false;
};

io::Fault option_fault(const std::string& option, const std::string& value, std::string what,
                       std::string allowed) {
    return {"command line", 0, 0, "--" + option, std::move(what), value, std::move(allowed), ""};
}

// Asks what no flag answered; without a person to ask, every missing answer is a fault.
io::Faults complete(SetupOptions& options, Shell& shell) {
    io::Faults faults;
    for (const Ask& ask : kQuestions) {
        std::string& answer = options.answers[ask.flag];
        if (!answer.empty()) continue;
        if (!shell.interactive) {
            if (*ask.fallback != '\0') {
                answer = ask.fallback;
            } else {
                faults.push_back(
                    option_fault(ask.flag, "", "is missing, and there is nobody to ask", ask.question));
            }
            continue;
        }
        while (answer.empty()) {
            shell.out << ask.question << "\n  " << ask.why << '\n'
                      << (*ask.fallback == '\0' ? "> " : fmt::format("[{}] > ", ask.fallback)) << std::flush;
            if (!std::getline(shell.in, answer)) {
                faults.push_back(option_fault(ask.flag, "", "was not answered", ask.question));
                return faults;
            }
            if (answer.empty()) answer = ask.fallback;
        }
    }
    return faults;
}

// "40" and "40 A" are the same answer.
std::string with_unit(const std::string& answer, const char* unit) {
    return answer.find_first_not_of("0123456789.") == std::string::npos ? answer + " " + unit : answer;
}

bool is_price(const std::string& answer) { return parse_decimal(answer, 12).has_value(); }

bool is_amperes(const std::string& answer) {
    const auto read = io::parse_scalar({}, io::Kind::amps, with_unit(answer, "A"));
    return std::holds_alternative<io::Scalar>(read);
}

std::string quoted(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        out += c;
    }
    return out + "\"";
}

std::string site_text(const SetupOptions& options, const std::string& tariff) {
    const auto& answer = options.answers;
    const bool leg_of_230 = answer.at("supply") == "three-phase" || answer.at("supply") == "single-phase";
    const std::string basis = !options.basis.empty() ? options.basis : leg_of_230 ? "iec" : "nec";
    std::string text =
        "# Written by `lullwatt setup`. `lullwatt setup --reference` explains every key there is.\nformat: "
        "1\n\n";
    text +=
        fmt::format("site:\n  name: {}\n  zone: {}\n  currency: {}\n  clock: {}\n\n", quoted(options.name),
                    quoted(answer.at("zone")), quoted(answer.at("currency")), answer.at("clock"));
    text +=
        fmt::format("service:\n  supply: {}\n  leg_to_neutral: {} V\n  rating: {}\n  continuous: {}\n\n",
                    answer.at("supply"), leg_of_230 ? 230 : 120, with_unit(answer.at("service"), "A"), basis);
    text += fmt::format("circuits:\n  - {{name: car circuit, fed_from: service, rating: {}}}\n\n",
                        with_unit(answer.at("breaker"), "A"));
    text +=
        fmt::format("points:\n  - {{name: wall, circuit: car circuit, hard_setting: {}, control: {}}}\n\n",
                    with_unit(answer.at("setting"), "A"), options.control);
    text += fmt::format("cars:\n  - {{name: car, point: wall, battery: {}, most: {}}}\n\n",
                        with_unit(answer.at("battery"), "kWh"), with_unit(options.most, "A"));
    if (is_amperes(answer.at("load"))) {
        // Without data nothing better is known of the usual load than the calculation, so it plans with half
        // of it.
        const double amps = std::stod(answer.at("load"));
        text += fmt::format(
            "loads:\n  - node: service\n    calculation: {}\n    constant: {:g} A  # a guess: half of it\n\n",
            with_unit(answer.at("load"), "A"), amps / 2);
    } else {
        text += fmt::format("loads:\n  - node: service\n    history: {}\n\n", quoted(answer.at("load")));
    }
    return text + fmt::format("tariff: {}\n", quoted(tariff));
}

std::string flat_tariff_text(const SetupOptions& options) {
    return fmt::format(
        "# Written by `lullwatt setup`: one price at all hours. docs/tariff-format.md says how to write "
        "windows.\n"
        "format: 1\nname: {} flat\ncurrency: {}\nrevisions:\n  - from: 2020-01-01\n    windows:\n"
        "      - {{name: all day, per_kwh: {}}}\n",
        options.name, quoted(options.answers.at("currency")), options.answers.at("tariff"));
}

io::Faults write_files(const SetupOptions& options, Shell& shell) {
    namespace fs = std::filesystem;
    const fs::path site = options.output;
    const bool flat = is_price(options.answers.at("tariff"));
    const fs::path tariff = flat ? site.parent_path() / (site.stem().string() + "-tariff.yaml") : fs::path();
    for (const fs::path& file : {site, tariff}) {
        if (!file.empty() && fs::exists(file)) {
            return {{file.string(), 0, 0, "", "is there already, and setup overwrites nothing", "", "",
                     "name another --output, or move it away"}};
        }
    }
    const std::string text =
        site_text(options, flat ? tariff.filename().string() : options.answers.at("tariff"));
    const auto read = io::read_site_text(text, site.string(), site.parent_path());
    if (!read.ok()) return read.faults();
    if (flat) {
        const std::string prices = flat_tariff_text(options);
        const auto checked = io::read_tariff_text(prices, tariff.string(), tariff.parent_path());
        if (!checked.ok()) return checked.faults();
        if (auto fault = io::replace_file(tariff, prices)) return {*fault};
        shell.out << "wrote " << tariff.string() << '\n';
    }
    if (auto fault = io::replace_file(site, text)) return {*fault};
    shell.out << "wrote " << site.string() << "\nNow: lullwatt check --site " << site.string() << '\n';
    return {};
}

Exit act(SetupOptions options, Shell& shell) {
    if (options.reference) {
        shell.out << io::reference_text(io::kSiteTable);
        return Exit::done;
    }
    io::Faults faults = complete(options, shell);
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
    command->add_option("--name", options->name, "How reports call the house.")->capture_default_str();
    command->add_option("--basis", options->basis, "nec, cec or iec; by the supply where it is not said.");
    command->add_option("--control", options->control, "driven or by-hand.")->capture_default_str();
    command->add_option("--most", options->most, "The most the car takes, in amperes.")
        ->capture_default_str();
    command->add_flag("--reference", options->reference,
                      "Print every key of a site file with its default and consequence.");
    command->add_flag("--json", options->json, "Tell faults as JSON.");
    command->footer(
        "Example, unattended:\n"
        "  lullwatt setup --output home.yaml --load 60 --service 100 --breaker 50 --setting 40 --battery 60 "
        "\\\n"
        "                 --tariff 0.15 --zone America/Halifax --currency CAD --supply split-phase");
    return {command, [options](Shell& shell) { return act(*options, shell); }};
}

}  // namespace lullwatt::tools
