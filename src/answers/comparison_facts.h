/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The parts of a comparison, and what its text and JSON share.
 */
#ifndef WG_ANSWERS_COMPARISON_FACTS_H
#define WG_ANSWERS_COMPARISON_FACTS_H

#include "analysis/choice.h"
#include "data/comparison_words.h"
#include "report/forecast_facts.h"
#include "text/verdict_sentences.h"

struct wg_comparison {
    int n;
    struct wg_forecast forecast[WG_COMPARE_MAX]; /* of each setup */
    const struct wg_compare *compare;
    const struct wg_choice *choice; /* among the setups */
    const struct wg_varied *varied;
    bool has_details;        /* the text has a paragraph on each setup against the first */
    const char *result_path; /* NULL: no file */
};

/** Returns what the verdict needs. */
struct wg_verdict_facts wg_comparison_verdict(const struct wg_comparison *comparison);
/** Shows how many animals of 100 are better, the same and worse: whole numbers that add up to 100. */
void wg_comparison_animals(const struct wg_animals_won *animals, int64_t of_100[3]);
/** Returns a sentence on why extra harvest has no price; NULL if it has one. */
const char *wg_comparison_no_price(enum wg_extra_status why);
/**
 * Words difference `k` (from 0) of setup `i` from the first beyond places, bins, feed and work, as a sentence. Returns
 * false if there are no more.
 */
bool wg_comparison_also(const struct wg_comparison *comparison, int i, int k, char out[WG_SENTENCE_SIZE]);

#endif
