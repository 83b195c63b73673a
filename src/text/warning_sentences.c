/*
 * Words warnings and cautions: what happened, how often, and what helps.
 */
#include "text/warning_sentences.h"

#include "text/show.h"

#include <string.h>

const char *wg_replicates_noun(int n_days, int64_t n) {
    const bool years = n_days >= 360 && n_days <= 370;
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

static void put_idle(const struct wg_warning *warning, const char *frequency, char out[WG_WARNING_TEXT]) {
    char kwh[WG_SHOWN_SIZE], all[WG_SHOWN_SIZE], days[WG_SHOWN_SIZE], months[WG_SHOWN_SIZE], money[WG_SHOWN_SIZE],
        cost[WG_SHOWN_SIZE + 24] = "";
    wg_show_number(warning->kwh, kwh);
    wg_show_number(warning->all_kwh, all);
    wg_show_number(warning->days, days);
    wg_show_months(warning->months, months);
    if (warning->cost > 0) {
        wg_show_number(warning->cost, money);
        (void)snprintf(cost, sizeof cost, ", which cost %s", money);
    }
    (void)snprintf(out, WG_WARNING_TEXT,
                   "%s was heated or lit with no animal in it in %s: on average %.20s days and %.20s of %.20s "
                   "kWh%.60s, most of it %.40s. "
                   "Heat and light it only while animals are there.",
                   warning->about, frequency, days, kwh, all, cost, months);
}

void wg_warning_text(const struct wg_warnings *warnings, int i, char out[WG_WARNING_TEXT]) {
    const struct wg_warning *const warning = &warnings->list[i];
    char count[WG_SHOWN_SIZE], all[WG_SHOWN_SIZE], frequency[2 * WG_SHOWN_SIZE + 16], worst[WG_SHOWN_SIZE],
        required[WG_SHOWN_SIZE];
    wg_show_whole(warning->replicates, count);
    wg_show_whole(warnings->of, all);
    (void)snprintf(frequency, sizeof frequency, "%s of %s %s", count, all,
                   wg_replicates_noun(warnings->n_days, warnings->of));
    wg_show_power(warning->holds_w, required);
    switch (warning->kind) {
    case WG_WARN_HEATER:
        wg_show_power(warning->worst, worst);
        (void)snprintf(out, WG_WARNING_TEXT,
                       "The heater of %s was too weak in %s, by %s at worst; %s would hold the set point.",
                       warning->about, frequency, worst, required);
        break;
    case WG_WARN_MAT:
        (void)snprintf(out, WG_WARNING_TEXT, "The mat under %s was too weak in %s; %s would hold the set point.",
                       warning->about, frequency, required);
        break;
    case WG_WARN_HOT:
        wg_show_temperature(WG_WARNING_HOT_C, worst);
        (void)snprintf(out, WG_WARNING_TEXT, "%s was over %s in %s: cool it.", warning->about, worst, frequency);
        break;
    case WG_WARN_UNDERFED:
        show_weeks(warning, worst);
        (void)snprintf(out, WG_WARNING_TEXT, "%s is underfed for %s.", warning->about, worst);
        break;
    case WG_WARN_OVERFED:
        show_weeks(warning, worst);
        (void)snprintf(
            out, WG_WARNING_TEXT,
            "%s is overfed for %s: it turns sour and hot and gives off ammonia. Feed less, and stir and air it.",
            warning->about, worst);
        break;
    case WG_WARN_SCOOP:
        (void)snprintf(out, WG_WARNING_TEXT,
                       "In %s there were fewer larvae than the plan scoops: scoop less, or a share.", frequency);
        break;
    case WG_WARN_UNIT:
        (void)snprintf(out, WG_WARNING_TEXT,
                       "The unit of the weather file is a guess: see what `check` prints, and write unit: degC or "
                       "unit: degF.");
        break;
    case WG_WARN_NO_ANIMALS:
        wg_show_date(warning->from_day, 0, "", worst);
        (void)snprintf(
            out, WG_WARNING_TEXT, "\"%s\" in %s %s %s%s found %s in %s: it takes what is present in the morning.",
            wg_action_name(warning->action), warning->about, warning->once ? "on" : "from", worst,
            warning->once ? "" : " on", warning->action == WG_ACTION_PULL_TRAPS ? "no eggs" : "no animals", frequency);
        break;
    case WG_WARN_IDLE:
        put_idle(warning, frequency, out);
        break;
    case WG_N_WARNINGS:
        wg_assert(warning->kind < WG_N_WARNINGS);
    }
}

const char *wg_caution_text(enum wg_caution caution) {
    static const char *const sentence[WG_N_CAUTIONS] = {
        [WG_CAUTION_UNLIMITED] = "Unlimited feed is an idealisation: trust the dates, not the weights.",
        [WG_CAUTION_DORMANCY] =
            "So near the equator the model's prepupae may go dormant in any season; no published study shows what "
            "they "
            "really do there. Compare with species: {dormancy: by day length, dormancy_day: 9 h}, with which none go "
            "dormant.",
        [WG_CAUTION_DARK] =
            "A shed without lamps is dark, and flies mate only in bright light: hardly any will lay there.",
        [WG_CAUTION_POWER] =
            "Heaters, lamps and cords in damp places can kill by shock or fire: follow the local code and "
            "ask a licensed electrician.",
        [WG_CAUTION_LAW] = "Feeding waste-fed larvae to animals and moving live insects are regulated: ask your local "
                           "authority.",
    };
    return sentence[caution];
}
