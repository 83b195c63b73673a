#!/bin/sh
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Checks the closing line of scripts/test against logs of ctest, for each way in which a test program can end.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
root=${SRC:-$here/../..}

# entry VERDICT OUTPUT: one test in the format of the log.
entry() {
  printf '1/1 Testing: x\nOutput:\n-----\n%s\n<end of output>\nTest time = 0 sec\n-----\n%s\n"x" end time: now\n\n' "$2" "$1"
}
count() { awk -v status=0 -v seconds=1 -f "$root/scripts/count_tests.awk"; }
# expects STATUS LINE: the result for the log on standard input.
expects() {
  found=0
  said=$(count) || found=$?
  [ "$said, exit $found" = "tests: $2, 1 s), exit $1" ] || { echo "wanted $2, exit $1; found $said, exit $found"; exit 1; }
}

ok='[====] Synthesis: Tested: 3 | Passing: 3 | Failing: 0 | Crashing: 0 '
bad='[====] Synthesis: Tested: 5 | Passing: 2 | Failing: 3 | Crashing: 1 '
leak='Test Fail Reason:
Error regular expression found in output. Regex=[LeakSanitizer]'

entry 'Test Passed.' "$ok" | expects 0 '3 run, 3 passed, 0 failed (1 programs'
{ entry 'Test Passed.' "$ok"; entry 'Test Passed.' 'a script'; } | expects 0 '4 run, 4 passed, 0 failed (2 programs'
entry 'Test Failed.' "$bad" | expects 1 '5 run, 2 passed, 3 failed (1 programs'
entry "$leak" "$ok" | expects 1 '4 run, 3 passed, 1 failed (1 programs'
entry 'Test Failed.' 'crashed before its closing line' | expects 1 '1 run, 0 passed, 1 failed (1 programs'
entry 'Test Failed.' 'Test Passed.' | expects 1 '1 run, 0 passed, 1 failed (1 programs'
{ echo 'Unable to find executable: /x'; entry 'Test Passed.' ''; } | expects 1 '1 run, 0 passed, 1 failed (1 programs'
{ echo 'Unable to find executable: /x'; entry 'Test Passed.' ''; entry 'Test Passed.' "$ok"; } |
  expects 1 '4 run, 3 passed, 1 failed (2 programs'
# A Python script with skipped tests has neither passed nor failed, and is listed.
skip='Test Pass Reason:
Skip regular expression found in output. Regex=[skipped]'
{ entry "$skip" 'OK (skipped=6)'; entry 'Test Passed.' 'OK'; } |
  expects 0 '2 run, 1 passed, 0 failed, 1 skipped: x (6 of its tests) (2 programs'
entry 'Test Failed.' 'FAILED (errors=1, skipped=6)' | expects 1 '1 run, 0 passed, 1 failed (1 programs'
: | expects 1 '0 run, 0 passed, 0 failed (0 programs'
# A failure reported by ctest counts, whatever the log contains.
if entry 'Test Passed.' "$ok" | awk -v status=8 -v seconds=1 -f "$root/scripts/count_tests.awk" >/dev/null; then
  echo 'the exit status of ctest was lost'
  exit 1
fi
