/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Normal scores: ranks in a sample as deviates of the normal distribution. They take the place of values, so that skewed
 * quantities with many zeros, and yes and no, enter linear methods without one value that decides all.
 */
#ifndef WG_INFERENCE_SCORES_H
#define WG_INFERENCE_SCORES_H

#include <stdint.h>

/** Returns the score of a value among n ascending ones: Phi^-1 of the share below it, ties counted half; beyond the sample, that of its ends. */
double wg_score_of(const double *ascending, int64_t n, double value);
/** Returns the value of an ascending sample that has a score: within the sample, linear between its values. */
double wg_value_of_score(const double *ascending, int64_t n, double score);
/** Fills `ascending` with the n values, sorted, and replaces each value by its score. */
void wg_scores(double *values, int64_t n, double *ascending);

#endif
