/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words the balance of a plan that keeps accounts: odds of ending above zero, income and costs by kind, and what has no
 * price.
 */
#ifndef WG_REPORT_MONEY_TEXT_H
#define WG_REPORT_MONEY_TEXT_H

#include "analysis/balance.h"
#include "colony/money.h"
#include "report/json.h"
#include "text/show.h"

#define WG_MONEY_TEXT 400

/** "Ends above zero in 64 of 100 years (between 51 and 76), with a balance of $120 on average, 95 % interval ..." */
void wg_money_headline(const struct wg_balance *balance, const struct wg_plan *plan, char out[WG_MONEY_TEXT]);
/** "Without a price: feed and starters count as free." Returns false, and sets "", if everything has one. */
bool wg_money_unpriced(const struct wg_plan *plan, char out[WG_MONEY_TEXT]);
/** Writes the object "money". */
void wg_money_put_json(struct wg_json *json, const struct wg_balance *balance, const struct wg_plan *plan);

#endif
