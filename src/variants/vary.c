/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Finds a number in the text of a scenario, with its position from the tree and its kind from the schema, and replaces
 * it without touching anything else.
 */
#include "variants/vary.h"

#include "base/calendar.h"
#include "base/utf8.h"
#include "records/yaml.h"
#include "text/nearest_word.h"
#include "text/quantity.h"
#include "text/show.h"
#include "text/units.h"
#include "variants/schema_tree.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MAX_KEYS 64
#define DATE_LENGTH 10
#define LARGEST_EXACT 1e15 /* wg_show_whole() takes an int64_t, and more figures help nobody */

/* ---- the path ---- */

static const struct wg_yaml_node *item_of_number(const struct wg_yaml_node *list, const char *word) {
    char *end;
    const long number = strtol(word, &end, 10);
    const struct wg_yaml_node *item = *end == '\0' && end != word && number > 0 ? list->first : NULL;
    for (long i = 1; item != NULL && i < number; i++)
        item = item->next;
    return item;
}

static const struct wg_yaml_node *item_of_name(const struct wg_yaml_node *list, const char *word) {
    for (const struct wg_yaml_node *item = list->first; item != NULL; item = item->next) {
        const struct wg_yaml_node *const name = wg_yaml_get(item, "name");
        if (name != NULL && name->kind == WG_YAML_TEXT && strcmp(name->text, word) == 0)
            return item;
    }
    return NULL;
}

/* Returns an item of a list by name or number; NULL if there is none. */
static const struct wg_yaml_node *item_of(const struct wg_yaml_node *list, const char *word) {
    const struct wg_yaml_node *const named = item_of_name(list, word);
    return named != NULL ? named : item_of_number(list, word);
}

/* Whether a word is the name of one item and the number of another: a bin called 2 that is not the second. */
static bool is_ambiguous(const struct wg_yaml_node *node, const char *word) {
    if (node->kind != WG_YAML_LIST)
        return false;
    const struct wg_yaml_node *const named = item_of_name(node, word), *const numbered = item_of_number(node, word);
    return named != NULL && numbered != NULL && named != numbered;
}

static const struct wg_yaml_node *child_of(const struct wg_yaml_node *node, const char *word) {
    if (node->kind == WG_YAML_MAP)
        return wg_yaml_get(node, word);
    return node->kind == WG_YAML_LIST ? item_of(node, word) : NULL;
}

/* Reports a word of the path that the scenario does not have, with the known ones. */
static int no_child(const struct wg_yaml_node *node, const char *path, const char *word, struct wg_error *err) {
    const char *names[MAX_KEYS + 1];
    int n = 0;
    for (const struct wg_yaml_node *child = node->first; child != NULL && n < MAX_KEYS; child = child->next) {
        const struct wg_yaml_node *const name = node->kind == WG_YAML_MAP ? child->key : wg_yaml_get(child, "name");
        if (name != NULL && name->kind == WG_YAML_TEXT)
            names[n++] = name->text;
    }
    names[n] = NULL;
    if (node->kind == WG_YAML_TEXT)
        return wg_fail(err, WG_ERR_INPUT, path, "\"%.60s\" is a single value, so \"%.40s\" cannot name a part of it.",
                       node->text, word);
    const char *const nearest = wg_word_nearest(word, names);
    char list[300] = "";
    if (n > 0)
        wg_word_list(names, list, sizeof list);
    if (nearest != NULL)
        return wg_fail(err, WG_ERR_INPUT, path, "There is no \"%.40s\" in the scenario. Did you mean \"%.60s\"?", word,
                       nearest);
    return wg_fail(err, WG_ERR_INPUT, path, "There is no \"%.40s\" in the scenario here. It can be %s%s.", word,
                   n > 0 ? list : "a number from 1 to ", n > 0 ? "" : "the length of the list");
}

static int follow_path(const char *path, struct wg_schema_spot *spot, struct wg_error *err) {
    for (const char *at = path; at != NULL;) {
        const char *const dot = strchr(at, '.');
        const size_t length = dot != NULL ? (size_t)(dot - at) : strlen(at);
        char word[160];
        (void)snprintf(word, sizeof word, "%.*s", (int)(length < sizeof word ? length : sizeof word - 1), at);
        const struct wg_yaml_node *const child = child_of(spot->node, word);
        if (child == NULL)
            return no_child(spot->node, path, word, err);
        if (is_ambiguous(spot->node, word))
            return wg_fail(
                err, WG_ERR_INPUT, path,
                "\"%.40s\" is the name of one item of the list and the number of another. Give it another name.", word);
        *spot = wg_schema_enter(spot, child);
        if (wg_yaml_get(child, "now") != NULL) /* the value among several to try */
            spot->node = wg_yaml_get(child, "now");
        at = dot != NULL ? dot + 1 : NULL;
    }
    return 0;
}

/* ---- the position ---- */

/* Returns the byte offset of a line and column, both from 1; columns count characters. */
static size_t offset_of(const char *text, size_t size, int line, int column) {
    size_t at = wg_utf8_mark(text, size);
    for (; line > 1 && at < size; at++)
        line -= text[at] == '\n';
    while (column > 1 && at < size) {
        at++;
        while (at < size && !wg_utf8_starts(text[at]))
            at++;
        column--;
    }
    return at;
}

/* Whether the reader accepts only whole numbers. */
static bool is_whole(const struct wg_key *key) {
    return key->kind == WG_KEY_WHOLE || key->kind == WG_KEY_SEED || (key->flags & WG_KEY_STEPS);
}

/* For an amount of feed the text shows whether it is a rate. */
static void set_dimension(struct wg_vary *vary, const struct wg_key *key, const char *text) {
    vary->is_measured = key->name != NULL && (key->kind == WG_KEY_QUANTITY || key->kind == WG_KEY_MONTHS ||
                                              key->kind == WG_KEY_RANGE || key->kind == WG_KEY_LATITUDE);
    vary->dimension = (int)wg_schema_dimension(key, text);
    vary->is_difference = vary->is_measured && vary->dimension == WG_TEMPERATURE_STEP;
}

#define YEAR_DAY_LENGTH 5

/* Reads 05-01 as a day of 2001, a common year like those of a season. */
static bool read_year_day(const char *text, int32_t *day) {
    char date[16];
    (void)snprintf(date, sizeof date, "2001-%.6s", text);
    return strlen(text) == YEAR_DAY_LENGTH && wg_day_parse(date, day) == 0;
}

/* Returns the length of the prefix in "R-13". */
static size_t printed_r(const char *text) {
    const size_t n = text[0] == 'R' || text[0] == 'r' ? 1 + strspn(text + 1, "- ") : 0;
    return n > 0 && n < 4 && text[n] >= '0' && text[n] <= '9' ? n : 0;
}

/* Returns the number of a word, which is kept if it is new; -1: there are too many. */
static int keep_word(struct wg_vary *vary, const char *text) {
    for (int i = 0; i < vary->n_words; i++)
        if (strcmp(vary->word[i], text) == 0)
            return i;
    if (vary->n_words == WG_VARY_MAX_WORDS || strlen(text) >= sizeof vary->word[0] ||
        text[strcspn(text, "#{}[]:")] != '\0')
        return -1;
    (void)snprintf(vary->word[vary->n_words], sizeof vary->word[0], "%s", text);
    return vary->n_words++;
}

static bool is_wordy(const struct wg_key *key) {
    return key->name != NULL && (key->kind == WG_KEY_WORD || key->kind == WG_KEY_WHEN || key->kind == WG_KEY_FEED);
}

static int read_varied_value(struct wg_vary *vary, const struct wg_key *key, const char *text, struct wg_error *err) {
    int32_t day;
    const char *rest;
    const size_t prefix = printed_r(text);
    if (is_wordy(key) && keep_word(vary, text) == 0) {
        vary->length = strlen(text);
        return 0;
    }
    set_dimension(vary, key, text);
    (void)snprintf(vary->prefix, sizeof vary->prefix, "%.*s", (int)prefix, text);
    vary->at += prefix;
    text += prefix;
    if (wg_day_parse(text, &day) == 0) {
        vary->is_date = true;
        vary->value = day;
        vary->step = 1;
        vary->length = DATE_LENGTH;
        return 0;
    }
    if (read_year_day(text, &day)) {
        vary->is_date = vary->is_year_day = true;
        vary->value = day;
        vary->step = 1;
        vary->length = YEAR_DAY_LENGTH;
        return 0;
    }
    if (wg_number_read(text, &vary->value, &rest) < 0 || (*rest == '-' || strlen(rest) >= sizeof vary->unit))
        return wg_fail(err, WG_ERR_INPUT, vary->path,
                       "\"%.40s\" is neither a number with its unit nor a date, so it cannot be varied.", text);
    vary->length = (size_t)(rest - text);
    (void)snprintf(vary->unit, sizeof vary->unit, "%s", rest);
    vary->step = is_whole(key) ? 1 : 0;
    return 0;
}

static int locate_value(struct wg_vary *vary, const char *text, size_t size, const struct wg_schema_spot *spot,
                        struct wg_error *err) {
    const struct wg_yaml_node *const node = spot->node;
    if (node->kind != WG_YAML_TEXT)
        return wg_fail(err, WG_ERR_INPUT, vary->path, "This is a %s, not a number. Name one in it, as in %s.%s.",
                       node->kind == WG_YAML_LIST ? "list" : "group of keys", vary->path,
                       node->kind == WG_YAML_LIST ? "1"
                       : node->first != NULL      ? node->first->key->text
                                                  : "key");
    const size_t length = strlen(node->text);
    vary->at = offset_of(text, size, node->line, node->column);
    if (vary->at < size && (text[vary->at] == '"' || text[vary->at] == '\''))
        vary->at++;
    if (vary->at + length > size || memcmp(text + vary->at, node->text, length) != 0)
        return wg_fail(err, WG_ERR_INPUT, vary->path,
                       "This value is not written plainly on one line, so it cannot be varied.");
    return read_varied_value(vary, &spot->key, node->text, err);
}

/* ---- what it is ---- */

size_t wg_vary_word_path(const char *path, char out[WG_VARY_LABEL]) {
    size_t n = 0, own = 0;
    out[0] = '\0';
    for (const char *at = path; *at != '\0';) {
        const size_t length = strcspn(at, ".");
        const char *const next = at[length] == '.' ? at + length + 1 : at + length;
        const bool is_number = *at >= '0' && *at <= '9', is_list = *next >= '0' && *next <= '9';
        /* the name after these words is enough */
        const bool is_silent = !is_list && (strncmp(at, "places.", 7) == 0 || strncmp(at, "bins.", 5) == 0);
        if (!is_silent) {
            const char *const between = n == 0 ? "" : is_number || own > 0 ? " " : ": ";
            own = between[0] == ':' ? n + 2 : own;
            n += (size_t)snprintf(out + n, WG_VARY_LABEL - n, "%s%.*s", between, (int)length, at);
        }
        at = next;
    }
    for (char *c = out; *c != '\0'; c++)
        *c = *c == '_' ? ' ' : *c;
    return own;
}

#define MAX_WORDS 10

/* A path with the nodes that its words lead to. */
struct worded_path {
    int n;
    const struct wg_yaml_node *node[MAX_WORDS]; /* of each word */
    char word[MAX_WORDS][64];
};

static void split_path(struct worded_path *to, const struct wg_yaml_node *root, const char *path) {
    const struct wg_yaml_node *node = root;
    to->n = 0;
    for (const char *at = path; at != NULL && to->n < MAX_WORDS; to->n++) {
        const char *const dot = strchr(at, '.');
        (void)snprintf(to->word[to->n], sizeof to->word[0], "%.*s", (int)(dot != NULL ? dot - at : (long)strlen(at)),
                       at);
        node = node != NULL ? child_of(node, to->word[to->n]) : NULL;
        to->node[to->n] = node;
        at = dot != NULL ? dot + 1 : NULL;
    }
}

static bool has_word(const struct worded_path *path, int i, const char *word) {
    return i < path->n && strcmp(path->word[i], word) == 0;
}

/* Returns the text of a key of an item, or what stands in for it. */
static const char *text_in(const struct wg_yaml_node *item, const char *key, const char *otherwise) {
    const struct wg_yaml_node *const node = item != NULL ? wg_yaml_get(item, key) : NULL;
    return node != NULL && node->kind == WG_YAML_TEXT ? node->text : otherwise;
}

/* Returns the plural of the starter's stage; "animals" if it has none. */
static const char *started_stage(const struct wg_yaml_node *starter) {
    static const char *const plural[][2] = {
        {"egg", "eggs"}, {"larva", "larvae"}, {"prepupa", "prepupae"}, {"pupa", "pupae"}, {"adult", "flies"}};
    const char *const stage = text_in(starter, "stage", "");
    for (size_t i = 0; i < sizeof plural / sizeof *plural; i++)
        if (strncmp(stage, plural[i][0], strlen(plural[i][0])) == 0)
            return plural[i][1];
    return "animals";
}

/* Words of keys: the group or action above the key, the key, and the phrase, with the owner's name for %s. */
struct key_words {
    const char *group, *key, *before; /* the phrase is `before`, then the name of the owner */
};

static const struct key_words of_place[] = {
    {"heater", "set_point", "set point of the heater in "},
    {"heater", "power", "power of the heater in "},
    {"heater", "price", "price of heat in "},
    {"heater", "efficiency", "efficiency of the heater in "},
    {"heater", "from", "first day of the heater in "},
    {"heater", "to", "last day of the heater in "},
    {"mat", "set_point", "set point of the mat under "},
    {"mat", "power", "power of the mat under "},
    {"mat", "price", "price of heat under "},
    {"mat", "efficiency", "efficiency of the mat under "},
    {"mat", "from", "first day of the mat under "},
    {"mat", "to", "last day of the mat under "},
    {"lamps", "hours", "hours of lamps in "},
    {"lamps", "power", "power of the lamps in "},
    {"lamps", "price", "price of light in "},
    {"lamps", "from", "first day of the lamps in "},
    {"lamps", "to", "last day of the lamps in "},
    {"housing", "lamps", "hours of lamps in "},
    {"housing", "light", "share of the daylight in "},
    {"housing", "water", "water in barrels in "},
    {"housing", "vents_open_above", "temperature at which the vents open in "},
    {"ground", "depth", "depth of the ground in "},
    {"ground", "mulch", "depth of mulch in "},
    {"bins", "substrate", "substrate in "},
    {"bins", "moisture", "moisture of the substrate in "},
    {"summer", "temperature", "temperature in summer of "},
    {"summer", "from", "first day of summer for "},
    {"summer", "to", "last day of summer for "},
};

static const struct key_words of_action[] = {
    {"collect crawl-off", "share", "share of the crawl-off caught in "},
    {"collect crawl-off", "give_back", "share of the catch given back in "},
    {"collect crawl-off", "from", "first day of collecting crawl-off in "},
    {"collect crawl-off", "to", "last day of collecting crawl-off in "},
    {"pull traps", "every", "interval between pulls of the traps in "},
    {"pull traps", "from", "first day of pulling the traps in "},
    {"pull traps", "to", "last day of pulling the traps in "},
    {"pull traps", "share_laid_in_traps", "share of the eggs laid in traps in "},
    {"set traps", "share_laid_in_traps", "share of the eggs laid in traps in "},
    {"move", "share", "share moved from "},
    {"move", "on", "day of the move from "},
    {"scoop larvae", "amount", "larvae scooped each time from "},
    {"scoop larvae", "share", "share of the larvae scooped each time from "},
    {"scoop larvae", "every", "interval between scoops from "},
    {"scoop larvae", "from", "first day of scooping from "},
    {"scoop larvae", "to", "last day of scooping from "},
    {"scoop larvae", "on", "day of scooping from "},
    {"clear residue", "share", "share of the residue cleared from "},
    {"clear residue", "every", "interval between clearings of "},
    {"clear residue", "on", "day of clearing "},
    {"change", "set_point", "new set point in "},
    {"change", "on", "day of the change in "},
};

static const struct key_words of_plan[] = {
    {"period", "from", "first day of the period"},
    {"period", "to", "last day of the period"},
    {"climate", "constant", "temperature of the laboratory"},
    {"climate", "latitude", "latitude"},
    {"climate", "elevation", "height above sea level"},
    {"power_cut", "per_year", "power cuts a year"},
    {"power_cut", "lasts", "length of a power cut"},
    {"raid", "per_year", "raids a year"},
    {"raid", "larvae_lost", "share of the larvae lost in a raid"},
    {"wild_visitors", "peak", "wild females a day at the peak of the season"},
};

#define FIND(table, group, key) find_words(table, sizeof(table) / sizeof *(table), group, key)
static const char *find_words(const struct key_words *table, size_t n, const char *group, const char *key) {
    for (size_t i = 0; i < n; i++)
        if (strcmp(table[i].group, group) == 0 && strcmp(table[i].key, key) == 0)
            return table[i].before;
    return NULL;
}

/* "kitchen scraps a day for trough" */
static void name_feeding(struct wg_vary *vary, const struct wg_yaml_node *feeding, const char *key) {
    const char *const bin = text_in(feeding, "in", "the bin"), *const what = text_in(feeding, "what", "feed");
    const char *const every = text_in(feeding, "every", "1 day"), *const on = text_in(feeding, "on", NULL);
    const bool is_rate = vary->dimension == WG_MASS_RATE, is_daily = strcmp(every, "1 day") == 0;
    if (strcmp(key, "amount") == 0 && (is_rate || on != NULL))
        (void)snprintf(vary->subject, sizeof vary->subject, "%s for %s%s%s", what, bin, on != NULL ? " on " : "",
                       on != NULL ? on : "");
    else if (strcmp(key, "amount") == 0)
        (void)snprintf(vary->subject, sizeof vary->subject, "%s %s%s for %s", what, is_daily ? "a day" : "every ",
                       is_daily ? "" : every, bin);
    else if (strcmp(key, "every") == 0)
        (void)snprintf(vary->subject, sizeof vary->subject, "interval between feedings of %s", bin);
    else if (strcmp(key, "at most") == 0)
        (void)snprintf(vary->subject, sizeof vary->subject, "most %s each time for %s", what, bin);
    else if (strcmp(key, "what") == 0)
        (void)snprintf(vary->subject, sizeof vary->subject, "feed for %s", bin);
    else
        (void)snprintf(vary->subject, sizeof vary->subject, "%sday of feeding %s",
                       strcmp(key, "from") == 0 ? "first "
                       : strcmp(key, "to") == 0 ? "last "
                                                : "",
                       bin);
}

/* "larvae to start with", of several starters "larvae to start with in tub (starter 2)" */
static void name_starter(struct wg_vary *vary, const struct wg_yaml_node *starters, const struct worded_path *path) {
    const struct wg_yaml_node *const starter = path->node[1];
    const char *const stage = started_stage(starter), *const key = path->word[2];
    char which[160] = "";
    if (starters->n > 1)
        (void)snprintf(which, sizeof which, " in %s (starter %s)", text_in(starter, "in", "its bin"), path->word[1]);
    if (strcmp(key, "count") == 0)
        (void)snprintf(vary->subject, sizeof vary->subject, "%s to start with%s", stage, which);
    else if (strcmp(key, "weight") == 0)
        (void)snprintf(vary->subject, sizeof vary->subject, "weight of %s to start with%s", stage, which);
    else
        (void)snprintf(vary->subject, sizeof vary->subject, "%s of the %s to start with%s",
                       strcmp(key, "on") == 0 ? "day" : key, stage, which);
}

/* Adds the number where several lines of a list have the same words. */
static void add_line_number(struct wg_vary *vary, const struct worded_path *path, const char *same_key) {
    const struct wg_yaml_node *const item = path->node[1];
    int same = 0;
    for (const struct wg_yaml_node *other = path->node[0]->first; other != NULL; other = other->next)
        same += strcmp(text_in(other, "in", ""), text_in(item, "in", "")) == 0 &&
                strcmp(text_in(other, same_key, ""), text_in(item, same_key, "")) == 0;
    const size_t n = strlen(vary->subject);
    if (same > 1)
        (void)snprintf(vary->subject + n, sizeof vary->subject - n, " (%s %s)", path->word[0], path->word[1]);
}

static void name_place_key(struct wg_vary *vary, const struct worded_path *path) {
    const bool in_bin = has_word(path, 2, "bins") && path->n > 4;
    const int owner = in_bin ? 3 : 1, last = path->n - 1;
    const char *const group = path->word[last - 1];
    const bool is_own = last == owner + 1; /* a key of the bin itself */
    const char *const before = FIND(of_place, is_own ? "bins" : group, path->word[last]);
    const char *const name = text_in(path->node[owner], "name", path->word[owner]);
    const bool plain = is_own || strcmp(group, "housing") == 0;
    if (before != NULL)
        (void)snprintf(vary->subject, sizeof vary->subject, "%s%s", before, name);
    else if (plain)
        (void)snprintf(vary->subject, sizeof vary->subject, "%s of %s", path->word[last], name);
    else
        (void)snprintf(vary->subject, sizeof vary->subject, "%s of the %s of %s", path->word[last], group, name);
}

static void name_action_key(struct wg_vary *vary, const struct worded_path *path) {
    const struct wg_yaml_node *const action = path->node[1];
    const char *const what = text_in(action, "do", ""), *const key = path->word[2];
    const char *const before = FIND(of_action, what, key);
    const char *const where = text_in(action, strcmp(what, "move") == 0 ? "from" : "in", "");
    if (before != NULL)
        (void)snprintf(vary->subject, sizeof vary->subject, "%s%s", before, where);
    else
        (void)snprintf(vary->subject, sizeof vary->subject, "%s of action %s, %s", key, path->word[1], what);
}

static void name_other_key(struct wg_vary *vary, const struct worded_path *path) {
    const int at = path->n > 1 ? path->n - 1 : 1;
    const char *const words = path->n > 1 ? FIND(of_plan, path->word[at - 1], path->word[at]) : NULL;
    if (words != NULL)
        (void)snprintf(vary->subject, sizeof vary->subject, "%s", words);
    else if (has_word(path, 0, "species"))
        (void)snprintf(vary->subject, sizeof vary->subject, "the animal's %s%s%s", path->word[1],
                       path->n > 2 ? " " : "", path->n > 2 ? path->word[2] : "");
    else
        (void)wg_vary_word_path(vary->path, vary->subject);
}

void wg_vary_name(struct wg_vary *vary, const struct wg_yaml_node *root) {
    struct worded_path path;
    split_path(&path, root, vary->path);
    if (has_word(&path, 0, "starter") && path.n == 3) {
        name_starter(vary, path.node[0], &path);
    } else if (has_word(&path, 0, "feeding") && path.n == 3) {
        name_feeding(vary, path.node[1], path.word[2]);
        add_line_number(vary, &path, "what");
    } else if (has_word(&path, 0, "places") && path.n > 3) {
        name_place_key(vary, &path);
    } else if (has_word(&path, 0, "keeping") && path.n == 3) {
        name_action_key(vary, &path);
        add_line_number(vary, &path, "do");
    } else {
        name_other_key(vary, &path);
    }
    for (char *c = vary->subject; *c != '\0'; c++)
        *c = *c == '_' ? ' ' : *c;
}

int wg_vary_find(struct wg_vary *vary, const char *text, size_t size, const char *path, struct wg_error *err) {
    const int code = wg_vary_find_any(vary, text, size, path, err);
    if (code == 0 && vary->n_words > 0)
        return wg_fail(err, WG_ERR_INPUT, vary->path,
                       "\"%.40s\" is neither a number with its unit nor a date, so it cannot be varied.",
                       vary->word[0]);
    return code;
}

int wg_vary_find_any(struct wg_vary *vary, const char *text, size_t size, const char *path, struct wg_error *err) {
    *vary = (struct wg_vary){.at = 0};
    struct wg_yaml yaml = {0};
    struct wg_mistakes problems = {0};
    struct wg_schema_spot spot = {.node = NULL};
    if (strlen(path) >= sizeof vary->path)
        return wg_fail(err, WG_ERR_INPUT, NULL, "This path is too long.");
    (void)snprintf(vary->path, sizeof vary->path, "%s", path);
    int code = wg_yaml_read(&yaml, text, size, &problems);
    if (code < 0)
        (void)wg_fail(err, code, path, "The text cannot be read as YAML.");
    if (code == 0) {
        spot = wg_schema_root(yaml.root);
        code = follow_path(path, &spot, err);
    }
    if (code == 0)
        code = locate_value(vary, text, size, &spot, err);
    if (code == 0)
        wg_vary_name(vary, yaml.root);
    wg_mistakes_free(&problems);
    wg_yaml_free(&yaml);
    return code;
}

/* ---- the new text ---- */

/* Smaller numbers are written with an exponent. */
#define SMALLEST_PLAIN 1e-15

/* Writes so many significant digits without an exponent, since keepers do not write 1e+05. */
static void write_plain(double value, int figures, char out[WG_VARY_SHOWN_SIZE]) {
    const double size = fabs(value);
    (void)snprintf(out, WG_VARY_SHOWN_SIZE, "%.*g", figures, value);
    if (strchr(out, 'e') == NULL || (size > 0 && size < SMALLEST_PLAIN))
        return;
    const int decimals = size >= 1 ? 0 : figures - 1 - (int)floor(log10(size));
    (void)snprintf(out, WG_VARY_SHOWN_SIZE, "%.*f", decimals, value);
    char *end = out + strlen(out);
    while (strchr(out, '.') != NULL && (end[-1] == '0' || end[-1] == '.'))
        *--end = '\0';
}

static void write_number(const struct wg_vary *vary, double value, int figures, char out[WG_VARY_SHOWN_SIZE]) {
    if (vary->n_words > 0)
        (void)snprintf(out, WG_VARY_SHOWN_SIZE, "%s", vary->word[(int)value]);
    else if (vary->is_date) {
        wg_day_format((int32_t)lround(value), out);
        if (vary->is_year_day)
            memmove(out, out + strlen(out) - YEAR_DAY_LENGTH, YEAR_DAY_LENGTH + 1);
    } else if (vary->step > 0)
        (void)snprintf(out, WG_VARY_SHOWN_SIZE, "%.0f", value);
    else
        write_plain(value, figures, out);
}

char *wg_vary_text(const struct wg_vary *vary, const char *text, size_t size, double value, size_t *new_size) {
    char number[WG_VARY_SHOWN_SIZE];
    write_number(vary, value, 12, number);
    const size_t n = strlen(number), behind = size - vary->at - vary->length;
    char *const copy = malloc(vary->at + n + behind + 1);
    if (copy == NULL)
        return NULL;
    memcpy(copy, text, vary->at);
    memcpy(copy + vary->at, number, n);
    memcpy(copy + vary->at + n, text + vary->at + vary->length, behind);
    *new_size = vary->at + n + behind;
    copy[*new_size] = '\0';
    return copy;
}

void wg_vary_show(const struct wg_vary *vary, double value, char out[WG_VARY_SHOWN_SIZE]) {
    char number[WG_VARY_SHOWN_SIZE];
    write_number(vary, value, 4, number);
    if (vary->n_words > 0)
        (void)snprintf(out, WG_VARY_SHOWN_SIZE, "%s", number);
    else
        (void)snprintf(out, WG_VARY_SHOWN_SIZE, "%s%.28s%s", vary->prefix, number, vary->unit);
}

/* Finds the other unit for units that are more than one word: U values, heating power, R-13. */
static bool other_of_dimension(const struct wg_vary *vary, char unit[48], double *scale) {
    const char *const other =
        vary->is_measured ? wg_quantity_other_unit((enum wg_dimension)vary->dimension, vary->unit) : NULL;
    if (other == NULL)
        return false;
    const char *const from = vary->prefix[0] != '\0' ? "h ft2 degF/Btu" : vary->unit;
    (void)snprintf(unit, 48, "%s", other);
    *scale = wg_units_convert(1, from, other, false);
    return true;
}

bool wg_vary_other_unit(const struct wg_vary *vary, char unit[48], double *scale, double *shift) {
    const char *const written = vary->unit + strspn(vary->unit, " ");
    const int word = (int)strcspn(written, "/ ");
    const char *const other = wg_unit_other(written, word);
    *shift = 0;
    if (other == NULL)
        return other_of_dimension(vary, unit, scale);
    char from[48];
    const bool is_reading = written[word] == '\0' && strncmp(other, "deg", 3) == 0 && !vary->is_difference;
    (void)snprintf(from, sizeof from, "%.*s", word, written);
    (void)snprintf(unit, 48, "%s%.40s", other, written + word);
    *shift = is_reading ? wg_units_convert(0, from, other, true) : 0;
    *scale = wg_units_convert(1, from, other, false);
    return true;
}

void wg_vary_show_plain(const struct wg_vary *vary, double value, char out[WG_VARY_SHOWN_SIZE]) {
    char number[WG_SHOWN_SIZE];
    if (vary->is_date) {
        char date[24];
        wg_day_format_long((int32_t)lround(value), date);
        if (vary->is_year_day)
            *strrchr(date, ' ') = '\0';
        (void)snprintf(out, WG_VARY_SHOWN_SIZE, "%s", date);
        return;
    }
    const bool is_whole = vary->n_words == 0 && (vary->step > 0 || fabs(value) >= 1000);
    if (!is_whole || fabs(value) >= LARGEST_EXACT) {
        wg_vary_show(vary, value, out);
        return;
    }
    wg_show_whole(llround(value), number);
    (void)snprintf(out, WG_VARY_SHOWN_SIZE, "%.31s%s", number, vary->unit);
}

void wg_vary_show_both(const struct wg_vary *vary, double value, char out[2 * WG_VARY_SHOWN_SIZE]) {
    char shown[WG_VARY_SHOWN_SIZE], other[WG_SHOWN_SIZE], unit[48];
    double scale, shift;
    wg_vary_show_plain(vary, value, shown);
    if (wg_vary_other_unit(vary, unit, &scale, &shift)) {
        wg_show_number(scale * value + shift, other);
        (void)snprintf(out, 2 * WG_VARY_SHOWN_SIZE, "%.79s (%.30s %.40s)", shown, other, unit);
    } else {
        (void)snprintf(out, 2 * WG_VARY_SHOWN_SIZE, "%.79s", shown);
    }
}

/* Reads a number with an optional unit, which may be any unit of the same dimension. */
static int read_in_unit(const char *text, const char *unit, bool is_reading, double *value) {
    struct wg_unit from, to;
    char message[WG_UNIT_MESSAGE];
    const char *rest;
    double number;
    if (wg_number_read(text, &number, &rest) < 0)
        return -1;
    rest += strspn(rest, " ");
    unit += strspn(unit, " ");
    if (*rest == '\0' || strcmp(rest, unit) == 0) {
        *value = number;
        return 0;
    }
    if (wg_unit_read(rest, "", &from, message) != WG_UNIT_GOOD ||
        wg_unit_read(unit, "", &to, message) != WG_UNIT_GOOD || !wg_unit_is_alike(&from, &to))
        return -1;
    *value = wg_units_convert(number, rest, unit, is_reading && from.has_zero && to.has_zero);
    return 0;
}

int wg_vary_read_any(struct wg_vary *vary, const char *text, double *value) {
    if (vary->n_words == 0)
        return wg_vary_read(vary, text, value);
    *value = keep_word(vary, text);
    return *value < 0 ? -1 : 0;
}

int wg_vary_read(const struct wg_vary *vary, const char *text, double *value) {
    int32_t day;
    if (vary->is_date) {
        if (vary->is_year_day ? !read_year_day(text, &day) : wg_day_parse(text, &day) != 0)
            return -1;
        *value = day;
        return 0;
    }
    const size_t n = strlen(vary->prefix);
    return read_in_unit(strncmp(text, vary->prefix, n) == 0 ? text + n : text, vary->unit, !vary->is_difference, value);
}

int wg_vary_read_width(const struct wg_vary *vary, const char *text, double *width) {
    return read_in_unit(text, vary->is_date ? "days" : vary->unit, false, width);
}
