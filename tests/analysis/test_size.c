/*
 * Checks the size search against closed forms: artificial probabilities, and the starter of a colony that may die out.
 */
#include "analysis/size.h"
#include "forecast/summary.h"
#include "species/lifetable.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

/* ---- probabilities in closed form ---- */

struct coin {
    double (*chance)(double value, int goal);
    uint64_t seed;
    int n_goals;
    int64_t asked;
};

/* Replicate k has the same uniform at every value: common random numbers. */
static int toss(void *self, double value, int64_t first, int64_t n, int64_t *hits, struct wg_error *err) {
    struct coin *const coin = self;
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    (void)err;
    for (int64_t k = first; k < first + n; k++) {
        wg_rng_start(rng, coin->seed, (uint64_t)k, WG_PURPOSE_DEMOGRAPHY);
        for (int g = 0; g < coin->n_goals; g++)
            hits[g] += wg_uniform(rng) < coin->chance(value, g);
    }
    gsl_rng_free(rng);
    coin->asked += n;
    return 0;
}

static struct wg_size_question question(struct coin *coin, double wanted, double low, double high) {
    return (struct wg_size_question){.trial = toss,
                                     .self = coin,
                                     .n_goals = coin->n_goals,
                                     .wanted = {wanted, wanted},
                                     .low = low,
                                     .high = high,
                                     .geometric = true,
                                     .step = 1,
                                     .within_share = 0.1,
                                     .within = 1,
                                     .confidence = 0.95,
                                     .grid = 6,
                                     .batch = 100,
                                     .most = 40000};
}

static double dying_out(double value, int goal) { /* 1 - q^n, q = 0.97 */
    (void)goal;
    return 1 - pow(0.97, value);
}

/* 95 % need ln 0.05 / ln 0.97 = 98.4: the answer must bracket that value in all but 5 % of the searches. */
Test(size, finds_a_known_value) {
    const double truth = log(0.05) / log(0.97);
    int wrong = 0, found = 0;
    double wide = 0;
    for (uint64_t seed = 1; seed <= 40; seed++) {
        struct coin coin = {dying_out, seed, 1, 0};
        const struct wg_size_question q = question(&coin, 0.95, 5, 2000);
        struct wg_size size;
        cr_assert_eq(wg_size_search(&q, &size, NULL), 0);
        cr_expect(size.outcome == WG_SIZE_FOUND || size.outcome == WG_SIZE_UNDECIDED);
        cr_expect_eq(size.replicates, coin.asked);
        cr_expect_leq(size.replicates, 40000);
        wrong += !(size.too_little < truth && truth <= size.enough);
        found += size.outcome == WG_SIZE_FOUND;
        wide += (size.enough - size.too_little) / 40;
        cr_expect_float_eq(size.about, truth, 0.15 * truth, "about %g", size.about);
    }
    cr_log_info("sizing: %d of 40 wrong, %d to 10 %%, brackets %.1f wide on average around %.1f", wrong, found, wide,
                truth);
    /* Binomial(40, 0.05) exceeds 6 with probability 0.3 %; the error is shared over 16 values, so the true rate is lower */
    cr_expect_leq(wrong, 6);
    cr_expect_leq(wide, 0.3 * truth);
}

static double seldom(double value, int goal) {
    (void)goal;
    return 0.5 * value / 1000;
}

Test(size, says_impossible_and_already) {
    struct coin coin = {seldom, 3, 1, 0};
    struct wg_size size;
    struct wg_size_question q = question(&coin, 0.9, 1, 1000);
    cr_assert_eq(wg_size_search(&q, &size, NULL), 0);
    cr_expect_eq(size.outcome, WG_SIZE_IMPOSSIBLE);
    cr_expect(isnan(size.enough));
    cr_expect_eq(size.point[size.best].value, 1000);
    coin = (struct coin){dying_out, 3, 1, 0};
    q = question(&coin, 0.9, 500, 1000);
    cr_assert_eq(wg_size_search(&q, &size, NULL), 0);
    cr_expect_eq(size.outcome, WG_SIZE_ALREADY);
    cr_expect_eq(size.enough, 500);
}

static double hump(double value, int goal) { /* best in the middle, where it is 0.8 */
    (void)goal;
    return 0.8 * exp(-pow(log(value / 40), 2));
}

/* A hump below the wanted probability: no smallest value; the best one is near the top. */
Test(size, admits_that_more_can_be_worse) {
    struct coin coin = {hump, 4, 1, 0};
    struct wg_size size;
    const struct wg_size_question q = question(&coin, 0.9, 1, 1000);
    cr_assert_eq(wg_size_search(&q, &size, NULL), 0);
    cr_expect_eq(size.outcome, WG_SIZE_NOT_MONOTONE);
    cr_expect(size.falls_from < size.falls_to);
    cr_expect(size.point[size.best].value > 20 && size.point[size.best].value < 80, "best %g",
              size.point[size.best].value);
}

static double later_is_worse(double value, int goal) {
    (void)goal;
    return 1 - 0.2 * value / 100;
}

/* The largest value with 90 %: 50. */
Test(size, finds_the_largest) {
    struct coin coin = {later_is_worse, 5, 1, 0};
    struct wg_size size;
    struct wg_size_question q = question(&coin, 0.9, 0, 100);
    q.geometric = false;
    q.largest = true;
    q.within = 20;
    cr_assert_eq(wg_size_search(&q, &size, NULL), 0);
    cr_expect_eq(size.outcome, WG_SIZE_FOUND);
    cr_expect(size.enough <= 50 && size.too_little > 50, "%g is enough, %g is not", size.enough, size.too_little);
    for (int i = 1; i < size.n_points; i++)
        cr_expect_lt(size.point[i - 1].value, size.point[i].value);
}

static double up_and_down(double value, int goal) { /* met from 30 on; met up to 800 */
    return goal == 0 ? 1 - pow(0.9, value) : value < 800 ? 0.99 : 0.5;
}

/* Two conflicting goals (survival, and cost): a value in between meets both, and the answer reports the fall beyond. */
Test(size, two_goals_that_pull_apart) {
    struct coin coin = {up_and_down, 6, 2, 0};
    struct wg_size size;
    struct wg_size_question q = question(&coin, 0.9, 1, 500);
    cr_assert_eq(wg_size_search(&q, &size, NULL), 0);
    cr_expect(size.too_little < 22 && size.enough >= 22, "%g, %g", size.too_little,
              size.enough); /* ln 0.1 / ln 0.9 = 21.9 */
    q.high = 2000;
    cr_assert_eq(wg_size_search(&q, &size, NULL), 0);
    cr_expect(size.outcome == WG_SIZE_FOUND || size.outcome == WG_SIZE_UNDECIDED); /* within the tolerance */
    cr_expect(size.too_little < 22 && size.enough >= 22 && size.enough < 800, "%g, %g", size.too_little, size.enough);
    cr_expect_eq(size.falls_goal, 1);
    cr_expect(size.falls_to >= 800 && size.falls_from < 800, "%g to %g", size.falls_from, size.falls_to);
}

static double steep(double value, int goal) { /* met from 73 on; met up to 73.4: a window much narrower than the grid */
    return goal == 0 ? 1 / (1 + exp(-8 * (value - 72.6))) : 1 / (1 + exp(8 * (value - 73.8)));
}

/* Survival of 90 % from 72.87, cost met with 75 % up to 73.66: the search finds the value between 66.5 and 86. */
Test(size, finds_the_window_between_two_goals) {
    int found = 0;
    for (uint64_t seed = 1; seed <= 20; seed++) {
        struct coin coin = {steep, seed, 2, 0};
        struct wg_size size;
        struct wg_size_question q = question(&coin, 0.9, 66.5, 86);
        q.wanted[1] = 0.75;
        q.geometric = false;
        q.step = 0;
        q.within_share = 0;
        q.within = 0.5;
        q.largest = seed % 2 == 0;
        q.most = 20000;
        cr_assert_eq(wg_size_search(&q, &size, NULL), 0);
        const double enough = size.enough;
        cr_expect(!(enough < 72.87) && !(enough > 73.66), "seed %d: %g", (int)seed, enough);
        found += !isnan(enough);
    }
    cr_expect_eq(found, 20, "%d of 20", found);
}

static double apart(double value, int goal) { /* met from 60 on; met up to 40 */
    return goal == 0 ? 1 / (1 + exp(-(value - 60))) : 1 / (1 + exp(value - 40));
}

/* No value meets both: below 60 the one fails, above 40 the other. */
Test(size, shows_that_two_goals_exclude_each_other) {
    struct coin coin = {apart, 8, 2, 0};
    struct wg_size size;
    struct wg_size_question q = question(&coin, 0.9, 1, 100);
    q.geometric = false;
    cr_assert_eq(wg_size_search(&q, &size, NULL), 0);
    cr_expect_eq(size.outcome, WG_SIZE_IMPOSSIBLE);
    cr_expect(size.falls_to <= size.too_little, "%g, %g", size.falls_to, size.too_little);
    cr_expect_lt(size.replicates, 10000);
}

/* ---- the sequential test ---- */

/*
 * Checked after each of up to 1,000 replicates, a confidence sequence of error 5 % ever misses the truth in at most 5 %
 * of the runs (Ville 1939); a fixed-size 95 % interval misses far more often. 1,000 runs: 4 standard errors are 2.8 %.
 */
Test(sequence, error_at_all_looks) {
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 11, 0, WG_PURPOSE_PARAMETERS);
    const double chances[] = {0.5, 0.9, 0.95};
    for (size_t c = 0; c < sizeof chances / sizeof *chances; c++) {
        int missed = 0, plain = 0;
        for (int run = 0; run < 1000; run++) {
            int64_t hits = 0;
            bool out = false, plain_out = false;
            for (int64_t n = 1; n <= 1000 && !(out && plain_out); n++) {
                hits += wg_uniform(rng) < chances[c];
                out |= wg_sequence_verdict(hits, n, chances[c], 0.05) != WG_UNDECIDED;
                const double z =
                    ((double)hits - chances[c] * (double)n) / sqrt((double)n * chances[c] * (1 - chances[c]));
                plain_out |= n >= 30 && fabs(z) > 1.96;
            }
            missed += out;
            plain += plain_out;
        }
        cr_log_info("chance %g: sequence wrong in %.1f %% of runs, a plain interval in %.1f %%", chances[c],
                    missed / 10.0, plain / 10.0);
        cr_expect_leq(missed, 78, "%d of 1000", missed);
        cr_expect_gt(plain, 200);
    }
    gsl_rng_free(rng);
}

/* Verdict and interval agree; the interval contains the share and narrows. */
Test(sequence, interval_and_verdict_agree) {
    for (int64_t n = 10; n <= 10000; n *= 10)
        for (int64_t hits = 0; hits <= n; hits += n / 10) {
            const struct wg_interval interval = wg_sequence_interval(hits, n, 0.9, 0.01);
            const double share = (double)hits / (double)n;
            cr_expect(interval.low <= share && share <= interval.high);
            const enum wg_verdict verdict = wg_sequence_verdict(hits, n, 0.9, 0.01);
            cr_expect_eq(verdict == WG_UNDECIDED, interval.low < 0.9 && interval.high > 0.9, "%ld of %ld", (long)hits,
                         (long)n);
        }
}

/* ---- the engine ---- */

struct starter {
    struct wg_plan plan;
    int64_t replicates;
};

static int put_in(void *self, double value, int64_t first, int64_t n, int64_t *hits, struct wg_error *err) {
    struct starter *const starter = self;
    struct wg_goal_tally odds;
    starter->plan.actions[0].as.start.count = (int64_t)value;
    wg_goal_tally_init(&odds, &starter->plan);
    const struct wg_observer observer = wg_goal_tally_observer(&odds);
    const struct wg_ensemble_options options = {.first = first, .count = n};
    const int code = wg_ensemble_run(&starter->plan, &options, &observer, 1, err);
    hits[0] += odds.hits[0];
    starter->replicates += n;
    return code;
}

/*
 * Galton-Watson: n eggs die out with probability q^n, q = 1 - (an egg's probability to become a mother), from the life
 * table alone (one clutch makes later extinction negligible). A starter that survives with 95 % is ln 0.05 / ln q eggs.
 * All eggs go into a trap, so that the test does not simulate the established colony; males are not required, because
 * the formula needs independent lineages.
 */
Test(size, starter_of_a_branching_colony) {
    struct starter starter = {.replicates = 0};
    plan_laboratory(&starter.plan, 28, 110);
    starter.plan.species.males_needed = 0;
    starter.plan.species.trap_hatch_reach = 0;
    plan_start(&starter.plan, 0, WG_MOVABLE_EGGS, 0, 10);
    starter.plan.n_goals = 1;
    starter.plan.goal[0] = (struct wg_goal){
        .kind = WG_GOAL_EGGS_TRAPPED, .by = starter.plan.last_day, .amount = 1, .weeks = 1, .chance = 0.95};
    plan_add(&starter.plan, (struct wg_action){.kind = WG_ACTION_LAY_IN_TRAPS,
                                               .from = starter.plan.first_day,
                                               .to = starter.plan.last_day,
                                               .every = 1,
                                               .bin = -1,
                                               .as.traps = {.share = 1}});
    struct wg_lifetable table;
    wg_lifetable_make(
        &table, &starter.plan.species,
        &(struct wg_lifetable_setting){
            .temp_c = 28, .light_h = 24, .laying_share = starter.plan.species.laying_share_lamps, .quality = 1});
    const double mother = table.survival[WG_CLOCK_EGG] * table.survival[WG_CLOCK_LARVA] *
                          table.survival[WG_CLOCK_PREPUPA] * table.survival[WG_CLOCK_PUPA] *
                          starter.plan.species.female_share * table.survival[WG_CLOCK_ADULT] *
                          starter.plan.species.laying_share_lamps;
    const double truth = log(0.05) / log(1 - mother);
    struct coin unused = {0};
    struct wg_size_question q = question(&unused, 0.95, 1, 200);
    q.trial = put_in;
    q.self = &starter;
    q.n_goals = 1;
    q.most = 24000;
    struct wg_size size;
    struct wg_error err = {0};
    cr_assert_eq(wg_size_search(&q, &size, &err), 0, "%s", err.text);
    cr_log_info("starter: closed form %.1f eggs, found %g to %g with %ld replicates", truth, size.too_little,
                size.enough, (long)size.replicates);
    cr_expect(size.outcome == WG_SIZE_FOUND || size.outcome == WG_SIZE_UNDECIDED);
    cr_expect(size.too_little < truth && truth <= size.enough, "%g < %g <= %g", size.too_little, truth, size.enough);
    cr_expect_leq(size.enough - size.too_little, 0.4 * truth);
    wg_plan_free(&starter.plan);
}

static void crawl_off(struct wg_plan *plan, int64_t first, int64_t n, double *kg) {
    struct wg_summary summary;
    cr_assert_eq(wg_summary_init(&summary, plan, n, NULL), 0);
    const struct wg_observer observer = wg_summary_observer(&summary);
    cr_assert_eq(wg_ensemble_run(plan, &(struct wg_ensemble_options){.first = first, .count = n}, &observer, 1, NULL),
                 0);
    memcpy(kg, wg_summary_outcome(&summary, WG_OUTCOME_total_crawl_off_mass), (size_t)n * sizeof *kg);
    wg_summary_free(&summary);
}

static double variance_of_difference(const double *a, const double *b, int n) {
    double sum = 0, squares = 0;
    for (int i = 0; i < n; i++) {
        sum += a[i] - b[i];
        squares += (a[i] - b[i]) * (a[i] - b[i]);
    }
    return (squares - sum * sum / n) / (n - 1);
}

/* Common random numbers (Glasserman & Yao 1992): two feeding plans in the same winters differ by less than in independent
 * ones. Prints the factor; the search relies on it being below 1 (judgement: at most a half, here outdoors). */
Test(size, paired_winters_shrink_the_difference) {
    enum { N = 60 };
    struct wg_plan plan;
    double less[N], more[N], others[N];
    plan_outdoors(&plan, 300);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 5000);
    plan_feed(&plan, 1.0);
    crawl_off(&plan, 0, N, less);
    for (int i = 0; i < plan.n_actions; i++)
        if (plan.actions[i].kind == WG_ACTION_FEED)
            plan.actions[i].as.feed.wet_kg = 1.2;
    crawl_off(&plan, 0, N, more);
    crawl_off(&plan, 1000, N, others);
    const double paired = variance_of_difference(more, less, N), apart = variance_of_difference(others, less, N);
    cr_log_info("paired streams: variance of the difference %.3g, of other winters %.3g, %.1f times as much", paired,
                apart, apart / paired);
    cr_expect_lt(paired, apart / 2);
    wg_plan_free(&plan);
}
