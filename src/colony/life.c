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
#include "colony/state.h"

#include "base/quick.h"

#include <math.h>
#include <stdbool.h>
#include <wintergrub/growth.h>

/*
 * A chance to leave below this is taken for none. Without it the last digit of exp(), which differs between C libraries
 * and processors, would say whether a number is drawn, and with it all that follows.
 */
#define NOTICEABLE (-1e-12)

/* What a cohort is up against in a step: cold goes with its age, hunger with its size, the rest is shared. */
struct danger {
    double cold, hunger, all;
    double half; /* exp(-all/2) - 1: minus the chance to die in half of the step */
};

/* Of those gone, dead or done, the share that died. */
static double died_of_gone(const struct danger *d, double log_stay) {
    const double died = -d->half * (1 + wg_exp(log_stay) * (1 + d->half));
    return fmin(1, died / -wg_expm1(log_stay - d->all));
}

static double shared_hazard(const struct wg_conditions *conditions) {
    double hazard = 0;
    for (int cause = 0; cause < WG_CAUSE_AGE; cause++)
        if (cause != WG_CAUSE_COLD && cause != WG_CAUSE_HUNGER)
            hazard += conditions->hazard[cause];
    return hazard;
}

static struct danger danger(const struct wg_species *species, const struct wg_conditions *conditions, double shared,
                            double x, double mass_g) {
    struct danger d = {.cold = wg_conditions_cold(conditions, species, x)};
    if (conditions->hazard[WG_CAUSE_HUNGER] > 0)
        d.hunger = conditions->hazard[WG_CAUSE_HUNGER] * wg_hunger_by_size(species, mass_g);
    d.all = shared + d.cold + d.hunger;
    d.half = wg_expm1(-d.all / 2);
    return d;
}

static void toll_add(struct wg_toll *toll, const struct wg_conditions *conditions, const struct danger *d,
                     int64_t dead) {
    if (dead == 0)
        return;
    toll->dead += dead;
    const double per_hazard = (double)dead / d->all;
    for (int cause = 0; cause < WG_CAUSE_AGE; cause++)
        toll->weight[cause] += per_hazard * (cause == WG_CAUSE_COLD     ? d->cold
                                             : cause == WG_CAUSE_HUNGER ? d->hunger
                                                                        : conditions->hazard[cause]);
}

void wg_taken_book(struct wg_colony *colony, int64_t count) {
    colony->ledger.taken += count;
    colony->diary->taken[colony->day] += count;
}

void wg_dead_book(struct wg_colony *colony, enum wg_stage stage, enum wg_cause cause, int64_t dead) {
    colony->ledger.dead[stage][cause] += dead;
    colony->diary->deaths[(size_t)colony->day * WG_N_CAUSES + cause] += dead;
}

void wg_toll_book(struct wg_colony *colony, struct wg_toll *toll, enum wg_stage stage) {
    if (toll->dead == 0)
        return;
    int64_t dead[WG_CAUSE_AGE];
    wg_multinomial(colony->chance, toll->dead, WG_CAUSE_AGE, toll->weight, dead);
    for (int cause = 0; cause < WG_CAUSE_AGE; cause++)
        wg_dead_book(colony, stage, (enum wg_cause)cause, dead[cause]);
}

/*
 * A cohort's mean mass after a meal. Its condition, mean mass over that of well-fed
 * larvae of the same development, moves by what was gained; returns the mass of those who leave.
 */
static double grow(const struct wg_cohort_growth *growth, struct wg_cohort *c, const struct wg_meal *meal, int i,
                   double x) {
    const double before = wg_cohort_mean_share(growth, c->x), gain = meal->gain[i];
    const double full_g = (c->mass_g + meal->ration * gain * meal->final_g) / (before + meal->pace * gain);
    c->mass_g = full_g * wg_cohort_mean_share(growth, x);
    return full_g;
}

void wg_pool_live(struct wg_colony *colony, struct wg_pool *pool, enum wg_stage stage, const struct wg_clock *clock,
                  const struct wg_conditions *conditions, const struct wg_meal *meal, struct wg_flow *done) {
    const struct wg_species *const species = &colony->world->plan->species;
    const double shared = shared_hazard(conditions);
    const bool own = conditions->cold_young > 0 || conditions->cold_old > 0 || conditions->hazard[WG_CAUSE_HUNGER] > 0;
    struct danger d = danger(species, conditions, shared, 0, species->final_mass_g);
    struct wg_toll toll = {0};
    int64_t aged = 0;
    for (int i = 0; i < pool->n; i++) {
        struct wg_cohort *const c = &pool->cohort[i];
        if (own)
            d = danger(species, conditions, shared, c->x, c->mass_g);
        const double log_s = conditions->dx > 0 ? wg_clock_log_survival(clock, c->x + conditions->dx) : c->log_s;
        const double drop = log_s - c->log_s;
        const double log_stay = drop < NOTICEABLE ? drop : 0;
        /* one draw says how many leave the cohort in any way, a second (seldom needed) how many of them died */
        const int64_t gone = wg_losses(colony->chance, c->count, log_stay - d.all);
        const int64_t dead =
            log_stay < 0 && gone > 0 ? wg_binomial(colony->chance, gone, died_of_gone(&d, log_stay)) : gone;
        const int64_t exits = gone - dead;
        toll_add(&toll, conditions, &d, dead);
        c->count -= gone;
        double leaves_g = c->mass_g;
        if (meal != NULL)
            leaves_g = grow(&colony->world->growth, c, meal, i, c->x + conditions->dx);
        c->x += conditions->dx;
        c->log_s = log_s;
        if (exits == 0)
            continue;
        if (done != NULL)
            wg_flow_add(done, c->line, exits, leaves_g);
        else
            aged += exits;
    }
    wg_toll_book(colony, &toll, stage);
    wg_dead_book(colony, stage, WG_CAUSE_AGE, aged);
    wg_pool_compact(pool);
}

void wg_flow_enter(struct wg_colony *colony, struct wg_flow *flow, struct wg_pool *pool, enum wg_stage stage,
                   const struct wg_clock *clock, const struct wg_conditions *conditions, double start_x) {
    const struct wg_species *const species = &colony->world->plan->species;
    const double shared = shared_hazard(conditions);
    const double x = start_x + conditions->dx / 2;
    struct wg_toll toll = {0};
    for (int line = 0; line < colony->world->n_lines; line++) {
        const int64_t count = flow->count[line];
        if (count == 0)
            continue;
        const double mass_g = wg_flow_take(flow, line, count);
        flow->mass_g[line] = 0;
        const struct danger d = danger(species, conditions, shared, start_x, mass_g);
        const int64_t dead = wg_binomial(colony->chance, count, -d.half);
        toll_add(&toll, conditions, &d, dead);
        wg_pool_join(pool, (struct wg_cohort){.count = count - dead,
                                              .x = x,
                                              .log_s = wg_clock_log_survival(clock, x),
                                              .mass_g = mass_g,
                                              .line = line});
    }
    wg_toll_book(colony, &toll, stage);
}
