/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words the verdict of a comparison: which setup lives, what it yields for the money, what each kg more costs, whom each
 * suits. The screen, JSON, the page and the figure share these sentences.
 */
#ifndef WG_TEXT_VERDICT_SENTENCES_H
#define WG_TEXT_VERDICT_SENTENCES_H

#include "analysis/choice.h"
#include "text/bytes.h"
#include "text/show.h"

/** What the sentences need besides the numbers. */
struct wg_verdict_facts {
    const struct wg_choice *choice;
    const char *name[WG_COMPARE_MAX]; /* whole titles of the setups; borrowed */
    int n_days;                       /* of the period */
    const char *currency;             /* of the plans, "" if none names one; borrowed */
};

/** Adds the verdict, two to five sentences, to a text. */
void wg_verdict_words(const struct wg_verdict_facts *facts, struct wg_bytes *out);
/** Writes whom each setup suits, the last sentence without its full stop, for the title of a figure. */
void wg_verdict_title(const struct wg_verdict_facts *facts, struct wg_bytes *out);

/** Returns the length of the beginning that all n names share, up to a comma or colon: "Crow Lane, ". */
size_t wg_names_shared(int n, const char *const *name);
/** Formats the price of a kg with two figures: it is not known better. */
void wg_show_price_of_kg(double price, const char *currency, char out[WG_SHOWN_SIZE]);
/** Formats the price of an extra kg, per kg or (`per` WG_KG_PER_LB) per lb: "25 (23 to 28)", "no extra kg", "no extra cost". */
void wg_show_extra_price(const struct wg_extra_price *price, double per, const char *currency, char out[WG_SHOWN_SIZE]);
/** The same as the price, or words in its place, and the ends of its interval, "" if there is none. */
void wg_show_extra_price_parts(const struct wg_extra_price *price, double per, const char *currency,
                               char about[WG_SHOWN_SIZE], char low[WG_SHOWN_SIZE], char high[WG_SHOWN_SIZE]);

#endif
