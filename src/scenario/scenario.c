/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads a scenario: yaml.c builds the tree, read.c reads it by the rows of the schema, read_*.c add the code of each
 * group, and contradictions.c compares keys. All mistakes are collected; only a scenario without mistakes gives a plan.
 */
#include "records/yaml.h"
#include "scenario/read.h"
#include "text/mistakes.h"
#include "text/money.h"
#include "text/text_file.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- all parts ---- */

static void read_title(struct wg_scenario_reader *reader) {
    const struct wg_yaml_node *const node = wg_yaml_get(reader->root, "title");
    const char *const text = wg_read_text(reader, node, "a title", "Harrow Hill, trough outdoors");
    struct wg_plan *const plan = reader->plan;
    if (text == NULL)
        return;
    if (strpbrk(text, "\n\t") != NULL)
        wg_read_mistake(reader, node, "A title is a single line without tabs.");
    else if (strlen(text) >= sizeof plan->title)
        wg_read_too_long(reader, node, "title", sizeof plan->title - 1);
    else
        memcpy(plan->title, text, strlen(text) + 1);
}

/* Reads a currency, which stands before or behind amounts. */
static void read_currency(struct wg_scenario_reader *reader) {
    const struct wg_yaml_node *const node = wg_yaml_get(reader->root, "currency");
    const char *const text = wg_read_text(reader, node, "a currency", "EUR");
    struct wg_plan *const plan = reader->plan;
    reader->has_currency = node != NULL;
    if (text == NULL)
        return;
    if (strpbrk(text, "\n\t0123456789-+") != NULL)
        wg_read_mistake(reader, node, "A currency is a sign, a code or a word, without digits: $, EUR or pesos.");
    else if (strlen(text) >= sizeof plan->currency)
        wg_read_too_long(reader, node, "currency", sizeof plan->currency - 1);
    else
        memcpy(plan->currency, text, strlen(text) + 1);
}

bool wg_read_currency_of(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *text) {
    const char *const named = wg_money_named(text);
    char *const currency = reader->plan->currency;
    if (named == NULL || (reader->has_currency && currency[0] == '\0'))
        return true;
    if (currency[0] == '\0') {
        (void)snprintf(currency, WG_CURRENCY_SIZE, "%s", named);
        return true;
    }
    if (wg_money_agrees(currency, named))
        return true;
    wg_read_mistake(reader, node,
                    "This amount is in %s, but the plan's currency is %s. Write all amounts in one currency.", named,
                    currency);
    return false;
}

/* Reads places before the actions in them. */
static void read_all_parts(struct wg_scenario_reader *reader) {
    if (!wg_read_group(reader, reader->root, WG_GROUP_SCENARIO))
        return;
    read_title(reader);
    read_currency(reader);
    wg_read_period(reader);
    wg_read_climate(reader);
    wg_read_places(reader);
    wg_read_starter(reader);
    wg_read_feeds(reader);
    wg_read_feeding(reader);
    wg_read_keeping(reader);
    wg_read_prices(reader);
    wg_read_mishaps(reader);
    wg_read_species(reader);
    wg_read_forecast(reader);
    wg_read_goal(reader);
    wg_read_openings(reader);
    wg_read_check(reader);
}

static int allocate_plan(struct wg_plan *plan) {
    plan->places = calloc(WG_MAX_PLACES, sizeof *plan->places);
    plan->bins = calloc(WG_MAX_BINS, sizeof *plan->bins);
    plan->feeds = calloc(WG_MAX_OWN_FEEDS, sizeof *plan->feeds);
    return plan->places == NULL || plan->bins == NULL || plan->feeds == NULL ? WG_ERR_MEMORY : 0;
}

static int read_plan(struct wg_scenario_reader *reader) {
    int code = allocate_plan(reader->plan);
    if (code == 0)
        read_all_parts(reader);
    if (code == 0)
        code = reader->code;
    free(reader->action_at);
    reader->action_at = NULL;
    wg_plan_sort(reader->plan);
    return code;
}

/* Texts in place of files: of the weather file, or of all; NULL: the files themselves. */
struct plan_files {
    const char *record_text;
    size_t record_size;
    const struct wg_text_given *given;
};

static int read_root(struct wg_scenario *scenario, struct wg_yaml *yaml, struct plan_files files,
                     struct wg_mistakes *problems) {
    const int code = wg_openings_take(&scenario->openings, yaml, problems);
    if (code < 0)
        return code;
    struct wg_scenario_reader reader = {.scenario = scenario,
                                        .plan = &scenario->plan,
                                        .problems = problems,
                                        .record_text = files.record_text,
                                        .record_size = files.record_size,
                                        .given = files.given,
                                        .root = yaml->root};
    return read_plan(&reader);
}

static void forget_plan(struct wg_scenario *scenario) {
    wg_plan_free(&scenario->plan);
    wg_openings_free(&scenario->openings);
    if (scenario->record.low_c != NULL || scenario->record.high_c != NULL)
        wg_weather_record_free(&scenario->record);
    free(scenario->record_path);
    free(scenario->record_file);
    free(scenario->record_text);
    free(scenario->record_note);
    struct wg_scenario kept = {.path = scenario->path, .text = scenario->text, .text_size = scenario->text_size};
    memcpy(kept.base_file, scenario->base_file, sizeof kept.base_file);
    *scenario = kept;
}

/* Takes the names of the files on which the plan is based. */
static int keep_base_files(struct wg_scenario *scenario, const struct wg_mistakes *problems) {
    for (int i = 0; i < WG_MAX_BASES && problems->base[i].path != NULL; i++) {
        scenario->base_file[i] = strdup(problems->base[i].path);
        if (scenario->base_file[i] == NULL)
            return WG_ERR_MEMORY;
    }
    return 0;
}

/* Reads the whole plan again from its one text, so that the plan is that of its text to the bit. Takes the text. */
static int resolve_text(struct wg_scenario *scenario, char *text, size_t size, struct plan_files files,
                        struct wg_mistakes *problems) {
    struct wg_yaml yaml = {0};
    free(scenario->text);
    scenario->text = text;
    scenario->text_size = size;
    forget_plan(scenario);
    int code = wg_yaml_read(&yaml, text, size, problems);
    if (code == 0)
        code = read_root(scenario, &yaml, files, problems);
    wg_yaml_free(&yaml);
    return code;
}

/* Reads a tree of several files where its mistakes are, and then its one text. */
static int read_based_on(struct wg_scenario *scenario, struct wg_yaml *yaml, struct plan_files files,
                         struct wg_mistakes *problems) {
    size_t size;
    char *const text = wg_yaml_write(yaml->root, &size); /* before the openings are taken out of the tree */
    int code = text == NULL ? WG_ERR_MEMORY : read_root(scenario, yaml, files, problems);
    if (code == 0 && problems->n == 0)
        return resolve_text(scenario, text, size, files, problems);
    free(text);
    return code;
}

static int read_tree(struct wg_scenario *scenario, struct plan_files files, struct wg_mistakes *problems) {
    struct wg_yaml yaml = {0};
    struct wg_base_reader bases = {.path = scenario->path, .given = files.given, .problems = problems};
    int code = wg_yaml_read(&yaml, scenario->text, scenario->text_size, problems);
    if (code == 0)
        code = wg_read_bases(&bases, &yaml);
    if (code == 0)
        code = keep_base_files(scenario, problems);
    if (code == 0)
        code = scenario->base_file[0] != NULL ? read_based_on(scenario, &yaml, files, problems)
                                              : read_root(scenario, &yaml, files, problems);
    wg_yaml_free(&yaml);
    return code;
}

static int finish_reading(struct wg_scenario *scenario, int code, struct wg_mistakes *problems, struct wg_error *err) {
    if (code == WG_ERR_MEMORY)
        return wg_no_memory(err, scenario->path);
    if (code < 0 && code != WG_ERR_INPUT)
        return code;
    wg_mistakes_sort(problems);
    if (problems->n == 0)
        return 0;
    return wg_fail(err, WG_ERR_INPUT, scenario->path, "The scenario has %zu mistake%s.", problems->n,
                   problems->n == 1 ? "" : "s");
}

/* ---- text and file ---- */

static char *copy_text(const char *text, size_t size) {
    char *const copy = malloc(size + 1);
    if (copy == NULL)
        return NULL;
    if (size > 0)
        memcpy(copy, text, size);
    copy[size] = '\0';
    return copy;
}

static int read_copy(struct wg_scenario *scenario, const char *path, const char *text, size_t size,
                     struct plan_files files, struct wg_mistakes *problems, struct wg_error *err) {
    *scenario = (struct wg_scenario){0};
    *problems = (struct wg_mistakes){0};
    const char *const name = path == NULL ? "scenario" : path;
    scenario->path = copy_text(name, strlen(name));
    scenario->text = copy_text(text, size);
    scenario->text_size = size;
    problems->path = copy_text(name, strlen(name));
    problems->source = copy_text(text, size);
    int code = WG_ERR_MEMORY;
    if (scenario->path != NULL && scenario->text != NULL && problems->path != NULL && problems->source != NULL)
        code = read_tree(scenario, files, problems);
    return finish_reading(scenario, code, problems, err);
}

int wg_scenario_read_text(struct wg_scenario *scenario, const char *path, const char *text, size_t size,
                          const char *record_text, size_t record_size, struct wg_mistakes *problems,
                          struct wg_error *err) {
    return read_copy(scenario, path, text, size, (struct plan_files){record_text, record_size, NULL}, problems, err);
}

int wg_scenario_read_given(struct wg_scenario *scenario, const char *path, const char *text, size_t size,
                           const struct wg_text_given *given, struct wg_mistakes *problems, struct wg_error *err) {
    return read_copy(scenario, path, text, size, (struct plan_files){NULL, 0, given}, problems, err);
}

int wg_scenario_read(struct wg_scenario *scenario, const char *path, struct wg_mistakes *problems,
                     struct wg_error *err) {
    *scenario = (struct wg_scenario){0};
    *problems = (struct wg_mistakes){0};
    char *text;
    size_t size;
    struct wg_error file = {0};
    const char *const name = path == NULL ? WG_STANDARD_INPUT : path;
    int code = wg_text_file_read(path, WG_YAML_MAX_BYTES, &text, &size, &file);
    if (code == WG_ERR_INPUT) { /* too large: the YAML reader has the message */
        problems->path = copy_text(name, strlen(name));
        scenario->path = copy_text(name, strlen(name));
        return finish_reading(scenario, wg_yaml_refuse_size(problems), problems, err);
    }
    if (code < 0)
        return wg_fail(err, code, file.where, "%s", file.text);
    code = wg_scenario_read_text(scenario, name, text, size, NULL, 0, problems, err);
    free(text);
    return code;
}

const char *wg_scenario_name(const struct wg_scenario *scenario) {
    const char *const slash = strrchr(scenario->path, '/');
    if (scenario->plan.title[0] != '\0')
        return scenario->plan.title;
    return slash != NULL ? slash + 1 : scenario->path;
}

void wg_scenario_free(struct wg_scenario *scenario) {
    forget_plan(scenario);
    free(scenario->path);
    free(scenario->text);
    for (int i = 0; i < WG_MAX_BASES; i++)
        free(scenario->base_file[i]);
    *scenario = (struct wg_scenario){0};
}
