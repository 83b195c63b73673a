/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks that valid scenarios give the right plans and broken ones the right messages.
 *
 * tests/data/broken/ has files with mistakes, each with the exact text of its messages beside it. References for
 * conversions are the definitions of the units (1 lb = 0.45359237 kg, 1 US gal = 3.785411784 L, 1 ft = 0.3048 m, exact
 * by the international agreement of 1959).
 */
#include "outline/outline.h"
#include "scenario/scenario.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <glob.h>
#include <libgen.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define LB 0.45359237

/* ---- helpers ---- */

static char *read_file(const char *path, size_t *size) {
    FILE *const file = fopen(path, "rb");
    cr_assert_not_null(file, "%s", path);
    char *const text = calloc(1, 512 * 1024);
    *size = fread(text, 1, 512 * 1024 - 1, file);
    fclose(file);
    return text;
}

/* Returns all mistakes as one text, which names the file as `name`; free it. */
static char *all_mistakes(struct wg_mistakes *problems, const char *name) {
    char *text = NULL;
    size_t size = 0;
    FILE *const out = open_memstream(&text, &size);
    static const char folder[] = WG_SOURCE_DIR "/tests/data/broken/";
    for (int i = 0; i < WG_MAX_BASES && problems->base[i].path != NULL; i++)
        if (strncmp(problems->base[i].path, folder, sizeof folder - 1) == 0)
            memmove(problems->base[i].path, problems->base[i].path + sizeof folder - 1,
                    strlen(problems->base[i].path) - sizeof folder + 2);
    free(problems->path);
    problems->path = strdup(name);
    for (size_t i = 0; i < problems->n; i++) {
        char *const one = wg_mistake_text(problems, i);
        cr_assert_not_null(one);
        fputs(one, out);
        free(one);
    }
    fclose(out);
    return text;
}

static void read_good(struct wg_scenario *scenario, const char *path) {
    struct wg_mistakes problems;
    struct wg_error err = {0};
    const int code = wg_scenario_read(scenario, path, &problems, &err);
    char *const messages = all_mistakes(&problems, path);
    cr_assert_eq(code, 0, "%s: %s\n%s", path, err.text, messages);
    cr_assert_eq(problems.n, 0);
    free(messages);
    wg_mistakes_free(&problems);
}

static int read_text(struct wg_scenario *scenario, const char *text, char **messages) {
    struct wg_mistakes problems;
    struct wg_error err = {0};
    const int code = wg_scenario_read_text(scenario, "test.yaml", text, strlen(text), NULL, 0, &problems, &err);
    cr_assert(code == 0 || (code == WG_ERR_INPUT && problems.n > 0), "%d %s", code, err.text);
    *messages = all_mistakes(&problems, "test.yaml");
    wg_mistakes_free(&problems);
    return code;
}

#define LABORATORY                                                                                                     \
    "period: {from: 2026-01-01, to: 2026-12-31}\nclimate: {constant: 27 degC}\n"                                       \
    "places: [{name: bench, housing: laboratory, bins: [{name: tray}]}]\n"                                             \
    "starter: [{on: 2026-01-01, in: tray, stage: egg, count: 1000}]\n"
#define HOUSE                                                                                                          \
    "period: {from: 2026-01-01, to: 2026-12-31}\n"                                                                     \
    "climate:\n  latitude: 32.4 degrees\n  normals:\n    unit: degC\n"                                                 \
    "    daily_high: [15, 17, 21, 25, 29, 33, 34, 33, 31, 26, 21, 16]\n"                                               \
    "    daily_low: [3, 4, 8, 12, 17, 21, 23, 22, 19, 12, 7, 4]\n"                                                     \
    "starter: [{on: 2026-01-01, in: tray, stage: egg, count: 1000}]\nfeeding: unlimited\n"

static void read_good_text(struct wg_scenario *scenario, const char *text) {
    char *messages;
    cr_assert_eq(read_text(scenario, text, &messages), 0, "%s", messages);
    free(messages);
}

/* ---- broken files ---- */

static void check_broken_file(const char *path) {
    char expected_path[512], name[512];
    snprintf(expected_path, sizeof expected_path, "%.*s.txt", (int)strlen(path) - 5, path);
    snprintf(name, sizeof name, "%s", strrchr(path, '/') + 1);
    struct wg_scenario scenario;
    struct wg_mistakes problems;
    struct wg_error err = {0};
    cr_assert_eq(wg_scenario_read(&scenario, path, &problems, &err), WG_ERR_INPUT, "%s", name);
    cr_expect_eq(err.code, WG_ERR_INPUT);
    cr_expect(problems.n > 0);
    size_t size;
    char *const messages = all_mistakes(&problems, name), *const expected = read_file(expected_path, &size);
    cr_expect_str_eq(messages, expected, "%s says:\n%s\nexpected:\n%s", name, messages, expected);
    free(messages);
    free(expected);
    wg_mistakes_free(&problems);
    wg_scenario_free(&scenario);
}

/* All in one process: starting one for each file takes twenty times as long as reading it. */
Test(scenario, broken_files_have_the_expected_messages) {
    glob_t found;
    cr_assert_eq(glob(WG_SOURCE_DIR "/tests/data/broken/*.yaml", 0, NULL, &found), 0);
    cr_expect_geq(found.gl_pathc, 45);
    for (size_t i = 0; i < found.gl_pathc; i++)
        check_broken_file(found.gl_pathv[i]);
    globfree(&found);
}

/* ---- good files ---- */

Test(scenario, examples_have_no_mistakes) {
    glob_t found;
    cr_assert_eq(glob(WG_SOURCE_DIR "/scenarios/*.yaml", 0, NULL, &found), 0);
    cr_expect_geq(found.gl_pathc, 5);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        struct wg_scenario scenario;
        read_good(&scenario, found.gl_pathv[i]);
        char *const text = wg_outline(&scenario);
        cr_assert_not_null(text);
        cr_expect_not_null(strstr(text, "degF"), "%s", text);
        cr_expect_not_null(strstr(text, "degC"));
        cr_expect_not_null(strstr(text, "gal)"));
        int lines = 0;
        for (const char *p = text; *p != '\0'; p++)
            lines += *p == '\n';
        cr_expect_lt(lines, 48, "%s", text); /* a screen */
        free(text);
        wg_scenario_free(&scenario);
    }
    globfree(&found);
}

Test(scenario, main_example_is_in_internal_units) {
    struct wg_scenario scenario;
    read_good(&scenario, WG_SOURCE_DIR "/scenarios/harrow-hill-outdoors.yaml");
    const struct wg_plan *const plan = &scenario.plan;
    cr_expect_eq(plan->first_day, wg_day_from_date((struct wg_date){2026, 9, 15}));
    cr_expect_eq(plan->last_day, wg_day_from_date((struct wg_date){2027, 9, 14}));
    cr_expect_eq(plan->climate.kind, WG_CLIMATE_NORMALS);
    cr_expect_float_eq(plan->climate.latitude_deg, 32.4, 1e-12); /* not "32.4 degree S" */
    cr_expect_float_eq(plan->climate.high_c[0], (58 - 32) / 1.8, 1e-9);
    cr_expect_float_eq(plan->climate.low_c[11], (38 - 32) / 1.8, 1e-9);
    cr_expect_float_eq(plan->climate.sun_coefficient, 0.16, 1e-12);
    cr_expect_eq(plan->n_places, 1);
    cr_expect_eq(plan->n_bins, 1);
    cr_expect_eq(plan->places[0].shelter.kind, WG_OUTDOORS);
    cr_expect_float_eq(plan->bins[0].spec.volume_m3, 0.150, 1e-12);
    cr_expect_eq(plan->replicates, 512);
    cr_expect_eq(plan->seed, 2026);
    cr_assert_eq(plan->n_actions, 3);
    const struct wg_action *const start = &plan->actions[0], *const feed = &plan->actions[1],
                                  *const collect = &plan->actions[2];
    cr_expect_eq(start->kind, WG_ACTION_START);
    cr_expect_eq(start->as.start.what, WG_MOVABLE_LARVAE);
    cr_expect_float_eq(start->as.start.age_days, 5, 1e-12);
    cr_expect_eq(start->as.start.count, 10000);
    cr_expect_eq(feed->kind, WG_ACTION_FEED);
    cr_expect_float_eq(feed->as.feed.wet_kg, 3 * LB, 1e-9);
    cr_expect_eq(feed->every, 1);
    cr_expect_eq(feed->from, plan->first_day);
    cr_expect_eq(feed->to, plan->last_day);
    cr_expect_eq(collect->kind, WG_ACTION_COLLECT);
    cr_expect_float_eq(collect->as.collect.share, 0.8, 1e-12);
    cr_expect_float_eq(collect->as.collect.give_back, 0.1, 1e-12);
    wg_scenario_free(&scenario);
}

#define TWO_PLACES                                                                                                     \
    "period: {from: 2026-01-01, to: 2026-12-31}\nclimate: {constant: 27 degC}\n"                                       \
    "places: [{name: bench, housing: laboratory, bins: [{name: tray}, {name: tub}]},\n"                                \
    "         {name: shelf, housing: laboratory, bins: [{name: box}]}]\n"                                              \
    "starter: [{on: 2026-01-01, in: tray, stage: egg, count: 1000}]\n"

static int count_actions(const struct wg_plan *plan, enum wg_action_kind kind) {
    int n = 0;
    for (int i = 0; i < plan->n_actions; i++)
        n += plan->actions[i].kind == kind;
    return n;
}

/* Every bin gets the amount; every place has traps of its own. */
Test(scenario, in_all_is_in_each) {
    struct wg_scenario scenario;
    read_good_text(&scenario,
                   TWO_PLACES "feeding: [{in: all, what: fruit, amount: as eaten, at most: 2 kg, every: 2 days}]\n"
                              "keeping:\n"
                              "  - {do: collect crawl-off, in: [tray, box], share: 80 %}\n"
                              "  - {do: pull traps, in: all, every: 3 days, carry_off: yes, share_laid_in_traps: 9 %}\n"
                              "  - {do: change, in: all, on: 2026-02-01, lid: open}\n");
    const struct wg_plan *const plan = &scenario.plan;
    cr_expect_eq(count_actions(plan, WG_ACTION_FEED), 3);
    cr_expect_eq(count_actions(plan, WG_ACTION_COLLECT), 2);
    cr_expect_eq(count_actions(plan, WG_ACTION_PULL_TRAPS), 2);
    cr_expect_eq(count_actions(plan, WG_ACTION_LAY_IN_TRAPS), 2);
    cr_expect_eq(count_actions(plan, WG_ACTION_SET), 3);
    for (int i = 0, bin = 0, place = 0; i < plan->n_actions; i++) {
        const struct wg_action *const action = &plan->actions[i];
        if (action->kind == WG_ACTION_FEED)
            cr_expect(action->bin == bin++ && action->as.feed.as_eaten && action->every == 2 &&
                      fabs(action->as.feed.wet_kg - 2) < 1e-9);
        else if (action->kind == WG_ACTION_PULL_TRAPS)
            cr_expect(action->place == place++ && action->as.pull.put_in == -1);
    }
    wg_scenario_free(&scenario);
}

/*
 * By hand: 70 % scraps (25 % dry, of it 85 % usable) and 30 % coffee grounds (40 % dry, of it 40 % usable, quality 45 %)
 * are 0.175 + 0.12 dry, 0.14875 + 0.048 usable.
 */
Test(scenario, feeds_of_the_keepers_own) {
    struct wg_scenario scenario;
    read_good_text(&scenario, LABORATORY
                   "feeds:\n  - {name: hotel scraps, moisture: 75 %, usable: 60 %, quality: 80 %}\n"
                   "  - {name: my mix, mix: {kitchen scraps: 70 %, coffee grounds: 30 %}}\n"
                   "  - {name: same, mix: {hotel scraps: 50 %, my mix: 50 %}}\n"
                   "feeding:\n  - {in: tray, what: my mix, amount: 1 kg}\n  - {in: tray, what: fruit, amount: 1 kg}\n");
    const struct wg_plan *const plan = &scenario.plan;
    cr_assert_eq(plan->n_feeds, 3);
    const struct wg_feed_type *const own = wg_plan_feed(plan, wg_feed_count());
    cr_expect_str_eq(own->name, "hotel scraps");
    cr_expect(own->moisture == 0.75 && own->usable == 0.6 && own->quality == 0.8 && own->conversion == 0.8);
    const struct wg_feed_type *const mix = wg_plan_feed(plan, plan->actions[1].as.feed.type);
    cr_expect_str_eq(mix->name, "my mix");
    cr_expect_float_eq(mix->moisture, 1 - 0.295, 1e-12);
    cr_expect_float_eq(mix->usable, 0.19675 / 0.295, 1e-12);
    cr_expect_float_eq(mix->quality, (0.14875 + 0.048 * 0.45) / 0.19675, 1e-12);
    cr_expect_float_eq(mix->conversion, (0.14875 + 0.048 * 0.4) / 0.19675, 1e-12);
    cr_expect_str_eq(wg_plan_feed(plan, plan->actions[2].as.feed.type)->name, "fruit");
    cr_expect_float_eq(wg_plan_feed(plan, wg_feed_count() + 2)->moisture, (0.75 + 0.705) / 2, 1e-12);
    wg_scenario_free(&scenario);
}

/* Eggs and larvae of both bins of the bench, and what is in its ground. A bin alone leaves the ground that it shares. */
Test(scenario, everything_is_eggs_larvae_and_what_is_in_the_ground) {
    static const struct {
        const char *from;
        int eggs, larvae, prepupae;
    } cases[] = {{"bench", 2, 2, 1}, {"tray", 1, 1, 0}};
    for (size_t c = 0; c < sizeof cases / sizeof *cases; c++) {
        struct wg_scenario scenario;
        char text[2048];
        int n[3] = {0};
        snprintf(text, sizeof text,
                 TWO_PLACES
                 "feeding: unlimited\n"
                 "keeping: [{do: move, on: 2026-03-01, from: %s, to: shelf, what: everything, share: 50 %%}]\n",
                 cases[c].from);
        read_good_text(&scenario, text);
        for (int i = 0; i < scenario.plan.n_actions; i++) {
            const struct wg_action *const move = &scenario.plan.actions[i];
            if (move->kind != WG_ACTION_MOVE)
                continue;
            n[move->as.move.what]++;
            cr_expect_float_eq(move->as.move.share, 0.5, 1e-12);
            if (move->as.move.what == WG_MOVABLE_PREPUPAE)
                cr_expect(move->place == 0 && move->as.move.to_place == 1);
            else
                cr_expect(move->bin <= 1 && move->as.move.to_bin == 2);
        }
        cr_expect(n[WG_MOVABLE_EGGS] == cases[c].eggs && n[WG_MOVABLE_LARVAE] == cases[c].larvae &&
                      n[WG_MOVABLE_PREPUPAE] == cases[c].prepupae,
                  "%s: %d, %d, %d", cases[c].from, n[0], n[1], n[2]);
        wg_scenario_free(&scenario);
    }
}

Test(scenario, record_beside_the_scenario) {
    struct wg_scenario scenario;
    read_good(&scenario, WG_SOURCE_DIR "/scenarios/seattle-record.yaml");
    cr_expect_eq(scenario.plan.climate.kind, WG_CLIMATE_YEARS);
    cr_assert_eq(scenario.plan.climate.record, &scenario.record);
    cr_expect_eq(scenario.record.n_days, 1461);
    cr_expect_float_eq(scenario.record.low_c[0], 5.0, 1e-12); /* the file's first line of data */
    cr_expect_float_eq(scenario.record.high_c[0], 12.8, 1e-12);
    cr_expect_float_eq(scenario.plan.climate.sun_coefficient, 0.19, 1e-12);
    cr_expect_str_eq(scenario.record_path, "weather/seattle_daily.csv");
    cr_expect_not_null(strstr(scenario.record_note, "1461 days"));

    /* The same with the text of the record, as `rerun` reads it from a result. */
    struct wg_scenario again;
    struct wg_mistakes problems;
    struct wg_error err = {0};
    cr_expect_eq(wg_scenario_read_text(&again, "elsewhere/x.yaml", scenario.text, scenario.text_size,
                                       scenario.record_text, scenario.record_size, &problems, &err),
                 0, "%s", err.text);
    cr_expect_eq(again.record.n_days, 1461);
    wg_mistakes_free(&problems);
    wg_scenario_free(&again);
    wg_scenario_free(&scenario);
}

/* Three winters and a leap year: seasons, and the same dates written out by hand. */
#define WINTERS                                                                                                        \
    "period: {from: 2026-11-15, to: 2029-03-01}\n"                                                                     \
    "climate: {latitude: 40 N, normals: {unit: degC, daily_high: [9,9,9,9,9,9,9,9,9,9,9,9], "                          \
    "daily_low: [5,5,5,5,5,5,5,5,5,5,5,5]}}\n"                                                                         \
    "places: [{name: yard, housing: outdoors, bins: [{name: tub}, {name: tray}]}]\n"

/* ---- a plan based on another ---- */

static void read_beside_scenarios(struct wg_scenario *scenario, const char *text) {
    struct wg_mistakes problems;
    struct wg_error err = {0};
    const int code = wg_scenario_read_text(scenario, WG_SOURCE_DIR "/scenarios/own.yaml", text, strlen(text), NULL, 0,
                                           &problems, &err);
    char *const messages = all_mistakes(&problems, "own.yaml");
    cr_assert_eq(code, 0, "%s\n%s", err.text, messages);
    free(messages);
    wg_mistakes_free(&problems);
}

/* Against the base with the same changes made by hand. */
Test(scenario, a_plan_says_only_what_differs) {
    struct wg_scenario base, own, alone;
    read_good(&base, WG_SOURCE_DIR "/scenarios/crow-lane-shed.yaml");
    read_beside_scenarios(&own, "based_on: crow-lane-shed.yaml\n"
                                "places:\n"
                                "  - {name: shed, housing: {r_value: 2 m2 K/W}, heater: {set_point: 20 degC}}\n"
                                "  - {name: yard, housing: outdoors, bins: [{name: barrel}]}\n"
                                "keeping: [{do: clear residue, in: barrel, every: 30 days}]\n"
                                "mishaps: none\n"
                                "goal: {survive: yes}\n");
    const struct wg_place_plan *const shed = &own.plan.places[0], *const was = &base.plan.places[0];
    cr_expect_eq(own.plan.n_places, 2);
    cr_expect_eq(own.plan.n_bins, 2);
    cr_expect_str_eq(own.plan.bins[0].name, "trough");
    cr_expect_float_eq(shed->shelter.u_w_m2k, 0.5, 1e-12);
    cr_expect_float_eq(shed->shelter.lamp_hours, was->shelter.lamp_hours, 0);
    cr_expect_float_eq(shed->heater.set_point_c, 20, 1e-12);
    cr_expect_float_eq(shed->heater.power_w, was->heater.power_w, 0);
    cr_expect_eq(own.plan.mishaps.power_cuts_per_year, 0);
    cr_expect_eq(own.plan.n_goals, 1);
    cr_expect_eq(own.plan.n_actions, 3); /* the starter and the feeding of the base; the new list of keeping */
    cr_expect_eq(own.plan.seed, 2026);
    cr_expect_str_eq(own.plan.title, "");
    cr_expect_str_eq(own.base_file[0], WG_SOURCE_DIR "/scenarios/crow-lane-shed.yaml");
    read_good_text(&alone, own.text); /* without any file */
    cr_expect_str_eq(alone.text, own.text);
    cr_expect_null(alone.base_file[0]);
    cr_expect_eq(alone.plan.n_actions, 3);
    for (int i = 0; i < 3; i++)
        cr_expect_eq(alone.plan.actions[i].line, own.plan.actions[i].line);
    wg_scenario_free(&alone);
    wg_scenario_free(&own);
    wg_scenario_free(&base);
}

Test(scenario, what_replaces_instead_of_merging) {
    struct wg_scenario own;
    read_beside_scenarios(&own, "based_on: crow-lane-shed.yaml\n"
                                "climate: {record: weather/seattle_daily.csv}\n"
                                "places: [{name: shed, housing: {kind: greenhouse}}]\n"
                                "feeding: unlimited\n");
    cr_expect_eq(own.plan.climate.kind, WG_CLIMATE_YEARS); /* no normals */
    cr_expect_eq(own.plan.places[0].shelter.kind, WG_GREENHOUSE);
    cr_expect_eq(own.plan.places[0].shelter.lamp_hours, 0); /* those of the shed went with it */
    cr_expect(own.plan.feed_unlimited);
    cr_expect_gt(own.plan.places[0].heater.power_w, 0);
    wg_scenario_free(&own);
}

Test(scenario, seasons_are_the_dates_of_each_year) {
    struct wg_scenario seasons, dates;
    read_good_text(&seasons, WINTERS "starter: [{on: 05-20, in: tub, stage: egg, count: 9}]\n"
                                     "feeding: [{in: tub, what: fruit, amount: 1 kg, from: 11-01, to: 02-29, every: 7 "
                                     "days}]\n"
                                     "keeping:\n  - {do: move, on: 02-29, what: larvae, from: tub, to: tray}\n"
                                     "goal: {adults: 9, by: 06-30}\n");
    read_good_text(&dates,
                   WINTERS "starter: [{on: 2027-05-20, in: tub, stage: egg, count: 9}]\n"
                           "feeding:\n"
                           "  - {in: tub, what: fruit, amount: 1 kg, from: 2026-11-15, to: 2027-02-28, every: 7 days}\n"
                           "  - {in: tub, what: fruit, amount: 1 kg, from: 2027-11-01, to: 2028-02-29, every: 7 days}\n"
                           "  - {in: tub, what: fruit, amount: 1 kg, from: 2028-11-01, to: 2029-02-28, every: 7 days}\n"
                           "keeping:\n  - {do: move, on: 2027-02-28, what: larvae, from: tub, to: tray}\n"
                           "  - {do: move, on: 2028-02-29, what: larvae, from: tub, to: tray}\n"
                           "  - {do: move, on: 2029-02-28, what: larvae, from: tub, to: tray}\n"
                           "goal: {adults: 9, by: 2027-06-30}\n");
    const struct wg_plan *const plan = &seasons.plan;
    cr_assert_eq(plan->n_actions, 7);
    cr_assert_eq(dates.plan.n_actions, 7);
    for (int i = 0; i < 7; i++) {
        const struct wg_action *const a = &plan->actions[i], *const b = &dates.plan.actions[i];
        cr_expect(a->kind == b->kind && a->from == b->from && a->to == b->to && a->every == b->every, "action %d", i);
    }
    cr_expect_eq(plan->goal[0].by, dates.plan.goal[0].by);
    wg_scenario_free(&dates);
    wg_scenario_free(&seasons);
}

Test(scenario, housing_keys_reach_the_plan) {
    struct wg_scenario scenario;
    read_good_text(
        &scenario,
        HOUSE "places:\n  - name: house\n"
              "    housing: {kind: greenhouse, floor: 200 ft2, cover: glass, cover_area: 60 m2, volume: 1000 ft3,\n"
              "              u_value: 1.2 Btu/(h ft2 degF), air_changes: 1 per hour, vent_air_changes: 40 per hour,\n"
              "              vents_open_above: 95 degF, lamps: 10 hours, light: 70 %, water: 200 L}\n"
              "    heater: {set_point: 65 degF, power: 17000 Btu/h, price: 0.15 per kWh, efficiency: 300 %, from: "
              "11-01, to: 02-29}\n"
              "    ground: {kind: soil, depth: 4 in, mulch: 2 in, dark: yes}\n"
              "    bins:\n"
              "      - {name: tray, volume: 40 gal, insulation: 1 in, lid: open, substrate: 100 lb, moisture: 75 %,\n"
              "         mat: {power: 60 W, set_point: 80 degF}, summer: {from: 05-01, to: 09-30, insulation: none, "
              "lid: screen}}\n");
    const struct wg_place_plan *const place = &scenario.plan.places[0];
    const double ft2 = 0.3048 * 0.3048;
    cr_expect_float_eq(place->shelter.floor_m2, 200 * ft2, 1e-9);
    cr_expect_float_eq(place->shelter.cover_m2, 60, 1e-9);
    cr_expect_float_eq(place->shelter.volume_m3, 1000 * ft2 * 0.3048, 1e-9);
    cr_expect_float_eq(place->shelter.u_w_m2k, 1.2 * 5.678263341113488, 1e-6); /* 1 Btu/(h ft2 degF), by definition */
    cr_expect_float_eq(place->shelter.air_changes, 1, 1e-12);
    cr_expect_float_eq(place->shelter.vent_air_changes, 40, 1e-12);
    cr_expect_float_eq(place->shelter.vent_above_c, 35, 1e-9);
    cr_expect_float_eq(place->shelter.lamp_hours, 10, 1e-9);
    cr_expect_float_eq(place->shelter.light_through, 0.7, 1e-12);
    struct wg_shelter_spec usual;
    wg_shelter_defaults(&usual, WG_GREENHOUSE);
    cr_assert_eq(wg_shelter_set_floor(&usual, 200 * ft2), 0);
    cr_expect_float_eq(place->shelter.mass_j_k - usual.mass_j_k, 0.2 * 4.18e6, 1); /* 200 L of water */
    cr_expect_float_eq(place->shelter.air_j_k / usual.air_j_k, place->shelter.volume_m3 / usual.volume_m3, 1e-9);
    cr_expect_float_eq(place->heater.set_point_c, (65 - 32) / 1.8, 1e-9);
    cr_expect_float_eq(place->heater.power_w, 17000 * 1055.05585262 / 3600, 1e-3);
    cr_expect_float_eq(place->heater.price_per_kwh, 0.15, 1e-12);
    cr_expect_float_eq(place->heater.efficiency, 3, 1e-12);
    cr_expect_eq(place->heater.season.from, 304); /* 1 November is the 305th day of a common year */
    cr_expect_eq(place->heater.season.to, 58);    /* 29 February counts as the 28th */
    cr_expect_float_eq(place->ground.soil.depth_m, 0.1016, 1e-12);
    cr_expect_float_eq(place->ground.soil.mulch_m, 0.0508, 1e-12);
    cr_expect(place->ground.dark);
    const struct wg_bin_spec *const bin = &scenario.plan.bins[0].spec;
    struct wg_bin_spec foam, plain;
    wg_bin_defaults(&foam, WG_GREENHOUSE, bin->volume_m3, 0.0254);
    wg_bin_defaults(&plain, WG_GREENHOUSE, bin->volume_m3, 0);
    cr_expect_float_eq(bin->volume_m3, 40 * 3.785411784e-3, 1e-7);
    cr_expect_float_eq(bin->u_w_m2k, foam.u_w_m2k, 1e-12);
    cr_expect_float_eq(bin->summer_u_w_m2k, plain.u_w_m2k, 1e-12);
    cr_expect(bin->summer_switch);
    cr_expect_float_eq(bin->lid, 0.8, 1e-12);
    cr_expect_float_eq(bin->summer_lid, 0.3, 1e-12);
    cr_expect_float_eq(bin->substrate_kg, 100 * LB, 1e-9);
    cr_expect_float_eq(bin->moisture, 0.75, 1e-12);
    cr_expect_float_eq(bin->mat.power_w, 60, 1e-9);
    cr_expect_float_eq(bin->mat.set_point_c, (80 - 32) / 1.8, 1e-9);
    wg_scenario_free(&scenario);
}

Test(scenario, actions_reach_the_plan) {
    struct wg_scenario scenario;
    read_good_text(
        &scenario,
        "period: {from: 2026-01-01, to: 2026-12-31}\nclimate: {constant: 27 degC}\n"
        "places: [{name: bench, housing: laboratory, bins: [{name: tray}, {name: tub}]}, {name: rack, housing: "
        "laboratory}]\n"
        "starter: [{on: 2026-02-01, in: tray, stage: prepupa, weight: 2 lb}]\n"
        "feeding:\n  - {in: tray, what: pet food, amount: 14 lb/week, every: 3 days, from: 2026-03-01, to: "
        "2026-04-30}\n"
        "  - {in: tub, what: fruit, amount: 1 kg, on: 2026-05-01}\n"
        "keeping:\n  - {do: pull traps, in: bench, every: 3 days, put_in: tub, share_laid_in_traps: 60 %}\n"
        "  - {do: move, on: 2026-06-01, from: tray, to: tub, what: larvae, share: 50 %}\n"
        "  - {do: move, on: 2026-06-02, from: tray, to: rack, what: prepupae}\n"
        "  - {do: scoop larvae, in: tub, every: 2 weeks, amount: 1 lb}\n"
        "  - {do: clear residue, in: tub, on: 2026-07-01, share: 80 %}\n"
        "  - {do: change, on: 2026-08-01, in: tub, insulation: 25 mm, lid: open}\n"
        "mishaps: {power_cut: {per_year: 2, lasts: 1 day}, raid: {per_year: 1 per year, larvae_lost: 40 %}}\n"
        "wild_visitors: {peak: 3 per day}\n"
        "species: {numbers: laboratory, clutch: [300, 600], larva_t0: 52 degF, larva_hazard: 0.7 per week}\n"
        "forecast: {replicates: 7, seed: 18446744073709551615, steps_per_day: 24}\n");
    const struct wg_plan *const plan = &scenario.plan;
    int seen[WG_N_ACTIONS] = {0};
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const a = &plan->actions[i];
        seen[a->kind]++;
        cr_expect(a->every >= 1 && a->from >= plan->first_day && a->to <= plan->last_day && a->line > 0);
        if (a->kind == WG_ACTION_START) {
            cr_expect_eq(a->as.start.count, -1);
            cr_expect_float_eq(a->as.start.mass_kg, 2 * LB, 1e-9);
        } else if (a->kind == WG_ACTION_FEED && a->bin == 0) {
            cr_expect_float_eq(a->as.feed.wet_kg, 14 * LB / 7 * 3, 1e-6); /* 14 lb a week, given every three days */
            cr_expect_eq(a->every, 3);
        } else if (a->kind == WG_ACTION_PULL_TRAPS) {
            cr_expect_eq(a->as.pull.put_in, 1);
            cr_expect_eq(a->place, 0);
        } else if (a->kind == WG_ACTION_LAY_IN_TRAPS) {
            cr_expect_eq(a->every, 1);
            cr_expect_float_eq(a->as.traps.share, 0.6, 1e-12);
        } else if (a->kind == WG_ACTION_MOVE && a->as.move.what == WG_MOVABLE_PREPUPAE) {
            cr_expect_eq(a->place, 0); /* the name of a bin selects its place */
            cr_expect_eq(a->as.move.to_place, 1);
            cr_expect_float_eq(a->as.move.share, 1, 1e-12);
        } else if (a->kind == WG_ACTION_SCOOP) {
            cr_expect_eq(a->every, 14);
            cr_expect_float_eq(a->as.scoop.mass_kg, LB, 1e-9);
        }
    }
    const int expected[WG_N_ACTIONS] = {
        [WG_ACTION_SET] = 2,        [WG_ACTION_CLEAR] = 1, [WG_ACTION_MOVE] = 2, [WG_ACTION_SCOOP] = 1,
        [WG_ACTION_PULL_TRAPS] = 1, [WG_ACTION_START] = 1, [WG_ACTION_FEED] = 2, [WG_ACTION_LAY_IN_TRAPS] = 1};
    for (int kind = 0; kind < WG_N_ACTIONS; kind++)
        cr_expect_eq(seen[kind], expected[kind], "%s", wg_action_name(kind));
    cr_expect_float_eq(plan->mishaps.power_cut_hours, 24, 1e-9);
    cr_expect_float_eq(plan->mishaps.raids_per_year, 1, 1e-9);
    cr_expect_float_eq(plan->wild_peak_per_day, 3, 1e-12);
    cr_expect_str_eq(plan->numbers, "laboratory");
    cr_expect_float_eq(plan->species.clutch_low, 300, 1e-12);
    cr_expect_float_eq(plan->species.rate[WG_CLOCK_LARVA].t0_c, 20 / 1.8, 1e-9);
    cr_expect_float_eq(plan->species.hazard[WG_CLOCK_LARVA], 0.1, 1e-12);
    cr_expect_eq(plan->seed, UINT64_MAX);
    cr_expect_eq(plan->steps_per_day, 24);
    wg_scenario_free(&scenario);
}

Test(scenario, every_parameter_can_be_overridden_by_name) {
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        struct wg_species usual;
        cr_assert_eq(wg_species_set(&usual, "keepers"), 0);
        char text[2048];
        const double value = wg_species_get(&usual, p);
        const char *const unit = strcmp(p->unit, "1") == 0 ? "" : p->unit;
        snprintf(text, sizeof text, LABORATORY "feeding: unlimited\nspecies: {%s: %.17g %s}\n", p->name, value, unit);
        struct wg_scenario scenario;
        read_good_text(&scenario, text);
        cr_expect_float_eq(wg_species_get(&scenario.plan.species, p), value, 1e-9 * (1 + fabs(value)), "%s", p->name);
        wg_scenario_free(&scenario);
    }
}

/* The word sets the number; without it dormancy is by day length in both sets. */
Test(scenario, dormancy_is_a_word_for_a_number) {
    static const struct {
        const char *species;
        double by_day;
    } cases[] = {{"{numbers: laboratory}", 1},
                 {"{dormancy: by day length}", 1},
                 {"{dormancy: by cold only}", 0},
                 {"{numbers: laboratory, dormancy: by cold only}", 0},
                 {"{dormancy_by_day_length: 0.5}", 0.5}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[2048];
        snprintf(text, sizeof text, LABORATORY "feeding: unlimited\nspecies: %s\n", cases[i].species);
        struct wg_scenario scenario;
        read_good_text(&scenario, text);
        cr_expect_float_eq(scenario.plan.species.dorm_by_day, cases[i].by_day, 0, "%s", cases[i].species);
        wg_scenario_free(&scenario);
    }
}

Test(scenario, southern_latitudes_are_negative) {
    static const struct {
        const char *written;
        double degrees;
    } cases[] = {{"33.9 S", -33.9},       {"33.9 degrees south", -33.9}, {"33.9 N", 33.9},
                 {"33.9 degrees", 33.9},  {"-33.9 degrees", -33.9},      {"33.9 deg", 33.9},
                 {"33.9\xC2\xB0S", -33.9}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[2048];
        snprintf(text, sizeof text,
                 "period: {from: 2026-01-01, to: 2026-12-31}\nclimate: {constant: 27 degC, latitude: %s}\n"
                 "places: [{name: bench, housing: laboratory, bins: [{name: tray}]}]\n"
                 "starter: [{on: 2026-01-01, in: tray, stage: egg, count: 1000}]\nfeeding: unlimited\n",
                 cases[i].written);
        struct wg_scenario scenario;
        read_good_text(&scenario, text);
        cr_expect_float_eq(scenario.plan.climate.latitude_deg, cases[i].degrees, 1e-9, "%s", cases[i].written);
        wg_scenario_free(&scenario);
    }
}

/* The tables of day-to-day spread are for the northern hemisphere; in the south July has the winter's spread. */
Test(scenario, southern_spread_is_shifted_by_half_a_year) {
    double july[2];
    for (int south = 0; south < 2; south++) {
        char text[2048];
        snprintf(
            text, sizeof text,
            "period: {from: 2026-01-01, to: 2026-12-31}\nclimate: {latitude: 33 %s, normals: {unit: degC, spread: "
            "humid subtropical, daily_high: [20,20,20,20,20,20,20,20,20,20,20,20], daily_low: "
            "[10,10,10,10,10,10,10,10,10,10,10,10]}}\nplaces: [{name: yard, housing: outdoors, bins: [{name: tub}]}]\n"
            "starter: [{on: 2026-01-01, in: tub, stage: egg, count: 1000}]\nfeeding: unlimited\n",
            south ? "S" : "N");
        struct wg_scenario scenario;
        read_good_text(&scenario, text);
        july[south] = scenario.plan.climate.high_sd_c[6];
        wg_scenario_free(&scenario);
    }
    cr_expect_float_eq(july[0], 1.9, 1e-9);
    cr_expect_float_eq(july[1], 5.5, 1e-9);
}

/* ---- hostile files ---- */

/* The YAML library's own check for repeated keys is quadratic: 20,000 lines of one key took it seven seconds. */
Test(scenario, repeated_keys_take_linear_time) {
    char *text = NULL, *messages;
    size_t size = 0;
    FILE *const out = open_memstream(&text, &size);
    for (int i = 0; i < 20000; i++)
        fputs("title: a\n", out);
    fclose(out);
    struct wg_scenario scenario;
    const clock_t before = clock();
    cr_expect_eq(read_text(&scenario, text, &messages), WG_ERR_INPUT);
    cr_expect_lt((double)(clock() - before) / CLOCKS_PER_SEC, 2.0);
    cr_expect_not_null(strstr(messages, "There are more mistakes than are listed here"));
    free(messages);
    free(text);
    wg_scenario_free(&scenario);
}

/* A file of 43 MB took the YAML library 12 s and 2 GB; a scenario has a few kilobytes. */
Test(scenario, a_file_over_256_kib_is_not_parsed) {
    const size_t size = 300 * 1024;
    char *const text = malloc(size + 1);
    memset(text, '#', size);
    text[size] = '\0';
    struct wg_scenario scenario;
    char *messages;
    cr_expect_eq(read_text(&scenario, text, &messages), WG_ERR_INPUT);
    cr_expect_not_null(strstr(messages, "larger than 256 KiB"));
    free(messages);
    wg_scenario_free(&scenario);

    FILE *const file = fopen("large.yaml", "wb");
    cr_assert_not_null(file);
    cr_assert_eq(fwrite(text, 1, size, file), size);
    fclose(file);
    free(text);
    struct wg_mistakes problems;
    struct wg_error err = {0};
    cr_expect_eq(wg_scenario_read(&scenario, "large.yaml", &problems, &err), WG_ERR_INPUT);
    messages = all_mistakes(&problems, "large.yaml");
    cr_expect_not_null(strstr(messages, "larger than 256 KiB"), "%s", messages);
    free(messages);
    remove("large.yaml");
    wg_mistakes_free(&problems);
    wg_scenario_free(&scenario);
}

Test(scenario, messages_have_no_escape_codes) {
    static const char text[] = "title: \x1b[31mred\n";
    struct wg_scenario scenario;
    char *messages;
    cr_expect_eq(read_text(&scenario, text, &messages), WG_ERR_INPUT);
    cr_expect_null(strchr(messages, '\x1b'));
    free(messages);
    wg_scenario_free(&scenario);
}

/* After random changes the reader accepts a file, or rejects it with a message; it never crashes. */
Test(scenario, randomly_changed_files) {
    static const char odd[] = "\0\n\t :,[]{}&*!|>'\"%@`#-\\x9e\xC3\xFF";
    size_t size;
    char *const good = read_file(WG_SOURCE_DIR "/scenarios/hoop-house-two-bins.yaml", &size);
    unsigned state = 12345;
    for (int round = 0; round < 400; round++) {
        char *const text = malloc(size);
        memcpy(text, good, size);
        size_t length = size;
        for (int change = 0; change < 1 + round % 4; change++) {
            state = state * 1664525u + 1013904223u;
            text[(state >> 8) % size] = odd[(state >> 4) % (sizeof odd - 1)];
        }
        if (round % 5 == 0)
            length = (state >> 9) % size;
        struct wg_scenario scenario;
        struct wg_mistakes problems;
        struct wg_error err = {0};
        const int code = wg_scenario_read_text(&scenario, "damaged.yaml", text, length, NULL, 0, &problems, &err);
        cr_assert(code == 0 ? problems.n == 0 : code == WG_ERR_INPUT && problems.n > 0, "round %d: %d %s", round, code,
                  err.text);
        for (size_t i = 0; i < problems.n; i++) {
            char *const one = wg_mistake_text(&problems, i);
            cr_assert_not_null(one);
            free(one);
        }
        wg_mistakes_free(&problems);
        wg_scenario_free(&scenario);
        free(text);
    }
    free(good);
}

Test(scenario, missing_file_is_a_file_error) {
    struct wg_scenario scenario;
    struct wg_mistakes problems;
    struct wg_error err = {0};
    cr_expect_eq(wg_scenario_read(&scenario, WG_SOURCE_DIR "/no/such/file.yaml", &problems, &err), WG_ERR_FILE);
    cr_expect_not_null(strstr(err.text, "No such file"));
    wg_mistakes_free(&problems);
    wg_scenario_free(&scenario);
    err = (struct wg_error){0};
    cr_expect_eq(wg_scenario_read(&scenario, WG_SOURCE_DIR, &problems, &err), WG_ERR_FILE);
    cr_expect_not_null(strstr(err.text, "folder"));
    wg_mistakes_free(&problems);
    wg_scenario_free(&scenario);
}

/* ---- removal of traps ---- */

static const char bench_with_traps[] =
    "period: {from: 2026-03-01, to: 2026-06-30}\nclimate: {constant: 27 degC}\n"
    "places: [{name: bench, housing: laboratory, bins: [{name: tray}]}]\n"
    "starter: [{on: 2026-03-01, in: tray, stage: prepupa, count: 500}]\nfeeding: unlimited\nkeeping:\n";

/* Writes the actions of a kind as FROM..TO/EVERY. */
static void days_of(const char *keeping, enum wg_action_kind kind, char out[256]) {
    struct wg_scenario scenario;
    char text[1024];
    (void)snprintf(text, sizeof text, "%s%s", bench_with_traps, keeping);
    read_good_text(&scenario, text);
    out[0] = '\0';
    for (int i = 0; i < scenario.plan.n_actions; i++) {
        const struct wg_action *const a = &scenario.plan.actions[i];
        char from[11], to[11];
        wg_day_format(a->from, from);
        wg_day_format(a->to, to);
        if (a->kind == kind)
            (void)snprintf(out + strlen(out), 256 - strlen(out), "%s..%s/%d ", from + 5, to + 5, (int)a->every);
    }
    wg_scenario_free(&scenario);
}

Test(scenario, traps_are_pulled_on_the_day_of_their_removal) {
    char got[256];
    const char *const weekly =
        "  - {do: pull traps, in: bench, every: 7 days, carry_off: yes, share_laid_in_traps: 90 %, "
        "from: 2026-05-01, to: 2026-05-28}\n";
    days_of(weekly, WG_ACTION_PULL_TRAPS, got);
    cr_expect_str_eq(got, "05-01..05-28/7 05-28..05-28/1 ");
    days_of(weekly, WG_ACTION_LAY_IN_TRAPS, got);
    cr_expect_str_eq(got, "05-01..05-27/1 ", "no eggs are laid in traps on the day of their removal");
    /* the interval ends on that day anyway */
    days_of(
        "  - {do: pull traps, in: bench, every: 9 days, carry_off: yes, share_laid_in_traps: 90 %, from: 2026-05-01, "
        "to: 2026-05-28}\n",
        WG_ACTION_PULL_TRAPS, got);
    cr_expect_str_eq(got, "05-01..05-28/9 ");
    /* one line sets the traps, another pulls them */
    const char *const two =
        "  - {do: set traps, in: bench, share_laid_in_traps: 90 %, from: 2026-05-01, to: 2026-05-28}\n"
        "  - {do: pull traps, in: bench, every: 7 days, put_in: tray, from: 2026-05-01}\n";
    days_of(two, WG_ACTION_PULL_TRAPS, got);
    cr_expect_str_eq(got, "05-01..06-30/7 05-28..05-28/1 ");
    /* traps are not removed at the end of the period, or when the next line continues them */
    const char *const on =
        "  - {do: pull traps, in: bench, every: 7 days, put_in: tray, share_laid_in_traps: 90 %, to: "
        "2026-05-28}\n"
        "  - {do: pull traps, in: bench, every: 7 days, carry_off: yes, share_laid_in_traps: 90 %, "
        "from: 2026-05-29}\n";
    days_of(on, WG_ACTION_PULL_TRAPS, got);
    cr_expect_str_eq(got, "03-01..05-28/7 05-29..06-30/7 ");
    days_of(on, WG_ACTION_LAY_IN_TRAPS, got);
    cr_expect_str_eq(got, "03-01..05-28/1 05-29..06-30/1 ");
}

/* All eggs are laid in traps, and every trap is carried off before they hatch: no larva, then or later. */
Test(scenario, nothing_hatches_after_the_last_pull) {
    struct wg_scenario scenario;
    struct wg_diary d;
    char text[1024];
    (void)snprintf(text, sizeof text, "%s%s", bench_with_traps,
                   "  - {do: pull traps, in: bench, every: 2 days, carry_off: yes, share_laid_in_traps: 100 %, "
                   "from: 2026-03-01, to: 2026-03-26}\n");
    read_good_text(&scenario, text);
    scenario.plan.species.lay_after_days = scenario.plan.species.mate_after_days = 0;
    plan_simulate(&scenario.plan, 0, &d);
    int64_t larvae = 0, trapped = 0, taken = 0;
    for (int day = 0; day < 35; day++) { /* until eggs laid in the tray from 26 March on become laying flies */
        larvae += day <= 26 ? d.count[day * WG_N_STAGES + WG_LARVA] : 0;
        trapped += d.eggs_trapped[day];
        taken += d.eggs_taken[day];
        cr_expect(day < 25 || d.eggs_in_traps[day] == 0, "%ld eggs in traps on day %d", (long)d.eggs_in_traps[day],
                  day);
    }
    cr_expect_eq(larvae, 0);
    cr_expect_gt(trapped, 10000);
    cr_expect_gt(taken, (int64_t)(0.8 * (double)trapped));
    wg_diary_free(&d);
    wg_scenario_free(&scenario);
}
