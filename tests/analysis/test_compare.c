/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks comparisons: the same days for each setup, differences computed by hand, and rejected setups.
 *
 * Outside checks: the paired interval against the textbook example of paired
 * samples below; shares against Newcombe 1998, Stat. Med. 17:857, table I; the
 * ratio's limits against their definition (the mean of cost - R mass is z
 * standard errors from 0).
 */
#include "analysis/compare.h"
#include "forecast/lattice.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct wg_error err;

/* ---- the weather of each setup ---- */

struct seen {
    int64_t n;
    double *outdoor_c, *out_hours; /* [replicate][day] */
};

static int see(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *e) {
    struct seen *const seen = self;
    (void)e;
    cr_assert_eq(replicate, seen->n);
    const size_t size = (size_t)diary->n_days * sizeof(double), at = (size_t)(replicate * diary->n_days);
    seen->outdoor_c = realloc(seen->outdoor_c, (at + (size_t)diary->n_days) * sizeof(double));
    seen->out_hours = realloc(seen->out_hours, (at + (size_t)diary->n_days) * sizeof(double));
    memcpy(seen->outdoor_c + at, diary->outdoor_temperature, size);
    memcpy(seen->out_hours + at, diary->power_out_hours, size);
    seen->n++;
    return 0;
}

static void forget(struct seen *seen) {
    free(seen->outdoor_c);
    free(seen->out_hours);
}

static struct wg_compare two(const struct wg_plan *a, const struct wg_plan *b) {
    return (struct wg_compare){.n = 2,
                               .setup = {{.plan = a, .name = "first.yaml"}, {.plan = b, .name = "second.yaml"}},
                               .replicates = 6,
                               .seed = 11};
}

static void autumn(struct wg_plan *plan) {
    plan_outdoors(plan, 60);
    plan_start(plan, 0, WG_MOVABLE_LARVAE, 5, 2000);
    plan_collect(plan, 0.8);
    plan->mishaps = (struct wg_mishaps){.power_cuts_per_year = 40, .power_cut_hours = 12};
}

static void run(struct wg_compare *compare, int threads) {
    const struct wg_ensemble_options options = {.threads = threads};
    cr_assert_eq(wg_compare_run(compare, &options, &err), 0, "%s", err.text);
}

/* A different house, different bins, more feed: the days are still the same. */
Test(compare, takes_each_setup_through_the_same_weather_and_power_cuts) {
    struct wg_plan a, b;
    struct seen seen[2] = {{0}, {0}};
    const struct wg_observer observer[2] = {{see, &seen[0]}, {see, &seen[1]}};
    autumn(&a);
    autumn(&b);
    plan_add_place(&b, WG_SHED);
    plan_start(&b, 3, WG_MOVABLE_EGGS, 0, 30000);
    b.seed = 999; /* ignored: the comparison's seed counts */
    struct wg_compare compare = two(&a, &b);
    for (int i = 0; i < 2; i++) {
        compare.setup[i].observer = &observer[i];
        compare.setup[i].n_observers = 1;
    }
    run(&compare, 2);
    const size_t bytes = 6 * 60 * sizeof(double);
    cr_assert_eq(memcmp(seen[0].outdoor_c, seen[1].outdoor_c, bytes), 0, "another outdoor temperature");
    cr_assert_eq(memcmp(seen[0].out_hours, seen[1].out_hours, bytes), 0, "other power cuts");
    double cuts = 0, spread = 0;
    for (int i = 0; i < 6 * 60; i++)
        cuts += seen[0].out_hours[i];
    for (int day = 0; day < 60; day++)
        spread += fabs(seen[0].outdoor_c[day] - seen[0].outdoor_c[60 + day]);
    cr_assert(cuts > 100, "40 cuts of 12 h a year in six times 60 days are 473 h, not %g", cuts);
    cr_assert(spread > 30, "two years are not the same year");
    forget(&seen[0]);
    forget(&seen[1]);
    wg_compare_free(&compare);
    wg_plan_free(&a);
    wg_plan_free(&b);
}

/* The first setup has plausible animals, the second the middle one: both live winters 0 to 63 and then some of them again. */
Test(compare, takes_plausible_animals_and_the_middle_one_through_the_same_winters) {
    enum { DAYS = 10, REPLICATES = 80 };
    struct wg_plan a, b;
    struct seen seen[2] = {{0}, {0}};
    const struct wg_observer observer[2] = {{see, &seen[0]}, {see, &seen[1]}};
    plan_outdoors(&a, DAYS);
    plan_outdoors(&b, DAYS);
    a.animals = WG_ANIMALS_PLAUSIBLE;
    struct wg_compare compare = two(&a, &b);
    compare.replicates = REPLICATES;
    for (int i = 0; i < 2; i++) {
        compare.setup[i].observer = &observer[i];
        compare.setup[i].n_observers = 1;
    }
    run(&compare, 2);
    const size_t winter = DAYS * sizeof(double);
    cr_assert_eq(memcmp(seen[0].outdoor_c, seen[1].outdoor_c, REPLICATES * winter), 0);
    const int64_t again = wg_lattice_cell(&a, REPLICATES - 1).winter;
    cr_assert(again < WG_LATTICE_ANIMALS);
    cr_assert_eq(memcmp(seen[1].outdoor_c + (REPLICATES - 1) * DAYS, seen[1].outdoor_c + again * DAYS, winter), 0);
    forget(&seen[0]);
    forget(&seen[1]);
    wg_compare_free(&compare);
    wg_plan_free(&a);
    wg_plan_free(&b);
}

/* Setups may differ in mishap rates, because the rarer power cuts are a subset of the more frequent ones. */
Test(compare, shares_the_mishaps_of_a_setup_that_has_fewer) {
    struct wg_plan a, b;
    struct seen seen[2] = {{0}, {0}};
    const struct wg_observer observer[2] = {{see, &seen[0]}, {see, &seen[1]}};
    autumn(&a);
    autumn(&b);
    b.mishaps.power_cuts_per_year = 10;
    struct wg_compare compare = two(&a, &b);
    for (int i = 0; i < 2; i++) {
        compare.setup[i].observer = &observer[i];
        compare.setup[i].n_observers = 1;
    }
    run(&compare, 1);
    double few = 0, many = 0;
    for (int i = 0; i < 6 * 60; i++) {
        few += seen[1].out_hours[i];
        many += seen[0].out_hours[i];
        cr_assert_leq(seen[1].out_hours[i], seen[0].out_hours[i], "day %d: a cut of its own", i);
    }
    cr_assert(few > 0 && few < many, "%g of %g hours", few, many);
    forget(&seen[0]);
    forget(&seen[1]);
    wg_compare_free(&compare);
    wg_plan_free(&a);
    wg_plan_free(&b);
}

Test(compare, finds_no_difference_to_itself) {
    struct wg_plan a;
    autumn(&a);
    struct wg_compare compare = two(&a, &a);
    run(&compare, 2);
    for (int c = 0; c < WG_N_COMPARED; c++) {
        const struct wg_difference *const d = &compare.pair[1].difference[c];
        const char *const name = wg_diary_outcomes()[wg_compared_outcome((enum wg_compared)c)].name;
        if (d->n > 0)
            cr_assert(d->mean == 0 && d->sd == 0, "%s", name);
        if (c != WG_COMPARED_survived)
            cr_assert(isnan(d->interval.low) && isnan(d->interval.high), "%s: six zeros show no spread", name);
        cr_assert(d->better == 0 && d->worse == 0, "%s", name);
        cr_assert(d->ties == 0 ? isnan(d->chance) : d->chance == 0, "%s: %g", name, d->chance);
        cr_assert(!(d->variance_factor < INFINITY), "%s: nothing is left of the variance", name);
    }
    const struct wg_difference *const alive = &compare.pair[1].difference[WG_COMPARED_survived];
    cr_assert_eq(alive->ties, 6);
    /* Tango's interval of no discordant pair: z^2/(n + z^2) to either side */
    cr_assert_float_eq(alive->interval.high, 3.8415 / (6 + 3.8415), 1e-4);
    cr_assert_float_eq(alive->interval.low, -alive->interval.high, 1e-12);
    cr_assert_eq(compare.pair[1].extra.why, WG_EXTRA_NONE);
    wg_compare_free(&compare);
    wg_plan_free(&a);
}

Test(compare, does_not_depend_on_threads_and_keeps_the_summaries_of_single_runs) {
    struct wg_plan a, b;
    autumn(&a);
    autumn(&b);
    plan_feed(&b, 0.5);
    struct wg_compare one = two(&a, &b), many = two(&a, &b);
    run(&one, 1);
    run(&many, 3);
    cr_assert_eq(memcmp(one.pair, many.pair, sizeof one.pair), 0);
    b.seed = 11;
    struct wg_summary alone;
    cr_assert_eq(wg_summary_init(&alone, &b, 6, &err), 0);
    const struct wg_observer observer = wg_summary_observer(&alone);
    cr_assert_eq(wg_ensemble_run(&b, &(struct wg_ensemble_options){.count = 6, .threads = 1}, &observer, 1, &err), 0);
    const size_t bytes = (size_t)alone.n_outcomes * 6 * sizeof(double);
    cr_assert_eq(memcmp(alone.outcome, one.setup[1].summary.outcome, bytes), 0);
    wg_summary_free(&alone);
    wg_compare_free(&one);
    wg_compare_free(&many);
    wg_plan_free(&a);
    wg_plan_free(&b);
}

/* ---- differences by hand ---- */

/* "Student" 1908, Biometrika 6:20: hours of sleep gained by ten patients with two drugs; mean 1.58, sd 1.230. */
Test(compare, gives_students_sleep) {
    static const double a[] = {0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0};
    static const double b[] = {1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4};
    const struct wg_difference d = wg_difference(a, b, 10, WG_MORE_IS_BETTER, WG_MISSING_OMITTED);
    cr_assert_eq(d.n, 10);
    cr_assert_float_eq(d.mean, 1.58, 1e-12);
    cr_assert_float_eq(d.sd, 1.230, 0.0005, "printed to 3 decimals");
    /* t of 9 degrees of freedom: 2.262 in the usual printed tables; the ends solve Hall's equation (test_intervals.c) for the
       skewness of these ten, and lie higher than Student's 0.70 and 2.46, since the long tail is above */
    const double cubed[] = {-0.38, 0.82, -0.28, -0.28, -1.58, -0.58, 0.22, -0.78, 3.02, -0.18};
    double third = 0, second = 0;
    for (int i = 0; i < 10; i++) {
        third += pow(cubed[i], 3) / 10;
        second += pow(cubed[i], 2) / 10;
    }
    const double c = third / pow(second, 1.5),
                 end[] = {(1.58 - d.interval.low) / d.sd, (1.58 - d.interval.high) / d.sd};
    for (int i = 0; i < 2; i++) {
        const double left = end[i] + c * end[i] * end[i] / 3 + c * c * pow(end[i], 3) / 27 + c / 60;
        cr_assert_float_eq(left, (i == 0 ? 2.262 : -2.262) / sqrt(10), 0.0005);
    }
    cr_assert(d.interval.low > 0.70 && d.interval.high > 2.46);
    cr_assert(d.better == 9 && d.worse == 0 && d.ties == 1);
    cr_assert_float_eq(d.chance, 0.9, 1e-15, "nine of ten are better; the tie is not");
    /* variances of the two columns: 3.2006 and 4.0090 (sd 1.789 and 2.002 in R's data set `sleep`) */
    cr_assert_float_eq(d.variance_factor, (3.2006 + 4.0090) / (1.230 * 1.230), 0.005);
    const struct wg_difference turned = wg_difference(a, b, 10, WG_LESS_IS_BETTER, WG_MISSING_OMITTED);
    cr_assert(turned.better == 0 && turned.worse == 9 && turned.ties == 1);
    cr_assert_eq(turned.chance, 0);
}

/*
 * The 97.5 % points of Student's t from textbooks, to three decimals (MEMORY; Fisher & Yates, Statistical Tables,
 * table III). The normal quantile 1.960 would make the interval of three pairs less than half as wide.
 */
Test(compare, reaches_as_far_as_students_t) {
    static const struct {
        int n;
        double t;
    } table[] = {{2, 12.706}, {3, 4.303}, {4, 3.182}, {6, 2.571}, {11, 2.228}, {31, 2.042}, {121, 1.980}};
    const double a[121] = {0};
    double b[121];
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        for (int k = 0; k < table[i].n; k++)
            b[k] = 2 * k - table[i].n; /* symmetric: no skewness to correct for */
        const struct wg_difference d = wg_difference(a, b, table[i].n, WG_MORE_IS_BETTER, WG_MISSING_OMITTED);
        const double half = (d.interval.high - d.interval.low) / 2;
        cr_expect_float_eq(half / (d.sd / sqrt(table[i].n)), table[i].t, 0.0005 + 1e-9, "%d pairs", table[i].n);
    }
}

/* Newcombe 1998, table I: 15 of 148 is 0.0624 to 0.1605. */
Test(compare, gives_newcombes_interval_without_ties) {
    double a[148] = {0}, b[148];
    for (int k = 0; k < 148; k++)
        b[k] = k < 15 ? 1 : -1;
    const struct wg_difference d = wg_difference(a, b, 148, WG_MORE_IS_BETTER, WG_MISSING_OMITTED);
    cr_assert_float_eq(d.chance_interval.low, 0.0624, 0.00005);
    cr_assert_float_eq(d.chance_interval.high, 0.1605, 0.00005);
}

Test(compare, takes_a_date_that_did_not_come_for_late_in_the_chance_only) {
    const double a[] = {10, NAN, 12, NAN, 20}, b[] = {8, 30, NAN, NAN, 20};
    const struct wg_difference d = wg_difference(a, b, 5, WG_LESS_IS_BETTER, WG_MISSING_LATER);
    cr_assert_eq(d.n, 2);
    cr_assert_float_eq(d.mean, -1, 1e-15);
    cr_assert(d.better == 2 && d.worse == 1 && d.ties == 2);
    const struct wg_difference out = wg_difference(a, b, 5, WG_LESS_IS_BETTER, WG_MISSING_OMITTED);
    cr_assert(out.n == 2 && out.better == 1 && out.worse == 0 && out.ties == 1);
    const double none[] = {NAN, NAN};
    const struct wg_difference nothing = wg_difference(none, none, 2, WG_LESS_IS_BETTER, WG_MISSING_OMITTED);
    cr_assert(nothing.n == 0 && isnan(nothing.mean) && isnan(nothing.chance) && isnan(nothing.interval.low));
    const struct wg_difference one = wg_difference(a, b, 1, WG_LESS_IS_BETTER, WG_MISSING_OMITTED);
    cr_assert(one.n == 1 && one.mean == -2 && isnan(one.interval.low), "one replicate has no interval");
}

/* Pairing gains nothing for independent values, and all but the independent part for correlated ones. */
Test(compare, measures_what_pairing_is_worth) {
    enum { N = 20000 };
    static double a[N], b[N], apart[N];
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 5, 0, WG_PURPOSE_WEATHER);
    for (int k = 0; k < N; k++) {
        const double winter = 3 * wg_normal(rng);
        a[k] = winter + wg_normal(rng);
        b[k] = 1 + winter + wg_normal(rng);
        apart[k] = 1 + 3 * wg_normal(rng) + wg_normal(rng);
    }
    gsl_rng_free(rng);
    /* (10 + 10)/2 = 10; standard error of a ratio of variances of 20,000: about 2 %, five of them allowed */
    cr_assert_float_eq(wg_difference(a, b, N, WG_MORE_IS_BETTER, WG_MISSING_OMITTED).variance_factor, 10, 1);
    cr_assert_float_eq(wg_difference(a, apart, N, WG_MORE_IS_BETTER, WG_MISSING_OMITTED).variance_factor, 1, 0.1);
}

/* ---- the price of extra harvest ---- */

/* Sets outcomes of finished summaries. */
static double *outcome(struct wg_compare *compare, int setup, enum wg_outcome_number number) {
    return (double *)(uintptr_t)wg_summary_outcome(&compare->setup[setup].summary, number);
}

/* Replaces collecting by traps in which no eggs are laid. */
static void take_nothing_out(struct wg_plan *plan) {
    for (int i = 0; i < plan->n_actions; i++) {
        struct wg_action *const action = &plan->actions[i];
        if (action->kind != WG_ACTION_COLLECT)
            continue;
        action->kind = WG_ACTION_LAY_IN_TRAPS;
        action->place = 0;
        action->as.traps.share = 0;
    }
}

/* A heater in a shed: cost is proportional to energy, and the mean is t standard errors from 0 at the limits. */
Test(compare, prices_extra_harvest_by_fieller) {
    struct wg_plan a, b;
    plan_outdoors(&a, 100);
    plan_outdoors(&b, 100);
    for (int i = 0; i < 2; i++) {
        struct wg_plan *const plan = i == 0 ? &a : &b;
        plan_start(plan, 0, WG_MOVABLE_LARVAE, 5, 2000);
        plan_feed(plan, 0.5);
        plan_collect(plan, 0.8);
    }
    wg_shelter_defaults(&b.places[0].shelter, WG_SHED);
    b.places[0].shelter.lamp_hours = 12;
    b.places[0].heater = (struct wg_heater_spec){
        .power_w = 3000, .set_point_c = 26, .efficiency = 1, .price_per_kwh = 0.2, .season = WG_ALL_YEAR};
    struct wg_compare compare = two(&a, &b);
    compare.replicates = 12;
    run(&compare, 2);
    const struct wg_extra_price *const price = &compare.pair[1].extra;
    cr_assert_eq(price->why, WG_EXTRA_PRICED);
    const double *const kg[] = {outcome(&compare, 0, WG_OUTCOME_total_harvest_mass),
                                outcome(&compare, 1, WG_OUTCOME_total_harvest_mass)};
    const double *const cost[] = {outcome(&compare, 0, WG_OUTCOME_total_heater_cost),
                                  outcome(&compare, 1, WG_OUTCOME_total_heater_cost)};
    const double *const kwh = outcome(&compare, 1, WG_OUTCOME_total_heater_energy);
    double sum_kg = 0, sum_cost = 0;
    for (int k = 0; k < 12; k++) {
        cr_assert_float_eq(cost[1][k], 0.2 * kwh[k], 1e-9 * kwh[k]);
        sum_kg += kg[1][k] - kg[0][k];
        sum_cost += cost[1][k] - cost[0][k];
    }
    cr_assert_float_eq(price->per_kg, sum_cost / sum_kg, 1e-12 * price->per_kg);
    const double end[] = {price->interval.low, price->interval.high};
    cr_assert(end[0] < price->per_kg && price->per_kg < end[1]);
    for (int e = 0; e < 2; e++) {
        double left[12], zero[12] = {0};
        for (int k = 0; k < 12; k++)
            left[k] = cost[1][k] - cost[0][k] - end[e] * (kg[1][k] - kg[0][k]);
        const struct wg_difference d = wg_difference(zero, left, 12, WG_MORE_IS_BETTER, WG_MISSING_OMITTED);
        cr_assert_float_eq(fabs(d.mean) / (d.sd / sqrt(12)), 2.201, 0.0005,
                           "t of 11 degrees of freedom, printed tables");
    }
    wg_compare_free(&compare);
    /* Without harvest the same plans are compared and priced by their crawl-off. */
    take_nothing_out(&a);
    take_nothing_out(&b);
    compare = two(&a, &b);
    run(&compare, 2);
    cr_expect_eq(wg_compare_main(&compare), WG_COMPARED_total_crawl_off_mass);
    cr_assert_eq(compare.pair[1].extra.why, WG_EXTRA_PRICED);
    const struct wg_difference *const d = compare.pair[1].difference;
    cr_expect_float_eq(compare.pair[1].extra.per_kg,
                       d[WG_COMPARED_total_heater_cost].mean / d[WG_COMPARED_total_crawl_off_mass].mean, 1e-12);
    wg_compare_free(&compare);
    /* One of two energy sources has no price: no cost, and no price of extra harvest. */
    b.bins[0].spec.mat = b.places[0].heater;
    b.places[0].heater.price_per_kwh = (double)NAN;
    compare = two(&a, &b);
    run(&compare, 2);
    cr_assert_eq(compare.pair[1].extra.why, WG_EXTRA_NO_PRICE);
    cr_assert(isnan(compare.pair[1].extra.per_kg));
    cr_expect_eq(compare.pair[1].difference[WG_COMPARED_total_heater_cost].n, 0, "no difference of what is not known");
    wg_compare_free(&compare);
    b.bins[0].spec.mat.power_w = 0;
    b.places[0].heater.power_w = 0;
    compare = two(&a, &b);
    run(&compare, 2);
    cr_assert_neq(compare.pair[1].extra.why, WG_EXTRA_PRICED);
    cr_assert_neq(compare.pair[1].extra.why, WG_EXTRA_NO_PRICE);
    wg_compare_free(&compare);
    wg_plan_free(&a);
    wg_plan_free(&b);
}

/* ---- rejected setups ---- */

static void refuses(const struct wg_plan *a, const struct wg_plan *b, const char *const *says) {
    const struct wg_compare compare = two(a, b);
    err = (struct wg_error){0};
    cr_assert_eq(wg_compare_check(&compare, &err), WG_ERR_INPUT);
    cr_assert_str_eq(err.where, "second.yaml");
    cr_assert_not_null(strstr(err.text, "first.yaml"), "%s", err.text);
    for (int i = 0; says[i] != NULL; i++)
        cr_assert_not_null(strstr(err.text, says[i]), "%s: %s", says[i], err.text);
}
#define REFUSES(...) refuses(&a, &b, (const char *const[]){__VA_ARGS__, NULL})

Test(compare, refuses_another_period_or_climate_with_both_values) {
    struct wg_plan a, b;
    plan_outdoors(&a, 60);
    plan_outdoors(&b, 60);
    b.last_day++;
    REFUSES("period", "13 November 2026", "14 November 2026");
    b.last_day--;
    b.climate.latitude_deg = 41;
    REFUSES("latitude", "41 degrees", "32.4 degrees");
    b.climate.latitude_deg = a.climate.latitude_deg;
    b.climate.elevation_m = 300;
    REFUSES("elevation", "300 m", "60 m");
    b.climate.elevation_m = a.climate.elevation_m;
    b.climate.sun_coefficient = 0.19;
    REFUSES("sun", "0.19", "0.16");
    b.climate.sun_coefficient = a.climate.sun_coefficient;
    b.climate.low_c[2] = 7;
    REFUSES("daily low of March", "7 degC", "7.8 degC");
    b.climate.low_c[2] = a.climate.low_c[2];
    b.climate.high_c[11] = 15;
    REFUSES("daily high of December", "15 degC", "15.6 degC");
    b.climate.high_c[11] = a.climate.high_c[11];
    b.climate.high_sd_c[0] = 9;
    REFUSES("spread of the daily high of January", "9 degC");
    b.climate.high_sd_c[0] = a.climate.high_sd_c[0];
    b.climate.low_sd_c[6] = 9;
    REFUSES("spread of the daily low of July", "9 degC");
    b.climate.low_sd_c[6] = a.climate.low_sd_c[6];
    b.climate.kind = WG_CLIMATE_CONSTANT;
    REFUSES("constant temperature", "normals");
    a.climate.kind = WG_CLIMATE_CONSTANT;
    a.climate.constant_c = b.climate.constant_c = 27;
    b.climate.latitude_deg = 50; /* ignored in a laboratory */
    const struct wg_compare same = two(&a, &b);
    cr_assert_eq(wg_compare_check(&same, NULL), 0);
    b.climate.constant_c = 28;
    REFUSES("27 degC", "28 degC");
    wg_plan_free(&a);
    wg_plan_free(&b);
}

Test(compare, refuses_records_that_differ_in_a_day) {
    enum { N = 400 };
    static double low[2][N], high[2][N];
    struct wg_weather_record record[2];
    struct wg_plan a, b;
    plan_outdoors(&a, 60);
    plan_outdoors(&b, 60);
    const int32_t first = wg_day_from_date((struct wg_date){2012, 1, 1});
    for (int i = 0; i < 2; i++) {
        for (int d = 0; d < N; d++) {
            low[i][d] = 5;
            high[i][d] = 15;
        }
        record[i] = (struct wg_weather_record){.first_day = first, .n_days = N, .low_c = low[i], .high_c = high[i]};
        (i == 0 ? &a : &b)->climate.kind = WG_CLIMATE_FITTED;
        (i == 0 ? &a : &b)->climate.record = &record[i];
    }
    const struct wg_compare same = two(&a, &b);
    cr_assert_eq(wg_compare_check(&same, NULL), 0, "other arrays, the same days");
    high[1][59] = 15.5;
    REFUSES("29 February 2012", "5 to 15.5 degC", "5 to 15 degC");
    record[1].n_days = N - 1;
    REFUSES("record", "399 days", "400 days", "1 January 2012");
    b.climate.kind = WG_CLIMATE_YEARS;
    REFUSES("recorded years", "generated from a record");
    wg_plan_free(&a);
    wg_plan_free(&b);
}

Test(compare, refuses_one_setup_and_more_than_letters) {
    struct wg_plan a;
    plan_laboratory(&a, 27, 20);
    struct wg_compare compare = two(&a, &a);
    for (int i = 0; i < WG_COMPARE_MAX; i++)
        compare.setup[i] = (struct wg_setup){.plan = &a, .name = "x"};
    compare.n = 1;
    cr_assert_eq(wg_compare_check(&compare, NULL), WG_ERR_INPUT);
    compare.n = WG_COMPARE_MAX + 1;
    cr_assert_eq(wg_compare_check(&compare, NULL), WG_ERR_INPUT);
    compare.n = WG_COMPARE_MAX;
    cr_assert_eq(wg_compare_check(&compare, NULL), 0);
    wg_plan_free(&a);
}

static void halt(void *self, int64_t done, int64_t count) {
    atomic_int *const stop = self;
    cr_assert_eq(count, 12, "both setups");
    if (done == 7) /* the first replicate of the second setup */
        atomic_store(stop, 15);
}

Test(compare, stops_when_asked_and_says_which_setup_failed) {
    struct wg_plan a;
    atomic_int stop = 0;
    plan_laboratory(&a, 27, 20);
    plan_start(&a, 0, WG_MOVABLE_EGGS, 0, 100);
    struct wg_compare compare = two(&a, &a);
    const struct wg_ensemble_options options = {.threads = 1, .stop = &stop, .progress = halt, .progress_self = &stop};
    cr_assert_eq(wg_compare_run(&compare, &options, &err), WG_STOPPED);
    cr_assert_eq(compare.at, 1);
    wg_compare_free(&compare);
    wg_plan_free(&a);
}
