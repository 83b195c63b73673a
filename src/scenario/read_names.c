/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads the names of bins and places, one or a list.
 */
#include "scenario/read.h"

#include "text/nearest_word.h"

#include <string.h>

int wg_read_find_bin(const struct wg_scenario_reader *reader, const char *name) {
    for (int i = 0; i < reader->plan->n_bins; i++)
        if (strcmp(reader->plan->bins[i].name, name) == 0)
            return i;
    return -1;
}

int wg_read_find_place(const struct wg_scenario_reader *reader, const char *name) {
    for (int i = 0; i < reader->plan->n_places; i++)
        if (strcmp(reader->plan->places[i].name, name) == 0)
            return i;
    return -1;
}

void wg_read_unknown_name(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, bool bins, bool places) {
    const char *names[WG_MAX_BINS + WG_MAX_PLACES + 1];
    int n = 0;
    for (int i = 0; bins && i < reader->plan->n_bins; i++)
        if (reader->plan->bins[i].name[0] != '\0')
            names[n++] = reader->plan->bins[i].name;
    for (int i = 0; places && i < reader->plan->n_places; i++)
        if (reader->plan->places[i].name[0] != '\0')
            names[n++] = reader->plan->places[i].name;
    names[n] = NULL;
    const char *const kind = bins && places ? "bin or place" : bins ? "bin" : "place";
    const bool other =
        (!bins && wg_read_find_bin(reader, at->text) >= 0) || (!places && wg_read_find_place(reader, at->text) >= 0);
    const char *const nearest = wg_word_nearest(at->text, names);
    char list[300];
    wg_word_list(names, list, sizeof list);
    if (other)
        wg_read_mistake(reader, at, "\"%s\" is a %s, but a %s is needed here: %s.", at->text, bins ? "place" : "bin",
                        kind, list);
    else if (n == 0 && reader->problems->n > 0)
        return; /* that there are none at all has been said */
    else if (nearest != NULL)
        wg_read_mistake(reader, at, "There is no %s \"%.60s\". Did you mean \"%s\"?", kind, at->text, nearest);
    else
        wg_read_mistake(reader, at, "There is no %s \"%.60s\". It can be %s.", kind, at->text, list);
}

bool wg_read_place_name(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, bool is_bin, int *out) {
    if (wg_read_text(reader, node, is_bin ? "the name of a bin" : "the name of a place",
                     is_bin ? "trough" : "hoop house") == NULL)
        return false;
    *out = (is_bin ? wg_read_find_bin : wg_read_find_place)(reader, node->text);
    if (*out < 0)
        wg_read_unknown_name(reader, node, is_bin, !is_bin);
    return *out >= 0;
}

/* Whether somebody who writes this means all. */
static bool means_all(const char *text) {
    static const char *const words[] = {"everywhere", "every",     "each",       "everything",  "both", "*",
                                        "all bins",   "every bin", "all places", "every place", NULL};
    return wg_word_index(text, words) >= 0;
}

/* Adds the bin or place of a name. */
static bool add_target(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, bool is_bin,
                       struct wg_targets *targets) {
    int found = -1;
    const bool known =
        node->kind == WG_YAML_TEXT && (is_bin ? wg_read_find_bin : wg_read_find_place)(reader, node->text) >= 0;
    if (node->kind == WG_YAML_TEXT && !known && means_all(node->text)) {
        wg_read_mistake(reader, node, "Write in: all for every %s, or name %s.", is_bin ? "bin" : "place",
                        is_bin ? "the bin" : "the place");
        return false;
    }
    if (node->kind == WG_YAML_TEXT && !known && strchr(node->text, ',') != NULL) {
        wg_read_mistake(reader, node, "Put [ ] around a list of names: in: [%.200s].", node->text);
        return false;
    }
    if (!wg_read_place_name(reader, node, is_bin, &found))
        return false;
    for (int i = 0; i < targets->n; i++)
        if (targets->index[i] == found) {
            wg_read_mistake(reader, node, "The list has \"%s\" twice. Keep one of them.", node->text);
            return false;
        }
    targets->index[targets->n++] = found;
    return true;
}

bool wg_read_targets(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                     struct wg_targets *targets) {
    const struct wg_yaml_node *const node = wg_read_required(reader, map, group, "in");
    const bool is_bin = wg_read_key_row(group, "in")->kind == WG_KEY_BIN;
    const int n = is_bin ? reader->plan->n_bins : reader->plan->n_places;
    bool good = true;
    targets->n = 0;
    if (node == NULL)
        return false;
    const bool is_text = node->kind == WG_YAML_TEXT;
    if (is_text && strcmp(node->text, "all") == 0 && n > 0 &&
        (is_bin ? wg_read_find_bin : wg_read_find_place)(reader, node->text) < 0) {
        for (; targets->n < n; targets->n++)
            targets->index[targets->n] = targets->n;
        return true;
    }
    if (node->kind != WG_YAML_LIST)
        return add_target(reader, node, is_bin, targets);
    if (node->n == 0)
        wg_read_mistake(reader, node, "This list is empty. Name what you mean, or write in: all.");
    for (const struct wg_yaml_node *item = node->first; item != NULL && targets->n < WG_MAX_BINS; item = item->next)
        good &= add_target(reader, item, is_bin, targets);
    return good && node->n > 0;
}
