/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks that each public function does what wintergrub.h promises. The exact texts of mistakes are those of
 * tests/data/broken. test_install.py compares the numbers with those of the program. The Wilson interval (1927) is
 * computed here.
 */
#include "colony/diary.h"
#include "scenario/scenario.h"
#include <wintergrub/version.h>
#include <wintergrub/wintergrub.h>

#include <criterion/criterion.h>
#include <glob.h>
#include <locale.h>
#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

TestSuite(library, .timeout = 200);

static const char bench[] = "period: {from: 2026-01-01, to: 2026-03-31}\n"
                            "climate: {constant: 27 degC}\n"
                            "places: [{name: bench, housing: {kind: laboratory}, bins: [{name: tray}]}]\n"
                            "starter: [{on: 2026-01-01, in: tray, stage: egg, count: 500}]\n"
                            "feeding: unlimited\n"
                            "forecast: {replicates: 12, seed: 7}\n"
                            "goal: [{survive: yes, by: 2026-03-31}, {adults: 5000, by: 2026-03-31}]\n";
#define DAYS 90
#define REPLICATES 12

static wintergrub_plan *plan_of(const char *text) {
    struct wintergrub_error error;
    wintergrub_plan *plan;
    cr_assert_eq(wintergrub_plan_from_text(&plan, text, NULL, NULL, &error), 0, "%s: %s", error.where, error.text);
    return plan;
}

static wintergrub_ensemble *run_of(const wintergrub_plan *plan, int threads) {
    struct wintergrub_error error;
    wintergrub_ensemble *ensemble;
    cr_assert_eq(wintergrub_ensemble_new(&ensemble, plan, &error), 0);
    wintergrub_ensemble_set_threads(ensemble, threads);
    cr_assert_eq(wintergrub_ensemble_run(ensemble, &error), 0, "%s: %s", error.where, error.text);
    return ensemble;
}

static bool same_bits(double a, double b) {
    return memcmp(&a, &b, sizeof a) == 0;
}

/* ---- version and names ---- */

Test(library, reports_its_version) {
    char text[32];
    snprintf(text, sizeof text, "%d.%d.%d", WINTERGRUB_VERSION_MAJOR, WINTERGRUB_VERSION_MINOR,
             WINTERGRUB_VERSION_PATCH);
    cr_expect_str_eq(WINTERGRUB_VERSION, text);
    cr_expect_str_eq(wintergrub_version(), text);
    cr_expect_str_eq(WG_VERSION, text, "the program's version is the header's");
    cr_expect_eq(wintergrub_version_number(), WINTERGRUB_VERSION_NUMBER);
}

Test(library, names_every_outcome_and_series_of_the_diary) {
    int n = 0;
    for (const struct wg_outcome *o = wg_diary_outcomes(); o->name != NULL; o++, n++) {
        const struct wintergrub_variable *const v = wintergrub_outcome(n);
        cr_assert_not_null(v);
        cr_expect(strcmp(v->name, o->name) == 0 && strcmp(v->unit, o->unit) == 0 && strcmp(v->meaning, o->text) == 0);
        cr_expect_eq(v->missing_is_later, o->missing == WG_MISSING_LATER);
        cr_expect(!wintergrub_outcome_is_date(n) || strcmp(v->unit, "day") == 0, "%s", v->name);
    }
    cr_expect_null(wintergrub_outcome(n));
    cr_expect_null(wintergrub_outcome(-1));
    wintergrub_plan *const plan = plan_of(bench);
    const struct wg_diary shape = {.n_places = 1, .n_bins = 1};
    n = 0;
    for (const struct wg_series *s = wg_diary_series(); s->name != NULL; s++, n++) {
        const struct wintergrub_variable *const v = wintergrub_series(n);
        cr_assert_not_null(v);
        cr_expect(strcmp(v->name, s->name) == 0 && strcmp(v->unit, s->unit) == 0 && strcmp(v->meaning, s->text) == 0);
        cr_expect_eq(wintergrub_plan_columns(plan, v->per), wg_diary_width(&shape, s->dims), "%s", v->name);
        cr_expect_eq(v->is_count, s->is_count, "%s", v->name);
        cr_expect_eq(strncmp(wintergrub_series_cell_methods(n), "time: ", 6), 0, "%s", v->name);
        const bool is_air = strstr(v->name, "air_") != NULL || strcmp(v->name, "outdoor_temperature") == 0;
        const char *const standard_name = wintergrub_series_standard_name(n);
        cr_expect(!is_air || strcmp(standard_name, "air_temperature") == 0, "%s", v->name);
        cr_expect(standard_name == NULL || strcmp(v->unit, "degC") == 0, "%s", v->name);
    }
    cr_expect_null(wintergrub_series(n));
    cr_expect_null(wintergrub_series_cell_methods(n));
    cr_expect_null(wintergrub_series_standard_name(n));
    cr_expect_eq(wintergrub_outcome_is_date(-1), 0);
    cr_expect_str_eq(wintergrub_plan_column(plan, WINTERGRUB_PER_BIN, 0), "tray");
    cr_expect_str_eq(wintergrub_plan_column(plan, WINTERGRUB_PER_PLACE, 0), "bench");
    cr_expect_str_eq(wintergrub_plan_column(plan, WINTERGRUB_PER_STAGE, 0), "egg");
    cr_expect_str_eq(wintergrub_plan_column(plan, WINTERGRUB_PER_DAY, 0), "");
    cr_expect_str_eq(wintergrub_plan_column(plan, WINTERGRUB_PER_CAUSE, 0), wg_cause_name((enum wg_cause)0));
    cr_expect_null(wintergrub_plan_column(plan, WINTERGRUB_PER_BIN, 1));
    cr_expect(wintergrub_plan_bin_place(plan, 0) == 0 && wintergrub_plan_bin_place(plan, 1) == -1);
    cr_expect(wintergrub_plan_stores(plan, "count") && wintergrub_plan_stores(plan, "survived"));
    cr_expect(!wintergrub_plan_stores(plan, "bin_larvae") && !wintergrub_plan_stores(plan, "balance"));
    cr_expect(!wintergrub_plan_stores(plan, "nothing"));
    cr_expect(isnan(wintergrub_plan_latitude(plan)));
    cr_expect_null(wintergrub_plan_column(plan, WINTERGRUB_PER_STAGE, -1));
    wintergrub_plan_free(plan);
}

Test(library, has_a_sentence_and_a_status_for_each_code) {
    static const int status[] = {0, 2, 3, 3, 4, 4, 3, 5, 5, 5};
    for (int i = 0; i < 10; i++) {
        cr_expect_eq(wintergrub_exit_status(-i), status[i]);
        cr_expect_neq(wintergrub_error_sentence(-i)[0], '\0');
    }
    cr_expect_eq(wintergrub_exit_status(WINTERGRUB_STOPPED), 0);
}

/* ---- plans ---- */

Test(library, lists_every_mistake_of_a_file) {
    glob_t found;
    cr_assert_eq(glob(WG_SOURCE_DIR "/tests/data/broken/*.yaml", 0, NULL, &found), 0);
    for (size_t k = 0; k < found.gl_pathc; k++) {
        const char *const path = found.gl_pathv[k], *const name = strrchr(path, '/') + 1;
        struct wintergrub_error error;
        wintergrub_plan *plan;
        wintergrub_mistakes *mistakes;
        cr_assert_eq(wintergrub_plan_read(&plan, path, &mistakes, &error), WINTERGRUB_ERR_INPUT, "%s", name);
        cr_assert_null(plan);
        cr_assert_gt(wintergrub_mistakes_count(mistakes), 0);
        const struct wintergrub_mistake first = wintergrub_mistakes_get(mistakes, 0);
        cr_expect_eq(strncmp(error.text, first.text, strlen(first.text) < 500 ? strlen(first.text) : 500), 0, "%s",
                     name);
        char expected_path[512], line[1024], place[600];
        snprintf(expected_path, sizeof expected_path, "%.*s.txt", (int)strlen(path) - 5, path);
        FILE *const expected = fopen(expected_path, "r");
        cr_assert_not_null(expected);
        for (size_t i = 0; i < wintergrub_mistakes_count(mistakes); i++) {
            const struct wintergrub_mistake one = wintergrub_mistakes_get(mistakes, i);
            char *const shown = wintergrub_mistakes_show(mistakes, i);
            const char *const base = one.base != NULL ? strstr(one.base, "based/") : NULL;
            snprintf(place, sizeof place,
                     one.line > 0 ? "%s:%d:%d: error: " : "%s: error: ", base != NULL ? base : name, one.line,
                     one.column);
            do
                cr_assert_not_null(fgets(line, sizeof line, expected), "%s: no line with %s", name, place);
            while (strncmp(line, place, strlen(place)) != 0);
            line[strcspn(line, "\n")] = '\0';
            cr_expect_not_null(strstr(shown, line), "%s: %s", name, shown);
            free(shown);
        }
        fclose(expected);
        wintergrub_mistakes_free(mistakes);
    }
    globfree(&found);
}

Test(library, reports_the_first_mistake_with_its_position) {
    struct wintergrub_error error;
    wintergrub_plan *plan;
    static const char text[] = "period: {from: 2026-01-01, to: 2026-01-32}\n"
                               "climate: {constant: 27 degC}\n"
                               "places: [{name: bench, housing: {kind: laboratory}, bins: [{name: tray}]}]\n"
                               "starter: [{on: 2026-01-01, in: tray, stage: egg, count: 0.5}]\n"
                               "feeding: unlimited\n";
    cr_assert_eq(wintergrub_plan_from_text(&plan, text, NULL, NULL, &error), WINTERGRUB_ERR_INPUT);
    cr_expect_null(plan);
    cr_expect_str_eq(error.where, "scenario:1:32");
    cr_expect_not_null(strstr(error.text, "2026-01-32"), "%s", error.text);
    cr_expect_not_null(strstr(error.text, "(2 mistakes in all)"), "%s", error.text);
    cr_expect_eq(wintergrub_plan_read(&plan, "/nowhere/plan.yaml", NULL, &error), WINTERGRUB_ERR_FILE);
    cr_expect_str_eq(error.where, "/nowhere/plan.yaml");
    cr_expect_eq(wintergrub_plan_read(&plan, "/nowhere/plan.yaml", NULL, NULL), WINTERGRUB_ERR_FILE);
    cr_expect_eq(wintergrub_mistakes_count(NULL), 0);
}

Test(library, reads_a_weather_record_from_memory) {
    char record[20000];
    size_t n = (size_t)snprintf(record, sizeof record, "date,low,high\n");
    for (int32_t day = wg_day_from_date((struct wg_date){2022, 1, 1}); n < sizeof record - 40; day++) {
        char date[11];
        wg_day_format(day, date);
        n += (size_t)snprintf(record + n, sizeof record - n, "%s,15,25\n", date);
    }
    static const char text[] = "period: {from: 2026-04-01, to: 2026-04-05}\n"
                               "climate: {latitude: 30 degrees, record: nowhere.csv, unit: degC}\n"
                               "places: [{name: yard, housing: outdoors, bins: [{name: tray}]}]\n"
                               "starter: [{on: 2026-04-01, in: tray, stage: egg, count: 500}]\n"
                               "feeding: unlimited\n";
    struct wintergrub_error error;
    wintergrub_plan *plan;
    wintergrub_world *world;
    wintergrub_replicate *replicate;
    cr_assert_eq(wintergrub_plan_from_text(&plan, text, NULL, NULL, &error), WINTERGRUB_ERR_INPUT);
    cr_assert_eq(wintergrub_plan_from_text(&plan, text, record, NULL, &error), 0, "%s: %s", error.where, error.text);
    cr_assert_eq(wintergrub_world_new(&world, plan, &error), 0);
    cr_assert_eq(wintergrub_replicate_new(&replicate, world, &error), 0);
    cr_assert_eq(wintergrub_replicate_run(replicate, 0, &error), 0);
    double outside[5];
    cr_assert_eq(wintergrub_replicate_series(replicate, "outdoor_temperature", 0, outside, 5), 0);
    for (int day = 0; day < 5; day++)
        cr_expect(outside[day] > 15 && outside[day] < 25, "%g", outside[day]);
    wintergrub_plan *copy;
    cr_expect_eq(wintergrub_plan_copy(&copy, plan, &error), 0, "a copy has the record: %s", error.text);
    wintergrub_plan_free(copy);
    wintergrub_replicate_free(replicate);
    wintergrub_world_free(world);
    wintergrub_plan_free(plan);
}

Test(library, makes_the_smallest_plans) {
    static const double high[12] = {14.4, 16.7, 20.6, 25, 28.9, 32.8, 33.9, 33.3, 30.6, 25.6, 20, 15.6};
    static const double low[12] = {2.2, 3.9, 7.8, 12.2, 16.7, 21.1, 22.2, 21.7, 18.3, 12.2, 7.2, 3.3};
    struct wintergrub_error error;
    wintergrub_plan *plan;
    for (int fed = 0; fed < 2; fed++) {
        cr_assert_eq(wintergrub_plan_laboratory(&plan, "2026-01-01", "2026-01-30", 27.3, 1000, fed * 1.5, &error), 0,
                     "%s", error.text);
        cr_expect_not_null(strstr(wintergrub_plan_text(plan), "constant: 27.3 degC"));
        cr_expect_eq(wintergrub_plan_days(plan), 30);
        cr_expect_eq(wintergrub_plan_first_day(plan), 20454); /* 56 years, 14 of them leap, after 1970-01-01 */
        wintergrub_ensemble_free(run_of(plan, 2));
        wintergrub_plan_free(plan);
        cr_assert_eq(
            wintergrub_plan_outdoors(&plan, "2026-06-01", "2026-06-30", -32.4, high, low, 1000, fed * 1.5, &error), 0,
            "%s: %s", error.where, error.text);
        cr_expect_not_null(strstr(wintergrub_plan_text(plan), "14.4, 16.7, 20.6, 25, 28.9"));
        cr_expect_eq(wintergrub_plan_latitude(plan), -32.4);
        wintergrub_ensemble_free(run_of(plan, 2));
        wintergrub_plan_free(plan);
    }
    cr_expect_eq(wintergrub_plan_laboratory(&plan, "2026-01-01", "2026-01-30", (double)NAN, 1000, 0, &error),
                 WINTERGRUB_ERR_INPUT);
    cr_expect_null(plan);
    cr_expect_eq(wintergrub_plan_laboratory(&plan, "2026-01-01", "2026-01-30 00:00:00 and more", 27, 1000, 0, &error),
                 WINTERGRUB_ERR_INPUT);
    cr_expect_eq(wintergrub_plan_laboratory(&plan, "2026-01-01", "2026-01-30", 27, -5, 0, &error),
                 WINTERGRUB_ERR_INPUT);
}

Test(library, changes_a_plan_within_limits) {
    struct wintergrub_error error;
    wintergrub_plan *const plan = plan_of(bench);
    cr_expect_str_eq(wintergrub_plan_text(plan), bench);
    cr_expect_str_eq(wintergrub_plan_name(plan), "scenario");
    char *const text = wintergrub_plan_describe(plan);
    cr_expect_not_null(strstr(text, "tray"), "%s", text);
    free(text);
    cr_expect_eq(wintergrub_plan_replicates(plan), REPLICATES);
    cr_expect_eq(wintergrub_plan_seed(plan), 7);
    cr_expect_eq(wintergrub_plan_set_replicates(plan, 0, &error), WINTERGRUB_ERR_USAGE);
    cr_expect_eq(wintergrub_plan_set_replicates(plan, 1000001, &error), WINTERGRUB_ERR_USAGE);
    cr_expect_eq(wintergrub_plan_set_replicates(plan, 3, &error), 0);
    cr_expect_eq(wintergrub_plan_replicates(plan), 3);
    wintergrub_plan_set_seed(plan, UINT64_MAX);
    cr_expect_eq(wintergrub_plan_seed(plan), UINT64_MAX);
    cr_expect_eq(wintergrub_plan_set_number(plan, "final_mas", 0.2, &error), WINTERGRUB_ERR_USAGE);
    cr_expect_not_null(strstr(error.text, "final_mas"));
    cr_expect_eq(wintergrub_plan_set_number(plan, "final_mass", -1, &error), WINTERGRUB_ERR_INPUT);
    cr_expect_str_eq(error.where, "final_mass");
    cr_expect_eq(wintergrub_plan_set_number(plan, "final_mass", (double)NAN, &error), WINTERGRUB_ERR_INPUT);
    cr_expect_eq(wintergrub_plan_set_number(plan, "final_mass", 0.18, &error), 0);
    cr_expect_eq(wintergrub_plan_check(plan, &error), 0);
    wintergrub_plan_free(plan);
    wintergrub_plan_free(NULL);
}

Test(library, lists_the_numbers_of_the_animal) {
    struct wintergrub_error error;
    struct wintergrub_number number;
    wintergrub_plan *const plan = plan_of(bench);
    double value;
    int n = 0;
    for (; wintergrub_number(n, &number) == 0; n++) {
        cr_expect(number.unit[0] != '\0' && number.meaning[0] != '\0' && number.source[0] != '\0', "%s", number.name);
        cr_assert_eq(wintergrub_plan_number(plan, number.name, &value), 0);
        cr_expect(number.least <= value && value <= number.most, "%s", number.name);
        cr_expect_eq(wintergrub_plan_set_number(plan, number.name, value, &error), 0, "%s", error.text);
    }
    cr_expect_gt(n, 50);
    cr_expect_eq(wintergrub_number(-1, &number), WINTERGRUB_ERR_USAGE);
    cr_expect_eq(wintergrub_plan_number(plan, "final_mas", &value), WINTERGRUB_ERR_USAGE);
    cr_assert_eq(wintergrub_plan_set_number(plan, "final_mass", 0.18, &error), 0);
    cr_assert_eq(wintergrub_plan_number(plan, "final_mass", &value), 0);
    cr_expect_eq(value, 0.18);
    cr_expect_eq(wintergrub_plan_check(plan, &error), 0);
    wintergrub_plan_free(plan);
}

Test(library, varies_a_value_of_the_text) {
    struct wintergrub_error error;
    wintergrub_plan *const plan = plan_of(bench), *varied, *again;
    double value;
    wintergrub_plan_set_seed(plan, 9);
    cr_assert_eq(wintergrub_plan_set_replicates(plan, 3, &error), 0);
    cr_assert_eq(wintergrub_plan_set_number(plan, "final_mass", 0.18, &error), 0);
    cr_assert_eq(wintergrub_plan_vary(&varied, plan, "climate.constant", "77 degF", &error), 0, "%s", error.text);
    cr_expect_not_null(strstr(wintergrub_plan_text(varied), "constant: 25 degC"), "%s", wintergrub_plan_text(varied));
    cr_expect_str_eq(wintergrub_plan_text(plan), bench);
    cr_expect_eq(wintergrub_plan_seed(varied), 9);
    cr_expect_eq(wintergrub_plan_replicates(varied), 3);
    cr_assert_eq(wintergrub_plan_number(varied, "final_mass", &value), 0);
    cr_expect_eq(value, 0.18);
    cr_assert_eq(wintergrub_plan_vary(&again, varied, "starter.1.count", "700", &error), 0, "%s", error.text);
    cr_expect_not_null(strstr(wintergrub_plan_text(again), "count: 700"));
    cr_expect_not_null(strstr(wintergrub_plan_text(again), "25 degC"));
    wintergrub_plan_free(again);
    wintergrub_plan_free(varied);
    cr_assert_eq(wintergrub_plan_copy(&again, plan, &error), 0, "%s", error.text);
    cr_expect_str_eq(wintergrub_plan_text(again), bench);
    cr_expect(wintergrub_plan_seed(again) == 9 && wintergrub_plan_replicates(again) == 3);
    wintergrub_plan_set_seed(again, 10);
    cr_expect_eq(wintergrub_plan_seed(plan), 9);
    cr_assert_eq(wintergrub_plan_number(again, "final_mass", &value), 0);
    cr_expect_eq(value, 0.18, "a copy has the numbers set");
    wintergrub_plan_free(again);
    cr_expect_eq(wintergrub_plan_vary(&varied, plan, "starter.1.counts", "7", &error), WINTERGRUB_ERR_INPUT);
    cr_expect_null(varied);
    cr_expect_not_null(strstr(error.text, "count"), "%s", error.text);
    cr_expect_eq(wintergrub_plan_vary(&varied, plan, "starter.1.count", "3 kg", &error), WINTERGRUB_ERR_USAGE);
    cr_expect_not_null(strstr(error.text, "like 500"), "%s", error.text);
    cr_expect_eq(wintergrub_plan_vary(&varied, plan, "climate.constant", "900 degC", &error), WINTERGRUB_ERR_INPUT);
    cr_expect_null(varied);
    wintergrub_plan_free(plan);
}

Test(library, varies_numbers_of_the_animal) {
    static const char species[] = "species: {final_mass: 0.15 g, female_share: 40 %}\n";
    struct wintergrub_error error;
    char text[sizeof bench + sizeof species];
    double value;
    snprintf(text, sizeof text, "%s%s", bench, species);
    wintergrub_plan *const plan = plan_of(text), *varied;
    cr_assert_eq(wintergrub_plan_set_number(plan, "final_mass", 0.18, &error), 0);
    cr_assert_eq(wintergrub_plan_vary(&varied, plan, "starter.1.count", "600", &error), 0, "%s", error.text);
    cr_assert_eq(wintergrub_plan_number(varied, "final_mass", &value), 0);
    cr_expect_eq(value, 0.18, "set later than the text, and so kept");
    wintergrub_plan_free(varied);
    cr_assert_eq(wintergrub_plan_vary(&varied, plan, "species.female_share", "45 %", &error), 0, "%s", error.text);
    cr_assert_eq(wintergrub_plan_number(varied, "final_mass", &value), 0);
    cr_expect_eq(value, 0.18);
    cr_assert_eq(wintergrub_plan_number(varied, "female_share", &value), 0);
    cr_expect_eq(value, 0.45);
    wintergrub_plan_free(varied);
    cr_assert_eq(wintergrub_plan_vary(&varied, plan, "species.final_mass", "0.14 g", &error), 0, "%s", error.text);
    cr_assert_eq(wintergrub_plan_number(varied, "final_mass", &value), 0);
    cr_expect_float_eq(value, 0.14, 1e-15, "what is varied wins");
    wintergrub_plan_free(varied);
    wintergrub_plan_free(plan);
}

Test(library, finds_numbers_that_contradict_each_other) {
    struct wintergrub_error error;
    wintergrub_plan *const plan = plan_of(bench);
    wintergrub_world *world;
    wintergrub_ensemble *ensemble;
    cr_assert_eq(wintergrub_plan_set_number(plan, "clutch_low", 900, &error), 0, "%s", error.text);
    cr_assert_eq(wintergrub_plan_set_number(plan, "clutch_high", 500, &error), 0, "%s", error.text);
    cr_expect_eq(wintergrub_plan_check(plan, &error), WINTERGRUB_ERR_INPUT);
    cr_expect_neq(error.text[0], '\0');
    cr_expect_eq(wintergrub_world_new(&world, plan, &error), WINTERGRUB_ERR_INPUT);
    cr_expect_null(world);
    cr_assert_eq(wintergrub_ensemble_new(&ensemble, plan, &error), 0);
    cr_expect_eq(wintergrub_ensemble_run(ensemble, &error), WINTERGRUB_ERR_INPUT);
    cr_expect_null(wintergrub_ensemble_summary(ensemble));
    cr_assert_eq(wintergrub_plan_set_number(plan, "clutch_low", 300, &error), 0);
    cr_expect_eq(wintergrub_ensemble_run(ensemble, &error), 0);
    cr_expect_not_null(wintergrub_ensemble_summary(ensemble));
    wintergrub_ensemble_free(ensemble);
    wintergrub_plan_free(plan);
}

/* ---- locale ---- */

/* The locale in which the reader ran. A machine may have no locale with a decimal comma, so the test compares this. */
static locale_t seen_by_reader;

int __real_wg_scenario_read_text(struct wg_scenario *scenario, const char *path, const char *text, size_t size,
                                 const char *record_text, size_t record_size, struct wg_mistakes *problems,
                                 struct wg_error *err);
int __wrap_wg_scenario_read_text(struct wg_scenario *scenario, const char *path, const char *text, size_t size,
                                 const char *record_text, size_t record_size, struct wg_mistakes *problems,
                                 struct wg_error *err) {
    seen_by_reader = uselocale((locale_t)0);
    return __real_wg_scenario_read_text(scenario, path, text, size, record_text, record_size, problems, err);
}

Test(library, reads_in_the_c_locale_and_restores_the_thread_locale) {
    const locale_t own = newlocale(LC_ALL_MASK, "C.UTF-8", (locale_t)0);
    cr_assert_neq(own, (locale_t)0);
    const locale_t before = uselocale(own);
    wintergrub_plan_free(plan_of(bench));
    cr_expect_eq(uselocale((locale_t)0), own);
    cr_expect_neq(seen_by_reader, own);
    cr_expect_neq(seen_by_reader, LC_GLOBAL_LOCALE);
    (void)uselocale(before);
    freelocale(own);
}

/* ---- replicates and ensembles ---- */

struct seen {
    int64_t n, stop_at, winter[REPLICATES];
    int animal[REPLICATES];
    double mass[REPLICATES], larvae[REPLICATES][DAYS], temperature[REPLICATES][DAYS];
};

static int on_replicate(void *self, int64_t number, const wintergrub_replicate *replicate) {
    struct seen *const seen = self;
    cr_assert_eq(number, seen->n, "replicates come in order");
    cr_assert_eq(wintergrub_replicate_outcome(replicate, "total_crawl_off_mass", &seen->mass[number]), 0);
    cr_assert_eq(wintergrub_replicate_series(replicate, "count", 1, seen->larvae[number], DAYS), 0);
    cr_assert_eq(wintergrub_replicate_series(replicate, "bin_temperature", 0, seen->temperature[number], DAYS), 0);
    seen->animal[number] = wintergrub_replicate_animal(replicate);
    seen->winter[number] = wintergrub_replicate_winter(replicate);
    seen->n++;
    return seen->stop_at > 0 && seen->n == seen->stop_at;
}

Test(library, gives_the_same_replicates_in_an_ensemble_and_alone) {
    struct wintergrub_error error;
    wintergrub_plan *const plan = plan_of(bench);
    wintergrub_world *world;
    wintergrub_replicate *replicate;
    wintergrub_ensemble *ensemble;
    cr_assert_eq(wintergrub_world_new(&world, plan, &error), 0);
    cr_assert_eq(wintergrub_replicate_new(&replicate, world, &error), 0);
    cr_assert_eq(wintergrub_ensemble_new(&ensemble, plan, &error), 0);
    struct seen *const seen = calloc(2, sizeof *seen);
    for (int threads = 1; threads <= 2; threads++) {
        wintergrub_ensemble_set_threads(ensemble, threads);
        wintergrub_ensemble_on_replicate(ensemble, on_replicate, &seen[threads - 1]);
        cr_assert_eq(wintergrub_ensemble_run(ensemble, &error), 0);
        cr_assert_eq(seen[threads - 1].n, REPLICATES);
    }
    cr_expect_eq(memcmp(&seen[0], &seen[1], sizeof *seen), 0, "1 and 2 threads give the same bytes");
    const double *const values =
        wintergrub_summary_values(wintergrub_ensemble_summary(ensemble), "total_crawl_off_mass");
    double days[DAYS], mass;
    for (int k = REPLICATES - 1; k >= 0; k--) {
        cr_assert_eq(wintergrub_replicate_run(replicate, k, &error), 0);
        cr_expect_eq(wintergrub_replicate_animal(replicate), seen[0].animal[k]);
        cr_expect_eq(wintergrub_replicate_winter(replicate), seen[0].winter[k]);
        cr_assert_eq(wintergrub_replicate_outcome(replicate, "total_crawl_off_mass", &mass), 0);
        cr_expect(same_bits(mass, seen[0].mass[k]) && same_bits(mass, values[k]));
        cr_assert_eq(wintergrub_replicate_series(replicate, "bin_temperature", 0, days, DAYS), 0);
        cr_expect_eq(memcmp(days, seen[0].temperature[k], sizeof days), 0);
    }
    cr_expect(seen[0].animal[0] >= 0 && seen[0].animal[1] >= 0 && seen[0].animal[1] != seen[0].animal[0]);
    cr_expect(seen[0].winter[0] == 0 && seen[0].winter[REPLICATES - 1] == REPLICATES - 1);
    cr_expect(seen[0].mass[0] > 0 && seen[0].larvae[0][20] > 100 && seen[0].temperature[0][20] > 26);
    free(seen);
    wintergrub_ensemble_free(ensemble);
    wintergrub_replicate_free(replicate);
    wintergrub_world_free(world);
    wintergrub_plan_free(plan);
}

Test(library, rejects_unknown_names_and_sizes) {
    struct wintergrub_error error;
    wintergrub_plan *const plan = plan_of(bench);
    wintergrub_world *world;
    wintergrub_replicate *replicate;
    double value, days[DAYS + 1];
    cr_assert_eq(wintergrub_world_new(&world, plan, &error), 0);
    cr_assert_eq(wintergrub_replicate_new(&replicate, world, &error), 0);
    cr_expect_eq(wintergrub_replicate_outcome(replicate, "survived", &value), WINTERGRUB_ERR_USAGE, "before a run");
    cr_expect_eq(wintergrub_replicate_series(replicate, "count", 0, days, DAYS), WINTERGRUB_ERR_USAGE);
    cr_expect_eq(wintergrub_replicate_run(replicate, -1, &error), WINTERGRUB_ERR_USAGE);
    cr_assert_eq(wintergrub_replicate_run(replicate, 0, &error), 0);
    cr_expect_eq(wintergrub_replicate_outcome(replicate, "survives", &value), WINTERGRUB_ERR_USAGE);
    cr_expect_eq(wintergrub_replicate_series(replicate, "counts", 0, days, DAYS), WINTERGRUB_ERR_USAGE);
    cr_expect_eq(wintergrub_replicate_series(replicate, "count", 0, days, DAYS + 1), WINTERGRUB_ERR_USAGE);
    cr_expect_eq(wintergrub_replicate_series(replicate, "count", 99, days, DAYS), WINTERGRUB_ERR_USAGE);
    cr_expect_eq(wintergrub_replicate_series(replicate, "count", -1, days, DAYS), WINTERGRUB_ERR_USAGE);
    cr_expect_eq(wintergrub_replicate_outcome(replicate, "survived", &value), 0);
    cr_expect_eq(value, 1);
    wintergrub_replicate_free(replicate);
    wintergrub_world_free(world);
    wintergrub_plan_free(plan);
    wintergrub_replicate_free(NULL);
    wintergrub_world_free(NULL);
}

Test(library, rejects_numbers_of_lists_out_of_range) {
    static const int wrong[] = {-1, 2, 99, INT32_MAX, INT32_MIN};
    struct wintergrub_error error;
    wintergrub_mistakes *mistakes;
    wintergrub_plan *none, *const plan = plan_of(bench);
    char text[200];
    cr_assert_eq(wintergrub_plan_from_text(&none, "title: [", NULL, &mistakes, &error), WINTERGRUB_ERR_INPUT);
    cr_expect_null(wintergrub_mistakes_get(mistakes, wintergrub_mistakes_count(mistakes)).text);
    cr_expect_null(wintergrub_mistakes_get(mistakes, SIZE_MAX).text);
    cr_expect_null(wintergrub_mistakes_get(NULL, 0).text);
    cr_expect_null(wintergrub_mistakes_show(mistakes, wintergrub_mistakes_count(mistakes)));
    cr_expect_null(wintergrub_mistakes_show(NULL, 0));
    wintergrub_mistakes_free(mistakes);
    wintergrub_ensemble *const ensemble = run_of(plan, 1);
    const wintergrub_summary *const summary = wintergrub_ensemble_summary(ensemble);
    cr_assert_eq(wintergrub_plan_goals(plan), 2);
    cr_assert_leq(wintergrub_summary_warnings(summary), 2);
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        strcpy(text, "before");
        cr_expect(isnan(wintergrub_plan_goal(plan, wrong[i], text, sizeof text)) && text[0] == '\0');
        strcpy(text, "before");
        cr_expect_eq(wintergrub_summary_warning(summary, wrong[i], text, sizeof text), 0);
        cr_expect_eq(text[0], '\0');
    }
    wintergrub_ensemble_free(ensemble);
    wintergrub_plan_free(plan);
}

/* With unlimited feed for ten years 500 eggs become more than 2^61 individuals; `wintergrub run` reports the same. */
Test(library, reports_a_colony_that_grows_beyond_counting) {
    static const char text[] = "period: {from: 2026-01-01, to: 2035-12-31}\n"
                               "climate: {constant: 27 degC}\n"
                               "places: [{name: bench, housing: {kind: laboratory}, bins: [{name: tray}]}]\n"
                               "starter: [{on: 2026-01-01, in: tray, stage: egg, count: 500}]\n"
                               "feeding: unlimited\n"
                               "forecast: {replicates: 2}\n";
    struct wintergrub_error error;
    wintergrub_plan *const plan = plan_of(text);
    wintergrub_ensemble *ensemble;
    cr_assert_eq(wintergrub_ensemble_new(&ensemble, plan, &error), 0);
    cr_expect_eq(wintergrub_ensemble_run(ensemble, &error), WINTERGRUB_ERR_OVERGROWN);
    cr_expect_not_null(strstr(error.text, "feeding plan"), "%s", error.text);
    cr_expect_null(wintergrub_ensemble_summary(ensemble));
    wintergrub_ensemble_free(ensemble);
    wintergrub_plan_free(plan);
}

Test(library, stops_when_asked) {
    struct wintergrub_error error;
    wintergrub_plan *const plan = plan_of(bench);
    wintergrub_ensemble *ensemble;
    struct seen *const seen = calloc(1, sizeof *seen);
    char folder[] = "/tmp/wintergrub-library-XXXXXX", path[64];
    cr_assert_not_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/a.h5", folder);
    cr_assert_eq(wintergrub_ensemble_new(&ensemble, plan, &error), 0);
    cr_assert_eq(wintergrub_ensemble_write(ensemble, path, 0, NULL, &error), 0);
    cr_expect_null(wintergrub_ensemble_summary(ensemble));
    wintergrub_ensemble_stop(ensemble);
    cr_expect_eq(wintergrub_ensemble_run(ensemble, &error), WINTERGRUB_STOPPED, "stopped before it began");
    cr_expect_eq(wintergrub_summary_replicates(wintergrub_ensemble_summary(ensemble)), 0);
    seen->stop_at = 5;
    wintergrub_ensemble_on_replicate(ensemble, on_replicate, seen);
    cr_expect_eq(wintergrub_ensemble_run(ensemble, &error), WINTERGRUB_STOPPED);
    cr_expect_eq(seen->n, 5);
    cr_expect_eq(wintergrub_summary_replicates(wintergrub_ensemble_summary(ensemble)), 5);
    cr_expect_neq(access(path, F_OK), 0, "no file");
    cr_expect_eq(rmdir(folder), 0, "no temporary file is left");
    free(seen);
    wintergrub_ensemble_free(ensemble);
    wintergrub_ensemble_free(NULL);
    wintergrub_plan_free(plan);
}

struct again {
    wintergrub_ensemble *ensemble;
    int code, calls;
};

static int run_again(void *self, int64_t number, const wintergrub_replicate *replicate) {
    struct again *const again = self;
    (void)number, (void)replicate;
    again->calls++;
    again->code = wintergrub_ensemble_run(again->ensemble, NULL);
    return 0;
}

Test(library, runs_an_ensemble_once_at_a_time) {
    struct wintergrub_error error;
    wintergrub_plan *const plan = plan_of(bench);
    struct again again = {.code = 0};
    cr_assert_eq(wintergrub_ensemble_new(&again.ensemble, plan, &error), 0);
    wintergrub_ensemble_on_replicate(again.ensemble, run_again, &again);
    cr_expect_eq(wintergrub_ensemble_run(again.ensemble, &error), 0);
    cr_expect_eq(again.code, WINTERGRUB_ERR_USAGE, "in its own callback");
    cr_expect_eq(again.calls, REPLICATES);
    cr_expect_eq(wintergrub_summary_replicates(wintergrub_ensemble_summary(again.ensemble)), REPLICATES);
    wintergrub_ensemble_on_replicate(again.ensemble, NULL, NULL);
    cr_expect_eq(wintergrub_ensemble_run(again.ensemble, &error), 0, "and again afterwards");
    wintergrub_ensemble_free(again.ensemble);
    wintergrub_plan_free(plan);
}

/* ---- summaries ---- */

Test(library, summary) {
    struct wintergrub_error error;
    wintergrub_plan *const plan = plan_of(bench);
    wintergrub_ensemble *const ensemble = run_of(plan, 1);
    const wintergrub_summary *const summary = wintergrub_ensemble_summary(ensemble);
    struct wintergrub_spread spread;
    struct wintergrub_share share, goal;
    const double *const mass = wintergrub_summary_values(summary, "total_crawl_off_mass");
    double sum = 0, least = HUGE_VAL, most = 0;
    for (int k = 0; k < REPLICATES; k++) {
        sum += mass[k];
        least = fmin(least, mass[k]);
        most = fmax(most, mass[k]);
    }
    cr_assert_eq(wintergrub_summary_spread(summary, "total_crawl_off_mass", &spread, &error), 0);
    cr_expect(spread.n == REPLICATES && spread.happened == REPLICATES);
    cr_expect_float_eq(spread.mean, sum / REPLICATES, 1e-12 * sum, "the sum of a dozen numbers, rounded");
    cr_expect(least <= spread.q05 && spread.q05 <= spread.q25 && spread.q25 <= spread.q50);
    cr_expect(spread.q50 <= spread.q75 && spread.q75 <= spread.q95 && spread.q95 <= most);
    cr_assert_eq(wintergrub_summary_share(summary, "survived", 1, 1, &share, &error), 0);
    cr_expect(share.hits == 12 && share.n == 12 && share.share == 1 && share.high == 1);
    const double z = 1.959963984540054; /* the normal quantile at 97.5 % */
    cr_expect_float_eq(share.low, 12 / (12 + z * z), 1e-12, "Wilson, all of 12: n / (n + z^2)");
    cr_assert_eq(wintergrub_summary_share(summary, "total_crawl_off_mass", least, least, &share, &error), 0);
    cr_expect_eq(share.hits, 1, "both ends belong to the range");
    cr_assert_eq(wintergrub_summary_share(summary, "spring_emergence_50", -HUGE_VAL, HUGE_VAL, &share, &error), 0);
    cr_expect_eq(share.hits, 0, "a laboratory has no spring");
    cr_assert_eq(wintergrub_summary_goal(summary, 0, &goal, &error), 0);
    cr_expect_eq(goal.hits, 12);
    cr_assert_eq(wintergrub_summary_goal(summary, 1, &goal, &error), 0);
    cr_expect_lt(goal.hits, 12);
    char text[200];
    cr_expect_eq(wintergrub_plan_goals(plan), 2);
    cr_expect_eq(wintergrub_plan_goal(plan, 1, text, sizeof text), 0.9, "the default");
    cr_expect_not_null(strstr(text, "5,000 adults"), "%s", text);
    cr_expect_eq(wintergrub_plan_goal(plan, 0, NULL, 0), 0.9);
    cr_expect_eq(wintergrub_summary_goal(summary, 2, &goal, &error), WINTERGRUB_ERR_USAGE);
    cr_expect_eq(wintergrub_summary_share(summary, "nothing", 0, 1, &share, &error), WINTERGRUB_ERR_USAGE);
    cr_expect_eq(wintergrub_summary_spread(summary, "nothing", &spread, &error), WINTERGRUB_ERR_USAGE);
    cr_expect_null(wintergrub_summary_values(summary, "nothing"));
    wintergrub_ensemble_free(ensemble);
    wintergrub_plan_free(plan);
}

/* The sentences are those of the program: tests/python/test_forecast.py compares them. */
Test(library, warns) {
    struct wintergrub_error error;
    char text[512], cut[8];
    wintergrub_plan *plan;
    cr_assert_eq(wintergrub_plan_read(&plan, WG_SOURCE_DIR "/scenarios/overfed.yaml", NULL, &error), 0);
    cr_assert_eq(wintergrub_plan_set_replicates(plan, 4, &error), 0);
    wintergrub_ensemble *const ensemble = run_of(plan, 1);
    const wintergrub_summary *const summary = wintergrub_ensemble_summary(ensemble);
    cr_assert_eq(wintergrub_summary_warnings(summary), 1);
    cr_expect_eq(wintergrub_summary_warning(summary, 0, text, sizeof text), 4);
    cr_expect_not_null(strstr(text, "is overfed for"), "%s", text);
    (void)wintergrub_summary_warning(summary, 0, cut, sizeof cut);
    cr_expect_str_eq(cut, "The bin");
    cr_expect_eq(wintergrub_summary_warning(summary, 0, NULL, 0), 4);
    cr_expect_not_null(strstr(wintergrub_plan_caution(plan, 0), "local authority"));
    cr_expect_null(wintergrub_plan_caution(plan, 1));
    wintergrub_ensemble_free(ensemble);
    wintergrub_plan_free(plan);
}

/* ---- comparisons ---- */

static double mean_difference(const wintergrub_summary *a, const wintergrub_summary *b, const char *outcome) {
    double sum = 0;
    for (int k = 0; k < REPLICATES; k++)
        sum += wintergrub_summary_values(b, outcome)[k] - wintergrub_summary_values(a, outcome)[k];
    return sum / REPLICATES;
}

/* tests/python/test_forecast.py compares the intervals with those of `wintergrub compare`. */
Test(library, compares_two_runs) {
    struct wintergrub_error error;
    struct wintergrub_difference difference;
    wintergrub_plan *const plan = plan_of(bench), *more, *warmer;
    cr_assert_eq(wintergrub_plan_vary(&more, plan, "starter.1.count", "700", &error), 0);
    wintergrub_ensemble *const a = run_of(plan, 1), *const b = run_of(more, 2);
    const wintergrub_summary *const base = wintergrub_ensemble_summary(a), *const other =
                                                                               wintergrub_ensemble_summary(b);
    int n = 0;
    for (; wintergrub_compared(n) != NULL; n++) {
        const char *const name = wintergrub_compared(n);
        cr_assert_eq(wintergrub_summary_difference(base, other, name, &difference, &error), 0, "%s", error.text);
        if (difference.n < REPLICATES)
            continue;
        const double mean = mean_difference(base, other, name);
        cr_expect_float_eq(difference.mean, mean, 1e-12 * fabs(mean) + 1e-300, "%s", name);
        cr_expect_eq(difference.better + difference.worse + difference.ties, REPLICATES, "%s", name);
    }
    cr_expect_gt(n, 5);
    cr_assert_eq(wintergrub_summary_difference(base, other, "total_crawl_off_mass", &difference, &error), 0);
    cr_expect(difference.n == REPLICATES && difference.better == REPLICATES && difference.chance == 1);
    cr_expect(difference.low > 0 && difference.low < difference.mean && difference.mean < difference.high);
    cr_expect(difference.animals_better > 0 && difference.animals_worse == 0 && difference.less_is_better == 0);
    cr_expect_eq(wintergrub_summary_difference(base, other, "nothing", &difference, &error), WINTERGRUB_ERR_USAGE);
    wintergrub_plan_set_seed(more, 8);
    cr_expect_eq(wintergrub_summary_difference(base, other, "survived", &difference, &error), 0, "as it was run");
    cr_assert_eq(wintergrub_ensemble_run(b, &error), 0);
    cr_expect_eq(wintergrub_summary_difference(base, other, "survived", &difference, &error), WINTERGRUB_ERR_USAGE);
    cr_assert_eq(wintergrub_plan_vary(&warmer, plan, "climate.constant", "28 degC", &error), 0);
    wintergrub_ensemble *const c = run_of(warmer, 1);
    cr_expect_eq(wintergrub_summary_difference(base, wintergrub_ensemble_summary(c), "survived", &difference, &error),
                 WINTERGRUB_ERR_INPUT);
    cr_expect_not_null(strstr(error.text, "weather would differ"), "%s", error.text);
    wintergrub_ensemble_free(a);
    wintergrub_ensemble_free(b);
    wintergrub_ensemble_free(c);
    wintergrub_plan_free(plan);
    wintergrub_plan_free(more);
    wintergrub_plan_free(warmer);
}

/* ---- results ---- */

Test(library, writes_a_result_that_can_be_reproduced) {
    struct wintergrub_error error;
    char folder[] = "/tmp/wintergrub-library-XXXXXX", path[64], again[64], what[256] = "";
    cr_assert_not_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/a.h5", folder);
    snprintf(again, sizeof again, "%s/b.h5", folder);
    wintergrub_plan *const plan = plan_of(bench);
    wintergrub_ensemble *ensemble;
    wintergrub_result *result;
    cr_assert_eq(wintergrub_plan_set_number(plan, "final_mass", 0.18, &error), 0);
    wintergrub_plan_set_seed(plan, 11);
    cr_assert_eq(wintergrub_ensemble_new(&ensemble, plan, &error), 0);
    cr_assert_eq(wintergrub_ensemble_write(ensemble, path, 0, "a test", &error), 0);
    cr_assert_eq(wintergrub_ensemble_run(ensemble, &error), 0, "%s: %s", error.where, error.text);
    cr_expect_eq(wintergrub_ensemble_run(ensemble, &error), WINTERGRUB_ERR_EXISTS);
    cr_assert_eq(wintergrub_ensemble_write(ensemble, path, 1, NULL, &error), 0);
    cr_assert_eq(wintergrub_ensemble_run(ensemble, &error), 0);

    double values[REPLICATES];
    cr_assert_eq(wintergrub_result_open(&result, path, &error), 0, "%s", error.text);
    cr_assert_eq(wintergrub_result_replicates(result), REPLICATES);
    cr_assert_eq(wintergrub_result_outcome(result, "total_crawl_off_mass", values, REPLICATES, &error), 0);
    cr_expect_eq(memcmp(values,
                        wintergrub_summary_values(wintergrub_ensemble_summary(ensemble), "total_crawl_off_mass"),
                        sizeof values),
                 0);
    cr_expect_eq(wintergrub_result_outcome(result, "total", values, REPLICATES, &error), WINTERGRUB_ERR_USAGE);
    cr_expect_eq(wintergrub_result_outcome(result, "survived", values, REPLICATES - 1, &error), WINTERGRUB_ERR_USAGE);
    wintergrub_ensemble_free(ensemble);
    wintergrub_plan_free(plan);

    wintergrub_plan *repeated;
    cr_assert_eq(wintergrub_result_plan(result, &repeated, &error), 0, "%s", error.text);
    cr_expect_eq(wintergrub_plan_seed(repeated), 11);
    wintergrub_plan *restored = repeated; /* repeated by a copy, which has the animals of the file too */
    cr_assert_eq(wintergrub_plan_copy(&repeated, restored, &error), 0, "%s", error.text);
    wintergrub_plan_free(restored);
    cr_assert_eq(wintergrub_ensemble_new(&ensemble, repeated, &error), 0);
    cr_assert_eq(wintergrub_ensemble_write(ensemble, again, 0, NULL, &error), 0);
    cr_assert_eq(wintergrub_ensemble_run(ensemble, &error), 0);
    cr_expect_eq(wintergrub_result_compare(path, again, what, sizeof what, &error), WINTERGRUB_SAME, "%s", what);
    wintergrub_plan_set_seed(repeated, 12);
    cr_assert_eq(wintergrub_ensemble_write(ensemble, again, 1, NULL, &error), 0);
    cr_assert_eq(wintergrub_ensemble_run(ensemble, &error), 0);
    cr_expect_eq(wintergrub_result_compare(path, again, what, sizeof what, &error), WINTERGRUB_DIFFERENT);
    cr_expect_neq(what[0], '\0');
    wintergrub_ensemble_free(ensemble);
    wintergrub_plan_free(repeated);
    wintergrub_result_free(result);

    cr_expect_eq(wintergrub_result_compare(path, folder, what, sizeof what, &error), WINTERGRUB_ERR_FILE);
    cr_expect_eq(wintergrub_result_open(&result, WG_SOURCE_DIR "/README.md", &error), WINTERGRUB_ERR_FORMAT);
    cr_expect_null(result);
    cr_expect_eq(unlink(path), 0);
    cr_expect_eq(unlink(again), 0);
    cr_expect_eq(rmdir(folder), 0);
}

/* ---- threads ---- */

static void *run_in_thread(void *self) {
    wintergrub_plan *const plan = plan_of(bench);
    wintergrub_ensemble *const ensemble = run_of(plan, 1);
    memcpy(self, wintergrub_summary_values(wintergrub_ensemble_summary(ensemble), "total_crawl_off_mass"),
           REPLICATES * sizeof(double));
    wintergrub_ensemble_free(ensemble);
    wintergrub_plan_free(plan);
    return NULL;
}

Test(library, works_in_several_threads_at_once) {
    pthread_t thread[4];
    double mass[4][REPLICATES];
    for (int i = 0; i < 4; i++)
        cr_assert_eq(pthread_create(&thread[i], NULL, run_in_thread, mass[i]), 0);
    for (int i = 0; i < 4; i++)
        cr_assert_eq(pthread_join(thread[i], NULL), 0);
    for (int i = 1; i < 4; i++)
        cr_expect_eq(memcmp(mass[0], mass[i], sizeof mass[0]), 0);
}
