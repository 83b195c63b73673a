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

static struct danger danger(const struct wg_species *species, const struct wg_conditions *conditions, double x,
                            double mass_g) {
    struct danger d = {.cold = wg_conditions_cold(conditions, species, x)};
    if (conditions->hazard[WG_CAUSE_HUNGER] > 0)
        d.hunger = conditions->hazard[WG_CAUSE_HUNGER] * wg_hunger_by_size(species, mass_g);
    d.all = conditions->shared + d.cold + d.hunger;
    d.half = wg_expm1(-d.all / 2);
    return d;
}

static void toll_add(struct wg_toll *toll, const struct danger *d, int64_t dead) {
    if (dead == 0)
        return;
    toll->dead += dead;
    const double per_hazard = (double)dead / d->all;
    toll->shared += per_hazard;
    toll->cold += per_hazard * d->cold;
    toll->hunger += per_hazard * d->hunger;
}

void wg_taken_book(struct wg_colony *colony, int64_t count) {
    colony->ledger.taken += count;
    colony->diary->taken[colony->day] += count;
}

void wg_dead_book(struct wg_colony *colony, enum wg_stage stage, enum wg_cause cause, int64_t dead) {
    colony->ledger.dead[stage][cause] += dead;
    colony->diary->deaths[(size_t)colony->day * WG_N_CAUSES + cause] += dead;
}

void wg_toll_book(struct wg_colony *colony, const struct wg_toll *toll, const struct wg_conditions *conditions,
                  enum wg_stage stage) {
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
        wg_dead_book(colony, stage, (enum wg_cause)cause, dead[cause]);
}

/*
 * A cohort's mean mass after a meal, at development x. What it weighed and what it gained is shared out over those who
 * stay and those who leave as if they were well fed, so that no mass is lost; returns the mass of those who leave.
 */
static double grow(const struct wg_cohort_growth *growth, struct wg_cohort *c, const struct wg_meal *meal, int i,
                   double x, double log_stay) {
    const double gained_g = meal->ration * meal->gain[i] * meal->final_g;
    const double full_g = (c->mass_g + gained_g) / wg_cohort_reached_share(growth, x, log_stay);
    c->mass_g = full_g * wg_cohort_mean_share(growth, x);
    return full_g;
}

void wg_pool_live(struct wg_colony *colony, struct wg_pool *pool, enum wg_stage stage, const struct wg_clock *clock,
                  struct wg_conditions *conditions, const struct wg_meal *meal, struct wg_flow *done) {
    const struct wg_species *const species = &colony->world->plan->species;
    if (pool->n == 0)
        return;
    wg_conditions_know(conditions, species);
    const bool own = conditions->cold_young > 0 || conditions->cold_old > 0 || conditions->hazard[WG_CAUSE_HUNGER] > 0;
    const double dx = conditions->dx;
    struct danger d = danger(species, conditions, 0, species->final_mass_g);
    struct wg_toll toll = {0};
    int64_t aged = 0;
    for (int i = 0; i < pool->n; i++) {
        struct wg_cohort *const c = &pool->cohort[i];
        if (own)
            d = danger(species, conditions, c->x, c->mass_g);
        const double log_s = dx > 0 ? wg_clock_log_survival(clock, c->x + dx) : c->log_s;
        const double drop = log_s - c->log_s;
        const double log_stay = drop < NOTICEABLE ? drop : 0;
        /* one draw says how many leave the cohort in any way, a second (seldom needed) how many of them died */
        const int64_t gone = wg_losses(colony->chance, c->count, log_stay - d.all);
        const int64_t dead =
            log_stay < 0 && gone > 0 ? wg_binomial(colony->chance, gone, died_of_gone(&d, log_stay)) : gone;
        const int64_t exits = gone - dead;
        toll_add(&toll, &d, dead);
        c->count -= gone;
        double leaves_g = c->mass_g;
        if (meal != NULL)
            leaves_g = grow(&colony->world->growth, c, meal, i, c->x + dx, log_stay);
        c->x += dx;
        c->log_s = log_s;
        if (exits == 0)
            continue;
        if (done != NULL)
            wg_flow_add(done, c->line, exits, leaves_g);
        else
            aged += exits;
    }
    wg_toll_book(colony, &toll, conditions, stage);
    wg_dead_book(colony, stage, WG_CAUSE_AGE, aged);
    wg_pool_compact(pool);
}

void wg_flow_enter(struct wg_colony *colony, struct wg_flow *flow, struct wg_pool *pool, enum wg_stage stage,
                   const struct wg_clock *clock, struct wg_conditions *conditions, double start_x) {
    const struct wg_species *const species = &colony->world->plan->species;
    if (flow->n_lines == 0)
        return;
    wg_conditions_know(conditions, species);
    const double x = start_x + conditions->dx / 2, log_s = wg_clock_log_survival(clock, x);
    struct wg_toll toll = {0};
    for (int line = 0; line < flow->n_lines; line++) {
        const int64_t count = flow->count[line];
        if (count == 0)
            continue;
        const double mass_g = wg_flow_take(flow, line, count);
        const struct danger d = danger(species, conditions, start_x, mass_g);
        const int64_t dead = wg_binomial(colony->chance, count, -d.half);
        toll_add(&toll, &d, dead);
        wg_pool_join(pool,
                     (struct wg_cohort){.count = count - dead, .x = x, .log_s = log_s, .mass_g = mass_g, .line = line});
    }
    flow->n_lines = 0;
    wg_toll_book(colony, &toll, conditions, stage);
}
