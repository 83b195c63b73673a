/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words the balance of a plan that keeps accounts.
 */
#include "report/forecast_parts.h"

#include "analysis/odds.h"
#include "report/dots.h"
#include "report/forecast_facts.h"
#include "text/money.h"

#include <math.h>
#include <string.h>

#define DAYS_A_YEAR 365.25

void wg_money_headline(const struct wg_balance *balance, const struct wg_plan *plan, char out[WG_MONEY_TEXT]) {
    const struct wg_variance_split *const amount = &balance->amount;
    const struct wg_interval *const interval = &amount->interval;
    char odds[WG_ODDS_TEXT], mean[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE];
    const bool has_range = !isnan(interval->low);
    const int digits = has_range ? wg_range_digits(interval->low, interval->high) : 3;
    wg_odds_share(&balance->above_zero, plan, odds);
    wg_show_money(amount->mean, amount->mean, digits, plan->currency, mean);
    if (has_range)
        wg_show_money(interval->low, interval->high, digits, plan->currency, range);
    (void)snprintf(out, WG_MONEY_TEXT, "Ends above zero %.200s; balance %.60s on average%s%.80s", odds, mean,
                   has_range ? ", 95 % interval " : "", has_range ? range : "");
}

/* Lists what has no price: of the costs, or of the incomes. Returns how many words it lists; 2 for one in the plural. */
static int list_unpriced(const struct wg_plan *plan, bool of_income, char out[WG_SHOWN_SIZE]) {
    static const char *const name[WG_N_ACCOUNTS] = {
        [WG_ACCOUNT_LARVAE] = "larvae taken out", [WG_ACCOUNT_RESIDUE] = "residue", [WG_ACCOUNT_TIPPING] = "tipping",
        [WG_ACCOUNT_ENERGY] = "energy",           [WG_ACCOUNT_FEED] = "feed",       [WG_ACCOUNT_STARTERS] = "starters",
        [WG_ACCOUNT_INSULATION] = "insulation"};
    const char *found[WG_N_ACCOUNTS + 1];
    bool is_plural = false;
    int n = 0;
    for (int account = 0; account < WG_N_ACCOUNTS; account++)
        if (wg_account_is_income((enum wg_account)account) == of_income &&
            wg_plan_has_unpriced(plan, (enum wg_account)account)) {
            found[n++] = name[account];
            is_plural = account == WG_ACCOUNT_LARVAE || account == WG_ACCOUNT_STARTERS;
        }
    out[0] = '\0';
    for (int i = 0; i < n; i++) {
        const size_t used = strlen(out);
        (void)snprintf(out + used, WG_SHOWN_SIZE - used, "%s%s", i == 0 ? "" : i + 1 < n ? ", " : " and ", found[i]);
    }
    return n == 1 && is_plural ? 2 : n;
}

bool wg_money_unpriced(const struct wg_plan *plan, char out[WG_MONEY_TEXT]) {
    char free[WG_SHOWN_SIZE], worthless[WG_SHOWN_SIZE];
    const int n_free = list_unpriced(plan, false, free), n_worthless = list_unpriced(plan, true, worthless);
    out[0] = '\0';
    if (n_free + n_worthless == 0)
        return false;
    (void)snprintf(out, WG_MONEY_TEXT, "Without a price: %s%s%s%s%s.", free,
                   n_free == 0   ? ""
                   : n_free == 1 ? " counts as free"
                                 : " count as free",
                   n_free > 0 && n_worthless > 0 ? "; " : "", worthless,
                   n_worthless == 0   ? ""
                   : n_worthless == 1 ? " earns nothing"
                                      : " earn nothing");
    return true;
}

void wg_money_put_json(struct wg_json *json, const struct wg_balance *balance, const struct wg_plan *plan) {
    const struct wg_variance_split *const amount = &balance->amount, *const above = &balance->above_zero;
    char unpriced[WG_MONEY_TEXT];
    wg_json_object(json, "money");
    wg_json_text(json, "currency", plan->currency);
    wg_json_real(json, "years", (plan->last_day - plan->first_day + 1) / DAYS_A_YEAR);
    wg_json_real(json, "balance", amount->mean);
    wg_json_real(json, "low", amount->interval.low);
    wg_json_real(json, "high", amount->interval.high);
    wg_json_object(json, "above_zero");
    wg_json_whole(json, "of", above->n);
    wg_json_real(json, "share", above->mean);
    wg_json_real(json, "low", above->interval.low);
    wg_json_real(json, "high", above->interval.high);
    wg_json_close(json);
    wg_json_real(json, "confidence", WG_ODDS_CONFIDENCE);
    wg_json_text(json, "unpriced", wg_money_unpriced(plan, unpriced) ? unpriced : NULL);
    wg_json_close(json);
}
