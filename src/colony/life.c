/*
 * Who dies and who is done in a step?
 *
 *   leavers ~ Binomial(n, 1 - S(x+dx)/S(x)),   of them die 1 - exp(-H/2),   of those who stay 1 - exp(-H)
 *
 * with S the survival of the stage clock and H the step's hazard: the law of the summed
 * individuals of a cohort. Who leaves does so in the middle of the step, on average, and
 * pays for half of it here and for half of it in the next stage. (With all of it here every
 * stage was paid for half a step too long: at 27 degC and one step a day 3.6 % fewer eggs became
 * flies than the life table says.)
 */
#include "base/quick.h"
#include "colony/state.h"
#include "species/growth.h"

#include <math.h>
#include <stdbool.h>

/*
 * A chance to leave below this is taken for none. Without it the last digit of a survival would say whether a number is
 * drawn, and with it all that follows.
 */
#define NOTICEABLE (-1e-12)

/* Larvae have two cold lines, which go with development x. */
static bool has_age_dependent_cold(const struct wg_conditions *conditions) {
    return conditions->cold_young > 0 || conditions->cold_old > 0;
}

/* The chance to die in half of the step. Asked where somebody leaves or enters only: up to 4 % off the full winter. */
static double half_step_mortality(const struct wg_hazards *d) {
    return -wg_expm1(-d->all / 2);
}

/* Written where it is to stay: a copy of what was written a moment ago has to wait for it. */
static void set_hazards(struct wg_hazards *d, const struct wg_species *species, const struct wg_conditions *conditions,
                        double x, double mass_g) {
    const double hunger = conditions->hazard[WG_CAUSE_HUNGER];
    d->cold = has_age_dependent_cold(conditions)
                  ? wg_hazard_cold_larva(species, x, conditions->cold_young, conditions->cold_old)
                  : conditions->hazard[WG_CAUSE_COLD];
    d->hunger = hunger > 0 ? hunger * wg_hunger_by_size(species, mass_g) : 0;
    d->all = conditions->shared + d->cold + d->hunger;
}

/*
 * Of those gone, dead or done, the share that is done: they lived through half of the step, the others went by
 * 1 - (1 - done)(1 - half)^2 in all (written so that nothing cancels).
 */
static double finished_share(double done, double half) {
    return done * (1 - half) / (done + (1 - done) * half * (2 - half));
}

static void add_to_tally(struct wg_death_tally *toll, const struct wg_hazards *d, int64_t dead) {
    if (dead == 0)
        return;
    toll->dead += dead;
    const double per_hazard = (double)dead / d->all;
    toll->shared += per_hazard;
    toll->cold += per_hazard * d->cold;
    toll->hunger += per_hazard * d->hunger;
}

void wg_ledger_add_taken(struct wg_colony *colony, int64_t count) {
    colony->ledger.taken += count;
    colony->diary->taken[colony->day] += count;
}

void wg_ledger_add_deaths(struct wg_colony *colony, enum wg_stage stage, enum wg_cause cause, int64_t dead) {
    colony->ledger.dead[stage][cause] += dead;
    colony->diary->deaths[(size_t)colony->day * WG_N_CAUSES + cause] += dead;
}

void wg_ledger_add_tally(struct wg_colony *colony, const struct wg_death_tally *toll,
                         const struct wg_conditions *conditions, enum wg_stage stage) {
    if (toll->dead == 0)
        return;
    int64_t dead[WG_CAUSE_AGE];
    double weight[WG_CAUSE_AGE];
    for (int cause = 0; cause < WG_CAUSE_AGE; cause++)
        weight[cause] = toll->shared * conditions->hazard[cause];
    weight[WG_CAUSE_COLD] = toll->cold;
    weight[WG_CAUSE_HUNGER] = toll->hunger;
    wg_multinomial(colony->chance, toll->dead, WG_CAUSE_AGE, weight, dead);
    for (int cause = 0; cause < WG_CAUSE_AGE; cause++)
        wg_ledger_add_deaths(colony, stage, (enum wg_cause)cause, dead[cause]);
}

void wg_pool_predict(struct wg_colony *colony, const struct wg_pool *pool, const struct wg_clock *clock, double dx) {
    struct wg_cohort_step *const step = colony->steps;
    const struct wg_cohort *const cohort = pool->cohort;
    const int n = pool->n;
    for (int i = 0; i < n; i++) {
        step[i].log_s = dx > 0 ? wg_clock_log_survival(clock, cohort[i].x + dx) : cohort[i].log_s;
        const double drop = step[i].log_s - cohort[i].log_s;
        step[i].log_stay = drop < NOTICEABLE ? drop : 0;
    }
}

void wg_pool_predict_growth(struct wg_colony *colony, const struct wg_pool *pool, double dx) {
    struct wg_cohort_step *const step = colony->steps;
    const struct wg_cohort *const cohort = pool->cohort;
    const int n = pool->n;
    for (int i = 0; i < n; i++) {
        step[i].share = wg_cohort_mean_share(&colony->world->growth, cohort[i].x + dx);
        step[i].reached = wg_reached_share(step[i].share, -wg_expm1(step[i].log_stay));
    }
}

/*
 * The meal: what a cohort weighed and what it gained is shared out over those who stay and those who leave as if they were
 * well fed, so that no mass is lost. Here it weighs what those weigh who leave; advance_cohorts() gives the others theirs.
 */
static void grow_larvae(struct wg_pool *pool, const struct wg_cohort_step *step, const struct wg_ration *meal) {
    const double eaten_g = meal->ration * meal->final_g;
    for (int i = 0; i < pool->n; i++)
        pool->cohort[i].mass_g = (pool->cohort[i].mass_g + eaten_g * step[i].gain) / step[i].reached;
}

/* A pool that shares one danger has it in `alike`; in others each cohort has its own. */
static const struct wg_hazards *hazards_of(const struct wg_cohort_step *step, const struct wg_hazards *alike) {
    return alike != NULL ? alike : &step->hazards;
}

/* Those done who live on, and those who do not: flies at the end of their life, larvae that stayed too small to pupate. */
struct finishers {
    struct wg_flow *flow; /* NULL: nobody lives on */
    double least_g;       /* who weighs less does not */
    int64_t ended;
};

/* One draw says how many leave a cohort in any way, a second how many of them were done. */
static void draw_exits(struct wg_colony *colony, struct wg_pool *pool, const struct wg_hazards *alike,
                       struct finishers *done, struct wg_death_tally *toll) {
    struct wg_cohort_step *const step = colony->steps;
    struct wg_cohort *const cohort = pool->cohort;
    const int n = pool->n;
    gsl_rng *const chance = colony->chance;
    for (int i = 0; i < n; i++)
        step[i].gone = wg_losses(chance, cohort[i].count, step[i].log_stay - hazards_of(&step[i], alike)->all);
    for (int i = 0; i < n; i++) {
        const int64_t gone = step[i].gone;
        if (gone == 0)
            continue;
        const struct wg_hazards *const d = hazards_of(&step[i], alike);
        int64_t exits = 0;
        if (step[i].log_stay < 0)
            exits = wg_binomial(chance, gone, finished_share(-wg_expm1(step[i].log_stay), half_step_mortality(d)));
        cohort[i].count -= gone;
        add_to_tally(toll, d, gone - exits);
        if (exits == 0)
            continue;
        if (done->flow != NULL && cohort[i].mass_g >= done->least_g)
            wg_flow_add(done->flow, cohort[i].line, exits, cohort[i].mass_g);
        else
            done->ended += exits;
    }
}

/* Those who are left are a step further; empty cohorts go. */
static void advance_cohorts(struct wg_pool *pool, const struct wg_cohort_step *step, double dx, bool larvae) {
    const int n = pool->n;
    struct wg_cohort *const cohort = pool->cohort;
    int kept = 0;
    for (int i = 0; i < n; i++) {
        struct wg_cohort c = cohort[i];
        if (c.count == 0)
            continue;
        c.x += dx;
        c.log_s = step[i].log_s;
        if (larvae) {
            c.mass_g *= step[i].share;
            c.share = step[i].share;
        }
        cohort[kept++] = c;
    }
    pool->n = kept;
}

/*
 * In several passes over the pool, because draws cannot be foreseen: a processor that took the wrong way in one throws away
 * what it had begun of the next cohort's look-ups. (Measured: a crowded laboratory a tenth quicker than with one pass;
 * outdoors, with eight cohorts to a pool, no difference.)
 */
void wg_pool_advance(struct wg_colony *colony, struct wg_pool *pool, enum wg_stage stage, const struct wg_clock *clock,
                     struct wg_conditions *conditions, const struct wg_ration *meal, struct wg_flow *done) {
    if (pool->n == 0)
        return;
    const struct wg_species *const species = &colony->world->plan->species;
    struct wg_cohort_step *const step = colony->steps;
    wg_conditions_update(conditions, species);
    const double dx = conditions->dx;
    if (meal == NULL || meal->dx != dx) {
        wg_pool_predict(colony, pool, clock, dx);
        if (meal != NULL)
            wg_pool_predict_growth(colony, pool, dx);
    }
    const bool own = has_age_dependent_cold(conditions) || conditions->hazard[WG_CAUSE_HUNGER] > 0;
    struct wg_hazards alike;
    set_hazards(&alike, species, conditions, 0, species->final_mass_g);
    for (int i = 0; own && i < pool->n; i++)
        set_hazards(&step[i].hazards, species, conditions, pool->cohort[i].x, pool->cohort[i].mass_g);
    if (meal != NULL)
        grow_larvae(pool, step, meal);
    struct wg_death_tally toll = {0};
    struct finishers out = {.flow = done, .least_g = meal != NULL ? species->pupation_mass_g : 0};
    draw_exits(colony, pool, own ? NULL : &alike, &out, &toll);
    advance_cohorts(pool, step, dx, meal != NULL);
    wg_ledger_add_tally(colony, &toll, conditions, stage);
    wg_ledger_add_deaths(colony, stage, done == NULL ? WG_CAUSE_AGE : WG_CAUSE_HUNGER, out.ended);
}

void wg_flow_enter(struct wg_colony *colony, struct wg_flow *flow, struct wg_pool *pool, enum wg_stage stage,
                   const struct wg_clock *clock, struct wg_conditions *conditions, double start_x) {
    const struct wg_species *const species = &colony->world->plan->species;
    if (flow->n_lines == 0)
        return;
    wg_conditions_update(conditions, species);
    const double x = start_x + conditions->dx / 2, log_s = wg_clock_log_survival(clock, x);
    const double share = stage == WG_LARVA ? wg_cohort_mean_share(&colony->world->growth, x) : 0;
    struct wg_death_tally toll = {0};
    for (int line = 0; line < flow->n_lines; line++) {
        const int64_t count = flow->count[line];
        if (count == 0)
            continue;
        const double mass_g = wg_flow_take(flow, line, count);
        struct wg_hazards d;
        set_hazards(&d, species, conditions, start_x, mass_g);
        const int64_t dead = wg_binomial(colony->chance, count, half_step_mortality(&d));
        add_to_tally(&toll, &d, dead);
        const struct wg_cohort entered = {
            .count = count - dead, .x = x, .log_s = log_s, .mass_g = mass_g, .share = share, .line = line};
        wg_pool_join(pool, &entered);
    }
    flow->n_lines = 0;
    wg_ledger_add_tally(colony, &toll, conditions, stage);
}
