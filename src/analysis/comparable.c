/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks that setups have the same days: period, site, monthly tables and weather record must agree.
 */
#include "analysis/compare.h"

#include <stdio.h>
#include <string.h>

/* The two setups under comparison. */
struct compared_setups {
    const struct wg_setup *first, *other;
};

static int fail_different(const struct compared_setups *both, const char *what, const char *theirs, const char *firsts,
                          struct wg_error *err) {
    return wg_fail(err, WG_ERR_INPUT, both->other->name,
                   "It cannot be compared with %s, because the weather would differ: %s is %s here, and %s "
                   "there.",
                   both->first->name, what, theirs, firsts);
}

static int check_same_number(const struct compared_setups *both, const char *what, const char *unit, double other,
                             double first, struct wg_error *err) {
    char theirs[64], firsts[64];
    if (other == first)
        return 0;
    (void)snprintf(theirs, sizeof theirs, "%.12g%s", other, unit);
    (void)snprintf(firsts, sizeof firsts, "%.12g%s", first, unit);
    return fail_different(both, what, theirs, firsts, err);
}

static int check_period(const struct compared_setups *both, struct wg_error *err) {
    const struct wg_plan *const a = both->first->plan, *const b = both->other->plan;
    char from[24], to[24], theirs[64], firsts[64];
    if (a->first_day == b->first_day && a->last_day == b->last_day)
        return 0;
    wg_day_format_long(b->first_day, from);
    wg_day_format_long(b->last_day, to);
    (void)snprintf(theirs, sizeof theirs, "%s to %s", from, to);
    wg_day_format_long(a->first_day, from);
    wg_day_format_long(a->last_day, to);
    (void)snprintf(firsts, sizeof firsts, "%s to %s", from, to);
    return fail_different(both, "the period", theirs, firsts, err);
}

static int check_same_months(const struct compared_setups *both, const char *what, const double *other,
                             const double *first, struct wg_error *err) {
    static const char *const month[] = {"January", "February", "March",     "April",   "May",      "June",
                                        "July",    "August",   "September", "October", "November", "December"};
    int code = 0;
    for (int m = 0; m < 12 && code == 0; m++) {
        char where[80];
        (void)snprintf(where, sizeof where, "%s of %s", what, month[m]);
        code = check_same_number(both, where, " degC", other[m], first[m], err);
    }
    return code;
}

static int check_days(const struct compared_setups *both, const struct wg_weather_record *b,
                      const struct wg_weather_record *a, struct wg_error *err) {
    char date[24], from[24], what[80], theirs[64], firsts[64];
    if (a->first_day != b->first_day || a->n_days != b->n_days) {
        wg_day_format_long(b->first_day, from);
        (void)snprintf(theirs, sizeof theirs, "%d days from %s", b->n_days, from);
        wg_day_format_long(a->first_day, from);
        (void)snprintf(firsts, sizeof firsts, "%d days from %s", a->n_days, from);
        return fail_different(both, "the weather record", theirs, firsts, err);
    }
    for (int32_t d = 0; d < a->n_days; d++)
        if (a->low_c[d] != b->low_c[d] || a->high_c[d] != b->high_c[d]) {
            wg_day_format_long(a->first_day + d, date);
            (void)snprintf(what, sizeof what, "the weather recorded on %s", date);
            (void)snprintf(theirs, sizeof theirs, "%.6g to %.6g degC", b->low_c[d], b->high_c[d]);
            (void)snprintf(firsts, sizeof firsts, "%.6g to %.6g degC", a->low_c[d], a->high_c[d]);
            return fail_different(both, what, theirs, firsts, err);
        }
    return 0;
}

static const char *climate_kind_text(enum wg_climate_kind kind) {
    static const char *const name[] = {
        [WG_CLIMATE_CONSTANT] = "one constant temperature",
        [WG_CLIMATE_NORMALS] = "generated from monthly normals",
        [WG_CLIMATE_YEARS] = "recorded years",
        [WG_CLIMATE_FITTED] = "generated from a record",
    };
    return name[kind];
}

static int check_same_site(const struct compared_setups *both, const struct wg_climate_spec *b,
                           const struct wg_climate_spec *a, struct wg_error *err) {
    int code = check_same_number(both, "the latitude", " degrees", b->latitude_deg, a->latitude_deg, err);
    if (code == 0)
        code = check_same_number(both, "the elevation", " m", b->elevation_m, a->elevation_m, err);
    if (code == 0)
        code = check_same_number(both, "the sun's coefficient (0.19 on a coast, 0.16 inland)", "", b->sun_coefficient,
                                 a->sun_coefficient, err);
    return code;
}

static int check_climate(const struct compared_setups *both, struct wg_error *err) {
    const struct wg_climate_spec *const a = &both->first->plan->climate, *const b = &both->other->plan->climate;
    if (a->kind != b->kind)
        return fail_different(both, "the weather", climate_kind_text(b->kind), climate_kind_text(a->kind), err);
    if (a->kind == WG_CLIMATE_CONSTANT) /* reads nothing else */
        return check_same_number(both, "the constant temperature", " degC", b->constant_c, a->constant_c, err);
    int code = check_same_site(both, b, a, err);
    if (code == 0 && a->kind == WG_CLIMATE_NORMALS) {
        code = check_same_months(both, "the mean daily high", b->high_c, a->high_c, err);
        if (code == 0)
            code = check_same_months(both, "the mean daily low", b->low_c, a->low_c, err);
        if (code == 0)
            code = check_same_months(both, "the spread of the daily high", b->high_sd_c, a->high_sd_c, err);
        if (code == 0)
            code = check_same_months(both, "the spread of the daily low", b->low_sd_c, a->low_sd_c, err);
    } else if (code == 0) {
        code = check_days(both, b->record, a->record, err);
    }
    return code;
}

const char *wg_compare_currency(const struct wg_compare *compare) {
    for (int i = 0; i < compare->n; i++)
        if (compare->setup[i].plan->currency[0] != '\0')
            return compare->setup[i].plan->currency;
    return "";
}

bool wg_compare_keeps(const struct wg_compare *compare, enum wg_outcome_number outcome) {
    for (int i = 0; i < compare->n; i++)
        if (wg_outcome_is_kept(outcome, compare->setup[i].plan))
            return true;
    return false;
}

int wg_compare_compared_kept(const struct wg_compare *compare) {
    return wg_compare_keeps(compare, WG_OUTCOME_balance) ? WG_N_COMPARED : WG_COMPARED_balance;
}

/* Differences of money need one currency; a plan that names none has that of the others. */
static int check_currency(const struct wg_compare *compare, const struct wg_setup *setup, struct wg_error *err) {
    const char *const first = wg_compare_currency(compare), *const own = setup->plan->currency;
    if (own[0] == '\0' || strcmp(own, first) == 0)
        return 0;
    return wg_fail(
        err, WG_ERR_INPUT, setup->name,
        "Its prices are in %s, those of another setup in %s. Write the prices of all setups in one currency.", own,
        first);
}

int wg_compare_check(const struct wg_compare *compare, struct wg_error *err) {
    if (compare->n < WG_COMPARE_MIN || compare->n > WG_COMPARE_MAX)
        return wg_fail(err, WG_ERR_INPUT, NULL, "%d setup%s given; compare takes %d to %d.", compare->n,
                       compare->n == 1 ? " is" : "s are", WG_COMPARE_MIN, WG_COMPARE_MAX);
    int code = 0;
    for (int i = 1; i < compare->n && code == 0; i++) {
        const struct compared_setups both = {&compare->setup[0], &compare->setup[i]};
        code = check_period(&both, err);
        if (code == 0)
            code = check_climate(&both, err);
        if (code == 0)
            code = check_currency(compare, &compare->setup[i], err);
    }
    return code;
}
