/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Searches the tree of a plan for a position.
 */
#include "browser/yaml_path.h"

#include "records/yaml.h"

#include <stdio.h>
#include <string.h>

struct path_search {
    int line, column;
    char path[WG_YAML_PATH];
    char *out;
};

static bool begins_at(const struct path_search *search, const struct wg_yaml_node *node) {
    return node != NULL && node->line == search->line && node->column == search->column;
}

static void search_below(struct path_search *search, const struct wg_yaml_node *node) {
    const size_t length = strlen(search->path);
    int number = 0;
    for (const struct wg_yaml_node *child = node->first; child != NULL; child = child->next) {
        char word[80];
        (void)snprintf(word, sizeof word, "%d", ++number);
        (void)snprintf(search->path + length, sizeof search->path - length, "%s%.79s", length > 0 ? "." : "",
                       child->key != NULL ? child->key->text : word);
        if (begins_at(search, child) || begins_at(search, child->key))
            (void)snprintf(search->out, WG_YAML_PATH, "%s", search->path);
        search_below(search, child);
        search->path[length] = '\0';
    }
}

void wg_yaml_path_at(const char *text, size_t size, int line, int column, char out[WG_YAML_PATH]) {
    struct wg_yaml yaml = {0};
    struct wg_mistakes problems = {0};
    struct path_search search = {.line = line, .column = column, .out = out};
    out[0] = '\0';
    if (line > 0 && wg_yaml_read(&yaml, text, size, &problems) == 0)
        search_below(&search, yaml.root);
    wg_mistakes_free(&problems);
    wg_yaml_free(&yaml);
}
