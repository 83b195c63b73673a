/*
 * Checks the search for the cheapest plan against problems whose odds and money are known in closed form.
 *
 * A year meets a goal if a normal deviate is below a quantile of the plan. A part of the deviate is common to all plans in that
 * year (correlation 0.22 and money in common, as years of sheds have them), and a part may belong to its animal.
 */
#include "base/random.h"
#include "forecast/lattice.h"
#include "search/search.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define COMMON 0.22

/* ---- an artificial problem ---- */

struct law {
    double chance, money, kg; /* true odds; mean money and harvest of a year */
};

struct problem {
    struct law (*law)(const int *level);
    bool (*is_plan)(const int *level); /* NULL: every combination */
    uint64_t seed;
    double animals; /* share of the deviate's variance that belongs to animals */
    double money_noise;
    int n_numbers, n_goals;
    struct wg_search_number number[WG_SEARCH_MAX_NUMBERS];
    int64_t years, stop_at; /* lived; stopped beyond (0: never) */
    int checks;
};

static double normal_of(gsl_rng *rng, uint64_t seed, uint64_t k) {
    wg_rng_start(rng, seed, k, WG_PURPOSE_DEMOGRAPHY);
    return wg_normal(rng);
}

static uint64_t mix(const struct problem *p, enum wg_search_stream stream, const int *level, int variant) {
    uint64_t key = p->seed * 2 + (stream == WG_SEARCH_FRESH);
    for (int i = 0; i < p->n_numbers && level != NULL; i++)
        key = wg_random_key(key, (uint64_t)level[i] + 1, WG_PURPOSE_PARAMETERS);
    return wg_random_key(key, (uint64_t)variant, WG_PURPOSE_MISHAPS);
}

static void live_year(const struct problem *p, const struct wg_search_life *life, int64_t k, gsl_rng *rng) {
    struct wg_plan plan = {.animals = WG_ANIMALS_PLAUSIBLE, .seed = 1};
    const struct law law = p->law(life->level);
    const uint64_t own = mix(p, life->stream, life->level, life->variant), all = mix(p, life->stream, NULL, 0);
    const double animal = p->animals > 0 ? normal_of(rng, 77, (uint64_t)wg_lattice_cell(&plan, k).animal) : 0;
    const double common = normal_of(rng, all, (uint64_t)k), luck = normal_of(rng, own, (uint64_t)k);
    const double deviate = sqrt(COMMON) * common + sqrt(p->animals) * animal + sqrt(1 - COMMON - p->animals) * luck;
    const bool met = deviate < gsl_cdf_ugaussian_Pinv(life->variant == 1 ? law.chance / 2 : law.chance);
    const double noise = p->money_noise * (common + 0.5 * wg_normal(rng));
    life->year[k - life->first] = (struct wg_search_year){.met = met ? 3 : 0,
                                                          .is_alive = met,
                                                          .money = law.money + noise,
                                                          .harvest_kg = law.kg * (1 + 0.1 * common),
                                                          .left = met ? 1000 : 0,
                                                          .course = own};
}

static int live(void *self, const struct wg_search_life *life, int n, struct wg_error *err) {
    struct problem *const p = self;
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    (void)err;
    for (int i = 0; i < n; i++) {
        p->years += life[i].n;
        for (int64_t k = life[i].first; k < life[i].first + life[i].n; k++)
            live_year(p, &life[i], k, rng);
    }
    gsl_rng_free(rng);
    return p->stop_at > 0 && p->years > p->stop_at ? WG_STOPPED : 0;
}

static int check(void *self, const int *level, struct wg_search_key *key, struct wg_error *err) {
    struct problem *const p = self;
    (void)err;
    p->checks++;
    *key = (struct wg_search_key){{0, 0}};
    return p->is_plan == NULL || p->is_plan(level) ? 0 : WG_SEARCH_NO_PLAN;
}

static void place(void *self, enum wg_search_stream stream, int64_t year, struct wg_split_value *value) {
    const struct wg_plan plan = {.animals = WG_ANIMALS_PLAUSIBLE, .seed = 1};
    const struct wg_cell cell = wg_lattice_cell(&plan, year);
    (void)self;
    (void)stream;
    value->animal = cell.animal;
    value->winter = cell.winter;
}

static struct wg_search_question question_of(struct problem *p, double wanted) {
    struct wg_search_question q;
    wg_search_defaults(&q);
    q.n_numbers = p->n_numbers;
    q.number = p->number;
    q.n_goals = 1;
    q.chance[0] = wanted;
    q.check = check;
    q.live = live;
    q.place = p->animals > 0 ? place : NULL;
    q.self = p;
    q.seed = p->seed;
    return q;
}

static struct wg_search_answer *answer_of(const struct wg_search_question *q) {
    struct wg_search_answer *const answer = malloc(sizeof *answer);
    struct wg_error err = {0};
    cr_assert_eq(wg_search_run(q, answer, &err), 0, "%s", err.text);
    return answer;
}

static void drop(struct wg_search_answer *answer) {
    wg_search_free(answer);
    free(answer);
}

/* Returns the law of the cheapest plan whose true odds are at least `wanted`, by looking at all. */
static struct law cheapest_of(const struct problem *p, double wanted) {
    int level[WG_SEARCH_MAX_NUMBERS] = {0}, i;
    struct law best = {.money = (double)INFINITY};
    do {
        const struct law law = p->law(level);
        if ((p->is_plan == NULL || p->is_plan(level)) && law.chance >= wanted && law.money < best.money)
            best = law;
        for (i = p->n_numbers - 1; i >= 0 && ++level[i] == p->number[i].levels; i--)
            level[i] = 0;
    } while (i >= 0);
    return best;
}

static const struct wg_search_judged *winner_of(const struct wg_search_answer *answer) {
    cr_assert_geq(answer->winner, 0);
    return &answer->judged[answer->winner];
}

/* ---- laws ---- */

/*
 * A shed: warmth (9 levels), the date of warming up (7), lamps (4), insulation (2). More warmth costs more; the middle kills;
 * more insulation costs more and is worse for the sleeper.
 */
static struct law shed(const int *level) {
    static const double quantile[] = {0.6, 1.5, 1.9, 2.1, 2.2, 0.9, -1, -1.2, 3.2};
    const int warmth = level[0], date = level[1], lamps = level[2], insulation = level[3];
    const double q = quantile[warmth] + 0.13 * date + 0.6 * lamps - 1.4 - 0.25 * insulation * (warmth < 8);
    const double heat = (8 + 11 * warmth + 1.1 * warmth * warmth) * (warmth == 8 && insulation ? 0.7 : 1);
    return (struct law){gsl_cdf_ugaussian_P(q), 40 + heat + 7.3 * date + 14.1 * lamps + 31 * insulation,
                        2 + 0.5 * warmth + 0.6 * date + lamps};
}

static struct problem shed_problem(uint64_t seed) {
    return (struct problem){.law = shed,
                            .seed = seed,
                            .money_noise = 9,
                            .n_numbers = 4,
                            .number = {{9, 6, true}, {7, 0, true}, {4, 3, true}, {2, 0, true}}};
}

/* ---- the whole cross ---- */

/*
 * Over 20 seeds: the winner costs at most 3 % more than the cheapest plan that truly meets the goal, and is not truly below the
 * goal by more than a point.
 */
Test(search, finds_the_cheapest_of_all) {
    double regret = 0, worst = 0, low = 1;
    int64_t years = 0;
    for (uint64_t seed = 1; seed <= 20; seed++) {
        struct problem p = shed_problem(seed);
        const struct wg_search_question q = question_of(&p, 0.95);
        struct wg_search_answer *const answer = answer_of(&q);
        const struct law truth = cheapest_of(&p, 0.95), found = shed(winner_of(answer)->level);
        const double more = found.money / truth.money - 1;
        regret += fmax(more, 0) / 20;
        worst = fmax(worst, more);
        low = fmin(low, found.chance);
        years += answer->looking_years / 20;
        cr_expect_eq(answer->looking_years + answer->fresh_years + answer->variant_years, p.years);
        cr_expect_eq(answer->n_different, 504);
        cr_log_info("seed %d: %.1f against %.1f, odds %.3f, %lld + %lld years", (int)seed, found.money, truth.money,
                    found.chance, (long long)answer->looking_years, (long long)answer->fresh_years);
        drop(answer);
    }
    cr_log_warn("regret %.2f %%, worst %.2f %%, lowest %.4f, %lld years", 100 * regret, 100 * worst, low,
                (long long)years);
    cr_expect_lt(regret, 0.03);
    cr_expect_geq(low, 0.94);
}
