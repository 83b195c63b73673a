/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Computes what a log can tell of an animal from its numbers.
 */
#include "inference/learnt.h"

#include "base/elementary.h"
#include "species/breeding.h"
#include "species/clock.h"
#include "species/death.h"

#define TEMP_C 27.0 /* a definition: the temperature to which most findings refer */

static const struct {
    const char *name, *unit;
} things[WG_N_LEARNT] = {
    [WG_LEARNT_LARVAL_DAYS] = {"days from hatching to crawl-off", "day"},
    [WG_LEARNT_GRUB_MASS] = {"weight of a full-grown grub", "g"},
    [WG_LEARNT_DEATHS] = {"share that dies from egg to fly", "1"},
    [WG_LEARNT_EGGS_PER_FLY] = {"eggs per fly that emerges", "eggs"},
    [WG_LEARNT_DORMANCY_HEAT] = {"heat that ends winter sleep", "degC day"},
    [WG_LEARNT_COLD] = {"share of prepupae alive after 28 days at 2 degC", "1"},
};

const char *wg_learnt_name(enum wg_learnt learnt) {
    return things[learnt].name;
}

const char *wg_learnt_unit(enum wg_learnt learnt) {
    return things[learnt].unit;
}

static double share_dead(const struct wg_species *animal) {
    double hazard = 0;
    for (int stage = WG_CLOCK_EGG; stage <= WG_CLOCK_PUPA; stage++)
        hazard += animal->hazard[stage] * wg_stage_days(animal, (enum wg_clock_stage)stage, TEMP_C);
    return -wg_expm1(-hazard);
}

static double learnt_eggs_per_fly(const struct wg_plan *plan, const struct wg_species *animal) {
    const struct wg_shelter_spec *const shelter = &plan->places[0].shelter;
    const double stay = shelter->kind == WG_LABORATORY ? 1
                        : shelter->kind == WG_OUTDOORS ? animal->stay_open
                                                       : animal->stay_closed;
    const double lays = shelter->lamp_hours > 0 ? animal->laying_share_lamps : animal->laying_share_sun;
    return animal->female_share * stay * lays * wg_clutch_mean(animal, 1);
}

double wg_learnt_value(enum wg_learnt learnt, const struct wg_plan *plan, const struct wg_species *animal) {
    switch (learnt) {
    case WG_LEARNT_LARVAL_DAYS:
        return wg_stage_days(animal, WG_CLOCK_LARVA, TEMP_C);
    case WG_LEARNT_GRUB_MASS:
        return animal->final_mass_g;
    case WG_LEARNT_DEATHS:
        return share_dead(animal);
    case WG_LEARNT_EGGS_PER_FLY:
        return learnt_eggs_per_fly(plan, animal);
    case WG_LEARNT_COLD:
        return wg_exp(-28 * wg_hazard_in_the_cold(animal, WG_CLOCK_PREPUPA, 2));
    case WG_LEARNT_DORMANCY_HEAT:
    case WG_N_LEARNT:
        break;
    }
    return animal->dorm_heat_median;
}
