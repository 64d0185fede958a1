// docs/tariff-format.md is kept true: its examples are read, and no key of the format is missing from it.
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "io/tariff_file/tariff_file.hpp"
#include "io/tariff_file/tariff_table.hpp"
#include "support/catch.hpp"

using namespace lullwatt;

namespace {

std::string document() {
    std::ifstream stream(LULLWATT_SOURCE_DIR "/docs/tariff-format.md", std::ios::binary);
    std::ostringstream content;
    content << stream.rdbuf();
    REQUIRE(stream);
    return content.str();
}

std::vector<std::string> examples(const std::string& text) {
    const std::string open = "```yaml\n";
    std::vector<std::string> found;
    for (auto at = text.find(open); at != text.npos; at = text.find(open, at)) {
        at += open.size();
        found.push_back(text.substr(at, text.find("```", at) - at));
    }
    return found;
}

// "windows.per_kwh": every key with the list it stands in.
void collect(const io::Table& table, const std::string& path, std::vector<std::string>& keys) {
    for (const io::Option& option : table.options) {
        keys.push_back(path + std::string(option.key));
        if (option.table != nullptr) collect(*option.table, std::string(option.key) + ".", keys);
    }
}

}  // namespace

TEST_CASE("every example of the tariff format's page is a tariff") {
    const auto found = examples(document());
    REQUIRE(found.size() == 4);
    for (const std::string& yaml : found) {
        const auto read =
            io::read_tariff_text(yaml, "tariff-format.md", LULLWATT_SOURCE_DIR "/config/norra-angen");
        if (!read.ok()) FAIL(text(read.faults().front()));
    }
}

TEST_CASE("every key of the tariff format stands in one of its page's examples") {
    const std::string page = document();
    std::string all;
    for (const std::string& yaml : examples(page)) all += yaml;
    std::vector<std::string> keys;
    collect(io::kTariffTable, "", keys);
    CHECK(keys.size() > 40);
    for (const std::string& key : keys) {
        INFO(key);
        // Spelt out where it may be used, in an example or the text beside it.
        const std::string last = key.substr(key.rfind('.') + 1);
        const bool shown = all.find(last + ":") != all.npos;
        const bool named = all.find("also " + last) != all.npos || page.find("`" + last + ":") != page.npos;
        CHECK((shown || named));
    }
}
