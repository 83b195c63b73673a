/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include "reference/numpy_engine.h"
#include "plan/feed.h"
#include "species/breeding.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { MAX_BINS = 2 };

static void put(FILE *file, const char *name, double value) {
    (void)fprintf(file, "%s %.17g\n", name, value);
}

static void put_array(FILE *file, const double *values, size_t n) {
    (void)fwrite(values, sizeof *values, n, file);
}

static void put_species(FILE *file, const struct wg_species *species) {
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++)
        put(file, p->name, wg_species_get(species, p));
    put(file, "mating_wait", wg_mating_x(species));
    put(file, "laying_wait", wg_laying_x(species));
}

static void put_place(FILE *file, const struct wg_plan *plan) {
    const struct wg_shelter_spec *const shelter = &plan->places[0].shelter;
    const struct wg_species *const species = &plan->species;
    /* houses with lamps are dim here: sunlight alone is too weak for mating */
    const int lamps = shelter->kind == WG_LABORATORY || shelter->lamp_hours > 0;
    put(file, "laying_share", lamps ? species->laying_share_lamps : species->laying_share_sun);
    put(file, "stay",
        shelter->kind == WG_LABORATORY ? 1
        : shelter->kind == WG_OUTDOORS ? species->stay_open
                                       : species->stay_closed);
    put(file, "dark", plan->places[0].ground.dark);
    put(file, "feed_unlimited", plan->feed_unlimited);
    put(file, "unlimited_quality", plan->unlimited_quality);
}

/* Standing orders hold throughout, and starters come on the first day. */
static int supports_action(const struct wg_plan *plan, const struct wg_action *a) {
    switch (a->kind) {
    case WG_ACTION_START:
        return a->from == plan->first_day && a->bin == 0 && a->as.start.what != WG_MOVABLE_PREPUPAE;
    case WG_ACTION_COLLECT:
    case WG_ACTION_LAY_IN_TRAPS:
        return a->from <= plan->first_day && a->to >= plan->last_day && a->every == 1;
    case WG_ACTION_FEED:
    case WG_ACTION_PULL_TRAPS:
        return 1;
    default:
        return 0;
    }
}

static int supports(const struct wg_plan *plan) {
    int all = plan->n_places == 1 && plan->n_bins <= MAX_BINS && plan->mishaps.raids_per_year <= 0 &&
              plan->wild_peak_per_day <= 0;
    for (int i = 0; i < plan->n_actions; i++)
        all = all && supports_action(plan, &plan->actions[i]);
    return all;
}

/* Daily inputs: feed[bin][day][3], day length for dormancy, and whether traps are pulled. */
struct by_day {
    double *feed, *day_length, *pull;
};

/* Writes starters, collecting and traps as numbers; adds feed and pulls to their days. */
static void put_actions(FILE *file, const struct numpy_job *job, const struct by_day *days) {
    const struct wg_plan *const plan = job->plan;
    const struct wg_species *const species = &plan->species;
    double eggs = 0, larvae = 0, x = 0, collect[MAX_BINS] = {0}, give_back[MAX_BINS] = {0}, trap_share = 0;
    int into_bin = -1;
    const int n_days = plan->last_day - plan->first_day + 1;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const a = &plan->actions[i];
        if (a->kind == WG_ACTION_START && a->as.start.what == WG_MOVABLE_EGGS)
            eggs = (double)a->as.start.count;
        if (a->kind == WG_ACTION_START && a->as.start.what == WG_MOVABLE_LARVAE) {
            larvae = (double)a->as.start.count;
            x = wg_larva_x_at_age(species, a->as.start.age_days);
        }
        if (a->kind == WG_ACTION_COLLECT) {
            collect[a->bin] = a->as.collect.share;
            give_back[a->bin] = a->as.collect.give_back;
        }
        if (a->kind == WG_ACTION_LAY_IN_TRAPS)
            trap_share = a->as.traps.share;
        if (a->kind == WG_ACTION_PULL_TRAPS) {
            into_bin = a->as.pull.put_in;
            for (int32_t day = a->from; day <= a->to && day <= plan->last_day; day += a->every)
                days->pull[day - plan->first_day] = 1;
        }
        if (a->kind != WG_ACTION_FEED)
            continue;
        const struct wg_feed_type *const type = &wg_feed_types()[a->as.feed.type];
        const double usable_kg = a->as.feed.wet_kg * (1 - type->moisture) * type->usable;
        for (int32_t day = a->from; day <= a->to && day <= plan->last_day; day += a->every) {
            double *const kg = days->feed + 3 * (a->bin * n_days + day - plan->first_day);
            kg[0] += usable_kg;
            kg[1] += usable_kg * type->quality;
            kg[2] += usable_kg * type->conversion;
        }
    }
    put(file, "start_eggs", eggs);
    put(file, "start_larvae", larvae);
    put(file, "start_x", x);
    put(file, "start_mass", species->final_mass_g * wg_cohort_mean_share(job->growth, x));
    for (int b = 0; b < plan->n_bins; b++) {
        (void)fprintf(file, "collect_%d %.17g\ngive_back_%d %.17g\n", b, collect[b], b, give_back[b]);
    }
    put(file, "trap_share", trap_share);
    put(file, "pulled_into_bin", into_bin);
}

static void put_hours(FILE *file, const struct numpy_job *job, int days) {
    for (int r = 0; r < job->n_recordings; r++)
        for (int d = 0; d < HOURS_LEAD_DAYS + days; d++) {
            const struct day_hours *const day = &job->hours[r].day[d];
            put_array(file, day->bin_c, 24);
            put_array(file, day->ground_c, 24);
            put_array(file, day->air_c, 24);
            put_array(file, day->light_w_m2, 24);
        }
}

static int write_job(const struct numpy_job *job, const char *path) {
    const struct wg_plan *const plan = job->plan;
    const int n = plan->last_day - plan->first_day + 1;
    FILE *const file = fopen(path, "wb");
    const int fed = 3 * plan->n_bins * n;
    double *const capacity = calloc((size_t)(fed + 2 * n), sizeof *capacity);
    const struct by_day days = {.feed = capacity, .day_length = capacity + fed, .pull = capacity + fed + n};
    if (file == NULL || capacity == NULL)
        return -1;
    put(file, "days", n);
    put(file, "bins", plan->n_bins);
    put(file, "lead", HOURS_LEAD_DAYS);
    put(file, "steps_per_day", plan->steps_per_day);
    put(file, "replicates", job->replicates);
    put(file, "recordings", job->n_recordings);
    put(file, "seed", job->seed);
    put(file, "curve_points", job->growth->n);
    put(file, "curve_per_unit", job->growth->per_step);
    put_species(file, &plan->species);
    put_place(file, plan);
    put_actions(file, job, &days);
    (void)fputs("end\n", file);
    put_array(file, job->growth->mean, (size_t)job->growth->n);
    const struct wg_shelter_spec *const shelter = &plan->places[0].shelter;
    for (int d = 0; d < n; d++) {
        const int dark = shelter->kind >= WG_ROOM && shelter->light_through <= 0;
        const double sun_h = dark ? 0 : job->hours[0].day[HOURS_LEAD_DAYS + d].day_length_h;
        days.day_length[d] = shelter->kind == WG_LABORATORY ? 24
                             : shelter->lamp_hours > sun_h  ? shelter->lamp_hours
                                                            : sun_h;
    }
    put_array(file, capacity, (size_t)(fed + 2 * n));
    put_hours(file, job, n);
    free(capacity);
    return fclose(file) == 0 ? 0 : -1;
}

static int read_answer(FILE *pipe, int replicates, double *seconds, double *value[NUMPY_QUANTITIES]) {
    if (fscanf(pipe, "%lf", seconds) != 1)
        return -1;
    for (int k = 0; k < replicates; k++)
        for (int q = 0; q < NUMPY_QUANTITIES; q++)
            if (fscanf(pipe, "%lf", &value[q][k]) != 1)
                return -1;
    return 0;
}

int numpy_run(const struct numpy_job *job, double *seconds, double *value[NUMPY_QUANTITIES]) {
    char path[] = "/tmp/wintergrub-numpy-XXXXXX", command[1200];
    if (!supports(job->plan)) {
        (void)fputs("numpy engine: the plan is not supported\n", stderr);
        return -1;
    }
    const int fd = mkstemp(path);
    if (fd < 0)
        return -1;
    (void)close(fd);
    int code = write_job(job, path);
    /* Debian's Python, which finds Debian's numpy */
    (void)snprintf(command, sizeof command, "/usr/bin/python3 -B '%s/tests/bench/cohorts_numpy.py' %s", WG_SOURCE_DIR,
                   path);
    FILE *const pipe = code == 0 ? popen(command, "r") : NULL;
    code = pipe != NULL ? read_answer(pipe, job->replicates, seconds, value) : -1;
    if (pipe != NULL && pclose(pipe) != 0)
        code = -1;
    (void)unlink(path);
    if (code != 0)
        (void)fprintf(stderr, "%s did not answer\n", command);
    return code;
}
