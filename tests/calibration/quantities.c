/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The quantities of findings.tsv from an animal's numbers.
 *
 *     days in a stage       1 / r(T)                                    r: the model's rates
 *     alive through it      (1 + h c^2 / r)^(-1/c^2)                    h: its hazards; gamma clock of spread c
 *     growth                root s of eggs x E[exp(-s age); alive] = 1  Lotka 1907, Science 26:21
 *     a batch               day by day, one average larva
 *
 * The rates, hazards, masses and breeding are the model's own functions. The life table of the model is not used,
 * because the sampler needs an answer in microseconds; tests/calibration/test_quantities.c compares the two, and the
 * batch and the survivals with the engine.
 */
#include "calibration/quantities.h"

#include "base/elementary.h"
#include "plan/feed.h"
#include "species/breeding.h"
#include "species/clock.h"
#include "species/death.h"
#include "species/dormancy.h"
#include "species/growth.h"
#include "species/reference.h"
#include "species/survival_curve.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

/* ---- stages ---- */

static double days_in(const struct wg_species *s, enum wg_clock_stage stage, double temp_c) {
    return fmin(wg_stage_days(s, stage, temp_c), 1e6);
}

/* Hazard per day of all causes but hunger; of a larva without the cold, which changes as it grows. */
static double hazard_at(const struct wg_species *s, enum wg_clock_stage stage, double temp_c) {
    double h =
        wg_hazard_background(s, stage, temp_c) + wg_hazard_heat_acute(s, temp_c) + wg_hazard_freezing(s, stage, temp_c);
    if (stage != WG_CLOCK_ADULT)
        h += wg_hazard_heat_chronic(s, temp_c);
    return stage == WG_CLOCK_LARVA ? h : h + wg_hazard_cold(s, wg_cold_curve_of(stage), temp_c);
}

/* E[exp(-(h + rate) time)] of a stage at a temperature. */
static double through_stage(const struct wg_species *s, enum wg_clock_stage stage, double temp_c, double rate) {
    const double c2 = s->spread[stage] * s->spread[stage];
    return wg_pow(1.0 + (rate + hazard_at(s, stage, temp_c)) * c2 * days_in(s, stage, temp_c), -1.0 / c2);
}

static double egg_hours_25(const struct wg_species *s) {
    return 24.0 * days_in(s, WG_CLOCK_EGG, 25.0);
}

static double larva_days_27(const struct wg_species *s) {
    return days_in(s, WG_CLOCK_LARVA, 27.0);
}

static double prepupa_days_28(const struct wg_species *s) {
    return days_in(s, WG_CLOCK_PREPUPA, 28.0);
}

static double pupa_days_28(const struct wg_species *s) {
    return days_in(s, WG_CLOCK_PUPA, 28.0);
}

static double larva_19_27(const struct wg_species *s) {
    return days_in(s, WG_CLOCK_LARVA, 19.0) / days_in(s, WG_CLOCK_LARVA, 27.0);
}

static double larva_20_30(const struct wg_species *s) {
    return days_in(s, WG_CLOCK_LARVA, 20.0) / days_in(s, WG_CLOCK_LARVA, 30.0);
}

/* Of the quickest stage. */
static double pace_18_27(const struct wg_species *s) {
    double most = 0.0;
    for (int c = 0; c < WG_CLOCK_ADULT; c++)
        most = fmax(most, days_in(s, (enum wg_clock_stage)c, 27.0) / days_in(s, (enum wg_clock_stage)c, 18.3333));
    return most;
}

static double egg_adult_days_27(const struct wg_species *s) {
    double days = 0.0;
    for (int c = 0; c < WG_CLOCK_ADULT; c++)
        days += days_in(s, (enum wg_clock_stage)c, 27.0);
    return days;
}

/* Larvae of five days, which are larvae still. */
static double young_adult_days(const struct wg_species *s, double temp_c) {
    const double x = wg_larva_x_at_age(s, 5.0);
    return (1.0 - x) * days_in(s, WG_CLOCK_LARVA, temp_c) + days_in(s, WG_CLOCK_PREPUPA, temp_c) +
           days_in(s, WG_CLOCK_PUPA, temp_c);
}

static double young_adult_days_27(const struct wg_species *s) {
    return young_adult_days(s, 27.0);
}

static double young_adult_27_30(const struct wg_species *s) {
    return young_adult_days(s, 27.0) / young_adult_days(s, 30.0);
}

static double dark_prepupa(const struct wg_species *s) {
    return s->dark_prepupa_factor;
}

/* ---- survival ---- */

static double larva_alive_28(const struct wg_species *s) {
    return through_stage(s, WG_CLOCK_LARVA, 28.0, 0.0);
}

static double prepupa_alive_28(const struct wg_species *s) {
    return through_stage(s, WG_CLOCK_PREPUPA, 28.0, 0.0);
}

static double pupa_alive_28(const struct wg_species *s) {
    return through_stage(s, WG_CLOCK_PUPA, 28.0, 0.0);
}

static double hatch_27(const struct wg_species *s) {
    return through_stage(s, WG_CLOCK_EGG, 27.0, 0.0);
}

static double young_adult_alive(const struct wg_species *s, double temp_c) {
    const double behind = wg_larva_x_at_age(s, 5.0) * days_in(s, WG_CLOCK_LARVA, temp_c);
    return wg_exp(hazard_at(s, WG_CLOCK_LARVA, temp_c) * behind) * through_stage(s, WG_CLOCK_LARVA, temp_c, 0.0) *
           through_stage(s, WG_CLOCK_PREPUPA, temp_c, 0.0) * through_stage(s, WG_CLOCK_PUPA, temp_c, 0.0);
}

static double young_adult_alive_27_30(const struct wg_species *s) {
    return 0.5 * (young_adult_alive(s, 27.0) + young_adult_alive(s, 30.0));
}

static double young_adult_alive_36(const struct wg_species *s) {
    return young_adult_alive(s, 36.0);
}

static double alive_after(const struct wg_species *s, enum wg_clock_stage stage, double temp_c, double days) {
    return wg_exp(-days * hazard_at(s, stage, temp_c));
}

/* Larvae at development x, which hardly develop there. */
static double larva_alive_after(const struct wg_species *s, double x, double temp_c, double days) {
    const double cold = wg_hazard_cold_larva(s, x, wg_hazard_cold(s, WG_COLD_YOUNG_LARVA, temp_c),
                                             wg_hazard_cold(s, WG_COLD_OLD_LARVA, temp_c));
    return wg_exp(-days * (hazard_at(s, WG_CLOCK_LARVA, temp_c) + cold));
}

static double egg_alive_4(const struct wg_species *s) {
    return alive_after(s, WG_CLOCK_EGG, 4.0, 3.0);
}

/* Instars by development: the first five share the first half (Gligorescu et al. 2019, J. Appl. Entomol., pp. 875-881). */
static double second_instar_alive_4(const struct wg_species *s) {
    return larva_alive_after(s, 0.15, 4.0, 3.0);
}

static double third_instar_alive_4(const struct wg_species *s) {
    return larva_alive_after(s, 0.25, 4.0, 3.0);
}

static double fifth_instar_alive_4(const struct wg_species *s) {
    return larva_alive_after(s, 0.45, 4.0, 3.0);
}

static double pupa_alive_4(const struct wg_species *s) {
    return alive_after(s, WG_CLOCK_PUPA, 4.0, 3.0);
}

static double prepupa_alive_5(const struct wg_species *s) {
    return alive_after(s, WG_CLOCK_PREPUPA, 5.0, 23.0);
}

/* Beside what the same eggs lose without the cold. */
static double egg_alive_10(const struct wg_species *s) {
    return wg_exp(-wg_hazard_cold(s, WG_COLD_EGG, 10.0));
}

static double prepupa_alive_minus_12(const struct wg_species *s) {
    return alive_after(s, WG_CLOCK_PREPUPA, -12.0, 1.0 / 24.0);
}

static double pupa_alive_minus_12(const struct wg_species *s) {
    return alive_after(s, WG_CLOCK_PUPA, -12.0, 1.0 / 24.0);
}

static double larva_alive_minus_12(const struct wg_species *s) {
    return larva_alive_after(s, 1.0, -12.0, 1.0 / 24.0);
}

static double egg_alive_minus_12(const struct wg_species *s) {
    return alive_after(s, WG_CLOCK_EGG, -12.0, 1.0 / 24.0);
}

static double starved_alive_120(const struct wg_species *s) {
    return wg_exp(-120.0 * wg_hazard_hunger(s, 0.0));
}

/* ---- mass and feed ---- */

static double final_mass(const struct wg_species *s) {
    return s->final_mass_g;
}

static double mass_27_25(const struct wg_species *s) {
    return wg_final_mass_g(s, 27.6, 1.0) / wg_final_mass_g(s, 24.9, 1.0);
}

static double gas_share(const struct wg_species *s) {
    return s->gas_share;
}

struct batch {
    double gone, gained; /* shares of the dry matter given */
};

/*
 * The handbook's dose: 10,000 larvae of five days get 5 kg of kitchen scraps every third day, three times, and are
 * taken out after 12 days at 28 degC. Per larva; one of average need stands for all.
 */
static struct batch handbook(const struct wg_species *s) {
    const struct wg_feed_type *const feed = &wg_feed_types()[wg_feed_find("kitchen scraps")];
    const double gift_g = 0.5 * (1.0 - feed->moisture), temp_c = 28.0;
    const double full_g = wg_final_mass_g(s, temp_c, feed->quality), convert = s->conversion * feed->conversion;
    const double rots = -wg_expm1(-wg_microbe_rate(s, temp_c));
    double x = wg_larva_x_at_age(s, 5.0), mass_g = full_g * wg_growth_share(s, x);
    double usable = 0.0, frass = 0.0, useless = 0.0;
    for (int day = 0; day < 12; day++) {
        if (day % 3 == 0 && day < 9) {
            usable += gift_g * feed->usable;
            useless += gift_g * (1.0 - feed->usable);
        }
        const double dx = wg_rate_per_day(&s->rate[WG_CLOCK_LARVA], temp_c);
        const double gain_g = full_g * (wg_growth_share(s, x + dx) - wg_growth_share(s, x));
        const double demand = gain_g * s->larva_dry / convert, eaten = fmin(demand, usable);
        const double ration = demand > 0.0 ? eaten / demand : 1.0;
        mass_g += ration * gain_g;
        x += dx * wg_development_share(s, ration);
        usable = (usable - eaten) * (1.0 - rots);
        frass = frass * (1.0 - rots) + eaten * fmax(0.0, 1.0 - s->gas_share - convert);
    }
    const double given = 3.0 * gift_g, alive = wg_exp(-12.0 * hazard_at(s, WG_CLOCK_LARVA, temp_c));
    return (struct batch){.gone = 1.0 - (usable + frass + useless) / given,
                          .gained = alive * mass_g * s->larva_dry / given};
}

static double batch_gone(const struct wg_species *s) {
    return handbook(s).gone;
}

static double batch_gained(const struct wg_species *s) {
    return handbook(s).gained;
}

/* ---- flies ---- */

/* Mean life: of a gamma clock and a hazard. */
static double fly_days_27(const struct wg_species *s) {
    const double c2 = s->spread[WG_CLOCK_ADULT] * s->spread[WG_CLOCK_ADULT], days = days_in(s, WG_CLOCK_ADULT, 27.0);
    const double h = hazard_at(s, WG_CLOCK_ADULT, 27.0);
    return h > 1e-9 ? (1.0 - wg_pow(1.0 + h * c2 * days, -1.0 / c2)) / h : days;
}

static const double light_h = 12.0; /* lamps in a laboratory */

/* A life at one temperature: what does not depend on the rate at which eggs are discounted. */
struct life {
    double hazard[WG_N_CLOCKS], days[WG_N_CLOCKS], c2[WG_N_CLOCKS];
    double chance; /* to mate on a day once able */
    double laying_days;
    double log_eggs; /* of a fly that emerged, less the deaths but with those of old age */
};

static void set_breeding(struct life *life, const struct wg_species *s, double temp_c) {
    const double rate = wg_rate_per_day(&s->rate[WG_CLOCK_ADULT], temp_c);
    const double warm_h = 24.0 * wg_warm_share(s, s->lay_air_c, temp_c);
    if (!(rate > 0.0 && warm_h > 0.0 && warm_h >= s->lay_hours_min))
        return;
    life->chance = wg_mating_chance(s, light_h * wg_warm_share(s, s->mate_air_c, temp_c));
    life->laying_days = fmax(1.0, wg_mating_x(s) / rate) + fmax(1.0, wg_laying_x(s) / rate);
}

static double waiting_days(const struct life *life) {
    return (1.0 - life->chance) / life->chance;
}

static double clutch_at(const struct wg_species *s, double temp_c) {
    const double factor = wg_clutch_size_factor(s, wg_final_mass_g(s, temp_c, 1.0)) * wg_clutch_warmth(temp_c);
    return 0.5 * factor * (s->clutch_low + s->clutch_high);
}

/* Old age is that of the mean day of laying. */
static struct life life_at(const struct wg_species *s, double temp_c) {
    struct life life = {0};
    set_breeding(&life, s, temp_c);
    if (!(life.chance > 0.0))
        return life;
    for (int c = 0; c < WG_N_CLOCKS; c++) {
        life.hazard[c] = hazard_at(s, (enum wg_clock_stage)c, temp_c);
        life.days[c] = days_in(s, (enum wg_clock_stage)c, temp_c);
        life.c2[c] = s->spread[c] * s->spread[c];
    }
    const double age = (life.laying_days + waiting_days(&life) + 0.5) / life.days[WG_CLOCK_ADULT];
    life.log_eggs = wg_log(s->female_share * s->laying_share_lamps * clutch_at(s, temp_c)) +
                    wg_gamma_point(1.0 / life.c2[WG_CLOCK_ADULT], age).log_s;
    return life;
}

/* Logarithm of the eggs per egg, discounted at `rate`; the wait for a mate is geometric. Infinite where it diverges. */
static double log_eggs_per_egg(const struct life *life, double rate) {
    const double fly = rate + life->hazard[WG_CLOCK_ADULT], wait = 1.0 - (1.0 - life->chance) * wg_exp(-fly);
    if (!(wait > 0.0))
        return HUGE_VAL;
    double sum =
        life->log_eggs - fly * life->laying_days - 0.5 * life->hazard[WG_CLOCK_ADULT] + wg_log(life->chance / wait);
    for (int c = 0; c < WG_CLOCK_ADULT; c++) {
        const double base = 1.0 + (rate + life->hazard[c]) * life->c2[c] * life->days[c];
        if (!(base > 0.0))
            return HUGE_VAL;
        sum -= wg_log(base) / life->c2[c];
    }
    return sum;
}

/* Of colonies that fall faster or lay no egg: the findings say nothing between. */
static const double fastest_fall = -0.2;

/* Secants: the logarithm falls with the rate and is nearly straight. */
static double growth_at(const struct wg_species *s, double temp_c) {
    const struct life life = life_at(s, temp_c);
    if (!(life.chance > 0.0))
        return fastest_fall;
    double near = 0.0, log_near = log_eggs_per_egg(&life, near), far = log_near > 0.0 ? 0.05 : -0.02;
    for (int i = 0; i < 20; i++) {
        const double log_far = log_eggs_per_egg(&life, far), slope = (log_far - log_near) / (far - near);
        if (!(slope < 0.0))
            return fastest_fall;
        near = far;
        log_near = log_far;
        far -= log_far / slope;
        if (!(far >= fastest_fall))
            return fastest_fall;
        if (fabs(far - near) < 1e-7)
            break;
    }
    return far;
}

static double growth_30(const struct wg_species *s) {
    return growth_at(s, 30.0);
}

static double growth_24(const struct wg_species *s) {
    return growth_at(s, 24.0);
}

static double growth_25_30(const struct wg_species *s) {
    return growth_at(s, 25.0) - growth_at(s, 30.0);
}

static double growth_35_30(const struct wg_species *s) {
    return growth_at(s, 35.0) - growth_at(s, 30.0);
}

static double eggs_per_egg_27(const struct wg_species *s) {
    const struct life life = life_at(s, 27.0);
    return life.chance > 0.0 ? wg_exp(log_eggs_per_egg(&life, 0.0)) : 0.0;
}

static double first_eggs_days_27(const struct wg_species *s) {
    struct life life = {0};
    set_breeding(&life, s, 27.0);
    return life.chance > 0.0 ? life.laying_days + waiting_days(&life) : 1e6;
}

static double mates_lamps(const struct wg_species *s) {
    struct life life = {0};
    set_breeding(&life, s, 26.5);
    return life.chance;
}

static double resting_20(const struct wg_species *s) {
    struct wg_species by_cold = *s;
    by_cold.dorm_by_day = 0.0;
    return wg_dormancy_chance(&by_cold, light_h, 20.0);
}

static double clutch_28(const struct wg_species *s) {
    return clutch_at(s, 28.0);
}

static double eggs_lamps_27(const struct wg_species *s) {
    return s->laying_share_lamps * clutch_at(s, 27.0);
}

/* ---- by name, the quick ones first: the sampler gives up a state as soon as it is too unlikely ---- */

static const struct {
    const char *key;
    double (*of)(const struct wg_species *);
} quantity[] = {
    {"resting_20", resting_20},
    {"final_mass", final_mass},
    {"gas_share", gas_share},
    {"dark_prepupa", dark_prepupa},
    {"mass_27_25", mass_27_25},
    {"starved_alive_120", starved_alive_120},
    {"egg_hours_25", egg_hours_25},
    {"larva_days_27", larva_days_27},
    {"prepupa_days_28", prepupa_days_28},
    {"pupa_days_28", pupa_days_28},
    {"larva_19_27", larva_19_27},
    {"larva_20_30", larva_20_30},
    {"pace_18_27", pace_18_27},
    {"egg_adult_days_27", egg_adult_days_27},
    {"young_adult_days_27", young_adult_days_27},
    {"young_adult_27_30", young_adult_27_30},
    {"egg_alive_4", egg_alive_4},
    {"second_instar_alive_4", second_instar_alive_4},
    {"third_instar_alive_4", third_instar_alive_4},
    {"fifth_instar_alive_4", fifth_instar_alive_4},
    {"pupa_alive_4", pupa_alive_4},
    {"prepupa_alive_5", prepupa_alive_5},
    {"egg_alive_10", egg_alive_10},
    {"prepupa_alive_minus_12", prepupa_alive_minus_12},
    {"pupa_alive_minus_12", pupa_alive_minus_12},
    {"larva_alive_minus_12", larva_alive_minus_12},
    {"egg_alive_minus_12", egg_alive_minus_12},
    {"clutch_28", clutch_28},
    {"eggs_lamps_27", eggs_lamps_27},
    {"first_eggs_days_27", first_eggs_days_27},
    {"mates_lamps", mates_lamps},
    {"larva_alive_28", larva_alive_28},
    {"prepupa_alive_28", prepupa_alive_28},
    {"pupa_alive_28", pupa_alive_28},
    {"hatch_27", hatch_27},
    {"fly_days_27", fly_days_27},
    {"young_adult_alive_27_30", young_adult_alive_27_30},
    {"young_adult_alive_36", young_adult_alive_36},
    {"batch_gone", batch_gone},
    {"batch_gained", batch_gained},
    {"eggs_per_egg_27", eggs_per_egg_27},
    {"growth_30", growth_30},
    {"growth_24", growth_24},
    {"growth_25_30", growth_25_30},
    {"growth_35_30", growth_35_30},
};

enum { N_QUANTITIES = sizeof quantity / sizeof *quantity };

int quantity_find(const char *key) {
    for (int i = 0; i < N_QUANTITIES; i++)
        if (strcmp(quantity[i].key, key) == 0)
            return i;
    return -1;
}

const char *quantity_key(int i) {
    return i < N_QUANTITIES ? quantity[i].key : NULL;
}

double quantity_of(const struct wg_species *species, int i) {
    return quantity[i].of(species);
}
