/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Finds openings in the tree of a plan, side by side with the schema, and writes the text of a candidate.
 */
#include "variants/openings.h"

#include "text/bytes.h"
#include "text/keepers_words.h"
#include "text/nearest_word.h"
#include "variants/schema_tree.h"
#include "variants/vary.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PATH_SIZE 160

struct opening_search {
    struct wg_openings *openings;
    struct wg_yaml *yaml;
    struct wg_mistakes *problems;
    const struct wg_yaml_node *choices; /* the value of `choose`, NULL if there is none */
    int code;
};

static void opening_mistake(struct opening_search *search, const struct wg_yaml_node *at, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static void opening_mistake(struct opening_search *search, const struct wg_yaml_node *at, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const size_t n = search->problems->n;
    if (wg_mistakes_add_list(search->problems, at->line, at->column, format, args) < 0)
        search->code = WG_ERR_MEMORY;
    else if (search->problems->n > n)
        search->problems->items[n].file = at->file;
    va_end(args);
}

/* ---- the tree ---- */

/* A value to try is a map with one of the words of an opening; no group has such a key. */
static bool is_open(const struct wg_yaml_node *node) {
    return wg_yaml_get(node, "try") != NULL || wg_yaml_get(node, "now") != NULL;
}

/* Returns a mutable view of a node: only this file changes a tree, while it replaces openings by `now`. */
static struct wg_yaml_node *writable(struct opening_search *search, const struct wg_yaml_node *node) {
    for (struct wg_yaml_node *each = search->yaml->allocated; each != NULL; each = each->allocated)
        if (each == node)
            return each;
    return NULL;
}

/* Gives a node the value of another and keeps its key and its neighbours. */
static void fold_value(struct opening_search *search, const struct wg_yaml_node *node,
                       const struct wg_yaml_node *value) {
    struct wg_yaml_node *const to = writable(search, node);
    char *copy = NULL;
    if (to == NULL || to == value)
        return;
    if (value->text != NULL) {
        const size_t size = strlen(value->text) + 1;
        copy = malloc(size);
        if (copy == NULL) {
            search->code = WG_ERR_MEMORY;
            return;
        }
        memcpy(copy, value->text, size);
    }
    free(to->text);
    to->text = copy;
    to->kind = value->kind;
    to->first = value->first;
    to->n = value->n;
    to->file = value->file;
    to->line = value->line;
    to->column = value->column;
    to->at = value->at;
    to->end = value->end;
}

/* Gives a node whose mistake has been reported a value that its key accepts, so that no other mistake follows. */
static void fold_example(struct opening_search *search, const struct wg_schema_spot *spot) {
    if (spot->key.example == NULL)
        return;
    char *const text = strdup(spot->key.example);
    struct wg_yaml_node example = *spot->node;
    if (text == NULL)
        search->code = WG_ERR_MEMORY;
    example.kind = WG_YAML_TEXT;
    example.first = NULL;
    example.n = 0;
    example.text = text;
    if (text != NULL)
        fold_value(search, spot->node, &example);
    free(text);
}

static void drop_key(struct opening_search *search, const struct wg_yaml_node *value) {
    struct wg_yaml_node *const root = search->yaml->root;
    struct wg_yaml_node **link = &root->first;
    while (*link != NULL && *link != value)
        link = &(*link)->next;
    if (*link == NULL)
        return;
    *link = (*link)->next;
    root->n--;
}

/* ---- values ---- */

/* Writes a scalar, in quotes if it would not be plain in brackets. */
static void put_scalar(const char *text, struct wg_bytes *out) {
    const size_t n = strlen(text);
    const bool is_plain = n > 0 && strpbrk(text, "{}[],:#\"\n\t") == NULL && strchr("&*!|>'%@`- ?", text[0]) == NULL &&
                          text[n - 1] != ' ';
    if (is_plain) {
        wg_bytes_put(out, text);
        return;
    }
    wg_bytes_put(out, "\"");
    for (const char *c = text; *c != '\0'; c++) {
        const char pair[] = {'\\', *c == '\n' ? 'n' : *c == '\t' ? 't' : *c};
        if (strchr("\"\\\n\t", *c) != NULL)
            wg_bytes_add(out, pair, 2);
        else
            wg_bytes_add(out, c, 1);
    }
    wg_bytes_put(out, "\"");
}

void wg_openings_put_value(const struct wg_yaml_node *node, struct wg_bytes *out) {
    const bool is_map = node->kind == WG_YAML_MAP;
    if (node->kind == WG_YAML_TEXT) {
        put_scalar(node->text, out);
        return;
    }
    wg_bytes_put(out, is_map ? "{" : "[");
    for (const struct wg_yaml_node *child = node->first; child != NULL; child = child->next) {
        if (child->key != NULL) {
            wg_openings_put_value(child->key, out);
            wg_bytes_put(out, ": ");
        }
        wg_openings_put_value(child, out);
        wg_bytes_put(out, child->next != NULL ? ", " : "");
    }
    wg_bytes_put(out, is_map ? "}" : "]");
}

/* Notes where the levels from number `first` on are written. */
static void place_levels(struct wg_levels *levels, int first, const struct wg_yaml_node *at) {
    for (int i = first; i < levels->n; i++) {
        levels->level[i].line = at->line;
        levels->level[i].column = at->column;
    }
}

static void add_level(struct opening_search *search, struct wg_opening *opening, const struct wg_yaml_node *value) {
    struct wg_bytes text = {0};
    wg_openings_put_value(value, &text);
    if (text.failed || wg_levels_add(&opening->levels, text.data != NULL ? text.data : "") < 0)
        search->code = WG_ERR_MEMORY;
    else
        place_levels(&opening->levels, opening->levels.n - 1, value);
    wg_bytes_free(&text);
}

static void refuse_empty_try(struct opening_search *search, const struct wg_yaml_node *node, const struct wg_key *key) {
    const char *const example = key->example != NULL ? key->example : "03-15";
    opening_mistake(search, node->key != NULL ? node->key : node,
                    "There is nothing to try here. Write a list, for example try: [%.60s], or a range such as try: 40 "
                    "to 80 degF by 5.",
                    example);
}

/* "000" in a list is what a comma has cut off "10,000". */
static bool is_end_of_thousands(const struct wg_yaml_node *item) {
    return item->kind == WG_YAML_TEXT && strcmp(item->text, "000") == 0;
}

/* Reads the value of `try`: a list, a range, or a single value. */
static void read_try(struct opening_search *search, struct wg_opening *opening, const struct wg_yaml_node *node,
                     const struct wg_key *key) {
    char message[WG_LEVELS_MESSAGE] = "";
    const size_t mistakes = search->problems->n;
    int code = 0;
    if (node->kind == WG_YAML_LIST) {
        for (const struct wg_yaml_node *item = node->first; item != NULL; item = item->next) {
            if (is_end_of_thousands(item)) {
                opening_mistake(search, item, "Write numbers without commas: 10000 for ten thousand.");
                return;
            }
            if (item->kind == WG_YAML_TEXT && wg_levels_is_range(item->text))
                opening_mistake(search, item, "A range stands alone, without brackets: try: %.60s.", item->text);
            else
                add_level(search, opening, item);
        }
    } else if (node->kind == WG_YAML_TEXT && wg_levels_is_range(node->text)) {
        code = wg_levels_add_range(&opening->levels, node->text, key->kind == WG_KEY_WHOLE, message);
        place_levels(&opening->levels, 0, node);
        if (code == WG_ERR_INPUT)
            opening_mistake(search, node, "%s", message);
        else if (code < 0)
            search->code = code;
    } else if (node->kind != WG_YAML_TEXT || node->text[0] != '\0') {
        add_level(search, opening, node);
    }
    if (opening->levels.n == 0 && search->problems->n == mistakes)
        refuse_empty_try(search, node, key);
}

/* Refuses a value that is written twice, and a list longer than a search could use. */
static void check_tried_levels(struct opening_search *search, struct wg_opening *opening,
                               const struct wg_yaml_node *at) {
    struct wg_levels *const levels = &opening->levels;
    for (int i = 1; i < levels->n; i++) {
        const int n = levels->n;
        levels->n = i;
        const int same = wg_levels_find(levels, levels->level[i].text);
        levels->n = n;
        if (same >= 0) {
            opening_mistake(search, at, "\"%.60s\" is tried twice here. Leave one out.", levels->level[i].text);
            return;
        }
    }
    if (levels->n > WG_MAX_LEVELS)
        opening_mistake(search, at, "These are %d values; at most %d can be tried.", levels->n, WG_MAX_LEVELS);
}

/* Refuses keys beside now, try and or. */
static void check_words(struct opening_search *search, const struct wg_yaml_node *node) {
    static const char *const words[] = {"now", "try", "or", NULL};
    bool seen[3] = {false};
    for (const struct wg_yaml_node *value = node->first; value != NULL; value = value->next) {
        const char *const word = value->key->text;
        const char *const meant = wg_keepers_key_meant(word, words);
        const char *const nearest = meant != NULL ? meant : wg_word_nearest(word, words);
        int i = 0;
        while (words[i] != NULL && strcmp(words[i], word) != 0)
            i++;
        if (words[i] != NULL && seen[i])
            opening_mistake(search, value->key, "\"%s\" is written twice here. Keep one of them.", word);
        else if (words[i] != NULL)
            seen[i] = true;
        else if (strcmp(word, "by") == 0)
            opening_mistake(search, value->key,
                            "The step belongs to the range: write for example try: 40 to 80 degF by %.20s.",
                            value->text != NULL ? value->text : "5");
        else if (nearest != NULL)
            opening_mistake(search, value->key, "There is no \"%.60s\" beside a value to try. Did you mean \"%s\"?",
                            word, nearest);
        else
            opening_mistake(search, value->key,
                            "There is no \"%.60s\" beside a value to try. Its keys are now, try and or.", word);
    }
}

static bool has_open_part(const struct wg_yaml_node *node) {
    for (const struct wg_yaml_node *child = node->first; child != NULL; child = child->next)
        if ((child->kind == WG_YAML_MAP && is_open(child)) || has_open_part(child))
            return true;
    return false;
}

/* Returns the value that the plan has without a search: now, or where it is missing the first that is tried. */
static const struct wg_yaml_node *value_now(const struct wg_yaml_node *node) {
    const struct wg_yaml_node *const now = wg_yaml_get(node, "now"), *const tried = wg_yaml_get(node, "try");
    if (now != NULL)
        return now;
    return tried != NULL && tried->kind == WG_YAML_LIST && tried->first != NULL ? tried->first : tried;
}

/* Reads {now: ..., try: ..., or: ...} into an opening. */
static void read_opening(struct opening_search *search, struct wg_opening *opening, const struct wg_yaml_node *node,
                         const struct wg_key *key) {
    const struct wg_yaml_node *const now = wg_yaml_get(node, "now"), *const tried = wg_yaml_get(node, "try"),
                                     *const other = wg_yaml_get(node, "or");
    const char *const name = node->key != NULL ? node->key->text : "this";
    const size_t mistakes = search->problems->n;
    check_words(search, node);
    if (search->problems->n > mistakes)
        return; /* what is missing may be what is misspelt */
    if (now == NULL)
        opening_mistake(search, node,
                        "\"%.60s\" needs \"now\", the value that run, check and compare use. Write for "
                        "example now: %.60s.",
                        name, key->example != NULL ? key->example : "04-25");
    if (tried == NULL && other == NULL)
        opening_mistake(search, node,
                        "\"%.60s\" needs \"try\" beside \"now\": what should be tried? Write for example "
                        "try: [%.60s].",
                        name, key->example != NULL ? key->example : "03-15, 04-25");
    if (has_open_part(node))
        opening_mistake(search, node,
                        "A value to try cannot have another one in it. Give each part its own try, or "
                        "write whole groups in one list.");
    if (search->problems->n > mistakes)
        return;
    if (tried != NULL)
        read_try(search, opening, tried, key);
    if (other != NULL)
        add_level(search, opening, other);
    struct wg_bytes text = {0};
    wg_openings_put_value(now, &text);
    if (text.failed || text.data == NULL) {
        search->code = WG_ERR_MEMORY;
        return;
    }
    if (wg_levels_share_unit(&opening->levels, text.data) < 0)
        search->code = WG_ERR_MEMORY;
    check_tried_levels(search, opening, tried != NULL ? tried : other);
    if (wg_levels_find(&opening->levels, text.data) < 0) {
        add_level(search, opening, now);
        wg_levels_last_first(&opening->levels);
    }
    wg_levels_sort(&opening->levels);
    opening->now = wg_levels_find(&opening->levels, text.data);
    if (opening->levels.n < 2 && search->problems->n == mistakes)
        opening_mistake(search, node, "This tries only what is there now. Write other values, too.");
    wg_bytes_free(&text);
}

static struct wg_opening *new_opening(struct opening_search *search, const struct wg_yaml_node *at, const char *path) {
    struct wg_openings *const openings = search->openings;
    if (openings->n == WG_MAX_OPENINGS) {
        opening_mistake(search, at, "This is one value too many to try: a plan may leave %d open.", WG_MAX_OPENINGS);
        return NULL;
    }
    if (openings->opening == NULL)
        openings->opening = calloc(WG_MAX_OPENINGS, sizeof *openings->opening);
    if (openings->opening == NULL) {
        search->code = WG_ERR_MEMORY;
        return NULL;
    }
    struct wg_opening *const opening = &openings->opening[openings->n++];
    (void)snprintf(opening->path, sizeof opening->path, "%s", path);
    opening->line = at->line;
    opening->column = at->column;
    return opening;
}

/* ---- places ---- */

static void add_use(struct opening_search *search, struct wg_opening *opening, const struct wg_schema_spot *spot) {
    const struct wg_yaml_node *const node = spot->node;
    const bool has_colon = node->kind != WG_YAML_TEXT && !node->has_brackets && node->key != NULL;
    const size_t at = has_colon ? node->key->end : node->at;
    if (opening->n_uses == WG_MAX_USES) {
        opening_mistake(search, node, "This is one use too many: a choice may be used %d times.", WG_MAX_USES);
        return;
    }
    opening->use[opening->n_uses++] = (struct wg_opening_use){.at = at,
                                                              .length = node->end - at,
                                                              .has_colon = has_colon,
                                                              .line = node->line,
                                                              .column = node->column,
                                                              .key = spot->key,
                                                              .owner = spot->owner};
}

static bool is_choosable(const struct wg_schema_spot *spot) {
    return spot->node->key != NULL && spot->key.name != NULL && wg_schema_may_try(spot->owner, &spot->key);
}

static void refuse_place(struct opening_search *search, const struct wg_schema_spot *spot, const char *path) {
    const struct wg_yaml_node *const node = spot->node;
    const char *const name = node->key != NULL ? node->key->text : "an item of a list";
    const bool is_part = strncmp(path, "places", 6) == 0 || strncmp(path, "starter", 7) == 0 ||
                         strncmp(path, "feeding", 7) == 0 || strncmp(path, "keeping", 7) == 0;
    const struct wg_yaml_node *const now = value_now(node);
    if (is_part)
        opening_mistake(search, node,
                        "\"try\" cannot stand for %s: it stands behind a key whose value you can choose, "
                        "for example set_point: {now: 70 degF, try: 40 to 80 degF by 5}.",
                        name);
    else
        opening_mistake(search, node,
                        "\"try\" cannot stand for %s: only places, starter, feeding and keeping are "
                        "yours to choose. Write one value here.",
                        name);
    if (now != NULL)
        fold_value(search, node, now);
}

/* Gives a node that names a choice the choice's value of now, or an example where the choice has none, which is reported. */
static void fold_choice(struct opening_search *search, const struct wg_schema_spot *spot, const char *name) {
    const struct wg_yaml_node *const now = value_now(wg_yaml_get(search->choices, name));
    if (now != NULL)
        fold_value(search, spot->node, now);
    else
        fold_example(search, spot);
}

static const struct wg_opening *choice_named(const struct opening_search *search, const char *name) {
    for (int i = 0; i < search->openings->n; i++)
        if (search->openings->opening[i].is_choice && strcmp(search->openings->opening[i].path + 7, name) == 0)
            return &search->openings->opening[i];
    return NULL;
}

/* Suggests a choice for a misspelt name where a number or date is due. */
static void suggest_choice(struct opening_search *search, const struct wg_schema_spot *spot) {
    const char *names[WG_MAX_OPENINGS + 1];
    const char *const word = spot->node->text;
    int n = 0;
    for (int i = 0; i < search->openings->n; i++)
        if (search->openings->opening[i].is_choice)
            names[n++] = search->openings->opening[i].path + 7;
    names[n] = NULL;
    if (n == 0 || !isalpha((unsigned char)word[0]))
        return;
    for (int i = 0; spot->key.words != NULL && spot->key.words[i] != NULL; i++)
        if (strcmp(spot->key.words[i], word) == 0)
            return;
    const char *const nearest = wg_word_nearest(word, names);
    if (nearest == NULL)
        return;
    opening_mistake(search, spot->node, "There is no choice \"%.60s\". Did you mean \"%s\"?", word, nearest);
    add_use(search, &search->openings->opening[choice_named(search, nearest) - search->openings->opening], spot);
    fold_choice(search, spot, nearest);
}

/* Whether `choose` has the name, but with a mistake, which has been reported. */
static bool is_wrong_choice(const struct wg_yaml_node *choices, const char *name) {
    if (choices == NULL || choices->kind == WG_YAML_LIST)
        return false;
    return choices->kind == WG_YAML_MAP ? wg_yaml_get(choices, name) != NULL : strcmp(choices->text, name) == 0;
}

static void use_choice(struct opening_search *search, const struct wg_schema_spot *spot) {
    const struct wg_opening *const choice = choice_named(search, spot->node->text);
    if (!wg_schema_may_name_choice(&spot->key))
        return; /* a bin may have the same name */
    if (choice == NULL && is_wrong_choice(search->choices, spot->node->text)) {
        fold_example(search, spot);
        return;
    }
    if (choice == NULL) {
        suggest_choice(search, spot);
        return;
    }
    struct wg_opening *const opening = &search->openings->opening[choice - search->openings->opening];
    add_use(search, opening, spot);
    fold_choice(search, spot, spot->node->text);
}

static void open_value(struct opening_search *search, const struct wg_schema_spot *spot, const char *path) {
    const struct wg_yaml_node *const now = wg_yaml_get(spot->node, "now");
    struct wg_opening *const opening = new_opening(search, spot->node, path);
    if (opening == NULL)
        return;
    read_opening(search, opening, spot->node, &spot->key);
    (void)wg_vary_word_path(path, opening->subject);
    add_use(search, opening, spot);
    if (now != NULL)
        fold_value(search, spot->node, now);
    else
        fold_example(search, spot);
}

static void walk(struct opening_search *search, const struct wg_schema_spot *spot, const char *path);

static void walk_children(struct opening_search *search, const struct wg_schema_spot *spot, const char *path) {
    char below[PATH_SIZE];
    int number = 0;
    for (const struct wg_yaml_node *child = spot->node->first; child != NULL; child = child->next) {
        const struct wg_yaml_node *const name = wg_yaml_get(child, "name");
        char word[64];
        (void)snprintf(word, sizeof word, "%d", ++number);
        const char *const item = child->key != NULL                           ? child->key->text
                                 : name != NULL && name->kind == WG_YAML_TEXT ? name->text
                                                                              : word;
        (void)snprintf(below, sizeof below, "%s%s%.80s", path, path[0] != '\0' ? "." : "", item);
        const struct wg_schema_spot at = wg_schema_enter(spot, child);
        walk(search, &at, below);
    }
}

static void walk(struct opening_search *search, const struct wg_schema_spot *spot, const char *path) {
    const struct wg_yaml_node *const node = spot->node;
    if (node == search->choices)
        return;
    const bool is_opening = node->kind == WG_YAML_MAP && is_open(node);
    if (is_opening && !is_choosable(spot))
        refuse_place(search, spot, path);
    else if (is_opening)
        open_value(search, spot, path);
    else if (node->kind == WG_YAML_TEXT && is_choosable(spot))
        use_choice(search, spot);
    else
        walk_children(search, spot, path);
}

/* ---- choices ---- */

static bool is_fit_name(const char *name) {
    static const char *const taken[] = {"none", "off", "on", "yes", "no", "true", "false", "never", "now", "try", "or"};
    for (size_t i = 0; i < sizeof taken / sizeof *taken; i++)
        if (strcmp(taken[i], name) == 0)
            return false;
    return isalpha((unsigned char)name[0]) && strlen(name) < 40;
}

static void read_named_choice(struct opening_search *search, const struct wg_yaml_node *node) {
    static const struct wg_key any = {.kind = WG_KEY_TEXT};
    char path[PATH_SIZE];
    const char *const name = node->key->text;
    (void)snprintf(path, sizeof path, "choose.%.60s", name);
    if (!is_fit_name(name)) {
        opening_mistake(search, node->key, "A choice needs a name of its own, a word such as wake: not \"%.40s\".",
                        name);
        return;
    }
    if (choice_named(search, name) != NULL) {
        opening_mistake(search, node->key, "\"%.60s\" is written twice in choose. Keep one of them.", name);
        return;
    }
    if (node->kind != WG_YAML_MAP) {
        opening_mistake(search, node,
                        "A choice needs now and try, for example %.60s: {now: 04-25, try: [03-15, 04-25]}.", name);
        return;
    }
    struct wg_opening *const opening = new_opening(search, node->key, path);
    if (opening == NULL)
        return;
    opening->is_choice = true;
    (void)snprintf(opening->subject, sizeof opening->subject, "%.60s", name);
    read_opening(search, opening, node, &any);
}

static void read_named_choices(struct opening_search *search) {
    const struct wg_yaml_node *const choices = search->choices;
    if (choices == NULL)
        return;
    if (choices->kind != WG_YAML_MAP || choices->n == 0) {
        opening_mistake(search, choices->key,
                        "Name what you choose, for example choose: {wake: {now: 04-25, try: "
                        "[03-15, 04-25]}}, and write its name where its value goes, for example on: wake.");
        return;
    }
    for (const struct wg_yaml_node *node = choices->first; node != NULL; node = node->next)
        read_named_choice(search, node);
    search->openings->choose_at = choices->key->at;
    search->openings->choose_length = choices->end - choices->key->at;
}

static void report_unused_choices(struct opening_search *search) {
    for (int i = 0; i < search->openings->n; i++) {
        const struct wg_opening *const opening = &search->openings->opening[i];
        const struct wg_yaml_node at = {.line = opening->line, .column = opening->column};
        if (opening->n_uses == 0)
            opening_mistake(search, &at,
                            "Nothing uses the choice \"%s\". Write its name where its value goes, for "
                            "example on: %s.",
                            opening->subject, opening->subject);
    }
}

static void report_too_many_plans(struct opening_search *search) {
    const double plans = wg_openings_plans(search->openings);
    if (!(plans > WG_MAX_PLANS))
        return;
    const struct wg_opening *const last = &search->openings->opening[search->openings->n - 1];
    const struct wg_yaml_node at = {.line = last->line, .column = last->column};
    opening_mistake(search, &at,
                    "All values to try together make %.1e plans; at most a thousand million (1e9) can be "
                    "searched. Try fewer values.",
                    plans);
}

int wg_openings_take(struct wg_openings *openings, struct wg_yaml *yaml, struct wg_mistakes *problems) {
    *openings = (struct wg_openings){.n = 0};
    struct opening_search search = {
        .openings = openings, .yaml = yaml, .problems = problems, .choices = wg_yaml_get(yaml->root, "choose")};
    const struct wg_schema_spot root = wg_schema_root(yaml->root);
    if (yaml->root->kind != WG_YAML_MAP)
        return 0;
    read_named_choices(&search);
    walk_children(&search, &root, "");
    report_unused_choices(&search);
    report_too_many_plans(&search);
    if (search.choices != NULL)
        drop_key(&search, search.choices);
    return search.code;
}

double wg_openings_plans(const struct wg_openings *openings) {
    double plans = 1;
    for (int i = 0; i < openings->n; i++)
        plans *= fmax(1, openings->opening[i].levels.n);
    return plans;
}

void wg_openings_free(struct wg_openings *openings) {
    for (int i = 0; i < openings->n; i++)
        wg_levels_free(&openings->opening[i].levels);
    free(openings->opening);
    *openings = (struct wg_openings){.n = 0};
}

/* ---- the text of a candidate ---- */

struct edit {
    size_t at, length;
    const char *before, *text;
};

static int by_place(const void *a, const void *b) {
    const size_t x = ((const struct edit *)a)->at, y = ((const struct edit *)b)->at;
    return (x > y) - (x < y);
}

/* Returns the end of what goes with `choose`: the rest of its line, or the comma behind it in a map in brackets. */
static size_t end_of_choices(const struct wg_openings *openings, const char *text, size_t size) {
    size_t end = openings->choose_at + openings->choose_length;
    while (end < size && (text[end] == ' ' || text[end] == ','))
        end++;
    return end < size && text[end] == '\n' ? end + 1 : end;
}

static int list_edits(const struct wg_openings *openings, const char *text, size_t size, const int *level,
                      struct edit *edit) {
    int n = 0;
    if (openings->choose_length > 0)
        edit[n++] =
            (struct edit){openings->choose_at, end_of_choices(openings, text, size) - openings->choose_at, "", ""};
    for (int i = 0; i < openings->n; i++)
        for (int k = 0; k < openings->opening[i].n_uses; k++) {
            const struct wg_opening_use *const use = &openings->opening[i].use[k];
            edit[n++] = (struct edit){use->at, use->length, use->has_colon ? ": " : "",
                                      openings->opening[i].levels.level[level[i]].text};
        }
    qsort(edit, (size_t)n, sizeof *edit, by_place);
    return n;
}

char *wg_openings_text(const struct wg_openings *openings, const char *text, size_t size, const int *level,
                       size_t *new_size) {
    struct edit *const edit = malloc((1 + (size_t)openings->n * WG_MAX_USES) * sizeof *edit);
    struct wg_bytes out = {0};
    size_t at = 0;
    if (edit == NULL)
        return NULL;
    const int n = list_edits(openings, text, size, level, edit);
    for (int i = 0; i < n; i++) {
        wg_bytes_add(&out, text + at, edit[i].at - at);
        wg_bytes_put(&out, edit[i].before);
        wg_bytes_put(&out, edit[i].text);
        at = edit[i].at + edit[i].length;
    }
    wg_bytes_add(&out, text + at, size - at);
    free(edit);
    *new_size = out.size;
    return out.failed ? NULL : out.data;
}
