/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Chooses equally weighted animals from weighted draws, and orders them.
 */
#ifndef WG_TESTS_CALIBRATION_CHOOSE_H
#define WG_TESTS_CALIBRATION_CHOOSE_H

/** Effective number of weighted draws, (sum w)^2 / sum w^2 (Kish 1965, Survey Sampling, MEMORY). */
double effective_weights(int n, const double *weight);
/**
 * Chooses `chosen` of n draws in proportion to their weights by systematic resampling: in the order of `score`, with one
 * uniform `u` in 0..1, so that every range of scores gets its share to within one.
 */
void choose_systematic(int n, const double *weight, const double *score, double u, int chosen, int *choice);
/**
 * Cuts the order of `score` into `slices` of equal `weight`, and adds up the `other` weight in each: what the draws that
 * a chosen item stands for weigh by other findings.
 */
void slice_other(int n, const double *weight, const double *other, const double *score, int slices, double *mass);
/**
 * Orders n = 2^k items so that any first 2^j, and any later group of as many, are spread evenly over the scores: the item
 * of rank r gets the place that is the reversal of the k bits of r (van der Corput 1935, Proc. K. Ned. Akad. Wet. 38:813,
 * MEMORY) in Gray's code, which takes neighbours in alternate directions, so that no group is always the lower one.
 */
void order_fairly(int n, const double *score, int *order);

#endif
