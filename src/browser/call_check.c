/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * "check": the plan as understood; "set": its text with one value changed.
 */
#include "browser/page.h"
#include "browser/plan_edit.h"
#include "outline/outline.h"
#include "outline/outline_walk.h"
#include "text/goal_text.h"
#include "text/show.h"
#include "variants/vary.h"
#include "variants/written_units.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- keys ---- */

static const char *kind_name(enum wg_key_kind kind) {
    static const char *const names[WG_KEY_N_KINDS] = {
        [WG_KEY_QUANTITY] = "quantity", [WG_KEY_WHOLE] = "whole",
        [WG_KEY_SEED] = "seed",         [WG_KEY_WORD] = "word",
        [WG_KEY_FEED] = "feed",         [WG_KEY_FLAG] = "flag",
        [WG_KEY_SWITCH] = "switch",     [WG_KEY_DATE] = "date",
        [WG_KEY_YEAR_DAY] = "year_day", [WG_KEY_TEXT] = "text",
        [WG_KEY_NAME] = "name",         [WG_KEY_BIN] = "bin",
        [WG_KEY_PLACE] = "place",       [WG_KEY_BIN_OR_PLACE] = "bin_or_place",
        [WG_KEY_LATITUDE] = "latitude", [WG_KEY_WHEN] = "when",
        [WG_KEY_MONEY] = "money",       [WG_KEY_MONTHS] = "months",
        [WG_KEY_RANGE] = "range",       [WG_KEY_GROUP] = "group",
        [WG_KEY_LIST] = "list",         [WG_KEY_ACTIONS] = "actions",
        [WG_KEY_MIX] = "mix",           [WG_KEY_CHOICES] = "choices"};
    return names[kind];
}

/* Writes the value as a plan writes it. */
static void put_key_value(struct wg_json *json, const struct wg_outline_key *key) {
    struct wg_bytes text = {0};
    if (key->node != NULL && key->node->kind != WG_YAML_TEXT)
        wg_openings_put_value(key->node, &text);
    wg_json_lines(json, "value",
                  text.data != NULL                    ? text.data
                  : key->node != NULL                  ? key->node->text
                  : key->origin == WG_OUTLINE_LEFT_OUT ? NULL
                  : key->key->otherwise != NULL        ? key->key->otherwise
                                                       : key->shown);
    wg_bytes_free(&text);
}

static void put_key_words(struct wg_json *json, const struct wg_key *key) {
    const char *words[WG_SCHEMA_MAX_WORDS];
    wg_schema_words(key, words);
    wg_json_list(json, "words");
    for (int i = 0; words[i] != NULL; i++)
        wg_json_text(json, NULL, words[i]);
    wg_json_close(json);
}

/* The example in both unit systems. */
static void put_key_example(struct wg_json *json, const struct wg_key *row) {
    char message[WG_QUANTITY_MESSAGE], shown[WG_QUANTITY_SHOWN_SIZE];
    double value;
    if (row->kind != WG_KEY_QUANTITY || row->example == NULL)
        return;
    const enum wg_dimension dimension = wg_schema_dimension(row, row->example);
    if (wg_quantity_read(row->example, dimension, &value, message) != 0)
        return;
    wg_quantity_show(dimension, value, shown);
    wg_json_text(json, "example_shown", shown);
}

/* The value and its limits in core units, for a slider. */
static void put_key_number(struct wg_json *json, const struct wg_outline_key *key) {
    const struct wg_key *const row = key->key;
    const char *const text = key->node != NULL && key->node->kind == WG_YAML_TEXT ? key->node->text : row->otherwise;
    const bool is_number = row->kind == WG_KEY_QUANTITY || row->kind == WG_KEY_WHOLE || row->kind == WG_KEY_MONTHS;
    char message[WG_QUANTITY_MESSAGE];
    double value = (double)NAN;
    if (row->kind == WG_KEY_QUANTITY && text != NULL)
        (void)wg_quantity_read(text, wg_schema_dimension(row, text), &value, message);
    wg_json_real(json, "number", value);
    put_key_example(json, row);
    wg_json_text(json, "dimension", is_number && row->kind != WG_KEY_WHOLE ? wg_dimension_name(row->dimension) : NULL);
    wg_json_text(json, "unit", is_number && row->kind != WG_KEY_WHOLE ? wg_dimension_example(row->dimension) : NULL);
    wg_json_real(json, "low", is_number ? row->least : (double)NAN);
    wg_json_real(json, "high", is_number ? row->most : (double)NAN);
}

/* What a value that is written is, in words: "larvae to start with". */
static void put_subject(struct wg_json *json, const struct wg_yaml_node *root, const char *path,
                        const struct wg_outline_key *key) {
    struct wg_vary vary = {.at = 0};
    if (key->node == NULL || key->node->kind != WG_YAML_TEXT || strlen(path) >= sizeof vary.path)
        return;
    (void)snprintf(vary.path, sizeof vary.path, "%s", path);
    vary.dimension = (int)wg_schema_dimension(key->key, key->node->text);
    wg_vary_name(&vary, root);
    wg_json_text(json, "subject", vary.subject);
}

/* Where the rows of keys go, and the plan's tree. */
struct key_rows {
    struct wg_json *json;
    const struct wg_yaml_node *root;
};

static void put_key_row(void *self, const struct wg_outline_group *group, const struct wg_outline_key *key) {
    const struct key_rows *const list = self;
    struct wg_json *const json = list->json;
    char path[WG_OUTLINE_PATH + 80], accepts[WG_SCHEMA_TEXT];
    (void)snprintf(path, sizeof path, "%s%s%s", group->path, group->path[0] != '\0' ? "." : "", key->key->name);
    wg_schema_value_text(key->key, accepts);
    wg_json_object(json, NULL);
    wg_json_text(json, "path", path);
    wg_json_text(json, "group", wg_schema_group(group->id)->name);
    wg_json_text(json, "name", key->key->name);
    wg_json_text(json, "label", group->label);
    put_subject(json, list->root, path, key);
    put_key_value(json, key);
    wg_json_text(json, "shown", key->shown[0] != '\0' ? key->shown : NULL);
    wg_json_flag(json, "is_default", key->origin == WG_OUTLINE_DEFAULT);
    wg_json_flag(json, "is_absent", key->origin == WG_OUTLINE_LEFT_OUT);
    wg_json_flag(json, "is_required", (key->key->flags & WG_KEY_REQUIRED) != 0);
    wg_json_whole(json, "line", key->node != NULL ? key->node->line : 0);
    wg_json_text(json, "kind", kind_name(key->key->kind));
    put_key_words(json, key->key);
    put_key_number(json, key);
    wg_json_text(json, "accepts", accepts);
    wg_json_text(json, "help", key->key->help);
    wg_json_text(json, "example", key->key->example);
    wg_json_close(json);
}

static int put_keys(struct wg_call *call, const struct wg_scenario *scenario) {
    struct wg_yaml yaml = {0};
    struct wg_mistakes problems = {0};
    struct wg_openings openings = {0};
    struct key_rows list = {.json = call->answer};
    const struct wg_outline_visitor visitor = {.key = put_key_row, .self = &list};
    int code = wg_yaml_read(&yaml, scenario->text, scenario->text_size, &problems);
    if (code == 0)
        code = wg_openings_take(&openings, &yaml, &problems);
    wg_json_list(call->answer, "keys");
    list.root = yaml.root;
    if (code == 0)
        code = wg_outline_walk(scenario, yaml.root, &openings, &visitor);
    wg_json_close(call->answer);
    wg_openings_free(&openings);
    wg_mistakes_free(&problems);
    wg_yaml_free(&yaml);
    return code < 0 ? wg_no_memory(&call->err, NULL) : 0;
}

/* ---- facts ---- */

static void put_plan_names(struct wg_json *json, const struct wg_plan *plan) {
    wg_json_list(json, "places");
    for (int i = 0; i < plan->n_places; i++)
        wg_json_text(json, NULL, plan->places[i].name);
    wg_json_close(json);
    wg_json_list(json, "bins");
    for (int i = 0; i < plan->n_bins; i++) {
        wg_json_object(json, NULL);
        wg_json_text(json, "name", plan->bins[i].name);
        wg_json_text(json, "place", plan->places[plan->bins[i].place].name);
        wg_json_close(json);
    }
    wg_json_close(json);
    wg_json_list(json, "goals");
    for (int i = 0; i < plan->n_goals; i++) {
        char text[WG_GOAL_SENTENCE_SIZE];
        wg_goal_text(&plan->goal[i], plan->currency, text);
        wg_json_text(json, NULL, text);
    }
    wg_json_close(json);
}

static void put_tries(struct wg_json *json, const struct wg_openings *openings) {
    wg_json_list(json, "tries");
    for (int i = 0; i < openings->n; i++) {
        wg_json_object(json, NULL);
        wg_json_text(json, "path", openings->opening[i].path);
        wg_json_text(json, "subject", openings->opening[i].subject);
        wg_json_list(json, "values");
        for (int k = 0; k < openings->opening[i].levels.n; k++)
            wg_json_text(json, NULL, openings->opening[i].levels.level[k].text);
        wg_json_close(json);
        wg_json_whole(json, "now", openings->opening[i].now);
        wg_json_close(json);
    }
    wg_json_close(json);
}

static void put_facts(struct wg_json *json, const struct wg_scenario *scenario) {
    const struct wg_plan *const plan = &scenario->plan;
    char day[16];
    wg_json_object(json, "facts");
    wg_json_whole(json, "days", plan->last_day - plan->first_day + 1);
    wg_day_format(plan->first_day, day);
    wg_json_text(json, "first_day", day);
    wg_day_format(plan->last_day, day);
    wg_json_text(json, "last_day", day);
    wg_json_whole(json, "years", plan->replicates);
    wg_json_seed(json, plan->seed);
    put_plan_names(json, plan);
    put_tries(json, &scenario->openings);
    wg_json_text(json, "record", scenario->record_path);
    wg_json_text(json, "record_note", scenario->record_note);
    wg_json_text(json, "currency", plan->currency);
    wg_json_text(json, "units", wg_writes_us_units(scenario->text) ? "us" : "metric");
    wg_json_close(json);
}

static int put_outline(struct wg_call *call, const struct wg_scenario *scenario) {
    char *const outline = wg_outline(scenario);
    if (outline == NULL)
        return wg_no_memory(&call->err, NULL);
    wg_json_lines(call->answer, "outline", outline);
    free(outline);
    return 0;
}

int wg_call_check(struct wg_call *call) {
    struct wg_scenario scenario = {0};
    int code = wg_call_plan(call, wg_request_part(call->request, "plan"), &scenario);
    if (code == 0) {
        wg_json_text(call->answer, "title", wg_scenario_name(&scenario));
        code = put_outline(call, &scenario);
    }
    if (code == 0)
        code = put_keys(call, &scenario);
    if (code == 0)
        put_facts(call->answer, &scenario);
    wg_scenario_free(&scenario);
    return code;
}

int wg_call_set(struct wg_call *call) {
    const char *const text = wg_request_text(wg_request_part(call->request, "plan"), "text");
    const char *const path = wg_request_text(call->request, "path");
    if (text == NULL || path == NULL)
        return wg_fail(&call->err, WG_ERR_USAGE, "request", "A change needs a plan and a path.");
    struct wg_bytes changed = {0};
    int code = wg_plan_edit(text, strlen(text), path, wg_request_text(call->request, "value"), &changed, &call->err);
    if (code == 0)
        code = wg_call_put_bytes(call, "text", &changed);
    wg_bytes_free(&changed);
    return code;
}
