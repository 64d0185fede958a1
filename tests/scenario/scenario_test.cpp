// Every file of nights/ is one scenario. tests/CMakeLists.txt makes each a test of its own by its name.
#include "scenario/scenario.hpp"

#include <algorithm>
#include <filesystem>

#include "support/catch.hpp"

using namespace lullwatt;

namespace {

std::vector<std::filesystem::path> nights() {
    std::vector<std::filesystem::path> files;
    for (const auto& entry :
         std::filesystem::directory_iterator(std::string(LULLWATT_SOURCE_DIR) + "/tests/scenario/nights"))
        files.push_back(entry.path());
    std::ranges::sort(files);
    return files;
}

}  // namespace

TEST_CASE("a scenario keeps its time bounds and fails without the reaction it is about") {
    for (const auto& file : nights()) {
        DYNAMIC_SECTION(file.stem().string()) {
            const tests::Scenario scenario = tests::read_scenario(file.string());
            CAPTURE(scenario.about);
            std::string all;
            for (const std::string& one : tests::complaints(scenario)) all += one + "\n";
            CHECK(all == "");
            if (scenario.has_without) CHECK_FALSE(tests::complaints_without_reaction(scenario).empty());
        }
    }
}
