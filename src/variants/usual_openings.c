/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes openings into the text of a plan: a choice "winter" for the set point, "warm" and "warm_from" for the warm-up in
 * spring, and seasons for the lamps.
 *
 * The ranges are judgement: prepupae rest in the cool and flies mate from about 24 degC on, so the set points go from frost-free
 * to warm enough for mating; a warm-up begins between the turn of winter and late spring.
 */
#include "variants/usual_openings.h"

#include "base/calendar.h"
#include "variants/openings.h"
#include "variants/written_units.h"

#include <stdio.h>
#include <string.h>

#define MAX_USUAL_EDITS 8

struct usual_edit {
    size_t at, length;
    struct wg_bytes text;
};

struct usual_opener {
    const struct wg_usual *usual;
    const char *text;
    const struct wg_yaml_node *root, *device, *set_point, *lamps;
    const char *in; /* the name of the place, or of the bin of a mat */
    struct usual_edit edit[MAX_USUAL_EDITS];
    int n_edits, opened;
};

/* ---- edits ---- */

static struct wg_bytes *new_edit(struct usual_opener *opener, size_t at, size_t length) {
    wg_assert(opener->n_edits < MAX_USUAL_EDITS);
    struct usual_edit *const edit = &opener->edit[opener->n_edits++];
    *edit = (struct usual_edit){.at = at, .length = length};
    return &edit->text;
}

/* Puts a key with its value before the first key of a map. */
static void insert_key(struct usual_opener *opener, const struct wg_yaml_node *map, const char *line) {
    const struct wg_yaml_node *const first = map->first->key;
    struct wg_bytes *const out = new_edit(opener, first->at, 0);
    wg_bytes_put(out, line);
    if (map->has_brackets)
        wg_bytes_put(out, ", ");
    else
        wg_bytes_printf(out, "\n%*s", first->column - 1, "");
}

/* Puts two items at the beginning of a list. */
static void insert_items(struct usual_opener *opener, const struct wg_yaml_node *list, const char *const item[2]) {
    const bool brackets = list->has_brackets;
    struct wg_bytes *const out = new_edit(opener, brackets ? list->first->at : list->at, 0);
    for (int i = 0; i < 2; i++) {
        if (brackets)
            wg_bytes_printf(out, "%s, ", item[i]);
        else
            wg_bytes_printf(out, "- %s\n%*s", item[i], list->column - 1, "");
    }
}

/* ---- the device ---- */

static bool is_fahrenheit(const struct usual_opener *opener) {
    const char *const text = opener->set_point != NULL ? opener->set_point->text : "";
    const bool is_celsius = strstr(text, "degC") != NULL;
    return wg_writes_fahrenheit(text) || (!is_celsius && wg_writes_fahrenheit(opener->text));
}

/* Finds the first heater, or else the first mat. */
static void find_device(struct usual_opener *opener) {
    const struct wg_yaml_node *const places = wg_yaml_get(opener->root, "places");
    for (const struct wg_yaml_node *place = places->first; place != NULL && opener->device == NULL;
         place = place->next) {
        opener->device = wg_yaml_get(place, "heater");
        opener->in = wg_yaml_get(place, "name")->text;
        opener->lamps = wg_yaml_get(wg_yaml_get(place, "housing"), "lamps");
    }
    for (const struct wg_yaml_node *place = places->first; place != NULL && opener->device == NULL;
         place = place->next) {
        const struct wg_yaml_node *const bins = wg_yaml_get(place, "bins");
        for (const struct wg_yaml_node *bin = bins != NULL ? bins->first : NULL; bin != NULL && opener->device == NULL;
             bin = bin->next) {
            opener->device = wg_yaml_get(bin, "mat");
            opener->in = wg_yaml_get(bin, "name")->text;
            opener->lamps = NULL;
        }
    }
    if (opener->device != NULL && (opener->device->kind != WG_YAML_MAP || opener->device->first == NULL))
        opener->device = NULL;
    opener->set_point = wg_yaml_get(opener->device, "set_point");
}

/* ---- the warm-up ---- */

/* Returns the day of a date in the first year in which it is in the period; false if there is none. */
static bool find_day_of_year(const struct wg_usual *usual, const char *month_day, int32_t from, int32_t *day) {
    char date[16], first[16];
    wg_day_format(usual->first_day, first);
    const int year = (first[0] - '0') * 1000 + (first[1] - '0') * 100 + (first[2] - '0') * 10 + first[3] - '0';
    for (int y = year; y < year + 3; y++) {
        (void)snprintf(date, sizeof date, "%04d-%.5s", y, month_day);
        if (wg_day_parse(date, day) == 0 && *day > from)
            return *day <= usual->last_day;
    }
    return false;
}

static bool changes_heat(const struct usual_opener *opener) {
    static const char *const keys[] = {"set_point", "heater", "mat"};
    const struct wg_yaml_node *const list = wg_yaml_get(opener->root, "keeping");
    bool changes = false;
    for (const struct wg_yaml_node *item = list != NULL ? list->first : NULL; item != NULL; item = item->next)
        for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
            changes = changes || wg_yaml_get(item, keys[i]) != NULL;
    return changes;
}

/* Writes "never, 2027-02-01, ..." of the days that are in the period. Returns how many. */
static int list_warm_days(const struct usual_opener *opener, struct wg_bytes *out, int32_t *last) {
    static const char *const north[] = {"02-01", "02-20", "03-10", "03-25", "04-10", "04-25", "05-15"};
    static const char *const south[] = {"08-01", "08-20", "09-10", "09-25", "10-10", "10-25", "11-15"};
    const char *const *const days = opener->usual->is_south ? south : north;
    int n = 0;
    for (int i = 0; i < 7; i += opener->usual->is_dear ? 2 : 1) {
        char date[16];
        int32_t day;
        if (!find_day_of_year(opener->usual, days[i], opener->usual->first_day, &day))
            continue;
        wg_day_format(day, date);
        wg_bytes_printf(out, "%s%s", n++ > 0 ? ", " : "", date);
        *last = day;
    }
    return n;
}

/* Adds the choices of the warm-up, and the two changes: warm in spring, as in winter again from summer on. */
static void open_warm_up(struct usual_opener *opener, struct wg_bytes *choices) {
    const struct wg_yaml_node *const keeping = wg_yaml_get(opener->root, "keeping");
    struct wg_bytes days = {0};
    int32_t last = 0, summer;
    char warm[200], cool[200], both[500], date[16];
    if (changes_heat(opener) || (keeping != NULL && (keeping->kind != WG_YAML_LIST || keeping->first == NULL)))
        return;
    if (list_warm_days(opener, &days, &last) > 0 &&
        find_day_of_year(opener->usual, opener->usual->is_south ? "12-01" : "06-01", last, &summer)) {
        wg_day_format(summer, date);
        wg_bytes_printf(choices, ", warm: {now: %s}, warm_from: {now: never, try: [%s]}",
                        is_fahrenheit(opener) ? "75 degF, try: [80 degF]" : "24 degC, try: [27 degC]", days.data);
        (void)snprintf(warm, sizeof warm, "{do: change, on: warm_from, in: \"%.80s\", set_point: warm}", opener->in);
        (void)snprintf(cool, sizeof cool, "{do: change, on: %.10s, in: \"%.80s\", set_point: winter}", date,
                       opener->in);
        (void)snprintf(both, sizeof both, "keeping: [%s, %s]", warm, cool);
        if (keeping == NULL)
            insert_key(opener, opener->root, both);
        else
            insert_items(opener, keeping, (const char *const[]){warm, cool});
        opener->opened |= WG_USUAL_WARM_UP;
    }
    wg_bytes_free(&days);
}

/* ---- the lamps ---- */

/* Writes the lamps with another season. */
static void put_lamps_with(const struct usual_opener *opener, const char *season, struct wg_bytes *out) {
    const struct wg_yaml_node *const lamps = opener->lamps;
    wg_bytes_put(out, "{");
    if (lamps->kind == WG_YAML_TEXT)
        wg_bytes_printf(out, "hours: %.60s", lamps->text);
    int n = lamps->kind == WG_YAML_TEXT;
    for (const struct wg_yaml_node *value = lamps->first; value != NULL; value = value->next) {
        if (strcmp(value->key->text, "from") == 0 || strcmp(value->key->text, "to") == 0)
            continue;
        wg_bytes_put(out, n++ > 0 ? ", " : "");
        wg_openings_put_value(value->key, out);
        wg_bytes_put(out, ": ");
        wg_openings_put_value(value, out);
    }
    wg_bytes_printf(out, "%s}", season);
}

static bool has_season(const struct wg_yaml_node *lamps, const char *season) {
    const struct wg_yaml_node *const from = wg_yaml_get(lamps, "from"), *const to = wg_yaml_get(lamps, "to");
    char own[64] = "";
    if (from != NULL && to != NULL && from->text != NULL && to->text != NULL)
        (void)snprintf(own, sizeof own, ", from: %.20s, to: %.20s", from->text, to->text);
    return strcmp(own, season) == 0;
}

static void open_lamps(struct usual_opener *opener) {
    static const char *const north[] = {", from: 04-15, to: 08-31", ", from: 03-15, to: 09-30",
                                        ", from: 02-01, to: 08-31", ""};
    static const char *const south[] = {", from: 10-15, to: 02-28", ", from: 09-15, to: 03-31",
                                        ", from: 08-01, to: 02-28", ""};
    const struct wg_yaml_node *const lamps = opener->lamps;
    if (lamps == NULL || lamps->kind == WG_YAML_LIST || (lamps->text != NULL && strcmp(lamps->text, "none") == 0))
        return;
    const bool has_colon = lamps->kind == WG_YAML_MAP && !lamps->has_brackets;
    const size_t at = has_colon ? lamps->key->end : lamps->at;
    struct wg_bytes *const out = new_edit(opener, at, lamps->end - at);
    wg_bytes_put(out, has_colon ? ": {now: " : "{now: ");
    wg_openings_put_value(lamps, out);
    wg_bytes_put(out, ", try: [");
    int n = 0;
    for (int i = 0; i < 4; i += opener->usual->is_dear ? 2 : 1) {
        const char *const season = (opener->usual->is_south ? south : north)[i];
        if (has_season(lamps, season))
            continue;
        wg_bytes_put(out, n++ > 0 ? ", " : "");
        put_lamps_with(opener, season, out);
    }
    wg_bytes_put(out, "], or: none}");
    opener->opened |= WG_USUAL_LAMPS;
}

/* ---- all ---- */

static void open_set_point(struct usual_opener *opener) {
    struct wg_bytes choices = {0};
    const struct wg_yaml_node *const node = opener->set_point;
    const bool fahrenheit = is_fahrenheit(opener);
    wg_bytes_put(&choices, "choose: {winter: {now: ");
    if (node != NULL)
        wg_openings_put_value(node, &choices);
    else
        wg_bytes_put(&choices, "27 degC"); /* the default of a mat */
    const char *const few = fahrenheit ? "40 to 80 degF by 10" : "4 to 28 degC by 6";
    const char *const many = fahrenheit ? "40 to 80 degF by 5" : "4 to 28 degC by 3";
    wg_bytes_printf(&choices, ", try: %s, or: off}", opener->usual->is_dear ? few : many);
    if (node != NULL)
        wg_bytes_put(new_edit(opener, node->at, node->end - node->at), "winter");
    else
        insert_key(opener, opener->device, "set_point: winter");
    opener->opened |= WG_USUAL_SET_POINT;
    open_warm_up(opener, &choices);
    wg_bytes_put(&choices, "}");
    if (choices.data != NULL)
        insert_key(opener, opener->root, choices.data);
    wg_bytes_free(&choices);
}

/* Applies the edits in the order of their places; of two at one place the later stands first. */
static void apply_usual_edits(struct usual_opener *opener, size_t size, struct wg_bytes *out) {
    bool done[MAX_USUAL_EDITS] = {false};
    size_t at = 0;
    for (int k = 0; k < opener->n_edits; k++) {
        int next = -1;
        for (int i = 0; i < opener->n_edits; i++)
            if (!done[i] && (next < 0 || opener->edit[i].at <= opener->edit[next].at))
                next = i;
        done[next] = true;
        wg_bytes_add(out, opener->text + at, opener->edit[next].at - at);
        wg_bytes_add(out, opener->edit[next].text.data, opener->edit[next].text.size);
        out->failed = out->failed || opener->edit[next].text.failed;
        at = opener->edit[next].at + opener->edit[next].length;
        wg_bytes_free(&opener->edit[next].text);
    }
    wg_bytes_add(out, opener->text + at, size - at);
}

int wg_usual_openings(const struct wg_usual *usual, const char *text, size_t size, struct wg_bytes *out, int *opened) {
    struct wg_yaml yaml = {0};
    struct wg_mistakes mistakes = {0};
    struct usual_opener opener = {.usual = usual, .text = text};
    int code = wg_yaml_read(&yaml, text, size, &mistakes);
    if (code == 0) {
        opener.root = yaml.root;
        find_device(&opener);
        if (opener.device != NULL)
            open_set_point(&opener);
        open_lamps(&opener);
        apply_usual_edits(&opener, size, out);
    }
    *opened = opener.opened | (opener.opened != 0 && usual->is_dear ? WG_USUAL_FEWER : 0);
    wg_mistakes_free(&mistakes);
    wg_yaml_free(&yaml);
    return code < 0 ? code : out->failed ? WG_ERR_MEMORY : 0;
}
