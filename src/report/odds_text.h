/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words what luck, the animal and the winter do to survival and harvest: as text, as sentences for pages, and as JSON.
 */
#ifndef WG_REPORT_ODDS_TEXT_H
#define WG_REPORT_ODDS_TEXT_H

#include "analysis/odds.h"
#include "report/dots.h"
#include "report/json.h"
#include "scenario/scenario.h"
#include "text/show.h"

#define WG_ODDS_TEXT 320

/** Prints the headline and, below it, a line for luck, the animal and the winter, each for survival and for harvest. */
void wg_odds_print(const struct wg_odds *odds, const struct wg_plan *plan, FILE *to);
/** Returns the natural frequency of survival, as the headline and its picture show it. */
struct wg_dots wg_odds_dots(const struct wg_odds *odds);
/** "Alive at the end in 90 of 100 years (between 87 and 93)"; of fewer than 100 "in 58 of 64 years (91 %, between ...)". */
void wg_odds_headline(const struct wg_odds *odds, const struct wg_plan *plan, char out[WG_ODDS_TEXT]);
/**
 * The second half of the headline, so that nobody takes the interval for all the doubt: "Depending on the animal, and nobody
 * knows which yours is: in 15 to 95 of 100", or that there are too few years to tell. Empty if the animals differ no more than
 * luck, or if there is one.
 */
void wg_odds_headline_animal(const struct wg_odds *odds, const struct wg_plan *plan, char out[WG_ODDS_TEXT]);
/**
 * Words the bands of survival (of 100 years) or of harvest (kg and lb): "Luck of 512 years: 88 to 92 of 100, narrower with
 * more. What nobody knows about the animal: 61 to 100 for 9 animals in 10. From winter to winter: 67 to 100 for 9 winters in
 * 10." Empty if the replicates are independent years of one animal.
 */
void wg_odds_bands(const struct wg_odds *odds, const struct wg_plan *plan, bool of_harvest, char out[WG_ODDS_TEXT]);
/**
 * Says what the kind of dormancy does to survival, because nobody knows which kind prepupae have; empty if it does no more than
 * luck, or if the plan chooses.
 */
void wg_odds_dormancy(const struct wg_odds *odds, const struct wg_plan *plan, char out[WG_ODDS_TEXT]);
/** Says on which unsure finding the odds rest, or that they are those of one animal; empty if there is nothing to say. */
void wg_odds_rest_on(const struct wg_odds *odds, const struct wg_plan *plan, char out[WG_ODDS_TEXT]);
/**
 * Shows a band of shares: "61 to 100" and the unit (" %" or ""), "all alike" if all or none are alive, "within luck" if no more
 * than luck is seen, "-" if it is not known.
 */
void wg_odds_show_band(const struct wg_split_band *band, const char *unit, char out[WG_SHOWN_SIZE]);

/** Writes the objects "survival" and "harvest", and "survival_by_dormancy" of the plausible animals. */
void wg_odds_put_json(struct wg_json *json, const struct wg_odds *odds);
/** Writes "luck", "animals", "winters" and "variance" of a split into the open object; null what it does not know. */
void wg_split_put_json(struct wg_json *json, const struct wg_variance_split *split);

#endif
