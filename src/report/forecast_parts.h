/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words parts of a forecast: odds, money, the places of two keepers, moves.
 */
#ifndef WG_REPORT_FORECAST_PARTS_H
#define WG_REPORT_FORECAST_PARTS_H

#include "analysis/odds.h"
#include "colony/money.h"
#include "forecast/work.h"
#include "report/dots.h"
#include "report/forecast_facts.h"
#include "scenario/scenario.h"
#include "text/action_text.h"
#include "text/show.h"
#include "json/json.h"

/*
 * Words what luck, the animal and the winter do to survival and harvest: as text, as sentences for pages, and as JSON.
 */

#define WG_ODDS_TEXT 320

/** Prints the headline and, below it, a line for luck, the animal and the winter, each for survival and for harvest. */
void wg_odds_print(const struct wg_odds *odds, const struct wg_plan *plan, FILE *to);
/** Returns the natural frequency of survival, as the headline and its picture show it. */
struct wg_dots wg_odds_dots(const struct wg_odds *odds);
/** "in 90 of 100 years (between 87 and 93)"; of fewer than 100 "in 58 of 64 years (91 %, between ...)". */
void wg_odds_share(const struct wg_variance_split *split, const struct wg_plan *plan, char out[WG_ODDS_TEXT]);
/** The same of survival: "Alive at the end in 90 of 100 years (between 87 and 93)". */
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

/*
 * Words the balance of a plan that keeps accounts: odds of ending above zero, income and costs by kind, and what has no
 * price.
 */

#define WG_MONEY_TEXT 400

/** "Ends above zero in 64 of 100 years (between 51 and 76), with a balance of $120 on average, 95 % interval ..." */
void wg_money_headline(const struct wg_balance *balance, const struct wg_plan *plan, char out[WG_MONEY_TEXT]);
/** "Without a price: feed and starters count as free." Returns false, and sets "", if everything has one. */
bool wg_money_unpriced(const struct wg_plan *plan, char out[WG_MONEY_TEXT]);
/** Writes the object "money". */
void wg_money_put_json(struct wg_json *json, const struct wg_balance *balance, const struct wg_plan *plan);

/* ---- words the odds of survival in the places of two keepers ---- */

#define WG_RESERVE_TEXT 320

/** "Alive at home in 61 of 100 years (55 to 67), at the neighbour's in 55 (49 to 61), in at least one in 83 (78 to 87)." */
void wg_reserve_words(const struct wg_reserve *reserve, const struct wg_plan *plan, char out[WG_RESERVE_TEXT]);
/** Writes the object "keepers". */
void wg_reserve_put_json(struct wg_json *json, const struct wg_reserve *reserve);

/* ---- words what the keeper's moves carried ---- */

/** Returns true, with the condition, if the moves of an entry wait for one. */
bool wg_move_waits_for(const struct wg_work *work, int move, char out[WG_WHEN_TEXT]);
/**
 * "Moved on 10 Jan 2027: 1,200 larvae (0 to 2,300), 40 pupae (0 to 90); nothing in 3 of 64 years", of an entry of moves;
 * "Moved once, when ours died out (1 Mar 2027 to 19 Jun 2027): ..." of one that waits.
 */
void wg_move_text(const struct wg_work *work, int move, char out[WG_SENTENCE_SIZE]);

#endif
