/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The table of the outcomes' labels, for screens, JSON, pages, sweeps and figures.
 */
#include "text/outcome_label.h"

#include "text/money.h"

#include <math.h>
#include <string.h>

static bool is_spring_counted(const struct wg_plan *plan) {
    return wg_plan_spring(plan).seen >= WG_SPRING_CUT;
}

static bool is_fed_without_limit(const struct wg_plan *plan) {
    return plan->feed_unlimited;
}

static bool is_fed_by_weight(const struct wg_plan *plan) {
    return !plan->feed_unlimited;
}
/* The rows of the accounts: shown if the plan keeps accounts and has a price for it. */
#define SHOWS(name, account)                                                                                           \
    static bool name(const struct wg_plan *plan) {                                                                     \
        return wg_plan_keeps_accounts(plan) && wg_plan_has_account(plan, account);                                     \
    }
SHOWS(sells_larvae, WG_ACCOUNT_LARVAE)
SHOWS(sells_residue, WG_ACCOUNT_RESIDUE)
SHOWS(earns_fees, WG_ACCOUNT_TIPPING)
SHOWS(pays_energy, WG_ACCOUNT_ENERGY)
SHOWS(pays_feed, WG_ACCOUNT_FEED)
SHOWS(pays_starters, WG_ACCOUNT_STARTERS)
SHOWS(pays_insulation, WG_ACCOUNT_INSULATION)
#undef SHOWS

static bool is_scooped_by_weight(const struct wg_plan *plan) {
    return wg_plan_scoop_days(plan) > 0;
}

static const struct wg_outcome_label labels[WG_N_OUTCOMES] = {
    [WG_OUTCOME_survived] = {"Alive at the end", "alive at the end", "alive", WG_VALUE_SHARE, NULL},
    [WG_OUTCOME_first_adult_day] = {"First adults", "first adults", NULL, WG_VALUE_DATE, NULL},
    [WG_OUTCOME_first_egg_day] = {"First eggs", "first eggs", NULL, WG_VALUE_DATE, NULL},
    [WG_OUTCOME_first_crawl_off_day] = {"First crawl-off", "first crawl-off", NULL, WG_VALUE_DATE, NULL},
    [WG_OUTCOME_first_batch_10] = {"First batch, 10 %", "10 % of the first batch", NULL, WG_VALUE_DATE, NULL},
    [WG_OUTCOME_first_batch_50] = {"First batch, half", "half of the first batch", "1st batch", WG_VALUE_DATE, NULL},
    [WG_OUTCOME_second_batch_10] = {"Second batch, 10 %", "10 % of the second batch", NULL, WG_VALUE_DATE, NULL},
    [WG_OUTCOME_second_batch_50] = {"Second batch, half", "half of the second batch", NULL, WG_VALUE_DATE, NULL},
    [WG_OUTCOME_third_batch_10] = {"Third batch, 10 %", "10 % of the third batch", NULL, WG_VALUE_DATE, NULL},
    [WG_OUTCOME_third_batch_50] = {"Third batch, half", "half of the third batch", NULL, WG_VALUE_DATE, NULL},
    [WG_OUTCOME_crawl_off_10] = {"Crawl-off, 10 %", "10 % of the crawl-off", NULL, WG_VALUE_DATE, NULL},
    [WG_OUTCOME_crawl_off_50] = {"Crawl-off, half", "half of the crawl-off", NULL, WG_VALUE_DATE, NULL},
    [WG_OUTCOME_first_100g_day] = {"Over 100 g a day", "first day of over 100 g", NULL, WG_VALUE_DATE, NULL},
    [WG_OUTCOME_days_over_100g] = {"Days over 100 g", "days of over 100 g", NULL, WG_VALUE_DAYS, NULL},
    [WG_OUTCOME_spring_emergence_10] = {"Spring flies, 10 %", "10 % of the spring flies", NULL, WG_VALUE_DATE,
                                        is_spring_counted},
    /* these two follow the row of the first 10 % */
    [WG_OUTCOME_spring_emergence_50] = {"              half", "half of the spring flies", NULL, WG_VALUE_DATE,
                                        is_spring_counted},
    [WG_OUTCOME_spring_emergence_90] = {"              90 %", "90 % of the spring flies", NULL, WG_VALUE_DATE,
                                        is_spring_counted},
    [WG_OUTCOME_peak_larvae] = {"Most larvae", "most larvae at once", NULL, WG_VALUE_ANIMALS, NULL},
    [WG_OUTCOME_peak_larvae_day] = {"Most larvae on", "day of the most larvae", NULL, WG_VALUE_DATE, NULL},
    [WG_OUTCOME_lowest_count] = {"Fewest alive", "fewest alive", NULL, WG_VALUE_ANIMALS, NULL},
    [WG_OUTCOME_best_week_crawl_off] = {"Best week crawl-off", "best week of crawl-off", NULL, WG_VALUE_MASS, NULL},
    [WG_OUTCOME_best_week_harvest] = {"Best week taken out", "most taken out in a week", NULL, WG_VALUE_MASS,
                                      wg_plan_takes_out},
    [WG_OUTCOME_weeks_without_harvest] = {"Weeks no crawl-off", "weeks without crawl-off", NULL, WG_VALUE_WEEKS, NULL},
    [WG_OUTCOME_total_crawl_off_mass] = {"All crawl-off", "all crawl-off", "harvest", WG_VALUE_MASS, NULL},
    [WG_OUTCOME_mean_grub_mass] = {"Weight of a grub", "weight of a grub", NULL, WG_VALUE_MILLIGRAMS, NULL},
    [WG_OUTCOME_total_harvest_mass] = {"All taken out", "all taken out", "harvest", WG_VALUE_MASS, wg_plan_takes_out},
    [WG_OUTCOME_total_asked_not_there] = {"Larvae missing", "larvae missing at scooping", NULL, WG_VALUE_MASS,
                                          wg_plan_takes_out},
    [WG_OUTCOME_days_short_of_larvae] = {"Short of larvae", "days short of larvae", NULL, WG_VALUE_DAYS,
                                         is_scooped_by_weight},
    [WG_OUTCOME_total_eggs_laid] = {"Eggs laid", "eggs laid", NULL, WG_VALUE_ANIMALS, NULL},
    [WG_OUTCOME_total_feed_given] = {"Dry feed given", "dry feed given", NULL, WG_VALUE_MASS, NULL},
    [WG_OUTCOME_total_feed_fresh] = {"Feed given", "feed given", NULL, WG_VALUE_MASS, is_fed_by_weight},
    [WG_OUTCOME_total_feed_eaten] = {"Dry feed eaten", "dry feed eaten", NULL, WG_VALUE_MASS, is_fed_without_limit},
    [WG_OUTCOME_total_heater_energy] = {"Energy for heat", "energy", "heat cost", WG_VALUE_ENERGY, wg_plan_draws_power},
    [WG_OUTCOME_total_heater_cost] = {"Energy cost", "energy cost", "heat cost", WG_VALUE_MONEY, wg_plan_draws_power},
    [WG_OUTCOME_heater_short_w] = {"Power missing", "power missing", NULL, WG_VALUE_POWER, wg_plan_draws_power},
    [WG_OUTCOME_hottest_bin] = {"Hottest bin", "hottest bin", NULL, WG_VALUE_TEMPERATURE, NULL},
    [WG_OUTCOME_overlap] = {"Generations at once", "generations at once", NULL, WG_VALUE_COUNT, NULL},
    [WG_OUTCOME_income_larvae] = {"Worth of larvae", "worth of the larvae", NULL, WG_VALUE_MONEY, sells_larvae},
    [WG_OUTCOME_income_residue] = {"Worth of residue", "worth of the residue", NULL, WG_VALUE_MONEY, sells_residue},
    [WG_OUTCOME_income_tipping] = {"Tipping fees", "tipping fees", NULL, WG_VALUE_MONEY, earns_fees},
    [WG_OUTCOME_cost_energy] = {"Energy paid", "cost of priced energy", NULL, WG_VALUE_MONEY, pays_energy},
    [WG_OUTCOME_cost_feed] = {"Feed cost", "feed cost", NULL, WG_VALUE_MONEY, pays_feed},
    [WG_OUTCOME_cost_starters] = {"Starter cost", "starter cost", NULL, WG_VALUE_MONEY, pays_starters},
    [WG_OUTCOME_cost_insulation] = {"Insulation, share", "share of the insulation", NULL, WG_VALUE_MONEY,
                                    pays_insulation},
    [WG_OUTCOME_balance] = {"Balance", "balance", "balance", WG_VALUE_MONEY, wg_plan_keeps_accounts},
    [WG_OUTCOME_alive_ours] = {"Alive at home", "alive at home", NULL, WG_VALUE_SHARE, wg_plan_has_neighbour},
    [WG_OUTCOME_alive_neighbours] = {"Alive next door", "alive at the neighbour's", NULL, WG_VALUE_SHARE,
                                     wg_plan_has_neighbour},
};

const struct wg_outcome_label *wg_outcome_label(enum wg_outcome_number outcome) {
    wg_assert((int)outcome >= 0 && outcome < WG_N_OUTCOMES);
    return &labels[outcome];
}

bool wg_outcome_is_shown(enum wg_outcome_number outcome, const struct wg_plan *plan) {
    const struct wg_outcome_label *const label = wg_outcome_label(outcome);
    return label->is_shown == NULL || label->is_shown(plan);
}

enum wg_outcome_number wg_outcome_harvest(const struct wg_plan *plan) {
    return wg_plan_takes_out(plan) ? WG_OUTCOME_total_harvest_mass : WG_OUTCOME_total_crawl_off_mass;
}

const char *wg_outcome_harvest_verb(enum wg_outcome_number harvest) {
    return harvest == WG_OUTCOME_total_harvest_mass ? "is taken out" : "crawls off";
}

/* ---- values ---- */

const char *wg_value_unit(enum wg_value_kind kind) {
    static const char *const unit[] = {[WG_VALUE_SHARE] = " percentage points",
                                       [WG_VALUE_DATE] = " days",
                                       [WG_VALUE_MASS] = "",
                                       [WG_VALUE_COUNT] = "",
                                       [WG_VALUE_ANIMALS] = "",
                                       [WG_VALUE_MILLIGRAMS] = " mg",
                                       [WG_VALUE_WEEKS] = " weeks",
                                       [WG_VALUE_DAYS] = " days",
                                       [WG_VALUE_ENERGY] = " kWh",
                                       [WG_VALUE_MONEY] = "",
                                       [WG_VALUE_POWER] = " W",
                                       [WG_VALUE_TEMPERATURE] = " °C"};
    return unit[kind];
}

static void show_date_range(int32_t first_day, double low, double high, char out[WG_SHOWN_SIZE]) {
    char from[WG_SHOWN_SIZE], to[WG_SHOWN_SIZE];
    wg_show_date(first_day, low, "", from);
    wg_show_date(first_day, high, "", to);
    if (from[0] == '\0')
        (void)snprintf(out, WG_SHOWN_SIZE, "seldom at all");
    else if (to[0] == '\0')
        (void)snprintf(out, WG_SHOWN_SIZE, "from %.40s on", from);
    else if (strcmp(from, to) == 0)
        (void)snprintf(out, WG_SHOWN_SIZE, "%.40s", from);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "%.40s to %.40s", from, to);
}

void wg_value_show_range(const struct wg_value_style *style, double low, double high, char out[WG_SHOWN_SIZE]) {
    if (style->kind == WG_VALUE_DATE)
        show_date_range(style->first_day, low, high, out);
    else if (style->kind == WG_VALUE_DAYS)
        wg_show_range(round(low), round(high), wg_value_unit(style->kind), out);
    else if (style->kind == WG_VALUE_ANIMALS)
        wg_show_animals(low, high, style->digits, out);
    else if (style->kind == WG_VALUE_MASS)
        wg_show_rounded_mass(low, high, style->digits, out);
    else if (style->kind == WG_VALUE_MONEY)
        wg_show_money(low, high, style->digits, style->currency, out);
    else
        wg_show_rounded_range(low, high, style->digits, wg_value_unit(style->kind), out);
}
