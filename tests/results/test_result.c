/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Writes results, reads them back and compares them. test_result_readers.py checks other programs. */
#include "results/hand_made.h"

TestSuite(result);

static struct wg_error err;

static void must(int code) {
    cr_assert_eq(code, 0, "%s: %s", err.where, err.text);
}

/* Writes the file that test_result_readers.py reads: at $WG_TEST_RESULT, or without it in a temporary folder. */
Test(result, writes_a_file_for_other_readers) {
    const char *const path = getenv("WG_TEST_RESULT");
    char folder[64], inside[128];
    struct wg_scenario scenario;
    hand_made_scenario(&scenario);
    fresh_folder(folder);
    (void)snprintf(inside, sizeof inside, "%s/a.h5", folder);
    must(hand_made_result(path == NULL ? inside : path, 1, &scenario, &hand_made_provenance, NULL, &err));
    clear_folder(folder);
    hand_made_scenario_free(&scenario);
}

Test(result, inputs_round_trip) {
    char folder[64], path[128];
    struct wg_scenario scenario;
    struct hand_made_read back;
    hand_made_scenario(&scenario);
    fresh_folder(folder);
    (void)snprintf(path, sizeof path, "%s/a.h5", folder);
    must(hand_made_result(path, 0, &scenario, &hand_made_provenance, NULL, &err));
    cr_assert_eq(entries_of(folder), 1, "no temporary file is left");
    must(hand_made_read(&back, path, &err));
    cr_assert_str_eq(back.inputs.scenario_text, hand_made_text);
    cr_assert_eq(back.inputs.scenario_size, strlen(hand_made_text));
    cr_assert_str_eq(back.inputs.scenario_path, "farm/two.yaml");
    cr_assert_str_eq(back.inputs.record_text, hand_made_record);
    cr_assert_eq(back.inputs.record_size, strlen(hand_made_record));
    cr_assert_eq(back.file.facts.replicates, 25);
    cr_assert_eq(back.file.facts.seed, hand_made_provenance.seed, "all 64 bits");
    cr_assert(strlen(back.inputs.version) >= 5);
    hand_made_read_free(&back);
    hand_made_read_free(&back); /* twice is allowed */
    clear_folder(folder);
    hand_made_scenario_free(&scenario);
}

Test(result, inputs_round_trip_without_a_weather_record) {
    char folder[64], path[128];
    struct wg_scenario scenario;
    struct hand_made_read back;
    hand_made_scenario(&scenario);
    free(scenario.record_text);
    scenario.record_text = NULL;
    scenario.record_size = 0;
    fresh_folder(folder);
    (void)snprintf(path, sizeof path, "%s/a.h5", folder);
    must(hand_made_result(path, 0, &scenario, &hand_made_provenance, NULL, &err));
    must(hand_made_read(&back, path, &err));
    cr_assert_null(back.inputs.record_text);
    hand_made_read_free(&back);
    clear_folder(folder);
    hand_made_scenario_free(&scenario);
}

/* ---- equal and different results ---- */

struct pair {
    char folder[64], a[128], b[128], what[256];
    struct wg_scenario scenario;
    struct wg_provenance provenance;
};

static void pair_begin(struct pair *pair) {
    memset(pair, 0, sizeof *pair);
    hand_made_scenario(&pair->scenario);
    fresh_folder(pair->folder);
    (void)snprintf(pair->a, sizeof pair->a, "%s/a.h5", pair->folder);
    (void)snprintf(pair->b, sizeof pair->b, "%s/b.h5", pair->folder);
    pair->provenance = hand_made_provenance;
    must(hand_made_result(pair->a, 0, &pair->scenario, &pair->provenance, NULL, &err));
}

static void pair_end(struct pair *pair) {
    clear_folder(pair->folder);
    hand_made_scenario_free(&pair->scenario);
}

static int pair_compare(struct pair *pair) {
    const int code = hand_made_compare(pair->a, pair->b, pair->what, sizeof pair->what, &err);
    cr_assert(code >= 0, "%s: %s", err.where, err.text);
    const int other_way = hand_made_compare(pair->b, pair->a, pair->what, sizeof pair->what, &err);
    cr_assert_eq(code, other_way);
    return code;
}

Test(result, written_twice_has_equal_bytes) {
    struct pair pair;
    pair_begin(&pair);
    must(hand_made_result(pair.b, 0, &pair.scenario, &pair.provenance, NULL, &err));
    size_t size_a, size_b;
    char *const a = bytes_of(pair.a, &size_a), *const b = bytes_of(pair.b, &size_b);
    cr_assert_eq(size_a, size_b);
    cr_assert_eq(memcmp(a, b, size_a), 0);
    cr_assert_eq(pair_compare(&pair), 0);
    free(a);
    free(b);
    pair_end(&pair);
}

Test(result, start_time_and_command_line_are_not_compared) {
    struct pair pair;
    pair_begin(&pair);
    pair.provenance.started = "2031-01-01T00:00:00Z, a little later";
    pair.provenance.command_line = "wintergrub rerun a.h5";
    must(hand_made_result(pair.b, 0, &pair.scenario, &pair.provenance, NULL, &err));
    cr_assert_eq(pair_compare(&pair), 0, "%s", pair.what);
    cr_assert_str_empty(pair.what);
    pair_end(&pair);
}

static void one_more_pupa(int64_t replicate, struct wg_diary *diary) {
    if (replicate == 17)
        diary->count[(HAND_MADE_DAYS - 1) * WG_N_STAGES + WG_PUPA]++;
}

static void last_stored_digit(int64_t replicate, struct wg_diary *diary) {
    double *const value = &diary->bin_temperature[5];
    if (replicate == 24)
        *value += fmax(fabs(*value), 1) * 0x1p-16; /* a file keeps 16 bits of the fraction */
}

static void never_an_egg(int64_t replicate, struct wg_diary *diary) {
    if (replicate == 3)
        diary->first_egg_day = 1e9;
}

static void one_more_of_generation_two(int64_t replicate, struct wg_diary *diary) {
    if (replicate == 0)
        diary->alive[2 * WG_N_STAGES]++; /* on the first day */
}

static void assert_difference(void (*alter)(int64_t, struct wg_diary *), const char *expected) {
    struct pair pair;
    pair_begin(&pair);
    must(hand_made_result(pair.b, 0, &pair.scenario, &pair.provenance, alter, &err));
    cr_assert_eq(pair_compare(&pair), 1);
    cr_assert_str_eq(pair.what, expected);
    pair_end(&pair);
}

Test(result, names_the_replicate_that_differs) {
    assert_difference(one_more_pupa, "count at 17");
}

Test(result, finds_a_change_of_the_last_stored_digit) {
    assert_difference(last_stored_digit, "bin_temperature at 24");
}

Test(result, names_the_outcome_that_differs) {
    assert_difference(never_an_egg, "first_egg_day");
}

Test(result, names_the_mean_that_differs) {
    assert_difference(one_more_of_generation_two, "count_by_generation at 0");
}

Test(result, with_a_different_seed_differs) {
    struct pair pair;
    pair_begin(&pair);
    pair.provenance.seed--;
    must(hand_made_result(pair.b, 0, &pair.scenario, &pair.provenance, NULL, &err));
    cr_assert_eq(pair_compare(&pair), 1);
    cr_assert_str_eq(pair.what, "seed of provenance");
    pair_end(&pair);
}

Test(result, with_more_replicates_differs) {
    struct pair pair;
    pair_begin(&pair);
    pair.provenance.replicates++;
    must(hand_made_result(pair.b, 0, &pair.scenario, &pair.provenance, NULL, &err));
    cr_assert_eq(pair_compare(&pair), 1);
    cr_assert_str_eq(pair.what, "type or size of replicate");
    pair_end(&pair);
}

Test(result, of_a_changed_scenario_differs) {
    struct pair pair;
    pair_begin(&pair);
    pair.scenario.text[2] = 'Z';
    must(hand_made_result(pair.b, 0, &pair.scenario, &pair.provenance, NULL, &err));
    cr_assert_eq(pair_compare(&pair), 1);
    cr_assert_not_null(strstr(pair.what, "scenario"));
    pair_end(&pair);
}

Test(result, without_a_weather_record_differs) {
    struct pair pair;
    pair_begin(&pair);
    pair.scenario.record_size = 0;
    must(hand_made_result(pair.b, 0, &pair.scenario, &pair.provenance, NULL, &err));
    cr_assert_eq(pair_compare(&pair), 1);
    pair_end(&pair);
}

/* ---- interrupted runs ---- */

Test(result, abandoned_leaves_no_file) {
    char folder[64], path[128];
    struct wg_scenario scenario;
    struct wg_result_writer *writer;
    hand_made_scenario(&scenario);
    fresh_folder(folder);
    (void)snprintf(path, sizeof path, "%s/a.h5", folder);
    must(wg_result_create(&writer, path, 0, &scenario, &hand_made_provenance, &err));
    cr_assert_eq(access(path, F_OK), -1, "the file has its name only when it is complete");
    wg_result_abandon(writer);
    wg_result_abandon(NULL);
    cr_assert_eq(entries_of(folder), 0);
    clear_folder(folder);
    hand_made_scenario_free(&scenario);
}

Test(result, closed_too_early_leaves_no_file) {
    char folder[64], path[128];
    struct wg_scenario scenario;
    struct wg_result_writer *writer;
    struct wg_diary diary;
    hand_made_scenario(&scenario);
    fresh_folder(folder);
    (void)snprintf(path, sizeof path, "%s/a.h5", folder);
    must(wg_result_create(&writer, path, 0, &scenario, &hand_made_provenance, &err));
    must(wg_diary_init(&diary, &scenario.plan, &err));
    hand_made_diary(&diary, 0);
    const struct wg_observer observer = wg_result_observer(writer);
    must(observer.on_replicate(observer.self, 0, &diary, &err));
    cr_assert_eq(wg_result_close(writer, &err), WG_ERR_INTERNAL);
    cr_assert_not_null(strstr(err.text, "1 of 25"));
    cr_assert_eq(entries_of(folder), 0);
    wg_diary_free(&diary);
    clear_folder(folder);
    hand_made_scenario_free(&scenario);
}

/* A file of a thousand chunks: several per row, several index nodes. h5py checks the values. */
Test(result, of_a_long_period_written_twice_is_equal) {
    struct pair pair;
    memset(&pair, 0, sizeof pair);
    hand_made_scenario(&pair.scenario);
    pair.scenario.plan.last_day = pair.scenario.plan.first_day + 365 * 40;
    pair.provenance = hand_made_provenance;
    pair.provenance.replicates = 4;
    fresh_folder(pair.folder);
    (void)snprintf(pair.a, sizeof pair.a, "%s/a.h5", pair.folder);
    (void)snprintf(pair.b, sizeof pair.b, "%s/b.h5", pair.folder);
    must(hand_made_result(pair.a, 0, &pair.scenario, &pair.provenance, NULL, &err));
    must(hand_made_result(pair.b, 0, &pair.scenario, &pair.provenance, NULL, &err));
    cr_assert_eq(pair_compare(&pair), 0);
    pair_end(&pair);
}
