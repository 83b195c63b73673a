/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Changes a plan: replicates, seed, numbers of the animal, and any value of its text.
 */
#include "library/public.h"
#include "species/plausible.h"
#include "variants/vary.h"

#include <stdlib.h>
#include <string.h>

/* ---- what a result stores besides the text ---- */

int wintergrub_plan_set_replicates(wintergrub_plan *plan, int64_t replicates, struct wintergrub_error *error) {
    if (replicates < 1 || replicates > WG_MAX_REPLICATES)
        return wg_public_fail(error, WG_ERR_USAGE, "replicates", "There can be 1 to %d replicates, not %lld.",
                              WG_MAX_REPLICATES, (long long)replicates);
    plan->scenario.plan.replicates = replicates;
    return 0;
}

void wintergrub_plan_set_seed(wintergrub_plan *plan, uint64_t seed) {
    plan->scenario.plan.seed = seed;
}

int wintergrub_plan_set_number(wintergrub_plan *plan, const char *name, double value, struct wintergrub_error *error) {
    const struct wg_parameter *const number = wg_species_find(name);
    if (number == NULL)
        return wg_public_fail(error, WG_ERR_USAGE, "species", "There is no number \"%.60s\" of the animal.", name);
    if (!(value >= number->least && value <= number->most))
        return wg_public_fail(error, WG_ERR_INPUT, number->name, "It may be %g to %g %s, not %g.", number->least,
                              number->most, strcmp(number->unit, "1") == 0 ? "" : number->unit, value);
    wg_species_put(&plan->scenario.plan.species, number, value);
    plan->scenario.plan.is_given[wg_parameter_index(number)] = true;
    return 0;
}

/* ---- reading numbers of the animal ---- */

int wintergrub_number(int i, struct wintergrub_number *number) {
    const struct wg_parameter *const row = wg_species_parameters();
    if (i < 0 || (size_t)i >= WG_SPECIES_NUMBERS)
        return WINTERGRUB_ERR_USAGE;
    *number = (struct wintergrub_number){.name = row[i].name,
                                         .unit = row[i].unit,
                                         .meaning = row[i].text,
                                         .source = row[i].source,
                                         .least = row[i].least,
                                         .most = row[i].most,
                                         .low = row[i].low,
                                         .high = row[i].high};
    return 0;
}

int wintergrub_plan_number(const wintergrub_plan *plan, const char *name, double *value) {
    const struct wg_parameter *const number = wg_species_find(name);
    if (number == NULL)
        return WINTERGRUB_ERR_USAGE;
    *value = wg_species_get(&plan->scenario.plan.species, number);
    return 0;
}

/* ---- another value in the text ---- */

/* Returns the changed text, malloc'ed; NULL with an error. */
static char *vary_text(const struct wg_scenario *scenario, const char *key, const char *value, size_t *size,
                       struct wg_error *err) {
    struct wg_vary vary;
    double number;
    char shown[WG_VARY_SHOWN_SIZE];
    if (wg_vary_find_any(&vary, scenario->text, scenario->text_size, key, err) < 0)
        return NULL;
    if (wg_vary_read_any(&vary, value, &number) < 0) {
        wg_vary_show(&vary, vary.value, shown);
        (void)wg_fail(err, WG_ERR_USAGE, key, "\"%.60s\" is not a value for this key, which is written like %s.", value,
                      shown);
        return NULL;
    }
    char *const text = wg_vary_text(&vary, scenario->text, scenario->text_size, number, size);
    if (text == NULL)
        (void)wg_no_memory(err, key);
    return text;
}

/*
 * Gives a plan read from another text what was set besides the text, and the animals of a result. `before` is the plan of
 * the text before the change, unless NULL: numbers in which the texts differ are those of the new one.
 */
static int copy_changes(struct wg_plan *to, const struct wg_plan *from, const struct wg_plan *before,
                        struct wg_error *err) {
    to->replicates = from->replicates;
    to->seed = from->seed;
    if (before == NULL || to->animals == before->animals)
        to->animals = from->animals;
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        if (before != NULL && wg_species_get(&to->species, p) != wg_species_get(&before->species, p))
            continue;
        wg_species_put(&to->species, p, wg_species_get(&from->species, p));
        to->is_given[wg_parameter_index(p)] = from->is_given[wg_parameter_index(p)];
    }
    if (from->plausible == NULL)
        return 0;
    const size_t size = (size_t)wg_plausible_count() * sizeof *to->plausible;
    to->plausible = malloc(size);
    if (to->plausible == NULL)
        return wg_no_memory(err, NULL);
    memcpy(to->plausible, from->plausible, size);
    return 0;
}

/* Reads a text with the weather record that the plan has. */
static int read_with_record(wintergrub_plan **made, const struct wg_scenario *scenario, const char *text, size_t size,
                            struct wintergrub_error *error) {
    return wg_public_read_plan(made, scenario->path, text, size, scenario->record_text, scenario->record_size, NULL,
                               error);
}

static int copy_by_text(wintergrub_plan **copy, const struct wg_scenario *scenario, const char *text, size_t size,
                        const wintergrub_plan *before, struct wintergrub_error *error) {
    struct wg_error err = {0};
    const int code = read_with_record(copy, scenario, text, size, error);
    if (code < 0)
        return code;
    if (copy_changes(&(*copy)->scenario.plan, &scenario->plan, before == NULL ? NULL : &before->scenario.plan, &err) ==
        0)
        return 0;
    wintergrub_plan_free(*copy);
    *copy = NULL;
    return wg_public_error(error, &err);
}

int wintergrub_plan_copy(wintergrub_plan **copy, const wintergrub_plan *plan, struct wintergrub_error *error) {
    return copy_by_text(copy, &plan->scenario, plan->scenario.text, plan->scenario.text_size, NULL, error);
}

int wintergrub_plan_vary(wintergrub_plan **varied, const wintergrub_plan *plan, const char *key, const char *value,
                         struct wintergrub_error *error) {
    const struct wg_scenario *const scenario = &plan->scenario;
    struct wg_error err = {0};
    struct wg_public_locale locale;
    wintergrub_plan *before = NULL;
    size_t size = 0;
    *varied = NULL;
    if (wg_public_locale_begin(&locale, &err) < 0)
        return wg_public_error(error, &err);
    char *const text = vary_text(scenario, key, value, &size, &err);
    wg_public_locale_end(&locale);
    if (text == NULL)
        return wg_public_error(error, &err);
    int code = 0;
    if (strncmp(key, "species", strlen("species")) == 0)
        code = read_with_record(&before, scenario, scenario->text, scenario->text_size, error);
    if (code == 0)
        code = copy_by_text(varied, scenario, text, size, before, error);
    wintergrub_plan_free(before);
    free(text);
    return code;
}
