#include "tools/lullwatt/setup_text.hpp"

#include <sstream>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "core/quantity/money.hpp"
#include "io/settings/scalar.hpp"

namespace lullwatt::tools {
namespace {

// "40" and "40 A" are the same answer.
std::string with_unit(const std::string& answer, std::string_view unit) {
    const bool bare = !answer.empty() && answer.find_first_not_of("0123456789.") == std::string::npos;
    return bare ? fmt::format("{} {}", answer, unit) : answer;
}

std::string in_quotes(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) {
        if (static_cast<unsigned char>(c) < 0x20) {
            out += fmt::format("\\x{:02x}", static_cast<unsigned char>(c));
            continue;
        }
        if (c == '"' || c == '\\') out += '\\';
        out += c;
    }
    return out + "\"";
}

// Words and figures as a person would write them; whatever YAML could take for its own is quoted.
std::string plain(const std::string& text) {
    constexpr std::string_view kHarmless =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789./ -";
    const bool harmless = !text.empty() && text.front() != ' ' && text.front() != '-' && text.back() != ' ' &&
                          text.find_first_not_of(kHarmless) == std::string::npos;
    return harmless ? text : in_quotes(text);
}

std::string loads_text(const std::string& answer, const std::string& history) {
    const auto load = stated_load(answer);
    if (!load) return fmt::format("loads:\n  - node: service\n    history: {}\n", in_quotes(history));
    const std::string worst =
        !load->reason ? fmt::format("calculation: {}", load->amps)
                      : fmt::format("worst: {}\n    worst_reason: {}", load->amps, in_quotes(*load->reason));
    return fmt::format("loads:\n  - node: service\n    {}\n    constant: {}  # a guess: half of it\n", worst,
                       load->usual);
}

bool is_price(const std::string& word) { return parse_decimal(word, 12).has_value(); }

}  // namespace

std::optional<StatedLoad> stated_load(const std::string& answer) {
    const auto comma = answer.find(',');
    const std::string amps = with_unit(answer.substr(0, comma), "A");
    const auto read = io::parse_scalar({}, io::Kind::amps, amps);
    const auto* scalar = std::get_if<io::Scalar>(&read);
    if (scalar == nullptr) return std::nullopt;
    StatedLoad load{amps, std::nullopt, fmt::format("{:g} A", std::get<Amps>(*scalar).count() / 2)};
    if (comma != std::string::npos) {
        const auto begin = answer.find_first_not_of(' ', comma + 1);
        load.reason = begin == std::string::npos ? "" : answer.substr(begin);
    }
    return load;
}

std::string usual_volts(const std::string& supply) {
    if (supply == "single-phase") return {};
    return supply == "three-phase" ? "230 V" : "120 V";
}

std::string usual_basis(const std::string& volts) {
    const auto read = io::parse_scalar({}, io::Kind::volts, with_unit(volts, "V"));
    const auto* scalar = std::get_if<io::Scalar>(&read);
    return scalar != nullptr && std::get<Volts>(*scalar) > Volts(140) ? "iec" : "nec";
}

std::string guess_text(const Answers& answers) {
    const auto load = stated_load(answers.at("load"));
    if (!load) return {};
    return fmt::format(
        "A guess, not a measurement: the house usually draws {} per leg, half of {}. "
        "Correct 'constant' under 'loads', or import meter data.\n",
        load->usual, load->amps);
}

std::string site_text(const Answers& answers, const std::string& tariff, const std::string& history) {
    const auto said = [&](std::string_view flag) { return plain(answers.find(flag)->second); };
    const auto with = [&](std::string_view flag, std::string_view unit) {
        return plain(with_unit(answers.find(flag)->second, unit));
    };
    return "# Written by `lullwatt setup`. `lullwatt setup --reference` explains every key there is.\n"
           "format: 1\n\n" +
           fmt::format("site:\n  name: {}\n  zone: {}\n  currency: {}\n  clock: {}\n\n",
                       in_quotes(answers.at("name")), said("zone"), said("currency"), said("clock")) +
           fmt::format("service:\n  supply: {}\n  leg_to_neutral: {}\n  rating: {}\n  continuous: {}\n\n",
                       said("supply"), with("volts", "V"), with("service", "A"), said("basis")) +
           fmt::format("circuits:\n  - {{name: car circuit, fed_from: service, rating: {}}}\n\n",
                       with("breaker", "A")) +
           fmt::format("points:\n  - {{name: wall, circuit: car circuit, hard_setting: {}, control: {}}}\n\n",
                       with("setting", "A"), said("control")) +
           fmt::format("cars:\n  - {{name: car, point: wall, battery: {}, most: {}}}\n\n",
                       with("battery", "kWh"), with("most", "A")) +
           loads_text(answers.at("load"), history) + fmt::format("\ntariff: {}\n", in_quotes(tariff));
}

std::optional<std::string> tariff_text(const Answers& answers) {
    std::istringstream stream(answers.at("tariff"));
    std::vector<std::string> words;
    for (std::string word; stream >> word;) words.push_back(word);
    std::string windows;
    if (words.size() == 1 && is_price(words[0])) {
        windows = fmt::format("      - {{name: all day, per_kwh: {}}}\n", words[0]);
    } else if (words.size() == 3 && is_price(words[0]) && is_price(words[2])) {
        const auto dash = words[1].find('-');
        windows = fmt::format(
            "      - {{name: low, from: {}, to: {}, per_kwh: {}}}\n      - {{name: high, per_kwh: {}}}\n",
            in_quotes(words[1].substr(0, dash)),
            in_quotes(dash == std::string::npos ? "" : words[1].substr(dash + 1)), words[0], words[2]);
    } else {
        return std::nullopt;
    }
    return fmt::format(
        "# Written by `lullwatt setup`, without taxes. docs/tariff-format.md says what else can be written.\n"
        "format: 1\nname: {}\ncurrency: {}\nrevisions:\n  - from: 2020-01-01\n    windows:\n{}",
        in_quotes(answers.at("name")), plain(answers.at("currency")), windows);
}

}  // namespace lullwatt::tools
