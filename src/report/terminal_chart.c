/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws larvae and crawl-off over the year as bars of characters, two rows each, with the months below.
 */
#include "report/terminal_chart.h"

#include "base/calendar.h"
#include "text/show.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define ROWS 2
#define LEVELS 8 /* heights within a row */
#define LABEL 10

static int column_of(const struct wg_diary *diary, int day) {
    return (int)((int64_t)day * WG_CHART_COLUMNS / diary->n_days);
}

static int on_replicate_chart(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct wg_chart *const chart = self;
    (void)replicate;
    (void)err;
    chart->n++;
    if (diary->n_days < WG_CHART_COLUMNS)
        return 0;
    memset(chart->days, 0, sizeof chart->days);
    for (int day = 0; day < diary->n_days; day++) {
        const int column = column_of(diary, day);
        chart->days[column]++;
        chart->larvae[column] += (double)diary->count[(ptrdiff_t)day * WG_N_STAGES + WG_LARVA];
        chart->crawl_off_kg[column] += diary->crawl_off_mass[day];
    }
    return 0;
}

struct wg_observer wg_chart_observer(struct wg_chart *chart) {
    return (struct wg_observer){on_replicate_chart, chart};
}

bool wg_chart_is_utf8(void) {
    static const char *const name[] = {"LC_ALL", "LC_CTYPE", "LANG"};
    for (int i = 0; i < 3; i++) {
        const char *const locale = getenv(name[i]);
        if (locale == NULL || *locale == '\0')
            continue;
        const char *const charset = strchr(locale, '.');
        return charset != NULL && (strncasecmp(charset, ".UTF-8", 6) == 0 || strncasecmp(charset, ".UTF8", 5) == 0);
    }
    return false;
}

/* Returns the mean per day of a column. */
static double per_day(const struct wg_chart *chart, const double *sums, int column) {
    return sums[column] / ((double)chart->n * chart->days[column]);
}

static double largest_column(const struct wg_chart *chart, const double *sums) {
    double most = 0;
    for (int i = 0; i < WG_CHART_COLUMNS; i++)
        most = fmax(most, per_day(chart, sums, i));
    return most;
}

/* Returns the height of a bar; only 0 has none. */
static int height_of(double value, double most) {
    return most > 0 ? (int)ceil(ROWS * LEVELS * value / most) : 0;
}

static void put_rows(const struct wg_chart *chart, const double *sums, const char *label, const char *peak,
                     bool is_utf8, FILE *to) {
    static const char *const blocks[] = {" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};
    static const char *const letters[] = {" ", ".", ".", ".", ":", ":", ":", "#", "#"};
    const double most = largest_column(chart, sums);
    for (int row = ROWS - 1; row >= 0; row--) {
        int blanks = row == 0 ? 0 : LABEL; /* not printed yet: lines have no trailing blanks */
        if (row == 0)
            (void)fprintf(to, "%-*s", LABEL, label);
        for (int i = 0; i < WG_CHART_COLUMNS; i++) {
            const int level = height_of(per_day(chart, sums, i), most) - row * LEVELS;
            if (level <= 0) {
                blanks++;
                continue;
            }
            (void)fprintf(to, "%*s%s", blanks, "", (is_utf8 ? blocks : letters)[level < LEVELS ? level : LEVELS]);
            blanks = 0;
        }
        if (row == 0)
            (void)fprintf(to, "%*s %s", blanks, "", peak);
        (void)fputc('\n', to);
    }
}

/* Prints the names of the months where they begin. */
static void put_months(const struct wg_chart *chart, FILE *to) {
    static const char months[] = "JanFebMarAprMayJunJulAugSepOctNovDec";
    const int n_days = chart->plan->last_day - chart->plan->first_day + 1;
    char line[WG_CHART_COLUMNS + 4];
    memset(line, ' ', sizeof line);
    for (int day = 0; day < n_days; day++) {
        const struct wg_date date = wg_date_from_day(chart->plan->first_day + day);
        const int column = (int)((int64_t)day * WG_CHART_COLUMNS / n_days);
        /* only January if there is no room for all */
        if (date.day == 1 && (n_days < 600 || date.month == 1) && (column == 0 || line[column - 1] == ' '))
            memcpy(line + column, &months[(size_t)(date.month - 1) * 3], 3);
    }
    int end = WG_CHART_COLUMNS + 3;
    while (end > 0 && line[end - 1] == ' ')
        end--;
    (void)fprintf(to, "%*s%.*s\n", LABEL, "", end, line);
}

void wg_chart_print(const struct wg_chart *chart, bool is_utf8, FILE *to) {
    if (chart->n == 0 || chart->days[0] == 0)
        return;
    char larvae[WG_SHOWN_SIZE], mass[WG_SHOWN_SIZE];
    wg_show_number(largest_column(chart, chart->larvae), larvae);
    wg_show_number(7 * largest_column(chart, chart->crawl_off_kg), mass);
    (void)strncat(mass, " kg/wk", sizeof mass - strlen(mass) - 1);
    (void)fputc('\n', to);
    put_rows(chart, chart->larvae, "larvae", larvae, is_utf8, to);
    put_rows(chart, chart->crawl_off_kg, "crawl-off", mass, is_utf8, to);
    put_months(chart, to);
}
