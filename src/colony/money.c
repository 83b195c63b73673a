/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Adds up the income and costs of a replicate.
 */
#include "colony/money.h"

#include <math.h>

#define DAYS_A_YEAR 365.25
#define LEAST_DRY_SHARE 0.05 /* of residue: wetter than 95 % it could not be cleared (judgement) */

bool wg_account_is_income(enum wg_account account) {
    return account <= WG_ACCOUNT_TIPPING;
}

enum wg_outcome_number wg_account_outcome(enum wg_account account) {
    _Static_assert((int)WG_OUTCOME_income_tipping - (int)WG_OUTCOME_income_larvae == (int)WG_ACCOUNT_TIPPING &&
                       (int)WG_OUTCOME_cost_insulation - (int)WG_OUTCOME_income_larvae == (int)WG_ACCOUNT_INSULATION &&
                       (int)WG_OUTCOME_balance == (int)WG_OUTCOME_cost_insulation + 1,
                   "the outcomes of money are in the order of the accounts");
    wg_assert((int)account >= 0 && account < WG_N_ACCOUNTS);
    return (enum wg_outcome_number)((int)WG_OUTCOME_income_larvae + (int)account);
}

void wg_money_pay_starter(struct wg_diary *diary, const struct wg_action *action, double count, double kg) {
    if (action->as.start.price.given)
        diary->cost_starters += action->as.start.price.amount * (action->as.start.price_is_of_kg ? kg : count);
}

void wg_money_pay_feed(struct wg_diary *diary, const struct wg_action *action, double wet_kg) {
    if (action->as.feed.price.given)
        *(action->as.feed.price_is_fee ? &diary->income_tipping : &diary->cost_feed) +=
            action->as.feed.price.amount * wet_kg;
}

void wg_money_sell_residue(struct wg_diary *diary, const struct wg_plan *plan, int bin, double dry_kg) {
    if (plan->sales.residue_kg.given)
        diary->income_residue +=
            plan->sales.residue_kg.amount * dry_kg / fmax(LEAST_DRY_SHARE, 1 - plan->bins[bin].spec.moisture);
}

void wg_money_finish(struct wg_diary *diary, const struct wg_plan *plan) {
    const int n = diary->stopped_day < 0 ? diary->n_days : diary->stopped_day - diary->first_day;
    if (plan->sales.larvae_kg.given)
        diary->income_larvae = plan->sales.larvae_kg.amount * diary->total_harvest_mass;
    diary->cost_insulation = wg_plan_insulation_a_year(plan) * n / DAYS_A_YEAR;
    struct wg_money money;
    wg_money_of(diary, &money);
    diary->balance = money.balance;
}

void wg_money_of(const struct wg_diary *diary, struct wg_money *money) {
    *money = (struct wg_money){0};
    for (int account = 0; account < WG_N_ACCOUNTS; account++) {
        const enum wg_outcome_number outcome = wg_account_outcome((enum wg_account)account);
        money->part[account] = wg_diary_outcome(diary, &wg_diary_outcomes()[outcome]);
        *(wg_account_is_income((enum wg_account)account) ? &money->income : &money->cost) += money->part[account];
    }
    money->balance = money->income - money->cost;
}
