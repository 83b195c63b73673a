/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads lists and ranges of values to try, as texts, because each is later read by the rules of its key.
 */
#include "variants/levels.h"

#include "base/calendar.h"
#include "base/error.h"
#include "text/quantity.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define USUAL_LEVELS 9  /* of a range without a step */
#define TEXT_SIZE 96    /* of one end of a range */
#define A_YEAR 365      /* days of the year are counted in one without a leap day */
#define ANY_YEAR "2023" /* such a year */

/* ---- one value ---- */

enum written_kind { WRITTEN_WORD, WRITTEN_NUMBER, WRITTEN_DATE, WRITTEN_DAY };

/* A value taken apart: "R-", 13, "" or "", 45, " degF". */
struct written {
    enum written_kind kind;
    double value;
    char prefix[4], unit[48];
};

/* Reads "04-25" as the number of its day in a year, from 0; 02-29 stays a word. */
static bool read_level_day(const char *text, double *value) {
    char date[16];
    int32_t day, first;
    if (strlen(text) != 5 || text[2] != '-')
        return false;
    (void)snprintf(date, sizeof date, ANY_YEAR "-%s", text);
    if (wg_day_parse(date, &day) != 0 || wg_day_parse(ANY_YEAR "-01-01", &first) != 0)
        return false;
    *value = day - first;
    return true;
}

static struct written take_apart(const char *text) {
    struct written w = {.kind = WRITTEN_WORD, .value = (double)NAN};
    int32_t day;
    const char *rest = NULL;
    if (wg_day_parse(text, &day) == 0) {
        w.kind = WRITTEN_DATE;
        w.value = day;
        return w;
    }
    if (read_level_day(text, &w.value)) {
        w.kind = WRITTEN_DAY;
        return w;
    }
    const size_t prefix = text[0] == 'R' || text[0] == 'r' ? 1 + strspn(text + 1, "- ") : 0;
    if (prefix >= sizeof w.prefix || wg_number_read(text + prefix, &w.value, &rest) < 0 ||
        strlen(rest) >= sizeof w.unit)
        return w;
    (void)snprintf(w.prefix, sizeof w.prefix, "%.*s", (int)prefix, text);
    (void)snprintf(w.unit, sizeof w.unit, "%s", rest);
    w.kind = WRITTEN_NUMBER;
    return w;
}

static void put_together(const struct written *w, double value, char out[2 * TEXT_SIZE]) {
    char date[16];
    if (w->kind == WRITTEN_DATE) {
        wg_day_format((int32_t)lround(value), out);
    } else if (w->kind == WRITTEN_DAY) {
        int32_t first;
        (void)wg_day_parse(ANY_YEAR "-01-01", &first);
        wg_day_format(first + (int32_t)(lround(value) % A_YEAR), date);
        (void)snprintf(out, (size_t)2 * TEXT_SIZE, "%s", date + 5);
    } else {
        (void)snprintf(out, (size_t)2 * TEXT_SIZE, "%s%.10g%s", w->prefix, value, w->unit);
    }
}

/* ---- lists ---- */

static char *copy_of(const char *text) {
    const size_t size = strlen(text) + 1;
    char *const copy = malloc(size);
    if (copy != NULL)
        memcpy(copy, text, size);
    return copy;
}

int wg_levels_add(struct wg_levels *levels, const char *text) {
    if (levels->n == levels->capacity) {
        const int capacity = levels->capacity == 0 ? 16 : 2 * levels->capacity;
        struct wg_level *const more = realloc(levels->level, (size_t)capacity * sizeof *more);
        if (more == NULL)
            return WG_ERR_MEMORY;
        levels->level = more;
        levels->capacity = capacity;
    }
    char *const copy = copy_of(text);
    if (copy == NULL)
        return WG_ERR_MEMORY;
    levels->level[levels->n++] = (struct wg_level){.text = copy, .value = take_apart(text).value};
    return 0;
}

void wg_levels_last_first(struct wg_levels *levels) {
    const struct wg_level last = levels->level[levels->n - 1];
    memmove(levels->level + 1, levels->level, (size_t)(levels->n - 1) * sizeof last);
    levels->level[0] = last;
}

/* Whether two written values are one: "45 degF" and "45.0 degF". */
static bool is_same_value(const char *a, const char *b) {
    if (strcmp(a, b) == 0)
        return true;
    const struct written x = take_apart(a), y = take_apart(b);
    return x.kind != WRITTEN_WORD && x.kind == y.kind && !(x.value < y.value) && !(x.value > y.value) &&
           strcmp(x.unit, y.unit) == 0 && strcmp(x.prefix, y.prefix) == 0;
}

int wg_levels_find(const struct wg_levels *levels, const char *text) {
    for (int i = 0; i < levels->n; i++)
        if (is_same_value(levels->level[i].text, text))
            return i;
    return -1;
}

void wg_levels_free(struct wg_levels *levels) {
    for (int i = 0; i < levels->n; i++)
        free(levels->level[i].text);
    free(levels->level);
    *levels = (struct wg_levels){.n = 0};
}

/* ---- ranges ---- */

struct written_range {
    struct written low, high;
    double step; /* 0: none is written */
};

bool wg_levels_is_range(const char *text) {
    return strstr(text, " to ") != NULL;
}

static int refuse_range(char message[WG_LEVELS_MESSAGE], const char *sentence) {
    (void)snprintf(message, WG_LEVELS_MESSAGE, "%s", sentence);
    return WG_ERR_INPUT;
}

/* Copies a part of a text without the blanks around it. */
static void copy_part(const char *from, size_t length, char out[TEXT_SIZE]) {
    while (length > 0 && isspace((unsigned char)*from))
        from++, length--;
    while (length > 0 && isspace((unsigned char)from[length - 1]))
        length--;
    (void)snprintf(out, TEXT_SIZE, "%.*s", (int)(length < TEXT_SIZE ? length : TEXT_SIZE - 1), from);
}

static const char *without_blanks(const char *text) {
    return text + strspn(text, " ");
}

/* Reads "5", "5 degF" or, between dates, "2 weeks". */
static int read_step(struct written_range *range, const char *text, char message[WG_LEVELS_MESSAGE]) {
    char why[WG_QUANTITY_MESSAGE], days[TEXT_SIZE + 8];
    const bool is_day = range->high.kind != WRITTEN_NUMBER;
    const char *rest;
    if (wg_number_read(text, &range->step, &rest) < 0)
        return refuse_range(message, "Write a number after \"by\", as in 40 to 80 degF by 5.");
    if (is_day) {
        (void)snprintf(days, sizeof days, "%s%s", text, *rest == '\0' ? " days" : "");
        if (wg_quantity_read(days, WG_DAYS, &range->step, why) < 0 || range->step < 1 ||
            fabs(range->step - round(range->step)) > 1e-9)
            return refuse_range(message, "Between dates the step is in whole days or weeks, as in by 2 weeks.");
    } else if (*rest != '\0' && strcmp(without_blanks(rest), without_blanks(range->high.unit)) != 0) {
        return refuse_range(message, "Write the step in the unit of the range, as in 40 to 80 degF by 5.");
    }
    return range->step > 0 ? 0 : refuse_range(message, "The step of a range is above 0, as in 40 to 80 degF by 5.");
}

static int read_ends(struct written_range *range, const char *low, const char *high, char message[WG_LEVELS_MESSAGE]) {
    range->low = take_apart(low);
    range->high = take_apart(high);
    if (strpbrk(range->high.unit, "0123456789") != NULL && strstr(range->high.unit, " in ") != NULL)
        return refuse_range(message, "The step of a range stands after \"by\", as in 40 to 80 degF by 5.");
    if (range->low.kind != range->high.kind || range->low.kind == WRITTEN_WORD)
        return refuse_range(message, "A range has a number or a date at both ends, as in 40 to 80 degF by 5 or "
                                     "03-01 to 04-30 by 2 weeks.");
    const bool has_unit = range->low.unit[0] != '\0';
    if (has_unit && strcmp(without_blanks(range->low.unit), without_blanks(range->high.unit)) != 0)
        return refuse_range(message, "Write both ends of a range in the same unit, as in 40 to 80 degF by 5.");
    if (range->high.prefix[0] == '\0')
        (void)snprintf(range->high.prefix, sizeof range->high.prefix, "%s", range->low.prefix);
    if (range->high.kind == WRITTEN_DAY && range->high.value < range->low.value)
        range->high.value += A_YEAR; /* over New Year */
    if (!(range->low.value < range->high.value))
        return refuse_range(message, "A range begins with its smaller value, as in 40 to 80 degF by 5.");
    return 0;
}

/* Returns a round step for about nine values: 1, 2, 2.5 or 5 times a power of ten; of dates, whole days. */
static double usual_step(const struct written_range *range, bool is_whole) {
    const double rough = (range->high.value - range->low.value) / (USUAL_LEVELS - 1);
    static const double round_steps[] = {1, 2, 2.5, 5, 10};
    if (range->high.kind != WRITTEN_NUMBER)
        return fmax(1, round(rough));
    const double tens = pow(10, floor(log10(rough)));
    double step = tens;
    for (size_t i = 0; i < sizeof round_steps / sizeof *round_steps; i++)
        if (fabs(log(round_steps[i] * tens / rough)) < fabs(log(step / rough)))
            step = round_steps[i] * tens;
    return is_whole ? fmax(1, round(step)) : step;
}

static int read_range(struct written_range *range, const char *text, bool is_whole, char message[WG_LEVELS_MESSAGE]) {
    char low[TEXT_SIZE], high[TEXT_SIZE], step[TEXT_SIZE] = "";
    const char *const to = strstr(text, " to "), *const behind = to + 4, *const by = strstr(behind, " by ");
    copy_part(text, (size_t)(to - text), low);
    copy_part(behind, by != NULL ? (size_t)(by - behind) : strlen(behind), high);
    if (by != NULL)
        copy_part(by + 4, strlen(by + 4), step);
    int code = read_ends(range, low, high, message);
    if (code == 0 && by != NULL)
        code = read_step(range, step, message);
    if (code == 0 && by == NULL)
        range->step = usual_step(range, is_whole);
    return code;
}

int wg_levels_add_range(struct wg_levels *levels, const char *text, bool is_whole, char message[WG_LEVELS_MESSAGE]) {
    struct written_range range = {.step = 0};
    char value[2 * TEXT_SIZE];
    int code = read_range(&range, text, is_whole, message);
    if (code < 0)
        return code;
    const double steps = (range.high.value - range.low.value) / range.step;
    if (steps > WG_MAX_LEVELS - 2)
        return refuse_range(message,
                            "This is too fine: a range may have 400 values. Write a larger step after \"by\".");
    const int n = (int)floor(steps + 1e-9);
    for (int i = 0; i <= n && code == 0; i++) {
        put_together(&range.high, range.low.value + i * range.step, value);
        code = wg_levels_add(levels, value);
    }
    if (code == 0 && steps - n > 1e-6) {
        put_together(&range.high, range.high.value, value);
        code = wg_levels_add(levels, value);
    }
    return code;
}

/* ---- units and order ---- */

int wg_levels_share_unit(struct wg_levels *levels, const char *now) {
    const struct written model = take_apart(now);
    for (int i = 0; i < levels->n; i++) {
        const struct written w = take_apart(levels->level[i].text);
        char text[2 * TEXT_SIZE];
        if (model.kind != WRITTEN_NUMBER || w.kind != WRITTEN_NUMBER || w.unit[0] != '\0' || w.prefix[0] != '\0')
            continue;
        (void)snprintf(text, sizeof text, "%s%.90s%s", model.prefix, levels->level[i].text, model.unit);
        char *const copy = copy_of(text);
        if (copy == NULL)
            return WG_ERR_MEMORY;
        free(levels->level[i].text);
        levels->level[i].text = copy;
    }
    return 0;
}

static int by_value(const void *a, const void *b) {
    const double x = ((const struct wg_level *)a)->value, y = ((const struct wg_level *)b)->value;
    if (isnan(x) || isnan(y))
        return isnan(y) - isnan(x);
    return (x > y) - (x < y);
}

void wg_levels_sort(struct wg_levels *levels) {
    const struct written *model = NULL;
    struct written first, w;
    int words = 0;
    levels->is_ordered = levels->n > 1;
    for (int i = 0; i < levels->n; i++) {
        w = take_apart(levels->level[i].text);
        if (w.kind == WRITTEN_WORD) {
            words++;
            continue;
        }
        if (model == NULL)
            first = w, model = &first;
        if (w.kind != model->kind || strcmp(w.unit, model->unit) != 0 || strcmp(w.prefix, model->prefix) != 0)
            levels->is_ordered = false;
    }
    if (levels->is_ordered && words <= 1) /* qsort() is not stable */
        qsort(levels->level, (size_t)levels->n, sizeof *levels->level, by_value);
    levels->is_ordered = levels->is_ordered && words <= 1 && levels->n - words > 1;
}
