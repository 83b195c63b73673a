/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The answer of `cheapest` as text and as JSON.
 */
#ifndef WG_CHEAPEST_CHEAPEST_TEXT_H
#define WG_CHEAPEST_CHEAPEST_TEXT_H

#include "cheapest/plan_words.h"
#include "forecast/warnings.h"
#include "search/doubts.h"
#include "search/search.h"
#include "text/bytes.h"

#include <stdio.h>

/** Everything that the answer says. All borrowed. */
struct wg_cheapest {
    const struct wg_scenario *base; /* with the openings and the goals */
    const struct wg_search_question *question;
    const struct wg_search_answer *answer;
    const struct wg_doubts *doubts; /* behind the variants */
    int opened;                     /* enum wg_usual_part: opened by the program; 0: by the keeper */
    bool has_own_goal;              /* else survival is assumed */
    bool has_unpriced_energy;       /* a heater, mat or lamps without a price count as free */
    uint32_t as_strong;             /* goals that ask for as many animals as began */
    const double *put_in;           /* animals that began, of each judged plan */
    char (*words)[WG_PLAN_WORDS];   /* of each judged plan */
    const char *why; /* why the own plan, or without a winner the nearest, misses a goal; "": nothing to say */
    const struct wg_warnings *warnings; /* of the winner; NULL: none */
    const struct wg_plan *winner_plan;  /* NULL without a winner */
    const char *yaml;                   /* the winning plan; NULL without a winner */
    const char *yaml_path;              /* where it was written; NULL: nowhere */
};

/** Prints the answer in 79 columns. Returns 0 or WG_ERR_MEMORY. */
int wg_cheapest_print(const struct wg_cheapest *cheapest, FILE *to, struct wg_error *err);
/** Prints the same as JSON, with every plan tried. Returns 0 or WG_ERR_MEMORY. */
int wg_cheapest_print_json(const struct wg_cheapest *cheapest, FILE *to, struct wg_error *err);

/* ---- sentences that text and page share ---- */

#define WG_CHEAPEST_TEXT 1200
/** "The cheapest of 280 plans that does what you ask", or what else came out. */
void wg_cheapest_headline(const struct wg_cheapest *cheapest, char out[WG_CHEAPEST_TEXT]);
/** What was asked for, goal by goal. */
void wg_cheapest_goals(const struct wg_cheapest *cheapest, char out[WG_CHEAPEST_TEXT]);
/** "97 of 100 years (between 95 and 98)" */
void wg_cheapest_odds(const struct wg_goal_chance *chance, char out[WG_CHEAPEST_TEXT]);
/** True if the plan lasts about a year, so that its money is that of a year. */
bool wg_cheapest_is_of_a_year(const struct wg_cheapest *cheapest);
/** "$117" or "$117 a year" */
void wg_cheapest_money(const struct wg_cheapest *cheapest, const struct wg_search_judged *judged, bool is_long,
                       char out[WG_CHEAPEST_TEXT]);
/**
 * Returns the share of the fresh years that end above zero, in a plan that can earn something and has been judged; else NaN.
 */
double wg_cheapest_above_zero(const struct wg_cheapest *cheapest, const struct wg_search_judged *judged);
/** What a plan does: its odds, harvest, and what is left at the end. */
void wg_cheapest_deeds(const struct wg_cheapest *cheapest, const struct wg_search_judged *judged,
                       char out[WG_CHEAPEST_TEXT]);
/** Whether a plan holds where doubtful numbers are at the ends of their ranges; "" if that was not tried. */
void wg_cheapest_doubt(const struct wg_cheapest *cheapest, const struct wg_search_judged *judged,
                       char out[WG_CHEAPEST_TEXT]);
/** Remark number i on the search, from 0: ends, valleys, what is free, what was opened. Returns false past the last. */
bool wg_cheapest_remark(const struct wg_cheapest *cheapest, int i, char out[WG_CHEAPEST_TEXT]);

#endif
