/*
 * What contradicts what? Checked once all parts are read, so that one mistake hides no other.
 */
#include "scenario/read.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

/* ---- laboratory and weather ---- */

static void check_laboratory(struct wg_walk *walk) {
    const struct wg_plan *const plan = walk->plan;
    const struct wg_yaml_node *const climate = wg_yaml_get(walk->root, "climate");
    const struct wg_yaml_node *const constant = wg_yaml_get(climate, "constant");
    const bool weather = wg_yaml_get(climate, "normals") != NULL || wg_yaml_get(climate, "record") != NULL;
    int benches = 0;
    for (int p = 0; p < plan->n_places; p++)
        benches += plan->places[p].shelter.kind == WG_LABORATORY;
    for (int p = 0; p < plan->n_places; p++) {
        const struct wg_yaml_node *const housing = wg_yaml_get(walk->place_at[p], "housing");
        const bool bench = plan->places[p].shelter.kind == WG_LABORATORY;
        if (housing == NULL)
            continue;
        if (bench && benches < plan->n_places)
            wg_complain_key(
                walk, housing,
                "A laboratory keeps one constant temperature, the other places have weather: they do not go "
                "together. Put them in two scenarios.");
        else if (bench && weather)
            wg_complain_key(walk, housing,
                            "A laboratory has no weather. Write climate: {constant: 27 degC}, or choose another "
                            "housing.");
        else if (!bench && benches == 0 && constant != NULL)
            wg_complain_key(walk, housing,
                            "A constant climate is for a laboratory. Write housing: {kind: laboratory}, or give the "
                            "climate normals or a record.");
    }
}

/* ---- actions ---- */

/* Two orders for the same day and thing that cannot both be meant. */
static const char *contradiction(const struct wg_action *a, const struct wg_action *b) {
    if (a->kind != b->kind || a->from != b->from)
        return NULL;
    if (a->kind == WG_DO_SET && a->bin == b->bin && a->place == b->place && a->as.set.key == b->as.set.key)
        return "the same setting is changed twice";
    if (a->kind == WG_DO_MOVE && a->as.move.what == b->as.move.what && a->bin == b->bin && a->place == b->place &&
        a->as.move.share + b->as.move.share > 1 + 1e-9)
        return "more than all is moved away";
    return NULL;
}

static bool overlap(const struct wg_action *a, const struct wg_action *b) {
    return a->from <= b->to && b->from <= a->to;
}

/* Standing orders replace each other silently, so two at a time are a mistake. */
static const char *standing_twice(const struct wg_action *a, const struct wg_action *b) {
    if (a->kind != b->kind || !overlap(a, b))
        return NULL;
    if (a->kind == WG_DO_COLLECT && a->bin == b->bin)
        return "crawl-off is collected twice from this bin";
    if (a->kind == WG_DO_LAY_IN_TRAPS && a->place == b->place)
        return "traps are set twice in this place";
    return NULL;
}

static void check_pair(struct wg_walk *walk, int i, int j) {
    const struct wg_action *const a = &walk->plan->actions[i], *const b = &walk->plan->actions[j];
    const char *const same_day = contradiction(a, b);
    const char *const standing = standing_twice(a, b);
    if (same_day != NULL)
        wg_complain(walk, walk->action_at[j], "Together with line %d, %s on this day. Keep one of the two lines.",
                    a->line, same_day);
    else if (standing != NULL)
        wg_complain(walk, walk->action_at[j],
                    "Together with line %d, %s at the same time. Keep one of the two lines, or part them with "
                    "from and to.",
                    a->line, standing);
}

static bool may_contradict(enum wg_do kind) {
    return kind == WG_DO_SET || kind == WG_DO_MOVE || kind == WG_DO_COLLECT || kind == WG_DO_LAY_IN_TRAPS;
}

/* Only kinds that can contradict are compared, pair by pair: a file holds some ten thousand at most. */
static void check_actions(struct wg_walk *walk) {
    const struct wg_plan *const plan = walk->plan;
    for (int j = 1; j < plan->n_actions; j++)
        for (int i = 0; may_contradict(plan->actions[j].kind) && i < j; i++)
            check_pair(walk, i, j);
}

/* Traps that are pulled must hang somewhere. */
static void check_traps(struct wg_walk *walk) {
    const struct wg_plan *const plan = walk->plan;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const pull = &plan->actions[i];
        bool hung = pull->kind != WG_DO_PULL_TRAPS;
        for (int j = 0; !hung && j < plan->n_actions; j++)
            hung = plan->actions[j].kind == WG_DO_LAY_IN_TRAPS && plan->actions[j].place == pull->place;
        if (!hung)
            wg_complain(walk, walk->action_at[i],
                        "No traps are set in this place, so there is nothing to pull. Add for example "
                        "share_laid_in_traps: 60 %%.");
    }
}

/* ---- what the layers below refuse ---- */

/* Their sentences, with a capital and a full stop. */
static void pass_on(struct wg_walk *walk, const struct wg_yaml_node *at, const char *text) {
    const size_t n = strlen(text);
    const char *const stop = n > 0 && text[n - 1] != '.' ? "." : "";
    wg_complain(walk, at, "%c%s%s", toupper((unsigned char)text[0]), n > 0 ? text + 1 : "", stop);
}

/* A record too short for the period and the like: the climate knows, and says so with dates. */
static void try_climate(struct wg_walk *walk, const struct wg_climate **climate) {
    const struct wg_yaml_node *const map = wg_yaml_get(walk->root, "climate"), *const record =
                                                                                   wg_yaml_get(map, "record");
    struct wg_error err = {0};
    struct wg_climate *made = NULL;
    const int code = wg_climate_new(&made, &walk->plan->climate, walk->plan->first_day, walk->plan->last_day, &err);
    if (code == WG_ERR_MEMORY)
        walk->code = code;
    else if (code < 0)
        pass_on(walk, record != NULL ? record : map->key, err.text);
    *climate = code == 0 ? made : NULL;
    if (code < 0)
        wg_climate_free(made);
}

static void try_place(struct wg_walk *walk, const struct wg_climate *climate, int p) {
    struct wg_place_model *const model = calloc(1, sizeof *model);
    if (model == NULL) {
        walk->code = WG_ERR_MEMORY;
        return;
    }
    const struct wg_plan *const plan = walk->plan;
    model->shelter = plan->places[p].shelter;
    model->heater = plan->places[p].heater;
    model->ground = plan->places[p].ground;
    for (int b = 0; b < plan->n_bins; b++)
        if (plan->bins[b].place == p)
            model->bin[model->n_bins++] = plan->bins[b].spec;
    struct wg_error err = {0};
    const int code = wg_place_model_init(model, climate, &err);
    if (code == WG_ERR_MEMORY)
        walk->code = code;
    else if (code < 0)
        pass_on(walk, walk->place_at[p], err.text);
    free(model);
}

static void try_model(struct wg_walk *walk) {
    const struct wg_climate *climate = NULL;
    try_climate(walk, &climate);
    for (int p = 0; climate != NULL && p < walk->plan->n_places; p++)
        try_place(walk, climate, p);
    wg_climate_free((struct wg_climate *)climate);
    struct wg_error err = {0};
    wg_plan_sort(walk->plan); /* nothing asks for the place of an action in the file any more */
    if (walk->problems->n == 0 && wg_plan_check(walk->plan, &err) < 0)
        pass_on(walk, walk->root, err.text);
}

void wg_walk_check(struct wg_walk *walk) {
    if (!walk->started && !walk->wild)
        wg_complain(walk, walk->root,
                    "Nobody lives here: there is no starter and there are no wild visitors. Write for example "
                    "starter: [{on: 2026-09-15, in: trough, stage: larva, age: 5 days, count: 10000}].");
    check_laboratory(walk);
    check_actions(walk);
    check_traps(walk);
    if (walk->problems->n == 0 && walk->code == 0)
        try_model(walk);
}
