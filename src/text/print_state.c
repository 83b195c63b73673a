/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What is in it? States as a debugger wants to see them, each number under the name that the code gives it.
 */
#include "text/print_state.h"

#include "colony/state.h"

#include <inttypes.h>

static void print_soundness(int code, const struct wg_error *err, FILE *to) {
    if (code == 0)
        (void)fputs("sound\n", to);
    else
        (void)fprintf(to, "NOT SOUND: %s: %s\n", err->where, err->text);
}

/* ---- a colony ---- */

static void print_pool(const char *name, const struct wg_pool *pool, FILE *to) {
    (void)fprintf(to, "  %s: n %d, capacity %d, count %" PRId64 ", %g kg\n", name, pool->n, pool->capacity,
                  wg_pool_count(pool), wg_pool_mass_kg(pool));
    for (int i = 0; i < pool->n; i++) {
        const struct wg_cohort *const c = &pool->cohort[i];
        (void)fprintf(to,
                      "    %d: count %" PRId64 ", x %.6g, log_s %.6g, mass_g %.6g, share %.6g, mark %.6g, days %.6g, "
                      "generation %d%s\n",
                      i, c->count, c->x, c->log_s, c->mass_g, c->share, c->mark, c->days,
                      wg_lineage_generation(c->lineage), wg_lineage_overwintered(c->lineage) ? ", overwintered" : "");
    }
}

static void print_hours(const char *name, const double temp_c[24], FILE *to) {
    const struct wg_hours hours = wg_hours_of(temp_c, 24);
    (void)fprintf(to, "  %s: %.2f to %.2f, mean %.2f degC\n", name, hours.coldest_c, hours.warmest_c, hours.sum_c / 24);
}

static void print_bin(const struct wg_colony *colony, int b, FILE *to) {
    const struct wg_bin_state *const bin = &colony->bin[b];
    const struct wg_bin_contents *const pile = &bin->pile;
    (void)fprintf(to, "bin %d \"%s\" in place %d\n", b, colony->world->plan->bins[b].name,
                  colony->world->plan->bins[b].place);
    print_hours("yesterday_c", bin->yesterday_c, to);
    (void)fprintf(to, "  usable_kg %g, residue_kg %g, frass_kg %g, quality_kg %g, conversion_kg %g\n", pile->usable_kg,
                  pile->residue_kg, pile->frass_kg, pile->quality_kg, pile->conversion_kg);
    (void)fprintf(to, "  eaten_kg %g, ration %g, collect_share %g, give_back %g\n", bin->eaten_kg, bin->meal.ration,
                  bin->collect_share, bin->give_back);
    print_pool("egg", &bin->egg, to);
    print_pool("larva", &bin->larva, to);
}

static void print_place(const struct wg_colony *colony, int p, FILE *to) {
    const struct wg_place_colony *const place = &colony->place[p];
    const struct wg_pool *pool[WG_PLACE_POOLS];
    (void)fprintf(to, "place %d \"%s\": %s\n", p, colony->world->plan->places[p].name,
                  wg_housing_name(colony->world->plan->places[p].shelter.kind));
    print_hours("air_c", place->hours.air_c, to);
    print_hours("ground_c", place->hours.ground_c, to);
    (void)fprintf(to, "  trap_share %g, spring_day %d\n", place->trap_share, place->spring_day);
    wg_place_pools(place, pool);
    for (int i = 0; i < WG_PLACE_POOLS; i++)
        print_pool(wg_place_pool_name(i), pool[i], to);
}

static void print_ledger(const struct wg_ledger *ledger, FILE *to) {
    (void)fprintf(to,
                  "ledger: started %" PRId64 ", laid %" PRId64 ", wild %" PRId64 ", out %" PRId64 " (taken %" PRId64
                  ", flown %" PRId64 ")\n",
                  ledger->started, ledger->laid, ledger->wild, wg_ledger_out(ledger), ledger->taken, ledger->flown);
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        for (int cause = 0; cause < WG_N_CAUSES; cause++)
            if (ledger->dead[stage][cause] != 0)
                (void)fprintf(to, "  dead %s of %s: %" PRId64 "\n", wg_stage_name((enum wg_stage)stage),
                              wg_cause_name((enum wg_cause)cause), ledger->dead[stage][cause]);
    (void)fprintf(to, "  feed: given %g, eaten %g, microbes %g kg\n", ledger->feed_given_kg, ledger->feed_eaten_kg,
                  ledger->feed_microbes_kg);
}

void wg_colony_print_state(const struct wg_colony *colony, FILE *to) {
    const struct wg_plan *const plan = colony->world->plan;
    struct wg_error err = {0};
    char date[24];
    print_soundness(wg_colony_verify(colony, &err), &err, to);
    wg_day_format_long(plan->first_day + colony->day, date);
    (void)fprintf(to, "day %d (%s), hours %d to %d, alive %" PRId64 "%s\n", colony->day, date, colony->from, colony->to,
                  colony->alive, colony->overgrown ? ", overgrown" : "");
    (void)fprintf(to, "sky: %.2f to %.2f, mean %.2f degC, day_length_h %.2f\n", colony->sky.low_c, colony->sky.high_c,
                  colony->sky.mean_c, colony->sky.day_length_h);
    print_ledger(&colony->ledger, to);
    for (int b = 0; b < plan->n_bins; b++)
        print_bin(colony, b, to);
    for (int p = 0; p < plan->n_places; p++)
        print_place(colony, p, to);
}

/* ---- what replicates share ---- */

void wg_world_print_state(const struct wg_world *world, FILE *to) {
    struct wg_error err = {0};
    print_soundness(wg_world_verify(world, &err), &err, to);
    (void)fprintf(to, "n_generations %d, n_lineages %d, steps_per_day %d, seed %" PRIu64 ", numbers %s\n",
                  world->n_generations, world->n_lineages, world->plan->steps_per_day, world->plan->seed,
                  world->plan->numbers);
    for (int i = 0; i <= WG_N_CLOCKS; i++) {
        const struct wg_clock *const clock = i < WG_N_CLOCKS ? &world->clocks.stage[i] : &world->clocks.dormancy;
        (void)fprintf(to, "clock %d: %s, a %g, b %g, top %g, per_step %g\n", i,
                      clock->lognormal ? "lognormal" : "gamma", clock->a, clock->b, clock->top, clock->per_step);
    }
    (void)fprintf(to, "growth: n %d, per_step %g\n", world->growth.n, world->growth.per_step);
    for (int p = 0; p < world->plan->n_places; p++)
        (void)fprintf(to, "place %d \"%s\": %s, n_bins %d\n", p, world->plan->places[p].name,
                      wg_housing_name(world->places[p].shelter.kind), world->places[p].n_bins);
}

void wg_weather_print_state(const struct wg_weather *weather, const struct wg_climate *climate, FILE *to) {
    struct wg_error err = {0};
    print_soundness(wg_weather_verify(weather, climate, &err), &err, to);
    for (int i = 0; i < weather->n_days; i++) {
        char date[24];
        wg_day_format_long(weather->first_day + i, date);
        (void)fprintf(to, "%s: low_c %.2f, high_c %.2f, anomaly_c %.2f\n", date, weather->low_c[i], weather->high_c[i],
                      weather->anomaly_c[i]);
    }
}

void wg_summary_print_state(const struct wg_summary *summary, FILE *to) {
    struct wg_error err = {0};
    print_soundness(wg_summary_verify(summary, &err), &err, to);
    (void)fprintf(to, "n %" PRId64 ", capacity %" PRId64 "\n", summary->n, summary->capacity);
    for (int64_t k = 0; k < summary->n; k++) {
        (void)fprintf(to, "replicate %" PRId64 ":", k);
        for (int i = 0; i < summary->n_outcomes; i++)
            (void)fprintf(to, " %s %g", wg_diary_outcomes()[i].name, summary->outcome[i * summary->capacity + k]);
        (void)fputc('\n', to);
    }
}
