/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Income and costs of a replicate.
 *
 * The colony adds them up in the outcomes of WG_MONEY_TABLE while it runs; what has no price adds nothing. They are
 * there for every plan, but files and JSON have them only for a plan that keeps accounts (plan/accounts.h).
 */
#ifndef WG_COLONY_MONEY_H
#define WG_COLONY_MONEY_H

#include "colony/diary.h"

/** Over the period, in the plan's currency. */
struct wg_money {
    double part[WG_N_ACCOUNTS]; /* >= 0: incomes and costs by enum wg_account */
    double income, cost, balance;
};
/** Reads the money of a replicate from its finished diary. */
void wg_money_of(const struct wg_diary *diary, struct wg_money *money);
/** True for the accounts that are income. */
bool wg_account_is_income(enum wg_account account);
/** Returns the outcome that holds an account. */
enum wg_outcome_number wg_account_outcome(enum wg_account account);

/* ---- for the colony ---- */

/** Adds the price of a starter of so many animals and so many kg. */
void wg_money_pay_starter(struct wg_diary *diary, const struct wg_action *action, double count, double kg);
/** Adds the price of, or the fee for, so many kg of fresh feed. */
void wg_money_pay_feed(struct wg_diary *diary, const struct wg_action *action, double wet_kg);
/** Adds what residue cleared from a bin earns: so many kg dry, sold as moist as the bin's substrate. */
void wg_money_sell_residue(struct wg_diary *diary, const struct wg_plan *plan, int bin, double dry_kg);
/** Adds the larvae taken out and the insulation, and strikes the balance; after wg_diary_finish(). */
void wg_money_finish(struct wg_diary *diary, const struct wg_plan *plan);

#endif
