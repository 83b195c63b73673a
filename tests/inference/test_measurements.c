/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks what a measurement narrows: against the conjugate normal case; the jar in the cold against the engine; the
 * values of an animal and of a year against formulas worked by hand.
 */
#include "base/random.h"
#include "inference/measurements.h"
#include "species/reference.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

enum { N = 256 };
#define LUCK 0.2 /* variance of luck in an animal's mean */

/* Normal answers of variance 1, of which a value explains `part`, another another; luck in the halves of the years. */
struct made {
    double value[2][N], half[2][N];
};

static void make_answers(struct made *made, double first, double second, uint64_t seed) {
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, seed, 1, WG_PURPOSE_PARAMETERS);
    for (int a = 0; a < N; a++) {
        made->value[0][a] = wg_normal(rng);
        made->value[1][a] = wg_normal(rng);
        const double answer = sqrt(first) * made->value[0][a] + sqrt(second) * made->value[1][a] +
                              sqrt(1 - first - second) * wg_normal(rng);
        for (int h = 0; h < 2; h++)
            made->half[h][a] = 10 + answer + sqrt(2 * LUCK) * wg_normal(rng);
    }
    gsl_rng_free(rng);
}

static struct wg_gain gain_of_two(const struct made *made, double error, int k) {
    const struct wg_measured measured[] = {{{{made->value[0], made->value[0]}}, error},
                                           {{{made->value[1], made->value[1]}}, error}};
    const struct wg_measured *const both[] = {&measured[0], &measured[1]};
    struct wg_gain gain;
    cr_assert_eq(
        wg_measurements_gain(N, (struct wg_halves){{made->half[0], made->half[1]}}, 1, LUCK, both, k, &gain, NULL), 0);
    return gain;
}

/*
 * Conjugate normal case (any textbook): a value of variance 1 that explains R of the answer, measured with error s, removes
 * R/(1 + s^2) of its variance; two independent ones the sum. Means over 30 seeds, within 0.035 (2.6 standard errors).
 */
Test(measurements, remove_what_the_conjugate_normal_case_does) {
    static struct made made;
    double removed[3] = {0}, low[3] = {0};
    int covered = 0;
    for (uint64_t seed = 1; seed <= 30; seed++) {
        make_answers(&made, 0.5, 0.2, seed);
        for (int k = 0; k <= 2; k++) {
            const struct wg_gain gain = gain_of_two(&made, 0.5, k);
            removed[k] += gain.share.value / 30;
            low[k] += gain.answer.low / 30;
            covered += k == 1 && gain.share.range.low < 0.4 && gain.share.range.high > 0.4;
        }
    }
    cr_expect_float_eq(removed[0], 0, 1e-9);
    cr_expect_float_eq(removed[1], 0.5 / 1.25, 0.035, "%g", removed[1]);
    cr_expect_float_eq(removed[2], 0.7 / 1.25, 0.035, "%g", removed[2]);
    cr_expect(covered >= 24, "%d of 30 intervals hold", covered);
    /* 5 of 100: 1.645 standard deviations below the mean, on average 10 */
    cr_expect_float_eq(low[0], 10 - 1.645, 0.1, "%g", low[0]);
    cr_expect_float_eq(low[1], 10 - 1.645 * sqrt(0.6), 0.1, "%g", low[1]);
}

/* A value without effect is above luck in at most 4 of 40 (2.5 % each: 1 expected, more than 4 in 3 of 1,000). */
Test(measurements, that_tell_nothing_gain_nothing) {
    static struct made made;
    int above = 0;
    double sum = 0;
    for (uint64_t seed = 1; seed <= 40; seed++) {
        make_answers(&made, 0, 0.3, seed);
        const struct wg_gain gain = gain_of_two(&made, 0.5, 1);
        above += wg_is_above_luck(&gain.share);
        sum += gain.share.value / 40;
    }
    cr_expect_leq(above, 4, "%d", above);
    cr_expect_leq(sum, 0.005, "%g", sum);
}

static const struct wg_measurement *find_measurement(const char *name) {
    const struct wg_measurement *m = wg_measurements();
    while (m->name != NULL && strcmp(m->name, name) != 0)
        m++;
    cr_assert_not_null(m->name);
    return m;
}

/* 28 days of prepupae at a constant 2 degC, lived by the engine: none goes on, so only deaths count. */
Test(measurements, a_jar_in_the_cold_is_that_of_the_engine) {
    struct wg_plan plan;
    struct wg_diary diary;
    plan_laboratory(&plan, 2, 28);
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 100000);
    plan.species.dorm_temp_c = 0; /* awake: the dormant have a background of their own */
    plan.species.dorm_temp_scale = 0.1;
    plan_simulate(&plan, 0, &diary);
    const int64_t *const count = diary.count + (ptrdiff_t)(diary.n_days - 1) * WG_N_STAGES;
    const double alive = (double)(count[WG_PREPUPA] + count[WG_DORMANT]) / 100000;
    const double angle = find_measurement("jar_in_the_cold")->of_animal(&plan.species);
    /* the binomial's standard error is 0.16 points; the animals put in live their first day in part */
    cr_expect_float_eq(sin(angle) * sin(angle), alive, 0.02, "%g, engine %g", sin(angle) * sin(angle), alive);
    wg_diary_free(&diary);
    wg_plan_free(&plan);
}

/* ---- values worked by hand ---- */

static double of_animal(const char *name, const struct wg_species *s) {
    return find_measurement(name)->of_animal(s);
}

/* Daily hazards without curves of cold: survival is exp(-hazard x days), shares on the arcsine scale (sin^2 gives them back). */
Test(measurements, of_an_animal_are_its_own_numbers) {
    struct wg_plan plan;
    plan_laboratory(&plan, 27, 10);
    const struct wg_species *const s = &plan.species;
    double days[WG_N_CLOCKS], alive[WG_N_CLOCKS];
    for (int stage = 0; stage < WG_N_CLOCKS; stage++) {
        days[stage] = wg_stage_days(s, (enum wg_clock_stage)stage, WG_REFERENCE_C);
        alive[stage] = exp(-days[stage] * wg_hazard_background(s, (enum wg_clock_stage)stage, WG_REFERENCE_C));
    }
    cr_expect_float_eq(pow(sin(of_animal("eggs_that_hatch", s)), 2), alive[WG_CLOCK_EGG], 1e-9);
    cr_expect_float_eq(pow(sin(of_animal("prepupae_that_fly", s)), 2), alive[WG_CLOCK_PREPUPA] * alive[WG_CLOCK_PUPA],
                       1e-9);
    cr_expect_float_eq(exp(of_animal("days_to_crawl_off", s)), days[WG_CLOCK_LARVA], 1e-9);
    cr_expect_float_eq(exp(of_animal("days_to_flies", s)), days[WG_CLOCK_PREPUPA] + days[WG_CLOCK_PUPA], 1e-9);
    cr_expect_float_eq(exp(of_animal("days_of_flies", s)), days[WG_CLOCK_ADULT], 1e-9);
    cr_expect_float_eq(exp(of_animal("grub_weight", s)), s->final_mass_g, 1e-9);
    cr_expect_float_eq(exp(of_animal("dry_share", s)), s->larva_dry, 1e-9);
    cr_expect_float_eq(exp(of_animal("grubs_per_feed", s)) * s->larva_dry, s->conversion, 1e-9);
    wg_plan_free(&plan);
}

/* A week at 4 degC with a given loss a day: 0.9^7 of the larvae and 0.8^7 of the pupae live. */
Test(measurements, a_week_in_the_cold_takes_its_daily_share_seven_times) {
    struct wg_plan plan;
    plan_laboratory(&plan, 27, 10);
    struct wg_species *const s = &plan.species;
    const struct wg_species kept = *s;
    const enum wg_clock_stage stage[] = {WG_CLOCK_LARVA, WG_CLOCK_PUPA};
    const char *const name[] = {"larvae_in_the_cold", "pupae_in_the_cold"};
    const double left[] = {0.9, 0.8};
    for (int i = 0; i < 2; i++) {
        *s = kept;
        s->freeze_c[stage[i]] = 10; /* below it a constant hazard; with the others it is the whole loss */
        s->freeze_hazard = 0;
        s->freeze_hazard = -log(left[i]) - wg_hazard_in_the_cold(s, stage[i], 4);
        cr_expect_float_eq(pow(sin(of_animal(name[i], s)), 2), pow(left[i], 7), 1e-9, "%s", name[i]);
    }
    wg_plan_free(&plan);
}

/* A year from 15 September 2026 with made numbers; the days of the year are counted from a calendar. */
enum { JAN_5 = 112, OCT_1 = 16, DEC_31 = 107, JUN_15 = 273 };

static double of_year(const char *name, const struct wg_plan *plan, const struct wg_diary *diary) {
    return find_measurement(name)->of_year(plan, diary);
}

static void clear_year(struct wg_diary *diary) {
    memset(diary->count, 0, (size_t)diary->n_days * WG_N_STAGES * sizeof *diary->count);
    for (int i = 0; i < diary->n_days; i++) {
        diary->adults_emerged[i] = diary->spring_flies[i] = diary->flown[i] = diary->eggs_trapped[i] = 0;
        diary->crawl_off_mass[i] = 0;
    }
}

static void set_count(struct wg_diary *diary, int day, enum wg_stage stage, int64_t n) {
    diary->count[(ptrdiff_t)day * WG_N_STAGES + stage] = n;
}

Test(measurements, of_a_year_are_counted_on_their_days) {
    struct wg_plan plan;
    struct wg_diary diary;
    plan_outdoors(&plan, 365);
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 1000);
    plan_simulate(&plan, 0, &diary);
    clear_year(&diary);
    set_count(&diary, JAN_5, WG_PREPUPA, 30);
    set_count(&diary, JAN_5, WG_DORMANT, 50);
    set_count(&diary, JUN_15, WG_FEMALE, 40);
    set_count(&diary, JUN_15, WG_MALE, 60);
    set_count(&diary, DEC_31, WG_PREPUPA, 100);
    set_count(&diary, DEC_31, WG_DORMANT, 180);
    diary.adults_emerged[OCT_1 - 1] = 1000; /* before the three months */
    diary.adults_emerged[OCT_1] = 40;
    diary.flown[DEC_31] = 50;
    diary.adults_emerged[DEC_31 + 1] = 1000;
    diary.spring_flies[200] = 300;
    diary.spring_flies[201] = 80;
    diary.eggs_trapped[10] = 7000;
    diary.eggs_trapped[300] = 1340;
    diary.spring_emergence_50 = 230;
    diary.crawl_off_mass[DEC_31 - 1] = 3;
    diary.crawl_off_mass[DEC_31 + 1] = 9;
    cr_expect_float_eq(exp(of_year("prepupae_in_january", &plan, &diary)), 30 + 50 + 20, 1e-9);
    cr_expect_float_eq(exp(of_year("flies_in_june", &plan, &diary)), 40 + 60 + 20, 1e-9);
    /* 90 flies and half of 20, of 90 flies, 280 prepupae and 20 */
    cr_expect_float_eq(pow(sin(of_year("flies_before_winter", &plan, &diary)), 2), 100.0 / 390, 1e-9);
    cr_expect_float_eq(exp(of_year("spring_flies", &plan, &diary)), 380 + 20, 1e-9);
    cr_expect_float_eq(of_year("spring_flies_day", &plan, &diary), 230, 1e-9);
    cr_expect_float_eq(exp(of_year("crawl_off_before_winter", &plan, &diary)), 3 + 0.05, 1e-9);
    cr_expect(isnan(of_year("eggs_per_fly", &plan, &diary)), "no traps, no eggs to weigh");
    plan_add(&plan, (struct wg_action){.kind = WG_ACTION_LAY_IN_TRAPS});
    cr_expect_float_eq(exp(of_year("eggs_per_fly", &plan, &diary)), (8340 + 20) / (2090.0 + 20), 1e-9);
    diary.spring_emergence_50 = (double)NAN; /* none came: the last day of the period */
    cr_expect_float_eq(of_year("spring_flies_day", &plan, &diary), 365, 1e-9);
    wg_diary_free(&diary);
    wg_plan_free(&plan);
}

/* In the south the days are half a year later; a short period has no June; a laboratory no winter. */
Test(measurements, of_a_year_follow_its_seasons) {
    struct wg_plan plan;
    struct wg_diary diary;
    plan_outdoors(&plan, 365);
    plan.climate.latitude_deg = -32.4;
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 1000);
    plan_simulate(&plan, 0, &diary);
    clear_year(&diary);
    set_count(&diary, DEC_31 - 16, WG_FEMALE, 480); /* 15 December */
    cr_expect_float_eq(exp(of_year("flies_in_june", &plan, &diary)), 480 + 20, 1e-9);
    wg_diary_free(&diary);
    wg_plan_free(&plan);
    plan_outdoors(&plan, 150);
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 1000);
    plan_simulate(&plan, 0, &diary);
    cr_expect(isnan(of_year("flies_in_june", &plan, &diary)));
    wg_diary_free(&diary);
    wg_plan_free(&plan);
}
