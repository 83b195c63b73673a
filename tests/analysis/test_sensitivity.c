/*
 * Checks the sensitivity analysis on published test functions, then on the species parameters.
 */
#include "analysis/sensitivity.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <string.h>

static const double pi = 3.14159265358979323846;

/* Ishigami & Homma 1990: sin u1 + 7 sin^2 u2 + 0.1 u3^4 sin u1, u uniform on -pi..pi. */
static int ishigami(void *self, int64_t n, const double *x, double *y, struct wg_error *err) {
    (void)err;
    *(int64_t *)self += n;
    for (int64_t k = 0; k < n; k++) {
        const double u1 = pi * (2 * x[3 * k] - 1), u2 = pi * (2 * x[3 * k + 1] - 1), u3 = pi * (2 * x[3 * k + 2] - 1);
        y[k] = sin(u1) + 7 * sin(u2) * sin(u2) + 0.1 * pow(u3, 4) * sin(u1);
    }
    return 0;
}

/* The exact indices of that function (Saltelli et al. 2008, Global Sensitivity Analysis: the Primer, a = 7, b = 0.1). */
Test(matters, ishigami_function) {
    const double first[] = {0.3139, 0.4424, 0}, total[] = {0.5576, 0.4424, 0.2437};
    int64_t asked = 0;
    const struct wg_study study = {3, ishigami, &asked};
    struct wg_variance_share share[3];
    double mean, variance;
    const int64_t n = 8192;
    cr_assert_eq(wg_variance_shares(&study, n, 1, share, &mean, &variance, NULL), 0);
    cr_expect_eq(asked, n * 5);
    cr_expect_float_eq(mean, 3.5, 0.01);        /* a / 2 */
    cr_expect_float_eq(variance, 13.8446, 0.1); /* a^2/8 + b pi^4/5 + b^2 pi^8/18 + 1/2 */
    for (int i = 0; i < 3; i++) {
        /* quasi-random points of 8192: errors of a few thousandths */
        cr_expect_float_eq(share[i].first, first[i], 0.01, "first of %d: %g", i, share[i].first);
        cr_expect_float_eq(share[i].total, total[i], 0.01, "total of %d: %g", i, share[i].total);
        cr_expect(share[i].first_range.low <= first[i] && first[i] <= share[i].first_range.high, "first %d: %g to %g",
                  i, share[i].first_range.low, share[i].first_range.high);
        cr_expect(share[i].total_range.low <= total[i] && total[i] <= share[i].total_range.high, "total %d: %g to %g",
                  i, share[i].total_range.low, share[i].total_range.high);
    }
}

/* Answers as they were asked for: A, B, then A with one input from B. */
struct answers {
    double y[5 * 1024];
};
static int ishigami_kept(void *self, int64_t n, const double *x, double *y, struct wg_error *err) {
    int64_t asked = 0;
    const int code = ishigami(&asked, n, x, y, err);
    memcpy(((struct answers *)self)->y, y, (size_t)n * sizeof *y);
    return code;
}

/* Standard error of a first share by the delta method: each base point's pull on a ratio of means (any textbook). */
static double delta_error(const double *a, const double *b, const double *ab, int n) {
    double mean = 0, variance = 0, alone = 0, step = 0, squares = 0;
    for (int k = 0; k < n; k++)
        mean += (a[k] + b[k]) / (2 * n);
    for (int k = 0; k < n; k++) {
        variance += ((a[k] - mean) * (a[k] - mean) + (b[k] - mean) * (b[k] - mean)) / (2 * n);
        alone += (b[k] - mean) * (ab[k] - a[k]) / n;
        step += (ab[k] - a[k]) / n;
    }
    for (int k = 0; k < n; k++) {
        const double spread = ((a[k] - mean) * (a[k] - mean) + (b[k] - mean) * (b[k] - mean)) / 2 - variance;
        const double shift = (a[k] + b[k]) / 2 - mean;
        const double pull = (b[k] - mean) * (ab[k] - a[k]) - alone - shift * step - alone / variance * spread;
        squares += pull * pull;
    }
    return sqrt(squares) / n / variance;
}

/* Mean and variance are GSL's, of all answers to A and B. */
Test(matters, mean_and_variance_are_those_of_all_base_points) {
    enum { N = 1024 };
    static struct answers kept;
    const struct wg_study study = {3, ishigami_kept, &kept};
    struct wg_variance_share share[3];
    double mean, variance;
    cr_assert_eq(wg_variance_shares(&study, N, 1, share, &mean, &variance, NULL), 0);
    cr_expect_float_eq(mean, gsl_stats_mean(kept.y, 1, 2 * N), 1e-12);
    cr_expect_float_eq(variance, gsl_stats_variance(kept.y, 1, 2 * N), 1e-11);
}

/*
 * Ranges of 95 % are those by the delta method, averaged over seeds, within 2.5 %. Between the order statistics of 500 draws
 * the quantile 0.025 lies at (0.025 x 499 + 1)/501 = 0.0269 on average, 1.928 standard errors off; 0.02 would lie at 2.016.
 */
Test(matters, ranges_are_those_of_the_delta_method) {
    enum { N = 1024, SEEDS = 24 };
    static struct answers kept;
    const struct wg_study study = {3, ishigami_kept, &kept};
    double below = 0, above = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct wg_variance_share share[3];
        double mean, variance;
        cr_assert_eq(wg_variance_shares(&study, N, seed, share, &mean, &variance, NULL), 0);
        for (int i = 0; i < 3; i++) {
            const double error = delta_error(kept.y, kept.y + N, kept.y + (2 + i) * N, N);
            below += (share[i].first - share[i].first_range.low) / error / (3 * SEEDS);
            above += (share[i].first_range.high - share[i].first) / error / (3 * SEEDS);
        }
    }
    cr_expect_float_eq(below / 1.928, 1, 0.025, "%g standard errors", below);
    cr_expect_float_eq(above / 1.928, 1, 0.025, "%g standard errors", above);
}

/* y = 3 x0 - x1 + 0 x2: effects exactly 3, -1, 0 (constant), shares 0.9, 0.1, 0, slopes of those signs. */
static int line(void *self, int64_t n, const double *x, double *y, struct wg_error *err) {
    (void)self;
    (void)err;
    for (int64_t k = 0; k < n; k++)
        y[k] = 3 * x[3 * k] - x[3 * k + 1];
    return 0;
}

Test(matters, a_straight_line) {
    const struct wg_study study = {3, line, NULL};
    struct wg_effect effect[3];
    struct wg_variance_share share[3];
    double mean, variance;
    cr_assert_eq(wg_effects(&study, 5, 1, effect, NULL), 0);
    const double slope[] = {3, -1, 0};
    for (int i = 0; i < 3; i++) {
        cr_expect_float_eq(effect[i].mean, slope[i], 1e-12);
        cr_expect_float_eq(effect[i].mean_size, fabs(slope[i]), 1e-12);
        cr_expect_float_eq(effect[i].sd, 0, 1e-6);
    }
    cr_assert_eq(wg_variance_shares(&study, 1024, 1, share, &mean, &variance, NULL), 0);
    cr_expect_float_eq(share[0].first, 0.9, 0.01);
    cr_expect_float_eq(share[1].first, 0.1, 0.01);
    cr_expect_float_eq(share[2].total, 0, 1e-12);
    cr_expect_float_eq(share[0].slope, sqrt(0.9), 0.01);
    cr_expect_float_eq(share[1].slope, -sqrt(0.1), 0.01);
}

/* Morris' points: within 0..1, on four levels, one input at a time by two thirds. */
struct seen_points {
    int d;
    int64_t n;
    double x[400];
};
static int remember(void *self, int64_t n, const double *x, double *y, struct wg_error *err) {
    struct seen_points *const seen = self;
    (void)err;
    seen->n = n;
    memcpy(seen->x, x, (size_t)(n * seen->d) * sizeof *x);
    memset(y, 0, (size_t)n * sizeof *y);
    return 0;
}

Test(matters, walks_move_one_input_at_a_time) {
    struct seen_points seen = {.d = 6};
    const struct wg_study study = {6, remember, &seen};
    struct wg_effect effect[6];
    cr_assert_eq(wg_effects(&study, 4, 9, effect, NULL), 0);
    cr_assert_eq(seen.n, 4 * 7);
    for (int64_t k = 0; k < seen.n; k++) {
        int moved = 0;
        for (int i = 0; i < 6; i++) {
            const double x = seen.x[6 * k + i], level = 3 * x;
            cr_expect(x > -1e-12 && x < 1 + 1e-12 && fabs(level - round(level)) < 1e-9);
            if (k % 7 > 0 && fabs(x - seen.x[6 * (k - 1) + i]) > 1e-9) {
                moved++;
                cr_expect_float_eq(fabs(x - seen.x[6 * (k - 1) + i]), 2.0 / 3, 1e-9);
            }
        }
        cr_expect_eq(moved, k % 7 > 0);
    }
}

/* The parameters of both sets are consistent anywhere in their ranges. */
Test(matters, ranges_do_not_contradict) {
    const char *const sets[] = {"keepers", "laboratory"};
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 3, 0, WG_PURPOSE_PARAMETERS);
    for (int s = 0; s < 2; s++)
        for (int k = 0; k < 3000; k++) {
            struct wg_species set, species;
            cr_assert_eq(wg_species_set(&set, sets[s]), 0);
            species = set;
            for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
                double low, high;
                wg_parameter_range(p, &set, &low, &high);
                if (strncmp(p->source, "judgement", 9) == 0)
                    wg_species_put(&species, p,
                                   k % 3 == 0              ? low + wg_uniform(rng) * (high - low)
                                   : wg_uniform(rng) < 0.5 ? low
                                                           : high);
            }
            cr_assert_null(wg_species_problem(&species), "%s: %s", sets[s], wg_species_problem(&species));
        }
    gsl_rng_free(rng);
}

static void trough(struct wg_plan *plan) {
    plan_laboratory(plan, 27, 45);
    plan_start(plan, 0, WG_MOVABLE_LARVAE, 5, 2000);
    plan_feed(plan, 1.0);
    plan->species.laying_share_lamps = 0; /* no children */
}

/*
 * A well-fed tray of larvae at 27 degC for six weeks, whose flies do not lay: the crawl-off's weight is count x mass,
 * so the final mass of larvae must rank first, with a positive slope, and parameters of winter and wild flies have no
 * effect.
 */
Test(matters, what_must_lead_leads) {
    struct wg_plan plan;
    struct wg_sensitivity matters;
    struct wg_error err = {0};
    trough(&plan);
    const struct wg_sensitivity_options options = {.budget = 3000, .keep = 6, .threads = 2};
    cr_assert_eq(wg_sensitivity_run(&plan, &options, &matters, &err), 0, "%s", err.text);
    cr_expect_eq(matters.outcome, WG_SENSITIVITY_CRAWL_OFF, "all survive, so the chance cannot be the question");
    cr_expect_leq(matters.replicates, 3600);
    cr_log_info("%s leads with %.2f, luck %.3f, %ld replicates", matters.unknown[0].parameter->name,
                matters.unknown[0].share.total, matters.noise_share, (long)matters.replicates);
    cr_expect_str_eq(matters.unknown[0].parameter->name, "final_mass");
    cr_expect_gt(matters.unknown[0].share.slope, 0.5);
    /* thousands die by chance, so two sets of replicates never weigh the same */
    cr_assert_gt(matters.per_point, 1);
    cr_expect(matters.noise_share > 0 && matters.noise_share < 0.1, "%g", matters.noise_share);
    for (int i = 0; i < matters.n_unknowns; i++) {
        const char *const name = matters.unknown[i].parameter->name;
        cr_expect_eq(strncmp(matters.unknown[i].parameter->source, "judgement", 9), 0);
        if (strcmp(name, "wild_air") == 0 || strcmp(name, "stay_open") == 0 ||
            strcmp(name, "prepupa_cold_slope") == 0) {
            cr_expect_eq(matters.unknown[i].effect.mean_size, 0, "%s", name);
            cr_expect_not(matters.unknown[i].kept, "%s", name);
        }
    }
    wg_plan_free(&plan);
}

/* How many points each pass has, as progress reports it: of the screening, of the shares, twice of the noise. */
struct passes {
    int64_t points[8];
    int n;
};
static void on_point(void *self, int64_t done, int64_t count) {
    struct passes *const passes = self;
    if (done == count && passes->n < 8)
        passes->points[passes->n++] = count;
}

/*
 * The replicates of a study are those of its passes: at the plan's own numbers (twice, since all survive), per point of the
 * screening (one walk has one point more than inputs: Morris 1991), of the shares and the noise (per_point each; n (d + 2)
 * points: Saltelli et al. 2010). Together they are the budget, within a fifth, and most of it goes to the shares.
 */
Test(matters, the_budget_is_spent_point_by_point) {
    struct wg_plan plan;
    trough(&plan);
    plan.last_day = plan.first_day + 3;
    const int64_t budgets[] = {2000, 7000};
    for (int i = 0; i < 2; i++) {
        struct wg_sensitivity matters;
        struct passes passes = {.n = 0};
        const struct wg_sensitivity_options options = {
            .budget = budgets[i], .keep = 2, .threads = 2, .progress = on_point, .progress_self = &passes};
        cr_assert_eq(wg_sensitivity_run(&plan, &options, &matters, NULL), 0);
        cr_assert_eq(passes.n, 4);
        cr_assert_eq(passes.points[0] % (matters.n_unknowns + 1), 0);
        cr_assert_eq(passes.points[1] % (matters.n_kept + 2), 0);
        cr_assert_eq(passes.points[2], passes.points[3]);
        const int64_t shares = matters.per_point * passes.points[1], noise = matters.per_point * 2 * passes.points[2];
        const int64_t screening = matters.replicates - 2 * matters.base_replicates - shares - noise;
        cr_expect(screening > 0 && screening % passes.points[0] == 0, "%ld replicates of %ld points", (long)screening,
                  (long)passes.points[0]);
        cr_expect(2 * shares > budgets[i], "%ld of %ld go to the shares", (long)shares, (long)budgets[i]);
        cr_expect_float_eq((double)matters.replicates / (double)budgets[i], 1, 0.2, "%ld of %ld replicates",
                           (long)matters.replicates, (long)budgets[i]);
    }
    wg_plan_free(&plan);
}

/* The ranges around a plan's own parameters may overlap although one must not exceed the other. */
Test(matters, own_numbers_do_not_contradict_each_other_when_moved) {
    struct wg_plan plan;
    struct wg_sensitivity matters;
    struct wg_error err = {0};
    trough(&plan);
    plan.last_day = plan.first_day + 8;
    plan.species.mate_hours_min = 5; /* plausible 1 to 3, so 2.5 to 7.5 around it */
    plan.species.mate_hours_full = 6;
    plan.species.clutch_mass_low = 1;
    plan.species.clutch_mass_high = 1.05;
    cr_assert_null(wg_species_problem(&plan.species));
    const struct wg_sensitivity_options options = {.budget = 2000, .keep = 2, .threads = 2};
    cr_assert_eq(wg_sensitivity_run(&plan, &options, &matters, &err), 0, "%s", err.text);
    double least_high = 0, full_low = 0;
    for (int i = 0; i < matters.n_unknowns; i++) {
        const struct wg_unknown *const unknown = &matters.unknown[i];
        cr_expect(unknown->low <= unknown->value && unknown->value <= unknown->high, "%s", unknown->parameter->name);
        least_high = strcmp(unknown->parameter->name, "mating_hours_least") == 0 ? unknown->high : least_high;
        full_low = strcmp(unknown->parameter->name, "mating_hours_full") == 0 ? unknown->low : full_low;
    }
    cr_expect(5 < least_high && least_high < full_low && full_low < 6, "%g, %g", least_high, full_low);
    wg_plan_free(&plan);
}

/* Same seeds, same answer, for any number of threads. */
Test(matters, threads_change_nothing) {
    struct wg_plan plan;
    struct wg_sensitivity one, two;
    trough(&plan);
    plan.last_day = plan.first_day + 8;
    struct wg_sensitivity_options options = {.budget = 2000, .keep = 2, .threads = 1};
    cr_assert_eq(wg_sensitivity_run(&plan, &options, &one, NULL), 0);
    options.threads = 3;
    cr_assert_eq(wg_sensitivity_run(&plan, &options, &two, NULL), 0);
    for (int i = 0; i < one.n_unknowns; i++) {
        cr_expect_eq(one.unknown[i].parameter, two.unknown[i].parameter);
        cr_expect_eq(memcmp(&one.unknown[i].share, &two.unknown[i].share, sizeof one.unknown[i].share), 0);
    }
    wg_plan_free(&plan);
}
