/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Adult flies: ageing, mating on bright warm days, one clutch per female, wild visitors, emergence.
 *
 * A step of a day follows the daily rule exactly. In shorter steps the probability of mating
 * depends on the bright warm hours since midnight. Cohorts enter uniformly over a step, so the
 * share of females past a threshold is linear in development over the dx of one step.
 */
#include "colony/state.h"
#include "species/breeding.h"

#include <math.h>

/* Share of a cohort that has passed a threshold within or before this step. */
static double share_past_threshold(double x, double dx, double threshold) {
    if (dx <= 0)
        return x >= threshold ? 1 : 0;
    const double past_x = x + dx / 2 - threshold;
    return past_x <= 0 ? 0 : past_x >= dx ? 1 : past_x / dx;
}

static void age_adults(struct wg_colony *colony, struct wg_place_colony *place) {
    const struct wg_clock *const clock = &colony->world->clocks.stage[WG_CLOCK_ADULT];
    struct wg_conditions *const now = &place->adult_now;
    wg_pool_advance(colony, &place->virgin, WG_FEMALE, clock, now, NULL, NULL);
    wg_pool_advance(colony, &place->mated, WG_FEMALE, clock, now, NULL, NULL);
    wg_pool_advance(colony, &place->spent, WG_FEMALE, clock, now, NULL, NULL);
    wg_pool_advance(colony, &place->male, WG_MALE, clock, now, NULL, NULL);
}

/* Hours of today, from..to-1, weighted by warmth, with at least light_w_m2. */
static double warm_hours(const struct wg_species *species, const struct wg_place_colony *place, int from, int to,
                         double threshold_c, double light_w_m2) {
    double sum = 0;
    for (int h = from; h < to; h++)
        if (place->hours.light_w_m2[h] >= light_w_m2)
            sum += wg_warm_share(species, threshold_c, place->hours.air_c[h]);
    return sum;
}

/* True if even the warmest hour of the step is too cool: most days of a winter. */
static int is_too_cool(const struct wg_species *species, const struct wg_place_colony *place, double threshold_c) {
    return wg_warm_share(species, threshold_c, place->in_air.hours.warmest_c) <= 0;
}

static void mate_females(struct wg_colony *colony, struct wg_place_colony *place) {
    const struct wg_species *const species = &colony->world->plan->species;
    if (place->virgin.n == 0 || is_too_cool(species, place, species->mate_air_c))
        return;
    const double warm_c = species->mate_air_c, light_w_m2 = species->mate_light_w_m2;
    const double lit_warm_hours = warm_hours(species, place, colony->from, colony->to, warm_c, light_w_m2);
    const double so_far = warm_hours(species, place, 0, colony->from, warm_c, light_w_m2);
    const double chance = wg_mating_chance_between(species, so_far, so_far + lit_warm_hours);
    if (chance <= 0)
        return;
    if ((double)wg_pool_count(&place->male) < species->males_needed)
        return;
    const double dx = place->adult_now.dx, able_x = wg_mating_x(species);
    for (int i = 0; i < place->virgin.n; i++) {
        struct wg_cohort *const c = &place->virgin.cohort[i];
        const int64_t mated = wg_binomial(colony->chance, c->count, chance * share_past_threshold(c->x, dx, able_x));
        if (mated == 0)
            continue;
        struct wg_cohort joined = *c;
        joined.count = mated;
        joined.mark = c->x - dx / 2; /* on average in the middle of the step */
        wg_pool_join(&place->mated, &joined);
        c->count -= mated;
    }
    wg_pool_compact(&place->virgin);
}

/* The lineage of the eggs of a mother. */
static int offspring_lineage(const struct wg_colony *colony, int lineage) {
    return wg_lineage((wg_lineage_generation(lineage) + 1) % colony->world->n_generations, 0);
}

/* Mean air temperature over clutch_warm_days: the last 24 hours and the whole days before. */
static double recent_air_c(const struct wg_species *species, double mean24_c, const double days_c[7]) {
    const int days = (int)fmin(7, fmax(1, species->clutch_warm_days));
    double sum = mean24_c;
    for (int k = 1; k < days; k++)
        sum += days_c[k - 1];
    return sum / days;
}

static int64_t clutches(struct wg_colony *colony, int64_t mothers, double factor) {
    const struct wg_species *const species = &colony->world->plan->species;
    if ((double)mothers * species->clutch_high * 2 > (double)WG_MAX_INDIVIDUALS) {
        colony->overgrown = 1;
        return 0;
    }
    return wg_clutch_sum(species, mothers, factor, colony->chance);
}

/*
 * Distributes whole clutches: a share of mothers lay into traps, the others into crevices of the place's bins by their
 * attraction. Returns the eggs.
 */
static int64_t distribute_clutches(struct wg_colony *colony, int p, int lineage, int64_t mothers, double factor) {
    struct wg_place_colony *const place = &colony->place[p];
    int n_bins;
    const int first = wg_place_bins(colony->world->plan, p, &n_bins);
    const int64_t at_traps = wg_binomial(colony->chance, mothers, n_bins > 0 ? place->trap_share : 1);
    const int64_t trapped = clutches(colony, at_traps, factor);
    int64_t at_bin[WG_MAX_BINS], eggs = trapped;
    wg_flow_add(&place->trapped, lineage, trapped, 0);
    colony->diary->eggs_trapped[colony->day] += trapped;
    wg_distribute_over_bins(colony, p, mothers - at_traps, at_bin);
    for (int b = 0; b < n_bins; b++) {
        const int64_t laid = clutches(colony, at_bin[b], factor);
        wg_flow_add(&colony->bin[first + b].laid, lineage, laid, 0);
        eggs += laid;
    }
    return eggs;
}

/*
 * True on days on which sunlight through the cover is too short for mating and lamps replace it; on other days lamps
 * only lengthen the day (judgement: a lamp in a sunny greenhouse does not reduce laying).
 */
static bool is_lit_by_lamps(const struct wg_colony *colony, int p) {
    const struct wg_species *const species = &colony->world->plan->species;
    const struct wg_shelter_spec *const shelter = &colony->world->plan->places[p].shelter;
    if (shelter->kind == WG_LABORATORY)
        return true;
    if (wg_lamp_hours(shelter, &colony->place[p].settings, colony->sky.day) <= 0)
        return false;
    int sunny_hours = 0;
    for (int h = 0; h < 24; h++)
        sunny_hours += shelter->light_through * colony->sky.sun_w_m2[h] >= species->mate_light_w_m2;
    return sunny_hours < species->mate_hours_min;
}

static void lay_eggs(struct wg_colony *colony, int p) {
    const struct wg_plan *const plan = colony->world->plan;
    const struct wg_species *const species = &plan->species;
    struct wg_place_colony *const place = &colony->place[p];
    if (place->mated.n == 0 || is_too_cool(species, place, species->lay_air_c))
        return;
    int n_bins;
    wg_place_bins(plan, p, &n_bins);
    const double warm_now = warm_hours(species, place, colony->from, colony->to, species->lay_air_c, 0);
    const double so_far = warm_hours(species, place, 0, colony->from, species->lay_air_c, 0);
    if (so_far + warm_now < species->lay_hours_min || warm_now <= 0 || (n_bins == 0 && place->trap_share <= 0))
        return;
    const double mean24_c = wg_mean24(place->hours.air_c, place->air_yesterday_c, colony->to);
    const double warmth = wg_clutch_warmth(recent_air_c(species, mean24_c, place->air_days_c));
    const double able = is_lit_by_lamps(colony, p) ? species->laying_share_lamps : species->laying_share_sun;
    const double dx = place->adult_now.dx, wait_x = wg_laying_x(species);
    for (int i = 0; i < place->mated.n; i++) {
        struct wg_cohort *const c = &place->mated.cohort[i];
        const int64_t due = wg_binomial(colony->chance, c->count, share_past_threshold(c->x - c->mark, dx, wait_x));
        if (due == 0)
            continue;
        const int64_t mothers = wg_binomial(colony->chance, due, able);
        const double factor = warmth * wg_clutch_size_factor(species, c->mass_g);
        const int64_t eggs = distribute_clutches(colony, p, offspring_lineage(colony, c->lineage), mothers, factor);
        struct wg_cohort joined = *c;
        joined.count = due;
        joined.mark = 0;
        wg_pool_join(&place->spent, &joined);
        c->count -= due;
        colony->ledger.laid += eggs;
        colony->diary->eggs_laid[colony->day] += eggs;
    }
    wg_pool_compact(&place->mated);
}

/* Eggs of wild gravid females that smell the bins, once a day at its end; their conditions are those outdoors. */
static void add_wild_eggs(struct wg_colony *colony, int p) {
    const struct wg_plan *const plan = colony->world->plan;
    const struct wg_species *const species = &plan->species;
    if (colony->to != 24 || plan->wild_peak_per_day <= 0 || !wg_place_is_open(plan, p))
        return;
    if (!wg_place_attracts(colony, p) || colony->sky.mean_c < species->wild_air_c ||
        colony->sky.day_length_h < species->wild_day_h)
        return;
    const int64_t mothers = wg_poisson(colony->chance, plan->wild_peak_per_day);
    const double warmth = wg_clutch_warmth(recent_air_c(species, colony->sky.mean_c, colony->sky_days_c));
    const int64_t eggs = distribute_clutches(colony, p, offspring_lineage(colony, wg_lineage(0, 0)), mothers, warmth);
    colony->ledger.wild += eggs;
    colony->diary->wild_eggs[colony->day] += eggs;
}

/* Splits newly emerged flies into those that leave, females and males. */
static void emerge_adults(struct wg_colony *colony, int p) {
    const struct wg_plan *const plan = colony->world->plan;
    const struct wg_species *const species = &plan->species;
    struct wg_place_colony *const place = &colony->place[p];
    const double stay = plan->places[p].shelter.kind == WG_LABORATORY ? 1
                        : plan->places[p].shelter.kind == WG_OUTDOORS ? species->stay_open
                                                                      : species->stay_closed;
    struct wg_flow females, males;
    females.n_lineages = males.n_lineages = 0;
    for (int lineage = 0; lineage < place->emerged.n_lineages; lineage++) {
        const int64_t all = place->emerged.count[lineage];
        if (all == 0)
            continue;
        place->spring_day = -1;
        const double mass_g = wg_flow_take(&place->emerged, lineage, all);
        const int64_t here = wg_binomial(colony->chance, all, stay);
        const int64_t female = wg_binomial(colony->chance, here, species->female_share);
        colony->ledger.flown += all - here;
        colony->diary->flown[colony->day] += all - here;
        const size_t at = (size_t)colony->day * (size_t)plan->n_places + (size_t)p;
        colony->diary->adults_emerged[at] += here;
        if (wg_lineage_overwintered(lineage))
            colony->diary->spring_flies[at] += here;
        wg_flow_add(&females, lineage, female, mass_g);
        wg_flow_add(&males, lineage, here - female, mass_g);
    }
    place->emerged.n_lineages = 0;
    const struct wg_clock *const clock = &colony->world->clocks.stage[WG_CLOCK_ADULT];
    wg_flow_enter(colony, &females, &place->virgin, WG_FEMALE, clock, &place->adult_now, 0);
    wg_flow_enter(colony, &males, &place->male, WG_MALE, clock, &place->adult_now, 0);
}

void wg_step_adults(struct wg_colony *colony) {
    const struct wg_plan *const plan = colony->world->plan;
    for (int p = 0; p < plan->n_places; p++) {
        age_adults(colony, &colony->place[p]);
        lay_eggs(colony, p);
        mate_females(colony, &colony->place[p]);
        add_wild_eggs(colony, p);
        emerge_adults(colony, p);
    }
}
