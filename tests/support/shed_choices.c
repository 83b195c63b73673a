/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include "support/shed_choices.h"

#include "base/calendar.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* An invented shed at 38 degrees north, 33.6 m2 of wall and roof; 12 hours of lamps of 100 W. All prices are invented. */
static const char shed_yaml[] =
    "title: A shed at 38 N\n"
    "period: {from: 2026-09-15, to: 2027-09-14}\n"
    "climate:\n"
    "  latitude: 38 degrees\n"
    "  elevation: 100 m\n"
    "  normals:\n"
    "    unit: degF\n"
    "    daily_high: [44, 48, 58, 68, 77, 85, 89, 87, 80, 69, 58, 47]\n"
    "    daily_low:  [26, 28, 36, 45, 55, 64, 69, 67, 60, 48, 38, 30]\n"
    "    spread: continental\n"
    "places:\n"
    "  - name: shed\n"
    "    housing: {kind: shed, floor: 6 m2, r_value: R-11,\n"
    "              lamps: {hours: 12 hours, power: 100 W, price: 0.15 per kWh}}\n"
    "    heater: {set_point: 70 degF, power: 1500 W, price: 0.15 per kWh}\n"
    "    ground: {kind: box}\n"
    "    bins:\n"
    "      - {name: trough, volume: 150 L, insulation: none, lid: closed}\n"
    "starter:\n"
    "  - {on: 2026-09-15, in: trough, stage: larva, age: 5 days, count: 10000}\n"
    "feeding:\n"
    "  - {in: trough, what: kitchen scraps, amount: 3 lb, every: 1 day}\n"
    "keeping:\n"
    "  - {do: collect crawl-off, in: trough, share: 80 %, give_back: 20 %}\n"
    "  - {do: pull traps, in: shed, every: 3 days, put_in: trough, share_laid_in_traps: 60 %}\n"
    "goal:\n"
    "  - {survive: yes, chance: 90 %}\n"
    "forecast: {replicates: 512, seed: 1, steps_per_day: 1}\n";

#define WARM_F 75.0
#define LAST_WARM_DAY 151      /* 31 May */
#define LARVAE_PRICE 20.0      /* of ten thousand */
#define INSULATION_A_YEAR 0.09 /* per m2 and R, of 0.90 in ten years */
#define SQUARE_FEET_R 0.1761   /* m2 K/W of an R-1 in American units */

static double celsius(double f) {
    return (f - 32) / 1.8;
}

/* Returns the day of the plan's spring that is so many days into its year. */
static int32_t day_of(const struct wg_plan *plan, int day_of_year) {
    (void)plan;
    return wg_day_from_date((struct wg_date){2027, 1, 1}) + day_of_year - 1;
}

static void add_setting(struct wg_plan *plan, enum wg_setting_key key, double value, int32_t day) {
    plan->actions[plan->n_actions++] = (struct wg_action){
        .kind = WG_ACTION_SET, .from = day, .to = day, .every = 1, .bin = -1, .as.set = {.key = key, .value = value}};
}

static void set_heat(struct wg_plan *plan, double set_point_f, int warm_day) {
    plan->places[0].heater.set_point_c = celsius(isnan(set_point_f) ? WARM_F : set_point_f);
    if (isnan(set_point_f))
        add_setting(plan, WG_SET_HEATER, 0, plan->first_day);
    if (warm_day == 0)
        return;
    if (isnan(set_point_f))
        add_setting(plan, WG_SET_HEATER, 1, day_of(plan, warm_day));
    add_setting(plan, WG_SET_SET_POINT, celsius(WARM_F), day_of(plan, warm_day));
    add_setting(plan, WG_SET_HEATER, 0, day_of(plan, LAST_WARM_DAY + 1));
}

static void *copy_of(const void *from, size_t size) {
    void *const to = malloc(size);
    cr_assert_not_null(to);
    memcpy(to, from, size);
    return to;
}

static int make_shed(void *self, const int *level, struct wg_search_made *made, struct wg_error *err) {
    const struct shed_choices *const c = self;
    const struct wg_plan *const base = &c->base.plan;
    struct wg_plan *const plan = copy_of(base, sizeof *plan);
    (void)err;
    plan->places = copy_of(base->places, (size_t)base->n_places * sizeof *base->places);
    plan->actions = calloc((size_t)base->n_actions + 4, sizeof *plan->actions);
    cr_assert_not_null(plan->actions);
    memcpy(plan->actions, base->actions, (size_t)base->n_actions * sizeof *base->actions);
    struct wg_shelter_spec *const shelter = &plan->places[0].shelter;
    const int *const lamps = c->lamps[level[2]];
    if (lamps[0] > 0)
        shelter->lamp_season = (struct wg_season){.from = lamps[0], .to = lamps[1]};
    const double r = c->r_value[level[3]];
    shelter->u_w_m2k = 1 / (r * SQUARE_FEET_R);
    set_heat(plan, c->set_point_f[level[0]], c->warm_day[level[1]]);
    wg_plan_sort(plan);
    *made =
        (struct wg_search_made){plan, LARVAE_PRICE + INSULATION_A_YEAR * shelter->cover_m2 * (r - 11), {{0, 0}}, plan};
    return 0;
}

static void release_shed(void *self, struct wg_search_made *made) {
    struct wg_plan *const plan = made->owner;
    (void)self;
    free(plan->places);
    free(plan->actions);
    free(plan);
}

static void read_base(struct shed_choices *choices) {
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    *choices = (struct shed_choices){.maker = {.make = make_shed, .release = release_shed}};
    choices->maker.self = choices;
    cr_assert_eq(
        wg_scenario_read_text(&choices->base, "shed.yaml", shed_yaml, sizeof shed_yaml - 1, NULL, 0, &mistakes, &err),
        0, "%s: %s", err.where, err.text);
    wg_mistakes_free(&mistakes);
}

void shed_choices_init(struct shed_choices *choices) {
    static const double set_point_f[] = {(double)NAN, 40, 45, 50, 55, 60, 65, 70, 75, 80};
    static const int warm_day[] = {0, 32, 51, 69, 84, 100, 115};
    static const int lamps[][2] = {{0, 0}, {105, 243}, {74, 273}, {32, 243}};
    static const double r_value[] = {11, 25};
    read_base(choices);
    choices->set_point_f = set_point_f;
    choices->warm_day = warm_day;
    choices->lamps = lamps;
    choices->r_value = r_value;
    const struct wg_search_number number[] = {{10, 7, true}, {7, 0, true}, {4, 0, false}, {2, 0, true}};
    memcpy(choices->number, number, sizeof number);
}

void shed_choices_init_small(struct shed_choices *choices) {
    static const double set_point_f[] = {(double)NAN, 34, 37, 40, 45, 70};
    static const int warm_day[] = {0, 115};
    static const int lamps[][2] = {{0, 0}, {105, 243}, {105, 196}};
    static const double r_value[] = {11};
    read_base(choices);
    choices->set_point_f = set_point_f;
    choices->warm_day = warm_day;
    choices->lamps = lamps;
    choices->r_value = r_value;
    const struct wg_search_number number[] = {{6, 5, true}, {2, 0, true}, {3, 0, false}, {1, 0, true}};
    memcpy(choices->number, number, sizeof number);
}

void shed_choices_free(struct shed_choices *choices) {
    wg_scenario_free(&choices->base);
}
