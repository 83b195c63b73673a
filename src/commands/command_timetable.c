/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub timetable: prints how long each stage takes at given temperatures.
 */
#include "cli/args.h"
#include "cli/message.h"
#include "species/lifetable.h"
#include "text/quantity.h"
#include "text/show.h"
#include "text/units.h"
#include "json/json.h"
#include <wintergrub/version.h>

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LIGHT_HOURS 12.0 /* a day near the equinox; females that are ready mate within that day */
#define HATCHED 0.05     /* share of a trap's eggs hatched when it is pulled (judgement: a small loss) */

/* Beyond these a wrong unit is more likely than a real question. */
#define COLDEST_C (-60.0)
#define HOTTEST_C 80.0

struct timetable_row {
    double temp_c, pull_days;
    struct wg_lifetable table;
};

struct timetable {
    struct wg_species species;
    const char *numbers;
    int n;
    struct timetable_row *line;
};

/* ---- the command line ---- */

/*
 * Reads a temperature; "65 degF" may arrive as two words. Returns the number of words used, 0 after printing one line.
 */
static int read_temperature(const struct wg_args *args, int i, double *temp_c) {
    char text[128], message[WG_QUANTITY_MESSAGE];
    const char *rest;
    double number;
    const bool bare = wg_number_read(args->argument[i], &number, &rest) == 0 && *rest == '\0';
    const bool unit_follows = bare && i + 1 < args->n && isalpha((unsigned char)args->argument[i + 1][0]);
    (void)snprintf(text, sizeof text, "%.60s%s%.60s", args->argument[i], unit_follows ? " " : "",
                   unit_follows ? args->argument[i + 1] : "");
    if (wg_quantity_read(text, WG_TEMPERATURE, temp_c, message) < 0) {
        (void)wg_message_usage(args->command, "%s", message);
        return 0;
    }
    if (!(*temp_c >= COLDEST_C && *temp_c <= HOTTEST_C)) {
        (void)wg_message_usage(args->command, "\"%s\" is not a temperature at which insects live; is the unit right?",
                               text);
        return 0;
    }
    return unit_follows ? 2 : 1;
}

static int read_temperatures(const struct wg_args *args, struct timetable *timetable) {
    timetable->line = calloc((size_t)args->n, sizeof *timetable->line);
    if (timetable->line == NULL)
        return wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    int used = 1;
    for (int i = 0; i < args->n && used > 0; i += used) {
        used = read_temperature(args, i, &timetable->line[timetable->n].temp_c);
        timetable->n += used > 0;
    }
    return used > 0 ? 0 : WG_STATUS_USAGE;
}

static int read_species_set(const struct wg_args *args, struct timetable *timetable) {
    const char *const asked = wg_args_option(args, "numbers");
    timetable->numbers = asked != NULL ? asked : "keepers";
    if (wg_species_set(&timetable->species, timetable->numbers) == 0)
        return 0;
    return wg_message_usage(args->command, "--numbers must be keepers or laboratory, not \"%s\".", timetable->numbers);
}

static void fill_timetable(struct timetable *timetable) {
    for (int i = 0; i < timetable->n; i++) {
        struct timetable_row *const line = &timetable->line[i];
        const struct wg_lifetable_setting setting = {.temp_c = line->temp_c,
                                                     .light_h = LIGHT_HOURS,
                                                     .laying_share = timetable->species.laying_share_sun,
                                                     .quality = 1.0};
        wg_lifetable_make(&line->table, &timetable->species, &setting);
        line->pull_days = wg_trap_interval_days(&timetable->species, line->temp_c, HATCHED);
    }
}

/* ---- the table ---- */

static void print_days(double days, int width) {
    if (isfinite(days))
        (void)printf("%*.*f", width, days < 99.95 ? 1 : 0, days);
    else
        (void)printf("%*s", width, "never");
}

/* "4 d 6 h" */
static void put_pull(double days, int width) {
    char text[WG_SHOWN_SIZE] = "never";
    if (isfinite(days)) {
        const long hours = (long)floor(24.0 * days);
        (void)snprintf(text, sizeof text, hours < 24 ? "%.0ld%ld h" : "%ld d %2ld h", hours / 24, hours % 24);
    }
    (void)printf("%*s", width, text);
}

/* True if each egg leads to at least one new egg; otherwise the days are printed but no generations. */
static bool is_self_sustaining(const struct timetable_row *line) {
    return line->table.generations_per_year > 0 && line->table.daughters_and_sons >= 1;
}

static void print_timetable_row(const struct timetable_row *line) {
    (void)printf("%6.1f%6.1f", wg_units_convert(line->temp_c, "degC", "degF", true), line->temp_c);
    for (int i = 0; i < WG_N_CLOCKS; i++)
        print_days(line->table.days[i], i == WG_CLOCK_PREPUPA ? 9 : 6);
    print_days(line->table.laying_days, 8);
    print_days(line->table.egg_to_egg_days, 8);
    if (is_self_sustaining(line))
        (void)printf("%7.1f", line->table.generations_per_year);
    else
        (void)printf("%7s", "none");
    put_pull(line->pull_days, 11);
    (void)putchar('\n');
}

static void print_timetable(const struct timetable *timetable) {
    (void)printf("Days in each stage at a steady temperature, plenty to eat (numbers: %s)\n\n", timetable->numbers);
    (void)puts("                                          fly  fly to     egg  times       pull\n"
               "    °F    °C   egg larva  prepupa  pupa  life    eggs  to egg a year      traps");
    for (int i = 0; i < timetable->n; i++)
        print_timetable_row(&timetable->line[i]);
    (void)printf("\nFlies have %.0f hours of light a day. A trap pulled that often loses at most %.0f %%\n"
                 "of its eggs to hatching. \"never\": too cold or too hot for that. \"none\": an\n"
                 "egg leads to fewer than one new egg, so the colony dies out. The days leave out\n"
                 "deaths: in the cold flies die long before they are that old.\n",
                 LIGHT_HOURS, 100 * HATCHED);
}

static int print_timetable_json(const struct timetable *timetable) {
    struct wg_error err = {0};
    struct wg_json *const json = wg_json_new();
    static const char *const stage[WG_N_CLOCKS] = {"egg", "larva", "prepupa", "pupa", "adult_life"};
    wg_json_text(json, "wintergrub", WG_VERSION);
    wg_json_text(json, "numbers", timetable->numbers);
    wg_json_real(json, "light_hours_per_day", LIGHT_HOURS);
    wg_json_real(json, "trap_share_hatched", HATCHED);
    wg_json_list(json, "temperatures");
    for (int i = 0; i < timetable->n; i++) {
        const struct timetable_row *const line = &timetable->line[i];
        wg_json_object(json, NULL);
        wg_json_real(json, "temperature_degc", line->temp_c);
        wg_json_real(json, "temperature_degf", wg_units_convert(line->temp_c, "degC", "degF", true));
        wg_json_object(json, "days");
        for (int s = 0; s < WG_N_CLOCKS; s++)
            wg_json_real(json, stage[s], line->table.days[s]);
        wg_json_real(json, "emergence_to_eggs", line->table.laying_days);
        wg_json_real(json, "egg_to_egg", line->table.egg_to_egg_days);
        wg_json_real(json, "pull_traps_every", line->pull_days);
        wg_json_close(json);
        wg_json_real(json, "eggs_per_egg", line->table.daughters_and_sons);
        wg_json_real(json, "generations_per_year", is_self_sustaining(line) ? line->table.generations_per_year : 0);
        wg_json_close(json);
    }
    wg_json_close(json);
    return wg_json_print(json, stdout, &err) < 0 ? wg_message_error(&err) : WG_STATUS_DONE;
}

static int run_timetable(const struct wg_args *args) {
    struct timetable timetable = {0};
    int status = read_species_set(args, &timetable);
    if (status == 0)
        status = read_temperatures(args, &timetable);
    if (status == 0) {
        fill_timetable(&timetable);
        if (wg_args_has(args, "json"))
            status = print_timetable_json(&timetable);
        else
            print_timetable(&timetable);
    }
    free(timetable.line);
    return status;
}

static const struct wg_option options[] = {
    {"numbers", 0, "SET", "keepers (the default) or laboratory", 1},
    {"json", 0, NULL, "print the table as JSON", 0},
    {.name = NULL},
};

const struct wg_command wg_command_timetable = {
    .name = "timetable",
    .arguments = "TEMPERATURE...",
    .summary = "how long each stage takes",
    .help = "Shows for each temperature how many days each stage takes, how many generations\n"
            "fit in a year and how often to pull an egg trap. For example:\n\n"
            "  wintergrub timetable 65degF 80degF 30degC",
    .least = 1,
    .most = -1,
    .options = options,
    .run = run_timetable,
};
