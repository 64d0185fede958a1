#!/usr/bin/env bash
# Nothing is left in the tree that belongs elsewhere: machine paths, markers of unfinished work, documents that do
# not exist, files that are no longer one thing, folders outside the layout.
#   leftovers.sh TREE
set -euo pipefail
cd "$1"

status=0
complain() { [ -z "$2" ] || { printf '%s:\n%s\n' "$1" "$2"; status=1; }; }
matching() { grep -E "$1" || true; }
files=$(find . \( -name .git -o -name build -o -name 'build-*' -o -name node_modules \) -prune -o -type f -print |
          sed 's|^\./||' | sort)
search() { matching "$1" <<<"$files" | xargs -r -d '\n' grep -IHnE "$2" || true; }
code='^(lib|daemon|tools|tests|\.ci)/.*\.([ch]pp|py|sh|cmake|awk|js)$|^tools/[a-z-]+$|^\.ci/run$'
prose='\.(md|1|yaml|json|txt)$'

complain "a path of some machine" \
  "$(search "$code|$prose" '(^|[^a-zA-Z0-9_.$}])/(work|root|home/[a-z]+|tmp/[a-z]+)(/|\>)')"
complain "left for later" "$(search "$code" '\<(TO''DO|FIX''ME|XX''X|HA''CK)\>')"
complain "over 400 lines: is it one thing?" \
  "$(matching "$code" <<<"$files" | xargs -r -d '\n' wc -l | awk '$2 != "total" && $1 > 400 { print $2 ": " $1 }')"

# The list of docs/design.md §3.
top='CMakeLists.txt|CMakePresets.json|README.md|DEVELOPERS.md|CHANGELOG.md|LICENSE|NOTICE|daemon|lib|config|tests'
top+='|systemd|tools|docs|\..*'
complain "outside the layout" "$(sed 's|/.*||' <<<"$files" | sort -u | grep -Evx "$top" || true)"

# A document named in code or prose is one of ours.
known=$(matching '\.md$' <<<"$files" | sed 's|.*/||' | sort -u)
named=$(search "$code|$prose" '[A-Za-z0-9_-]+\.md\>' | while IFS= read -r line; do
          for name in $(cut -d: -f3- <<<"$line" | grep -oE '[A-Za-z0-9_-]+\.md\>'); do
            grep -qxF "$name" <<<"$known" || echo "$line"
          done
        done)
complain "a document that is not here" "$named"

# CMake's discovery for Catch2 2.13 cuts a name in two there, and neither half names a test: both would pass unrun.
complain "a test's name with a semicolon" "$(search "$code" 'TEST_CASE\("[^"]*;')"
exit $status
