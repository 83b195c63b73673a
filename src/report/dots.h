/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Natural frequencies: a share as so many of 100 years, in words and as dots that can be counted.
 *
 * People judge chances better from counts than from percentages (Gigerenzer & Hoffrage 1995, Psychol. Rev. 102:684), and
 * icons beside the counts help those who find numbers hard (Galesic, Garcia-Retamero & Gigerenzer 2009, Health Psychol.
 * 28:210; both MEMORY).
 */
#ifndef WG_REPORT_DOTS_H
#define WG_REPORT_DOTS_H

#include "text/show.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

/** So many of all; all is 100, or the number of replicates if there are fewer. */
struct wg_dots {
    int some, all;
    int side; /* of the true share: 1: more than `some`, but not `all`; -1: fewer, but not 0; 0: rounded */
};
/** Rounds a share of n replicates; only a share of exactly 0 or 1 has no dots or all. */
struct wg_dots wg_dots_of(double share, int64_t n);
/** "91 of 100", "more than 99 of 100", "fewer than 1 of 100" */
void wg_dots_words(const struct wg_dots *dots, char out[WG_SHOWN_SIZE]);
/** Prints the dots in rows of fifty with a gap after each ten, and what the two kinds mean. */
void wg_dots_print(const struct wg_dots *dots, const char *some, const char *others, FILE *to);

#endif
