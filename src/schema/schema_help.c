/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints the schema and the model's numbers as help and as Markdown.
 */
#include "schema/schema.h"

#include "species/species.h"
#include "text/nearest_word.h"
#include "text/roff.h"

#include <string.h>
#include <strings.h>

#define MAX_NAMES 512

/* ---- one key ---- */

/* The text of the default, "" if there is none. */
static const char *default_of(const struct wg_key *key) {
    if (key->flags & WG_KEY_REQUIRED)
        return "required";
    if (key->otherwise != NULL)
        return key->otherwise;
    if (key->flags & WG_KEY_IMPLIED)
        return "the defaults of its keys";
    return key->flags & WG_KEY_DERIVED ? "follows from other keys" : "";
}

static void print_key(FILE *to, enum wg_group_id group, const struct wg_key *key) {
    char value[WG_SCHEMA_TEXT];
    const char *const silent = default_of(key);
    wg_schema_value_text(key, value);
    (void)fprintf(to, "%s: %s\n    %s\n    Value: %s.\n", wg_schema_group(group)->name, key->name, key->help, value);
    if (key->flags & WG_KEY_REQUIRED)
        (void)fputs("    Required.\n", to);
    else if (*silent != '\0')
        (void)fprintf(to, "    Default: %s.\n", silent);
    if (key->only != NULL)
        (void)fprintf(to, "    Note: %s.\n", key->only);
    if (key->example != NULL)
        (void)fprintf(to, "    Example: %s: %s\n", key->name, key->example);
}

static bool has_parameter(const struct wg_key *key) {
    return wg_species_find(key->name) != NULL;
}

void wg_schema_print_groups(FILE *to) {
    (void)fputs("The keys of a scenario, by group; * marks a required key.\n"
                "Help on one key or group: wintergrub help scenario KEY.\n\n",
                to);
    for (int g = 0; g < WG_N_GROUPS; g++) {
        const struct wg_group *const group = wg_schema_group((enum wg_group_id)g);
        (void)fprintf(to, "%-18s", group->name);
        for (const struct wg_key *key = group->keys; key->name != NULL; key++)
            (void)fprintf(to, " %s%s", key->name, key->flags & WG_KEY_REQUIRED ? "*" : "");
        (void)fputs(g == WG_GROUP_SPECIES ? " and the model's numbers (wintergrub help numbers)\n" : "\n", to);
    }
}

int wg_schema_print_key(FILE *to, const char *name) {
    const char *const dot = strrchr(name, '.'), *const last = dot != NULL ? dot + 1 : name;
    const size_t length = dot != NULL ? (size_t)(dot - name) : 0;
    struct wg_key key;
    int n = 0;
    for (int g = 0; g < WG_N_GROUPS; g++) {
        const char *const group = wg_schema_group((enum wg_group_id)g)->name;
        const bool is_group = strcmp(group, name) == 0;
        const bool is_other = dot != NULL && (strncmp(group, name, length) != 0 || group[length] != '\0');
        if (is_group)
            (void)fprintf(to, "%s%s: %s\n\n", n > 0 ? "\n" : "", group, wg_schema_group((enum wg_group_id)g)->help);
        for (int i = 0; wg_schema_key((enum wg_group_id)g, i, &key); i++) {
            if (!(is_group ? !has_parameter(&key) : !is_other && strcmp(key.name, last) == 0))
                continue;
            (void)fputs(n++ > 0 && !is_group ? "\n" : "", to);
            print_key(to, (enum wg_group_id)g, &key);
        }
    }
    return n;
}

static int all_names(const char *names[MAX_NAMES]) {
    struct wg_key key;
    int n = 0;
    for (int g = 0; g < WG_N_GROUPS; g++) {
        names[n++] = wg_schema_group((enum wg_group_id)g)->name;
        for (int i = 0; wg_schema_key((enum wg_group_id)g, i, &key); i++)
            names[n++] = key.name;
    }
    wg_assert(n < MAX_NAMES);
    names[n] = NULL;
    return n;
}

const char *wg_schema_nearest(const char *name) {
    const char *names[MAX_NAMES];
    const char *const dot = strrchr(name, '.');
    (void)all_names(names);
    return wg_word_nearest(dot != NULL ? dot + 1 : name, names);
}

/* ---- the model's numbers ---- */

static bool holds(const char *text, const char *word) {
    for (; *text != '\0'; text++)
        if (strncasecmp(text, word, strlen(word)) == 0)
            return true;
    return false;
}

static void show_parameter(const struct wg_parameter *p, double value, char out[WG_QUANTITY_SHOWN_SIZE]) {
    wg_quantity_show((enum wg_dimension)wg_dimension_of_unit(p->unit), value, out);
}

static void print_parameter(FILE *to, const struct wg_parameter *p) {
    struct wg_species keepers, laboratory;
    char usual[WG_QUANTITY_SHOWN_SIZE], other[WG_QUANTITY_SHOWN_SIZE], least[WG_QUANTITY_SHOWN_SIZE],
        most[WG_QUANTITY_SHOWN_SIZE];
    (void)wg_species_set(&keepers, "keepers");
    (void)wg_species_set(&laboratory, "laboratory");
    show_parameter(p, wg_species_get(&keepers, p), usual);
    show_parameter(p, wg_species_get(&laboratory, p), other);
    show_parameter(p, p->least, least);
    show_parameter(p, p->most, most);
    (void)fprintf(to, "\n%s: %s\n    %s.\n    ", p->name, usual, p->text);
    if (strcmp(usual, other) != 0)
        (void)fprintf(to, "Laboratory: %s. ", other);
    (void)fprintf(to, "Limits: %s to %s.\n    Source: %s.\n", least, most, p->source);
}

int wg_numbers_print(FILE *to, const char *word) {
    int n = 0;
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        if (word != NULL && !holds(p->name, word) && !holds(p->text, word))
            continue;
        n++;
        if (word != NULL)
            print_parameter(to, p);
        else
            (void)fprintf(to, "%-26s %s\n", p->name, p->text);
    }
    return n;
}

const char *wg_numbers_nearest(const char *word) {
    const char *names[MAX_NAMES];
    int n = 0;
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++)
        names[n++] = p->name;
    names[n] = NULL;
    return wg_word_nearest(word, names);
}

/* ---- Markdown ---- */

static void print_row(FILE *to, const struct wg_key *key) {
    char value[WG_SCHEMA_TEXT];
    const char *const silent = default_of(key);
    wg_schema_value_text(key, value);
    (void)fprintf(to, "| `%s` | %s | %s | `%s` | %s%s%s%s |\n", key->name, value, silent, key->example, key->help,
                  key->only != NULL ? " (" : "", key->only != NULL ? key->only : "", key->only != NULL ? ")" : "");
}

static void print_markdown_numbers(FILE *to) {
    struct wg_species keepers;
    char usual[WG_QUANTITY_SHOWN_SIZE], least[WG_QUANTITY_SHOWN_SIZE], most[WG_QUANTITY_SHOWN_SIZE];
    (void)wg_species_set(&keepers, "keepers");
    (void)fputs(
        "\n### the model's numbers\n\nEach is also a key of `species`. `wintergrub help numbers WORD` also shows "
        "the laboratory's value and the source.\n\n| number | keepers | from | to | meaning |\n|---|---|---|---|---|\n",
        to);
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        show_parameter(p, wg_species_get(&keepers, p), usual);
        show_parameter(p, p->least, least);
        show_parameter(p, p->most, most);
        (void)fprintf(to, "| `%s` | %s | %s | %s | %s |\n", p->name, usual, least, most, p->text);
    }
}

void wg_schema_print_markdown(FILE *to) {
    (void)fputs("# Scenarios\n\n"
                "The files in this folder are examples to start from. This page lists every key of a scenario; "
                "`wintergrub help "
                "scenario KEY` prints the\nsame for one key, and `wintergrub.schema.json` is for editors. A "
                "quantity carries its unit (`65 degF`, `3 lb`,\n`R-13`), a share is a percentage, a date is "
                "2026-11-15, a day of the year 11-15. A file is YAML of at most 256 KiB.\n\n"
                "`wintergrub help scenario --markdown` prints this page.\n",
                to);
    for (int g = 0; g < WG_N_GROUPS; g++) {
        const struct wg_group *const group = wg_schema_group((enum wg_group_id)g);
        (void)fprintf(to, "\n## %s\n\n%s\n\n| key | value | default | example | meaning |\n|---|---|---|---|---|\n",
                      group->name, group->help);
        for (const struct wg_key *key = group->keys; key->name != NULL; key++)
            print_row(to, key);
        if (g == WG_GROUP_SPECIES)
            print_markdown_numbers(to);
    }
}

/* ---- manual pages ---- */

/* "Value: a day of the year." on a line of the source. */
static void put_fact(FILE *to, const char *name, const char *text) {
    (void)fprintf(to, "%s: ", name);
    wg_roff_text(to, text);
    (void)fputs(".\n", to);
}

static void print_manual_key(FILE *to, const struct wg_key *key) {
    char value[WG_SCHEMA_TEXT];
    const char *const silent = default_of(key);
    wg_schema_value_text(key, value);
    wg_roff_tagged(to, key->name, key->help);
    (void)fputs(".br\n", to);
    put_fact(to, "Value", value);
    if (key->flags & WG_KEY_REQUIRED)
        (void)fputs("Required.\n", to);
    else if (*silent != '\0')
        put_fact(to, "Default", silent);
    if (key->only != NULL)
        put_fact(to, "Note", key->only);
    if (key->example == NULL)
        return;
    (void)fputs(".br\n\\fI", to);
    wg_roff_text(to, key->name);
    (void)fputs(": ", to);
    wg_roff_text(to, key->example);
    (void)fputs("\\fR\n", to);
}

void wg_schema_print_manual(FILE *to) {
    for (int g = 0; g < WG_N_GROUPS; g++) {
        const struct wg_group *const group = wg_schema_group((enum wg_group_id)g);
        (void)fputs(".SS ", to);
        wg_roff_text(to, group->name);
        (void)fputc('\n', to);
        wg_roff_text(to, group->help);
        (void)fputc('\n', to);
        for (const struct wg_key *key = group->keys; key->name != NULL; key++)
            print_manual_key(to, key);
    }
}

void wg_numbers_print_manual(FILE *to) {
    struct wg_species keepers, laboratory;
    (void)wg_species_set(&keepers, "keepers");
    (void)wg_species_set(&laboratory, "laboratory");
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        char usual[WG_QUANTITY_SHOWN_SIZE], other[WG_QUANTITY_SHOWN_SIZE];
        show_parameter(p, wg_species_get(&keepers, p), usual);
        show_parameter(p, wg_species_get(&laboratory, p), other);
        wg_roff_tagged(to, p->name, p->text);
        (void)fputs(".br\n", to);
        put_fact(to, "Keepers", usual);
        put_fact(to, "Laboratory", other);
        put_fact(to, "Source", p->source);
    }
}
