#!/usr/bin/env bash
# Holds the planner's instruction counts to those that were written down, within 3 %.
#   check_counts.sh PROGRAM COUNTS COMPILER [--print]
#
# PROGRAM takes the name of a case. COUNTS has a line per case: COMPILER CASE INSTRUCTIONS. COMPILER names compiler,
# machine and build, as in 'GNU-12-x86_64-Release': another makes other instructions of the same code, and is skipped
# where no line names it. --print tells the counts instead, as lines for COUNTS.
set -euo pipefail
program=$1 counts=$2 compiler=$3 print=${4:-}
if ! command -v valgrind >/dev/null; then
  echo "skipped: valgrind is not installed (Debian's package valgrind)"; exit 4
fi
if [ -z "$print" ] && ! grep -q "^$compiler " "$counts"; then
  echo "skipped: no counts were written down for $compiler"; exit 4
fi

# Instructions inside the planner's two entry points and all they call; none of the program's own start.
count() {
  valgrind --tool=callgrind --callgrind-out-file=/dev/null --collect-atstart=no \
    --toggle-collect='lullwatt::plan::solve(*' --toggle-collect='lullwatt::plan::solve_every_plug_in(*' \
    "$program" "$1" 2>&1 >/dev/null | awk '/Collected :/ { print $NF }'
}

if [ -n "$print" ]; then
  for name in time-of-use noise hourly blocked every-plug-in tapering sleeping; do
    echo "$compiler $name $(count "$name")"
  done
  exit 0
fi
failed=0
while read -r _ name wanted; do
  found=$(count "$name")
  if awk -v f="$found" -v w="$wanted" 'BEGIN { d = f - w; if (d < 0) d = -d; exit !(f > 0 && d <= 0.03 * w) }'; then
    echo "ok: $name: $found instructions, $wanted written down"
  else
    echo "FAILED: $name: $found instructions, $wanted written down, 3 % allowed"; failed=1
  fi
done < <(grep "^$compiler " "$counts")
exit $failed
