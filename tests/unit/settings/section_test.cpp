#include "io/settings/section.hpp"

#include <array>

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::io;

namespace {

constexpr std::array kPointOptions = {
    Option{.key = "name", .kind = Kind::text, .required = true, .consequence = ""},
    Option{.key = "setting",
           .kind = Kind::whole_amps,
           .required = true,
           .least = 6,
           .greatest = 80,
           .consequence = ""},
    Option{.key = "standing",
           .kind = Kind::choice,
           .fallback = "auto",
           .choices = "auto | none",
           .consequence = ""},
};
constexpr Table kPoint{"point", kPointOptions};
constexpr std::array kFileOptions = {
    Option{.key = "margin",
           .kind = Kind::percent,
           .fallback = "80 %",
           .least = 1,
           .greatest = 100,
           .consequence = ""},
    Option{.key = "legs",
           .kind = Kind::list,
           .choices = "L1 | L2 | L3",
           .element = Kind::choice,
           .consequence = ""},
    Option{.key = "points", .kind = Kind::sections, .required = true, .table = &kPoint, .consequence = ""},
};
constexpr Table kFile{"site file", kFileOptions};

std::vector<std::string> messages(const std::string& yaml) {
    std::vector<std::string> texts;
    for (const Fault& fault : read_text(yaml, "s.yaml", kFile).faults) texts.push_back(text(fault));
    return texts;
}

}  // namespace

TEST_CASE("a good file becomes typed values, defaults included") {
    const auto read =
        read_text("legs: [L1, L2]\npoints:\n  - name: left\n    setting: 20 A\n", "s.yaml", kFile);
    REQUIRE(read.faults.empty());
    CHECK(read.section.get<Percent>("margin").percent == 80);
    CHECK_FALSE(read.section.stated("margin"));
    CHECK(read.section.list("legs").size() == 2);
    const auto& point = read.section.sections("points").at(0);
    CHECK(point.get<WholeAmps>("setting") == WholeAmps(20));
    CHECK(point.place("setting").line == 4);
}

TEST_CASE("every fault of a file is told at once, with its place and its mend") {
    CHECK(
        messages(
            "margin: 80\nlegs: [L1, L4]\npoints:\n  - name: left\n    seting: 20 A\n    standing: atuo\n") ==
        std::vector<std::string>{
            "s.yaml:1:9: margin '80': has no unit. Allowed: 1 % to 100 %, a percentage such as '80 %'. Mend: "
            "write "
            "the unit behind the number (%).",
            "s.yaml:2:12: legs[1] 'L4': is not one of the choices. Allowed: L1 | L2 | L3.",
            "s.yaml:4:5: points[0].setting: is missing. Allowed: 6 A to 80 A, whole amperes such as '25 A'. "
            "Mend: "
            "add it.",
            "s.yaml:5:5: points[0].seting: is not a key of a point. Allowed: name, setting, standing. Mend: "
            "did you "
            "mean 'setting'?",
            "s.yaml:6:15: points[0].standing 'atuo': is not one of the choices. Allowed: auto | none. Mend: "
            "did you "
            "mean 'auto'?",
        });
}

TEST_CASE("a broken file is one message, not a crash") {
    CHECK(messages("points: [").size() == 1);
    CHECK(messages("").at(0) == "s.yaml: is empty. Allowed: the keys of a site file.");
    CHECK(messages("- a\n").at(0) == "s.yaml:1:1: '[…]': is not a site file. Allowed: a mapping of keys.");
    CHECK(messages("points:\n  - name: a\n    setting: 12 W\n").at(0).find("has the unit 'W'") !=
          std::string::npos);
    CHECK(messages("points:\n  - name: a\n    setting: 12.5 A\n").at(0).find("whole number of amperes") !=
          std::string::npos);
    CHECK(messages("points:\n  - {name: a, setting: 100 A}\n").at(0).find("is out of range") !=
          std::string::npos);
    CHECK(messages("points:\n  - {name: a, name: b, setting: 10 A}\n").at(0).find("a second time") !=
          std::string::npos);
}

TEST_CASE("a number written as elsewhere is told how it is written here") {
    const std::string allowed = " Allowed: 1 % to 100 %, a percentage such as '80 %'. Mend: ";
    const auto margin = [](const std::string& text) {
        return messages("margin: " + text + "\npoints: []\n").at(0);
    };
    CHECK(margin("80,5 %") == "s.yaml:1:9: margin '80,5 %': has a comma in its number." + allowed +
                                  "write a decimal point: '80.5 %'.");
    CHECK(margin("1,080.5 %") == "s.yaml:1:9: margin '1,080.5 %': has a comma in its number." + allowed +
                                     "write digits and at most one decimal point.");
    CHECK(margin("8e1 %") == "s.yaml:1:9: margin '8e1 %': has an exponent." + allowed +
                                 "write the number out in digits, with a decimal point.");
}

TEST_CASE("a name that a terminal would obey is refused, and so is a file that is no text") {
    CHECK(
        messages("points: [{name: \"le\\e[31mft\", setting: 20 A}]\n").at(0) ==
        "s.yaml:1:17: points[0].name 'le\\x1B[31mft': holds a character that cannot be shown. Allowed: text. "
        "Mend: write it with letters and signs.");
    const std::string binary =
        "s.yaml:1: is no text: it holds the character \\x00. Mend: name a text file in UTF-8.";
    CHECK(messages(std::string("\0\0", 2)) == std::vector{binary});
    CHECK(messages(std::string("margin: 80 %\0", 13)) == std::vector{binary});
}
