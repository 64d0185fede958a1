#include "io/zone/zone_file.hpp"

#include <cstdint>
#include <fstream>
#include <iterator>

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace std::chrono_literals;
using namespace std::string_literals;

namespace {

std::string big_endian(std::uint64_t value, int bytes) {
    std::string text;
    for (int shift = 8 * (bytes - 1); shift >= 0; shift -= 8)
        text += static_cast<char>(value >> shift & 0xff);
    return text;
}

// The 64-bit part of a small file: −4 h, and −3 h between its two transitions.
struct Content {
    char version = '2';
    std::uint64_t leaps = 0;
    std::uint64_t types = 2;
    std::vector<std::uint64_t> transitions{1772949600, 1793509200};
    std::string kinds = "\1\0"s;
    std::uint64_t summer_offset = static_cast<std::uint64_t>(-10'800);
    char summer_letter = 4;
    std::string letters = "AST\0ADT\0"s;
    std::string end = "\nAST4ADT,M3.2.0,M11.1.0\n";
};

std::string header(const Content& content, bool empty) {
    std::string text = "TZif" + std::string(1, content.version) + std::string(15, '\0');
    const std::uint64_t some = empty ? 0 : 1;
    for (const std::uint64_t count :
         {std::uint64_t{0}, std::uint64_t{0}, content.leaps, std::uint64_t{content.transitions.size()},
          content.types, std::uint64_t{content.letters.size()}}) {
        text += big_endian(count * some, 4);
    }
    return text;
}

std::string bytes(const Content& content) {
    std::string text = header(content, true) + header(content, false);
    for (const std::uint64_t at : content.transitions) text += big_endian(at, 8);
    text += content.kinds;
    if (content.types > 0) text += big_endian(static_cast<std::uint64_t>(-14'400), 4) + "\0\0"s;
    if (content.types > 1) text += big_endian(content.summer_offset, 4) + "\1"s + content.summer_letter;
    text += content.letters + std::string(12 * content.leaps, '\0');
    return text + content.end;
}

std::string damage(const Content& content) { return std::get<Damage>(parse_zone_file(bytes(content))).what; }

}  // namespace

TEST_CASE("a zone file says when its list ends and what holds after") {
    SECTION("with transitions and a rule") {
        const auto file = std::get<ZoneFile>(parse_zone_file(bytes({})));
        CHECK(file.last_transition == Instant{1793509200s});
        CHECK(file.rule == "AST4ADT,M3.2.0,M11.1.0");
    }
    SECTION("without transitions") {
        Content content;
        content.transitions.clear();
        content.kinds.clear();
        CHECK(std::get<ZoneFile>(parse_zone_file(bytes(content))).last_transition == std::nullopt);
    }
    SECTION("without a rule") {
        Content content;
        content.end = "\n\n";
        CHECK(std::get<ZoneFile>(parse_zone_file(bytes(content))).rule.empty());
    }
    SECTION("a real one") {
        std::ifstream in("/usr/share/zoneinfo/America/Halifax", std::ios::binary);
        REQUIRE(in);
        const std::string text{std::istreambuf_iterator<char>(in), {}};
        CHECK(std::get<ZoneFile>(parse_zone_file(text)).rule == "AST4ADT,M3.2.0,M11.1.0");
    }
}

TEST_CASE("a zone file cut anywhere is not read") {
    const std::string whole = bytes({});
    for (std::size_t length = 0; length < whole.size(); ++length) {
        INFO("cut after " << length << " bytes");
        CHECK(std::holds_alternative<Damage>(parse_zone_file(std::string_view(whole).substr(0, length))));
    }
    CHECK(std::holds_alternative<Damage>(parse_zone_file(whole + "x")));
}

TEST_CASE("a damaged zone file is told from a good one") {
    Content content;
    SECTION("some other file") {
        CHECK(std::get<Damage>(parse_zone_file("# version 2025b")).what == "is no zone file");
    }
    SECTION("of the first version") {
        content.version = '\0';
        CHECK(damage(content) == "is a zone file of the first version, which carries no rule at its end");
    }
    SECTION("with leap seconds") {
        content.leaps = 1;
        CHECK(damage(content) == "counts leap seconds, which no civil clock here does");
    }
    SECTION("transitions out of order") {
        content.transitions = {1793509200, 1772949600};
        CHECK(damage(content) == "lists its transitions out of order");
    }
    SECTION("one transition twice") {
        content.transitions = {1772949600, 1772949600};
        CHECK(damage(content) == "lists its transitions out of order");
    }
    SECTION("a transition to a clock it does not describe") {
        content.kinds = "\1\2"s;
        CHECK(damage(content) == "describes clocks that cannot be");
    }
    SECTION("an offset of a day") {
        content.summer_offset = 86'400;
        CHECK(damage(content) == "describes clocks that cannot be");
    }
    SECTION("an abbreviation beyond the letters") {
        content.summer_letter = 8;
        CHECK(damage(content) == "describes clocks that cannot be");
    }
    SECTION("letters that never end") {
        content.letters = "AST\0ADTX"s;
        CHECK(damage(content) == "describes clocks that cannot be");
    }
    SECTION("no clock at all") {
        content.types = 0;
        CHECK(damage(content) == "describes no clock");
    }
}
