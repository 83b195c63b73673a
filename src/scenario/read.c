/*
 * How is one value of a scenario read, and what is said when it is wrong?
 */
#include "scenario/read.h"

#include "text/mistakes.h"
#include "text/nearest_word.h"

#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- mistakes ---- */

static void report_scenario_mistake(struct wg_scenario_reader *reader, const struct wg_yaml_node *at,
                                    const char *format, va_list args) {
    const int line = at == NULL ? 0 : at->line, column = at == NULL ? 0 : at->column;
    if (wg_mistakes_add_list(reader->problems, line, column, format, args) < 0)
        reader->code = WG_ERR_MEMORY;
}

void wg_read_mistake(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, const char *format, ...) {
    va_list args;
    va_start(args, format);
    report_scenario_mistake(reader, at, format, args);
    va_end(args);
}

void wg_read_mistake_key(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, const char *format, ...) {
    va_list args;
    va_start(args, format);
    report_scenario_mistake(reader, at != NULL && at->key != NULL ? at->key : at, format, args);
    va_end(args);
}

/* ---- groups of keys ---- */

static int index_of(const char *word, const char *const *words) {
    for (int i = 0; words[i] != NULL; i++)
        if (strcmp(words[i], word) == 0)
            return i;
    return -1;
}

/* "age 5 days" or "age:5 days" for "age: 5 days": the colon or the space behind it was forgotten. */
static const char *key_without_colon(const char *text, const char *const *keys, const char **rest) {
    for (size_t i = 0; keys[i] != NULL; i++) {
        const size_t n = strlen(keys[i]);
        if (strncmp(text, keys[i], n) == 0 && (text[n] == ' ' || text[n] == ':') && text[n + 1] != '\0') {
            *rest = text + n + 1;
            return keys[i];
        }
    }
    return NULL;
}

static void complain_unknown(struct wg_scenario_reader *reader, const struct wg_yaml_node *value, const char *what,
                             const char *const *keys) {
    const char *const word = value->key->text;
    if (reader->problems->n > WG_MAX_MISTAKES) /* looking for the nearest key takes time */
        return;
    const char *rest;
    const char *const cut = key_without_colon(word, keys, &rest);
    const char *const nearest = wg_word_nearest(word, keys);
    char list[400];
    wg_word_list(keys, list, sizeof list);
    if (isdigit((unsigned char)word[0]))
        wg_read_mistake_key(
            reader, value,
            "A comma begins a new key here. Write numbers without it: 10000 for ten thousand, 1.5 for one and "
            "a half.");
    else if (cut != NULL)
        wg_read_mistake_key(reader, value, "A colon followed by a space is missing: write \"%s: %.60s\".", cut, rest);
    else if (nearest != NULL)
        wg_read_mistake_key(reader, value, "There is no \"%.60s\" in %s. Did you mean \"%s\"?", word, what, nearest);
    else if (strlen(list) + 1 < sizeof list)
        wg_read_mistake_key(reader, value, "There is no \"%.60s\" in %s. It may have %s.", word, what, list);
    else
        wg_read_mistake_key(reader, value, "There is no \"%.60s\" in %s.", word, what);
}

static void complain_no_map(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                            const char *const *keys) {
    char list[200];
    wg_word_list(keys, list, sizeof list);
    const bool empty = node->kind == WG_YAML_TEXT && node->text[0] == '\0';
    wg_read_mistake_key(
        reader, node,
        "%s %c%s is a group of keys: %s%s. Write {key: value, ...}, or one key below the other, indented.",
        empty ? "Nothing is written here." : "This is not right.", toupper((unsigned char)what[0]), what + 1, list,
        strlen(list) + 1 < sizeof list ? "" : "...");
}

bool wg_read_map(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                 const char *const *keys) {
    if (node == NULL)
        return false;
    if (node->kind != WG_YAML_MAP) {
        complain_no_map(reader, node, what, keys);
        return false;
    }
    enum { MAX_KEYS = 256 };
    bool seen[MAX_KEYS] = {false};
    for (const struct wg_yaml_node *value = node->first; value != NULL; value = value->next) {
        const int i = index_of(value->key->text, keys);
        if (i < 0)
            complain_unknown(reader, value, what, keys);
        else if (seen[i])
            wg_read_mistake_key(reader, value, "\"%s\" is written twice in %s. Keep one of them.", keys[i], what);
        else
            seen[i] = true;
        wg_assert(i < MAX_KEYS);
    }
    return true;
}

bool wg_read_list(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                  const char *example) {
    if (node == NULL)
        return false;
    if (node->kind == WG_YAML_LIST && node->n > 0)
        return true;
    if (node->kind == WG_YAML_MAP)
        wg_read_mistake(reader, node,
                        "Here %s is needed, even of one: put [ ] around it, or \"- \" in front. For example %s.", what,
                        example);
    else if (node->kind == WG_YAML_LIST)
        wg_read_mistake(reader, node, "This list is empty. Write for example %s.", example);
    else if (node->text[0] == '\0')
        wg_read_mistake_key(reader, node, "Nothing is written here. Write for example %s.", example);
    else
        wg_read_mistake(reader, node, "Here %s is needed, as in %s.", what, example);
    return false;
}

/* Whether a key that is missing is there misspelt: that has been complained of. */
static bool is_misspelt(const struct wg_yaml_node *map, const char *key) {
    const char *const words[] = {key, NULL};
    const char *rest;
    for (const struct wg_yaml_node *value = map->kind == WG_YAML_MAP ? map->first : NULL; value != NULL;
         value = value->next)
        if (wg_word_nearest(value->key->text, words) != NULL ||
            key_without_colon(value->key->text, words, &rest) != NULL)
            return true;
    return false;
}

const struct wg_yaml_node *wg_read_required(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                                            const char *key, const char *what, const char *example) {
    const struct wg_yaml_node *const node = wg_yaml_get(map, key);
    if (node == NULL && !is_misspelt(map, key))
        wg_read_mistake(reader, map, "%c%s needs \"%s\". Write for example %s.", toupper((unsigned char)what[0]),
                        what + 1, key, example);
    return node;
}

/* ---- values ---- */

const char *wg_read_text(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                         const char *example) {
    if (node == NULL)
        return NULL;
    if (node->kind != WG_YAML_TEXT) {
        wg_read_mistake(reader, node, "Here %s is needed, for example %s, not a %s.", what, example,
                        node->kind == WG_YAML_LIST ? "list" : "group of keys");
        return NULL;
    }
    if (node->text[0] == '\0') {
        wg_read_mistake_key(reader, node, "Nothing is written here. Write %s, for example %s.", what, example);
        return NULL;
    }
    return node->text;
}

void wg_read_measured(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, enum wg_dimension dimension) {
    struct wg_scenario *const scenario = reader->scenario;
    if (scenario->n_measured == scenario->measured_capacity) {
        const size_t capacity = scenario->measured_capacity == 0 ? 64 : 2 * scenario->measured_capacity;
        struct wg_quantity_position *const measured = realloc(scenario->measured, capacity * sizeof *measured);
        if (measured == NULL) {
            reader->code = WG_ERR_MEMORY;
            return;
        }
        scenario->measured = measured;
        scenario->measured_capacity = capacity;
    }
    scenario->measured[scenario->n_measured++] =
        (struct wg_quantity_position){node->line, node->column, (int)dimension};
}

bool wg_read_quantity(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, enum wg_dimension dimension,
                      double least, double most, double *out) {
    const char *const text = wg_read_text(reader, node, wg_dimension_name(dimension), wg_dimension_example(dimension));
    if (text == NULL)
        return false;
    char message[WG_QUANTITY_MESSAGE];
    double value;
    if (wg_quantity_read(text, dimension, &value, message) < 0) {
        wg_read_mistake(reader, node, "%s", message);
        return false;
    }
    /* A value at the limit in other units may miss it by rounding. */
    const double slack = 1e-9 * fmax(1.0, fmax(fabs(least), fabs(most)) < 1e6 ? fmax(fabs(least), fabs(most)) : 1.0);
    if (value < least - slack || value > most + slack) {
        char low[WG_QUANTITY_SHOWN_SIZE], high[WG_QUANTITY_SHOWN_SIZE];
        wg_quantity_show(dimension, least, low);
        wg_quantity_show(dimension, most, high);
        wg_read_mistake(reader, node, "\"%.40s\" cannot be right: it must lie between %s and %s.", text, low, high);
        return false;
    }
    *out = fmin(fmax(value, least), most);
    wg_read_measured(reader, node, dimension);
    return true;
}

bool wg_read_whole(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what, int64_t least,
                   int64_t most, int64_t *out) {
    char example[64];
    (void)snprintf(example, sizeof example, "%lld", (long long)(least > 100 ? least : most > 500 ? 500 : least));
    const char *const text = wg_read_text(reader, node, "a whole number", example);
    if (text == NULL)
        return false;
    errno = 0;
    char *end;
    const bool plain = isdigit((unsigned char)text[0]) || (text[0] == '-' && isdigit((unsigned char)text[1]));
    const long long value = plain ? strtoll(text, &end, 10) : 0;
    if (plain && *end == ',') {
        wg_read_mistake(reader, node, "Write %s without a comma: 10000, not 10,000.", what);
        return false;
    }
    if (!plain || *end != '\0') {
        wg_read_mistake(reader, node, "\"%.40s\" is not a whole number: %s is one from %lld to %lld.", text, what,
                        (long long)least, (long long)most);
        return false;
    }
    if (errno != 0 || value < least || value > most) {
        wg_read_mistake(reader, node, "\"%.40s\" cannot be right: %s is a whole number from %lld to %lld.", text, what,
                        (long long)least, (long long)most);
        return false;
    }
    *out = value;
    return true;
}

bool wg_read_date(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, int32_t *day) {
    const char *const text = wg_read_text(reader, node, "a date", "2026-11-15 (year-month-day)");
    if (text == NULL)
        return false;
    const int code = wg_day_parse(text, day);
    if (code == -2)
        wg_read_mistake(reader, node, "There is no such day as %.10s.", text);
    else if (code < 0)
        wg_read_mistake(reader, node,
                        "\"%.40s\" is not a date: write year-month-day with all its zeros, for example 2026-11-15.",
                        text);
    return code == 0;
}

static bool read_month_day(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, int *season_index) {
    const char *const text = wg_read_text(reader, node, "a day of the year", "11-15 (month-day)");
    if (text == NULL)
        return false;
    char date[16];
    int32_t day;
    (void)snprintf(date, sizeof date, "2024-%.6s", text); /* a leap year, so that 02-29 passes */
    if (strlen(text) != 5 || wg_day_parse(date, &day) < 0) {
        wg_read_mistake(
            reader, node,
            "\"%.40s\" is not a day of the year: write month-day, for example 11-15 for the 15th of November.", text);
        return false;
    }
    *season_index = wg_season_index(day);
    return true;
}

bool wg_read_season(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *what,
                    struct wg_season *season) {
    const struct wg_yaml_node *const from = wg_yaml_get(map, "from"), *const to = wg_yaml_get(map, "to");
    if (from == NULL && to == NULL)
        return false;
    if (from == NULL || to == NULL) {
        wg_read_mistake_key(reader, from != NULL ? from : to,
                            "%c%s needs both from and to, for example from: 11-01, to: 03-31 (month-day).",
                            toupper((unsigned char)what[0]), what + 1);
        return false;
    }
    struct wg_season read;
    const bool from_read = read_month_day(reader, from, &read.from);
    if (!read_month_day(reader, to, &read.to) || !from_read)
        return false;
    *season = read;
    return true;
}

bool wg_read_flag(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, bool *out) {
    static const char *const yes[] = {"yes", "true", "on", NULL}, *const no[] = {"no", "false", "off", NULL};
    const char *const text = wg_read_text(reader, node, "yes or no", "yes");
    if (text == NULL)
        return false;
    if (index_of(text, yes) < 0 && index_of(text, no) < 0) {
        wg_read_mistake(reader, node, "\"%.40s\" is neither yes nor no.", text);
        return false;
    }
    *out = index_of(text, yes) >= 0;
    return true;
}

int wg_read_word(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                 const char *const *words) {
    const char *const text = wg_read_text(reader, node, what, words[0]);
    if (text == NULL)
        return -1;
    const int i = index_of(text, words);
    if (i >= 0)
        return i;
    const char *const nearest = wg_word_nearest(text, words);
    char list[400];
    wg_word_list(words, list, sizeof list);
    if (nearest != NULL)
        wg_read_mistake(reader, node, "\"%.60s\" is not %s. Did you mean \"%s\"?", text, what, nearest);
    else
        wg_read_mistake(reader, node, "\"%.60s\" is not %s. It can be %s.", text, what, list);
    return -1;
}

/* Bytes are counted; who writes plain English need not know. */
void wg_read_too_long(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                      size_t most) {
    bool is_plain = true;
    for (const char *c = node->text; *c != '\0'; c++)
        is_plain = is_plain && (unsigned char)*c < 0x80;
    wg_read_mistake(reader, node, "This %s is too long: %zu letters are the most%s.", what, most,
                    is_plain ? "" : ", and one that English does not have counts as two to four");
}

bool wg_read_name(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, char out[WG_NAME_SIZE]) {
    const char *const text = wg_read_text(reader, node, "a name", "trough");
    if (text == NULL)
        return false;
    if (strpbrk(text, "\n\t") != NULL) {
        wg_read_mistake(reader, node, "A name is a single line without tabs.");
        return false;
    }
    if (strlen(text) >= WG_NAME_SIZE) {
        wg_read_too_long(reader, node, "name", WG_NAME_SIZE - 1);
        return false;
    }
    memcpy(out, text, strlen(text) + 1);
    return true;
}

/* ---- names of bins and places ---- */

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

/* ---- actions ---- */

int wg_read_bin(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *key, const char *what) {
    char example[32];
    (void)snprintf(example, sizeof example, "%s: trough", key);
    const struct wg_yaml_node *const node = wg_read_required(reader, map, key, what, example);
    if (wg_read_text(reader, node, "the name of a bin", "trough") == NULL)
        return -1;
    const int bin = wg_read_find_bin(reader, node->text);
    if (bin < 0)
        wg_read_unknown_name(reader, node, true, false);
    return bin;
}

int wg_read_place(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *key,
                  const char *what) {
    char example[32];
    (void)snprintf(example, sizeof example, "%s: hoop house", key);
    const struct wg_yaml_node *const node = wg_read_required(reader, map, key, what, example);
    if (wg_read_text(reader, node, "the name of a place", "hoop house") == NULL)
        return -1;
    const int place = wg_read_find_place(reader, node->text);
    if (place < 0)
        wg_read_unknown_name(reader, node, false, true);
    return place;
}

bool wg_read_day(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, int32_t *day) {
    if (!wg_read_date(reader, node, day))
        return false;
    const struct wg_plan *const plan = reader->plan;
    if (!reader->period_known || (*day >= plan->first_day && *day <= plan->last_day))
        return true;
    char end[11];
    const bool early = *day < plan->first_day;
    wg_day_format(early ? plan->first_day : plan->last_day, end);
    wg_read_mistake(reader, node, "This is %s the period, which %s on %s.", early ? "before" : "after",
                    early ? "begins" : "ends", end);
    return false;
}

static bool read_every(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, int32_t *every) {
    double days;
    if (!wg_read_quantity(reader, node, WG_DAYS, -36500, 36500, &days))
        return false;
    if (days < 1 || fabs(days - round(days)) > 1e-6) {
        wg_read_mistake(
            reader, node,
            "Work is done once a day at most: write whole days here, for example 1 day, 3 days or 2 weeks.");
        return false;
    }
    *every = (int32_t)lround(days);
    return true;
}

static bool read_once(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, struct wg_timing *timing) {
    static const char *const others[] = {"from", "to", "every"};
    bool good = true;
    for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
        const struct wg_yaml_node *const other = wg_yaml_get(map, others[i]);
        if (other == NULL)
            continue;
        wg_read_mistake_key(reader, other,
                            "\"on\" makes this happen once, so \"%s\" does not go with it. Keep one of the two.",
                            others[i]);
        good = false;
    }
    if (!wg_read_day(reader, wg_yaml_get(map, "on"), &timing->from))
        return false;
    timing->to = timing->from;
    timing->every = 1;
    return good;
}

bool wg_read_timing(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *what, int keys,
                    int32_t every, struct wg_timing *timing) {
    *timing = (struct wg_timing){reader->plan->first_day, reader->plan->last_day, every > 0 ? every : 1};
    if ((keys & WG_TIMING_ONCE) && wg_yaml_get(map, "on") != NULL)
        return read_once(reader, map, timing);
    if (!(keys & WG_TIMING_REPEATED)) {
        (void)wg_read_required(reader, map, "on", what, "on: 2026-11-15");
        return false;
    }
    const struct wg_yaml_node *const from = wg_yaml_get(map, "from"), *const to = wg_yaml_get(map, "to");
    const struct wg_yaml_node *const repeat = wg_yaml_get(map, "every");
    if (repeat == NULL && every == 0)
        wg_read_mistake(reader, map, "%c%s needs \"on\" with a date, or \"every\". Write for example every: 3 days.",
                        toupper((unsigned char)what[0]), what + 1);
    bool good = repeat != NULL || every != 0;
    good &= from == NULL || wg_read_day(reader, from, &timing->from);
    good &= to == NULL || wg_read_day(reader, to, &timing->to);
    good &= repeat == NULL || read_every(reader, repeat, &timing->every);
    if (good && reader->period_known && timing->from > timing->to) {
        wg_read_mistake(reader, to != NULL ? to : from, "\"to\" is before \"from\": the first day comes first.");
        return false;
    }
    return good;
}

static bool make_action_room(struct wg_scenario_reader *reader) {
    const size_t n = (size_t)reader->plan->n_actions;
    if (n < reader->action_capacity)
        return true;
    const size_t capacity = n == 0 ? 16 : 2 * n;
    struct wg_action *const actions = realloc(reader->plan->actions, capacity * sizeof *actions);
    if (actions != NULL)
        reader->plan->actions = actions;
    const struct wg_yaml_node **const at = realloc(reader->action_at, capacity * sizeof(const struct wg_yaml_node *));
    if (at != NULL)
        reader->action_at = at;
    if (actions == NULL || at == NULL) {
        reader->code = WG_ERR_MEMORY;
        return false;
    }
    reader->action_capacity = capacity;
    return true;
}

void wg_read_add_action(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, struct wg_action action) {
    if (!make_action_room(reader))
        return;
    action.line = at->line;
    reader->action_at[reader->plan->n_actions] = at;
    reader->plan->actions[reader->plan->n_actions++] = action;
}
