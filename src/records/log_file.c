/*
 * What did the keeper note down? Lines of date, what, value and perhaps the bin and the days it is of.
 */
#include "records/log_file.h"

#include "base/utf8.h"
#include "text/mistakes.h"
#include "text/nearest_word.h"
#include "text/quantity.h"
#include "text/text_file.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define MAX_BYTES ((size_t)1024 * 1024)
#define MAX_FIELDS 8
#define FIELD 80

enum log_column { COLUMN_DATE, COLUMN_WHAT, COLUMN_VALUE, COLUMN_WHERE, COLUMN_DAYS, N_COLUMNS };
static const char *const column_name[] = {"date", "what", "value", "where", "days", NULL};

struct field {
    char text[FIELD]; /* without blanks and quotes around it; cut to size */
    int column;       /* in the line, from 1 */
};

struct reading {
    struct wg_keeper_log *log;
    const struct wg_plan *plan;
    struct wg_mistakes *problems;
    int at[N_COLUMNS]; /* field of each column, -1: not there */
    int n_columns;     /* of the first line */
    int line;
    size_t capacity;
    bool no_memory;
};

static void report_log_mistake(struct reading *r, const struct field *at, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
static void report_log_mistake(struct reading *r, const struct field *at, const char *format, ...) {
    va_list args;
    va_start(args, format);
    if (wg_mistakes_add_list(r->problems, r->line, at != NULL ? at->column : 1, format, args) < 0)
        r->no_memory = true;
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
        const size_t size = to - from < FIELD - 1 ? to - from : FIELD - 1;
        field[n].column = (int)from + 1;
        memcpy(field[n].text, line + from, size);
        field[n++].text[size] = '\0';
        from = next;
    }
    return n;
}

/* ---- the columns ---- */

static void read_heading(struct reading *r, const struct field *field, int n) {
    r->n_columns = n;
    for (int c = 0; c < N_COLUMNS; c++)
        r->at[c] = -1;
    for (int i = 0; i < n; i++)
        for (int c = 0; c < N_COLUMNS; c++)
            if (strcasecmp(field[i].text, column_name[c]) == 0)
                r->at[c] = i;
    if (r->at[COLUMN_DATE] < 0 || r->at[COLUMN_WHAT] < 0 || r->at[COLUMN_VALUE] < 0)
        report_log_mistake(
            r, NULL,
            "The first line names the columns: date,what,value and perhaps where (the bin of a temperature) and days "
            "(over how many a weight was gathered).");
}

static bool read_log_kind(struct reading *r, const struct field *field, enum wg_log_kind *kind) {
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
        report_log_mistake(r, field, "\"%s\" is not known here. Did you mean \"%s\"?", field->text, nearest);
    else
        report_log_mistake(r, field, "\"%s\" is not known here. What was seen is %s.", field->text, list);
    return false;
}

static bool read_date(struct reading *r, const struct field *field, int32_t *day) {
    char from[24], to[24];
    if (wg_day_parse(field->text, day) != 0) {
        report_log_mistake(r, field, "\"%s\" is not a date: write year-month-day, for example 2026-11-15.",
                           field->text);
        return false;
    }
    if (*day >= r->plan->first_day && *day <= r->plan->last_day)
        return true;
    wg_day_format_long(r->plan->first_day, from);
    wg_day_format_long(r->plan->last_day, to);
    report_log_mistake(r, field, "This is outside the scenario's period, %s to %s.", from, to);
    return false;
}

static bool read_flies_seen(struct reading *r, const struct field *field, double *value) {
    const bool yes = strcasecmp(field->text, "yes") == 0;
    if (!yes && strcasecmp(field->text, "no") != 0) {
        report_log_mistake(r, field, "\"%s\": flies were seen, yes or no.", field->text);
        return false;
    }
    *value = yes;
    return true;
}

static bool read_value(struct reading *r, const struct field *field, enum wg_log_kind kind, double *value) {
    static const enum wg_dimension dimension[WG_N_LOG_KINDS] = {[WG_LOG_CRAWL_OFF] = WG_MASS,
                                                                [WG_LOG_TAKEN] = WG_MASS,
                                                                [WG_LOG_EGGS_TRAPPED] = WG_COUNT,
                                                                [WG_LOG_BIN_TEMPERATURE] = WG_TEMPERATURE,
                                                                [WG_LOG_ADULTS] = WG_COUNT};
    char message[WG_QUANTITY_MESSAGE];
    if (kind == WG_LOG_ADULTS)
        return read_flies_seen(r, field, value);
    if (wg_quantity_read(field->text, dimension[kind], value, message) < 0) {
        report_log_mistake(r, field, "%s", message);
        return false;
    }
    if (kind != WG_LOG_BIN_TEMPERATURE && *value < 0) {
        report_log_mistake(r, field, "\"%s\" is less than nothing.", field->text);
        return false;
    }
    return true;
}

/* "12,000" has become two fields. */
static const char *comma_hint(const struct field *field) {
    return isdigit((unsigned char)field->text[0]) ? " Write numbers without commas: 12000, 1.5 lb." : "";
}

/* Weights, eggs and flies are those of the whole colony: a name beside them must be the only one there is. */
static bool check_whole_colony(struct reading *r, const struct field *field) {
    const struct wg_plan *const plan = r->plan;
    if (field == NULL || field->text[0] == '\0')
        return true;
    bool known = false;
    for (int b = 0; b < plan->n_bins; b++)
        known = known || strcmp(field->text, plan->bins[b].name) == 0;
    const bool is_bin = known;
    for (int i = 0; i < plan->n_places; i++)
        known = known || strcmp(field->text, plan->places[i].name) == 0;
    if (!known)
        report_log_mistake(r, field, "There is no bin or place \"%s\".%s", field->text, comma_hint(field));
    else if ((is_bin ? plan->n_bins : plan->n_places) > 1)
        report_log_mistake(r, field,
                           "This is noted for all bins and places together: add them up, and leave \"where\" empty.");
    else
        return true;
    return false;
}

static bool read_log_bin(struct reading *r, const struct field *field, enum wg_log_kind kind, int *bin) {
    const char *names[WG_MAX_BINS + 1] = {NULL};
    *bin = 0;
    if (kind != WG_LOG_BIN_TEMPERATURE)
        return check_whole_colony(r, field);
    for (int b = 0; b < r->plan->n_bins; b++) {
        names[b] = r->plan->bins[b].name;
        if (field != NULL && strcmp(field->text, names[b]) == 0) {
            *bin = b;
            return true;
        }
    }
    if (r->plan->n_bins == 1 && (field == NULL || field->text[0] == '\0'))
        return true;
    char list[300];
    wg_word_list(names, list, sizeof list);
    report_log_mistake(r, field, "Which bin was that warm? Name one in the column where: %s.", list);
    return false;
}

static bool is_sum(enum wg_log_kind kind) {
    return kind == WG_LOG_CRAWL_OFF || kind == WG_LOG_TAKEN || kind == WG_LOG_EGGS_TRAPPED;
}

/* "7 days", "1 week", 7. Leaves since = day + 1 where nothing is written: that is to be found. */
static bool read_days(struct reading *r, const struct field *field, struct wg_log_entry *note) {
    char message[WG_QUANTITY_MESSAGE];
    const char *rest;
    double days;
    note->since = is_sum(note->kind) ? note->day + 1 : note->day;
    if (field == NULL || field->text[0] == '\0')
        return true;
    const bool is_bare = wg_number_read(field->text, &days, &rest) == 0 && *rest == '\0';
    if (!is_sum(note->kind))
        report_log_mistake(r, field, "Only weights and eggs are of several days.");
    else if (!is_bare && wg_quantity_read(field->text, WG_DAYS, &days, message) < 0)
        report_log_mistake(r, field, "%s", message);
    else if (!(days >= 1 && days <= 1e6) || days > (int32_t)days)
        report_log_mistake(r, field, "\"%s\" is not a number of days: write for example 7 days.", field->text);
    else if (note->day - (int32_t)days + 1 < r->plan->first_day)
        report_log_mistake(r, field, "These days begin before the scenario's period does.");
    else {
        note->since = note->day - (int32_t)days + 1;
        return true;
    }
    return false;
}

/* ---- notes ---- */

static bool reserve_log_entry(struct reading *r) {
    const size_t n = (size_t)r->log->n;
    if (n < r->capacity)
        return true;
    const size_t capacity = n == 0 ? 64 : 2 * n;
    struct wg_log_entry *const note = realloc(r->log->note, capacity * sizeof *note);
    if (note == NULL) {
        r->no_memory = true;
        return false;
    }
    r->log->note = note;
    r->capacity = capacity;
    return true;
}

static const struct field *field_of(const struct reading *r, const struct field *field, int n, enum log_column column) {
    const int i = r->at[column];
    return i >= 0 && i < n ? &field[i] : NULL;
}

static void read_log_line(struct reading *r, const struct field *field, int n) {
    const struct field *const date = field_of(r, field, n, COLUMN_DATE), *const kind =
                                                                             field_of(r, field, n, COLUMN_WHAT);
    const struct field *const value = field_of(r, field, n, COLUMN_VALUE);
    struct wg_log_entry note = {.line = r->line};
    if (date == NULL || kind == NULL || value == NULL) {
        report_log_mistake(r, NULL, "This line has too few columns.");
        return;
    }
    for (int i = r->n_columns; i < n; i++)
        if (field[i].text[0] != '\0') {
            report_log_mistake(r, &field[i], "The first line names no column for this.%s", comma_hint(&field[i]));
            return;
        }
    bool good = read_date(r, date, &note.day);
    if (!read_log_kind(r, kind, &note.kind))
        return;
    good &= read_value(r, value, note.kind, &note.value);
    good &= read_log_bin(r, field_of(r, field, n, COLUMN_WHERE), note.kind, &note.bin);
    good = good && read_days(r, field_of(r, field, n, COLUMN_DAYS), &note);
    if (good && reserve_log_entry(r))
        r->log->note[r->log->n++] = note;
}

static void read_lines(struct reading *r, const char *text, size_t size) {
    char separator = 0;
    for (size_t from = wg_utf8_mark(text, size); from < size && r->problems->n < WG_MAX_MISTAKES && !r->no_memory;) {
        const char *const stop = memchr(text + from, '\n', size - from);
        const size_t length = stop != NULL ? (size_t)(stop - text) - from : size - from;
        struct field field[MAX_FIELDS];
        r->line++;
        if (length > 0 && text[from] != '#' && strspn(text + from, " \t\r;,") < length) {
            const bool heading = separator == 0;
            if (heading)
                separator = separator_of(text + from, length);
            const int n = split_fields(text + from, length, separator, field);
            if (heading)
                read_heading(r, field, n);
            else if (r->at[COLUMN_VALUE] >= 0)
                read_log_line(r, field, n);
        }
        from += length + 1;
    }
}

/* ---- the whole ---- */

static int by_day(const void *a, const void *b) {
    const struct wg_log_entry *const x = a, *const y = b;
    return x->day != y->day ? (x->day < y->day ? -1 : 1) : (x->line > y->line) - (x->line < y->line);
}

/* Whether the plan does anything on these days that such a note could be of. */
static bool plan_has_action(const struct wg_plan *plan, const struct wg_log_entry *note) {
    bool done = false;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const action = &plan->actions[i];
        const bool fits = note->kind == WG_LOG_EGGS_TRAPPED
                              ? action->kind == WG_ACTION_LAY_IN_TRAPS
                              : action->kind == WG_ACTION_COLLECT || action->kind == WG_ACTION_SCOOP;
        done = done || (fits && action->from <= note->day && action->to >= note->since);
    }
    return done;
}

/* No simulated year could ever agree with it. */
static void check_possible(struct reading *r, const struct wg_log_entry *note) {
    if (note->value <= 0 || (note->kind != WG_LOG_TAKEN && note->kind != WG_LOG_EGGS_TRAPPED) ||
        plan_has_action(r->plan, note))
        return;
    if (note->kind == WG_LOG_TAKEN)
        report_log_mistake(
            r, NULL,
            "The scenario takes nothing out on these days (no collect crawl-off, no scoop larvae), so no simulated "
            "year can agree. Add it to keeping, or note it as crawl-off.");
    else
        report_log_mistake(
            r, NULL,
            "The scenario sets no traps on these days, so no simulated year can agree. Add set traps to keeping.");
}

static const struct wg_log_entry *previous_entry(const struct wg_keeper_log *log, int i) {
    for (int b = i - 1; b >= 0; b--)
        if (log->note[b].kind == log->note[i].kind)
            return &log->note[b];
    return NULL;
}

/* Sums count from the day after the note before of the same kind; one that has none before it, and no days, opens the count. */
static void finish_entry(struct reading *r, int i) {
    struct wg_keeper_log *const log = r->log;
    struct wg_log_entry *const note = &log->note[i];
    const struct wg_log_entry *const before = previous_entry(log, i);
    const bool is_open = note->since > note->day;
    r->line = note->line;
    if (is_sum(note->kind) && before != NULL && before->day == note->day)
        report_log_mistake(r, NULL, "Line %d notes %s on the same day. Add the two up.", before->line,
                           wg_log_kind_name(note->kind));
    else if (!is_open && is_sum(note->kind) && before != NULL && note->since <= before->day)
        report_log_mistake(r, NULL, "These days reach back over the note of line %d.", before->line);
    else if (is_open && before != NULL)
        note->since = before->day + 1;
    else if (is_open)
        log->opening[note->kind] = *note;
    if (note->since <= note->day)
        check_possible(r, note);
}

static void finish_entries(struct reading *r) {
    struct wg_keeper_log *const log = r->log;
    int n = 0;
    if (log->n > 1)
        qsort(log->note, (size_t)log->n, sizeof *log->note, by_day);
    for (int i = 0; i < log->n; i++)
        finish_entry(r, i);
    for (int i = 0; i < log->n; i++)
        if (log->note[i].since <= log->note[i].day)
            log->note[n++] = log->note[i];
    const bool only_opens = n == 0 && log->n > 0;
    r->line = only_opens ? log->note[0].line : 0;
    log->n = n;
    if (only_opens && r->problems->n == 0)
        report_log_mistake(
            r, NULL,
            "The first note of a kind only opens its count, and there is no other. Add a column days that says over "
            "how many days it was gathered, for example 7 days.");
    else if (n == 0 && r->problems->n == 0)
        report_log_mistake(r, NULL, "There is nothing in this log.");
}

static int read_text(struct wg_keeper_log *log, const char *text, size_t size, const struct wg_plan *plan,
                     struct wg_mistakes *problems, struct wg_error *err) {
    struct reading r = {.log = log, .plan = plan, .problems = problems, .at = {-1, -1, -1, -1, -1}};
    if (memchr(text, '\0', size) != NULL)
        report_log_mistake(&r, NULL, "This is not a text file.");
    else
        read_lines(&r, text, size);
    finish_entries(&r);
    if (r.no_memory)
        return wg_no_memory(err, problems->path);
    wg_mistakes_sort(problems);
    if (problems->n == 0)
        return 0;
    return wg_fail(err, WG_ERR_INPUT, problems->path, "The log has %zu mistake%s.", problems->n,
                   problems->n == 1 ? "" : "s");
}

int wg_keeper_log_read(struct wg_keeper_log *log, const char *path, const struct wg_plan *plan,
                       struct wg_mistakes *problems, struct wg_error *err) {
    size_t size;
    *log = (struct wg_keeper_log){0};
    *problems = (struct wg_mistakes){0};
    const int code = wg_text_file_read(path, MAX_BYTES, &problems->source, &size, err);
    if (code < 0)
        return code;
    problems->path = strdup(path);
    if (problems->path == NULL)
        return wg_no_memory(err, path);
    return read_text(log, problems->source, size, plan, problems, err);
}

void wg_keeper_log_free(struct wg_keeper_log *log) {
    free(log->note);
    *log = (struct wg_keeper_log){0};
}
