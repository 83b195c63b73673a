/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The parameter table covers the struct, the two sets are within its limits, and
 * contradictions are detected.
 */
#include "species/species.h"

#include <criterion/criterion.h>
#include <ctype.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

enum { N_DOUBLES = sizeof(struct wg_species) / sizeof(double) };

static struct wg_species set(const char *name) {
    struct wg_species species;
    cr_assert_eq(wg_species_set(&species, name), 0);
    return species;
}

Test(table, has_every_double_of_the_struct_once) {
    int seen[N_DOUBLES] = {0};
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        cr_assert_eq(p->offset % sizeof(double), 0, "%s", p->name);
        cr_assert_lt(p->offset, sizeof(struct wg_species), "%s", p->name);
        seen[p->offset / sizeof(double)]++;
    }
    for (int i = 0; i < N_DOUBLES; i++)
        cr_expect_eq(seen[i], 1, "double %d is in %d rows", i, seen[i]);
}

static bool plain_name(const char *name) {
    for (const char *c = name; *c != '\0'; c++)
        if (!islower((unsigned char)*c) && !isdigit((unsigned char)*c) && *c != '_')
            return false;
    return islower((unsigned char)name[0]);
}

Test(table, names_are_plain_and_unlike) {
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        cr_expect(plain_name(p->name), "%s", p->name);
        cr_expect_eq(wg_species_find(p->name), p, "%s is there twice", p->name);
    }
    cr_expect_null(wg_species_find("larva_wings"));
    cr_expect_null(wg_species_find(""));
}

Test(table, rows_say_what_where_from_and_in_which_unit) {
    const char *const units[] = {"degC", "day", "1/day", "1", "g", "K", "1/K", "W/m2", "h", "J/kg", "degC day", "eggs"};
    const char *const tags[] = {"judgement", "derived", "common practice", "MEMORY", "by definition", "19", "20"};
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        bool unit = false, tag = false;
        for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
            unit |= strcmp(p->unit, units[i]) == 0;
        for (size_t i = 0; i < sizeof tags / sizeof tags[0]; i++)
            tag |= strstr(p->source, tags[i]) != NULL;
        cr_expect(unit, "%s in %s", p->name, p->unit);
        cr_expect(tag, "%s from %s", p->name, p->source);
        cr_expect(strlen(p->text) > 10 && strchr(p->text, '\n') == NULL, "%s", p->name);
    }
}

/* Every source is a tag or can be looked up: the year of a paper is followed by its title or journal. */
Test(table, sources_can_be_looked_up) {
    static const char *const tags[] = {"judgement", "MEMORY", "common practice", "definition", "gas_share"};
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        bool is_known = false;
        for (size_t i = 0; i < sizeof tags / sizeof *tags; i++)
            is_known = is_known || strstr(p->source, tags[i]) != NULL;
        for (const char *c = p->source; *c != '\0'; c++)
            if ((strncmp(c, " 19", 3) == 0 || strncmp(c, " 20", 3) == 0) && isdigit((unsigned char)c[3]) &&
                isdigit((unsigned char)c[4])) {
                cr_expect_eq(c[5], ',', "%s: %s", p->name, p->source);
                is_known = true;
            }
        cr_expect(is_known || strstr(p->source, "feedipedia.org") != NULL, "%s: %s", p->name, p->source);
    }
}

Test(sets, lie_inside_what_a_scenario_may_set) {
    const char *const names[] = {"keepers", "laboratory"};
    for (int i = 0; i < 2; i++) {
        const struct wg_species species = set(names[i]);
        for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
            const double value = wg_species_get(&species, p);
            cr_expect(value >= p->least && value <= p->most, "%s: %s %g", names[i], p->name, value);
            cr_expect(p->least <= p->low && p->low < p->high && p->high <= p->most, "%s", p->name);
        }
        cr_expect_null(wg_species_problem(&species), "%s", names[i]);
    }
}

Test(sets, keepers_lies_inside_its_plausible_ranges) {
    const struct wg_species species = set("keepers");
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        const double value = wg_species_get(&species, p);
        cr_expect(value >= p->low && value <= p->high, "%s %g", p->name, value);
    }
}

Test(sets, differ_in_more_than_a_few_numbers) {
    const struct wg_species keepers = set("keepers"), laboratory = set("laboratory");
    int differ = 0;
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++)
        differ += fabs(wg_species_get(&keepers, p) - wg_species_get(&laboratory, p)) > 0.0;
    cr_expect_geq(differ, 40, "%d", differ);
}

Test(sets, an_unknown_name_changes_nothing) {
    struct wg_species species = set("keepers");
    const struct wg_species before = species;
    cr_expect_eq(wg_species_set(&species, "Keepers"), -1);
    cr_expect_eq(wg_species_set(&species, ""), -1);
    cr_expect_eq(memcmp(&species, &before, sizeof species), 0);
}

Test(access, put_then_get) {
    struct wg_species species = set("keepers");
    const struct wg_parameter *const p = wg_species_find("clutch_low");
    cr_assert_not_null(p);
    wg_species_put(&species, p, 123.0);
    cr_expect_float_eq(wg_species_get(&species, p), 123.0, 0.0);
    cr_expect_float_eq(species.clutch_low, 123.0, 0.0);
    cr_expect_float_eq(wg_species_get(&species, wg_species_find("larva_spread")), species.spread[WG_CLOCK_LARVA], 0.0);
    cr_expect_float_eq(wg_species_get(&species, wg_species_find("dormancy_heat_median")), species.dorm_heat_median,
                       0.0);
}

/* ---- contradictions ---- */

struct contradiction {
    const char *name;
    double value;
};

Test(problem, notices_contradictions) {
    const struct contradiction each[] = {
        {"larva_t0", 37.2},       {"egg_tm", 11.0},          {"adult_t0", 27.0},          {"larva_tm", 26.9},
        {"clutch_low", 901.0},    {"clutch_mass_low", 1.3},  {"young_larva_until", 0.27}, {"hatch_mass", 0.2},
        {"mass_reference", 30.5}, {"mass_cool_limit", 27.5}, {"mating_hours_least", 4.5},
    };
    for (size_t i = 0; i < sizeof each / sizeof each[0]; i++) {
        struct wg_species species = set("keepers");
        const struct wg_parameter *const p = wg_species_find(each[i].name);
        cr_assert_not_null(p, "%s", each[i].name);
        wg_species_put(&species, p, each[i].value);
        const char *const text = wg_species_problem(&species);
        cr_expect(text != NULL && strlen(text) > 20, "%s = %g passes", each[i].name, each[i].value);
    }
}

Test(names, of_stages) {
    cr_expect_str_eq(wg_stage_name(WG_EGG), "egg");
    cr_expect_str_eq(wg_stage_name(WG_DORMANT), "dormant prepupa");
    cr_expect_str_eq(wg_stage_name(WG_MALE), "adult male");
}
