/*
 * What is wanted, how much, by when, and how surely? One goal or a list of them.
 */
#include "scenario/read.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#define DAYS_A_WEEK 7

static const char what[] = "a goal";

/* ---- the plan behind it ---- */

static bool has_action(const struct wg_walk *walk, enum wg_do kind) {
    for (int i = 0; i < walk->plan->n_actions; i++)
        if (walk->plan->actions[i].kind == kind)
            return true;
    return false;
}

static bool takes_out(const struct wg_walk *walk) {
    return has_action(walk, WG_DO_COLLECT) || has_action(walk, WG_DO_SCOOP);
}

/* Whatever draws power without a known price would make any cost look smaller than it is. */
static bool has_cost(struct wg_walk *walk, const struct wg_yaml_node *amount) {
    struct wg_source source;
    if (!wg_plan_source(walk->plan, 0, &source))
        wg_complain_key(
            walk, amount,
            "Nothing in this plan draws power, so its cost is always 0. Take this goal out, or give a place "
            "a heater or a bin a mat.");
    else if (wg_plan_has_cost(walk->plan, &source))
        return true;
    else
        wg_complain_key(walk, amount, "The cost is not known: the %s of \"%s\" %s no %s. Add for example %s.",
                        wg_source_name(source.kind), source.where, source.kind == WG_SOURCE_LAMPS ? "have" : "has",
                        source.has_power ? "price" : "power",
                        source.has_power ? "price: 0.15 per kWh"
                                         : "lamps: {hours: 12 hours, power: 100 W, price: 0.15 per kWh}");
    return false;
}

/* ---- amounts ---- */

static bool read_survive(struct wg_walk *walk, const struct wg_yaml_node *node) {
    bool wanted = true;
    if (!wg_walk_flag(walk, node, &wanted))
        return false;
    if (!wanted)
        wg_complain(walk, node, "That the colony dies cannot be a goal. Write survive: yes.");
    return wanted;
}

/* "at most 120" or "120", in the scenario's money. */
static bool read_cost(struct wg_walk *walk, const struct wg_yaml_node *node, double *amount) {
    static const char prefix[] = "at most ";
    const char *text = wg_walk_text(walk, node, "an amount of money", "at most 120"), *rest;
    if (text == NULL)
        return false;
    if (strncmp(text, prefix, sizeof prefix - 1) == 0)
        text += sizeof prefix - 1;
    if (wg_number_read(text, amount, &rest) == 0 && *rest == '\0' && *amount >= 0)
        return true;
    wg_complain(walk, node,
                "\"%.40s\" is not an amount of money: write cost: at most 120, in the money of the prices and without "
                "its name.",
                node->text);
    return false;
}

static bool read_count(struct wg_walk *walk, const struct wg_yaml_node *node, const char *name, double *amount) {
    int64_t count;
    if (!wg_walk_whole(walk, node, name, 1, WG_MOST_STARTERS, &count))
        return false;
    *amount = (double)count;
    return true;
}

static bool read_rate(struct wg_walk *walk, const struct wg_yaml_node *node, double *kg_week) {
    double kg_day;
    if (!wg_walk_quantity(walk, node, WG_MASS_RATE, 0, 1e6, &kg_day))
        return false;
    *kg_week = kg_day * DAYS_A_WEEK;
    return true;
}

static bool read_amount(struct wg_walk *walk, const struct wg_yaml_node *node, struct wg_goal *goal) {
    switch (goal->kind) {
    case WG_GOAL_SURVIVE:
        return read_survive(walk, node);
    case WG_GOAL_HARVEST:
        return read_rate(walk, node, &goal->amount);
    case WG_GOAL_ADULTS:
        return read_count(walk, node, "the number of adults", &goal->amount);
    case WG_GOAL_EGGS_TRAPPED:
        return read_count(walk, node, "the number of eggs", &goal->amount);
    case WG_GOAL_TOTAL_HARVEST:
        return wg_walk_quantity(walk, node, WG_MASS, 0, 1e9, &goal->amount);
    case WG_GOAL_COST:
        return read_cost(walk, node, &goal->amount);
    case WG_GOAL_N_KINDS:
        break;
    }
    return false;
}

/* ---- the other keys ---- */

static bool is_harvest(enum wg_goal_kind kind) {
    return kind == WG_GOAL_HARVEST || kind == WG_GOAL_TOTAL_HARVEST;
}

static bool read_lasting(struct wg_walk *walk, const struct wg_yaml_node *node, struct wg_goal *goal) {
    double days;
    if (node == NULL)
        return true;
    if (goal->kind != WG_GOAL_HARVEST) {
        wg_complain_key(walk, node,
                        "Only a weekly harvest can last, for example {harvest: 5 lb/week, lasting: 4 weeks}.");
        return false;
    }
    if (!wg_walk_quantity(walk, node, WG_DAYS, 1, 36500, &days))
        return false;
    goal->weeks = (int)lround(days / DAYS_A_WEEK);
    if (goal->weeks < 1 || fabs(days - goal->weeks * DAYS_A_WEEK) > 1e-6) {
        wg_complain(walk, node, "A weekly harvest lasts whole weeks, for example lasting: 4 weeks.");
        return false;
    }
    return true;
}

static bool read_of(struct wg_walk *walk, const struct wg_yaml_node *node, struct wg_goal *goal) {
    static const char *const words[] = {"taken", "crawl-off", NULL};
    goal->all_crawl_off = is_harvest(goal->kind) && !takes_out(walk);
    if (node == NULL)
        return true;
    if (!is_harvest(goal->kind)) {
        wg_complain_key(walk, node,
                        "Only of a harvest it can be said what counts: taken, or crawl-off (caught or not).");
        return false;
    }
    const int i = wg_walk_word(walk, node, "a harvest", words);
    if (i == 0 && !takes_out(walk)) {
        wg_complain(walk, node,
                    "Nothing is taken out in this plan. Add for example keeping: [{do: collect crawl-off, in: trough, "
                    "share: 80 %%}], or write of: crawl-off.");
        return false;
    }
    goal->all_crawl_off = i == 1;
    return i >= 0;
}

static bool read_by(struct wg_walk *walk, const struct wg_yaml_node *node, struct wg_goal *goal) {
    const struct wg_plan *const plan = walk->plan;
    goal->by = plan->last_day - DAYS_A_WEEK * (goal->weeks - 1);
    return node == NULL || wg_walk_day(walk, node, &goal->by);
}

/* ---- contradictions ---- */

/* What can never be met, or never be missed. */
static bool makes_sense(struct wg_walk *walk, const struct wg_yaml_node *amount, const struct wg_goal *goal) {
    const bool traps = has_action(walk, WG_DO_LAY_IN_TRAPS);
    if (goal->kind == WG_GOAL_EGGS_TRAPPED && !traps)
        wg_complain_key(walk, amount,
                        "No traps are set in this plan, so no eggs are trapped. Add for example keeping: [{do: set "
                        "traps, in: hoop house, share_laid_in_traps: 60 %%}].");
    else
        return goal->kind != WG_GOAL_COST || has_cost(walk, amount);
    return false;
}

static bool fits(struct wg_walk *walk, const struct wg_yaml_node *map, const struct wg_goal *goal) {
    const struct wg_yaml_node *const chance = wg_yaml_get(map, "chance"), *const lasting = wg_yaml_get(map, "lasting");
    const struct wg_yaml_node *const by = wg_yaml_get(map, "by");
    const char *const problem = walk->period_known ? wg_goal_problem(goal, walk->plan) : NULL;
    if (problem == NULL)
        return true;
    const bool unsure = !(goal->chance > 0 && goal->chance < 1);
    const struct wg_yaml_node *const at = unsure ? chance : lasting != NULL ? lasting : by;
    wg_complain(walk, at != NULL ? at : map, "%c%s.", toupper((unsigned char)problem[0]), problem + 1);
    return false;
}

static bool is_new(struct wg_walk *walk, const struct wg_yaml_node *amount, const struct wg_goal *goal) {
    for (int i = 0; i < walk->plan->n_goals; i++) {
        const struct wg_goal *const other = &walk->plan->goal[i];
        if (other->kind != goal->kind || other->by != goal->by || other->weeks != goal->weeks ||
            other->all_crawl_off != goal->all_crawl_off)
            continue;
        wg_complain_key(walk, amount, "Line %d asks for %s by the same day already. Keep one of the two.", other->line,
                        wg_goal_name(goal->kind));
        return false;
    }
    return true;
}

/* ---- a goal ---- */

/* The one key that says what is wanted; NULL, with a complaint, unless there is exactly one. `misspelt`: keys were complained of. */
static const struct wg_yaml_node *find_kind(struct wg_walk *walk, const struct wg_yaml_node *map, bool misspelt,
                                            struct wg_goal *goal) {
    const struct wg_yaml_node *found = NULL;
    for (int kind = 0; kind < WG_GOAL_N_KINDS; kind++) {
        const struct wg_yaml_node *const node = wg_yaml_get(map, wg_goal_name((enum wg_goal_kind)kind));
        if (node != NULL && found != NULL) {
            wg_complain_key(walk, node,
                            "A goal is one thing. Make a list: goal: [{survive: yes, chance: 95 %%}, {harvest: 5 "
                            "lb/week}].");
            return NULL;
        }
        if (node != NULL) {
            found = node;
            goal->kind = (enum wg_goal_kind)kind;
        }
    }
    if (found == NULL && !misspelt)
        wg_complain(
            walk, map,
            "What is wanted? Write for example goal: {survive: yes, chance: 95 %%}; it can be survive, harvest, "
            "adults, eggs_trapped, total_harvest or cost.");
    return found;
}

static void read_goal(struct wg_walk *walk, const struct wg_yaml_node *map) {
    static const char *const keys[] = {
        "survive", "harvest", "adults", "eggs_trapped", "total_harvest", "cost", "by", "lasting", "of", "chance", NULL};
    struct wg_goal goal = {.weeks = 1, .chance = WG_GOAL_CHANCE, .line = map->line};
    const struct wg_yaml_node *const chance = wg_yaml_get(map, "chance");
    const size_t mistakes = walk->problems->n;
    if (!wg_walk_map(walk, map, what, keys))
        return;
    const struct wg_yaml_node *const amount = find_kind(walk, map, walk->problems->n > mistakes, &goal);
    if (amount == NULL)
        return;
    bool good = read_amount(walk, amount, &goal);
    good &= read_lasting(walk, wg_yaml_get(map, "lasting"), &goal);
    good &= read_of(walk, wg_yaml_get(map, "of"), &goal);
    good &= read_by(walk, wg_yaml_get(map, "by"), &goal);
    good &= chance == NULL || wg_walk_quantity(walk, chance, WG_SHARE, 0, 1, &goal.chance);
    if (!good || !makes_sense(walk, amount, &goal) || !fits(walk, map, &goal) || !is_new(walk, amount, &goal))
        return;
    if (walk->plan->n_goals == WG_MAX_GOALS)
        wg_complain(walk, map, "These are too many goals: %d are the most.", WG_MAX_GOALS);
    else
        walk->plan->goal[walk->plan->n_goals++] = goal;
}

void wg_walk_goal(struct wg_walk *walk) {
    const struct wg_yaml_node *const goal = wg_yaml_get(walk->root, "goal");
    if (goal == NULL)
        return;
    if (goal->kind != WG_YAML_LIST) {
        read_goal(walk, goal);
        return;
    }
    if (!wg_walk_list(walk, goal, "a list of goals", "goal: [{survive: yes, chance: 95 %}]"))
        return;
    for (const struct wg_yaml_node *map = goal->first; map != NULL; map = map->next)
        read_goal(walk, map);
}
