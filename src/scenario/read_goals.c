/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads goals: one, or a list of them.
 */
#include "scenario/read.h"
#include "text/money.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#define DAYS_A_WEEK 7

/* ---- the plan ---- */

static bool has_action(const struct wg_scenario_reader *reader, enum wg_action_kind kind) {
    for (int i = 0; i < reader->plan->n_actions; i++)
        if (reader->plan->actions[i].kind == kind)
            return true;
    return false;
}

static bool takes_out(const struct wg_scenario_reader *reader) {
    return has_action(reader, WG_ACTION_COLLECT) || has_action(reader, WG_ACTION_SCOOP);
}

/* A source that draws power without a known price would make the cost look too small. */
static bool has_cost(struct wg_scenario_reader *reader, const struct wg_yaml_node *amount) {
    struct wg_source source;
    if (!wg_plan_source(reader->plan, 0, &source))
        wg_read_mistake_key(
            reader, amount,
            "Nothing in this plan draws power, so its cost is always 0. Remove this goal, or give a place "
            "a heater or a bin a mat.");
    else if (wg_plan_has_cost(reader->plan, &source))
        return true;
    else
        wg_read_mistake_key(reader, amount, "The cost is not known: the %s of \"%s\" %s no %s. Add for example %s.",
                            wg_source_name(source.kind), source.where, source.kind == WG_SOURCE_LAMPS ? "have" : "has",
                            source.has_power ? "price" : "power",
                            source.has_power ? "price: 0.15 per kWh"
                                             : "lamps: {hours: 12 hours, power: 100 W, price: 0.15 per kWh}");
    return false;
}

/* ---- amounts ---- */

static bool read_survive(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    bool wanted = true;
    if (wg_read_key(reader, map, WG_GROUP_GOAL, "survive", &wanted) != WG_READ_GOOD)
        return false;
    if (!wanted)
        wg_read_mistake(reader, wg_yaml_get(map, "survive"),
                        "The death of the colony cannot be a goal. Write survive: yes.");
    return wanted;
}

/* Returns true if nothing or a currency follows an amount. */
static bool is_currency(const struct wg_scenario_reader *reader, const char *rest) {
    rest = wg_skip_blanks(rest);
    return rest[wg_money_prefix(rest)] == '\0' || strcmp(rest, reader->plan->currency) == 0;
}

/* Reads "at most 120", "above 0", "$120" or "120 EUR". */
static bool read_money(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, enum wg_goal_kind kind,
                       double *amount) {
    const char *const prefix = kind == WG_GOAL_COST ? "at most " : "above ";
    const char *const example = wg_schema_find(WG_GROUP_GOAL, wg_goal_name(kind))->example;
    const char *text = wg_read_text(reader, node, "an amount of money", example), *rest;
    if (text == NULL)
        return false;
    if (strncmp(text, prefix, strlen(prefix)) == 0)
        text += strlen(prefix);
    if (wg_number_read(text + wg_money_prefix(text), amount, &rest) == 0 && is_currency(reader, rest) && *amount >= 0)
        return wg_read_currency_of(reader, node, text);
    wg_read_mistake(reader, node,
                    "\"%.40s\" is not an amount of money: write for example %s: %s, in the plan's currency.",
                    node->text, wg_goal_name(kind), example);
    return false;
}

static bool read_goal_amount(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, struct wg_goal *goal) {
    const char *const name = wg_goal_name(goal->kind);
    int64_t count;
    if (goal->kind == WG_GOAL_SURVIVE)
        return read_survive(reader, map);
    if (goal->kind == WG_GOAL_COST || goal->kind == WG_GOAL_BALANCE)
        return read_money(reader, wg_yaml_get(map, name), goal->kind, &goal->amount);
    if (goal->kind != WG_GOAL_ADULTS && goal->kind != WG_GOAL_EGGS_TRAPPED) {
        const bool good = wg_read_key(reader, map, WG_GROUP_GOAL, name, &goal->amount) == WG_READ_GOOD;
        goal->amount *= goal->kind == WG_GOAL_HARVEST ? DAYS_A_WEEK : 1;
        return good;
    }
    if (wg_read_key(reader, map, WG_GROUP_GOAL, name, &count) != WG_READ_GOOD)
        return false;
    goal->amount = (double)count;
    return true;
}

/* ---- the other keys ---- */

static bool is_harvest(enum wg_goal_kind kind) {
    return kind == WG_GOAL_HARVEST || kind == WG_GOAL_TOTAL_HARVEST;
}

static bool read_lasting(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, struct wg_goal *goal) {
    const struct wg_yaml_node *const node = wg_yaml_get(map, "lasting");
    double days;
    if (node == NULL)
        return true;
    if (goal->kind != WG_GOAL_HARVEST) {
        wg_read_mistake_key(reader, node,
                            "Only a weekly harvest can last, for example {harvest: 5 lb/week, lasting: 4 weeks}.");
        return false;
    }
    if (wg_read_key(reader, map, WG_GROUP_GOAL, "lasting", &days) != WG_READ_GOOD)
        return false;
    goal->weeks = (int)lround(days / DAYS_A_WEEK);
    if (goal->weeks < 1 || fabs(days - goal->weeks * DAYS_A_WEEK) > 1e-6) {
        wg_read_mistake(reader, node, "A weekly harvest lasts whole weeks, for example lasting: 4 weeks.");
        return false;
    }
    return true;
}

static bool read_of(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, struct wg_goal *goal) {
    const struct wg_yaml_node *const node = wg_yaml_get(map, "of");
    int i;
    goal->all_crawl_off = is_harvest(goal->kind) && !takes_out(reader);
    if (node == NULL)
        return true;
    if (!is_harvest(goal->kind)) {
        wg_read_mistake_key(reader, node,
                            "\"of\" is only for a harvest, where it can be taken or crawl-off (caught or not).");
        return false;
    }
    if (wg_read_key(reader, map, WG_GROUP_GOAL, "of", &i) != WG_READ_GOOD)
        return false;
    if (i == 0 && !takes_out(reader)) {
        wg_read_mistake(
            reader, node,
            "Nothing is taken out in this plan. Add for example keeping: [{do: collect crawl-off, in: trough, "
            "share: 80 %%}], or write of: crawl-off.");
        return false;
    }
    goal->all_crawl_off = i == 1;
    return true;
}

/* ---- contradictions ---- */

/* What can never be met, or never be missed. */
static bool check_goal_possible(struct wg_scenario_reader *reader, const struct wg_yaml_node *amount,
                                const struct wg_goal *goal) {
    const bool traps = has_action(reader, WG_ACTION_LAY_IN_TRAPS);
    if (goal->kind == WG_GOAL_EGGS_TRAPPED && !traps)
        wg_read_mistake_key(reader, amount,
                            "No traps are set in this plan, so no eggs are trapped. Add for example keeping: [{do: set "
                            "traps, in: hoop house, share_laid_in_traps: 60 %%}].");
    else if (goal->kind == WG_GOAL_BALANCE && !wg_plan_keeps_accounts(reader->plan))
        wg_read_mistake_key(reader, amount,
                            "A balance needs a price of something besides energy. Add for example prices: {larvae: 4 "
                            "per kg}, or a price to a feeding or starter.");
    else
        return goal->kind != WG_GOAL_COST || has_cost(reader, amount);
    return false;
}

static bool check_chance_keys(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                              const struct wg_goal *goal) {
    const struct wg_yaml_node *const chance = wg_yaml_get(map, "chance"), *const lasting = wg_yaml_get(map, "lasting");
    const struct wg_yaml_node *const by = wg_yaml_get(map, "by");
    const char *const problem = reader->period_known ? wg_goal_problem(goal, reader->plan) : NULL;
    if (problem == NULL)
        return true;
    const bool unsure = !(goal->chance > 0 && goal->chance < 1);
    const struct wg_yaml_node *const at = unsure ? chance : lasting != NULL ? lasting : by;
    wg_read_mistake(reader, at != NULL ? at : map, "%c%s.", toupper((unsigned char)problem[0]), problem + 1);
    return false;
}

static bool is_new(struct wg_scenario_reader *reader, const struct wg_yaml_node *amount, const struct wg_goal *goal) {
    for (int i = 0; i < reader->plan->n_goals; i++) {
        const struct wg_goal *const other = &reader->plan->goal[i];
        if (other->kind != goal->kind || other->by != goal->by || other->weeks != goal->weeks ||
            other->all_crawl_off != goal->all_crawl_off)
            continue;
        wg_read_mistake_key(reader, amount, "Line %d asks for %s by the same day already. Keep one of the two.",
                            other->line, wg_goal_name(goal->kind));
        return false;
    }
    return true;
}

/* ---- a goal ---- */

/* Returns the key that says what is wanted; reports none or several and returns NULL. `misspelt`: some key has been
 * reported already. */
static const struct wg_yaml_node *find_kind(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                                            bool misspelt, struct wg_goal *goal) {
    const struct wg_yaml_node *found = NULL;
    for (int kind = 0; kind < WG_GOAL_N_KINDS; kind++) {
        const struct wg_yaml_node *const node = wg_yaml_get(map, wg_goal_name((enum wg_goal_kind)kind));
        if (node != NULL && found != NULL) {
            wg_read_mistake_key(
                reader, node,
                "A goal asks for one thing. Write a list: goal: [{survive: yes, chance: 95 %%}, {harvest: 5 "
                "lb/week}].");
            return NULL;
        }
        if (node != NULL) {
            found = node;
            goal->kind = (enum wg_goal_kind)kind;
        }
    }
    if (found == NULL && !misspelt)
        wg_read_mistake(reader, map,
                        "This goal does not say what you want. Write for example goal: {survive: yes, chance: 95 %%}; "
                        "it can be survive, harvest, "
                        "adults, eggs_trapped, total_harvest, cost or balance.");
    return found;
}

static void read_goal(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    struct wg_goal goal = {.weeks = 1, .chance = WG_GOAL_CHANCE, .line = map->line};
    const size_t mistakes = reader->problems->n;
    if (!wg_read_group(reader, map, WG_GROUP_GOAL))
        return;
    const struct wg_yaml_node *const amount = find_kind(reader, map, reader->problems->n > mistakes, &goal);
    if (amount == NULL)
        return;
    bool good = read_goal_amount(reader, map, &goal);
    good &= read_lasting(reader, map, &goal);
    good &= read_of(reader, map, &goal);
    goal.by = reader->plan->last_day - DAYS_A_WEEK * (goal.weeks - 1);
    good &= wg_read_members(reader, map, WG_GROUP_GOAL, &goal);
    if (!good || !check_goal_possible(reader, amount, &goal) || !check_chance_keys(reader, map, &goal) ||
        !is_new(reader, amount, &goal))
        return;
    if (reader->plan->n_goals == WG_MAX_GOALS)
        wg_read_mistake(reader, map, "This is one goal too many: a scenario may have %d.", WG_MAX_GOALS);
    else
        reader->plan->goal[reader->plan->n_goals++] = goal;
}

void wg_read_goal(struct wg_scenario_reader *reader) {
    const struct wg_yaml_node *const goal = wg_yaml_get(reader->root, "goal");
    if (goal == NULL)
        return;
    if (goal->kind != WG_YAML_LIST) {
        read_goal(reader, goal);
        return;
    }
    if (!wg_read_list(reader, reader->root, WG_GROUP_SCENARIO, "goal"))
        return;
    for (const struct wg_yaml_node *map = goal->first; map != NULL; map = map->next)
        read_goal(reader, map);
}
