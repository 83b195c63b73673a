/*
 * Is this scenario's result there already, whole and the same?
 *
 * The same means: the same text of the scenario and of its weather file, seed,
 * number of replicates, program (version and source) and format. Whole means that
 * the checksum at the file's end is right; only then is anything in it believed.
 */
#include "cli/sweep.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <wintergrub/comparison_data.h>
#include <wintergrub/result_data.h>
#include <wintergrub/version.h>

#define LOOK_INTO 16384 /* bytes: a result names its program in its first attributes, about 2000 bytes in */
#define LAST_LINE 128   /* more than that of the checksum */
#define MARK "wintergrub"

/* ---- the same? ---- */

static bool same_bytes(const char *a, size_t size_a, const char *b, size_t size_b) {
    return size_a == size_b && (size_a == 0 || memcmp(a, b, size_a) == 0);
}

static const char *find_difference(const struct wg_result_data *data, const struct wg_scenario *scenario) {
    char source[256];
    const bool has_source = WG_GIT_DESCRIPTION[0] != '\0';
    (void)snprintf(source, sizeof source, "wintergrub %s%s%s%s", WG_VERSION, has_source ? " (" : "", WG_GIT_DESCRIPTION,
                   has_source ? ")" : "");
    if (!same_bytes(data->record.scenario_text, data->record.scenario_size, scenario->text, scenario->text_size))
        return "the scenario has changed";
    if (!same_bytes(data->record.record_text, data->record.record_size, scenario->record_text, scenario->record_size))
        return "its weather file has changed";
    if (data->record.seed != scenario->plan.seed)
        return "the seed is another one";
    if (data->record.replicates != scenario->plan.replicates)
        return "the number of replicates is another one";
    return strcmp(data->source, source) == 0 ? NULL : "it was made by another wintergrub";
}

/* ---- its numbers ---- */

static int read_summary(struct wg_result_data *data, struct wg_summary *summary, struct wg_error *err) {
    for (int i = 0; i < summary->n_outcomes; i++) {
        double *values = NULL;
        const int code = wg_result_data_outcome(data, wg_diary_outcomes()[i].name, &values, err);
        if (code < 0)
            return code;
        memcpy(summary->outcome + i * summary->room, values, (size_t)data->replicates * sizeof *values);
        free(values);
    }
    summary->n = data->replicates;
    return 0;
}

static int read_odds(struct wg_result_data *data, const struct wg_summary *summary, struct wg_odds *odds,
                     struct wg_error *err) {
    const double *const survived = wg_summary_outcome(summary, "survived");
    const int n_goals = odds->plan->n_goals;
    int64_t *met = NULL;
    const int code = n_goals > 0 ? wg_result_data_goals(data, n_goals, &met, err) : 0;
    for (int64_t k = 0; k < data->replicates && code == 0; k++) {
        bool all = true;
        odds->n++;
        odds->alive += survived[k] > 0;
        for (int i = 0; i < n_goals; i++) {
            const bool is_met = met[k * n_goals + i] != 0;
            odds->hits[i] += is_met;
            all = all && is_met;
        }
        odds->all += all;
    }
    free(met);
    return code;
}

static int read_numbers(struct wg_result_data *data, const struct wg_plan *plan, struct wg_sweep_numbers *numbers,
                        struct wg_error *err) {
    wg_odds_init(&numbers->odds, plan);
    int code = wg_summary_init(&numbers->summary, plan, data->replicates, err);
    if (code == 0)
        code = read_summary(data, &numbers->summary, err);
    if (code == 0)
        code = read_odds(data, &numbers->summary, &numbers->odds, err);
    if (code < 0)
        wg_summary_free(&numbers->summary);
    return code;
}

static bool exists(const char *path) {
    struct stat about;
    return stat(path, &about) == 0;
}

/* Looks at an open result. 1, or 0 and why not. */
static int compare(struct wg_result_data *data, const struct wg_scenario *scenario, struct wg_sweep_numbers *numbers,
                   char why[WG_SENTENCE], struct wg_error *err) {
    const char *const difference = find_difference(data, scenario);
    if (difference == NULL) {
        const int code = read_numbers(data, &scenario->plan, numbers, err);
        return code < 0 ? code : 1;
    }
    (void)snprintf(why, WG_SENTENCE, "%s", difference);
    return 0;
}

int wg_sweep_is_there(const char *path, const struct wg_scenario *scenario, struct wg_sweep_numbers *numbers,
                      char why[WG_SENTENCE], struct wg_error *err) {
    struct wg_error fault = {0};
    struct wg_result_data data = {0};
    *numbers = (struct wg_sweep_numbers){0};
    why[0] = '\0';
    if (!exists(path))
        return 0;
    int code = wg_result_data_open(&data, path, &fault);
    if (code == 0)
        code = compare(&data, scenario, numbers, why, &fault);
    wg_result_data_free(&data);
    if (code == WG_ERR_FORMAT) {
        (void)snprintf(why, WG_SENTENCE, "what was there is damaged or of another format");
        return 0;
    }
    if (code < 0)
        *err = fault;
    return code;
}

/* ---- whose is it? ---- */

/* Does the name of the program stand in these bytes? */
static bool is_marked(const char *bytes, size_t n) {
    for (size_t i = 0; i + sizeof MARK - 1 <= n; i++)
        if (memcmp(bytes + i, MARK, sizeof MARK - 1) == 0)
            return true;
    return false;
}

/* A file of ours names the program near its beginning and in its last line; damage seldom takes both. */
static bool looks_like_ours(FILE *file) {
    char bytes[LOOK_INTO];
    const size_t n = fread(bytes, 1, sizeof bytes, file);
    if (n == 0 || is_marked(bytes, n))
        return true;
    return fseek(file, -LAST_LINE, SEEK_END) == 0 && is_marked(bytes, fread(bytes, 1, LAST_LINE, file));
}

int wg_sweep_check_place(const char *path, struct wg_error *err) {
    struct wg_error fault = {0};
    struct stat about;
    FILE *const file = stat(path, &about) == 0 && S_ISREG(about.st_mode) ? fopen(path, "rb") : NULL;
    if (file == NULL)
        return 0; /* nothing there, or what comes later will say what is wrong with it */
    const bool is_ours = looks_like_ours(file);
    (void)fclose(file);
    const int is_comparison = is_ours ? wg_comparison_data_is(path, &fault) : 0;
    if (is_comparison < 0 && is_comparison != WG_ERR_FORMAT) { /* damaged is no matter: it is made anew */
        *err = fault;
        return is_comparison;
    }
    return is_ours && is_comparison != 1
               ? 0
               : wg_fail(err, WG_ERR_EXISTS, path,
                         "This file is not the result of a scenario. Move it away, or say --force to replace it.");
}
