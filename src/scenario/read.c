/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads groups of keys and single values by the rows of the schema; every mistake is located.
 */
#include "scenario/read.h"

#include "text/action_text.h"
#include "text/keepers_words.h"
#include "text/mistakes.h"
#include "text/money.h"
#include "text/nearest_word.h"
#include "text/written_date.h"

#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PRICE_SIZE 64 /* of a price as written; longer ones keep their currency, and are refused */

/* ---- mistakes ---- */

static void report_scenario_mistake(struct wg_scenario_reader *reader, const struct wg_yaml_node *at,
                                    const char *format, va_list args) {
    const int line = at == NULL ? 0 : at->line, column = at == NULL ? 0 : at->column;
    const size_t n = reader->problems->n;
    if (wg_mistakes_add_list(reader->problems, line, column, format, args) < 0)
        reader->code = WG_ERR_MEMORY;
    else if (reader->problems->n > n && at != NULL && reader->problems->items[n].line > 0)
        reader->problems->items[n].file = at->file;
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

/* Recognises "age 5 days" and "age:5 days", which lack the colon or the space after it in "age: 5 days". */
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

static void report_unknown_key(struct wg_scenario_reader *reader, const struct wg_yaml_node *value,
                               const struct wg_group *group, const char *const *keys) {
    const char *const word = value->key->text, *const what = group->what,
                      *const is = group->is_plural ? "Their" : "Its";
    if (reader->problems->n > WG_MAX_MISTAKES) /* the search for the nearest key takes time */
        return;
    const char *rest;
    const char *const cut = key_without_colon(word, keys, &rest);
    const char *const advice = wg_keepers_key(group->name, word), *const meant = wg_keepers_key_meant(word, keys);
    const char *const nearest = meant != NULL ? meant : wg_word_nearest(word, keys);
    char list[400];
    wg_word_list(keys, list, sizeof list);
    if (isdigit((unsigned char)word[0]))
        wg_read_mistake_key(
            reader, value,
            "A comma starts a new key here. Write numbers without commas: 10000 for ten thousand, 1.5 for one and "
            "a half.");
    else if (cut != NULL)
        wg_read_mistake_key(reader, value, "A colon followed by a space is missing: write \"%s: %.60s\".", cut, rest);
    else if (advice != NULL)
        wg_read_mistake_key(reader, value, "There is no \"%.60s\" in %s. %s", word, what, advice);
    else if (nearest != NULL)
        wg_read_mistake_key(reader, value, "There is no \"%.60s\" in %s. Did you mean \"%s\"?", word, what, nearest);
    else if (strlen(list) + 1 < sizeof list)
        wg_read_mistake_key(reader, value, "There is no \"%.60s\" in %s. %s keys are %s.", word, what, is, list);
    else
        wg_read_mistake_key(reader, value, "There is no \"%.60s\" in %s.", word, what);
}

static void report_not_a_group(struct wg_scenario_reader *reader, const struct wg_yaml_node *node,
                               const struct wg_group *group, const char *const *keys) {
    const char *const what = group->what;
    char list[200];
    wg_word_list(keys, list, sizeof list);
    const bool empty = node->kind == WG_YAML_TEXT && node->text[0] == '\0';
    wg_read_mistake_key(
        reader, node,
        "%s %c%s %s a group of keys: %s%s. Write {key: value, ...}, or one key below the other, indented.",
        empty ? "The value is missing." : "This is not a group.", toupper((unsigned char)what[0]), what + 1,
        group->is_plural ? "are" : "is", list, strlen(list) + 1 < sizeof list ? "" : "...");
}

bool wg_read_group(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, enum wg_group_id group) {
    const char *const what = wg_schema_group(group)->what;
    const char *keys[WG_SCHEMA_MAX_WORDS];
    if (node == NULL)
        return false;
    wg_schema_names(group, keys);
    if (node->kind != WG_YAML_MAP) {
        report_not_a_group(reader, node, wg_schema_group(group), keys);
        return false;
    }
    bool seen[WG_SCHEMA_MAX_WORDS] = {false};
    for (const struct wg_yaml_node *value = node->first; value != NULL; value = value->next) {
        const int i = wg_word_index(value->key->text, keys);
        if (i < 0)
            report_unknown_key(reader, value, wg_schema_group(group), keys);
        else if (seen[i])
            wg_read_mistake_key(reader, value, "\"%s\" is written twice in %s. Keep one of them.", keys[i], what);
        else
            seen[i] = true;
    }
    return true;
}

const struct wg_key *wg_read_key_row(enum wg_group_id group, const char *name) {
    const struct wg_key *const key = wg_schema_find(group, name);
    wg_assert(key != NULL);
    return key;
}

/* "stage: larva (or egg, prepupa)" */
static void example_of(const struct wg_key *key, char out[WG_SCHEMA_TEXT]) {
    (void)snprintf(out, WG_SCHEMA_TEXT, "%s: %s%s", key->name, key->example,
                   key->or_write != NULL ? key->or_write : "");
}

static bool is_any_key(const char *word) {
    for (int g = 0; g < WG_N_GROUPS; g++)
        if (wg_schema_find((enum wg_group_id)g, word) != NULL)
            return true;
    return false;
}

/* "in" is not a misspelt "on". */
bool wg_read_is_misspelt(const struct wg_yaml_node *map, const char *key) {
    const char *const words[] = {key, NULL};
    const char *rest;
    for (const struct wg_yaml_node *value = map->kind == WG_YAML_MAP ? map->first : NULL; value != NULL;
         value = value->next)
        if ((wg_word_nearest(value->key->text, words) != NULL && !is_any_key(value->key->text)) ||
            wg_keepers_key_meant(value->key->text, words) != NULL ||
            key_without_colon(value->key->text, words, &rest) != NULL)
            return true;
    return false;
}

void wg_read_missing(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *subject,
                     const struct wg_key *key) {
    char example[WG_SCHEMA_TEXT];
    example_of(key, example);
    if (!wg_read_is_misspelt(map, key->name))
        wg_read_mistake(reader, map, "%c%s needs \"%s\". Write for example %s.", toupper((unsigned char)subject[0]),
                        subject + 1, key->name, example);
}

const struct wg_yaml_node *wg_read_required(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                                            enum wg_group_id group, const char *name) {
    const struct wg_group *const of = wg_schema_group(group);
    const struct wg_key *const key = wg_read_key_row(group, name);
    const struct wg_yaml_node *const node = wg_yaml_get(map, name);
    if (node == NULL && (key->flags & WG_KEY_REQUIRED))
        wg_read_missing(reader, map, of->subject != NULL ? of->subject : of->what, key);
    return node;
}

bool wg_read_list(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                  const char *name) {
    const struct wg_key *const key = wg_read_key_row(group, name);
    const struct wg_yaml_node *const node = wg_read_required(reader, map, group, name);
    char example[WG_SCHEMA_TEXT];
    if (node == NULL)
        return false;
    example_of(key, example);
    if (node->kind == WG_YAML_LIST && node->n > 0)
        return true;
    if (node->kind == WG_YAML_MAP)
        wg_read_mistake(reader, node,
                        "Write %s here, even for a single item: put [ ] around it, or \"- \" in front. For example %s.",
                        key->noun, example);
    else if (node->kind == WG_YAML_LIST)
        wg_read_mistake(reader, node, "This list is empty. Write for example %s.", example);
    else if (node->text[0] == '\0')
        wg_read_mistake_key(reader, node, "The value is missing. Write for example %s.", example);
    else
        wg_read_mistake(reader, node, "Write %s here, for example %s.", key->noun, example);
    return false;
}

/* ---- values ---- */

const char *wg_read_text(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                         const char *example) {
    if (node == NULL)
        return NULL;
    if (node->kind != WG_YAML_TEXT) {
        wg_read_mistake(reader, node, "Write %s here, for example %s, not a %s.", what, example,
                        node->kind == WG_YAML_LIST ? "list" : "group of keys");
        return NULL;
    }
    if (node->text[0] == '\0') {
        wg_read_mistake_key(reader, node, "The value is missing. Write %s, for example %s.", what, example);
        return NULL;
    }
    return node->text;
}

bool wg_read_is_word(const struct wg_yaml_node *node, const char *word) {
    return node != NULL && node->kind == WG_YAML_TEXT && strcmp(node->text, word) == 0;
}

/* Returns the unit of a price, "per kg" or "/kg", or the end of the text. */
static const char *unit_of_price(const char *text) {
    const char *const per = strstr(text, "per"), *const slash = text + strcspn(text, "/");
    return per != NULL && per < slash ? per : slash;
}

/* Returns a price without the plan's own currency: "60 per kg" of "60 KES per kg"; else the text itself. */
static const char *without_currency(const struct wg_scenario_reader *reader, const char *text, char out[PRICE_SIZE]) {
    const char *const currency = reader->plan->currency;
    const size_t n = strlen(currency);
    const char *const at = n > 0 && wg_money_named(text) == NULL ? strstr(text, currency) : NULL;
    if (at == NULL || at > unit_of_price(text) || strlen(text) >= PRICE_SIZE || isalpha((unsigned char)at[n]) ||
        (at > text && isalpha((unsigned char)at[-1])))
        return text;
    (void)snprintf(out, PRICE_SIZE, "%.*s%s", (int)(at - text), text, at + n);
    return out;
}

/* Takes a word of three capitals before the unit of a price for the code of a currency. */
static void refuse_quantity(struct wg_scenario_reader *reader, const struct wg_yaml_node *node,
                            enum wg_dimension dimension, const char *message) {
    static const char capitals[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    const char *const code = node->text + strcspn(node->text, capitals);
    if (!wg_dimension_is_price(dimension) || strspn(code, capitals) != 3 || code > unit_of_price(node->text) ||
        wg_money_named(node->text) != NULL)
        wg_read_mistake(reader, node, "%s", message);
    else
        wg_read_mistake(reader, node,
                        "\"%.3s\" is not a unit known here. If it is the currency of all prices, name it once, at the "
                        "top of the plan: currency: %.3s.",
                        code, code);
}

/* Reads "none" as 0. */
static bool read_quantity(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const struct wg_key *key,
                          double *out) {
    const enum wg_dimension dimension = key->dimension;
    const double least = key->least, most = key->most;
    const char *const text = wg_read_text(reader, node, wg_dimension_name(dimension), wg_dimension_example(dimension));
    if (text == NULL)
        return false;
    if (key->words != NULL && wg_word_index(text, key->words) >= 0) {
        *out = 0;
        return true;
    }
    if (key->words != NULL && strpbrk(text, "0123456789") == NULL) {
        wg_read_mistake(reader, node, "\"%.40s\" is not %s: write %s, or %s such as %s.", text, key->noun,
                        key->words[0], key->or_write, wg_dimension_example(dimension));
        return false;
    }
    char message[WG_QUANTITY_MESSAGE], price[PRICE_SIZE];
    double value;
    const char *const amount = wg_dimension_is_price(dimension) ? without_currency(reader, text, price) : text;
    if (wg_quantity_read(amount, dimension, &value, message) < 0) {
        refuse_quantity(reader, node, dimension, message);
        return false;
    }
    if (wg_dimension_is_price(dimension) && !wg_read_currency_of(reader, node, text))
        return false;
    /* Rounding in other units may push a value at the limit just past it. */
    const double slack = 1e-9 * fmax(1.0, fmax(fabs(least), fabs(most)) < 1e6 ? fmax(fabs(least), fabs(most)) : 1.0);
    if (value < least - slack || value > most + slack) {
        char low[WG_QUANTITY_SHOWN_SIZE], high[WG_QUANTITY_SHOWN_SIZE];
        wg_quantity_show(dimension, least, low);
        wg_quantity_show(dimension, most, high);
        wg_read_mistake(reader, node, "\"%.40s\" cannot be right: it must lie between %s and %s.", text, low, high);
        return false;
    }
    *out = fmin(fmax(value, least), most);
    return true;
}

static bool read_whole(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const struct wg_key *key,
                       int64_t *out) {
    const char *const what = key->noun;
    const int64_t least = (int64_t)key->least, most = (int64_t)key->most;
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
        wg_read_mistake(reader, node, "\"%.40s\" is not a whole number: %s is a whole number from %lld to %lld.", text,
                        what, (long long)least, (long long)most);
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

static bool read_seed(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, uint64_t *out) {
    const char *const text = wg_read_text(reader, node, "a whole number", "2026");
    if (text == NULL)
        return false;
    char *end = NULL;
    errno = 0;
    const unsigned long long seed = isdigit((unsigned char)text[0]) ? strtoull(text, &end, 10) : 0;
    if (end == NULL || *end != '\0' || errno != 0) {
        wg_read_mistake(
            reader, node,
            "\"%.40s\" cannot be a seed: it is a whole number from 0 to 18446744073709551615, for example 2026.", text);
        return false;
    }
    *out = seed;
    return true;
}

/*
 * Says how to write a date that has its year at the end, or a day such as 11/15. Returns false if it is neither.
 */
static bool refuse_written_date(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *text) {
    struct wg_written_date date;
    char message[WG_DATE_MESSAGE], key[40] = "", whole[32];
    const bool has_year = strlen(text) > 5 || strchr(text, '/') == NULL;
    (void)snprintf(whole, sizeof whole, "%.20s%s", text, has_year ? "" : "/2024"); /* a leap year, for 02-29 */
    if (wg_written_date_read(whole, &date) < 0)
        return false;
    if (node->key != NULL)
        (void)snprintf(key, sizeof key, "%.30s: ", node->key->text);
    wg_written_date_advise(&date, text, key, has_year, message);
    wg_read_mistake(reader, node, "%s", message);
    return true;
}

/* Says how to write "May 1" or "1 May 2027". `day_only`: the key takes no year. Returns false for any other text. */
static bool refuse_worded_date(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *text,
                               bool yearly, bool day_only) {
    struct wg_date date;
    char key[40] = "", year[16] = "";
    if (!wg_worded_date_read(text, &date))
        return false;
    if (node->key != NULL)
        (void)snprintf(key, sizeof key, "%.30s: ", node->key->text);
    if (date.year == 0 && !yearly && !day_only) {
        wg_read_mistake(reader, node,
                        "Write \"%.30s\" with its year, year-month-day with leading zeros, for example 2026-%02d-%02d.",
                        text, date.month, date.day);
        return true;
    }
    if (!day_only && date.year != 0)
        (void)snprintf(year, sizeof year, "%04d-", date.year);
    wg_read_mistake(reader, node, "Write \"%.30s\" as %s%s%02d-%02d.", text, key, year, date.month, date.day);
    return true;
}

/* `yearly`: a day of the year would do, too. */
static bool read_any_date(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, bool yearly,
                          int32_t *day) {
    const char *const text = wg_read_text(reader, node, "a date", "2026-11-15 (year-month-day)");
    if (text == NULL)
        return false;
    const char *const advice = wg_keepers_value("a date", text);
    const int code = wg_day_parse(text, day);
    if (code < 0 && advice != NULL)
        wg_read_mistake(reader, node, "\"%.40s\" is not a date. %s", text, advice);
    else if (code == -2)
        wg_read_mistake(reader, node, "There is no such day as %.10s.", text);
    else if (code < 0 && !refuse_written_date(reader, node, text) &&
             !refuse_worded_date(reader, node, text, yearly, false))
        wg_read_mistake(reader, node,
                        "\"%.40s\" is not a date: write year-month-day with leading zeros, for example 2026-11-15%s.",
                        text, yearly ? ", or 11-15 without a year" : "");
    return code == 0;
}

static bool read_month_day(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, int *season_index) {
    const char *const text = wg_read_text(reader, node, "a day of the year", "11-15 (month-day)");
    if (text == NULL)
        return false;
    char date[16];
    int32_t day;
    (void)snprintf(date, sizeof date, "2024-%.6s", text); /* a leap year, so that 02-29 passes */
    if (wg_day_parse(text, &day) == 0) {
        wg_read_mistake(reader, node, "This is the same day each year: write it without the year, %s.", text + 5);
        return false;
    }
    if (strlen(text) != 5 || wg_day_parse(date, &day) < 0) {
        if (!refuse_written_date(reader, node, text) && !refuse_worded_date(reader, node, text, true, true))
            wg_read_mistake(
                reader, node,
                "\"%.40s\" is not a day of the year: write month-day, for example 11-15 for the 15th of November.",
                text);
        return false;
    }
    *season_index = wg_season_index(day);
    return true;
}

bool wg_read_season(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                    struct wg_season *season) {
    const char *const what = wg_schema_group(group)->what;
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

static bool read_flag(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, bool *out) {
    static const char *const yes[] = {"yes", "true", "on", NULL}, *const no[] = {"no", "false", "off", NULL};
    const char *const text = wg_read_text(reader, node, "yes or no", "yes");
    if (text == NULL)
        return false;
    if (wg_word_index(text, yes) < 0 && wg_word_index(text, no) < 0) {
        wg_read_mistake(reader, node, "\"%.40s\" is neither yes nor no.%s", text,
                        strchr(text, '%') != NULL ? " The chance stands beside it: yes, chance: 95 %." : "");
        return false;
    }
    *out = wg_word_index(text, yes) >= 0;
    return true;
}

static bool read_word(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const struct wg_key *key,
                      int *out) {
    const char *words[WG_SCHEMA_MAX_WORDS];
    if (key->kind == WG_KEY_FEED)
        wg_read_feed_names(reader, words);
    else
        wg_schema_words(key, words);
    const char *const text = wg_read_text(reader, node, key->noun, words[0]);
    if (text == NULL)
        return false;
    const int i = wg_word_index(text, words);
    if (i >= 0) {
        *out = i;
        return true;
    }
    const char *const nearest = wg_word_nearest(text, words), *const advice = wg_keepers_value(key->noun, text);
    char list[400];
    wg_word_list(words, list, sizeof list);
    if (advice != NULL)
        wg_read_mistake(reader, node, "\"%.60s\" is not %s. %s", text, key->noun, advice);
    else if (nearest != NULL)
        wg_read_mistake(reader, node, "\"%.60s\" is not %s. Did you mean \"%s\"?", text, key->noun, nearest);
    else if (key->kind != WG_KEY_FEED || !reader->feeds_wrong) /* it may be a feed whose mistake has been reported */
        wg_read_mistake(reader, node, "\"%.60s\" is not %s. It can be %s.", text, key->noun, list);
    return false;
}

/* The limit is in bytes; plain English text has one byte per letter, so its writer need not know. */
void wg_read_too_long(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                      size_t most) {
    bool is_plain = true;
    for (const char *c = node->text; *c != '\0'; c++)
        is_plain = is_plain && (unsigned char)*c < 0x80;
    wg_read_mistake(reader, node, "This %s is too long: it may have at most %zu letters%s.", what, most,
                    is_plain ? "" : ", and a letter that English does not use counts as two to four");
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

static bool read_when(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, struct wg_when *when) {
    const char *const text = wg_read_text(reader, node, "a condition", "flies are about");
    char message[WG_QUANTITY_MESSAGE];
    if (text == NULL)
        return false;
    if (wg_when_read(text, when, message) == 0)
        return true;
    wg_read_mistake(reader, node, "%s", message);
    return false;
}

/* ---- days ---- */

static bool read_day(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const struct wg_key *key,
                     int32_t *day) {
    const bool yearly = key->flags & WG_KEY_OR_YEAR_DAY;
    if (yearly && wg_read_is_year_day(node))
        return wg_read_first_year_day(reader, node, day);
    if (!read_any_date(reader, node, yearly, day))
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

/* ---- by the rows of the schema ---- */

/* Whether a date is "never", which leaves its action out. */
static bool is_word_of(const struct wg_yaml_node *node, const struct wg_key *key) {
    return key->words != NULL && node->kind == WG_YAML_TEXT && wg_word_index(node->text, key->words) >= 0;
}

bool wg_read_value(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const struct wg_key *key,
                   void *out) {
    if (node == NULL)
        return false;
    switch (key->kind) {
    case WG_KEY_QUANTITY:
    case WG_KEY_MONTHS:
    case WG_KEY_LATITUDE:
        return read_quantity(reader, node, key, out);
    case WG_KEY_WHOLE:
        return read_whole(reader, node, key, out);
    case WG_KEY_SEED:
        return read_seed(reader, node, out);
    case WG_KEY_WORD:
    case WG_KEY_FEED:
        return read_word(reader, node, key, out);
    case WG_KEY_FLAG:
    case WG_KEY_SWITCH:
        return read_flag(reader, node, out);
    case WG_KEY_DATE:
        return is_word_of(node, key) || read_day(reader, node, key, out);
    case WG_KEY_WHEN:
        return read_when(reader, node, out);
    case WG_KEY_YEAR_DAY:
        return read_month_day(reader, node, out);
    default: /* the code of their groups reads the other kinds */
        wg_assert(key->kind == WG_KEY_BIN || key->kind == WG_KEY_PLACE);
        return wg_read_place_name(reader, node, key->kind == WG_KEY_BIN, out);
    }
}

enum wg_read_outcome wg_read_key(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                                 enum wg_group_id group, const char *name, void *out) {
    const struct wg_key *const key = wg_read_key_row(group, name);
    const struct wg_yaml_node *const node = wg_read_required(reader, map, group, name);
    if (node == NULL)
        return key->flags & WG_KEY_REQUIRED ? WG_READ_WRONG : WG_READ_ABSENT;
    return wg_read_value(reader, node, key, out) ? WG_READ_GOOD : WG_READ_WRONG;
}

bool wg_read_members(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                     void *members) {
    bool good = true;
    for (const struct wg_key *key = wg_schema_group(group)->keys; key->name != NULL; key++)
        if (key->has_member && !(key->flags & WG_KEY_BY_HAND))
            good &= wg_read_key(reader, map, group, key->name, (char *)members + key->offset) != WG_READ_WRONG;
    return good;
}
