/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Describes the resolved plan on about one screen.
 */
#include "outline/outline.h"

#include "forecast/warnings.h"
#include "text/action_text.h"
#include "text/goal_text.h"
#include "text/money.h"
#include "text/quantity.h"
#include "text/warning_sentences.h"

#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Longer lists are cut. */
#define MAX_LINES 24

struct description {
    FILE *out;
    const char *label; /* printed before its first line only */
    int lines;         /* under this label */
    int left_out;
    const char *currency; /* of the plan */
};

static void finish_label(struct description *page) {
    if (page->left_out > 0)
        (void)fprintf(page->out, "%-12s... and %d more\n", "", page->left_out);
    page->left_out = page->lines = 0;
}

static void start_label(struct description *page, const char *label) {
    finish_label(page);
    page->label = label;
}

static void line(struct description *page, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void line(struct description *page, const char *format, ...) {
    if (page->lines >= MAX_LINES) {
        page->left_out++;
        return;
    }
    (void)fprintf(page->out, "%-12s", page->lines++ == 0 ? page->label : "");
    va_list args;
    va_start(args, format);
    (void)vfprintf(page->out, format, args);
    va_end(args);
    (void)fputc('\n', page->out);
}

struct quantity_text {
    char text[WG_QUANTITY_SHOWN_SIZE];
};

static struct quantity_text show_quantity(enum wg_dimension dimension, double value) {
    struct quantity_text s;
    wg_quantity_show(dimension, value, s.text);
    return s;
}

/* ---- period and climate ---- */

static void describe_period(struct description *page, const struct wg_plan *plan) {
    char from[24], to[24];
    wg_day_format_long(plan->first_day, from);
    wg_day_format_long(plan->last_day, to);
    start_label(page, "period");
    const int n_days = plan->last_day - plan->first_day + 1;
    line(page, "%s to %s, %d day%s", from, to, n_days, n_days == 1 ? "" : "s");
}

static void describe_normals(struct description *page, const struct wg_climate_spec *climate) {
    static const struct {
        int month;
        const char *name;
    } months[] = {{0, "January"}, {6, "July"}};
    for (size_t i = 0; i < sizeof months / sizeof *months; i++) {
        const int m = months[i].month;
        line(page, "%-7s lows %s, highs %s", months[i].name, show_quantity(WG_TEMPERATURE, climate->low_c[m]).text,
             show_quantity(WG_TEMPERATURE, climate->high_c[m]).text);
    }
}

static void describe_climate(struct description *page, const struct wg_scenario *scenario) {
    const struct wg_climate_spec *const climate = &scenario->plan.climate;
    start_label(page, "climate");
    if (climate->kind == WG_CLIMATE_CONSTANT) {
        line(page, "constant %s", show_quantity(WG_TEMPERATURE, climate->constant_c).text);
        return;
    }
    line(page, "%s; %s %s, %s above sea level, %s",
         climate->sketch != NULL               ? "weather generated from a sketch"
         : climate->kind == WG_CLIMATE_NORMALS ? "weather generated from monthly normals"
         : climate->kind == WG_CLIMATE_YEARS   ? "years drawn from a record"
                                               : "weather generated to resemble a record",
         show_quantity(WG_ANGLE, fabs(climate->latitude_deg)).text, climate->latitude_deg < 0 ? "south" : "north",
         show_quantity(WG_HEIGHT, climate->elevation_m).text, climate->is_coast ? "coast" : "inland");
    if (wg_plan_dormancy_is_a_guess(&scenario->plan))
        line(page,
             "this close to the equator the model lets prepupae become dormant in any season; no published data exist");
    if (scenario->record_note != NULL)
        line(page, "%s", scenario->record_note);
    if (climate->sketch != NULL)
        line(page, "an invented climate of the kind \"%s\": no station has these normals", climate->sketch);
    if (climate->kind == WG_CLIMATE_NORMALS)
        describe_normals(page, climate);
}

/* ---- places ---- */

/* ", when flies are about"; "" for always */
static void condition_text(const struct wg_when *when, char out[WG_WHEN_TEXT + 8]) {
    char text[WG_WHEN_TEXT];
    wg_when_text(when, text);
    (void)snprintf(out, WG_WHEN_TEXT + 8, "%s%s", when->kind == WG_WHEN_ALWAYS ? "" : ", when ",
                   when->kind == WG_WHEN_ALWAYS ? "" : text);
}

static void season_text(struct wg_season season, char out[48]) {
    char from[24], to[24];
    wg_season_day_text(season.from, from);
    wg_season_day_text(season.to, to);
    if (season.from == 0 && season.to == 364)
        (void)snprintf(out, 48, "all year");
    else
        (void)snprintf(out, 48, "%.20s to %.20s", from, to);
}

#define PRICE_SIZE 96

static void unit_price_text(const struct description *page, double amount, const char *unit, char out[PRICE_SIZE]) {
    char money[WG_SHOWN_SIZE];
    wg_show_exact_money(amount, page->currency, money);
    (void)snprintf(out, PRICE_SIZE, "%.50s %s", money, unit);
}

static void price_text(const struct description *page, double per_kwh, char out[PRICE_SIZE]) {
    if (isnan(per_kwh))
        (void)snprintf(out, PRICE_SIZE, "no price given");
    else
        unit_price_text(page, per_kwh, "per kWh", out);
}

static void describe_insulation(struct description *page, const struct wg_insulation_price *price) {
    char amount[PRICE_SIZE];
    if (!price->per_m2_r.given)
        return;
    unit_price_text(page, price->per_m2_r.amount, "per m2 and R", amount);
    line(page, "    insulation bought at %s, for %s", amount, show_quantity(WG_YEARS, price->lasts_years).text);
}

static void describe_heater(struct description *page, const char *name, const struct wg_heater_spec *heater) {
    char season[48], price[PRICE_SIZE], when[WG_WHEN_TEXT + 8];
    season_text(heater->season, season);
    price_text(page, heater->price_per_kwh, price);
    condition_text(&heater->when, when);
    if (heater->starts_off)
        line(page, "  %s: off until a change, at most %s, %s%s, %s", name,
             show_quantity(WG_POWER, heater->power_w).text, season, when, price);
    else
        line(page, "  %s: holds %s with at most %s, %s%s, %s", name,
             show_quantity(WG_TEMPERATURE, heater->set_point_c).text, show_quantity(WG_POWER, heater->power_w).text,
             season, when, price);
    if (heater->efficiency < 1 || heater->efficiency > 1)
        line(page, "    gives %s times the energy that is bought", show_quantity(WG_PURE, heater->efficiency).text);
}

static void describe_bin(struct description *page, const struct wg_bin_plan *bin) {
    line(page, "  bin \"%s\": %s, walls %s, %s", bin->name, show_quantity(WG_VOLUME, bin->spec.volume_m3).text,
         show_quantity(WG_U_VALUE, bin->spec.u_w_m2k).text, wg_lid_text(bin->spec.lid_kind));
    line(page, "    holds %s of substrate, %s of it water", show_quantity(WG_MASS, bin->spec.substrate_kg).text,
         show_quantity(WG_SHARE, bin->spec.moisture).text);
    if (bin->spec.summer_switch) {
        char season[48];
        const double u = bin->spec.summer_u_w_m2k >= 0 ? bin->spec.summer_u_w_m2k : bin->spec.u_w_m2k;
        season_text(bin->spec.summer, season);
        line(page, "    %s: walls %s, %s", season, show_quantity(WG_U_VALUE, u).text,
             wg_lid_text(bin->spec.summer_lid >= 0 ? bin->spec.summer_lid_kind : bin->spec.lid_kind));
    }
    describe_insulation(page, &bin->insulation);
    if (bin->spec.mat.power_w > 0)
        describe_heater(page, "  mat", &bin->spec.mat);
}

static void describe_lamps(struct description *page, const struct wg_shelter_spec *shelter) {
    char season[48], price[PRICE_SIZE], when[WG_WHEN_TEXT + 8];
    if (!(shelter->lamp_hours > 0)) {
        line(page, "  no lamps; %s of the daylight reaches the flies",
             show_quantity(WG_SHARE, shelter->light_through).text);
        return;
    }
    season_text(shelter->lamp_season, season);
    condition_text(&shelter->lamp_when, when);
    price_text(page, shelter->lamp_price_per_kwh, price);
    if (isnan(shelter->lamp_power_w))
        line(page, "  lamps %s a day, %s%s; no power given, so neither their kWh nor their heat is counted",
             show_quantity(WG_HOURS, shelter->lamp_hours).text, season, when);
    else
        line(page, "  lamps %s a day, %s, %s%s, %s", show_quantity(WG_HOURS, shelter->lamp_hours).text,
             show_quantity(WG_POWER, shelter->lamp_power_w).text, season, when, price);
}

/* A keeper of several bins needs to know how flies choose among them. */
static void describe_choice(struct description *page, const struct wg_plan *plan, int place) {
    int bins = 0;
    for (int b = 0; b < plan->n_bins; b++)
        bins += plan->bins[b].place == place;
    if (bins > 1)
        line(page, "  flies choose among these bins by the feed in each, uneaten or eaten in the last 24 hours%s",
             plan->feed_unlimited ? ": unlimited, so evenly" : "");
}

static void describe_room(struct description *page, const struct wg_shelter_spec *room) {
    char season[48];
    season_text(room->summer, season);
    if (isnan(room->steady_c))
        line(page, "  as warm as the soil at %s", show_quantity(WG_LENGTH, room->depth_m).text);
    else if (room->summer_switch)
        line(page, "  %s, %s %s", show_quantity(WG_TEMPERATURE, room->steady_c).text, season,
             show_quantity(WG_TEMPERATURE, room->summer_c).text);
    else
        line(page, "  always %s", show_quantity(WG_TEMPERATURE, room->steady_c).text);
    if (room->kind == WG_REFRIGERATOR || (!(room->lamp_hours > 0) && !(room->light_through > 0)))
        line(page, "  dark");
    else
        describe_lamps(page, room);
}

static void describe_shelter(struct description *page, const struct wg_shelter_spec *shelter) {
    if (wg_housing_is_room(shelter->kind))
        describe_room(page, shelter);
    if (shelter->floor_m2 <= 0)
        return;
    line(page, "  floor %s, U value %s, %s air changes per hour", show_quantity(WG_AREA, shelter->floor_m2).text,
         show_quantity(WG_U_VALUE, shelter->u_w_m2k).text, show_quantity(WG_PURE, shelter->air_changes).text);
    describe_lamps(page, shelter);
}

static void describe_place(struct description *page, const struct wg_plan *plan, int p) {
    const struct wg_place_plan *const place = &plan->places[p];
    start_label(page, "place");
    line(page, "\"%s\": %s%s", place->name, wg_housing_name(place->shelter.kind),
         place->is_neighbour ? ", a neighbour's" : "");
    describe_shelter(page, &place->shelter);
    describe_insulation(page, &place->insulation);
    if (place->heater.power_w > 0)
        describe_heater(page, "heater", &place->heater);
    char mulch[WG_QUANTITY_SHOWN_SIZE + 16];
    (void)snprintf(mulch, sizeof mulch, "under %s of mulch", show_quantity(WG_LENGTH, place->ground.soil.mulch_m).text);
    if (place->ground.kind == WG_GROUND_BOX)
        line(page, "  ground: a box, as warm as the air%s", place->ground.dark ? ", dark" : "");
    else
        line(page, "  ground: soil, %s deep, %s%s", show_quantity(WG_LENGTH, place->ground.soil.depth_m).text,
             place->ground.soil.mulch_m > 0 ? mulch : "no mulch", place->ground.dark ? ", dark" : "");
    for (int b = 0; b < plan->n_bins; b++)
        if (plan->bins[b].place == p)
            describe_bin(page, &plan->bins[b]);
    describe_choice(page, plan, p);
}

/* ---- actions ---- */

static bool is_same_day_of_year(int32_t a, int32_t b) {
    const struct wg_date x = wg_date_from_day(a), y = wg_date_from_day(b);
    return x.month == y.month && x.day == y.day;
}

/* Whether a season repeats an action in another year; the ends of the period may cut one end of a season. */
static bool is_repeat(const struct wg_plan *plan, const struct wg_action *a, const struct wg_action *b) {
    char what[WG_ACTION_TEXT_SIZE], other[WG_ACTION_TEXT_SIZE];
    if (a->line != b->line || a->kind != b->kind || a->every != b->every || a->from == b->from ||
        !(is_same_day_of_year(a->from, b->from) || is_same_day_of_year(a->to, b->to)))
        return false;
    wg_action_text(plan, a, what);
    wg_action_text(plan, b, other);
    return strcmp(what, other) == 0;
}

/* ", at 0.2 per kg" */
static void action_price_text(const struct description *page, const struct wg_action *action,
                              char out[PRICE_SIZE + 24]) {
    char amount[PRICE_SIZE];
    out[0] = '\0';
    if (action->kind == WG_ACTION_FEED && action->as.feed.price.given) {
        unit_price_text(page, action->as.feed.price.amount, "per kg", amount);
        (void)snprintf(out, PRICE_SIZE + 24, ", %s %s", action->as.feed.price_is_fee ? "for a tipping fee of" : "at",
                       amount);
    } else if (action->kind == WG_ACTION_START && action->as.start.price.given) {
        const bool of_kg = action->as.start.price_is_of_kg;
        unit_price_text(page, action->as.start.price.amount * (of_kg ? 1 : 1000), of_kg ? "per kg" : "per 1,000",
                        amount);
        (void)snprintf(out, PRICE_SIZE + 24, ", at %s", amount);
    }
}

/* An action that a season repeats is described once. */
static void describe_action(struct description *page, const struct wg_plan *plan, int i) {
    char when[WG_ACTION_WHEN_SIZE], what[WG_ACTION_TEXT_SIZE], again[48] = "", price[PRICE_SIZE + 24];
    int before = 0, after = 0;
    for (int j = 0; j < plan->n_actions; j++)
        if (j != i && is_repeat(plan, &plan->actions[i], &plan->actions[j]))
            *(j < i ? &before : &after) += 1;
    if (before > 0)
        return;
    if (after > 1)
        (void)snprintf(again, sizeof again, ", and in the next %d years", after);
    else if (after == 1)
        (void)snprintf(again, sizeof again, ", and in the next year");
    wg_action_when(plan, &plan->actions[i], when);
    wg_action_text(plan, &plan->actions[i], what);
    action_price_text(page, &plan->actions[i], price);
    line(page, "%s%s: %s%s", when, again, what, price);
}

static void describe_feeds(struct description *page, const struct wg_plan *plan) {
    start_label(page, "feeds");
    for (int i = 0; i < plan->n_feeds; i++) {
        const struct wg_feed_type *const type = &plan->feeds[i].type;
        line(page, "%s: %s water, %s of the dry matter usable, quality %s, yield %s", plan->feeds[i].name,
             show_quantity(WG_SHARE, type->moisture).text, show_quantity(WG_SHARE, type->usable).text,
             show_quantity(WG_SHARE, type->quality).text, show_quantity(WG_SHARE, type->conversion).text);
    }
}

static void describe_actions(struct description *page, const struct wg_plan *plan) {
    start_label(page, "starter");
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_ACTION_START)
            describe_action(page, plan, i);
    describe_feeds(page, plan);
    start_label(page, "feeding");
    if (plan->feed_unlimited)
        line(page, "unlimited");
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_ACTION_FEED)
            describe_action(page, plan, i);
    start_label(page, "keeping");
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind != WG_ACTION_START && plan->actions[i].kind != WG_ACTION_FEED)
            describe_action(page, plan, i);
}

static void describe_sales(struct description *page, const struct wg_sales *sales) {
    char amount[PRICE_SIZE];
    start_label(page, "prices");
    if (sales->larvae_kg.given) {
        unit_price_text(page, sales->larvae_kg.amount, "per kg", amount);
        line(page, "larvae taken out earn or save %s, live weight", amount);
    }
    if (sales->residue_kg.given) {
        unit_price_text(page, sales->residue_kg.amount, "per kg", amount);
        line(page, "residue cleared earns %s, as moist as the substrate", amount);
    }
}

/* ---- chance ---- */

static void describe_mishaps(struct description *page, const struct wg_plan *plan) {
    const struct wg_mishaps *const mishaps = &plan->mishaps;
    start_label(page, "mishaps");
    if (mishaps->power_cuts_per_year > 0)
        line(page, "power cuts: %s, each %s", show_quantity(WG_PER_YEAR, mishaps->power_cuts_per_year).text,
             show_quantity(WG_HOURS, mishaps->power_cut_hours).text);
    if (mishaps->raids_per_year > 0)
        line(page, "raids on open places: %s, each taking %s of the larvae",
             show_quantity(WG_PER_YEAR, mishaps->raids_per_year).text,
             show_quantity(WG_SHARE, mishaps->raid_share).text);
    start_label(page, "visitors");
    if (plan->wild_peak_per_day > 0)
        line(page, "wild females: %s at the peak of the season",
             show_quantity(WG_NUMBER_RATE, plan->wild_peak_per_day).text);
    if (wg_caution_applies(plan, WG_CAUTION_NOTHING))
        line(page, "%s", wg_caution_text(WG_CAUTION_NOTHING));
}

/* Lists the numbers that are the same in all plausible animals. */
static void describe_given_numbers(struct description *page, const struct wg_plan *plan) {
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        const int dimension = wg_dimension_of_unit(p->unit);
        if (plan->is_given[wg_parameter_index(p)] && dimension >= 0)
            line(page, "  %s: %s, the same in all animals", p->name,
                 show_quantity((enum wg_dimension)dimension, wg_species_get(&plan->species, p)).text);
    }
}

/* Lists the numbers of the animal that differ from the set. */
static void describe_species(struct description *page, const struct wg_plan *plan) {
    struct wg_species usual;
    start_label(page, "species");
    if (plan->animals == WG_ANIMALS_PLAUSIBLE) {
        line(page, "plausible animals, which differ in what is not known of the species");
        describe_given_numbers(page, plan);
        return;
    }
    line(page, "the set \"%s\" of numbers", plan->numbers);
    if (wg_species_set(&usual, plan->numbers) < 0)
        return;
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        const double value = wg_species_get(&plan->species, p), otherwise = wg_species_get(&usual, p);
        const int dimension = wg_dimension_of_unit(p->unit);
        if (value != otherwise && dimension >= 0)
            line(page, "  %s: %s instead of %s", p->name, show_quantity((enum wg_dimension)dimension, value).text,
                 show_quantity((enum wg_dimension)dimension, otherwise).text);
    }
}

static void describe_forecast(struct description *page, const struct wg_plan *plan) {
    start_label(page, "forecast");
    line(page, "%lld replicate%s, seed %llu, %d step%s a day", (long long)plan->replicates,
         plan->replicates == 1 ? "" : "s", (unsigned long long)plan->seed, plan->steps_per_day,
         plan->steps_per_day == 1 ? "" : "s");
}

static void describe_goals(struct description *page, const struct wg_plan *plan) {
    start_label(page, "goal");
    for (int i = 0; i < plan->n_goals; i++) {
        char text[WG_GOAL_SENTENCE_SIZE];
        wg_goal_text(&plan->goal[i], plan->currency, text);
        line(page, "%s, with a chance of %s", text, show_quantity(WG_SHARE, plan->goal[i].chance).text);
    }
}

/* ---- what is open ---- */

#define SHOWN_LEVELS 100 /* characters */

/* "40 degF, 45 degF, ... 80 degF": all values, or the first two and the last. */
static void levels_text(const struct wg_levels *levels, char out[2 * SHOWN_LEVELS]) {
    size_t n = 0;
    out[0] = '\0';
    for (int k = 0; k < levels->n && n < SHOWN_LEVELS; k++)
        n += (size_t)snprintf(out + n, 2 * SHOWN_LEVELS - n, "%s%.60s", k > 0 ? ", " : "", levels->level[k].text);
    if (n >= SHOWN_LEVELS && levels->n > 3)
        (void)snprintf(out, (size_t)2 * SHOWN_LEVELS, "%.50s, %.50s, ... %.50s", levels->level[0].text,
                       levels->level[1].text, levels->level[levels->n - 1].text);
}

static void describe_openings(struct description *page, const struct wg_openings *openings) {
    char levels[2 * SHOWN_LEVELS];
    start_label(page, "to try");
    for (int i = 0; i < openings->n; i++) {
        const struct wg_opening *const opening = &openings->opening[i];
        levels_text(&opening->levels, levels);
        line(page, "%s: now %.60s; %d values: %s", opening->subject, opening->levels.level[opening->now].text,
             opening->levels.n, levels);
    }
    if (openings->n > 0)
        line(page, "%.0f plans, among which wintergrub cheapest searches", wg_openings_plans(openings));
}

char *wg_outline(const struct wg_scenario *scenario) {
    const struct wg_plan *const plan = &scenario->plan;
    char *text = NULL;
    size_t size = 0;
    struct description page = {.out = open_memstream(&text, &size), .label = "title", .currency = plan->currency};
    if (page.out == NULL)
        return NULL;
    if (plan->title[0] != '\0')
        line(&page, "%s", plan->title);
    start_label(&page, "based on");
    for (int i = 0; i < WG_MAX_BASES && scenario->base_file[i] != NULL; i++)
        line(&page, "%s", scenario->base_file[i]);
    describe_period(&page, plan);
    describe_climate(&page, scenario);
    for (int p = 0; p < plan->n_places; p++)
        describe_place(&page, plan, p);
    describe_actions(&page, plan);
    describe_sales(&page, &plan->sales);
    describe_mishaps(&page, plan);
    describe_species(&page, plan);
    describe_forecast(&page, plan);
    describe_goals(&page, plan);
    describe_openings(&page, &scenario->openings);
    finish_label(&page);
    const bool failed = ferror(page.out) != 0;
    if (fclose(page.out) != 0 || failed) {
        free(text);
        return NULL;
    }
    return text;
}
