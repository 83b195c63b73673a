#!/bin/sh
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The engine against the same model in plain C and in numpy (tests/reference), with five times the replicates of the ordinary
# tests, which halves the distance between two distributions that is noticed.
set -eu
CRITERION_JOBS=1 AGREEMENT_TIMES=5
export CRITERION_JOBS AGREEMENT_TIMES
verdict=holds
for engine in plain numpy; do
  "$BUILD/tests/reference/test_${engine}_engine" || verdict='does not hold'
done
printf '{"check": "the engine and two others of the same model have the same distributions", "published": "each quantity, '
printf 'chance above 1e-5", "simulated": "see above", "source": "Kolmogorov-Smirnov, false alarm 1e-5 each", '
printf '"verdict": "%s", "why": ""}\n' "$verdict"
[ "$verdict" = holds ]
