/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Finds what a plan has prices for, what it uses without a price, and the yearly cost of its insulation.
 */
#include "plan/accounts.h"

#include "plan/plan.h"

static bool any_action(const struct wg_plan *plan, bool (*has)(const struct wg_action *action)) {
    for (int i = 0; i < plan->n_actions; i++)
        if (has(&plan->actions[i]))
            return true;
    return false;
}

static bool is_paid_feed(const struct wg_action *action) {
    return action->kind == WG_ACTION_FEED && action->as.feed.price.given && !action->as.feed.price_is_fee;
}

static bool is_tipped_feed(const struct wg_action *action) {
    return action->kind == WG_ACTION_FEED && action->as.feed.price.given && action->as.feed.price_is_fee;
}

static bool is_free_feed(const struct wg_action *action) {
    return action->kind == WG_ACTION_FEED && !action->as.feed.price.given;
}

static bool is_paid_starter(const struct wg_action *action) {
    return action->kind == WG_ACTION_START && action->as.start.price.given;
}

static bool is_free_starter(const struct wg_action *action) {
    return action->kind == WG_ACTION_START && !action->as.start.price.given;
}

static bool is_clearing(const struct wg_action *action) {
    return action->kind == WG_ACTION_CLEAR;
}

/* R of the foam of a bin, m2 K/W: what it adds to plain plastic. */
static double bin_foam_r(const struct wg_plan *plan, int b) {
    const struct wg_bin_spec *const bin = &plan->bins[b].spec;
    struct wg_bin_spec plain;
    wg_bin_defaults(&plain, plan->places[plan->bins[b].place].shelter.kind, bin->volume_m3, 0);
    return bin->u_w_m2k > 0 && bin->u_w_m2k < plain.u_w_m2k ? 1 / bin->u_w_m2k - 1 / plain.u_w_m2k : 0;
}

static bool has_insulation_price(const struct wg_plan *plan) {
    for (int p = 0; p < plan->n_places; p++)
        if (plan->places[p].insulation.per_m2_r.given)
            return true;
    for (int b = 0; b < plan->n_bins; b++)
        if (plan->bins[b].insulation.per_m2_r.given)
            return true;
    return false;
}

/* A wall or foam that the plan describes itself. */
static bool has_free_insulation(const struct wg_plan *plan) {
    for (int p = 0; p < plan->n_places; p++) {
        const struct wg_place_plan *const place = &plan->places[p];
        if (place->shelter.kind == WG_SHED && place->loss_given && !place->insulation.per_m2_r.given)
            return true;
    }
    for (int b = 0; b < plan->n_bins; b++)
        if (plan->bins[b].foam_given && bin_foam_r(plan, b) > 0 && !plan->bins[b].insulation.per_m2_r.given)
            return true;
    return false;
}

static bool has_energy_price(const struct wg_plan *plan) {
    struct wg_source source;
    for (int i = 0; wg_plan_source(plan, i, &source); i++)
        if (source.has_price)
            return true;
    return false;
}

bool wg_plan_has_account(const struct wg_plan *plan, enum wg_account account) {
    switch (account) {
    case WG_ACCOUNT_LARVAE:
        return plan->sales.larvae_kg.given;
    case WG_ACCOUNT_RESIDUE:
        return plan->sales.residue_kg.given;
    case WG_ACCOUNT_TIPPING:
        return any_action(plan, is_tipped_feed);
    case WG_ACCOUNT_ENERGY:
        return has_energy_price(plan);
    case WG_ACCOUNT_FEED:
        return any_action(plan, is_paid_feed);
    case WG_ACCOUNT_STARTERS:
        return any_action(plan, is_paid_starter);
    case WG_ACCOUNT_INSULATION:
        return has_insulation_price(plan);
    case WG_N_ACCOUNTS:
        break;
    }
    wg_assert(account < WG_N_ACCOUNTS);
    return false;
}

bool wg_plan_keeps_accounts(const struct wg_plan *plan) {
    for (int account = 0; account < WG_N_ACCOUNTS; account++)
        if (account != WG_ACCOUNT_ENERGY && wg_plan_has_account(plan, (enum wg_account)account))
            return true;
    return false;
}

bool wg_plan_has_unpriced(const struct wg_plan *plan, enum wg_account account) {
    struct wg_source source;
    switch (account) {
    case WG_ACCOUNT_LARVAE:
        return wg_plan_takes_out(plan) && !plan->sales.larvae_kg.given;
    case WG_ACCOUNT_RESIDUE:
        return any_action(plan, is_clearing) && !plan->sales.residue_kg.given;
    case WG_ACCOUNT_ENERGY:
        return !wg_plan_has_cost(plan, &source);
    case WG_ACCOUNT_FEED:
        return plan->feed_unlimited || any_action(plan, is_free_feed);
    case WG_ACCOUNT_STARTERS:
        return any_action(plan, is_free_starter);
    case WG_ACCOUNT_INSULATION:
        return has_free_insulation(plan);
    case WG_ACCOUNT_TIPPING:
    case WG_N_ACCOUNTS:
        break;
    }
    return false;
}

static double insulation_a_year(const struct wg_insulation_price *price, double area_m2, double r_m2k_w) {
    return price->per_m2_r.given ? price->per_m2_r.amount * area_m2 * (r_m2k_w / WG_M2K_W_PER_R) / price->lasts_years
                                 : 0;
}

double wg_plan_insulation_a_year(const struct wg_plan *plan) {
    double sum = 0;
    for (int p = 0; p < plan->n_places; p++) {
        const struct wg_place_plan *const place = &plan->places[p];
        if (place->shelter.u_w_m2k > 0)
            sum += insulation_a_year(&place->insulation, place->shelter.cover_m2, 1 / place->shelter.u_w_m2k);
    }
    for (int b = 0; b < plan->n_bins; b++) {
        const struct wg_bin_spec *const bin = &plan->bins[b].spec;
        sum += insulation_a_year(&plan->bins[b].insulation, bin->wall_m2 + bin->top_m2, bin_foam_r(plan, b));
    }
    return sum;
}
