# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

# Adds up a log of ctest: awk -v status=<exit status of ctest> -v seconds=<time taken> -f count_tests.awk LastTest.log
#
# A Criterion program counts as the number of tests that it reports, a script as one. A program that failed although
# none of its tests did (a leak, a crash before its closing line, a time-out, a skipped or a missing test) counts as
# one more failed test. A Python script that skipped some tests because the machine lacks what they need (a terminal,
# /dev/full) counts as skipped, not as passed. Exits 1 on any failure, and if no test ran.
/^Unable to find executable: / { absent = 1 } # precedes the header of its test, which then reports "Test Passed."
/^[0-9]+\/[0-9]+ Testing: / {
    tested = passing = synthesis = output_ended = passed = skips = parts = 0
    name = $3
}
/^\[====\] Synthesis: Tested: / {
    line = $0
    gsub(/[^0-9]+/, " ", line)
    split(line, n, " ")
    tested += n[1]
    passing += n[2]
    synthesis = 1
}
!output_ended && /^OK \(skipped=[0-9]+/ {
    parts = $0
    gsub(/[^0-9]+/, "", parts)
}
/^<end of output>/ { output_ended = 1 }
output_ended && /^Test Passed\./ { passed = !absent }
output_ended && /^Skip regular expression found/ { skips = !absent }
output_ended && /^".*" end time: / {
    if (!synthesis) {
        tested = 1
        passing = passed
    } else if (!passed && passing == tested) {
        tested++
    }
    if (skips) {
        skipped++
        names = names (names == "" ? ": " : ", ") name " (" parts " of its tests)"
    }
    run += tested
    failed += tested - passing - skips
    programs++
    absent = output_ended = 0
}
END {
    left_out = skipped > 0 ? ", " skipped " skipped" names : ""
    printf "tests: %d run, %d passed, %d failed%s (%d programs, %d s)\n", run, run - failed - skipped, failed, left_out, \
        programs, seconds
    exit status != 0 || failed > 0 || run == 0
}
