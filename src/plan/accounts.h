/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Prices of what a plan buys and sells, besides those of energy, which are with its heaters, mats and lamps.
 *
 * Every price is optional: what has none counts as free, and wg_plan_has_unpriced() names it. A plan with at least one
 * of them keeps accounts: its replicates have a balance (colony/money.h).
 */
#ifndef WG_PLAN_ACCOUNTS_H
#define WG_PLAN_ACCOUNTS_H

#include <stdbool.h>

/** An amount in the plan's currency; zero-initialised: not given. */
struct wg_price {
    bool given;
    double amount;
};

/** What the keeper is paid, or saves because it replaces something that is bought. */
struct wg_sales {
    struct wg_price larvae_kg;  /* per kg of fresh larvae and prepupae taken out */
    struct wg_price residue_kg; /* per kg of residue cleared, as moist as the substrate */
};

/** Insulation bought: a price per m2 and R (h ft2 degF/Btu), shared evenly over the years that it lasts. */
struct wg_insulation_price {
    struct wg_price per_m2_r;
    double lasts_years;
};

#define WG_INSULATION_YEARS 10.0 /* that foam lasts, if the plan does not say: judgement */
/* R in m2 K/W: 3600 s x 0.3048^2 m2 x 5/9 K over a Btu of 1055.05585262 J (NIST SP 811, as in text/units.c). */
#define WG_M2K_W_PER_R (3600.0 * 9290304 * 5 / 949550267358.0)

struct wg_plan;

/** Kinds of income and cost. */
enum wg_account {
    WG_ACCOUNT_LARVAE,
    WG_ACCOUNT_RESIDUE,
    WG_ACCOUNT_TIPPING,
    WG_ACCOUNT_ENERGY,
    WG_ACCOUNT_FEED,
    WG_ACCOUNT_STARTERS,
    WG_ACCOUNT_INSULATION,
    WG_N_ACCOUNTS
};
/** True if the plan has a price that belongs to the account. */
bool wg_plan_has_account(const struct wg_plan *plan, enum wg_account account);
/** True if the plan has any price besides those of energy. */
bool wg_plan_keeps_accounts(const struct wg_plan *plan);
/**
 * True if the plan uses or gives away something of the account without a price: feed, starters, energy and insulation
 * that the plan names then count as free, larvae taken out and residue cleared as worth nothing.
 */
bool wg_plan_has_unpriced(const struct wg_plan *plan, enum wg_account account);
/** Cost of the insulation of all houses and bins for a year. */
double wg_plan_insulation_a_year(const struct wg_plan *plan);

#endif
