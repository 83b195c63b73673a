/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words the odds of survival in the places of two keepers.
 */
#include "report/forecast_parts.h"

#include "report/forecast_facts.h"
#include "text/show.h"

struct split_words {
    char text[2 * WG_SHOWN_SIZE];
};

/* "61 (55 to 67)", of 100; `between` is put after the number: " of 100 years" */
static struct split_words word_split(const struct wg_variance_split *split, const char *between) {
    char share[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
    struct split_words words;
    wg_show_share(split->mean, share);
    wg_show_share(split->interval.low, low);
    wg_show_share(split->interval.high, high);
    (void)snprintf(words.text, sizeof words.text, "%.20s%.30s (%.20s to %.20s)", share, between, low, high);
    return words;
}

void wg_reserve_words(const struct wg_reserve *reserve, const struct wg_plan *plan, char out[WG_RESERVE_TEXT]) {
    char of[32];
    (void)snprintf(of, sizeof of, " of 100 %.16s", wg_forecast_noun(plan));
    (void)snprintf(out, WG_RESERVE_TEXT,
                   "Alive at home in %.90s, at the neighbour's in %.70s, in at least one in %.70s.",
                   word_split(&reserve->ours, of).text, word_split(&reserve->neighbours, "").text,
                   word_split(&reserve->any, "").text);
}

static void put_split(struct wg_json *json, const char *key, const struct wg_variance_split *split) {
    wg_json_object(json, key);
    wg_json_whole(json, "of", split->n);
    wg_json_real(json, "share", split->mean);
    wg_json_real(json, "low", split->interval.low);
    wg_json_real(json, "high", split->interval.high);
    wg_json_close(json);
}

void wg_reserve_put_json(struct wg_json *json, const struct wg_reserve *reserve) {
    wg_json_object(json, "keepers");
    put_split(json, "own", &reserve->ours);
    put_split(json, "neighbour", &reserve->neighbours);
    put_split(json, "at_least_one", &reserve->any);
    wg_json_close(json);
}
