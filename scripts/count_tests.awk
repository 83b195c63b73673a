# Adds up a log of ctest: awk -v status=<exit status of ctest> -v seconds=<time taken> -f count_tests.awk LastTest.log
#
# A Criterion program counts as the number of tests it says it ran, a script as one. A program that failed although
# none of its tests did (a leak, a crash before its closing line, a time-out, a skipped or a missing test) counts as
# one failed test more. Exits 1 on any failure, and when nothing ran.
/^Unable to find executable: / { absent = 1 } # stands before the header of its test, which then says "Test Passed."
/^[0-9]+\/[0-9]+ Testing: / { tested = passing = synthesis = output_ended = passed = 0 }
/^\[====\] Synthesis: Tested: / {
    line = $0
    gsub(/[^0-9]+/, " ", line)
    split(line, n, " ")
    tested += n[1]
    passing += n[2]
    synthesis = 1
}
/^<end of output>/ { output_ended = 1 }
output_ended && /^Test Passed\./ { passed = !absent }
output_ended && /^".*" end time: / {
    if (!synthesis) {
        tested = 1
        passing = passed
    } else if (!passed && passing == tested) {
        tested++
    }
    run += tested
    failed += tested - passing
    programs++
    absent = output_ended = 0
}
END {
    printf "tests: %d run, %d passed, %d failed (%d programs, %d s)\n", run, run - failed, failed, programs, seconds
    exit status != 0 || failed > 0 || run == 0
}
