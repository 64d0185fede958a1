#!/usr/bin/env bash
# docs/checks.md names exactly the checks against the outside that the tests carry as [check:NAME] tags, each with a
# source, a mark and the test file that carries it.
#   checks.sh TREE
set -euo pipefail
cd "$1"

tags=$(grep -rhoE --include='*.cpp' --include='*.py' --include='*.sh' --include='*.cmake' \
         '\[check:[a-z0-9-]+\]' tests | sed 's/^.check://; s/.$//' | sort -u) || true
# Rows begin with a name in back-quotes: | `name` | what | source | mark | test |
rows=$(sed -n 's/^| *`\([a-z0-9-]*\)` *|.*/\1/p' docs/checks.md | sort)

status=0
complain() { echo "docs/checks.md: $*"; status=1; }
for name in $(uniq -d <<<"$rows"); do complain "'$name' has two rows"; done
for name in $(comm -23 <(echo "$tags") <(sort -u <<<"$rows")); do complain "no row for the tag [check:""$name]"; done
for name in $(comm -13 <(echo "$tags") <(sort -u <<<"$rows")); do complain "no test carries [check:""$name]"; done

while IFS='|' read -r _ name what source mark test rest; do
  name=$(tr -d '` ' <<<"$name")
  trim() { sed 's/^ *//; s/ *$//' <<<"$1"; }
  what=$(trim "$what") source=$(trim "$source") mark=$(trim "$mark") test=$(trim "$test" | tr -d '`')
  [ -z "$(trim "$rest")" ] || complain "'$name': more columns than check, what, source, mark, test"
  [ -n "$what" ] || complain "'$name' does not say what it checks"
  [ -n "$source" ] || complain "'$name' has no source"
  case $mark in
    published | inferred | 'computed independently' | 'from memory' | 'common practice') ;;
    *) complain "'$name' has the mark '$mark'; allowed: published, inferred, computed independently," \
                "from memory, common practice" ;;
  esac
  [ -f "tests/$test" ] && grep -qF "[check:""$name]" "tests/$test" || complain "'$name' is not in tests/$test"
done < <(grep -E '^\| *`' docs/checks.md || true)
exit $status
