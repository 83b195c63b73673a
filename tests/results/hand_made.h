/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Scenarios, diaries and folders made by hand: tests of result files need no simulated colony. */
#ifndef TESTS_IO_HAND_MADE_H
#define TESTS_IO_HAND_MADE_H

#include "results/result_file.h"

#include <criterion/criterion.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define HAND_MADE_DAYS 60

static const char hand_made_text[] = "# zwei Pl\xC3\xA4tze\ntitle: two places, three bins\n";
static const char hand_made_record[] = "date,low,high\r\n2020-01-01,-3.5,4\r\n2020-01-02,-1,6.25\r\n";

/* Two places, three bins, sixty days from 15 September 2026, a weather record. Free with hand_made_scenario_free(). */
static inline void hand_made_scenario(struct wg_scenario *scenario) {
    memset(scenario, 0, sizeof *scenario);
    struct wg_plan *const plan = &scenario->plan;
    strcpy(plan->title, "Two places, three bins");
    strcpy(plan->numbers, "keepers");
    cr_assert_eq(wg_species_set(&plan->species, "keepers"), 0);
    plan->first_day = 20711; /* 2026-09-15 */
    plan->last_day = plan->first_day + HAND_MADE_DAYS - 1;
    plan->climate.latitude_deg = 32.4;
    plan->n_places = 2;
    plan->n_bins = 3;
    plan->places = calloc(2, sizeof *plan->places);
    plan->bins = calloc(3, sizeof *plan->bins);
    cr_assert(plan->places != NULL && plan->bins != NULL);
    strcpy(plan->places[0].name, "hoop house");
    strcpy(plan->places[1].name, "K\xC3\xBC"
                                 "che");
    for (int i = 0; i < 3; i++) {
        (void)snprintf(plan->bins[i].name, WG_NAME_SIZE, "trough %d", i + 1);
        plan->bins[i].place = i / 2;
    }
    scenario->path = strdup("farm/two.yaml");
    scenario->text = strdup(hand_made_text);
    scenario->text_size = strlen(hand_made_text);
    scenario->record_path = strdup("weather/station.csv");
    scenario->record_text = strdup(hand_made_record);
    scenario->record_size = strlen(hand_made_record);
    scenario->record_note = strdup("2 days");
}

static inline void hand_made_scenario_free(struct wg_scenario *scenario) {
    wg_plan_free(&scenario->plan);
    free(scenario->path);
    free(scenario->text);
    free(scenario->record_path);
    free(scenario->record_text);
    free(scenario->record_note);
    memset(scenario, 0, sizeof *scenario);
}

/* Returns a number that depends only on replicate, series and position. */
static inline int64_t hand_made_number(int64_t replicate, int series, size_t i) {
    return (int64_t)((uint64_t)(replicate + 1) * 7919u + (uint64_t)series * 104729u + i * 31u) % 1009;
}

static inline void hand_made_diary(struct wg_diary *diary, int64_t replicate) {
    wg_diary_clear(diary);
    int series = 0;
    for (const struct wg_series *s = wg_diary_series(); s->name != NULL; s++, series++) {
        const size_t n = (size_t)diary->n_days * (size_t)wg_diary_width(diary, s->dims);
        for (size_t i = 0; i < n; i++) {
            const int64_t value = hand_made_number(replicate, series, i);
            if (s->is_count)
                ((int64_t *)wg_diary_values(diary, s))[i] = value;
            else
                ((double *)wg_diary_values(diary, s))[i] = (double)value / 7.0;
        }
    }
    size_t i = 0; /* of [day][stage][generation] */
    for (int day = 0; day < diary->n_days; day++) {
        int64_t count[64][WG_N_STAGES];
        for (int stage = 0; stage < WG_N_STAGES; stage++)
            for (int g = 0; g < diary->n_generations; g++)
                count[g][stage] = hand_made_number(replicate, 99, i++);
        wg_diary_set_living(diary, day, 0, diary->n_generations, count[0]);
    }
    wg_diary_finish(diary);
}

/* Writes a result; `alter` may change the diary of a replicate first. Returns the first error. */
static inline int hand_made_result(const char *path, int force, const struct wg_scenario *scenario,
                                   const struct wg_provenance *provenance,
                                   void (*alter)(int64_t replicate, struct wg_diary *diary), struct wg_error *err) {
    struct wg_result_writer *writer = NULL;
    struct wg_diary diary;
    int code = wg_result_create(&writer, path, force, scenario, provenance, err);
    if (code < 0)
        return code;
    code = wg_diary_init(&diary, &scenario->plan, err);
    const struct wg_observer observer = wg_result_observer(writer);
    for (int64_t k = 0; k < provenance->replicates && code == 0; k++) {
        hand_made_diary(&diary, k);
        if (alter != NULL)
            alter(k, &diary);
        code = observer.on_replicate(observer.self, k, &diary, err);
    }
    wg_diary_free(&diary);
    if (code < 0) {
        wg_result_abandon(writer);
        return code;
    }
    return wg_result_close(writer, err);
}

static const struct wg_provenance hand_made_provenance = {.command_line = "wintergrub run farm/two.yaml",
                                                          .started = "2026-11-25T12:00:00Z",
                                                          .replicates = 25,
                                                          .seed = UINT64_C(18446744073709551557)};

/* Creates a new folder in the working directory; the test removes its files. */
static inline void fresh_folder(char out[64]) {
    strcpy(out, "result-XXXXXX");
    cr_assert_not_null(mkdtemp(out));
}

/* Returns the number of entries of a folder, without . and .. */
static inline int entries_of(const char *folder) {
    DIR *const dir = opendir(folder);
    cr_assert_not_null(dir);
    int n = -2;
    while (readdir(dir) != NULL)
        n++;
    closedir(dir);
    return n;
}

/* Returns all bytes of a file; free them. */
static inline char *bytes_of(const char *path, size_t *size) {
    FILE *const file = fopen(path, "rb");
    cr_assert_not_null(file, "%s", path);
    struct stat about;
    cr_assert_eq(fstat(fileno(file), &about), 0);
    char *const bytes = malloc((size_t)about.st_size + 1);
    cr_assert_not_null(bytes);
    *size = fread(bytes, 1, (size_t)about.st_size, file);
    cr_assert_eq(*size, (size_t)about.st_size);
    bytes[*size] = '\0';
    fclose(file);
    return bytes;
}

static inline void put_bytes(const char *path, const char *bytes, size_t size) {
    FILE *const file = fopen(path, "wb");
    cr_assert_not_null(file, "%s", path);
    cr_assert_eq(fwrite(bytes, 1, size, file), size);
    cr_assert_eq(fclose(file), 0);
}

static inline void clear_folder(const char *folder) {
    char path[512];
    DIR *const dir = opendir(folder);
    for (const struct dirent *entry; dir != NULL && (entry = readdir(dir)) != NULL;) {
        (void)snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        (void)unlink(path);
    }
    if (dir != NULL)
        closedir(dir);
    (void)rmdir(folder);
}

/* ---- reading back ---- */

struct hand_made_read {
    struct wg_stored_file file;
    struct wg_run_inputs inputs;
};

static inline void hand_made_read_free(struct hand_made_read *read) {
    wg_run_inputs_free(&read->inputs);
    wg_stored_free(&read->file);
}

/* Opens a result and reads its inputs; on failure `read` is empty. */
static inline int hand_made_read(struct hand_made_read *read, const char *path, struct wg_error *err) {
    memset(read, 0, sizeof *read);
    int code = wg_stored_open(&read->file, path, err);
    if (code == 0)
        code = wg_stored_expect(&read->file, WG_STORED_RESULT, err);
    if (code == 0)
        code = wg_stored_inputs_read(&read->file, &read->inputs, err);
    if (code < 0)
        hand_made_read_free(read);
    return code;
}

static inline int hand_made_compare(const char *a, const char *b, char *what, size_t size, struct wg_error *err) {
    struct wg_stored_file first, second = {0};
    int code = wg_stored_open(&first, a, err);
    if (code == 0)
        code = wg_stored_expect(&first, WG_STORED_RESULT, err);
    if (code == 0)
        code = wg_stored_open(&second, b, err);
    if (code == 0)
        code = wg_result_compare(&first, &second, what, size, err);
    wg_stored_free(&second);
    wg_stored_free(&first);
    return code;
}

#endif
