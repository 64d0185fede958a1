#include "io/fault/printable.hpp"

#include "io/fault/fault.hpp"
#include "support/catch.hpp"

using lullwatt::io::Fault;
using lullwatt::io::printable;

TEST_CASE("letters of every language are shown as they are") {
    for (const char* text : {"", "plain 'text'", "Norra Ängen", "家", "🚗", "back\\slash"}) {
        CHECK(printable(text, 100) == text);
    }
}

TEST_CASE("what a terminal would obey, or UTF-8 does not know, is escaped") {
    CHECK(printable("\x1B[31mred\x7F", 100) == "\\x1B[31mred\\x7F");
    CHECK(printable({"a\0b", 3}, 100) == "a\\x00b");
    CHECK(printable("one\ntwo\tthree\r", 100) == "one\\ntwo\\tthree\\x0D");
    CHECK(printable("\xC2\x9B"
                    "31m",
                    100) == "\\xC2\\x9B31m");  // the control of one character
    CHECK(printable("\xE2\x80\xAE"
                    "x",
                    100) == "\\xE2\\x80\\xAEx");         // turns the direction of writing
    CHECK(printable("Z\xE4hler", 100) == "Z\\xE4hler");  // ISO 8859-1
    CHECK(printable("\xC0\xAF", 100) == "\\xC0\\xAF");   // too long a form
    CHECK(printable("\xE0\x80\xAF", 100) == "\\xE0\\x80\\xAF");
    CHECK(printable("\xED\xA0\x80", 100) == "\\xED\\xA0\\x80");           // half of a pair
    CHECK(printable("\xF5\x80\x80\x80", 100) == "\\xF5\\x80\\x80\\x80");  // beyond the last
    CHECK(printable("cut \xE5\xAE", 100) == "cut \\xE5\\xAE");
}

TEST_CASE("what is too long to read is cut between two characters") {
    CHECK(printable("abcdef", 6) == "abcdef");
    CHECK(printable("abcdefg", 6) == "abcdef…");
    CHECK(printable("ÄÖÜ", 2) == "ÄÖ…");
}

TEST_CASE("a fault tells what it quotes in printable form") {
    const Fault fault{"a.csv", 1, 2, "k\x1B[2J", "has the unit '\xFF'", std::string(500, '9'), "", "mend it"};
    CHECK(text(fault) ==
          "a.csv:1:2: k\\x1B[2J '" + std::string(120, '9') + "…': has the unit '\\xFF'. Mend: mend it.");
}
