#include "io/file/file.hpp"
#include "support/catch.hpp"

using namespace lullwatt::io;

TEST_CASE("text with blanks, accents of any code and every line end is text") {
    for (const char* text : {"a", "time,kWh\r\n1,2\r", "\xEF\xBB\xBF<feed/>", "Z\xE4hler;1\n", "a\fb\tc\v"}) {
        CHECK_FALSE(why_no_text(text, "x").has_value());
    }
}

TEST_CASE("what is no text is told for what it is") {
    const auto said = [](std::string_view bytes) { return text(why_no_text(bytes, "x.csv").value()); };
    CHECK(said("") == "x.csv: is empty. Mend: name another file, or download it again.");
    CHECK(said("\r\n ") == "x.csv: is empty. Mend: name another file, or download it again.");
    CHECK(said("PK\x03\x04rest") ==
          "x.csv: is an archive or a spreadsheet, not text. Mend: unpack it, or save the table as CSV in "
          "UTF-8.");
    CHECK(said({"\xFF\xFEt\0", 4}) == "x.csv: is text in UTF-16. Mend: save it in UTF-8.");
    CHECK(said({"\x89PNG\r\n\x1A\n\0", 9}) ==
          "x.csv:2: is no text: it holds the character \\x1A. Mend: name a text file in UTF-8.");
    CHECK(said({"a\0", 2}) ==
          "x.csv:1: is no text: it holds the character \\x00. Mend: name a text file in UTF-8.");
}
