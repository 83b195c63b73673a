/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads a keeper's log: lines of date, kind, value and optionally the bin and the number of days.
 */
#include "records/log_file.h"

#include "base/utf8.h"
#include "text/mistakes.h"
#include "text/nearest_word.h"
#include "text/quantity.h"
#include "text/text_file.h"
#include "text/written_date.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define MAX_BYTES ((size_t)1024 * 1024)
#define MAX_FIELDS 8
#define FIELD_SIZE 80

enum log_column { COLUMN_DATE, COLUMN_WHAT, COLUMN_VALUE, COLUMN_WHERE, COLUMN_DAYS, N_COLUMNS };
static const char *const column_name[] = {"date", "what", "value", "where", "days", NULL};

struct field {
    char text[FIELD_SIZE]; /* without surrounding blanks and quotes; truncated to size */
    int column;            /* in the line, from 1 */
};

/* Where numbers of a file have a decimal comma or point; "1,200" may be either a decimal or thousands. */
struct number_evidence {
    int comma_line, open_line, point_line; /* of the first; 0: none */
    char open_text[FIELD_SIZE];
};

struct log_reader {
    struct wg_keeper_log *log;
    const struct wg_plan *plan;
    struct wg_mistakes *mistakes;
    int column[N_COLUMNS]; /* field of each column, -1: missing */
    int n_columns;         /* of the first line */
    char separator;        /* 0: no heading yet */
    int heading_line;
    int line;
    /* what the file's dates and numbers tell, seen before any is read */
    struct wg_date_evidence dates;
    enum wg_date_order order;
    struct number_evidence numbers;
    size_t capacity;
    bool no_memory;
};

static void report_log_mistake(struct log_reader *reader, const struct field *column, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
static void report_log_mistake(struct log_reader *reader, const struct field *column, const char *format, ...) {
    va_list args;
    va_start(args, format);
    if (wg_mistakes_add_list(reader->mistakes, reader->line, column != NULL ? column->column : 1, format, args) < 0)
        reader->no_memory = true;
    va_end(args);
}

/* ---- lines and fields ---- */

static bool is_blank(char c) {
    return c == ' ' || c == '"' || c == '\r';
}

static char separator_of(const char *line, size_t length) {
    return memchr(line, ';', length) != NULL ? ';' : memchr(line, '\t', length) != NULL ? '\t' : ',';
}

static int split_fields(const char *line, size_t length, char separator, struct field *field) {
    int n = 0;
    for (size_t from = 0; from <= length && n < MAX_FIELDS;) {
        const char *const stop = memchr(line + from, separator, length - from);
        size_t to = stop != NULL ? (size_t)(stop - line) : length;
        const size_t next = to + 1;
        while (from < to && is_blank(line[from]))
            from++;
        while (to > from && is_blank(line[to - 1]))
            to--;
        const size_t size = to - from < FIELD_SIZE - 1 ? to - from : FIELD_SIZE - 1;
        field[n].column = (int)from + 1;
        memcpy(field[n].text, line + from, size);
        field[n++].text[size] = '\0';
        from = next;
    }
    return n;
}

/* ---- the columns ---- */

static void read_heading(struct log_reader *reader, const struct field *field, int n) {
    reader->n_columns = n;
    for (int c = 0; c < N_COLUMNS; c++)
        reader->column[c] = -1;
    for (int i = 0; i < n; i++)
        for (int c = 0; c < N_COLUMNS; c++)
            if (strcasecmp(field[i].text, column_name[c]) == 0)
                reader->column[c] = i;
    if (reader->column[COLUMN_DATE] < 0 || reader->column[COLUMN_WHAT] < 0 || reader->column[COLUMN_VALUE] < 0)
        report_log_mistake(
            reader, NULL,
            "The first line must name the columns: date,what,value and optionally where (the bin of a temperature) "
            "and days (the number of days that a weight covers).");
}

static bool read_log_kind(struct log_reader *reader, const struct field *field, enum wg_log_kind *kind) {
    const char *names[WG_N_LOG_KINDS + 1] = {NULL};
    char list[200];
    for (int k = 0; k < WG_N_LOG_KINDS; k++) {
        names[k] = wg_log_kind_name((enum wg_log_kind)k);
        if (strcmp(field->text, names[k]) == 0) {
            *kind = (enum wg_log_kind)k;
            return true;
        }
    }
    const char *const nearest = wg_word_nearest(field->text, names);
    wg_word_list(names, list, sizeof list);
    if (nearest != NULL)
        report_log_mistake(reader, field, "\"%s\" is not known here. Did you mean \"%s\"?", field->text, nearest);
    else
        report_log_mistake(reader, field, "\"%s\" is not known here. The kinds of entry are %s.", field->text, list);
    return false;
}

static bool read_date(struct log_reader *reader, const struct field *field, int32_t *day) {
    char from[24], to[24];
    struct wg_written_date date;
    if (wg_written_date_read(field->text, &date) != 0) {
        report_log_mistake(reader, field, "\"%s\" is not a date: write year-month-day, for example 2026-11-15.",
                           field->text);
        return false;
    }
    *day = date.day[reader->order]; /* in doubt, the file was refused */
    if (*day >= reader->plan->first_day && *day <= reader->plan->last_day)
        return true;
    wg_day_format_long(reader->plan->first_day, from);
    wg_day_format_long(reader->plan->last_day, to);
    report_log_mistake(reader, field, "This is outside the scenario's period, %s to %s.", from, to);
    return false;
}

static bool read_flies_seen(struct log_reader *reader, const struct field *field, double *value) {
    const bool yes = strcasecmp(field->text, "yes") == 0;
    if (!yes && strcasecmp(field->text, "no") != 0) {
        report_log_mistake(reader, field, "\"%s\" is neither yes nor no: write whether flies were seen.", field->text);
        return false;
    }
    *value = yes;
    return true;
}

/* Reads "37 of 100". */
static bool read_share_alive(struct log_reader *reader, const struct field *field, struct wg_log_entry *entry) {
    double alive, started;
    const char *rest;
    const bool is_share = wg_number_read(field->text, &alive, &rest) == 0 && strncmp(rest, " of ", 4) == 0 &&
                          wg_number_read(rest + 4, &started, &rest) == 0 && *rest == '\0';
    if (!is_share || !(started >= 1 && started <= 100000) || started > (int)started || !(alive >= 0) ||
        alive > started || alive > (int)alive) {
        report_log_mistake(reader, field, "\"%s\" is not a count of the living: write for example 37 of 100.",
                           field->text);
        return false;
    }
    entry->started = (int)started;
    entry->value = alive / started;
    return true;
}

/* Reads the temperature of a jar, in the column of the bins. */
static bool read_jar_temperature(struct log_reader *reader, const struct field *field, struct wg_log_entry *entry) {
    char message[WG_QUANTITY_MESSAGE];
    if (field == NULL || field->text[0] == '\0') {
        report_log_mistake(reader, field, "A jar needs its temperature in the column where, for example 2 degC.");
        return false;
    }
    if (wg_quantity_read(field->text, WG_TEMPERATURE, &entry->temp_c, message) < 0) {
        report_log_mistake(reader, field, "%s", message);
        return false;
    }
    if (entry->temp_c >= -20 && entry->temp_c <= 12)
        return true;
    report_log_mistake(reader, field, "\"%s\": a jar in the cold is between -20 and 12 degC (-4 and 54 degF).",
                       field->text);
    return false;
}

static bool read_value(struct log_reader *reader, const struct field *field, struct wg_log_entry *entry) {
    const enum wg_log_kind kind = entry->kind;
    double *const value = &entry->value;
    static const enum wg_dimension dimension[WG_N_LOG_KINDS] = {
        [WG_LOG_CRAWL_OFF] = WG_MASS,     [WG_LOG_TAKEN] = WG_MASS,
        [WG_LOG_EGGS_TRAPPED] = WG_COUNT, [WG_LOG_BIN_TEMPERATURE] = WG_TEMPERATURE,
        [WG_LOG_ADULTS] = WG_COUNT,       [WG_LOG_JAR] = WG_COUNT};
    char message[WG_QUANTITY_MESSAGE];
    if (kind == WG_LOG_ADULTS)
        return read_flies_seen(reader, field, value);
    if (kind == WG_LOG_JAR)
        return read_share_alive(reader, field, entry);
    if (wg_quantity_read(field->text, dimension[kind], value, message) < 0) {
        report_log_mistake(reader, field, "%s", message);
        return false;
    }
    if (kind != WG_LOG_BIN_TEMPERATURE && *value < 0) {
        report_log_mistake(reader, field, "\"%s\" is negative.", field->text);
        return false;
    }
    return true;
}

/* A hint for "12,000", which splits into two fields. */
static const char *comma_hint(const struct field *field) {
    return isdigit((unsigned char)field->text[0]) ? " Write numbers without commas: 12000, 1.5 lb." : "";
}

/* Weights, eggs and flies are totals of the colony: a bin or place beside them must be the only one. */
static bool check_whole_colony(struct log_reader *reader, const struct field *field) {
    const struct wg_plan *const plan = reader->plan;
    if (field == NULL || field->text[0] == '\0')
        return true;
    bool is_known = false;
    for (int b = 0; b < plan->n_bins; b++)
        is_known = is_known || strcmp(field->text, plan->bins[b].name) == 0;
    const bool is_bin = is_known;
    for (int i = 0; i < plan->n_places; i++)
        is_known = is_known || strcmp(field->text, plan->places[i].name) == 0;
    if (!is_known)
        report_log_mistake(reader, field, "There is no bin or place \"%s\".%s", field->text, comma_hint(field));
    else if ((is_bin ? plan->n_bins : plan->n_places) > 1)
        report_log_mistake(reader, field,
                           "This entry is a total over all bins and places: add them up, and leave \"where\" empty.");
    else
        return true;
    return false;
}

static bool read_log_bin(struct log_reader *reader, const struct field *field, struct wg_log_entry *entry) {
    const char *names[WG_MAX_BINS + 1] = {NULL};
    const enum wg_log_kind kind = entry->kind;
    int *const bin = &entry->bin;
    if (kind == WG_LOG_JAR)
        return read_jar_temperature(reader, field, entry);
    if (kind != WG_LOG_BIN_TEMPERATURE)
        return check_whole_colony(reader, field);
    for (int b = 0; b < reader->plan->n_bins; b++) {
        names[b] = reader->plan->bins[b].name;
        if (field != NULL && strcmp(field->text, names[b]) == 0) {
            *bin = b;
            return true;
        }
    }
    if (reader->plan->n_bins == 1 && (field == NULL || field->text[0] == '\0'))
        return true;
    char list[300];
    wg_word_list(names, list, sizeof list);
    report_log_mistake(reader, field, "This temperature needs a bin in the column where: %s.", list);
    return false;
}

static bool is_sum(enum wg_log_kind kind) {
    return kind == WG_LOG_CRAWL_OFF || kind == WG_LOG_TAKEN || kind == WG_LOG_EGGS_TRAPPED;
}

/* Reads "7 days", "1 week" or 7. An empty field leaves since = day + 1, for finish_entry() to fill in. */
static bool read_days(struct log_reader *reader, const struct field *field, struct wg_log_entry *entry) {
    char message[WG_QUANTITY_MESSAGE];
    const char *rest;
    double days;
    const bool is_jar = entry->kind == WG_LOG_JAR;
    entry->since = is_sum(entry->kind) ? entry->day + 1 : entry->day;
    if (field == NULL || field->text[0] == '\0') {
        if (is_jar)
            report_log_mistake(reader, field, "A jar needs its days in the column days, for example 28 days.");
        return !is_jar;
    }
    const bool is_bare = wg_number_read(field->text, &days, &rest) == 0 && *rest == '\0';
    if (!is_sum(entry->kind) && !is_jar)
        report_log_mistake(reader, field, "Only weights, eggs and jars can cover several days.");
    else if (!is_bare && wg_quantity_read(field->text, WG_DAYS, &days, message) < 0)
        report_log_mistake(reader, field, "%s", message);
    else if (!(days >= 1 && days <= 1e6) || days > (int32_t)days)
        report_log_mistake(reader, field, "\"%s\" is not a number of days: write for example 7 days.", field->text);
    else if (!is_jar && entry->day - (int32_t)days + 1 < reader->plan->first_day)
        report_log_mistake(reader, field, "These days begin before the scenario's period.");
    else {
        entry->since = entry->day - (int32_t)days + 1;
        return true;
    }
    return false;
}

/* ---- entries ---- */

static bool reserve_log_entry(struct log_reader *reader) {
    const size_t n = (size_t)reader->log->n;
    if (n < reader->capacity)
        return true;
    const size_t capacity = n == 0 ? 64 : 2 * n;
    struct wg_log_entry *const entries = realloc(reader->log->note, capacity * sizeof *entries);
    if (entries == NULL) {
        reader->no_memory = true;
        return false;
    }
    reader->log->note = entries;
    reader->capacity = capacity;
    return true;
}

static const struct field *field_of(const struct log_reader *reader, const struct field *field, int n,
                                    enum log_column column) {
    const int i = reader->column[column];
    return i >= 0 && i < n ? &field[i] : NULL;
}

/* ---- notation ---- */

/* Finds a comma or point between digits. Returns NULL if there is none. */
static char *find_decimal_mark(char *text, char mark) {
    for (char *at = text; (at = strchr(at, mark)) != NULL; at++)
        if (at > text && isdigit((unsigned char)at[-1]) && isdigit((unsigned char)at[1]))
            return at;
    return NULL;
}

static void see_number(struct log_reader *reader, struct field *field) {
    struct number_evidence *const numbers = &reader->numbers;
    const char *const comma = find_decimal_mark(field->text, ',');
    if (find_decimal_mark(field->text, '.') != NULL && numbers->point_line == 0)
        numbers->point_line = reader->line;
    if (comma == NULL)
        return;
    if (strspn(comma + 1, "0123456789") != 3) {
        numbers->comma_line = numbers->comma_line == 0 ? reader->line : numbers->comma_line;
    } else if (numbers->open_line == 0) {
        numbers->open_line = reader->line;
        memcpy(numbers->open_text, field->text, FIELD_SIZE);
    }
}

static bool is_kind(const struct log_reader *reader, const struct field *field, int n, enum wg_log_kind kind) {
    const int what = reader->column[COLUMN_WHAT];
    return what >= 0 && what < n && strcmp(field[what].text, wg_log_kind_name(kind)) == 0;
}

/* The column `where` has a number in the line of a jar only: its temperature. */
static bool has_number(const struct log_reader *reader, const struct field *field, int n, enum log_column column) {
    const int i = reader->column[column];
    return i >= 0 && i < n && (column == COLUMN_VALUE || is_kind(reader, field, n, WG_LOG_JAR));
}

static void see_line(struct log_reader *reader, struct field *field, int n) {
    const int date = reader->column[COLUMN_DATE], value = reader->column[COLUMN_VALUE];
    const bool is_count = is_kind(reader, field, n, WG_LOG_EGGS_TRAPPED) || is_kind(reader, field, n, WG_LOG_JAR);
    struct wg_written_date written;
    if (date >= 0 && date < n && wg_written_date_read(field[date].text, &written) == 0)
        wg_date_evidence_add(&reader->dates, &written, field[date].text, reader->line);
    if (value < n && is_count && find_decimal_mark(field[value].text, ',') != NULL)
        report_log_mistake(reader, &field[value], "Animals are whole numbers: write \"%s\" without a comma.",
                           field[value].text);
    else if (has_number(reader, field, n, COLUMN_VALUE))
        see_number(reader, &field[value]);
    if (has_number(reader, field, n, COLUMN_WHERE))
        see_number(reader, &field[reader->column[COLUMN_WHERE]]);
}

/* Decides how dates and numbers are written, or reports why that is open. */
static void decide_notation(struct log_reader *reader) {
    const struct number_evidence *const numbers = &reader->numbers;
    char message[WG_DATE_MESSAGE];
    reader->line = wg_date_evidence_decide(&reader->dates, &reader->order, message);
    if (reader->line != 0)
        report_log_mistake(reader, NULL, "%s", message);
    reader->line = numbers->open_line;
    if (numbers->comma_line == 0 && numbers->open_line != 0)
        report_log_mistake(reader, NULL,
                           "\"%s\" can have a decimal comma or be thousands: write it with a decimal point, or without "
                           "the comma.",
                           numbers->open_text);
    reader->line = numbers->comma_line;
    if (numbers->comma_line != 0 && numbers->point_line != 0)
        report_log_mistake(reader, NULL, "Here is a decimal comma, and in line %d a decimal point: write one of them.",
                           numbers->point_line);
    const bool is_ordered = reader->dates.line[0] != 0 || reader->dates.line[1] != 0;
    (void)snprintf(reader->log->notation, sizeof reader->log->notation, "%s%s%s",
                   !is_ordered                            ? ""
                   : reader->order == WG_DATE_MONTH_FIRST ? "dates month first"
                                                          : "dates day first",
                   is_ordered && numbers->comma_line != 0 ? ", " : "",
                   numbers->comma_line != 0 ? "decimal commas" : "");
}

/* Replaces the decimal comma of a number by a point. */
static void replace_comma(const struct log_reader *reader, struct field *field, int n, enum log_column column) {
    char *const comma =
        has_number(reader, field, n, column) ? find_decimal_mark(field[reader->column[column]].text, ',') : NULL;
    if (comma != NULL)
        *comma = '.';
}

static void read_log_line(struct log_reader *reader, struct field *field, int n) {
    replace_comma(reader, field, n, COLUMN_VALUE);
    replace_comma(reader, field, n, COLUMN_WHERE);
    const struct field *const date = field_of(reader, field, n, COLUMN_DATE), *const kind = field_of(reader, field, n,
                                                                                                     COLUMN_WHAT);
    const struct field *const value = field_of(reader, field, n, COLUMN_VALUE);
    struct wg_log_entry entry = {.line = reader->line};
    if (date == NULL || kind == NULL || value == NULL) {
        report_log_mistake(reader, NULL, "This line has too few columns.");
        return;
    }
    for (int i = reader->n_columns; i < n; i++)
        if (field[i].text[0] != '\0') {
            report_log_mistake(reader, &field[i], "The first line has no column for this.%s", comma_hint(&field[i]));
            return;
        }
    bool good = read_date(reader, date, &entry.day);
    if (!read_log_kind(reader, kind, &entry.kind))
        return;
    good &= read_value(reader, value, &entry);
    good &= read_log_bin(reader, field_of(reader, field, n, COLUMN_WHERE), &entry);
    good = good && read_days(reader, field_of(reader, field, n, COLUMN_DAYS), &entry);
    if (good && reserve_log_entry(reader))
        reader->log->note[reader->log->n++] = entry;
}

/* Splits each line after the heading, which it reads the first time. */
static void each_line(struct log_reader *reader, const char *text, size_t size,
                      void (*take)(struct log_reader *reader, struct field *field, int n)) {
    reader->line = 0;
    for (size_t from = wg_utf8_mark(text, size);
         from < size && reader->mistakes->n < WG_MAX_MISTAKES && !reader->no_memory;) {
        const char *const stop = memchr(text + from, '\n', size - from);
        const size_t length = stop != NULL ? (size_t)(stop - text) - from : size - from;
        struct field field[MAX_FIELDS];
        reader->line++;
        if (length > 0 && text[from] != '#' && strspn(text + from, " \t\r;,") < length) {
            const bool is_first = reader->separator == 0;
            if (is_first)
                reader->separator = separator_of(text + from, length);
            const int n = split_fields(text + from, length, reader->separator, field);
            if (is_first) {
                reader->heading_line = reader->line;
                read_heading(reader, field, n);
            } else if (reader->column[COLUMN_VALUE] >= 0 && reader->line > reader->heading_line) {
                take(reader, field, n);
            }
        }
        from += length + 1;
    }
}

/* Reads all lines twice: what one line leaves open, others may tell. */
static void read_lines(struct log_reader *reader, const char *text, size_t size) {
    each_line(reader, text, size, see_line);
    decide_notation(reader);
    if (reader->mistakes->n == 0)
        each_line(reader, text, size, read_log_line);
}

/* ---- the log ---- */

static int by_day(const void *a, const void *b) {
    const struct wg_log_entry *const x = a, *const y = b;
    return x->day != y->day ? (x->day < y->day ? -1 : 1) : (x->line > y->line) - (x->line < y->line);
}

/* True if the plan has an action on these days that could produce such an entry. */
static bool plan_has_action(const struct wg_plan *plan, const struct wg_log_entry *entry) {
    bool done = false;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const action = &plan->actions[i];
        const bool fits = entry->kind == WG_LOG_EGGS_TRAPPED
                              ? action->kind == WG_ACTION_LAY_IN_TRAPS
                              : action->kind == WG_ACTION_COLLECT || action->kind == WG_ACTION_SCOOP;
        done = done || (fits && action->from <= entry->day && action->to >= entry->since);
    }
    return done;
}

/* Reports an entry that no simulated year can match. */
static void check_possible(struct log_reader *reader, const struct wg_log_entry *entry) {
    if (entry->value <= 0 || (entry->kind != WG_LOG_TAKEN && entry->kind != WG_LOG_EGGS_TRAPPED) ||
        plan_has_action(reader->plan, entry))
        return;
    if (entry->kind == WG_LOG_TAKEN)
        report_log_mistake(
            reader, NULL,
            "The scenario takes nothing out on these days (no collect crawl-off, no scoop larvae), so no simulated "
            "year can agree. Add the action to keeping, or log the weight as crawl-off.");
    else
        report_log_mistake(
            reader, NULL,
            "The scenario sets no traps on these days, so no simulated year can agree. Add set traps to keeping.");
}

static const struct wg_log_entry *previous_entry(const struct wg_keeper_log *log, int i) {
    for (int b = i - 1; b >= 0; b--)
        if (log->note[b].kind == log->note[i].kind)
            return &log->note[b];
    return NULL;
}

/* Starts a sum after the previous entry of its kind; without one, and without days, the entry only opens the count. */
static void finish_entry(struct log_reader *reader, int i) {
    struct wg_keeper_log *const log = reader->log;
    struct wg_log_entry *const entry = &log->note[i];
    const struct wg_log_entry *const before = previous_entry(log, i);
    const bool is_unbounded = entry->since > entry->day;
    reader->line = entry->line;
    if (is_sum(entry->kind) && before != NULL && before->day == entry->day)
        report_log_mistake(reader, NULL, "Line %d has %s on the same day. Add the two up.", before->line,
                           wg_log_kind_name(entry->kind));
    else if (!is_unbounded && is_sum(entry->kind) && before != NULL && entry->since <= before->day)
        report_log_mistake(reader, NULL, "These days overlap those of line %d.", before->line);
    else if (is_unbounded && before != NULL)
        entry->since = before->day + 1;
    else if (is_unbounded)
        log->opening[entry->kind] = *entry;
    if (entry->since <= entry->day)
        check_possible(reader, entry);
}

static void finish_entries(struct log_reader *reader) {
    struct wg_keeper_log *const log = reader->log;
    int n = 0;
    if (log->n > 1)
        qsort(log->note, (size_t)log->n, sizeof *log->note, by_day);
    for (int i = 0; i < log->n; i++)
        finish_entry(reader, i);
    for (int i = 0; i < log->n; i++)
        if (log->note[i].since <= log->note[i].day)
            log->note[n++] = log->note[i];
    const bool has_only_openings = n == 0 && log->n > 0;
    reader->line = has_only_openings ? log->note[0].line : 0;
    log->n = n;
    if (has_only_openings && reader->mistakes->n == 0)
        report_log_mistake(
            reader, NULL,
            "The first entry of a kind only opens its count, and there is no other. Add a column days with the number "
            "of days that it covers, for example 7 days.");
    else if (n == 0 && reader->mistakes->n == 0)
        report_log_mistake(reader, NULL, "This log has no entries.");
    else if (n > WG_MAX_NOTES && reader->mistakes->n == 0)
        report_log_mistake(reader, NULL, "This log has %d entries, more than %d: add days up to weeks.", n,
                           WG_MAX_NOTES);
}

static int read_text(struct wg_keeper_log *log, const char *text, size_t size, const struct wg_plan *plan,
                     struct wg_mistakes *mistakes, struct wg_error *err) {
    struct log_reader reader = {.log = log, .plan = plan, .mistakes = mistakes, .column = {-1, -1, -1, -1, -1}};
    if (memchr(text, '\0', size) != NULL)
        report_log_mistake(&reader, NULL, "This is not a text file.");
    else
        read_lines(&reader, text, size);
    finish_entries(&reader);
    if (reader.no_memory)
        return wg_no_memory(err, mistakes->path);
    wg_mistakes_sort(mistakes);
    if (mistakes->n == 0)
        return 0;
    return wg_fail(err, WG_ERR_INPUT, mistakes->path, "The log has %zu mistake%s.", mistakes->n,
                   mistakes->n == 1 ? "" : "s");
}

int wg_keeper_log_read(struct wg_keeper_log *log, const char *path, const struct wg_plan *plan,
                       struct wg_mistakes *mistakes, struct wg_error *err) {
    size_t size;
    *log = (struct wg_keeper_log){0};
    *mistakes = (struct wg_mistakes){0};
    const int code = wg_text_file_read(path, MAX_BYTES, &mistakes->source, &size, err);
    if (code < 0)
        return code;
    mistakes->path = strdup(path == NULL ? WG_STANDARD_INPUT : path);
    if (mistakes->path == NULL)
        return wg_no_memory(err, path);
    return read_text(log, mistakes->source, size, plan, mistakes, err);
}

int wg_keeper_log_read_text(struct wg_keeper_log *log, const char *name, const char *text, const struct wg_plan *plan,
                            struct wg_mistakes *mistakes, struct wg_error *err) {
    *log = (struct wg_keeper_log){0};
    *mistakes = (struct wg_mistakes){.path = strdup(name), .source = strdup(text)};
    if (mistakes->path == NULL || mistakes->source == NULL)
        return wg_no_memory(err, name);
    if (strlen(text) > MAX_BYTES)
        return wg_fail(err, WG_ERR_INPUT, name, "The log is too large: the maximum is %zu bytes.", MAX_BYTES);
    return read_text(log, mistakes->source, strlen(text), plan, mistakes, err);
}

void wg_keeper_log_free(struct wg_keeper_log *log) {
    free(log->note);
    *log = (struct wg_keeper_log){0};
}
