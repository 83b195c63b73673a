/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words heat and lamps from the plan itself, since several keys make them together, and other open values by their names.
 */
#include "cheapest/plan_words.h"

#include "base/calendar.h"
#include "text/action_text.h"
#include "text/bytes.h"
#include "text/show.h"
#include "variants/written_units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

struct plan_words {
    const struct wg_scenario *base;
    const struct wg_plan *plan;
    struct wg_bytes *out;
    bool is_fahrenheit, has_names; /* more than one place or bin is heated or lit */
};

/* ---- pieces ---- */

static void put_joint(const struct plan_words *w) {
    if (w->out->size > 0)
        wg_bytes_put(w->out, "; ");
}

static void put_degrees(const struct plan_words *w, double celsius) {
    char number[WG_SHOWN_SIZE];
    wg_show_number(w->is_fahrenheit ? wg_units_convert(celsius, "degC", "degF", true) : celsius, number);
    wg_bytes_printf(w->out, "%s °%s", number, w->is_fahrenheit ? "F" : "C");
}

/* "31 March" -> "31 Mar" */
static void shorten_day(char text[24]) {
    char *const blank = strchr(text, ' ');
    if (blank != NULL && strlen(blank) > 4)
        blank[4] = '\0';
}

static void put_season(const struct plan_words *w, struct wg_season season) {
    char from[24], to[24];
    if (season.from == 0 && season.to == 364)
        return;
    if ((season.to + 1) % 365 == season.from) { /* written with dates, beside plans that have others */
        wg_bytes_put(w->out, ", all year");
        return;
    }
    wg_season_day_text(season.from, from);
    wg_season_day_text(season.to, to);
    shorten_day(from);
    shorten_day(to);
    wg_bytes_printf(w->out, ", %s to %s", from, to);
}

static void put_condition(const struct plan_words *w, const char *before, const struct wg_when *when) {
    char text[WG_WHEN_TEXT];
    if (when->kind == WG_WHEN_ALWAYS)
        return;
    wg_when_text(when, text);
    wg_bytes_printf(w->out, "%s%s", before, text);
}

/* Writes a day of the period, with its year only where the period is longer than one. */
static void put_day(const struct plan_words *w, int32_t day) {
    char date[WG_SHOWN_SIZE];
    wg_show_date(day, 0, "", date);
    if (w->plan->last_day - w->plan->first_day < 366 && strlen(date) > 5)
        date[strlen(date) - 5] = '\0';
    wg_bytes_put(w->out, date);
}

/* ---- heat ---- */

struct heat_state {
    bool is_on;
    double celsius;
};

static bool is_same_heat(struct heat_state a, struct heat_state b) {
    return a.is_on == b.is_on && (!a.is_on || fabs(a.celsius - b.celsius) < 0.01);
}

static bool changes_device(const struct wg_action *action, int place, int bin) {
    const enum wg_setting_key key = action->as.set.key;
    if (action->kind != WG_ACTION_SET)
        return false;
    if (bin < 0)
        return action->bin < 0 && action->place == place && (key == WG_SET_HEATER || key == WG_SET_SET_POINT);
    return action->bin == bin && (key == WG_SET_MAT || key == WG_SET_MAT_SET_POINT);
}

static void put_heat_state(const struct plan_words *w, struct heat_state state) {
    if (state.is_on)
        put_degrees(w, state.celsius);
    else
        wg_bytes_put(w->out, "off");
}

/* Adds each day on which the device is set anew. The actions of a kind are sorted by their days. */
static void put_heat_changes(const struct plan_words *w, struct heat_state state, int place, int bin) {
    const struct wg_plan *const plan = w->plan;
    struct heat_state next = state;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const action = &plan->actions[i];
        if (!changes_device(action, place, bin))
            continue;
        if (action->as.set.key == WG_SET_HEATER || action->as.set.key == WG_SET_MAT)
            next.is_on = action->as.set.value > 0;
        else
            next.celsius = action->as.set.value;
        bool is_last = true; /* of its day */
        for (int k = i + 1; k < plan->n_actions; k++)
            is_last =
                is_last && !(changes_device(&plan->actions[k], place, bin) && plan->actions[k].from == action->from);
        if (!is_last || is_same_heat(state, next))
            continue;
        wg_bytes_put(w->out, ", ");
        put_heat_state(w, next);
        if (action->when.kind == WG_WHEN_ALWAYS) {
            wg_bytes_put(w->out, " from ");
            put_day(w, action->from);
        } else {
            put_condition(w, " as soon as ", &action->when);
        }
        state = next;
    }
}

static void put_device(const struct plan_words *w, const struct wg_heater_spec *heater, int place, int bin) {
    if (!(heater->power_w > 0))
        return;
    const struct heat_state start = {!heater->starts_off, heater->set_point_c};
    put_joint(w);
    if (w->has_names)
        wg_bytes_printf(w->out, "%s: ", bin < 0 ? w->plan->places[place].name : w->plan->bins[bin].name);
    wg_bytes_put(w->out, bin >= 0 ? "mat " : start.is_on ? "heated to " : "heater ");
    put_heat_state(w, start);
    put_season(w, heater->season);
    put_condition(w, " when ", &heater->when);
    put_heat_changes(w, start, place, bin);
}

static void put_all_heat(const struct plan_words *w) {
    const struct wg_plan *const plan = w->plan;
    bool any = false;
    for (int p = 0; p < plan->n_places; p++) {
        put_device(w, &plan->places[p].heater, p, -1);
        any = any || plan->places[p].heater.power_w > 0;
    }
    for (int b = 0; b < plan->n_bins; b++) {
        put_device(w, &plan->bins[b].spec.mat, plan->bins[b].place, b);
        any = any || plan->bins[b].spec.mat.power_w > 0;
    }
    if (any)
        return;
    put_joint(w);
    wg_bytes_put(w->out, "no heat");
}

/* ---- lamps ---- */

static void put_lamp_words(const struct plan_words *w) {
    bool any = false;
    for (int p = 0; p < w->plan->n_places; p++) {
        const struct wg_shelter_spec *const shelter = &w->plan->places[p].shelter;
        char hours[WG_SHOWN_SIZE];
        if (!(shelter->lamp_hours > 0))
            continue;
        any = true;
        put_joint(w);
        if (w->has_names)
            wg_bytes_printf(w->out, "%s: ", w->plan->places[p].name);
        wg_show_number(shelter->lamp_hours, hours);
        wg_bytes_printf(w->out, "lamps %s hours", hours);
        put_season(w, shelter->lamp_season);
        put_condition(w, " when ", &shelter->lamp_when);
    }
    if (any)
        return;
    put_joint(w);
    wg_bytes_put(w->out, "no lamps");
}

/* ---- other open values ---- */

/* What an opening belongs to; several uses of a choice may belong to several. */
enum touched { TOUCHES_HEAT = 1, TOUCHES_LAMPS = 2, TOUCHES_OTHER = 4 };

static int use_touches(const struct wg_opening_use *use) {
    const char *const key = use->key.name;
    static const char *const heat[] = {"heater", "mat", "set_point", "on", "when", "earliest", "latest"};
    if (use->owner == WG_GROUP_LAMPS || strcmp(key, "lamps") == 0)
        return TOUCHES_LAMPS;
    if ((use->owner == WG_GROUP_HEATER || use->owner == WG_GROUP_MAT) && strcmp(key, "power") != 0 &&
        strcmp(key, "efficiency") != 0)
        return TOUCHES_HEAT;
    for (size_t i = 0; i < sizeof heat / sizeof *heat; i++)
        if (use->owner == WG_GROUP_CHANGE && strcmp(heat[i], key) == 0)
            return TOUCHES_HEAT;
    return use->key.kind == WG_KEY_GROUP && (use->key.group == WG_GROUP_HEATER || use->key.group == WG_GROUP_MAT)
               ? TOUCHES_HEAT
               : TOUCHES_OTHER;
}

static int opening_touches(const struct wg_opening *opening) {
    int touched = 0;
    for (int k = 0; k < opening->n_uses; k++)
        touched |= use_touches(&opening->use[k]);
    return touched;
}

/* Replaces a word by another of at most its size. */
static void replace_word(char *text, const char *word, const char *other) {
    const size_t n = strlen(word), m = strlen(other);
    for (char *at = strstr(text, word); at != NULL; at = strstr(at + m, word)) {
        memcpy(at, other, m);
        memmove(at + m, at + n, strlen(at + n) + 1);
    }
}

void wg_level_text(const struct wg_opening *opening, int level, char out[WG_PLAN_WORDS]) {
    const char *const text = opening->levels.level[level].text;
    char date[WG_SHOWN_SIZE];
    int32_t day;
    (void)snprintf(date, sizeof date, "2023-%.60s", text);
    if (strlen(text) == 5 && text[2] == '-' && wg_day_parse(date, &day) == 0) {
        wg_show_date(day, 0, "", date);
        (void)snprintf(out, WG_PLAN_WORDS, "%.*s", (int)(strlen(date) - 5), date);
    } else if (wg_day_parse(text, &day) == 0) {
        wg_show_date(day, 0, "", date);
        (void)snprintf(out, WG_PLAN_WORDS, "%s", date);
    } else {
        (void)snprintf(out, WG_PLAN_WORDS, "%.300s", text);
        replace_word(out, "degF", "°F");
        replace_word(out, "degC", "°C");
    }
}

void wg_level_words(const struct wg_opening *opening, int level, char out[WG_PLAN_WORDS]) {
    const char *const last = strrchr(opening->path, '.');
    const char *const name = last != NULL ? last + 1 : opening->path;
    char text[WG_PLAN_WORDS];
    wg_level_text(opening, level, text);
    if (strcmp(name, "r_value") == 0) {
        (void)snprintf(out, WG_PLAN_WORDS, "%.300s", text);
        return;
    }
    (void)snprintf(out, WG_PLAN_WORDS, "%.60s %.300s", name, text);
    for (char *c = out; *c != '\0' && *c != ' '; c++)
        *c = *c == '_' ? ' ' : *c;
}

static void put_others(const struct plan_words *w, const int *level) {
    char text[WG_PLAN_WORDS];
    for (int i = 0; i < w->base->openings.n; i++) {
        const struct wg_opening *const opening = &w->base->openings.opening[i];
        if ((opening_touches(opening) & TOUCHES_OTHER) == 0)
            continue;
        wg_level_words(opening, level[i], text);
        put_joint(w);
        wg_bytes_put(w->out, text);
    }
}

/* ---- all ---- */

static bool has_several_devices(const struct wg_plan *plan) {
    int n = 0, lit = 0;
    for (int p = 0; p < plan->n_places; p++) {
        n += plan->places[p].heater.power_w > 0;
        lit += plan->places[p].shelter.lamp_hours > 0;
    }
    for (int b = 0; b < plan->n_bins; b++)
        n += plan->bins[b].spec.mat.power_w > 0;
    return n > 1 || lit > 1;
}

void wg_plan_words(const struct wg_scenario *base, const struct wg_plan *plan, const int *level,
                   char out[WG_PLAN_WORDS]) {
    struct wg_bytes bytes = {0};
    int touched = 0;
    const struct plan_words w = {.base = base,
                                 .plan = plan,
                                 .out = &bytes,
                                 .is_fahrenheit = wg_writes_fahrenheit(base->text),
                                 .has_names = has_several_devices(plan)};
    for (int i = 0; i < base->openings.n; i++)
        touched |= opening_touches(&base->openings.opening[i]);
    if (touched & TOUCHES_HEAT)
        put_all_heat(&w);
    if (touched & TOUCHES_LAMPS)
        put_lamp_words(&w);
    put_others(&w, level);
    (void)snprintf(out, WG_PLAN_WORDS, "%s", bytes.data != NULL ? bytes.data : "");
    wg_bytes_free(&bytes);
}
