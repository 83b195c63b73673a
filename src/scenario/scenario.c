/*
 * What does the keeper want to try? A YAML file made into a plan.
 *
 * yaml.c makes the tree, read.c reads single values, the files named
 * scenario_<part>.c the parts, contradictions.c looks for contradictions. Every
 * mistake is collected; a plan comes out only if there is none.
 */
#include "scenario/read.h"
#include "text/mistakes.h"
#include "text/text_file.h"

#include <stdlib.h>
#include <string.h>

/* ---- the whole ---- */

static void walk_title(struct wg_walk *walk) {
    const struct wg_yaml_node *const node = wg_yaml_get(walk->root, "title");
    const char *const text = wg_walk_text(walk, node, "a title", "Harrow Hill, trough outdoors");
    struct wg_plan *const plan = walk->plan;
    if (text == NULL)
        return;
    if (strpbrk(text, "\n\t") != NULL)
        wg_complain(walk, node, "A title is a single line without tabs.");
    else if (strlen(text) >= sizeof plan->title)
        wg_walk_too_long(walk, node, "title", sizeof plan->title - 1);
    else
        memcpy(plan->title, text, strlen(text) + 1);
}

/* Places come before what happens in them. */
static void walk_all(struct wg_walk *walk) {
    static const char *const keys[] = {"title",    "period",  "climate", "places",        "starter",
                                       "feeding",  "keeping", "mishaps", "wild_visitors", "species",
                                       "forecast", "goal",    NULL};
    if (!wg_walk_map(walk, walk->root, "a scenario", keys))
        return;
    walk_title(walk);
    wg_walk_period(walk);
    wg_walk_climate(walk);
    wg_walk_places(walk);
    wg_walk_starter(walk);
    wg_walk_feeding(walk);
    wg_walk_keeping(walk);
    wg_walk_mishaps(walk);
    wg_walk_species(walk);
    wg_walk_forecast(walk);
    wg_walk_goal(walk);
    wg_walk_check(walk);
}

static int make_plan(struct wg_plan *plan) {
    plan->places = calloc(WG_MAX_PLACES, sizeof *plan->places);
    plan->bins = calloc(WG_MAX_BINS, sizeof *plan->bins);
    return plan->places == NULL || plan->bins == NULL ? WG_ERR_MEMORY : 0;
}

static int walk_tree(struct wg_walk *walk) {
    int code = make_plan(walk->plan);
    if (code == 0)
        walk_all(walk);
    if (code == 0)
        code = walk->code;
    free(walk->action_at);
    walk->action_at = NULL;
    wg_plan_sort(walk->plan);
    return code;
}

static int read_tree(struct wg_scenario *scenario, const char *record_text, size_t record_size,
                     struct wg_problems *problems) {
    struct wg_yaml yaml = {0};
    int code = wg_yaml_read(&yaml, scenario->text, scenario->text_size, problems);
    if (code == 0) {
        struct wg_walk walk = {.scenario = scenario,
                               .plan = &scenario->plan,
                               .problems = problems,
                               .record_text = record_text,
                               .record_size = record_size,
                               .root = yaml.root};
        code = walk_tree(&walk);
    }
    wg_yaml_free(&yaml);
    return code;
}

static int finish(struct wg_scenario *scenario, int code, struct wg_problems *problems, struct wg_error *err) {
    if (code == WG_ERR_MEMORY)
        return wg_fail(err, code, scenario->path, "There is not enough memory to read the scenario.");
    if (code < 0 && code != WG_ERR_INPUT)
        return code;
    wg_problems_sort(problems);
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

int wg_scenario_read_text(struct wg_scenario *scenario, const char *path, const char *text, size_t size,
                          const char *record_text, size_t record_size, struct wg_problems *problems,
                          struct wg_error *err) {
    *scenario = (struct wg_scenario){0};
    *problems = (struct wg_problems){0};
    const char *const name = path == NULL ? "scenario" : path;
    scenario->path = copy_text(name, strlen(name));
    scenario->text = copy_text(text, size);
    scenario->text_size = size;
    problems->path = copy_text(name, strlen(name));
    problems->source = copy_text(text, size);
    int code = WG_ERR_MEMORY;
    if (scenario->path != NULL && scenario->text != NULL && problems->path != NULL && problems->source != NULL)
        code = read_tree(scenario, record_text, record_size, problems);
    return finish(scenario, code, problems, err);
}

int wg_scenario_read(struct wg_scenario *scenario, const char *path, struct wg_problems *problems,
                     struct wg_error *err) {
    *scenario = (struct wg_scenario){0};
    *problems = (struct wg_problems){0};
    char *text;
    size_t size;
    struct wg_error file = {0};
    int code = wg_text_file_read(path, WG_YAML_MOST_BYTES, &text, &size, &file);
    if (code == WG_ERR_INPUT) { /* too large, which is the reader of YAML's to say */
        problems->path = copy_text(path, strlen(path));
        scenario->path = copy_text(path, strlen(path));
        return finish(scenario, wg_yaml_refuse_size(problems), problems, err);
    }
    if (code < 0)
        return wg_fail(err, code, file.where, "%s", file.text);
    code = wg_scenario_read_text(scenario, path, text, size, NULL, 0, problems, err);
    free(text);
    return code;
}

const char *wg_scenario_name(const struct wg_scenario *scenario) {
    return scenario->plan.title[0] != '\0' ? scenario->plan.title : scenario->path;
}

int wg_scenario_dimension(const struct wg_scenario *scenario, int line, int column) {
    for (size_t i = 0; i < scenario->n_measured; i++)
        if (scenario->measured[i].line == line && scenario->measured[i].column == column)
            return scenario->measured[i].dimension;
    return -1;
}

void wg_scenario_free(struct wg_scenario *scenario) {
    wg_plan_free(&scenario->plan);
    if (scenario->record.low_c != NULL || scenario->record.high_c != NULL)
        wg_record_free(&scenario->record);
    free(scenario->path);
    free(scenario->text);
    free(scenario->record_path);
    free(scenario->record_file);
    free(scenario->record_text);
    free(scenario->record_note);
    free(scenario->measured);
    *scenario = (struct wg_scenario){0};
}
