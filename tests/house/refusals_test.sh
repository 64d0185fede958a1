#!/usr/bin/env bash
# The checks of headers, of docs/checks.md and of leftovers can fail: each is shown a tree with one thing wrong.
#   refusals_test.sh SOURCE
set -euo pipefail
. "$(dirname "$0")/support.sh"
here=$1/tests/house

headers=(bash "$here/headers.sh" "$tree")
good=$'// What a car takes.\n//\n// Values only.\n#pragma once'
header() { empty; put lib/core/a.hpp "$2"; expect "$1" "$3" "$4" "${headers[@]}"; }
header "a header with its sentence passes" "$good" 0 ""
header "no comment at all" $'#pragma once\n' 1 "lib/core/a.hpp: does not open with a comment"
header "a comment that is no sentence" $'// helper stuff\n#pragma once' 1 "does not open with a sentence: helper stuff"
header "a sentence without its end" $'// What a car takes\n#pragma once' 1 "does not open with a sentence"
header "no guard" $'// What a car takes.\nint a;' 1 "has no #pragma once"

checks=(bash "$here/checks.sh" "$tree")
tag() { echo "TEST_CASE(\"x\", \"[check"":$1]\") {}"; }
row() { echo "| \`$1\` | $2 | $3 | $4 | \`$5\` |"; }
table() { empty; put tests/unit/a_test.cpp "$(tag easter)"; put docs/checks.md "$2"; expect "$1" "$3" "$4" "${checks[@]}"; }
fair=$(row easter 'Easter of 2026' 'a book, p. 3, 1900' published unit/a_test.cpp)
table "a row for each tag passes" "$fair" 0 ""
table "a tag without a row" "" 1 "no row for the tag [check"":easter]"
table "a row without a tag" "$fair"$'\n'"$(row other x y inferred unit/a_test.cpp)" 1 "no test carries [check"":other]"
table "two rows of one name" "$fair"$'\n'"$fair" 1 "'easter' has two rows"
table "a row that says nothing" "$(row easter '' y published unit/a_test.cpp)" 1 "does not say what it checks"
table "a row without a source" "$(row easter x '' published unit/a_test.cpp)" 1 "'easter' has no source"
table "a row without a mark" "$(row easter x y '' unit/a_test.cpp)" 1 "'easter' has the mark ''"
table "a mark of one's own" "$(row easter x y trusted unit/a_test.cpp)" 1 "'easter' has the mark 'trusted'"
table "another test named" "$(row easter x y published unit/b_test.cpp)" 1 "'easter' is not in tests/unit/b_test.cpp"
table "a column too many" "$fair more |" 1 "more columns than"

leftovers=(bash "$here/leftovers.sh" "$tree")
leftover() { empty; put "$2" "$3"; expect "$1" "$4" "$5" "${leftovers[@]}"; }
leftover "plain prose passes" README.md "See README.md." 0 ""
leftover "a machine path" README.md "see /ro""ot/notes" 1 "README.md:1:"
leftover "unfinished work" lib/core/a.cpp "// TO""DO: later" 1 "left for later"
leftover "a folder outside the layout" misc/a.txt "x" 1 "outside the layout"
leftover "a document that is not here" lib/core/a.cpp "// see other"".md" 1 "a document that is not here"
leftover "400 lines pass" lib/core/a.cpp "$(seq 400)" 0 ""
leftover "401 lines" lib/core/a.cpp "$(seq 401)" 1 "lib/core/a.cpp: 401"
exit $((failures > 0))
