/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads when an action happens and how much each time, and adds it to the plan.
 */
#include "scenario/read.h"

#include "text/nearest_word.h"
#include "text/quantity.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool read_every(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const struct wg_key *row,
                       struct wg_action *action) {
    struct wg_key key = *row;
    double days;
    const bool is_text = node->kind == WG_YAML_TEXT && node->text[0] != '\0';
    if (is_text && key.words != NULL && strpbrk(node->text, "0123456789") == NULL) {
        if (wg_word_index(node->text, key.words) < 0)
            wg_read_mistake(reader, node, "Write whole days or weeks here, or every: %s.", key.words[0]);
        else
            action->cue = key.words[0][0] == 'b' ? WG_CUE_BEFORE_HATCH : WG_CUE_WHEN_FULL;
        return action->cue != WG_CUE_NONE;
    }
    key.words = NULL;
    key.least = -key.most; /* too short an interval has its own message, below */
    if (!wg_read_value(reader, node, &key, &days))
        return false;
    if (days < 1 || fabs(days - round(days)) > 1e-6) {
        wg_read_mistake(
            reader, node,
            "Actions happen at most once a day: write whole days here, for example 1 day, 3 days or 2 weeks.");
        return false;
    }
    action->every = (int32_t)lround(days);
    return true;
}

/* `is_only`: the group has no other keys of time, or they mean something else. */
static bool read_once(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const struct wg_key *once,
                      bool is_only, struct wg_action *action) {
    static const char *const others[] = {"from", "to", "every"};
    bool good = true;
    for (size_t i = 0; !is_only && i < sizeof others / sizeof *others; i++) {
        const struct wg_yaml_node *const other = wg_yaml_get(map, others[i]);
        if (other == NULL)
            continue;
        wg_read_mistake_key(reader, other,
                            "\"on\" makes this happen once, so it cannot be combined with \"%s\". Keep one of the two.",
                            others[i]);
        good = false;
    }
    const struct wg_yaml_node *const on = wg_yaml_get(map, "on");
    if (!wg_read_value(reader, on, once, &action->from))
        return false;
    action->to = action->from;
    if (wg_read_is_year_day(on) && !(once->flags & WG_KEY_FIRST_ONLY))
        return wg_read_yearly(reader, on, on, action) && good;
    return good;
}

/* Reads the days of an action that waits for a condition. */
static bool read_waiting_days(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                              struct wg_action *action) {
    const struct wg_yaml_node *const earliest = wg_yaml_get(map, "earliest"), *const latest =
                                                                                  wg_yaml_get(map, "latest");
    bool good;
    if (wg_read_is_year_day(earliest) || wg_read_is_year_day(latest)) {
        good = wg_read_yearly(reader, earliest, latest, action);
    } else {
        good = wg_read_key(reader, map, group, "earliest", &action->from) != WG_READ_WRONG;
        good &= wg_read_key(reader, map, group, "latest", &action->to) != WG_READ_WRONG;
    }
    if (good && action->when.kind == WG_WHEN_ALWAYS)
        wg_read_mistake(reader, wg_yaml_get(map, "when"),
                        "This always holds, so nothing waits for it. Write the day instead, for example on: %s.",
                        wg_read_key_row(group, "on")->example);
    else if (good && reader->period_known && action->from > action->to)
        wg_read_mistake_key(reader, wg_yaml_get(map, "latest") != NULL ? wg_yaml_get(map, "latest") : map,
                            "\"latest\" is before \"earliest\".");
    else
        return good;
    return false;
}

/* Reads `on`, or `when` with its days, or both: then it is done on that day if the condition holds. */
static bool read_on_or_when(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                            struct wg_action *action) {
    static const char *const days[] = {"earliest", "latest"};
    const struct wg_yaml_node *const on = wg_yaml_get(map, "on");
    const enum wg_read_outcome when = wg_read_key(reader, map, group, "when", &action->when);
    if (on == NULL && when == WG_READ_ABSENT) {
        wg_read_missing(reader, map, wg_schema_group(group)->what, wg_read_key_row(group, "on"));
        return false;
    }
    if (on == NULL)
        return when == WG_READ_GOOD && read_waiting_days(reader, map, group, action);
    bool good = read_once(reader, map, wg_read_key_row(group, "on"), true, action) && when != WG_READ_WRONG;
    for (size_t i = 0; i < sizeof days / sizeof *days; i++)
        if (wg_yaml_get(map, days[i]) != NULL) {
            wg_read_mistake_key(reader, wg_yaml_get(map, days[i]),
                                "\"on\" names the only day, so it cannot be combined with \"%s\". Keep one of the two.",
                                days[i]);
            good = false;
        }
    return good;
}

/* "1 lb/day" says how often by itself. */
static bool is_rate(const struct wg_yaml_node *amount) {
    char message[WG_QUANTITY_MESSAGE];
    double rate;
    return amount != NULL && amount->kind == WG_YAML_TEXT &&
           wg_quantity_read(amount->text, WG_MASS_RATE, &rate, message) == 0;
}

/* An amount without a number, as in "as needed", has its own mistake, which tells how to write a rate. */
static bool lacks_number(const struct wg_yaml_node *amount) {
    return amount != NULL && amount->kind == WG_YAML_TEXT && strpbrk(amount->text, "0123456789") == NULL;
}

bool wg_read_amount(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const struct wg_key *key,
                    int32_t every, double *kg) {
    const struct wg_yaml_node *const node = wg_yaml_get(map, key->name);
    struct wg_key weight = *key;
    weight.words = NULL; /* the caller has read them */
    if (!is_rate(node))
        return wg_read_value(reader, node, &weight, kg);
    char message[WG_QUANTITY_MESSAGE], most[WG_QUANTITY_SHOWN_SIZE];
    double kg_day = 0;
    (void)wg_quantity_read(node->text, WG_MASS_RATE, &kg_day, message);
    if (wg_yaml_get(map, "on") != NULL) {
        wg_read_mistake(reader, node,
                        "\"%.40s\" is a rate, but \"on\" is a single day. Write the amount for that day, for example "
                        "amount: %s, or instead of \"on\" write every: 1 day.",
                        node->text, key->example);
        return false;
    }
    wg_quantity_show(WG_MASS, key->most, most);
    if (kg_day * every < 0 || kg_day * every > key->most) {
        wg_read_mistake(reader, node, "\"%.40s\" cannot be right: it must lie between 0 and %s each time.", node->text,
                        most);
        return false;
    }
    *kg = kg_day * every;
    return true;
}

bool wg_read_timing(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                    struct wg_action *action) {
    const struct wg_key *const once = wg_schema_find(group, "on"), *const repeat = wg_schema_find(group, "every");
    const char *const what = wg_schema_group(group)->what;
    reader->yearly.is_given = false;
    action->from = reader->plan->first_day;
    action->to = reader->plan->last_day;
    action->every = 1;
    if (wg_schema_find(group, "when") != NULL)
        return read_on_or_when(reader, map, group, action);
    if (once != NULL && wg_yaml_get(map, "on") != NULL)
        return read_once(reader, map, once, once->flags & WG_KEY_REQUIRED, action);
    if (once != NULL && (once->flags & WG_KEY_REQUIRED)) {
        (void)wg_read_required(reader, map, group, "on");
        return false;
    }
    const struct wg_yaml_node *const from = wg_yaml_get(map, "from"), *const to = wg_yaml_get(map, "to");
    const struct wg_yaml_node *const every = repeat != NULL ? wg_yaml_get(map, "every") : NULL;
    const struct wg_yaml_node *const amount = wg_yaml_get(map, "amount");
    bool good = repeat == NULL || repeat->otherwise != NULL || every != NULL || is_rate(amount) || lacks_number(amount);
    if (!good && !wg_read_is_misspelt(map, "every"))
        wg_read_mistake(reader, map, "%c%s needs \"on\" with a date, or \"every\". Write for example every: 3 days.",
                        toupper((unsigned char)what[0]), what + 1);
    if (wg_read_is_year_day(from) || wg_read_is_year_day(to)) {
        good &= wg_read_yearly(reader, from, to, action);
    } else {
        good &= from == NULL || wg_read_value(reader, from, wg_schema_find(group, "from"), &action->from);
        good &= to == NULL || wg_read_value(reader, to, wg_schema_find(group, "to"), &action->to);
    }
    good &= every == NULL || read_every(reader, every, repeat, action);
    if (good && reader->period_known && action->from > action->to) {
        wg_read_mistake(reader, to != NULL ? to : from,
                        "\"to\" is before \"from\". Write the first day as \"from\" and the last as \"to\".");
        return false;
    }
    return good;
}

static bool make_action_room(struct wg_scenario_reader *reader) {
    const size_t n = (size_t)reader->plan->n_actions;
    if (n < reader->action_capacity)
        return true;
    const size_t capacity = n == 0 ? 16 : 2 * n;
    struct wg_action *const actions = realloc(reader->plan->actions, capacity * sizeof *actions);
    if (actions != NULL)
        reader->plan->actions = actions;
    const struct wg_yaml_node **const at = realloc(reader->action_at, capacity * sizeof(const struct wg_yaml_node *));
    if (at != NULL)
        reader->action_at = at;
    if (actions == NULL || at == NULL) {
        reader->code = WG_ERR_MEMORY;
        return false;
    }
    reader->action_capacity = capacity;
    return true;
}

void wg_read_add_action(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, struct wg_action action) {
    if (reader->yearly.is_given && reader->period_known)
        wg_read_repeat_action(reader, at, action);
    else
        wg_read_append_action(reader, at, action);
}

void wg_read_append_action(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, struct wg_action action) {
    if (!make_action_room(reader))
        return;
    action.line = at->line;
    reader->action_at[reader->plan->n_actions] = at;
    reader->plan->actions[reader->plan->n_actions++] = action;
}
