/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads the period and the climate.
 */
#include "climate/sketch.h"
#include "records/weather_file.h"
#include "scenario/read.h"
#include "text/nearest_word.h"
#include "text/text_file.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* ---- period ---- */

void wg_read_period(struct wg_scenario_reader *reader) {
    struct wg_plan *const plan = reader->plan;
    const struct wg_yaml_node *const period = wg_read_required(reader, reader->root, WG_GROUP_SCENARIO, "period");
    if (!wg_read_group(reader, period, WG_GROUP_PERIOD) || !wg_read_members(reader, period, WG_GROUP_PERIOD, plan))
        return;
    const struct wg_yaml_node *const from = wg_yaml_get(period, "from"), *const to = wg_yaml_get(period, "to");
    if (plan->last_day < plan->first_day)
        wg_read_mistake(reader, to,
                        "The period ends before it begins. Write the earlier date first, for example period: {from: "
                        "2026-09-15, to: 2027-09-14}.");
    else if (plan->last_day - plan->first_day >= WG_MAX_DAYS)
        wg_read_mistake(reader, to, "The period is longer than a hundred years. Is the year right?");
    else if (plan->first_day < WG_DAY_FIRST + 400 || plan->last_day > WG_DAY_LAST - 400)
        wg_read_mistake(reader, from, "The year must be from 3 to 9997.");
    else
        reader->period_known = true;
}

/* ---- latitude and elevation ---- */

/* Reads a latitude without a hemisphere, which is north, or reports what is wrong with one, as it was written. */
static bool read_bare_latitude(struct wg_scenario_reader *reader, const struct wg_yaml_node *node,
                               const struct wg_key *key, double *latitude_deg) {
    char message[WG_QUANTITY_MESSAGE];
    const char *rest;
    double value;
    if (wg_quantity_read(node->text, WG_ANGLE, &value, message) == 0 || strchr(node->text, ',') != NULL)
        return wg_read_value(reader, node, key, latitude_deg);
    const bool is_number = wg_number_read(node->text, &value, &rest) == 0 && *rest == '\0';
    wg_read_mistake(reader, node, "\"%.40s\" %s: write for example 32.4 N or 34 S.", node->text,
                    is_number ? "lacks N or S" : "is not a latitude");
    return false;
}

/* Reads "32.4 degrees", "32.4 N" and "33.9 degrees south". */
static bool read_latitude(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, double *latitude_deg) {
    static const struct {
        const char *written;
        double sign;
    } hemispheres[] = {{"north", 1}, {"south", -1}, {"N", 1}, {"S", -1}};
    const struct wg_key *const key = wg_schema_find(WG_GROUP_CLIMATE, "latitude");
    const char *const text = wg_read_text(reader, node, "a latitude", "32.4 N or 34 S");
    if (text == NULL)
        return false;
    char number[64];
    double sign = 0;
    size_t n = strlen(text);
    for (size_t i = 0; sign == 0 && i < sizeof hemispheres / sizeof *hemispheres; i++) {
        const size_t length = strlen(hemispheres[i].written);
        /* the s of "degrees" does not mean south */
        if (n > length && strcasecmp(text + n - length, hemispheres[i].written) == 0 &&
            !isalpha((unsigned char)text[n - length - 1])) {
            sign = hemispheres[i].sign;
            n -= length;
        }
    }
    while (n > 0 && text[n - 1] == ' ')
        n--;
    if (sign == 0 || n + sizeof " degrees" > sizeof number)
        return read_bare_latitude(reader, node, key, latitude_deg);
    memcpy(number, text, n);
    const bool bare = n > 0 && strchr("0123456789.", text[n - 1]) != NULL;
    strcpy(number + n, bare ? " degrees" : "");
    const struct wg_yaml_node without = {
        .kind = WG_YAML_TEXT, .line = node->line, .column = node->column, .text = number};
    double size_deg;
    double any_deg;
    char message[WG_QUANTITY_MESSAGE];
    if (wg_quantity_read(number, WG_ANGLE, &any_deg, message) < 0) /* "34,2 S": quoted as written */
        return read_bare_latitude(reader, node, key, latitude_deg);
    if (any_deg > key->most) {
        wg_read_mistake(reader, node, "\"%.40s\" cannot be right: it must lie between 66 S and 66 N.", text);
        return false;
    }
    if (!wg_read_value(reader, &without, key, &size_deg))
        return false;
    if (size_deg < 0) { /* "-32.4 S" */
        wg_read_mistake(reader, node,
                        "\"%.40s\" has both a minus sign and a hemisphere. Keep one of the two, for example 32.4 S.",
                        text);
        return false;
    }
    *latitude_deg = sign * size_deg;
    return true;
}

/* Returns whether the latitude is known. */
static bool read_climate_site(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                              const struct wg_weather_record_note *note) {
    struct wg_climate_spec *const climate = &reader->plan->climate;
    bool known = note != NULL && note->has_latitude;
    const struct wg_yaml_node *const latitude = wg_yaml_get(map, "latitude");
    if (latitude != NULL)
        known = read_latitude(reader, latitude, &climate->latitude_deg);
    else if (known)
        climate->latitude_deg = note->latitude_deg;
    else if (climate->kind != WG_CLIMATE_CONSTANT)
        wg_read_missing(reader, map, "the climate", wg_schema_find(WG_GROUP_CLIMATE, "latitude"));
    if (note != NULL && note->has_elevation)
        climate->elevation_m = note->elevation_m;
    (void)wg_read_members(reader, map, WG_GROUP_CLIMATE, climate);
    /* Allen et al. 1998, FAO Irrigation and Drainage Paper 56, equation 50. */
    climate->sun_coefficient = climate->is_coast ? 0.19 : 0.16;
    return known;
}

/* ---- monthly normals ---- */

enum { UNIT_DEGF, UNIT_DEGC };

/* In place of a unit: none is given, or a wrong one, which has been reported. */
enum { UNIT_NONE = -1, UNIT_WRONG = -2 };

static bool is_bare(const struct wg_yaml_node *node) {
    double number;
    const char *rest;
    return node != NULL && node->kind == WG_YAML_TEXT && wg_number_read(node->text, &number, &rest) == 0 &&
           *rest == '\0';
}

/* `unit` applies to numbers without a unit. */
static bool read_month(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const struct wg_key *key,
                       int unit, double *value) {
    const char *const text =
        wg_read_text(reader, node, wg_dimension_name(key->dimension), wg_dimension_example(key->dimension));
    if (text == NULL)
        return false;
    if (!is_bare(node))
        return wg_read_value(reader, node, key, value);
    if (unit < 0)
        return false;
    char with_unit[80];
    (void)snprintf(with_unit, sizeof with_unit, "%.60s %s", text,
                   wg_schema_find(WG_GROUP_NORMALS, "unit")->words[unit]);
    const struct wg_yaml_node node_with_unit = {
        .kind = WG_YAML_TEXT, .line = node->line, .column = node->column, .text = with_unit};
    return wg_read_value(reader, &node_with_unit, key, value);
}

static bool read_months(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *name, int unit,
                        double values[12]) {
    const struct wg_key *const key = wg_schema_find(WG_GROUP_NORMALS, name);
    const struct wg_yaml_node *const node = wg_read_required(reader, map, WG_GROUP_NORMALS, name);
    const bool or_one = (key->flags & WG_KEY_OR_ONE) != 0;
    if (node == NULL)
        return false;
    if (or_one && node->kind == WG_YAML_TEXT) {
        if (!read_month(reader, node, key, unit, &values[0]))
            return false;
        for (int m = 1; m < 12; m++)
            values[m] = values[0];
        return true;
    }
    if (node->kind != WG_YAML_LIST || node->n != 12) {
        wg_read_mistake(reader, node, "%s needs %stwelve monthly values, January first, in [ ] with commas between%s.",
                        name, or_one ? "one value, or " : "",
                        node->kind != WG_YAML_LIST ? ""
                        : node->n < 12             ? "; this list has fewer"
                                                   : "; this list has more");
        return false;
    }
    bool good = true;
    int m = 0;
    for (const struct wg_yaml_node *month = node->first; month != NULL; month = month->next)
        good &= read_month(reader, month, key, unit, &values[m++]);
    return good;
}

static const char *month_name(int m) {
    static const char *const names[12] = {"January", "February", "March",     "April",   "May",      "June",
                                          "July",    "August",   "September", "October", "November", "December"};
    return names[m];
}

static const struct wg_yaml_node *nth_item(const struct wg_yaml_node *list, int n) {
    const struct wg_yaml_node *node = list->first;
    while (n-- > 0)
        node = node->next;
    return node;
}

static void check_lows_below_highs(struct wg_scenario_reader *reader, const struct wg_yaml_node *lows,
                                   const struct wg_climate_spec *climate) {
    int wrong = 0, first = -1;
    for (int m = 0; m < 12; m++) {
        if (climate->low_c[m] < climate->high_c[m])
            continue;
        wrong++;
        first = first < 0 ? m : first;
    }
    if (wrong >= 6)
        wg_read_mistake(reader, lows,
                        "In %d months the low is not below the high: are daily_high and daily_low swapped?", wrong);
    else if (wrong > 0)
        wg_read_mistake(reader, nth_item(lows, first), "In %s the daily low is not below the daily high.",
                        month_name(first));
}

/* Default day-to-day spread by latitude: a rough guess, which a scenario may replace. Judgement. */
static const char *usual_spread(double latitude_deg) {
    const double from_equator = latitude_deg < 0 ? -latitude_deg : latitude_deg;
    return from_equator < 23.5 ? "tropical" : from_equator < 38 ? "humid subtropical" : "continental";
}

static void shift_half_a_year(double month[12]) {
    for (int m = 0; m < 6; m++) {
        const double here = month[m];
        month[m] = month[m + 6];
        month[m + 6] = here;
    }
}

static void read_spread(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, int unit) {
    struct wg_climate_spec *const climate = &reader->plan->climate;
    const char *name = usual_spread(climate->latitude_deg);
    int i;
    if (wg_read_key(reader, map, WG_GROUP_NORMALS, "spread", &i) == WG_READ_GOOD)
        name = wg_schema_find(WG_GROUP_NORMALS, "spread")->words[i];
    const int known = wg_climate_spread(name, climate->high_sd_c, climate->low_sd_c);
    wg_assert(known == 0);
    if (climate->latitude_deg < 0) { /* the tables are for the northern hemisphere, January first */
        shift_half_a_year(climate->high_sd_c);
        shift_half_a_year(climate->low_sd_c);
    }
    (void)read_months(reader, map, "daily_high_sd", unit, climate->high_sd_c);
    (void)read_months(reader, map, "daily_low_sd", unit, climate->low_sd_c);
}

/* The unit applies to all numbers of the group; a single number without one makes it required. */
static int read_normals_unit(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    int unit;
    const enum wg_read_outcome outcome = wg_read_key(reader, map, WG_GROUP_NORMALS, "unit", &unit);
    if (outcome != WG_READ_ABSENT)
        return outcome == WG_READ_GOOD ? unit : UNIT_WRONG;
    for (const struct wg_key *key = wg_schema_group(WG_GROUP_NORMALS)->keys; key->name != NULL; key++) {
        const struct wg_yaml_node *const values = key->kind == WG_KEY_MONTHS ? wg_yaml_get(map, key->name) : NULL;
        const struct wg_yaml_node *value = values == NULL || values->kind == WG_YAML_TEXT ? values : values->first;
        for (; value != NULL; value = value == values ? NULL : value->next)
            if (is_bare(value)) {
                wg_read_missing(reader, map, wg_schema_group(WG_GROUP_NORMALS)->subject,
                                wg_schema_find(WG_GROUP_NORMALS, "unit"));
                return UNIT_WRONG;
            }
    }
    return UNIT_NONE;
}

static void read_normals(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    struct wg_climate_spec *const climate = &reader->plan->climate;
    if (!wg_read_group(reader, map, WG_GROUP_NORMALS))
        return;
    const int unit = read_normals_unit(reader, map);
    read_spread(reader, map, unit);
    const bool high_read = read_months(reader, map, "daily_high", unit, climate->high_c);
    if (read_months(reader, map, "daily_low", unit, climate->low_c) && high_read)
        check_lows_below_highs(reader, wg_yaml_get(map, "daily_low"), climate);
}

/* ---- a sketch ---- */

/* "mild coast, four seasons and cold inland" fit a latitude. */
static void list_fitting_sketches(double latitude_deg, char *out, size_t size) {
    const char *fitting[WG_SCHEMA_MAX_WORDS];
    int n = 0;
    const struct wg_sketch *sketch;
    for (int i = 0; (sketch = wg_sketch_at(i)) != NULL; i++)
        if (wg_sketch_fits(sketch, latitude_deg))
            fitting[n++] = sketch->name;
    fitting[n] = NULL;
    wg_word_list(fitting, out, size);
}

static void report_sketch_misfit(struct wg_scenario_reader *reader, const struct wg_yaml_node *node,
                                 const struct wg_sketch *sketch, double latitude_deg) {
    char list[300];
    list_fitting_sketches(latitude_deg, list, sizeof list);
    const char *const hint = list[0] != '\0' ? "Here it can be " : "Give normals or a record";
    wg_read_mistake(reader, node, "There is no \"%s\" at %.4g %c: this sketch is meant for %.0f to %.0f degrees. %s%s.",
                    sketch->name, fabs(latitude_deg), latitude_deg < 0 ? 'S' : 'N', sketch->least_deg, sketch->most_deg,
                    hint, list);
}

static void read_sketch(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    struct wg_climate_spec *const climate = &reader->plan->climate;
    int i;
    if (wg_read_key(reader, map, WG_GROUP_CLIMATE, "sketch", &i) != WG_READ_GOOD)
        return;
    const struct wg_sketch *const sketch = wg_sketch_at(i);
    wg_assert(sketch != NULL && strcmp(sketch->name, wg_schema_find(WG_GROUP_CLIMATE, "sketch")->words[i]) == 0);
    if (!wg_sketch_fits(sketch, climate->latitude_deg)) {
        report_sketch_misfit(reader, wg_yaml_get(map, "sketch"), sketch, climate->latitude_deg);
        return;
    }
    climate->sketch = sketch->name;
    wg_sketch_normals(sketch, climate->latitude_deg, climate->elevation_m, climate->high_c, climate->low_c,
                      climate->high_sd_c, climate->low_sd_c);
}

/* ---- a record ---- */

bool wg_read_is_inside_folder(const char *path) {
    if (path[0] == '/' || path[0] == '\\' || path[0] == '~' || strchr(path, ':') != NULL)
        return false;
    for (const char *part = path; part != NULL; part = strpbrk(part, "/\\")) {
        part += *part == '/' || *part == '\\';
        if (part[0] == '.' && part[1] == '.' && (part[2] == '\0' || part[2] == '/' || part[2] == '\\'))
            return false;
    }
    return true;
}

char *wg_read_path_beside(const char *scenario_path, const char *name) {
    const char *const slash = scenario_path == NULL ? NULL : strrchr(scenario_path, '/');
    const size_t folder = slash == NULL ? 0 : (size_t)(slash - scenario_path) + 1;
    char *const path = malloc(folder + strlen(name) + 1);
    if (path == NULL)
        return NULL;
    if (folder > 0)
        memcpy(path, scenario_path, folder);
    strcpy(path + folder, name);
    return path;
}

static void fetch_record(struct wg_scenario_reader *reader, const struct wg_yaml_node *node) {
    struct wg_scenario *const scenario = reader->scenario;
    if (reader->record_text != NULL) {
        scenario->record_text = malloc(reader->record_size + 1);
        if (scenario->record_text == NULL) {
            reader->code = WG_ERR_MEMORY;
            return;
        }
        memcpy(scenario->record_text, reader->record_text, reader->record_size);
        scenario->record_text[reader->record_size] = '\0';
        scenario->record_size = reader->record_size;
        return;
    }
    struct wg_error err = {0};
    char *const path = wg_read_path_beside(scenario->path, scenario->record_path);
    if (path == NULL) {
        reader->code = WG_ERR_MEMORY;
        return;
    }
    const int code = wg_text_given_read(reader->given, path, WG_WEATHER_RECORD_MAX_BYTES, &scenario->record_text,
                                        &scenario->record_size, &err);
    scenario->record_file = path;
    if (code == WG_ERR_MEMORY)
        reader->code = code;
    else if (code < 0)
        wg_read_mistake(reader, node, "The weather file \"%.100s\" was not read from the scenario's folder: %c%s",
                        scenario->record_path, tolower((unsigned char)err.text[0]), err.text + 1);
}

static bool read_climate_record(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                                struct wg_weather_record_note *note) {
    struct wg_scenario *const scenario = reader->scenario;
    const struct wg_yaml_node *const node = wg_yaml_get(map, "record");
    int use = -1, unit = -1;
    (void)wg_read_key(reader, map, WG_GROUP_CLIMATE, "use", &use);
    (void)wg_read_key(reader, map, WG_GROUP_CLIMATE, "unit", &unit);
    reader->plan->climate.kind = use == 1 ? WG_CLIMATE_FITTED : WG_CLIMATE_YEARS;
    const char *const name = wg_read_text(reader, node, "the name of a weather file", "weather/station.csv");
    if (name == NULL)
        return false;
    if (!wg_read_is_inside_folder(name)) {
        wg_read_mistake(reader, node,
                        "The weather file must lie beside the scenario or in a folder below it: write for example "
                        "weather/station.csv.");
        return false;
    }
    scenario->record_path = strdup(name);
    if (scenario->record_path == NULL)
        reader->code = WG_ERR_MEMORY;
    else
        fetch_record(reader, node);
    if (scenario->record_text == NULL)
        return false;
    struct wg_error err = {0};
    const enum wg_weather_record_unit said = unit == UNIT_DEGF   ? WG_WEATHER_RECORD_DEGF
                                             : unit == UNIT_DEGC ? WG_WEATHER_RECORD_DEGC
                                                                 : WG_WEATHER_RECORD_UNIT_GUESSED;
    const int code = wg_weather_record_parse(&scenario->record, name, scenario->record_text, scenario->record_size,
                                             said, note, &err);
    if (code == WG_ERR_MEMORY)
        reader->code = code;
    else if (code < 0)
        wg_read_mistake(reader, node, "%s%s%s", err.where, err.where[0] != '\0' ? ": " : "", err.text);
    if (code < 0)
        return false;
    reader->plan->climate.record = &scenario->record;
    if (note->is_typical && use == 0)
        wg_read_mistake(
            reader, wg_yaml_get(map, "use"),
            "This file is one typical year, built from months of several years, so there are no years to draw. Write "
            "use: fitted.");
    if (note->is_typical)
        reader->plan->climate.kind = WG_CLIMATE_FITTED;
    scenario->record.is_unit_guessed = note->is_guessed;
    scenario->record_note = strdup(note->text);
    if (scenario->record_note == NULL)
        reader->code = WG_ERR_MEMORY;
    return true;
}

/* ---- climate ---- */

static void check_only_with(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *key,
                            const char *owner) {
    const struct wg_yaml_node *const node = wg_yaml_get(map, key);
    if (node != NULL)
        wg_read_mistake_key(reader, node, "\"%s\" can be used only with %s.", key, owner);
}

/* Returns which of the three kinds of weather is given; reports none or more than one and returns NULL. */
static const char *read_weather_kind(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    static const char *const kinds[] = {"normals", "record", "sketch", "constant"};
    const char *kind = NULL;
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        const struct wg_yaml_node *const node = wg_yaml_get(map, kinds[i]);
        if (node == NULL)
            continue;
        if (kind != NULL) {
            wg_read_mistake_key(reader, node,
                                "The climate has %s already. Keep one of normals, record, sketch and "
                                "constant.",
                                kind);
            return NULL;
        }
        kind = kinds[i];
    }
    if (kind == NULL)
        wg_read_mistake_key(
            reader, map,
            "The climate needs its weather: \"normals\" with monthly means, \"record\" with a weather file, \"sketch\" "
            "with a kind of climate such as four seasons, or \"constant\" with a temperature for a laboratory.");
    return kind;
}

void wg_read_climate(struct wg_scenario_reader *reader) {
    struct wg_climate_spec *const climate = &reader->plan->climate;
    const struct wg_yaml_node *const map = wg_read_required(reader, reader->root, WG_GROUP_SCENARIO, "climate");
    if (!wg_read_group(reader, map, WG_GROUP_CLIMATE))
        return;
    const char *const kind = read_weather_kind(reader, map);
    if (kind == NULL)
        return;
    struct wg_weather_record_note note = {0};
    if (strcmp(kind, "record") != 0) {
        check_only_with(reader, map, "use", "a record");
        check_only_with(reader, map, "unit", "a record (the unit of normals belongs inside the group normals)");
    }
    if (strcmp(kind, "constant") == 0) {
        climate->kind = WG_CLIMATE_CONSTANT;
        (void)read_climate_site(reader, map, NULL);
    } else if (strcmp(kind, "normals") == 0) {
        climate->kind = WG_CLIMATE_NORMALS;
        (void)read_climate_site(reader, map, NULL);
        read_normals(reader, wg_yaml_get(map, "normals"));
    } else if (strcmp(kind, "sketch") == 0) {
        climate->kind = WG_CLIMATE_NORMALS;
        if (read_climate_site(reader, map, NULL))
            read_sketch(reader, map);
    } else if (read_climate_record(reader, map, &note)) {
        (void)read_climate_site(reader, map, &note);
    }
}
