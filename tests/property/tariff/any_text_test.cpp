// The rule of tests/fuzz, on mutations of the tariffs of the tree: a seeded look at every change, where
// libFuzzer looks for longer.
#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>
#include <vector>

#include "fuzz/price_a_year.hpp"
#include "support/catch.hpp"

using namespace lullwatt;

namespace {

std::vector<std::string> seeds() {
    std::vector<std::filesystem::path> files;
    for (const char* folder : {"/config/tariffs", "/tests/reference/tariffs"}) {
        for (const auto& entry :
             std::filesystem::directory_iterator(std::string(LULLWATT_SOURCE_DIR) + folder)) {
            if (entry.path().extension() == ".yaml") files.push_back(entry.path());
        }
    }
    std::ranges::sort(files);
    std::vector<std::string> texts;
    for (const auto& file : files) {
        std::ostringstream text;
        text << std::ifstream(file, std::ios::binary).rdbuf();
        texts.push_back(text.str());
    }
    return texts;
}

class Mutations {
  public:
    explicit Mutations(std::vector<std::string> seeds) : seeds_(std::move(seeds)) {}

    std::string next() {
        std::string text = seeds_[below(seeds_.size())];
        const std::size_t changes = 1 + below(4);
        for (std::size_t i = 0; i < changes; ++i) change(text);
        return text;
    }

  private:
    std::size_t below(std::size_t bound) { return bound == 0 ? 0 : random_() % bound; }

    void change(std::string& text) {
        static const std::vector<std::string> words = {
            "0",     "-1",        "999999999999", "1e9",      "kWh",   "no",    "[]",     "{}",  "2026-02-29",
            "24:00", "23:59",     "-0.05",        "100 %",    "week",  "~",     "\"",     "\n",  ": ",
            "- ",    "0.0000001", "12-31",        "holidays", "night", "bill",  "window", "all", "day",
            "whole", "given",     "00:00",        "5000 kW",  "1 Wh",  "winter"};
        if (text.empty()) return;
        const std::size_t at = below(text.size());
        switch (below(5)) {
            case 0:  // a word in a value's place
                text.replace(value_begin(text, at), value_length(text, at), words[below(words.size())]);
                break;
            case 1:  // a line gone
                text.erase(line_begin(text, at), text.find('\n', at) - line_begin(text, at) + 1);
                break;
            case 2:  // a line twice
                text.insert(line_begin(text, at), line(text, at));
                break;
            case 3:  // a line of another file
                text.insert(line_begin(text, at), line(seeds_[below(seeds_.size())], at));
                break;
            default:  // a byte of any kind
                text[at] = static_cast<char>(below(256));
        }
    }

    static std::size_t line_begin(const std::string& text, std::size_t at) {
        const auto before = at == 0 ? text.npos : text.rfind('\n', at - 1);
        return before == text.npos ? 0 : before + 1;
    }
    static std::string line(const std::string& text, std::size_t at) {
        if (at >= text.size()) return "\n";
        const std::size_t begin = line_begin(text, at);
        return text.substr(begin, text.find('\n', at) - begin + 1);
    }
    static std::size_t value_begin(const std::string& text, std::size_t at) {
        const auto space = text.rfind(' ', at);
        return space == text.npos ? at : space + 1;
    }
    static std::size_t value_length(const std::string& text, std::size_t at) {
        const std::size_t begin = value_begin(text, at);
        return std::min(text.find_first_of(",}]\n", begin), text.size()) - begin;
    }

    std::vector<std::string> seeds_;
    std::mt19937_64 random_{20261125};
};

}  // namespace

TEST_CASE("any text offered as a tariff is refused, or prices a year in money that adds up") {
    Mutations mutations(seeds());
    const int count = std::getenv("LULLWATT_LONG") != nullptr ? 20'000 : 5'000;
    for (int i = 0; i < count; ++i) {
        const std::string text = mutations.next();
        const std::string broken = fuzz::broken_by(text);
        INFO("mutation " << i << "\n" << text);
        REQUIRE(broken == "");
    }
}
