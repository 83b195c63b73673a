#!/bin/sh
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Every allocation and every file operation of every command fails once, and every allocation of the library, not only some
# as in the ordinary tests (tests/faults): on a bench of three days, since more days and replicates only repeat the same allocations.
set -eu
BUILD=$(dirname "$WINTERGRUB")
export BUILD FAULTS_EVERY=1
if /usr/bin/python3 -B "$SRC/tests/faults/test_commands.py" && "$BUILD/tests/faults/test_library_faults"; then verdict=holds status=0; else verdict='does not hold' status=1; fi
printf '{"check": "every allocation and every call on files of every command fails once", '
printf '"published": "exit status 3, 4 or 5, the old file whole, nothing unfinished left", "simulated": "see above", '
printf '"source": "the exit statuses of the manual", "verdict": "%s", "why": ""}\n' "$verdict"
exit $status
