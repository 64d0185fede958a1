#!/usr/bin/env bash
# Every header of ours opens with one sentence of purpose, then `#pragma once`.
#   headers.sh TREE
set -euo pipefail
cd "$1"
status=0
while IFS= read -r header; do
  # The first comment block up to the first blank comment line or #pragma must begin as a sentence and end as one.
  problem=$(awk '
    /^#pragma once$/ { guarded = 1; exit }
    !/^\/\// { exit }
    /^\/\/$/ { past = 1; next }
    !past { sub(/^\/\/ ?/, ""); sentence = sentence (sentence == "" ? "" : " ") $0 }
    END {
      if (sentence == "") print "does not open with a comment"
      else if (sentence !~ /^[A-Z`"0-9]/ || sentence !~ /[.]( |$)/) print "does not open with a sentence: " sentence
      else if (!guarded) print "has no #pragma once after its opening comment"
    }' "$header")
  [ -z "$problem" ] || { echo "$header: $problem"; status=1; }
done < <(find lib tools daemon -name '*.hpp' 2>/dev/null | sort)
exit $status
