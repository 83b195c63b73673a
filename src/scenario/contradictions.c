/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reports contradictions between keys, after all parts of a scenario have been read.
 */
#include "scenario/read.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

/* ---- laboratory and weather ---- */

static void check_laboratory(struct wg_scenario_reader *reader) {
    const struct wg_plan *const plan = reader->plan;
    const struct wg_yaml_node *const climate = wg_yaml_get(reader->root, "climate");
    const struct wg_yaml_node *const constant = wg_yaml_get(climate, "constant");
    const bool weather = wg_yaml_get(climate, "normals") != NULL || wg_yaml_get(climate, "record") != NULL ||
                         wg_yaml_get(climate, "sketch") != NULL;
    int benches = 0;
    for (int p = 0; p < plan->n_places; p++)
        benches += plan->places[p].shelter.kind == WG_LABORATORY;
    for (int p = 0; p < plan->n_places; p++) {
        const struct wg_yaml_node *const housing = wg_yaml_get(reader->place_at[p], "housing");
        const bool bench = plan->places[p].shelter.kind == WG_LABORATORY;
        if (housing == NULL || reader->housing_wrong[p])
            continue;
        if (bench && benches < plan->n_places)
            wg_read_mistake_key(
                reader, housing,
                "A laboratory has a constant temperature, the other places have weather: one scenario cannot hold "
                "both. Put them in two scenarios.");
        else if (bench && weather)
            wg_read_mistake_key(reader, housing,
                                "A laboratory has no weather. Write climate: {constant: 27 degC}, or choose another "
                                "housing.");
        else if (!bench && benches == 0 && constant != NULL && !weather)
            wg_read_mistake_key(
                reader, housing,
                "A constant climate is for a laboratory. Write housing: {kind: laboratory}, or give the "
                "climate normals or a record.");
    }
}

/* ---- actions ---- */

/* Describes why two actions on the same day contradict each other; NULL if they do not. */
static const char *action_conflict(const struct wg_action *a, const struct wg_action *b) {
    if (a->kind != b->kind || a->from != b->from || a->when.kind != WG_WHEN_ALWAYS || b->when.kind != WG_WHEN_ALWAYS)
        return NULL;
    if (a->kind == WG_ACTION_SET && a->bin == b->bin && a->place == b->place && a->as.set.key == b->as.set.key)
        return "the same setting is changed twice";
    if (a->kind == WG_ACTION_MOVE && a->as.move.what == b->as.move.what && a->bin == b->bin && a->place == b->place &&
        a->as.move.share + b->as.move.share > 1 + 1e-9)
        return "more than 100 % is moved away";
    return NULL;
}

static bool overlap(const struct wg_action *a, const struct wg_action *b) {
    return a->from <= b->to && b->from <= a->to;
}

/* A second standing order would silently replace the first, so two at the same time are a mistake. */
static const char *standing_conflict(const struct wg_action *a, const struct wg_action *b) {
    if (a->kind != b->kind || !overlap(a, b))
        return NULL;
    if (a->kind == WG_ACTION_COLLECT && a->bin == b->bin)
        return "crawl-off is collected twice from this bin";
    if (a->kind == WG_ACTION_LAY_IN_TRAPS && a->place == b->place)
        return "traps are set twice in this place";
    return NULL;
}

static void check_action_pair(struct wg_scenario_reader *reader, int i, int j) {
    const struct wg_action *const a = &reader->plan->actions[i], *const b = &reader->plan->actions[j];
    const char *const same_day = action_conflict(a, b);
    const char *const standing = standing_conflict(a, b);
    const struct wg_yaml_node *const at[2] = {reader->action_at[i], reader->action_at[j]};
    if ((same_day == NULL && standing == NULL) || memcmp(at, reader->conflict_at, sizeof at) == 0) /* in another year */
        return;
    memcpy(reader->conflict_at, at, sizeof at);
    if (same_day != NULL)
        wg_read_mistake(reader, reader->action_at[j],
                        "Together with line %d, %s on this day. Keep one of the two lines.", a->line, same_day);
    else
        wg_read_mistake(reader, reader->action_at[j],
                        "Together with line %d, %s at the same time. Keep one of the two lines, or separate them "
                        "with from and to.",
                        a->line, standing);
}

static bool can_conflict(enum wg_action_kind kind) {
    return kind == WG_ACTION_SET || kind == WG_ACTION_MOVE || kind == WG_ACTION_COLLECT ||
           kind == WG_ACTION_LAY_IN_TRAPS;
}

/* Compares all pairs, but only of kinds that can conflict: a file holds about ten thousand actions at most. */
static void check_actions(struct wg_scenario_reader *reader) {
    const struct wg_plan *const plan = reader->plan;
    for (int j = 1; j < plan->n_actions; j++)
        for (int i = 0; can_conflict(plan->actions[j].kind) && i < j; i++)
            check_action_pair(reader, i, j);
}

/* Traps must be set in a place before they can be pulled there. */
static void check_traps_set(struct wg_scenario_reader *reader) {
    const struct wg_plan *const plan = reader->plan;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const pull = &plan->actions[i];
        bool hung = pull->kind != WG_ACTION_PULL_TRAPS;
        for (int j = 0; !hung && j < plan->n_actions; j++)
            hung = plan->actions[j].kind == WG_ACTION_LAY_IN_TRAPS && plan->actions[j].place == pull->place;
        if (!hung)
            wg_read_mistake(reader, reader->action_at[i],
                            "No traps are set in this place, so there is nothing to pull. Add for example "
                            "share_laid_in_traps: 60 %%.");
    }
}

/* A move from the reserve of a neighbour needs a neighbour. */
static void check_neighbours(struct wg_scenario_reader *reader) {
    const struct wg_plan *const plan = reader->plan;
    int neighbours = 0;
    for (int p = 0; p < plan->n_places; p++)
        neighbours += plan->places[p].is_neighbour;
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].when.kind == WG_WHEN_OURS_DEAD && neighbours == 0)
            wg_read_mistake(
                reader, wg_yaml_get(reader->action_at[i], "when"),
                "No place of this plan is a neighbour's, so nothing is left when yours died out. Add keeper: "
                "neighbour to the place that holds the reserve.");
    if (neighbours > 0 && neighbours == plan->n_places)
        wg_read_mistake_key(reader, wg_yaml_get(reader->root, "places"),
                            "All places are a neighbour's. Remove keeper: neighbour from your own.");
}

/* ---- checks of the model ---- */

/* Adds the capital letter and the full stop that the model's sentences lack. */
static void report_model_problem(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, const char *text) {
    const size_t n = strlen(text);
    const char *const stop = n > 0 && text[n - 1] != '.' ? "." : "";
    wg_read_mistake(reader, at, "%c%s%s", toupper((unsigned char)text[0]), n > 0 ? text + 1 : "", stop);
}

/* The climate finds, for example, a record too short for the period, and names the dates. */
static void check_climate_model(struct wg_scenario_reader *reader, const struct wg_climate **climate) {
    const struct wg_yaml_node *const map = wg_yaml_get(reader->root, "climate"), *const record =
                                                                                     wg_yaml_get(map, "record");
    struct wg_error err = {0};
    struct wg_climate *made = NULL;
    const int code =
        wg_climate_new(&made, &reader->plan->climate, reader->plan->first_day, reader->plan->last_day, &err);
    if (code == WG_ERR_MEMORY)
        reader->code = code;
    else if (code < 0)
        report_model_problem(reader, record != NULL ? record : map->key, err.text);
    *climate = code == 0 ? made : NULL;
    if (code < 0)
        wg_climate_free(made);
}

static void check_place_model(struct wg_scenario_reader *reader, const struct wg_climate *climate, int p) {
    struct wg_place_model *const model = calloc(1, sizeof *model);
    if (model == NULL) {
        reader->code = WG_ERR_MEMORY;
        return;
    }
    const struct wg_plan *const plan = reader->plan;
    model->shelter = plan->places[p].shelter;
    model->heater = plan->places[p].heater;
    model->ground = plan->places[p].ground;
    for (int b = 0; b < plan->n_bins; b++)
        if (plan->bins[b].place == p)
            model->bin[model->n_bins++] = plan->bins[b].spec;
    struct wg_error err = {0};
    const int code = wg_place_model_init(model, climate, &err);
    if (code == WG_ERR_MEMORY)
        reader->code = code;
    else if (code < 0)
        report_model_problem(reader, reader->place_at[p], err.text);
    free(model);
}

static void check_models(struct wg_scenario_reader *reader) {
    const struct wg_climate *climate = NULL;
    check_climate_model(reader, &climate);
    for (int p = 0; climate != NULL && p < reader->plan->n_places; p++)
        check_place_model(reader, climate, p);
    wg_climate_free((struct wg_climate *)climate);
    struct wg_error err = {0};
    wg_plan_sort(reader->plan); /* action_at[] is no longer needed */
    if (reader->problems->n == 0 && wg_plan_check(reader->plan, &err) < 0)
        report_model_problem(reader, reader->root, err.text);
}

void wg_read_check(struct wg_scenario_reader *reader) {
    if (!reader->started && !reader->wild)
        wg_read_mistake(reader, reader->root,
                        "This plan has no animals: it has neither a starter nor wild_visitors. Write for example "
                        "starter: [{on: 2026-09-15, in: trough, stage: larva, age: 5 days, count: 10000}].");
    check_laboratory(reader);
    check_actions(reader);
    check_traps_set(reader);
    check_neighbours(reader);
    if (reader->problems->n == 0 && reader->code == 0)
        check_models(reader);
}
