/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words warnings and cautions: what happened, how often, and what helps.
 */
#include "text/warning_sentences.h"

#include "text/money.h"
#include "text/show.h"

#include <string.h>

bool wg_is_about_a_year(int n_days) {
    return n_days >= 360 && n_days <= 370;
}

const char *wg_replicates_noun(int n_days, int64_t n) {
    const bool years = wg_is_about_a_year(n_days);
    return n == 1 ? (years ? "year" : "future") : years ? "years" : "futures";
}

const char *wg_warning_name(enum wg_warning_kind kind) {
    static const char *const name[WG_N_WARNINGS] = {
        [WG_WARN_HEATER] = "heater too weak",
        [WG_WARN_MAT] = "mat too weak",
        [WG_WARN_HOT] = "bin too hot",
        [WG_WARN_UNDERFED] = "underfed",
        [WG_WARN_OVERFED] = "overfed",
        [WG_WARN_SCOOP] = "scooped more than there was",
        [WG_WARN_UNIT] = "unit of the weather guessed",
        [WG_WARN_NO_ANIMALS] = "no animals",
        [WG_WARN_IDLE] = "energy for an empty place",
    };
    return name[kind];
}

static bool is_of_weeks(const struct wg_warning *warning) {
    return warning->kind == WG_WARN_UNDERFED || warning->kind == WG_WARN_OVERFED;
}

bool wg_warnings_of_weeks(const struct wg_warnings *warnings) {
    for (int i = 0; i < warnings->n; i++)
        if (is_of_weeks(&warnings->list[i]))
            return true;
    return false;
}

/* "45 weeks, 41 of them in a row from 8 Dec 2026" */
static void show_weeks(const struct wg_warning *warning, char out[WG_SHOWN_SIZE]) {
    char date[WG_SHOWN_SIZE];
    wg_show_date(warning->from_day, 0, "", date);
    if (warning->weeks == 1)
        (void)snprintf(out, WG_SHOWN_SIZE, "one week from %.40s", date);
    else if (warning->longest == warning->weeks)
        (void)snprintf(out, WG_SHOWN_SIZE, "%d weeks in a row from %.40s", warning->weeks, date);
    else if (warning->longest == 1)
        (void)snprintf(out, WG_SHOWN_SIZE, "%d weeks, the first from %.40s", warning->weeks, date);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "%d weeks, %d of them in a row from %.40s", warning->weeks, warning->longest,
                       date);
}

/* Words energy that warmed or lit nothing. */
static void word_idle(const struct wg_warnings *warnings, const struct wg_warning *warning, const char *how_often,
                      char out[WG_WARNING_TEXT]) {
    char kwh[WG_SHOWN_SIZE], all[WG_SHOWN_SIZE], days[WG_SHOWN_SIZE], months[WG_SHOWN_SIZE], money[WG_SHOWN_SIZE],
        cost[WG_SHOWN_SIZE + 24] = "", in_those[32] = "";
    wg_show_number(warning->kwh, kwh);
    wg_show_number(warning->all_kwh, all);
    wg_show_number(warning->days, days);
    wg_show_months(warning->months, months);
    if (warning->cost > 0) {
        wg_show_money(warning->cost, warning->cost, 3, warnings->currency, money);
        (void)snprintf(cost, sizeof cost, ", which cost %s", money);
    }
    if (warning->replicates < warnings->of)
        (void)snprintf(in_those, sizeof in_those, "in %s %s, ", warning->replicates == 1 ? "that" : "those",
                       wg_replicates_noun(warnings->n_days, warning->replicates));
    (void)snprintf(
        out, WG_WARNING_TEXT,
        "The place \"%.64s\" was heated or lit with no animal in it %.100s: %son average %.20s days and %.20s of %.20s "
        "kWh%.50s, most of it %.40s. Heat and light it only while animals are there.",
        warning->about, how_often, in_those, days, kwh, all, cost, months);
}

/* "in every year", "in 3 of 64 years" */
static void show_how_often(const struct wg_warnings *warnings, const struct wg_warning *warning,
                           char out[2 * WG_SHOWN_SIZE + 24]) {
    char count[WG_SHOWN_SIZE], all[WG_SHOWN_SIZE];
    wg_show_whole(warning->replicates, count);
    wg_show_whole(warnings->of, all);
    if (warning->replicates == warnings->of && warnings->of > 1)
        (void)snprintf(out, 2 * WG_SHOWN_SIZE + 24, "in every %s", wg_replicates_noun(warnings->n_days, 1));
    else
        (void)snprintf(out, 2 * WG_SHOWN_SIZE + 24, "in %s of %s %s", count, all,
                       wg_replicates_noun(warnings->n_days, warnings->of));
}

/* Words an action that found no animals. */
static void word_no_animals(const struct wg_warning *warning, const char *how_often, char out[WG_WARNING_TEXT]) {
    char date[WG_SHOWN_SIZE];
    wg_show_date(warning->from_day, 0, "", date);
    (void)snprintf(out, WG_WARNING_TEXT,
                   "The action \"%s\" in \"%s\" %s %s%s found %s %s: it takes what is present in the morning.",
                   wg_action_name(warning->action), warning->about, warning->once ? "on" : "from", date,
                   warning->once ? "" : " on", warning->action == WG_ACTION_PULL_TRAPS ? "no eggs" : "no animals",
                   how_often);
}

/* Old feed may lie in a bin long after the last feeding: then to feed less is no help. */
static void word_overfed(const struct wg_warning *warning, char out[WG_WARNING_TEXT]) {
    char weeks[WG_SHOWN_SIZE], unfed[96] = "";
    show_weeks(warning, weeks);
    if (warning->unfed == warning->weeks) {
        (void)snprintf(
            out, WG_WARNING_TEXT,
            "Old feed lies in the bin \"%s\" for %s, unfed for a month before: it turns sour and hot and gives off "
            "ammonia. Clear it out.",
            warning->about, weeks);
        return;
    }
    if (warning->unfed > 0)
        (void)snprintf(unfed, sizeof unfed,
                       " In %d of these weeks it was not fed for a month before: clear the old feed out.",
                       warning->unfed);
    (void)snprintf(out, WG_WARNING_TEXT,
                   "The bin \"%s\" is overfed for %s: it turns sour and hot and gives off ammonia. Feed less, and "
                   "stir and air it.%s",
                   warning->about, weeks, unfed);
}

void wg_warning_text(const struct wg_warnings *warnings, int i, char out[WG_WARNING_TEXT]) {
    const struct wg_warning *const warning = &warnings->list[i];
    char how_often[2 * WG_SHOWN_SIZE + 24], worst[WG_SHOWN_SIZE], required[WG_SHOWN_SIZE];
    show_how_often(warnings, warning, how_often);
    wg_show_power(warning->holds_w, required);
    switch (warning->kind) {
    case WG_WARN_HEATER:
        wg_show_power(warning->worst, worst);
        (void)snprintf(out, WG_WARNING_TEXT,
                       "The heater of \"%s\" is too weak %s, by %s at worst; to hold the set point it needs %s.",
                       warning->about, how_often, worst, required);
        break;
    case WG_WARN_MAT:
        (void)snprintf(out, WG_WARNING_TEXT, "The mat under \"%s\" is too weak %s; to hold the set point it needs %s.",
                       warning->about, how_often, required);
        break;
    case WG_WARN_HOT:
        wg_show_temperature(WG_WARNING_HOT_C, worst);
        (void)snprintf(out, WG_WARNING_TEXT, "The bin \"%s\" is hotter than %s %s. Cool it.", warning->about, worst,
                       how_often);
        break;
    case WG_WARN_UNDERFED:
        show_weeks(warning, worst);
        (void)snprintf(out, WG_WARNING_TEXT, "The bin \"%s\" is underfed for %s.", warning->about, worst);
        break;
    case WG_WARN_OVERFED:
        word_overfed(warning, out);
        break;
    case WG_WARN_SCOOP:
        (void)snprintf(out, WG_WARNING_TEXT,
                       "There are fewer larvae than the plan scoops %s. Scoop less, or a share of them.", how_often);
        break;
    case WG_WARN_UNIT:
        (void)snprintf(out, WG_WARNING_TEXT,
                       "The unit of the weather file is a guess. See what `check` prints, and write unit: degC or "
                       "unit: degF.");
        break;
    case WG_WARN_NO_ANIMALS:
        word_no_animals(warning, how_often, out);
        break;
    case WG_WARN_IDLE:
        word_idle(warnings, warning, how_often, out);
        break;
    case WG_N_WARNINGS:
        wg_assert(warning->kind < WG_N_WARNINGS);
    }
}

const char *wg_caution_text(enum wg_caution caution) {
    static const char *const sentence[WG_N_CAUTIONS] = {
        [WG_CAUTION_NOTHING] =
            "No animal is ever put in and no wild fly comes, so nothing can live here. Add a starter, "
            "or wild_visitors with a peak above 0.",
        [WG_CAUTION_SHORT] =
            "The plan ends before the first larvae are three weeks old. Even in the best warmth they take "
            "nearly three weeks from the egg to crawl off, and their flies three more to lay: set a "
            "later end.",
        [WG_CAUTION_UNLIMITED] = "Unlimited feed is an idealisation: trust the dates, not the weights.",
        [WG_CAUTION_DORMANCY] =
            "So near the equator the model's prepupae may go dormant in any season; no published study shows what "
            "they really do there. Compare with species: {dormancy: by day length, dormancy_day: 9 h}, with which none "
            "go dormant.",
        [WG_CAUTION_DARK] =
            "A shed without lamps is dark, and flies mate only in bright light: hardly any will lay there.",
        [WG_CAUTION_DARK_ROOM] =
            "A room without lamps or much daylight is dark, and flies mate only in bright light: hardly any will lay "
            "there.",
        [WG_CAUTION_FOOD] =
            "Keep animals in a refrigerator of their own or a sealed box, never loose beside food for people.",
        [WG_CAUTION_POWER] =
            "Heaters, lamps and cords in damp places can kill by shock or fire: follow the local code and "
            "ask a licensed electrician.",
        [WG_CAUTION_LAW] = "Feeding waste-fed larvae to animals and moving live insects are regulated: ask your local "
                           "authority.",
        [WG_CAUTION_RESIDUE] = "The residue has a price, but the plan never clears any, so it earns nothing: add for "
                               "example {do: clear residue, in: bin, every: 13 weeks} under keeping.",
    };
    return sentence[caution];
}
