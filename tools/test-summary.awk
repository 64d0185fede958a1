# Sums up the JUnit report that ctest writes: names what was skipped with its reason and what failed, then counts.
#   awk -v status=CTEST_EXIT -f tools/test-summary.awk REPORT
# Exits 1 when anything failed or ctest itself did, also where ctest shows no failed test.

function plain(text) {
    gsub(/&lt;/, "<", text); gsub(/&gt;/, ">", text); gsub(/&quot;/, "\"", text); gsub(/&apos;/, "'", text)
    gsub(/&amp;/, "\\&", text)
    return text
}

/<testcase / {
    name = $0; sub(/.*<testcase name="/, "", name); sub(/" classname=.*/, "", name)
    outcome = $0; sub(/.* status="/, "", outcome); sub(/".*/, "", outcome)
    reason = ""
}

# A test that said so itself, or is switched off, is skipped; one that ctest could not start has failed.
/<skipped message="SKIP_/ { outcome = "skipped" }

/skipped: / && reason == "" { reason = $0; sub(/.*skipped: /, "", reason) }

/<\/testcase>/ {
    if (outcome == "run") ++passed
    else if (outcome == "skipped" || outcome == "disabled") {
        ++skipped
        print "skipped: " plain(name) (reason == "" ? "" : " (" plain(reason) ")")
    } else {
        ++failed
        print "failed: " plain(name)
    }
}

END {
    if (status != 0 && !failed) { failed = 1; print "failed: ctest itself ended with " status }
    printf "%d passed, %d failed, %d skipped\n", passed, failed, skipped
    exit failed > 0
}
