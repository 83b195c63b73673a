/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The search for the cheapest plan, with what its answer says: plans in words, reasons, warnings of the winner.
 */
#ifndef WG_CHEAPEST_FIND_CHEAPEST_H
#define WG_CHEAPEST_FIND_CHEAPEST_H

#include "cheapest/candidates.h"
#include "cheapest/cheapest_text.h"

#define WG_CHEAPEST_LEAST_YEARS 16 /* on which plans are judged: fewer say nothing about 9 in 10 */

/** A search. Zero-initialise it, read candidates.base and prepare the candidates. */
struct wg_cheapest_search {
    struct wg_candidates candidates;
    uint64_t fresh;    /* years that judge a plan; 0: the default */
    bool any_survivor; /* count a colony of a single animal as alive */
    int threads;
    const atomic_int *stop;
    void (*progress)(void *self, int64_t years, int64_t expected); /* may be NULL */
    void *progress_self;
    /* what the search fills, owned */
    struct wg_search_question question;
    struct wg_search_number number[WG_MAX_OPENINGS];
    struct wg_search_answer answer;
    struct wg_search_maker maker;
    struct wg_plan_lives *lives;
    uint32_t as_strong;
    char (*words)[WG_PLAN_WORDS];
    struct wg_bytes why;
    double put_in[WG_SEARCH_MAX_JUDGED]; /* animals that begin, of each judged plan */
    struct wg_scenario winner;           /* empty without one */
    struct wg_warnings warnings;
    bool has_warnings;
};

/** Searches. Returns 0, also after a stop: then the answer is the best so far; or a negative error. */
int wg_cheapest_find(struct wg_cheapest_search *search, struct wg_error *err);
void wg_cheapest_search_free(struct wg_cheapest_search *search);

/** Returns what was found; it borrows the search. `yaml_path`: where the winner was written, or NULL. */
struct wg_cheapest wg_cheapest_found(const struct wg_cheapest_search *search, const char *yaml_path);
/** Returns WG_CHEAPEST_YES if a plan meets the goals; NO if none does; UNSURE if one did in other years than those searched. */
enum wg_cheapest_verdict { WG_CHEAPEST_YES, WG_CHEAPEST_NO, WG_CHEAPEST_UNSURE };
enum wg_cheapest_verdict wg_cheapest_verdict(const struct wg_cheapest_search *search);

#endif
