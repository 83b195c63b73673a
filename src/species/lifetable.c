/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * How fast would a colony grow at a constant temperature with unlimited feed?
 *
 * The Laplace transforms E[exp(-s time); alive] of the stages multiply; the growth
 * rate is the s at which discounted eggs per egg equal 1 (Lotka 1907, Science 26:21).
 * The header gives the closed forms.
 */
#include "species/lifetable.h"

#include "base/clamp.h"
#include "base/elementary.h"
#include "species/breeding.h"
#include "species/clock.h"
#include "species/death.h"
#include "species/growth.h"
#include "species/survival_curve.h"

#include <gsl/gsl_math.h>
#include <math.h>

/* One stage at the temperature of the table. */
struct stage {
    double rate, spread;
    double hazard;     /* constant part, per day */
    double young, old; /* larvae: hazards of the two cold curves, per day */
    const struct wg_species *species;
};

static struct stage stage_at(const struct wg_species *species, enum wg_clock_stage which, double temp_c) {
    struct stage s = {
        .rate = wg_rate_per_day(&species->rate[which], temp_c), .spread = species->spread[which], .species = species};
    s.hazard = wg_hazard_background(species, which, temp_c) + wg_hazard_heat_acute(species, temp_c) +
               wg_hazard_freezing(species, which, temp_c);
    if (which != WG_CLOCK_ADULT) {
        s.hazard += wg_hazard_heat_chronic(species, temp_c);
    }
    if (which == WG_CLOCK_LARVA) {
        s.young = wg_hazard_cold(species, WG_COLD_YOUNG_LARVA, temp_c);
        s.old = wg_hazard_cold(species, WG_COLD_OLD_LARVA, temp_c);
    } else {
        s.hazard += wg_hazard_cold(species, wg_cold_curve_of(which), temp_c);
    }
    return s;
}

/* The larva's cold hazard falls with x: midpoint rule over small steps of development. */
static double cold_larva_transform(const struct stage *stage, double s) {
    const double dx = 1.0 / 512.0, dt = dx / stage->rate;
    const double k = 1.0 / (stage->spread * stage->spread);
    double sum = 0.0, exposure = 0.0, before = 1.0;
    for (double x = 0.0; before > 1e-15; x += dx) {
        const double cold = wg_hazard_cold_larva(stage->species, x + 0.5 * dx, stage->young, stage->old);
        const double increment = (stage->hazard + cold + s) * dt;
        const double after = wg_exp(wg_gamma_point(k, x + dx).log_s);
        sum += (before - after) * wg_exp(-exposure - 0.5 * increment);
        exposure += increment;
        before = after;
    }
    return sum;
}

/* E[exp(-s time); alive at the end]; HUGE_VAL for s so negative that it diverges */
static double transform(const struct stage *stage, double s) {
    if (!(stage->rate > 0.0)) {
        return 0.0;
    }
    if (stage->young > 0.0) {
        return cold_larva_transform(stage, s);
    }
    const double c2 = stage->spread * stage->spread;
    const double base = 1.0 + (s + stage->hazard) * c2 / stage->rate;
    return base > 0.0 ? wg_pow(base, -1.0 / c2) : HUGE_VAL;
}

/* ---- the fly ---- */

struct fly {
    struct stage life;
    double chance;    /* probability of mating on a day, once able */
    double able_days; /* from emergence to being able to mate */
    double ripe_days; /* from mating to ripe eggs */
};

static struct fly fly_at(const struct wg_species *species, const struct wg_lifetable_setting *setting) {
    const double temp_c = setting->temp_c;
    struct fly fly = {.life = stage_at(species, WG_CLOCK_ADULT, temp_c)};
    const double rate = fly.life.rate;
    const double warm_h = 24.0 * wg_warm_share(species, species->lay_air_c, temp_c);
    if (rate > 0.0 && warm_h > 0.0 && warm_h >= species->lay_hours_min) {
        fly.chance = wg_mating_chance(species, setting->light_h * wg_warm_share(species, species->mate_air_c, temp_c));
        fly.able_days = wg_mating_x(species) / rate;
        fly.ripe_days = wg_laying_x(species) / rate;
    }
    return fly;
}

/* Sums over the days of mating and laying. */
struct fly_sum {
    double lays;                   /* E[exp(-s laying day); survives to lay] */
    double mating_day, laying_day; /* sums of the day, with the same weights */
};

/*
 * Share of flies for which a wait of `need` days, begun at a uniform hour of day 0, has ended by the end of day `day`.
 */
static double share_past_age(double day, double need) {
    return wg_clamp(day + 1.0 - need, 0.0, 1.0);
}

/* The first day on which a wait can end: never the day it began. */
static double first_day(double need) {
    return fmax(1.0, floor(need));
}

static double fly_survival_on(const struct fly *fly, double day) {
    const double k = 1.0 / (fly->life.spread * fly->life.spread);
    const double age = day + 0.5; /* from the middle of the day of emergence to the end of `day` */
    return wg_exp(wg_gamma_point(k, age * fly->life.rate).log_s - age * fly->life.hazard);
}

static void add_laying(struct fly_sum *sum, const struct fly *fly, double mating_day, double mated, double s) {
    double waiting = mated;
    for (double wait = first_day(fly->ripe_days); waiting > 0.0; wait += 1.0) {
        const double due = waiting * share_past_age(wait, fly->ripe_days);
        const double day = mating_day + wait;
        const double weight = due * fly_survival_on(fly, day) * wg_exp(-s * day);
        sum->lays += weight;
        sum->mating_day += weight * mating_day;
        sum->laying_day += weight * day;
        waiting -= due;
    }
}

static struct fly_sum fly_transform(const struct fly *fly, double s) {
    struct fly_sum sum = {0};
    double virgin = fly->chance > 0.0 ? 1.0 : 0.0;
    for (double day = first_day(fly->able_days); virgin > 1e-12 && fly_survival_on(fly, day) > 1e-12; day += 1.0) {
        const double mated = virgin * fly->chance * share_past_age(day, fly->able_days);
        add_laying(&sum, fly, day, mated, s);
        virgin -= mated;
    }
    return sum;
}

/* ---- the colony ---- */

struct life_history {
    struct stage stage[WG_CLOCK_ADULT]; /* egg, larva, prepupa, pupa */
    struct fly fly;
    double eggs; /* expected per emerged fly, given that females survive to lay */
};

/* Eggs per egg, discounted at s. */
static double discounted(const struct life_history *life, double s) {
    double product = life->eggs * fly_transform(&life->fly, s).lays;
    for (int i = 0; i < WG_CLOCK_ADULT && product > 0.0; i++) {
        product *= transform(&life->stage[i], s);
    }
    return product;
}

static double growth_root(const struct life_history *life) {
    const double at_zero = discounted(life, 0.0);
    if (!(at_zero > 0.0)) {
        return -HUGE_VAL;
    }
    double near = 0.0, far = at_zero > 1.0 ? 0.01 : -0.01;
    while ((discounted(life, far) > 1.0) == (at_zero > 1.0)) {
        near = far;
        far *= 2.0;
    }
    for (int i = 0; i < 60; i++) {
        const double middle = 0.5 * (near + far);
        if ((discounted(life, middle) > 1.0) == (at_zero > 1.0)) {
            near = middle;
        } else {
            far = middle;
        }
    }
    return 0.5 * (near + far);
}

static void fill_stage_rows(struct wg_lifetable *table, const struct life_history *life) {
    for (int i = 0; i < WG_CLOCK_ADULT; i++) {
        const double rate = life->stage[i].rate;
        table->days[i] = rate > 0.0 ? 1.0 / rate : HUGE_VAL;
        table->survival[i] = transform(&life->stage[i], 0.0);
        table->egg_to_egg_days += table->days[i];
    }
    const double rate = life->fly.life.rate;
    const struct fly_sum fly = fly_transform(&life->fly, 0.0);
    table->days[WG_CLOCK_ADULT] = rate > 0.0 ? 1.0 / rate : HUGE_VAL;
    table->survival[WG_CLOCK_ADULT] = fly.lays;
    table->mating_days = fly.lays > 0.0 ? fly.mating_day / fly.lays : HUGE_VAL;
    table->laying_days = fly.lays > 0.0 ? fly.laying_day / fly.lays : HUGE_VAL;
    table->egg_to_egg_days += table->laying_days;
}

void wg_lifetable_make(struct wg_lifetable *table, const struct wg_species *species,
                       const struct wg_lifetable_setting *setting) {
    const double mass_g = wg_final_mass_g(species, setting->temp_c, setting->quality);
    const double factor = wg_clutch_size_factor(species, mass_g) * wg_clutch_warmth(setting->temp_c);
    struct life_history life = {.fly = fly_at(species, setting)};
    for (int i = 0; i < WG_CLOCK_ADULT; i++) {
        life.stage[i] = stage_at(species, (enum wg_clock_stage)i, setting->temp_c);
    }
    *table = (struct wg_lifetable){.clutch = wg_clutch_mean(species, factor)};
    life.eggs = species->female_share * setting->laying_share * table->clutch;
    fill_stage_rows(table, &life);
    table->generations_per_year = 365.0 / table->egg_to_egg_days;
    table->daughters_and_sons = discounted(&life, 0.0);
    table->growth_per_day = growth_root(&life);
    table->doubling_days = table->growth_per_day > 0.0 ? M_LN2 / table->growth_per_day : HUGE_VAL;
}

double wg_trap_interval_days(const struct wg_species *species, double temp_c, double share) {
    const double rate = wg_rate_per_day(&species->rate[WG_CLOCK_EGG], temp_c);
    if (!(rate > 0.0)) {
        return HUGE_VAL;
    }
    const double spread = species->spread[WG_CLOCK_EGG];
    const double k = 1.0 / (spread * spread);
    /* The mean over ages is convex in the development needed, so at 1/(1 - share) it exceeds the share (Jensen). */
    double low = 0.0, high = 1.0 / (1.0 - share);
    for (int i = 0; i < 60; i++) {
        const double middle = 0.5 * (low + high);
        if (wg_gamma_mean_done(k, middle) <= share) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low / rate;
}
