/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes the setups of a comparison from one scenario, whose text it changes as `size` does.
 */
#include "answers/setups.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#define VALUES_SIZE 512

/* ---- the list of values ---- */

/* Replicates, seed and goals do not change the colony. */
static bool is_of_colony(const char *path) {
    return strncmp(path, "forecast.", 9) != 0 && strncmp(path, "goal", 4) != 0;
}

/* Returns the unit that is written behind the last value: it holds for those without one. */
static const char *unit_behind(const char *last) {
    last += strspn(last, " +-");
    const size_t digits = strspn(last, "0123456789.");
    return digits > 0 ? last + digits : "";
}

static int read_listed_value(struct wg_varied_number *number, const char *text, const char *unit, double *value,
                             struct wg_error *err) {
    char whole[VALUES_SIZE + 64], shown[WG_VARY_SHOWN_SIZE];
    const bool is_bare = *unit_behind(text) == '\0' && !number->vary.is_date;
    (void)snprintf(whole, sizeof whole, "%s%s", text, is_bare ? unit : "");
    if (wg_vary_read_any(&number->vary, whole, value) == 0)
        return 0;
    wg_vary_show(&number->vary, number->vary.value, shown);
    return wg_fail(err, WG_ERR_USAGE, NULL, "\"%s\" is not a value for %s, which is written like %s.", whole,
                   number->vary.path, shown);
}

/* Refuses a value that stands there earlier in the list: two setups would be the same. */
static int refuse_repeated(const struct wg_varied_number *number, struct wg_error *err) {
    char shown[WG_VARY_SHOWN_SIZE];
    for (int i = 0; i + 1 < number->n; i++)
        if (number->value[i] == number->value[number->n - 1]) {
            wg_vary_show(&number->vary, number->value[i], shown);
            return wg_fail(err, WG_ERR_USAGE, NULL, "--vary %s names %s twice.", number->vary.path, shown);
        }
    return 0;
}

static void trim(char *text) {
    for (size_t n = strlen(text); n > 0 && isspace((unsigned char)text[n - 1]); n--)
        text[n - 1] = '\0';
}

/* Reads "65,70,75 degF". */
static int read_listed_values(const char *written, struct wg_varied_number *number, struct wg_error *err) {
    char list[VALUES_SIZE];
    if (strlen(written) >= sizeof list)
        return wg_fail(err, WG_ERR_USAGE, NULL, "the values of --vary %s are too long.", number->vary.path);
    (void)snprintf(list, sizeof list, "%s", written);
    const char *const comma = strrchr(written, ','), *const unit = unit_behind(comma != NULL ? comma + 1 : written);
    int status = 0;
    for (char *at = list; at != NULL && status == 0;) {
        char *const end = strchr(at, ',');
        if (end != NULL)
            *end = '\0';
        if (number->n == WG_COMPARE_MAX)
            return wg_fail(err, WG_ERR_USAGE, NULL, "--vary %s has more than %d values.", number->vary.path,
                           WG_COMPARE_MAX);
        at += strspn(at, " ");
        trim(at);
        status = read_listed_value(number, at, unit, &number->value[number->n++], err);
        if (status == 0)
            status = refuse_repeated(number, err);
        at = end != NULL ? end + 1 : NULL;
    }
    return status;
}

int wg_setups_read_list(const char *written, const struct wg_scenario *base, struct wg_varied_number *number,
                        struct wg_error *err) {
    char path[sizeof number->vary.path];
    const char *const equals = strrchr(written, '=');
    if (equals == NULL || equals == written || equals[1] == '\0' || (size_t)(equals - written) >= sizeof path)
        return wg_fail(err, WG_ERR_USAGE, NULL,
                       "--vary is KEY=VALUE,VALUE,... such as --vary \"starter.1.count=1000,5000\", not \"%s\".",
                       written);
    (void)snprintf(path, sizeof path, "%.*s", (int)(equals - written), written);
    trim(path);
    if (!is_of_colony(path))
        return wg_fail(err, WG_ERR_INPUT, path,
                       "This changes nothing about the colony, so there is nothing to compare.");
    const int code = wg_vary_find_any(&number->vary, base->text, base->text_size, path, err);
    return code == 0 ? read_listed_values(equals + 1, number, err) : code;
}

/* ---- one setup ---- */

/* Returns the text with a value of each number, malloc'ed; the second number is found anew, because the first moved it. */
static char *text_with(const struct wg_scenario *base, const struct wg_varied_number *number, int n, const int at[2],
                       size_t *size) {
    char *text = wg_vary_text(&number[0].vary, base->text, base->text_size, number[0].value[at[0]], size);
    struct wg_vary moved, second = number[1].vary;
    struct wg_error err = {0};
    if (text == NULL || n < 2)
        return text;
    const size_t first_size = *size;
    char *both = NULL;
    if (wg_vary_find_any(&moved, text, first_size, second.path, &err) == 0) {
        second.at = moved.at;
        second.length = moved.length;
        both = wg_vary_text(&second, text, first_size, number[1].value[at[1]], size);
    }
    free(text);
    return both;
}

/* "heater set point: 65 degF", of a grid "65 degF, 2 lb" */
static void name_setup_values(const struct wg_varied *varied, const struct wg_vary *vary, const int at[2], char *out,
                              size_t size) {
    char words[WG_VARY_LABEL];
    const size_t own = wg_vary_word_path(vary->path, words);
    const bool is_start = strncmp(vary->path, "starter.", 8) == 0;
    if (varied->n > 1)
        (void)snprintf(out, size, "%s, %s", varied->value[0][at[0]], varied->value[1][at[1]]);
    else
        (void)snprintf(out, size, "%.60s: %.60s", own > 0 && !is_start ? words + own : vary->subject,
                       varied->value[0][at[0]]);
}

static int make_setup(const struct wg_scenario *base, const struct wg_varied *varied,
                      const struct wg_varied_number *number, int setup, struct wg_scenario *scenario,
                      struct wg_mistakes *mistakes, struct wg_error *err) {
    const int at[2] = {setup / varied->n_values[1], setup % varied->n_values[1]};
    size_t size;
    char *const text = text_with(base, number, varied->n, at, &size);
    if (text == NULL)
        return wg_no_memory(err, NULL);
    wg_mistakes_free(mistakes);
    const int code =
        wg_scenario_read_text(scenario, base->path, text, size, base->record_text, base->record_size, mistakes, err);
    free(text);
    name_setup_values(varied, &number[0].vary, at, scenario->plan.title, sizeof scenario->plan.title);
    return code;
}

/* ---- all ---- */

static void describe_numbers(const struct wg_scenario *base, const struct wg_varied_number *number, int n,
                             struct wg_varied *varied) {
    *varied = (struct wg_varied){.n = n, .n_values = {1, 1}, .odds.own = -1};
    (void)snprintf(varied->title, sizeof varied->title, "%s", wg_scenario_name(base));
    for (int k = 0; k < n; k++) {
        (void)snprintf(varied->subject[k], sizeof varied->subject[k], "%s", number[k].vary.subject);
        varied->n_values[k] = number[k].n;
        for (int i = 0; i < number[k].n; i++)
            wg_vary_show_plain(&number[k].vary, number[k].value[i], varied->value[k][i]);
    }
}

int wg_setups_make(const struct wg_scenario *base, const struct wg_varied_number *number, int n_numbers,
                   struct wg_varied *varied, struct wg_scenario *const *scenario, int *n, int *at,
                   struct wg_mistakes *mistakes, struct wg_error *err) {
    describe_numbers(base, number, n_numbers, varied);
    *n = varied->n_values[0] * varied->n_values[1];
    if (*n < WG_COMPARE_MIN)
        return wg_fail(err, WG_ERR_USAGE, NULL, "--vary needs at least two values.");
    if (*n > WG_COMPARE_MAX)
        return wg_fail(err, WG_ERR_USAGE, NULL, "--vary makes %d setups; at most %d can be compared.", *n,
                       WG_COMPARE_MAX);
    int code = 0;
    for (*at = 0; *at < *n && code == 0; *at += code == 0)
        code = make_setup(base, varied, number, *at, scenario[*at], mistakes, err);
    return code;
}
