/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Lists the value of every key of a scenario, group by group, with "(default)" after those the file leaves out.
 */
#include "outline/outline.h"
#include "outline/outline_walk.h"

#include <stdio.h>
#include <stdlib.h>

struct key_page {
    FILE *out;
    const struct wg_plan *plan;
    int n; /* keys of the group so far */
};

static void list_key(void *self, const struct wg_outline_group *group, const struct wg_outline_key *key) {
    struct key_page *const page = self;
    if (key->origin == WG_OUTLINE_LEFT_OUT)
        return;
    if (page->n == 0)
        (void)fprintf(page->out, group->is_line ? "%-12s" : "%s\n", group->label);
    (void)fprintf(page->out, group->is_line ? "%s%s: " : "%s  %-20s ", group->is_line && page->n > 0 ? "; " : "",
                  key->key->name);
    (void)fprintf(page->out, "%s%s%s", key->shown, key->origin == WG_OUTLINE_DEFAULT ? " (default)" : "",
                  group->is_line ? "" : "\n");
    page->n++;
}

static void end_group(void *self, const struct wg_outline_group *group) {
    struct key_page *const page = self;
    if (group->is_line)
        (void)fputc('\n', page->out);
    else if (group->id == WG_GROUP_SPECIES)
        (void)fprintf(page->out, "  all other numbers    as in %s (default)\n",
                      page->plan->animals == WG_ANIMALS_PLAUSIBLE ? "each animal" : "the set");
    page->n = 0;
}

static void list_openings(FILE *out, const struct wg_openings *openings) {
    for (int i = 0; i < openings->n; i++) {
        const struct wg_opening *const opening = &openings->opening[i];
        (void)fprintf(out, "try %-8d %s:", i + 1, opening->path);
        for (int k = 0; k < opening->levels.n; k++)
            (void)fprintf(out, "%s %s%s", k > 0 ? "," : "", opening->levels.level[k].text,
                          k == opening->now ? " (now)" : "");
        (void)fputc('\n', out);
    }
}

static int list_all(FILE *out, const struct wg_scenario *scenario, const struct wg_yaml_node *root,
                    const struct wg_openings *openings) {
    struct key_page page = {.out = out, .plan = &scenario->plan};
    const struct wg_outline_visitor visitor = {.key = list_key, .end = end_group, .self = &page};
    const int code = wg_outline_walk(scenario, root, openings, &visitor);
    list_openings(out, openings);
    return code;
}

char *wg_outline_keys(const struct wg_scenario *scenario) {
    struct wg_yaml yaml = {0};
    struct wg_mistakes problems = {0};
    struct wg_openings openings = {0};
    char *text = NULL;
    size_t size = 0;
    FILE *out = NULL;
    if (wg_yaml_read(&yaml, scenario->text, scenario->text_size, &problems) == 0 &&
        wg_openings_take(&openings, &yaml, &problems) == 0)
        out = open_memstream(&text, &size);
    const bool failed = out == NULL || list_all(out, scenario, yaml.root, &openings) < 0 || ferror(out) != 0;
    if ((out != NULL && fclose(out) != 0) || failed) {
        free(text);
        text = NULL;
    }
    wg_openings_free(&openings);
    wg_mistakes_free(&problems);
    wg_yaml_free(&yaml);
    return text;
}
