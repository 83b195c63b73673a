/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads and shows money in the currency that a plan names.
 */
#ifndef WG_TEXT_MONEY_H
#define WG_TEXT_MONEY_H

#include "plan/plan.h"
#include "text/show.h"

/** Returns the length of a sign or code in front of an amount ("$", "EUR "), with the blanks behind it; 0 if none. */
int wg_money_prefix(const char *text);
/** Returns the currency that an amount names, "$" for "$0.15 per kWh" or "15 dollars"; NULL if it names none. */
const char *wg_money_named(const char *text);
/** True if both name one currency, as "$" and "USD" do, or if one of them is unknown here ("pesos"). */
bool wg_money_agrees(const char *a, const char *b);

/**
 * Shows an amount, or a range if the ends differ, with `digits` significant figures (wg_range_digits()): "$120",
 * "$4.30 to $5.10", "120 EUR", "4.30 to 5.10 EUR"; without a currency "120", "4.30 to 5.10".
 */
void wg_show_money(double low, double high, int digits, const char *currency, char out[WG_SHOWN_SIZE]);
/** Shows an amount as the plan gives it: "$0.15", "0.145 EUR". */
void wg_show_exact_money(double amount, const char *currency, char out[WG_SHOWN_SIZE]);

#endif
