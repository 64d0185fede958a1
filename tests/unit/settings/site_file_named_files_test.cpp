// The files a site file names, told where it names them.
#include <string>
#include <vector>

#include "io/settings/site_file.hpp"
#include "support/catch.hpp"
#include "support/shell.hpp"
#include "unit/settings/site_file_cases.hpp"

using namespace lullwatt::io;
using namespace lullwatt::tests;

TEST_CASE("a file that is named and not there is told at the key that names it, with the other faults") {
    const Folder folder;
    std::string yaml = kGood;
    const auto edit = [&](const std::string& from, const std::string& to) {
        const auto at = yaml.find(from);
        REQUIRE(at != std::string::npos);
        yaml.replace(at, from.size(), to);
    };
    edit("constant: 6 A", "history: house.csv");
    edit("rating: 50 A", "rating: 50");
    const std::string site = folder.file("site.yaml");
    const auto told = [&] {
        std::ofstream(site) << yaml;
        const auto read = read_site_file(site);
        std::vector<std::string> texts;
        if (read.ok()) return texts;
        for (const Fault& fault : read.faults()) texts.push_back(text(fault));
        return texts;
    };
    const std::string rest =
        "Allowed: a file, by its path from the folder of this one. Mend: check the name and the folder.";

    SECTION("both missing") {
        CHECK(told() ==
              std::vector<std::string>{
                  site +
                      ":5:47: circuits[0].rating '50': has no unit. Allowed: 6 A to 400 A, amperes such as "
                      "'12.5 A'. Mend: write the unit behind the number (A).",
                  site + ":11:30: loads[0].history 'house.csv': names no file: there is no " +
                      folder.file("house.csv") + ". " + rest,
                  site + ":12:9: tariff 'tariff.yaml': names no file: there is no " +
                      folder.file("tariff.yaml") + ". " + rest});
    }
    SECTION("a folder in the tariff's place") {
        edit("rating: 50", "rating: 50 A");
        edit("history: house.csv", "constant: 6 A");
        std::filesystem::create_directory(folder.file("tariff.yaml"));
        CHECK(told() == std::vector<std::string>{site +
                                                 ":12:9: tariff 'tariff.yaml': names a folder or a "
                                                 "device. " +
                                                 rest});
    }
    SECTION("both there") {
        edit("rating: 50", "rating: 50 A");
        for (const char* name : {"house.csv", "tariff.yaml"}) std::ofstream(folder.file(name)) << "anything";
        CHECK(told().empty());
    }
}
