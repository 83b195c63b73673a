/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes a tree as YAML: what fits on a line in brackets, everything else as a block.
 */
#include "records/yaml.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINE_COLUMNS 110
#define INDENT 2

/* Letters, digits and what has no meaning in YAML within a plain text. */
static bool is_plain_text(const char *text) {
    static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 ._/()%$+-";
    const size_t n = strlen(text);
    return n > 0 && strspn(text, plain) == n && text[0] != ' ' && text[n - 1] != ' ' && text[0] != '%' &&
           !(text[0] == '-' && (n == 1 || text[1] == ' ' || text[1] == '-')) && strncmp(text, "...", 3) != 0;
}

static void put_text(FILE *out, const char *text) {
    if (is_plain_text(text)) {
        (void)fputs(text, out);
        return;
    }
    (void)fputc('"', out);
    for (; *text != '\0'; text++)
        switch (*text) {
        case '\n':
            (void)fputs("\\n", out);
            break;
        case '\t':
            (void)fputs("\\t", out);
            break;
        case '"':
        case '\\':
            (void)fputc('\\', out);
            (void)fputc(*text, out);
            break;
        default:
            (void)fputc(*text, out);
        }
    (void)fputc('"', out);
}

static void put_yaml_flow(FILE *out, const struct wg_yaml_node *node) {
    if (node->kind == WG_YAML_TEXT) {
        put_text(out, node->text);
        return;
    }
    (void)fputc(node->kind == WG_YAML_MAP ? '{' : '[', out);
    for (const struct wg_yaml_node *value = node->first; value != NULL; value = value->next) {
        if (node->kind == WG_YAML_MAP) {
            put_text(out, value->key->text);
            (void)fputs(": ", out);
        }
        put_yaml_flow(out, value);
        (void)fputs(value->next != NULL ? ", " : "", out);
    }
    (void)fputc(node->kind == WG_YAML_MAP ? '}' : ']', out);
}

/* Length on one line; bounded above, so that long trees are not measured to their end. */
static size_t flow_length(const struct wg_yaml_node *node) {
    if (node->kind == WG_YAML_TEXT)
        return strlen(node->text) + 2;
    size_t n = 2;
    for (const struct wg_yaml_node *value = node->first; value != NULL && n <= LINE_COLUMNS; value = value->next)
        n += flow_length(value) + 2 + (node->kind == WG_YAML_MAP ? strlen(value->key->text) + 4 : 0);
    return n;
}

static bool fits(const struct wg_yaml_node *node, int column) {
    return node->kind == WG_YAML_TEXT || node->first == NULL || flow_length(node) + (size_t)column <= LINE_COLUMNS;
}

/* Writes a map or list from a column on, to which the output has been indented already. */
static void put_yaml_block(FILE *out, const struct wg_yaml_node *node, int column) {
    for (const struct wg_yaml_node *value = node->first; value != NULL; value = value->next) {
        if (value != node->first)
            (void)fprintf(out, "%*s", column, "");
        int at = column + INDENT;
        if (node->kind == WG_YAML_MAP) {
            put_text(out, value->key->text);
            (void)fputc(':', out);
            at += (int)strlen(value->key->text);
        } else {
            (void)fputc('-', out);
        }
        if (fits(value, at)) {
            (void)fputc(' ', out);
            put_yaml_flow(out, value);
            (void)fputc('\n', out);
        } else {
            if (node->kind == WG_YAML_MAP)
                (void)fprintf(out, "\n%*s", column + INDENT, "");
            else
                (void)fputc(' ', out);
            put_yaml_block(out, value, column + INDENT);
        }
    }
}

char *wg_yaml_write(const struct wg_yaml_node *root, size_t *size) {
    char *text = NULL;
    FILE *const out = open_memstream(&text, size);
    if (out == NULL)
        return NULL;
    put_yaml_block(out, root, 0);
    const bool failed = ferror(out) != 0;
    if (fclose(out) != 0 || failed) {
        free(text);
        return NULL;
    }
    return text;
}
