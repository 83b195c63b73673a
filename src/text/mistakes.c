/*
 * Collects mistakes and formats them: position, message, source line, caret.
 */
#include "text/mistakes.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MESSAGE_SIZE 1024
/* Longer source lines are truncated: a terminal is 80 to 120 columns wide. */
#define SHOWN_COLUMNS 100

void wg_mistakes_free(struct wg_mistakes *mistakes) {
    for (size_t i = 0; i < mistakes->n; i++)
        free(mistakes->items[i].message);
    free(mistakes->items);
    free(mistakes->path);
    free(mistakes->source);
    *mistakes = (struct wg_mistakes){0};
}

static int reserve_mistake(struct wg_mistakes *mistakes) {
    if (mistakes->n < mistakes->capacity)
        return 0;
    const size_t capacity = mistakes->capacity == 0 ? 8 : 2 * mistakes->capacity;
    struct wg_mistake *const items = realloc(mistakes->items, capacity * sizeof *items);
    if (items == NULL)
        return WG_ERR_MEMORY;
    mistakes->items = items;
    mistakes->capacity = capacity;
    return 0;
}

int wg_mistakes_add_list(struct wg_mistakes *mistakes, int line, int column, const char *format, va_list args) {
    if (mistakes->n > WG_MAX_MISTAKES)
        return 0;
    char message[MESSAGE_SIZE] = "There are more mistakes than are listed here. Correct these first.";
    if (mistakes->n < WG_MAX_MISTAKES)
        (void)vsnprintf(message, sizeof message, format, args);
    else
        line = column = 0;
    if (reserve_mistake(mistakes) < 0)
        return WG_ERR_MEMORY;
    char *const kept = strdup(message);
    if (kept == NULL)
        return WG_ERR_MEMORY;
    mistakes->items[mistakes->n++] = (struct wg_mistake){.line = line, .column = column, .message = kept};
    return 0;
}

int wg_mistakes_add(struct wg_mistakes *mistakes, int line, int column, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const int code = wg_mistakes_add_list(mistakes, line, column, format, args);
    va_end(args);
    return code;
}

/* Mistakes of the file as a whole come last. */
static bool is_before(const struct wg_mistake *a, const struct wg_mistake *b) {
    if (a->line != b->line)
        return a->line != 0 && (b->line == 0 || a->line < b->line);
    return a->column < b->column;
}

/* Insertion sort: stable, and the list is short and nearly sorted. */
void wg_mistakes_sort(struct wg_mistakes *mistakes) {
    for (size_t i = 1; i < mistakes->n; i++) {
        const struct wg_mistake item = mistakes->items[i];
        size_t at = i;
        for (; at > 0 && is_before(&item, &mistakes->items[at - 1]); at--)
            mistakes->items[at] = mistakes->items[at - 1];
        mistakes->items[at] = item;
    }
}

/* ---- formatting ---- */

size_t wg_utf8_size(const char *p, const char *end) {
    const unsigned char lead = (unsigned char)*p;
    const size_t due = lead < 0xC2 || lead > 0xF4 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
    for (size_t i = 1; i < due; i++)
        if (p + i >= end || ((unsigned char)p[i] & 0xC0) != 0x80)
            return 1;
    /* the second byte tells what is spelt too long, half of a UTF-16 pair, or beyond all characters (RFC 3629) */
    const unsigned char second = due > 1 ? (unsigned char)p[1] : 0;
    const bool is_none = (lead == 0xE0 && second < 0xA0) || (lead == 0xED && second > 0x9F) ||
                         (lead == 0xF0 && second < 0x90) || (lead == 0xF4 && second > 0x8F);
    return is_none ? 1 : due;
}

/* What a terminal would obey rather than show: C0, DEL, C1, the marks that turn the direction of writing, stray bytes. */
static bool is_control(const char *p, size_t n) {
    const unsigned char *const u = (const unsigned char *)p;
    if (n == 1)
        return u[0] < 0x20 || u[0] >= 0x7F;
    if (n == 2)
        return u[0] == 0xC2 && u[1] < 0xA0;
    return n == 3 && u[0] == 0xE2 &&
           ((u[1] == 0x80 && ((u[2] >= 0x8E && u[2] <= 0x8F) || (u[2] >= 0xA8 && u[2] <= 0xAE))) ||
            (u[1] == 0x81 && u[2] >= 0xA6 && u[2] <= 0xA9));
}

/* Writes one character as it may be shown; tabs become a space so that the caret fits. */
static void put_character(FILE *out, const char *p, size_t n) {
    if (n == 1 && *p == '\t')
        (void)fputc(' ', out);
    else if (is_control(p, n))
        (void)fputc('?', out);
    else
        (void)fwrite(p, 1, n, out);
}

static void put_clean(FILE *out, const char *text) {
    const char *const end = text + strlen(text);
    while (text < end) {
        const size_t n = wg_utf8_size(text, end);
        put_character(out, text, n);
        text += n;
    }
}

static const char *line_start(const char *source, int line) {
    for (int i = 1; i < line; i++) {
        source = strchr(source, '\n');
        if (source == NULL)
            return NULL;
        source++;
    }
    return source;
}

/* Writes the source line, truncated around the column, and the caret below. */
static void put_source(FILE *out, const char *source, int line, int column) {
    const char *p = line_start(source, line);
    if (p == NULL)
        return;
    const char *end = strchr(p, '\n');
    if (end == NULL)
        end = p + strlen(p);
    if (end > p && end[-1] == '\r')
        end--;
    if (line == 1 && strncmp(p, "\xEF\xBB\xBF", 3) == 0) /* a byte order mark has no width */
        p += 3;
    const int first = column > SHOWN_COLUMNS * 3 / 4 ? column - SHOWN_COLUMNS / 2 : 1;
    (void)fputs(first > 1 ? "\n  ..." : "\n  ", out);
    for (int at = 1; p < end && at < first + SHOWN_COLUMNS; at++) {
        const size_t n = wg_utf8_size(p, end);
        if (at >= first)
            put_character(out, p, n);
        p += n;
    }
    (void)fprintf(out, "%s\n  %*s^", p < end ? "..." : "", (first > 1 ? 3 : 0) + column - first, "");
}

char *wg_mistake_text(const struct wg_mistakes *mistakes, size_t i) {
    const struct wg_mistake *const mistake = &mistakes->items[i];
    char *text = NULL;
    size_t size = 0;
    FILE *const out = open_memstream(&text, &size);
    if (out == NULL)
        return NULL;
    put_clean(out, mistakes->path == NULL ? "scenario" : mistakes->path);
    if (mistake->line > 0)
        (void)fprintf(out, ":%d:%d", mistake->line, mistake->column);
    (void)fputs(": error: ", out);
    put_clean(out, mistake->message);
    if (mistake->line > 0 && mistakes->source != NULL)
        put_source(out, mistakes->source, mistake->line, mistake->column);
    (void)fputc('\n', out);
    if (fclose(out) != 0) {
        free(text);
        return NULL;
    }
    return text;
}
