/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads dates with the year at their end, and finds which of the two numbers before it is the month.
 */
#include "text/written_date.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

/* Reads one to `most` digits. Returns the rest, NULL if there are none or more. */
static const char *read_date_number(const char *text, int most, int *value) {
    int n = 0;
    *value = 0;
    for (; isdigit((unsigned char)text[n]); n++) {
        if (n == most)
            return NULL;
        *value = 10 * *value + text[n] - '0';
    }
    return n > 0 ? text + n : NULL;
}

static void set_order(struct wg_written_date *date, enum wg_date_order order, struct wg_date civil) {
    date->exists[order] = wg_date_exists(civil);
    if (date->exists[order])
        date->day[order] = wg_day_from_date(civil);
}

int wg_written_date_read(const char *text, struct wg_written_date *date) {
    int first, second, year;
    *date = (struct wg_written_date){.has_order = false};
    const int code = wg_day_parse(text, &date->day[0]);
    if (code != -1) {
        date->day[1] = date->day[0];
        date->exists[0] = date->exists[1] = code == 0;
        return code;
    }
    const char *rest = read_date_number(text, 2, &first);
    const char separator = rest != NULL ? *rest : '\0';
    if (separator != '/' && separator != '-' && separator != '.')
        return -1;
    rest = read_date_number(rest + 1, 2, &second);
    if (rest == NULL || *rest != separator || strlen(rest + 1) != 4)
        return -1;
    rest = read_date_number(rest + 1, 4, &year);
    if (rest == NULL || *rest != '\0')
        return -1;
    date->has_order = separator != '.';
    set_order(date, WG_DATE_DAY_FIRST, (struct wg_date){year, second, first});
    set_order(date, WG_DATE_MONTH_FIRST,
              date->has_order ? (struct wg_date){year, first, second} : (struct wg_date){year, second, first});
    return date->exists[0] || date->exists[1] ? 0 : -2;
}

/* Returns the month whose name begins with these letters, at least three of them; 0: none. */
static int month_named(const char *word, size_t n) {
    static const char *const months[] = {"january", "february", "march",     "april",   "may",      "june",
                                         "july",    "august",   "september", "october", "november", "december"};
    for (int m = 0; n >= 3 && m < 12; m++)
        if (n <= strlen(months[m]) && strncasecmp(word, months[m], n) == 0)
            return m + 1;
    return 0;
}

/* Skips what may stand between the parts of a worded date: blanks, a comma, a point, "st" and "th" behind a number. */
static const char *skip_between(const char *text, bool after_number) {
    static const char *const endings[] = {"st", "nd", "rd", "th"};
    for (size_t i = 0; after_number && i < sizeof endings / sizeof *endings; i++)
        if (strncmp(text, endings[i], 2) == 0)
            text += 2;
    return text + strspn(text, " ,.-");
}

bool wg_worded_date_read(const char *text, struct wg_date *date) {
    *date = (struct wg_date){.year = 0};
    for (int part = 0; *text != '\0'; part++) {
        int number;
        size_t letters = 0;
        while (isalpha((unsigned char)text[letters]))
            letters++;
        const char *const rest = read_date_number(text, 4, &number);
        if (letters > 0 && date->month == 0)
            date->month = month_named(text, letters);
        else if (rest == NULL || part > 2)
            return false;
        else if (number <= 31 && date->day == 0)
            date->day = number;
        else if (number > 999 && date->year == 0)
            date->year = number;
        else
            return false;
        if (date->month == 0 && letters > 0)
            return false;
        text = skip_between(letters > 0 ? text + letters : rest, letters == 0);
    }
    const struct wg_date known = {date->year != 0 ? date->year : 2024, date->month, date->day}; /* a leap year */
    return date->month > 0 && date->day > 0 && wg_date_exists(known);
}

bool wg_written_date_is_open(const struct wg_written_date *date) {
    return date->exists[0] && date->exists[1] && date->day[0] != date->day[1];
}

void wg_date_evidence_add(struct wg_date_evidence *evidence, const struct wg_written_date *date, const char *text,
                          int line) {
    for (int order = 0; order < 2; order++)
        if (date->exists[order] && !date->exists[1 - order] && evidence->line[order] == 0)
            evidence->line[order] = line;
    if (!wg_written_date_is_open(date) || evidence->open_line != 0)
        return;
    evidence->open_line = line;
    evidence->open = *date;
    (void)snprintf(evidence->open_text, sizeof evidence->open_text, "%s", text);
}

void wg_written_date_advise(const struct wg_written_date *date, const char *text, const char *key, bool has_year,
                            char message[WG_DATE_MESSAGE]) {
    char long_date[2][24], iso[2][11];
    const int from = has_year ? 0 : 5, one = date->exists[0] ? 0 : 1; /* "2026-" */
    for (int order = 0; order < 2; order++) {
        const int32_t day = date->day[date->exists[order] ? order : one];
        wg_day_format_long(day, long_date[order]);
        wg_day_format(day, iso[order]);
        if (!has_year) /* "15 March 2026" */
            long_date[order][strlen(long_date[order]) - 5] = '\0';
    }
    if (wg_written_date_is_open(date))
        (void)snprintf(message, WG_DATE_MESSAGE, "\"%.16s\" can be %s or %s: write %.40s%s or %.40s%s.", text,
                       long_date[0], long_date[1], key, iso[0] + from, key, iso[1] + from);
    else
        (void)snprintf(message, WG_DATE_MESSAGE, "Write \"%.16s\" as %.40s%s.", text, key, iso[0] + from);
}

int wg_date_evidence_decide(const struct wg_date_evidence *evidence, enum wg_date_order *order,
                            char message[WG_DATE_MESSAGE]) {
    const int month_first = evidence->line[WG_DATE_MONTH_FIRST], day_first = evidence->line[WG_DATE_DAY_FIRST];
    *order = day_first != 0 ? WG_DATE_DAY_FIRST : WG_DATE_MONTH_FIRST;
    if (month_first != 0 && day_first != 0) {
        (void)snprintf(message, WG_DATE_MESSAGE,
                       "This date has the %s first, but that of line %d the %s: write all as year-month-day.",
                       month_first > day_first ? "month" : "day", month_first > day_first ? day_first : month_first,
                       month_first > day_first ? "day" : "month");
        return month_first > day_first ? month_first : day_first;
    }
    if (month_first != 0 || day_first != 0 || evidence->open_line == 0)
        return 0;
    char two[WG_DATE_MESSAGE];
    wg_written_date_advise(&evidence->open, evidence->open_text, "", true, two);
    (void)snprintf(message, WG_DATE_MESSAGE, "No day over 12 tells the order: %.200s", two);
    return evidence->open_line;
}
