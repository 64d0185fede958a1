#!/usr/bin/env bash
# tools/test-summary.awk counts what ctest's report says, and never calls a failed run passed.
#   summary_test.sh SOURCE
set -euo pipefail
. "$(dirname "$0")/support.sh"

case_of() { printf '<testcase name="%s" classname="%s" time="1" status="%s">\n%s\n</testcase>\n' "$1" "$1" "$2" "$3"; }
output() { printf '\t\t<system-out>%s\n</system-out>' "$1"; }
sum() { awk -v status="$1" -f "$2/tools/test-summary.awk" "$tree/report"; }

put report "$(case_of 'a &lt; b' run "$(output 'skipped: not this one')"; case_of c run '')"
expect "all passed" 0 "2 passed, 0 failed, 0 skipped" sum 0 "$1"

put report "$(case_of a run ''; case_of 'unit: b &amp; c' notrun \
  "<skipped message=\"SKIP_RETURN_CODE=77\"/>$(output 'skipped: LULLWATT_SAMPLES is unset')"; case_of d disabled '')"
expect "skipped ones are counted" 0 "1 passed, 0 failed, 2 skipped" sum 0 "$1"
expect "and named with their reason" 0 "skipped: unit: b & c (LULLWATT_SAMPLES is unset)" sum 0 "$1"

put report "$(case_of a run ''; case_of b fail '<failure message=""/>')"
expect "a failure fails" 1 "1 passed, 1 failed, 0 skipped" sum 8 "$1"

put report "$(case_of a notrun '<skipped message="Unable to find executable"/>')"
expect "a test that could not be started failed" 1 "0 passed, 1 failed, 0 skipped" sum 8 "$1"

put report "$(case_of a run '')"
expect "a failure of ctest alone fails" 1 "1 passed, 1 failed, 0 skipped" sum 8 "$1"
exit $((failures > 0))
