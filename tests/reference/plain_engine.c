/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Deaths and exits of cohorts, written directly from the model:
 *
 *   leavers ~ Binomial(n, 1 - S(x+dx)/S(x)),   of them die 1 - exp(-H/2),   of the others 1 - exp(-H)
 *
 * Order of a step: feed and ration -> eggs, larvae -> ground -> flies -> entry into the next stages.
 */
#include "reference/plain_engine.h"
#include "plan/feed.h"
#include "species/breeding.h"
#include "species/dormancy.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MAX_LINEAGES 128
#define CAUSES WG_CAUSE_AGE /* the causes with a hazard */

struct cohort {
    int64_t n;
    double x, s, mass_g, mark, days; /* s: S(x), cached, because evaluating it dominates the cost */
    double gain;                     /* larvae: well-fed gain in this step, share of the final mass */
    int line;                        /* 2 generation + overwintered */
};

struct pool {
    int n, capacity;
    struct cohort *cohort;
};

/* Individuals that have just changed stage, by lineage. */
struct flow {
    int64_t n[MAX_LINEAGES];
    double mass_g[MAX_LINEAGES];
};

/* Development and hazards of a stage in a step. */
struct now {
    double dx, hazard[CAUSES], young_cold, old_cold;
};

/* The state of a bin. */
struct bin {
    double usable_kg, quality_kg, conversion_kg;
    double eaten_today_kg, eaten_yesterday_kg;
    double ration, pace, final_g;
    double collect, give_back;
    struct pool egg, larva;
    struct flow hatched, laid;
    struct flow from_eggs, leaving; /* empty between steps */
    struct now larva_now;
};

struct plain {
    const struct wg_plan *plan;
    const struct wg_species *sp;
    const struct wg_cohort_growth *growth;
    const struct day_hours *today; /* today[-1] is yesterday */
    gsl_rng *rng;
    struct plain_outcome *out;
    int day, from, to, lines;
    double dt_day, trap_share;
    double warm_hours, lit_warm_hours;
    int bins;
    struct bin bin[PLAIN_MAX_BINS];
    struct pool trap, prepupa, asleep, waking, pupa, virgin, mated, spent, male;
    struct flow from_traps, to_dormant, females, males; /* empty between steps */
    struct flow trapped, crawled, resumed, pupated, emerged;
};

static int64_t draw(struct plain *p, int64_t n, double chance) {
    return n > 0 && chance > 0 ? (int64_t)gsl_ran_binomial(p->rng, fmin(chance, 1), (unsigned)n) : 0;
}

static void fail(const char *why) {
    (void)fprintf(stderr, "plain engine: %s\n", why);
    exit(EXIT_FAILURE);
}

/* ---- pools and flows ---- */

static void add(struct pool *pool, struct cohort c) {
    if (c.n == 0)
        return;
    if (pool->n == pool->capacity) {
        pool->capacity = pool->capacity > 0 ? 2 * pool->capacity : 64;
        pool->cohort = realloc(pool->cohort, (size_t)pool->capacity * sizeof *pool->cohort);
        if (pool->cohort == NULL)
            fail("no memory");
    }
    pool->cohort[pool->n++] = c;
}

static void drop_empty(struct pool *pool) {
    int kept = 0;
    for (int i = 0; i < pool->n; i++)
        if (pool->cohort[i].n > 0)
            pool->cohort[kept++] = pool->cohort[i];
    pool->n = kept;
}

static int64_t total(const struct pool *pool) {
    int64_t n = 0;
    for (int i = 0; i < pool->n; i++)
        n += pool->cohort[i].n;
    return n;
}

static void flow_clear(const struct plain *p, struct flow *flow) {
    memset(flow->n, 0, (size_t)p->lines * sizeof *flow->n);
    memset(flow->mass_g, 0, (size_t)p->lines * sizeof *flow->mass_g);
}

static void flow_add(struct flow *flow, int line, int64_t n, double mass_g) {
    flow->n[line] += n;
    flow->mass_g[line] += (double)n * mass_g;
}

/* ---- conditions ---- */

static double mean24(const double today[24], const double yesterday[24], int to) {
    double sum = 0;
    for (int h = 0; h < 24; h++)
        sum += h < to ? today[h] : yesterday[h];
    return sum / 24;
}

/* Chronic heat over the step: each hour by the mean of the 24 hours that end with it. */
static double chronic(const struct plain *p, const double today[24], const double yesterday[24]) {
    double hazard = 0;
    for (int h = p->from; h < p->to; h++)
        hazard += wg_hazard_heat_chronic(p->sp, mean24(today, yesterday, h + 1)) / 24;
    return hazard;
}

static struct now conditions(const struct plain *p, enum wg_clock_stage stage, enum wg_cold_curve line,
                             const double today[24], const double yesterday[24]) {
    struct now now = {0};
    const double at_27 = wg_rate_per_day(&p->sp->rate[stage], 27);
    for (int h = p->from; h < p->to; h++) {
        const double c = today[h], rate = wg_rate_per_day(&p->sp->rate[stage], c);
        now.dx += rate / 24;
        now.hazard[WG_CAUSE_BACKGROUND] += p->sp->hazard[stage] * fmax(p->sp->background_floor, rate / at_27) / 24;
        now.hazard[WG_CAUSE_HEAT] += wg_hazard_heat_acute(p->sp, c) / 24;
        now.hazard[WG_CAUSE_FREEZING] += c < p->sp->cold_limit_c ? wg_hazard_freezing(p->sp, stage, c) / 24 : 0;
        if (stage == WG_CLOCK_LARVA) {
            now.young_cold += wg_hazard_cold(p->sp, WG_COLD_YOUNG_LARVA, c) / 24;
            now.old_cold += wg_hazard_cold(p->sp, WG_COLD_OLD_LARVA, c) / 24;
        } else {
            now.hazard[WG_CAUSE_COLD] += wg_hazard_cold(p->sp, line, c) / 24;
        }
    }
    if (stage != WG_CLOCK_ADULT)
        now.hazard[WG_CAUSE_HEAT] += chronic(p, today, yesterday);
    return now;
}

/* ---- death and development of a pool ---- */

/* S(x) of the stage's gamma clock, or of the lognormal one of dormancy. */
static double survival(const struct plain *p, enum wg_stage stage, double x) {
    static const enum wg_clock_stage clock[] = {
        [WG_EGG] = WG_CLOCK_EGG,   [WG_LARVA] = WG_CLOCK_LARVA,  [WG_PREPUPA] = WG_CLOCK_PREPUPA,
        [WG_PUPA] = WG_CLOCK_PUPA, [WG_FEMALE] = WG_CLOCK_ADULT, [WG_MALE] = WG_CLOCK_ADULT,
    };
    if (x <= 0)
        return 1;
    p->out->evaluations++;
    if (stage == WG_DORMANT)
        return gsl_cdf_lognormal_Q(x, 0, p->sp->dorm_heat_sigma);
    const double c = p->sp->spread[clock[stage]];
    return gsl_cdf_gamma_Q(x, 1 / (c * c), c * c);
}

/* Fills the hazard of each cause for a cohort; returns their sum. */
static double hazards_of(const struct plain *p, const struct now *now, double x, double mass_g, double hazard[CAUSES]) {
    memcpy(hazard, now->hazard, CAUSES * sizeof *hazard);
    if (now->young_cold > 0 || now->old_cold > 0)
        hazard[WG_CAUSE_COLD] = wg_hazard_cold_larva(p->sp, x, now->young_cold, now->old_cold);
    hazard[WG_CAUSE_HUNGER] *= wg_hunger_by_size(p->sp, mass_g);
    double sum = 0;
    for (int i = 0; i < CAUSES; i++)
        sum += hazard[i];
    return sum;
}

static int64_t die(struct plain *p, int64_t n, double sum, const double hazard[CAUSES], double share_of_step) {
    const int64_t dead = draw(p, n, -expm1(-sum * share_of_step));
    unsigned by_cause[CAUSES];
    if (dead == 0)
        return 0;
    gsl_ran_multinomial(p->rng, CAUSES, (unsigned)dead, hazard, by_cause);
    for (int i = 0; i < CAUSES; i++)
        p->out->dead[i] += by_cause[i];
    return dead;
}

/* The share of a cohort that stays when its survival has fallen to s. */
static double staying(const struct cohort *c, double s) {
    return c->s > 0 ? s / c->s : 0;
}

/* Well-fed gain of a larval cohort over a development dx; leavers are full-grown. */
static double gain(const struct plain *p, const struct cohort *c, double dx) {
    const double stay = staying(c, survival(p, WG_LARVA, c->x + dx));
    return stay * wg_cohort_mean_share(p->growth, c->x + dx) + (1 - stay) - wg_cohort_mean_share(p->growth, c->x);
}

/* Grows a cohort by its meal, with the share `stay` staying; returns the mass of the leavers. */
static double grow(const struct plain *p, const struct bin *b, struct cohort *c, double dx, double stay) {
    const double share = wg_cohort_mean_share(p->growth, c->x + dx);
    const double full_g = (c->mass_g + b->ration * c->gain * b->final_g) / (stay * share + (1 - stay));
    c->mass_g = full_g * share;
    return full_g;
}

/* `bin` is that of larvae, NULL for others. */
static void advance_in(struct plain *p, const struct bin *bin, struct pool *pool, enum wg_stage stage,
                       const struct now *now, struct flow *done) {
    for (int i = 0; i < pool->n; i++) {
        struct cohort *const c = &pool->cohort[i];
        double hazard[CAUSES];
        const double sum = hazards_of(p, now, c->x, c->mass_g, hazard);
        const double s = survival(p, stage, c->x + now->dx), stay = staying(c, s);
        const int64_t leaving = draw(p, c->n, 1 - stay);
        c->n -= leaving;
        c->n -= die(p, c->n, sum, hazard, 1);
        const int64_t out = leaving - die(p, leaving, sum, hazard, 0.5);
        const double leaves_g = bin != NULL ? grow(p, bin, c, now->dx, stay) : c->mass_g;
        c->x += now->dx;
        c->s = s;
        if (bin != NULL && leaves_g < p->sp->pupation_mass_g)
            p->out->dead[WG_CAUSE_HUNGER] += out; /* too small to pupate */
        else if (done != NULL)
            flow_add(done, c->line, out, leaves_g);
        else
            p->out->dead[WG_CAUSE_AGE] += out;
        p->out->cohort_steps++;
    }
    drop_empty(pool);
}

static void advance(struct plain *p, struct pool *pool, enum wg_stage stage, const struct now *now, struct flow *done) {
    advance_in(p, NULL, pool, stage, now, done);
}

/* They enter uniformly over the step: half of its hazards and development. */
static void enter(struct plain *p, struct flow *flow, struct pool *pool, enum wg_stage stage, const struct now *now,
                  double x) {
    for (int line = 0; line < p->lines; line++) {
        const int64_t n = flow->n[line];
        if (n == 0)
            continue;
        const double mass_g = flow->mass_g[line] / (double)n;
        double hazard[CAUSES];
        const double sum = hazards_of(p, now, x, mass_g, hazard);
        const int64_t dead = die(p, n, sum, hazard, 0.5);
        add(pool, (struct cohort){.n = n - dead,
                                  .x = x + now->dx / 2,
                                  .s = survival(p, stage, x + now->dx / 2),
                                  .mass_g = mass_g,
                                  .line = line});
    }
    flow_clear(p, flow);
}

/* ---- the keeper ---- */

/* The eggs of the traps go into a bin, keeping their age, or away. */
static void pull_traps(struct plain *p, const struct wg_action *pull) {
    for (int i = 0; i < p->trap.n && pull->as.pull.put_in >= 0; i++)
        add(&p->bin[pull->as.pull.put_in].egg, p->trap.cohort[i]);
    p->trap.n = 0;
}

/* What larvae will eat in `days` days as warm as yesterday, in kg of fresh feed less what lies there. */
static double appetite_kg(const struct plain *p, const struct bin *bin, const struct wg_feed_type *type, int days) {
    const double *const yesterday_c = p->today[-1].bin_c;
    double dx = 0, mean_c = 0, gains = 0;
    for (int h = 0; h < 24; h++) {
        dx += days * wg_rate_per_day(&p->sp->rate[WG_CLOCK_LARVA], yesterday_c[h]) / 24;
        mean_c += yesterday_c[h] / 24;
    }
    for (int i = 0; i < bin->larva.n; i++)
        gains += (double)bin->larva.cohort[i].n * fmax(0, gain(p, &bin->larva.cohort[i], dx));
    const double rot = days * wg_microbe_rate(p->sp, mean_c);
    const double full_kg = wg_feed_for_gain_kg(p->sp, gains * wg_final_mass_g(p->sp, mean_c, type->quality));
    const double usable = (1 - type->moisture) * type->usable;
    const double wanted_kg = (full_kg * expm1(rot) / rot - bin->conversion_kg) / (usable * type->conversion);
    return fmax(0, fmax(wanted_kg, 0.05 - bin->usable_kg / usable)); /* 50 g always lie there */
}

/* True if an egg in the traps will be nine tenths of the way by tomorrow, in air like yesterday's. */
static bool is_hatching(const struct plain *p) {
    double dx = 0;
    for (int h = 0; h < 24; h++)
        dx += wg_rate_per_day(&p->sp->rate[WG_CLOCK_EGG], p->today[-1].air_c[h]) / 24;
    for (int i = 0; i < p->trap.n; i++)
        if (p->trap.cohort[i].n > 0 && p->trap.cohort[i].x + dx >= 0.9)
            return true;
    return false;
}

static void act(struct plain *p) {
    const int32_t today = p->plan->first_day + p->day;
    p->trap_share = 0;
    for (int b = 0; b < p->bins; b++)
        p->bin[b].collect = p->bin[b].give_back = 0;
    for (int i = 0; i < p->plan->n_actions; i++) {
        const struct wg_action *const a = &p->plan->actions[i];
        if (today < a->from || today > a->to || (today - a->from) % a->every != 0)
            continue;
        if (a->cue == WG_CUE_BEFORE_HATCH && !is_hatching(p))
            continue;
        struct bin *const bin = &p->bin[a->bin >= 0 ? a->bin : 0];
        if (a->kind == WG_ACTION_START && a->as.start.what == WG_MOVABLE_EGGS) {
            add(&bin->egg, (struct cohort){.n = a->as.start.count, .s = 1});
        } else if (a->kind == WG_ACTION_START && a->as.start.what == WG_MOVABLE_LARVAE) {
            const double x = wg_larva_x_at_age(p->sp, a->as.start.age_days);
            const double mass_g = p->sp->final_mass_g * wg_cohort_mean_share(p->growth, x);
            const double s = survival(p, WG_LARVA, x);
            add(&bin->larva, (struct cohort){.n = a->as.start.count, .x = x, .s = s, .mass_g = mass_g});
        } else if (a->kind == WG_ACTION_FEED) {
            const struct wg_feed_type *const type = &wg_feed_types()[a->as.feed.type];
            const double eaten_kg = a->as.feed.as_eaten ? appetite_kg(p, bin, type, a->every) : HUGE_VAL;
            const double usable_kg = fmin(a->as.feed.wet_kg, eaten_kg) * (1 - type->moisture) * type->usable;
            bin->usable_kg += usable_kg;
            bin->quality_kg += usable_kg * type->quality;
            bin->conversion_kg += usable_kg * type->conversion;
        } else if (a->kind == WG_ACTION_PULL_TRAPS) {
            pull_traps(p, a);
        } else if (a->kind == WG_ACTION_LAY_IN_TRAPS) {
            p->trap_share = a->as.traps.share;
        } else if (a->kind == WG_ACTION_COLLECT) {
            bin->collect = a->as.collect.share;
            bin->give_back = a->as.collect.give_back;
        } else if (a->kind != WG_ACTION_CLEAR) { /* residue has no effect on the animals */
            fail("unsupported action");
        }
    }
}

/* ---- the bin ---- */

static void take_feed(struct bin *bin, double kg) {
    const double left = bin->usable_kg > kg ? (bin->usable_kg - kg) / bin->usable_kg : 0;
    bin->usable_kg *= left;
    bin->quality_kg *= left;
    bin->conversion_kg *= left;
}

static void eat(struct plain *p, struct bin *bin) {
    struct now *const larva = &bin->larva_now;
    double bin_c = 0, gains = 0;
    for (int h = p->from; h < p->to; h++)
        bin_c += p->today->bin_c[h] / (p->to - p->from);
    const bool plenty = p->plan->feed_unlimited;
    const double quality = plenty               ? p->plan->unlimited_quality
                           : bin->usable_kg > 0 ? bin->quality_kg / bin->usable_kg
                                                : 1;
    const double convert = plenty || bin->usable_kg <= 0 ? 1 : bin->conversion_kg / bin->usable_kg;
    bin->final_g = wg_final_mass_g(p->sp, bin_c, quality);
    for (int i = 0; i < bin->larva.n; i++) {
        struct cohort *const c = &bin->larva.cohort[i];
        c->gain = gain(p, c, larva->dx);
        gains += (double)c->n * c->gain;
    }
    const double demand_kg = convert > 0 ? wg_feed_for_gain_kg(p->sp, gains * bin->final_g) / convert : 0;
    if (plenty)
        bin->usable_kg += demand_kg;
    /* scarce feed lasts all day */
    const double there_kg = plenty ? demand_kg : bin->usable_kg * (p->to - p->from) / (24 - p->from);
    const double eaten_kg = fmin(demand_kg, there_kg);
    bin->ration = demand_kg > 0 ? eaten_kg / demand_kg : 1;
    bin->pace = wg_development_share(p->sp, bin->ration);
    take_feed(bin, eaten_kg);
    take_feed(bin, bin->usable_kg * -expm1(-wg_microbe_rate(p->sp, bin_c) * p->dt_day));
    /* starvation is proportional to the well-fed pace of development, which hunger then slows */
    larva->hazard[WG_CAUSE_HUNGER] =
        wg_hazard_hunger(p->sp, bin->ration) * larva->dx / wg_rate_per_day(&p->sp->rate[WG_CLOCK_LARVA], 27);
    larva->dx *= bin->pace;
    bin->eaten_today_kg += eaten_kg;
    p->out->eaten_kg += eaten_kg;
}

static void crawl_off(struct plain *p, const struct bin *bin, struct flow *leaving) {
    for (int line = 0; line < p->lines; line++) {
        const int64_t all = leaving->n[line];
        if (all == 0)
            continue;
        const int64_t caught = draw(p, all, bin->collect), back = draw(p, caught, bin->give_back);
        flow_add(&p->crawled, line, all - caught + back, leaving->mass_g[line] / (double)all);
        p->out->crawled += all;
        p->out->crawled_kg += leaving->mass_g[line] / 1000;
    }
    flow_clear(p, leaving);
}

/* Weights of the bins: feed plus that eaten in the last 24 hours; all equal if there is none. */
static void bin_weights(const struct plain *p, double weight[PLAIN_MAX_BINS]) {
    double sum = 0;
    for (int b = 0; b < p->bins; b++) {
        const struct bin *const bin = &p->bin[b];
        weight[b] = bin->usable_kg + bin->eaten_today_kg + (1 - p->to / 24.0) * bin->eaten_yesterday_kg;
        sum += weight[b];
    }
    for (int b = 0; b < p->bins && (sum <= 0 || p->plan->feed_unlimited); b++)
        weight[b] = 1;
}

static void distribute(struct plain *p, int64_t n, int64_t out[PLAIN_MAX_BINS]) {
    double weight[PLAIN_MAX_BINS];
    unsigned drawn[PLAIN_MAX_BINS];
    bin_weights(p, weight);
    gsl_ran_multinomial(p->rng, (size_t)p->bins, (unsigned)n, weight, drawn);
    for (int b = 0; b < p->bins; b++)
        out[b] = drawn[b];
}

/* Hatchlings start on the growth curve. Of those in a trap some reach a bin, the rest starve. */
static void hatch(struct plain *p) {
    const double mass_g = p->sp->final_mass_g * wg_cohort_mean_share(p->growth, 0);
    for (int line = 0; line < p->lines; line++) {
        int64_t found[PLAIN_MAX_BINS] = {0};
        const int64_t in_time = draw(p, p->from_traps.n[line], p->sp->trap_hatch_reach);
        p->out->dead[WG_CAUSE_HUNGER] += p->from_traps.n[line] - in_time;
        if (in_time > 0)
            distribute(p, in_time, found);
        for (int b = 0; b < p->bins; b++)
            flow_add(&p->bin[b].hatched, line, p->bin[b].from_eggs.n[line] + found[b], mass_g);
    }
    for (int b = 0; b < p->bins; b++)
        flow_clear(p, &p->bin[b].from_eggs);
    flow_clear(p, &p->from_traps);
}

/* ---- ground ---- */

static void advance_dormancy(struct plain *p, const struct now *dormant) {
    const struct day_hours *const t = p->today;
    const int cold = mean24(t->ground_c, t[-1].ground_c, p->to) < p->sp->dorm_open_cold_c;
    struct now still = *dormant;
    still.dx = 0;
    advance(p, &p->waking, WG_DORMANT, dormant, &p->resumed);
    advance(p, &p->asleep, WG_DORMANT, &still, &p->resumed);
    for (int i = 0; i < p->asleep.n; i++) {
        struct cohort *const c = &p->asleep.cohort[i];
        c->mark += cold ? p->dt_day : 0;
        c->days += p->dt_day;
        if (!wg_dormancy_open(p->sp, c->mark, c->days))
            continue;
        add(&p->waking, *c);
        c->n = 0;
    }
    drop_empty(&p->asleep);
}

/* No daylight tells prepupae the season. */
static bool is_dark_room(const struct wg_shelter_spec *shelter) {
    return (shelter->kind == WG_ROOM || shelter->kind == WG_CELLAR || shelter->kind == WG_REFRIGERATOR) &&
           shelter->light_through <= 0;
}

static void enter_ground(struct plain *p, const struct now *prepupa, const struct now *dormant) {
    const struct day_hours *const t = p->today;
    double week_c = mean24(t->ground_c, t[-1].ground_c, p->to);
    for (int k = 1; k <= 6; k++)
        week_c += mean24(t[-k].ground_c, NULL, 24);
    const bool laboratory = p->plan->places[0].shelter.kind == WG_LABORATORY;
    const double lamps_h = p->plan->places[0].shelter.lamp_hours;
    const double sun_h = is_dark_room(&p->plan->places[0].shelter) ? 0 : t->day_length_h;
    const double chance = wg_dormancy_chance(p->sp, laboratory ? 24 : fmax(lamps_h, sun_h), week_c / 7);
    for (int line = 0; line < p->lines; line++) {
        const int64_t n = p->crawled.n[line], asleep = draw(p, n, chance);
        if (n == 0)
            continue;
        const double mass_g = p->crawled.mass_g[line] / (double)n;
        flow_add(&p->to_dormant, line, asleep, mass_g);
        flow_add(&p->crawled, line, -asleep, mass_g);
    }
    struct now still = *dormant;
    still.dx = 0;
    enter(p, &p->to_dormant, &p->asleep, WG_DORMANT, &still, 0);
    enter(p, &p->crawled, &p->prepupa, WG_PREPUPA, prepupa, 0);
    enter(p, &p->resumed, &p->prepupa, WG_PREPUPA, prepupa, p->sp->dorm_resume_x);
}

/* ---- flies ---- */

/* Share of a cohort that entered uniformly over a step and has passed a threshold. */
static double share_past(double x, double dx, double threshold) {
    return dx > 0 ? fmin(1, fmax(0, (x + dx / 2 - threshold) / dx)) : x >= threshold;
}

/* Each mother lays her whole clutch in one place: a trap or one of the bins. */
static void distribute_clutches(struct plain *p, int line, int64_t mothers, double factor) {
    const int64_t at_traps = draw(p, mothers, p->trap_share);
    const int64_t trapped = wg_clutch_sum(p->sp, at_traps, factor, p->rng);
    int64_t at_bin[PLAIN_MAX_BINS];
    flow_add(&p->trapped, line, trapped, 0);
    p->out->eggs_trapped += trapped;
    p->out->eggs_laid += trapped;
    distribute(p, mothers - at_traps, at_bin);
    for (int b = 0; b < p->bins; b++) {
        const int64_t eggs = wg_clutch_sum(p->sp, at_bin[b], factor, p->rng);
        flow_add(&p->bin[b].laid, line, eggs, 0);
        p->out->eggs_laid += eggs;
    }
}

static void lay(struct plain *p, const struct now *adult) {
    const struct day_hours *const t = p->today;
    double air_c = mean24(t->air_c, t[-1].air_c, p->to);
    const int days = (int)fmin(7, fmax(1, p->sp->clutch_warm_days));
    for (int k = 1; k < days; k++)
        air_c += mean24(t[-k].air_c, NULL, 24);
    const struct wg_shelter_spec *const shelter = &p->plan->places[0].shelter;
    /* houses with lamps are dim here: sunlight alone is too weak for mating */
    const bool lamps = shelter->kind == WG_LABORATORY || shelter->lamp_hours > 0;
    for (int i = 0; i < p->mated.n; i++) {
        struct cohort *const c = &p->mated.cohort[i];
        const int64_t due = draw(p, c->n, share_past(c->x - c->mark, adult->dx, wg_laying_x(p->sp)));
        const int64_t mothers = draw(p, due, lamps ? p->sp->laying_share_lamps : p->sp->laying_share_sun);
        const double factor = wg_clutch_warmth(air_c / days) * wg_clutch_size_factor(p->sp, c->mass_g);
        struct cohort spent = *c;
        spent.n = due;
        add(&p->spent, spent);
        c->n -= due;
        const int line = (c->line / 2 * 2 + 2) % p->lines;
        distribute_clutches(p, line, mothers, factor);
    }
    drop_empty(&p->mated);
}

/* Probability of mating given none in the earlier hours of the day. */
static double mating(const struct plain *p, double lit_warm) {
    const double least = p->sp->mate_hours_min, full = p->sp->mate_hours_full, hours = p->lit_warm_hours;
    const double had = hours - lit_warm >= least ? fmin(1, (hours - lit_warm) / full) : 0;
    const double has = hours >= least ? fmin(1, hours / full) : 0;
    return lit_warm <= 0 ? 0 : had < 1 ? (has - had) / (1 - had) : 1;
}

static void mate(struct plain *p, const struct now *adult, double chance) {
    if ((double)total(&p->male) < p->sp->males_needed)
        return;
    for (int i = 0; i < p->virgin.n; i++) {
        struct cohort *const c = &p->virgin.cohort[i];
        struct cohort mated = *c;
        mated.n = draw(p, c->n, chance * share_past(c->x, adult->dx, wg_mating_x(p->sp)));
        mated.mark = c->x - adult->dx / 2;
        add(&p->mated, mated);
        c->n -= mated.n;
    }
    drop_empty(&p->virgin);
}

static void emerge(struct plain *p, const struct now *adult) {
    const enum wg_housing_kind kind = p->plan->places[0].shelter.kind;
    const double stay = kind == WG_LABORATORY ? 1 : kind == WG_OUTDOORS ? p->sp->stay_open : p->sp->stay_closed;
    for (int line = 0; line < p->lines; line++) {
        const int64_t all = p->emerged.n[line];
        if (all == 0)
            continue;
        const double mass_g = p->emerged.mass_g[line] / (double)all;
        const int64_t here = draw(p, all, stay), females = draw(p, here, p->sp->female_share);
        flow_add(&p->females, line, females, mass_g);
        flow_add(&p->males, line, here - females, mass_g);
        p->out->emerged += here;
    }
    flow_clear(p, &p->emerged);
    enter(p, &p->females, &p->virgin, WG_FEMALE, adult, 0);
    enter(p, &p->males, &p->male, WG_MALE, adult, 0);
}

static void flies(struct plain *p, const struct now *adult) {
    const struct day_hours *const t = p->today;
    double lit_warm = 0, warm = 0;
    for (int h = p->from; h < p->to; h++) {
        if (t->light_w_m2[h] >= p->sp->mate_light_w_m2)
            lit_warm += wg_warm_share(p->sp, p->sp->mate_air_c, t->air_c[h]);
        warm += wg_warm_share(p->sp, p->sp->lay_air_c, t->air_c[h]);
    }
    p->lit_warm_hours += lit_warm;
    p->warm_hours += warm;
    advance(p, &p->virgin, WG_FEMALE, adult, NULL);
    advance(p, &p->mated, WG_FEMALE, adult, NULL);
    advance(p, &p->spent, WG_FEMALE, adult, NULL);
    advance(p, &p->male, WG_MALE, adult, NULL);
    if (p->warm_hours >= p->sp->lay_hours_min && warm > 0)
        lay(p, adult);
    mate(p, adult, mating(p, lit_warm));
    emerge(p, adult);
}

/* ---- a step, a day, a replicate ---- */

/* Every bin has the temperature of the recorded one. */
static void step_bins(struct plain *p, const struct now *egg, const struct now *larva) {
    for (int b = 0; b < p->bins; b++) {
        struct bin *const bin = &p->bin[b];
        bin->larva_now = *larva;
        eat(p, bin);
        advance(p, &bin->egg, WG_EGG, egg, &bin->from_eggs);
        advance_in(p, bin, &bin->larva, WG_LARVA, &bin->larva_now, &bin->leaving);
        crawl_off(p, bin, &bin->leaving);
    }
    hatch(p);
}

static void step(struct plain *p) {
    const struct day_hours *const t = p->today, *const y = t - 1;
    const struct now egg = conditions(p, WG_CLOCK_EGG, WG_COLD_EGG, t->bin_c, y->bin_c);
    /* traps have air temperature; computed only with traps, or plans without would pay for them */
    struct now in_trap = {0};
    if (p->trap_share > 0 || p->trap.n > 0)
        in_trap = conditions(p, WG_CLOCK_EGG, WG_COLD_EGG, t->air_c, y->air_c);
    const struct now larva = conditions(p, WG_CLOCK_LARVA, WG_COLD_OLD_LARVA, t->bin_c, y->bin_c);
    struct now prepupa = conditions(p, WG_CLOCK_PREPUPA, WG_COLD_PREPUPA, t->ground_c, y->ground_c);
    const struct now pupa = conditions(p, WG_CLOCK_PUPA, WG_COLD_PUPA, t->ground_c, y->ground_c);
    const struct now adult = conditions(p, WG_CLOCK_ADULT, WG_COLD_ADULT, t->air_c, y->air_c);
    struct now dormant = prepupa;
    dormant.dx = 0;
    dormant.hazard[WG_CAUSE_BACKGROUND] = p->sp->dormant_hazard * p->dt_day;
    for (int h = p->from; h < p->to; h++)
        dormant.dx += wg_dormancy_heat(p->sp, t->ground_c[h]) / 24;
    if (p->plan->places[0].ground.dark)
        prepupa.dx /= p->sp->dark_prepupa_factor;
    advance(p, &p->trap, WG_EGG, &in_trap, &p->from_traps);
    step_bins(p, &egg, &larva);
    advance_dormancy(p, &dormant);
    advance(p, &p->prepupa, WG_PREPUPA, &prepupa, &p->pupated);
    advance(p, &p->pupa, WG_PUPA, &pupa, &p->emerged);
    flies(p, &adult);
    for (int b = 0; b < p->bins; b++) {
        struct bin *const bin = &p->bin[b];
        enter(p, &bin->hatched, &bin->larva, WG_LARVA, &bin->larva_now, 0);
        enter(p, &bin->laid, &bin->egg, WG_EGG, &egg, 0);
    }
    enter(p, &p->trapped, &p->trap, WG_EGG, &in_trap, 0);
    enter_ground(p, &prepupa, &dormant);
    enter(p, &p->pupated, &p->pupa, WG_PUPA, &pupa, 0);
}

static void record(struct plain *p, enum wg_stage stage, const struct pool *pool) {
    const size_t row = (size_t)p->day * WG_N_STAGES + stage;
    for (int i = 0; i < pool->n; i++) {
        p->out->count[row] += pool->cohort[i].n;
        p->out->by_generation[row * (size_t)p->out->n_generations + (size_t)(pool->cohort[i].line / 2)] +=
            pool->cohort[i].n;
    }
}

static void record_day(struct plain *p) {
    for (int b = 0; b < p->bins; b++) {
        record(p, WG_EGG, &p->bin[b].egg);
        record(p, WG_LARVA, &p->bin[b].larva);
        p->out->in_bin[b][p->day] = total(&p->bin[b].larva);
        p->bin[b].eaten_yesterday_kg = p->bin[b].eaten_today_kg;
        p->bin[b].eaten_today_kg = 0;
    }
    record(p, WG_EGG, &p->trap);
    p->out->in_traps[p->day] = total(&p->trap);
    record(p, WG_PREPUPA, &p->prepupa);
    record(p, WG_DORMANT, &p->asleep);
    record(p, WG_DORMANT, &p->waking);
    record(p, WG_PUPA, &p->pupa);
    record(p, WG_FEMALE, &p->virgin);
    record(p, WG_FEMALE, &p->mated);
    record(p, WG_FEMALE, &p->spent);
    record(p, WG_MALE, &p->male);
}

/* On the first day of spring: all present have overwintered. */
static void mark(struct pool *pool) {
    for (int i = 0; i < pool->n; i++)
        pool->cohort[i].line |= 1;
}

static void mark_overwintered(struct plain *p) {
    struct pool *const young[] = {&p->trap, &p->prepupa, &p->asleep, &p->waking, &p->pupa};
    for (size_t i = 0; i < sizeof young / sizeof *young; i++)
        mark(young[i]);
    for (int b = 0; b < p->bins; b++) {
        mark(&p->bin[b].egg);
        mark(&p->bin[b].larva);
    }
}

void plain_run(const struct wg_plan *plan, const struct wg_cohort_growth *growth, const struct recorded_hours *hours,
               gsl_rng *rng, struct plain_outcome *out) {
    struct plain *const p = calloc(1, sizeof *p);
    if (p == NULL || hours->n_days < HOURS_LEAD_DAYS + out->n_days)
        fail("out of memory, or too few hours");
    if (plan->n_places != 1 || plan->n_bins > PLAIN_MAX_BINS)
        fail("only one place with one or two bins is supported");
    if (plan->mishaps.raids_per_year > 0 || plan->wild_peak_per_day > 0)
        fail("raids and wild flies are not supported");
    p->plan = plan;
    p->sp = &plan->species;
    p->growth = growth;
    p->rng = rng;
    p->out = out;
    p->lines = 2 * out->n_generations;
    p->bins = plan->n_bins;
    p->dt_day = 1.0 / plan->steps_per_day;
    const size_t cells = (size_t)out->n_days * WG_N_STAGES;
    memset(out->count, 0, cells * sizeof *out->count);
    memset(out->by_generation, 0, cells * (size_t)out->n_generations * sizeof *out->by_generation);
    memset(out->dead, 0, sizeof out->dead);
    out->eggs_laid = out->eggs_trapped = out->emerged = out->crawled = out->cohort_steps = out->evaluations = 0;
    out->crawled_kg = out->eaten_kg = 0;
    for (p->day = 0; p->day < out->n_days; p->day++) {
        p->today = &hours->day[HOURS_LEAD_DAYS + p->day];
        p->warm_hours = p->lit_warm_hours = 0;
        if (wg_spring_begins(plan, plan->first_day + p->day))
            mark_overwintered(p);
        act(p);
        for (p->from = 0; p->from < 24; p->from = p->to) {
            p->to = p->from + 24 / plan->steps_per_day;
            step(p);
        }
        record_day(p);
    }
    struct pool *const all[] = {&p->trap,   &p->prepupa, &p->asleep, &p->waking, &p->pupa,
                                &p->virgin, &p->mated,   &p->spent,  &p->male};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        free(all[i]->cohort);
    for (int b = 0; b < p->bins; b++) {
        free(p->bin[b].egg.cohort);
        free(p->bin[b].larva.cohort);
    }
    free(p);
}

void plain_outcome_init(struct plain_outcome *outcome, const struct wg_plan *plan) {
    *outcome = (struct plain_outcome){.n_days = plan->last_day - plan->first_day + 1,
                                      .n_generations = wg_plan_generations(plan)};
    const size_t cells = (size_t)outcome->n_days * WG_N_STAGES;
    outcome->count = calloc(cells, sizeof *outcome->count);
    outcome->by_generation = calloc(cells * (size_t)outcome->n_generations, sizeof *outcome->by_generation);
    outcome->in_traps = calloc((size_t)outcome->n_days, sizeof *outcome->in_traps);
    for (int b = 0; b < PLAIN_MAX_BINS; b++)
        if ((outcome->in_bin[b] = calloc((size_t)outcome->n_days, sizeof *outcome->in_bin[b])) == NULL)
            exit(EXIT_FAILURE);
    if (outcome->count == NULL || outcome->by_generation == NULL || outcome->in_traps == NULL)
        exit(EXIT_FAILURE);
}

void plain_outcome_free(struct plain_outcome *outcome) {
    free(outcome->count);
    free(outcome->by_generation);
    free(outcome->in_traps);
    for (int b = 0; b < PLAIN_MAX_BINS; b++)
        free(outcome->in_bin[b]);
    *outcome = (struct plain_outcome){0};
}
