/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads results back by variable and by replicate, and rejects damaged and other files.
 *
 * The numbers are those of hand_made.h, which depend only on replicate, series and position.
 */
#include "data/series_terms.h"
#include "results/hand_made.h"
#include "results/result_file.h"

#include <math.h>

#define REPLICATES 5

TestSuite(result_data);

static char path[64];
static struct wg_scenario scenario;

static void write_result(void) {
    struct wg_error err = {0};
    struct wg_result_writer *writer;
    struct wg_diary diary;
    const struct wg_provenance provenance = {"wintergrub run two.yaml", "2026-09-01T10:00:00Z", REPLICATES, 77};
    (void)snprintf(path, sizeof path, "/tmp/wg-result-data-%ld.h5", (long)getpid());
    hand_made_scenario(&scenario);
    cr_assert_eq(wg_result_create(&writer, path, 1, &scenario, &provenance, &err), 0, "%s", err.text);
    const struct wg_observer observer = wg_result_observer(writer);
    cr_assert_eq(wg_diary_init(&diary, &scenario.plan, &err), 0);
    for (int64_t i = 0; i < REPLICATES; i++) {
        hand_made_diary(&diary, i);
        cr_assert_eq(observer.on_replicate(observer.self, i, &diary, &err), 0);
    }
    wg_diary_free(&diary);
    cr_assert_eq(wg_result_close(writer, &err), 0, "%s", err.text);
}

static void remove_result(void) {
    (void)unlink(path);
    hand_made_scenario_free(&scenario);
}

static void open_result(struct wg_result_data *data) {
    struct wg_error err = {0};
    cr_assert_eq(wg_result_data_open(data, path, &err), 0, "%s", err.text);
}

Test(result_data, reads_the_description, .init = write_result, .fini = remove_result) {
    struct wg_result_data data;
    open_result(&data);
    cr_expect_str_eq(data.in.title, "Two places, three bins");
    cr_expect_eq(data.first_day, 20711); /* 2026-09-15 */
    cr_expect_eq(data.n_days, HAND_MADE_DAYS);
    cr_expect_eq(data.in.replicates, REPLICATES);
    cr_expect_eq(data.n_places, 2);
    cr_expect_eq(data.n_bins, 3);
    cr_expect_str_eq(data.place[1], "K\xC3\xBC"
                                    "che");
    cr_expect_str_eq(data.bin[2], "trough 3");
    cr_expect_eq(data.bin_place[0], 0);
    cr_expect_eq(data.bin_place[1], 0);
    cr_expect_eq(data.bin_place[2], 1);
    cr_expect_str_eq(data.in.command_line, "wintergrub run two.yaml");
    cr_expect_str_eq(data.in.started, "2026-09-01T10:00:00Z");
    cr_expect_eq(data.in.seed, 77u);
    cr_expect_str_eq(data.inputs.scenario_text, hand_made_text);
    cr_expect_eq(strlen(data.inputs.scenario_sha256), 64u);
    cr_expect_eq(strlen(data.inputs.record_sha256), 64u);
    cr_assert_gt(data.n_parameters, 10);
    cr_expect_str_eq(data.parameter[0].name, wg_species_parameters()[0].name);
    cr_expect_str_eq(data.parameter[0].source, wg_species_parameters()[0].source);
    wg_result_data_free(&data);
    wg_result_data_free(&data);
}

Test(result_data, reads_every_series_of_every_replicate, .init = write_result, .fini = remove_result) {
    struct wg_result_data data;
    struct wg_error err = {0};
    open_result(&data);
    struct wg_diary shape = {.n_places = 2, .n_bins = 3};
    int number = 0;
    for (const struct wg_series *s = wg_diary_series(); s->name != NULL; s++, number++) {
        const int width = wg_diary_width(&shape, s->dims);
        if (strcmp(s->name, "generations_at_once") == 0)
            continue; /* derived from the living: replays_the_replicates compares it */
        for (int column = 0; column < width; column++) {
            struct wg_result_series series;
            cr_assert_eq(wg_result_data_read(&data, s->name, s->dims == WG_PER_DAY ? -1 : column, &series, &err), 0,
                         "%s: %s", s->name, err.text);
            cr_assert_eq(series.replicates, REPLICATES);
            for (int64_t i = 0; i < REPLICATES; i++)
                for (int day = 0; day < HAND_MADE_DAYS; day++) {
                    const double written = (double)hand_made_number(i, number, (size_t)(day * width + column));
                    double expected = s->is_count ? written : written / 7.0;
                    if (!s->is_count)
                        wg_series_round(&expected, 1, &expected);
                    cr_assert_eq(series.value[i * HAND_MADE_DAYS + day], expected, "%s", s->name);
                }
            wg_result_series_free(&series);
        }
    }
    wg_result_data_free(&data);
}

static int check_replicate(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    int64_t *const n_seen = self;
    struct wg_diary written;
    cr_assert_eq(replicate, (*n_seen)++);
    cr_assert_eq(wg_diary_init(&written, &scenario.plan, err), 0);
    hand_made_diary(&written, replicate);
    for (const struct wg_series *s = wg_diary_series(); s->name != NULL; s++) {
        const size_t n = (size_t)HAND_MADE_DAYS * (size_t)wg_diary_width(&written, s->dims);
        if (!s->is_count)
            wg_series_round(wg_diary_values(&written, s), n, (double *)(uintptr_t)wg_diary_values(&written, s));
        cr_expect_arr_eq((const char *)wg_diary_values(diary, s), (const char *)wg_diary_values(&written, s), n * 8,
                         "%s", s->name);
    }
    for (int i = 0; i < WG_N_OUTCOMES; i++) {
        const struct wg_outcome *const o = &wg_diary_outcomes()[i];
        const double a = wg_diary_outcome(diary, o), b = wg_diary_outcome(&written, o);
        const bool is_kept = wg_outcome_is_kept((enum wg_outcome_number)i, &scenario.plan);
        cr_expect(is_kept ? a == b || (isnan(a) && isnan(b)) : isnan(a), "%s", o->name);
    }
    wg_diary_free(&written);
    return 0;
}

Test(result_data, replays_the_replicates, .init = write_result, .fini = remove_result) {
    struct wg_result_data data;
    struct wg_error err = {0};
    int64_t n_seen = 0;
    const struct wg_observer observer = {check_replicate, &n_seen};
    open_result(&data);
    cr_assert_eq(wg_result_data_replay(&data, &scenario.plan, &observer, 1, &err), 0, "%s", err.text);
    cr_expect_eq(n_seen, REPLICATES);
    scenario.plan.last_day++;
    cr_expect_eq(wg_result_data_replay(&data, &scenario.plan, &observer, 1, &err), WG_ERR_FORMAT);
    scenario.plan.last_day--;
    wg_result_data_free(&data);
}

Test(result_data, reads_the_means_by_generation, .init = write_result, .fini = remove_result) {
    struct wg_result_data data;
    struct wg_error err = {0};
    double *mean;
    open_result(&data);
    cr_assert_eq(wg_result_data_generations(&data, &mean, &err), 0, "%s", err.text);
    double sum = 0;
    for (int64_t i = 0; i < REPLICATES; i++)
        sum += (double)hand_made_number(i, 99, 12);
    cr_expect_eq(mean[12], sum / REPLICATES);
    free(mean);
    wg_result_data_free(&data);
}

Test(result_data, rejects_truncated_files, .init = write_result, .fini = remove_result) {
    struct stat about;
    cr_assert_eq(stat(path, &about), 0);
    for (int part = 9; part >= 0; part--) {
        struct wg_result_data data;
        struct wg_error err = {0};
        cr_assert_eq(truncate(path, about.st_size * part / 10), 0);
        cr_expect_eq(wg_result_data_open(&data, path, &err), WG_ERR_FORMAT, "%d tenths", part);
        cr_expect_neq(err.text[0], '\0');
        wg_result_data_free(&data);
    }
}

Test(result_data, rejects_a_missing_file) {
    struct wg_result_data data;
    struct wg_error err = {0};
    cr_expect_eq(wg_result_data_open(&data, "/tmp/no/such/result.h5", &err), WG_ERR_FILE);
    wg_result_data_free(&data);
}
