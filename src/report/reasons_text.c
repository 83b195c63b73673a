/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words the reasons: what was lifted and how many lives that saves, then when and where most of them went.
 */
#include "report/reasons_text.h"

#include "report/dots.h"
#include "report/forecast_facts.h"
#include "text/show.h"

#include <math.h>
#include <string.h>

struct wording {
    const struct wg_reasons *reasons;
    const struct wg_plan *plan;
    struct wg_bytes *out;
    const char *name; /* of the setup in a comparison, or NULL */
    const char *at;   /* " at 80 degF" in the question, or NULL */
    bool with_flies;  /* their number is in the text */
};

/* ---- parts of sentences ---- */

static const char *cause_of(enum wg_limit limit) {
    static const char *const cause[WG_N_LIMITS] = {
        [WG_LIMIT_COLD] = "cold",
        [WG_LIMIT_HEAT] = "heat",
        [WG_LIMIT_HUNGER] = "hunger",
        [WG_LIMIT_AIR] = "air too cool for mating and laying",
        [WG_LIMIT_LIGHT] = "too little light for mating",
        [WG_LIMIT_MALES] = "too few flies to meet",
        [WG_LIMIT_START] = "too small a start",
        [WG_LIMIT_HARVEST] = "the harvest itself",
        [WG_LIMIT_RAIDS] = "raids",
        [WG_LIMIT_POWER_CUTS] = "power cuts",
    };
    return cause[limit];
}

static const char *lifted_as(enum wg_limit limit) {
    static const char *const lifted[WG_N_LIMITS] = {
        [WG_LIMIT_COLD] = "without deaths by cold",
        [WG_LIMIT_HEAT] = "without deaths by heat",
        [WG_LIMIT_HUNGER] = "with plenty of feed",
        [WG_LIMIT_AIR] = "if flies mated and laid in cool air",
        [WG_LIMIT_LIGHT] = "if flies mated in the dark",
        [WG_LIMIT_MALES] = "if every female found a male",
        [WG_LIMIT_START] = "with ten times the starter",
        [WG_LIMIT_HARVEST] = "if nothing were taken out",
        [WG_LIMIT_RAIDS] = "without raids",
        [WG_LIMIT_POWER_CUTS] = "without power cuts",
    };
    return lifted[limit];
}

static const char *stage_in_plural(enum wg_stage stage) {
    static const char *const name[WG_N_STAGES] = {
        [WG_EGG] = "eggs",   [WG_LARVA] = "larvae",        [WG_PREPUPA] = "prepupae", [WG_DORMANT] = "dormant prepupae",
        [WG_PUPA] = "pupae", [WG_FEMALE] = "female flies", [WG_MALE] = "male flies"};
    return name[stage];
}

/* "no", "0.61", "1,790" */
static void show_mean_count(double mean, char out[WG_SHOWN_SIZE]) {
    if (mean > 0)
        wg_show_number(mean, out);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "no");
}

/* Returns "judgement" of "judgement; laboratory: ...". */
static void source_of(const char *parameter, char out[WG_SHOWN_SIZE]) {
    const char *const source = wg_species_find(parameter)->source;
    (void)snprintf(out, WG_SHOWN_SIZE, "%.*s", (int)strcspn(source, ";:"), source);
}

/* ---- the numbers ---- */

/* "more than 99" of 100: the headline counts of 100, too, whatever the number of lives that were tried. */
static void show_of_100(int64_t n, int64_t lives, char out[WG_SHOWN_SIZE]) {
    const struct wg_dots dots = wg_dots_of(lives > 0 ? (double)n / (double)lives : 0, 100);
    wg_dots_words(&dots, out);
    out[strcspn(out, "0123456789") + strspn(out + strcspn(out, "0123456789"), "0123456789")] = '\0';
}

/* " in 97 without deaths by cold", " in 97 with both" */
static void put_trial(const struct wording *w, int i) {
    const struct wg_trial *const trial = &w->reasons->trial[i];
    char met[WG_SHOWN_SIZE];
    show_of_100(trial->n_met, trial->lives, met);
    wg_bytes_printf(w->out, " in %s %s", met, trial->n_limits == 2 ? "with both" : lifted_as(trial->limit[0]));
}

/* Returns the trial of a single limit. */
static int single_trial(const struct wg_reasons *reasons, enum wg_limit limit) {
    for (int i = 1; i < reasons->n_trials; i++)
        if (reasons->trial[i].n_limits == 1 && reasons->trial[i].limit[0] == limit)
            return i;
    return 0;
}

static void put_question(const struct wording *w) {
    if (w->reasons->why == WG_WHY_DIES)
        wg_bytes_printf(w->out, "Why %s dies%s: ", w->name != NULL ? w->name : "it", w->at != NULL ? w->at : "");
    else if (w->reasons->why == WG_WHY_GOAL)
        wg_bytes_printf(w->out, "Why goal %d is missed%s: ", w->reasons->goal + 1, w->at != NULL ? w->at : "");
    else
        wg_bytes_printf(w->out, "Why nothing is taken out%s%s: ", w->name != NULL ? " of " : "",
                        w->name != NULL ? w->name : "");
}

static const char *success_of(enum wg_why why) {
    return why == WG_WHY_DIES ? "it lives" : why == WG_WHY_GOAL ? "the goal is met" : "something is taken out";
}

/* "Tried again in 64 of these years, it lives in 16 of 100 as planned" */
static void put_as_planned(const struct wording *w) {
    const struct wg_reasons *const reasons = w->reasons;
    char met[WG_SHOWN_SIZE];
    show_of_100(reasons->trial[0].n_met, reasons->lives, met);
    wg_bytes_printf(w->out, " Tried again in %lld of these %s, %s in %s of 100 as planned", (long long)reasons->lives,
                    wg_forecast_noun_of(w->plan, reasons->lives), success_of(reasons->why), met);
}

static void put_counts(const struct wording *w) {
    const struct wg_reasons *const reasons = w->reasons;
    const struct wg_trial *const reason = &reasons->trial[reasons->reason];
    put_as_planned(w);
    for (int k = 0; k < 2 && reason->n_limits == 2; k++) {
        wg_bytes_put(w->out, ",");
        put_trial(w, single_trial(reasons, reason->limit[k]));
    }
    wg_bytes_put(w->out, reason->n_limits == 2 ? ", and" : " and");
    put_trial(w, reasons->reason);
    if (reason->n_limits == 1 && reasons->next != 0) {
        wg_bytes_put(w->out, "; next best,");
        put_trial(w, reasons->next);
    }
    wg_bytes_put(w->out, ".");
}

static void put_verdict(const struct wording *w) {
    const struct wg_reasons *const reasons = w->reasons;
    const struct wg_trial *const reason = &reasons->trial[reasons->reason];
    const bool is_whole = (double)reason->n_met >= WG_REASON_ENOUGH * (double)reasons->lives;
    put_question(w);
    wg_bytes_printf(w->out, "%s%s", is_whole ? "" : "mostly ", cause_of(reason->limit[0]));
    if (reason->n_limits == 2)
        wg_bytes_printf(w->out, " together with %s", cause_of(reason->limit[1]));
    wg_bytes_put(w->out, ".");
}

static void put_limits_tried(const struct wording *w) {
    const struct wg_reasons *const reasons = w->reasons;
    wg_bytes_put(w->out, " and in no more without any of these:");
    for (int i = 1, n = 0; i < reasons->n_trials; i++)
        if (reasons->trial[i].n_limits == 1)
            wg_bytes_printf(w->out, "%s %s", n++ == 0 ? "" : ",", wg_limit_name(reasons->trial[i].limit[0]));
    wg_bytes_put(w->out, ".");
}

static void put_no_reason(const struct wording *w) {
    const struct wg_reasons *const reasons = w->reasons;
    put_question(w);
    wg_bytes_printf(w->out, "no single limit explains it%s.", reasons->pairs_tried ? ", nor do two" : "");
    put_as_planned(w);
    if (reasons->trial[reasons->best].n_met > reasons->trial[0].n_met) {
        wg_bytes_put(w->out, " and at best");
        put_trial(w, reasons->best);
        wg_bytes_put(w->out, ", which may be luck.");
    } else {
        put_limits_tried(w);
    }
}

/* ---- what happened ---- */

#define WORTH_NAMING 0.1 /* of deaths by a cause: judgement */

/* Returns the stage with the most deaths, other than one. */
static int deadliest_stage(const double dead[WG_N_STAGES], int other) {
    int most = -1;
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        if (stage != other && (most < 0 || dead[stage] > dead[most]))
            most = stage;
    return most;
}

/* ": by number 61 % eggs and 30 % larvae" */
static void put_stages(const struct wording *w, const double dead[WG_N_STAGES]) {
    const int first = deadliest_stage(dead, -1), second = deadliest_stage(dead, first);
    char share[WG_SHOWN_SIZE];
    double all = 0;
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        all += dead[stage];
    wg_show_percent(dead[first] / all, 0, share);
    wg_bytes_printf(w->out, ": by number %s %% %s", share, stage_in_plural((enum wg_stage)first));
    if (dead[second] < WORTH_NAMING * all)
        return;
    wg_show_percent(dead[second] / all, 0, share);
    wg_bytes_printf(w->out, " and %s %% %s", share, stage_in_plural((enum wg_stage)second));
}

/* "Cold kills most in November and December: by number 61 % eggs and 30 % larvae." */
static void put_deaths(const struct wording *w, const char *subject, enum wg_cause cause, enum wg_cause other) {
    const struct wg_story *const story = &w->reasons->story;
    char span[WG_SHOWN_SIZE];
    double deaths[WG_MONTHS], dead[WG_N_STAGES];
    for (int m = 0; m < WG_MONTHS; m++)
        deaths[m] = story->deaths[cause][m] + (other != cause ? story->deaths[other][m] : 0);
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        dead[stage] = story->dead[cause][stage] + (other != cause ? story->dead[other][stage] : 0);
    const struct wg_month_span found = wg_story_span(deaths);
    if (found.months == 0)
        return;
    wg_show_months(found, span);
    wg_bytes_printf(w->out, " %s most %s", subject, span);
    put_stages(w, dead);
    wg_bytes_put(w->out, ".");
}

static void put_last_alive(const struct wording *w) {
    const struct wg_story *const story = &w->reasons->story;
    char date[WG_SHOWN_SIZE];
    if (story->ended == 0)
        return;
    wg_show_date(w->plan->first_day, floor(wg_story_last_day(story)), "", date);
    wg_bytes_printf(w->out, " Colonies that die out lose their last animals, mostly %s, about %s.",
                    stage_in_plural(wg_story_last_stage(story)), date);
}

static void put_heat(const struct wording *w) {
    const struct wg_story *const story = &w->reasons->story;
    char hottest[WG_SHOWN_SIZE];
    put_deaths(w, "Heat kills", WG_CAUSE_HEAT, WG_CAUSE_HEAT);
    if (isnan(story->hottest_c))
        return;
    wg_show_temperature(story->hottest_c, hottest);
    wg_bytes_printf(w->out, " The hottest hour in a bin is %s.", hottest);
}

static void put_hunger(const struct wording *w) {
    const struct wg_story *const story = &w->reasons->story;
    char share[WG_SHOWN_SIZE], kg[WG_SHOWN_SIZE];
    put_deaths(w, "Hunger kills", WG_CAUSE_HUNGER, WG_CAUSE_HUNGER);
    if (story->feed_wanted_kg > 0) {
        wg_show_share(story->feed_eaten_kg / story->feed_wanted_kg, share);
        wg_bytes_printf(w->out, " The larvae eat %s %% of what they could.", share);
    }
    wg_show_mass(wg_limit_feed_kg(&w->plan->bins[0]), kg);
    wg_bytes_printf(w->out, " Plenty means %s a day more for %s%s.", kg, w->plan->bins[0].name,
                    w->plan->n_bins > 1 ? ", and likewise for the others" : "");
}

/* "About 1,900 flies a year emerge in October and November and lay hardly any eggs" */
static bool put_barren_flies(const struct wording *w) {
    const struct wg_barren_flies barren = wg_story_barren_flies(&w->reasons->story);
    char flies[WG_SHOWN_SIZE], span[WG_SHOWN_SIZE];
    if (!(barren.flies >= 1))
        return false;
    wg_show_number(barren.flies, flies);
    wg_show_months(barren.span, span);
    wg_bytes_printf(w->out, " About %s flies emerge %s and lay hardly an egg", flies, span);
    return true;
}

/* "it lives in 100 if heated to 27 °C (80.6 °F)" */
static void put_set_point(const struct wording *w, int trial) {
    char shown[WG_SHOWN_SIZE], met[WG_SHOWN_SIZE];
    wg_show_temperature(w->reasons->trial[trial].set_point_c, shown);
    show_of_100(w->reasons->trial[trial].n_met, w->reasons->trial[trial].lives, met);
    wg_bytes_printf(w->out, " in %s if heated to %s", met, shown);
}

/* "A set point of 21.1 degC (70 degF) is too cool to breed and too warm to sleep: ..." */
static void put_valley(const struct wording *w) {
    const struct wg_trial *const trial = w->reasons->trial;
    char shown[WG_SHOWN_SIZE];
    for (int p = 0; p < w->plan->n_places; p++) {
        const struct wg_heater_spec *const heater = &w->plan->places[p].heater;
        if (!(heater->power_w > 0) || heater->set_point_c <= trial[w->reasons->cooler].set_point_c ||
            heater->set_point_c >= trial[w->reasons->warmer].set_point_c)
            continue;
        wg_show_temperature(heater->set_point_c, shown);
        wg_bytes_printf(
            w->out,
            " A set point of %s is too cool to breed and too warm to sleep: such heat costs money and loses "
            "colonies.",
            shown);
        return;
    }
}

/* A heated place may stand between warm enough to breed and cool enough to sleep. */
static void put_set_points(const struct wording *w) {
    const int warmer = w->reasons->warmer, cooler = w->reasons->cooler;
    if (warmer == 0 && cooler == 0)
        return;
    if (warmer != 0 && cooler != 0)
        put_valley(w);
    wg_bytes_put(w->out, " It lives");
    if (warmer != 0)
        put_set_point(w, warmer);
    if (cooler != 0) {
        wg_bytes_put(w->out, warmer != 0 ? ", and" : "");
        put_set_point(w, cooler);
        wg_bytes_put(w->out, ", where it sleeps through the winter");
    }
    wg_bytes_put(w->out, ".");
}

static void put_air(struct wording *w) {
    const struct wg_species *const species = &w->plan->species;
    char need[WG_SHOWN_SIZE], air[WG_SHOWN_SIZE], source[WG_SHOWN_SIZE];
    wg_show_temperature(fmax(species->mate_air_c, species->lay_air_c), need);
    source_of("mating_air", source);
    w->with_flies = put_barren_flies(w);
    if (!w->with_flies)
        return;
    wg_show_temperature(wg_story_barren_flies(&w->reasons->story).air_c, air);
    wg_bytes_printf(w->out, ": they mate and lay from about %.*s, %s), and the air is %s on average.",
                    (int)strcspn(need, ")"), need, source, air);
}

static void put_light(const struct wording *w) {
    char light[WG_SHOWN_SIZE], source[WG_SHOWN_SIZE];
    source_of("mating_light", source);
    wg_show_number(w->plan->species.mate_light_w_m2, light);
    if (w->with_flies)
        wg_bytes_printf(w->out, " They mate only");
    else if (put_barren_flies(w))
        wg_bytes_printf(w->out, ": they mate");
    else
        return;
    wg_bytes_printf(w->out, " under lamps or in sunlight of %s W/m2 (%s).", light, source);
    for (int p = 0; p < w->plan->n_places; p++)
        if (w->plan->places[p].shelter.kind != WG_OUTDOORS && !(w->plan->places[p].shelter.lamp_hours > 0))
            wg_bytes_printf(w->out, " There are no lamps in %s.", w->plan->places[p].name);
}

/* Returns the flies of a life in all. */
static double all_flies(const struct wg_story *story) {
    double flies = 0;
    for (int m = 0; m < WG_MONTHS; m++)
        flies += story->flies[m] / (double)story->lives;
    return flies;
}

static void put_males(const struct wording *w) {
    char flies[WG_SHOWN_SIZE];
    show_mean_count(all_flies(&w->reasons->story), flies);
    wg_bytes_printf(w->out, " Where it dies, %s flies emerge in all, on average, seldom a female and a male at a time.",
                    flies);
}

static void put_start(const struct wording *w) {
    char flies[WG_SHOWN_SIZE];
    show_mean_count(all_flies(&w->reasons->story), flies);
    wg_bytes_printf(w->out, " Where it dies, %s flies emerge in all, on average.", flies);
}

static void put_all_harvested(const struct wording *w) {
    const struct wg_story *const story = &w->reasons->story;
    char out[WG_SHOWN_SIZE], flies[WG_SHOWN_SIZE];
    show_mean_count(story->taken / (double)story->lives, out);
    show_mean_count(all_flies(story), flies);
    wg_bytes_printf(w->out, " On average %s animals are taken out, and %s flies emerge.", out, flies);
}

static void put_power_cuts(const struct wording *w) {
    char hours[WG_SHOWN_SIZE];
    wg_show_number(w->reasons->story.power_out_hours / (double)w->reasons->story.lives, hours);
    wg_bytes_printf(w->out, " The power is out for about %s hours in all.", hours);
}

static void put_limit_story(struct wording *w, enum wg_limit limit) {
    switch (limit) {
    case WG_LIMIT_COLD:
        put_deaths(w, "Cold kills", WG_CAUSE_COLD, WG_CAUSE_FREEZING);
        break;
    case WG_LIMIT_HEAT:
        put_heat(w);
        break;
    case WG_LIMIT_HUNGER:
        put_hunger(w);
        break;
    case WG_LIMIT_AIR:
        put_air(w);
        break;
    case WG_LIMIT_LIGHT:
        put_light(w);
        break;
    case WG_LIMIT_MALES:
        put_males(w);
        break;
    case WG_LIMIT_START:
        put_start(w);
        break;
    case WG_LIMIT_HARVEST:
        put_all_harvested(w);
        break;
    case WG_LIMIT_RAIDS:
        put_deaths(w, "Raids take", WG_CAUSE_RAID, WG_CAUSE_RAID);
        break;
    case WG_LIMIT_POWER_CUTS:
        put_power_cuts(w);
        break;
    case WG_N_LIMITS:
        break;
    }
}

/* ---- newcomers and defaults ---- */

/* "Alive: own line in 41 of 100 years, with newcomers in 100." */
static void put_newcomers(const struct wording *w) {
    const struct wg_checks *const checks = &w->reasons->checks;
    const struct wg_check *const own = wg_checks_newcomers(checks);
    if (own == NULL || own->lives == 0)
        return;
    char alone[WG_SHOWN_SIZE], together[WG_SHOWN_SIZE];
    show_of_100(own->n_alive, own->lives, alone);
    show_of_100(checks->check[0].n_alive, own->lives, together);
    wg_bytes_printf(w->out, "%sAlive%s%s: own line in %s of 100 %s, with newcomers in %s.", w->out->size > 0 ? " " : "",
                    w->name != NULL ? ", " : "", w->name != NULL ? w->name : "", alone, wg_forecast_noun(w->plan),
                    together);
    if (w->name == NULL)
        wg_bytes_printf(w->out, " The own line was tried in %lld of the same %s without wild flies.",
                        (long long)own->lives, wg_forecast_noun_of(w->plan, own->lives));
}

/* Returns true if the loss of heat that a check changes is that of a shed's walls. */
static bool is_wall_checked(const struct wg_plan *plan) {
    for (int p = 0; p < plan->n_places; p++)
        if (plan->places[p].shelter.kind != WG_OUTDOORS)
            return plan->places[p].shelter.kind == WG_SHED;
    return false;
}

/* "with 12 hours of lamps a day" */
static void put_change(const struct wording *w, enum wg_check_kind kind) {
    const double value = wg_check_value(kind, w->plan);
    const bool is_wall = is_wall_checked(w->plan);
    switch (kind) {
    case WG_CHECK_LAMPS:
        wg_bytes_printf(w->out, "with %g hours of lamps a day", value);
        break;
    case WG_CHECK_TIGHT:
        wg_bytes_printf(w->out,
                        is_wall ? "with well insulated walls (%g W/(m2 K))" : "with few gaps (%g air changes an hour)",
                        value);
        break;
    case WG_CHECK_LEAKY:
        wg_bytes_printf(w->out,
                        is_wall ? "with walls of bare boards (%g W/(m2 K))" : "with many gaps (%g air changes an hour)",
                        value);
        break;
    case WG_CHECK_FOAM:
        wg_bytes_put(w->out, "with an inch of foam around the bins");
        break;
    case WG_CHECK_GIVE_BACK:
        wg_bytes_printf(w->out, "if %g %% of the catch goes back", 100 * value);
        break;
    case WG_CHECK_SHALLOW:
        wg_bytes_printf(w->out, "if prepupae dig only %g cm (2 in) deep", 100 * value);
        break;
    case WG_CHECK_DEEP:
        wg_bytes_printf(w->out, "if prepupae dig %g cm (8 in) deep", 100 * value);
        break;
    case WG_CHECK_NEWCOMERS:
    case WG_N_CHECKS:
        break;
    }
}

/* "in 97 and gives 11 kg (24.3 lb)" */
static void put_check_numbers(const struct wording *w, const struct wg_check *check, const char *gives) {
    char kg[WG_SHOWN_SIZE], alive[WG_SHOWN_SIZE];
    show_of_100(check->n_alive, check->lives, alive);
    wg_bytes_printf(w->out, " in %s", alive);
    if (!wg_plan_takes_out(w->plan))
        return;
    wg_show_mass(check->mean_harvest_kg, kg);
    wg_bytes_printf(w->out, " and %s%s", gives, kg);
}

/* Names the defaults on which the answer hangs. */
static void put_defaults(const struct wording *w) {
    const struct wg_checks *const checks = &w->reasons->checks;
    int n = 0;
    for (int i = 1; checks->lives > 0 && i < checks->n; i++) {
        const struct wg_check *const check = &checks->check[i];
        if (!check->decides || check->kind == WG_CHECK_NEWCOMERS)
            continue;
        if (n++ == 0) {
            wg_bytes_printf(w->out,
                            "%sCheck what the plan leaves open, for it decides. Of 100 %s (%lld tried) it lives",
                            w->out->size > 0 ? " " : "", wg_forecast_noun(w->plan), (long long)checks->lives);
            put_check_numbers(w, &checks->check[0], "gives ");
            wg_bytes_put(w->out, wg_plan_takes_out(w->plan) ? " on average as planned" : " as planned");
        }
        wg_bytes_put(w->out, "; ");
        put_change(w, check->kind);
        wg_bytes_put(w->out, ",");
        put_check_numbers(w, check, "");
    }
    wg_bytes_put(w->out, n > 0 ? "." : "");
}

/* ---- all ---- */

static bool has_answer(const struct wg_reasons *reasons) {
    if (reasons == NULL || reasons->lives == 0 || reasons->story.lives == 0)
        return false;
    return reasons->why != WG_WHY_DIES || reasons->story.ended > 0; /* else nothing was ever alive */
}

/* Adds what was lifted and how many lives that saves. */
static void put_experiment(const struct wording *w) {
    if (has_answer(w->reasons) && w->reasons->reason == 0) {
        put_no_reason(w);
    } else if (has_answer(w->reasons)) {
        put_verdict(w);
        put_counts(w);
    }
}

/* Adds the experiment and what happened in the lives that failed. */
static void put_whole_story(struct wording *w) {
    const struct wg_reasons *const reasons = w->reasons;
    if (!has_answer(reasons))
        return;
    put_experiment(w);
    put_set_points(w);
    for (int k = 0; k < reasons->trial[reasons->reason].n_limits; k++)
        put_limit_story(w, reasons->trial[reasons->reason].limit[k]);
    put_last_alive(w);
}

void wg_reasons_line(const struct wg_reasons *reasons, const struct wg_plan *plan, const char *name,
                     struct wg_bytes *out) {
    const struct wording w = {.reasons = reasons, .plan = plan, .out = out, .name = name};
    put_experiment(&w);
    if (has_answer(reasons))
        put_set_points(&w);
    if (reasons != NULL)
        put_newcomers(&w);
}

void wg_reasons_words(const struct wg_reasons *reasons, const struct wg_plan *plan, struct wg_bytes *out) {
    put_whole_story(&(struct wording){.reasons = reasons, .plan = plan, .out = out});
}

void wg_reasons_at_words(const struct wg_reasons *reasons, const struct wg_plan *plan, const char *at,
                         struct wg_bytes *out) {
    put_whole_story(&(struct wording){.reasons = reasons, .plan = plan, .out = out, .at = at});
}

void wg_reasons_check_words(const struct wg_reasons *reasons, const struct wg_plan *plan, struct wg_bytes *out) {
    const struct wording w = {.reasons = reasons, .plan = plan, .out = out};
    if (reasons == NULL)
        return;
    put_newcomers(&w);
    put_defaults(&w);
}

/* Returns the text of a buffer, "" if it is empty, and leaves the buffer to its new owner; NULL without memory. */
static char *text_of(struct wg_bytes *bytes) {
    if (!bytes->failed && bytes->size > 0)
        return bytes->data;
    char *const text = bytes->failed ? NULL : strdup("");
    wg_bytes_free(bytes);
    return text;
}

int wg_reasons_result_words(const struct wg_reasons *reasons, const struct wg_plan *plan,
                            const struct wg_summary *summary, struct wg_result_words *words, struct wg_error *err) {
    struct wg_bytes why = {0}, checked = {0};
    *words = (struct wg_result_words){0};
    if (wg_reasons_agree(reasons, summary)) {
        wg_reasons_words(reasons, plan, &why);
        wg_reasons_check_words(reasons, plan, &checked);
    }
    words->why = text_of(&why);
    words->checked = text_of(&checked);
    return words->why != NULL && words->checked != NULL ? 0 : wg_no_memory(err, NULL);
}

int wg_reasons_print(const struct wg_reasons *reasons, const struct wg_plan *plan, const char *name, FILE *to,
                     struct wg_error *err) {
    struct wg_bytes text = {0};
    struct wg_bytes checked = {0};
    if (name != NULL) {
        wg_reasons_line(reasons, plan, name, &text);
    } else {
        wg_reasons_words(reasons, plan, &text);
        wg_reasons_check_words(reasons, plan, &checked);
    }
    if (text.size > 0)
        wg_show_lines(to, 2, text.data);
    if (checked.size > 0)
        wg_show_lines(to, 2, checked.data);
    int code = wg_bytes_failed(&text, err);
    code = code == 0 ? wg_bytes_failed(&checked, err) : code;
    wg_bytes_free(&text);
    wg_bytes_free(&checked);
    return code;
}

static void put_trial_json(struct wg_json *json, const struct wg_reasons *reasons, int i) {
    static const char *const key[] = {[WG_WHY_NOTHING] = "alive",
                                      [WG_WHY_DIES] = "alive",
                                      [WG_WHY_NO_HARVEST] = "with_harvest",
                                      [WG_WHY_GOAL] = "goal_met"};
    const struct wg_trial *const trial = &reasons->trial[i];
    wg_json_object(json, NULL);
    wg_json_list(json, "lifted");
    for (int k = 0; k < trial->n_limits; k++)
        wg_json_text(json, NULL, wg_limit_name(trial->limit[k]));
    wg_json_close(json);
    wg_json_real(json, "set_point_c", trial->set_point_c);
    wg_json_whole(json, "of", trial->lives);
    wg_json_whole(json, key[reasons->why], trial->n_met);
    wg_json_real(json, "mean_harvest_kg", trial->harvest_kg);
    wg_json_real(json, "saved_low", i == 0 ? (double)NAN : trial->saved.low);
    wg_json_real(json, "saved_high", i == 0 ? (double)NAN : trial->saved.high);
    wg_json_real(json, "confidence", WG_REASON_CONFIDENCE);
    wg_json_flag(json, "beyond_luck", trial->is_sure);
    wg_json_flag(json, "is_reason", i != 0 && i == reasons->reason);
    wg_json_close(json);
}

static void put_check_json(struct wg_json *json, const struct wg_checks *checks, int i, const struct wg_plan *plan) {
    const struct wg_check *const check = &checks->check[i];
    wg_json_object(json, NULL);
    wg_json_text(json, "changed", i == 0 ? NULL : wg_check_name(check->kind));
    wg_json_real(json, "value", i == 0 ? (double)NAN : wg_check_value(check->kind, plan));
    wg_json_whole(json, "of", check->lives);
    wg_json_whole(json, "alive", check->n_alive);
    wg_json_real(json, "mean_harvest_kg", check->mean_harvest_kg);
    wg_json_real(json, "alive_change_low", i == 0 ? (double)NAN : check->alive_change.low);
    wg_json_real(json, "alive_change_high", i == 0 ? (double)NAN : check->alive_change.high);
    wg_json_real(json, "harvest_change_low_kg", i == 0 ? (double)NAN : check->harvest_change.low);
    wg_json_real(json, "harvest_change_high_kg", i == 0 ? (double)NAN : check->harvest_change.high);
    wg_json_flag(json, "decides", check->decides);
    wg_json_close(json);
}

static void put_checks_json(struct wg_json *json, const struct wg_reasons *reasons, const struct wg_plan *plan) {
    struct wg_bytes text = {0};
    wg_reasons_check_words(reasons, plan, &text);
    wg_json_text(json, "check_first", text.data);
    wg_json_list(json, "checks");
    for (int i = 0; reasons != NULL && reasons->checks.lives > 0 && i < reasons->checks.n; i++)
        put_check_json(json, &reasons->checks, i, plan);
    wg_json_close(json);
    wg_bytes_free(&text);
}

void wg_reasons_put_json(const struct wg_reasons *reasons, const struct wg_plan *plan, struct wg_json *json) {
    struct wg_bytes text = {0};
    const bool any = reasons != NULL && reasons->lives > 0;
    wg_reasons_words(reasons, plan, &text);
    wg_json_text(json, "question", any ? wg_why_name(reasons->why) : NULL);
    wg_json_text(json, "why", text.data);
    wg_json_list(json, "reasons");
    for (int i = 0; any && i < reasons->n_trials; i++)
        put_trial_json(json, reasons, i);
    wg_json_close(json);
    wg_bytes_free(&text);
    put_checks_json(json, reasons, plan);
}
