/*
 * Words the reasons: what was lifted and how many lives that saves, then when and where most of them went.
 */
#include "report/reasons_text.h"

#include "report/forecast_facts.h"
#include "text/show.h"

#include <math.h>
#include <string.h>

struct wording {
    const struct wg_reasons *reasons;
    const struct wg_plan *plan;
    struct wg_bytes *out;
    const char *name; /* of the setup in a comparison, or NULL */
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

static const char *english_month(int month) {
    static const char *const name[WG_MONTHS] = {"January", "February", "March",     "April",   "May",      "June",
                                                "July",    "August",   "September", "October", "November", "December"};
    return name[month % WG_MONTHS];
}

/* "in May", "in October and November", "from October to February", "all year" */
static void show_span(struct wg_season_span span, char out[WG_SHOWN_SIZE]) {
    const char *const first = english_month(span.first), *const last = english_month(span.first + span.months - 1);
    if (span.months == 1)
        (void)snprintf(out, WG_SHOWN_SIZE, "in %s", first);
    else if (span.months == 2)
        (void)snprintf(out, WG_SHOWN_SIZE, "in %s and %s", first, last);
    else if (span.months < WG_MONTHS)
        (void)snprintf(out, WG_SHOWN_SIZE, "from %s to %s", first, last);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "all year");
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

/* " in 62 without deaths by cold", " in 62 with both" */
static void put_trial(const struct wording *w, int i) {
    const struct wg_trial *const trial = &w->reasons->trial[i];
    wg_bytes_printf(w->out, " in %lld %s", (long long)trial->n_met,
                    trial->n_limits == 2 ? "with both" : lifted_as(trial->limit[0]));
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
        wg_bytes_printf(w->out, "Why %s dies: ", w->name != NULL ? w->name : "it");
    else
        wg_bytes_printf(w->out, "Why nothing is taken out%s%s: ", w->name != NULL ? " of " : "",
                        w->name != NULL ? w->name : "");
}

/* "Tried again in 64 of these years, it lives in 10 as planned" */
static void put_as_planned(const struct wording *w) {
    const struct wg_reasons *const reasons = w->reasons;
    wg_bytes_printf(w->out, " Tried again in %lld of these %s, %s in %lld as planned", (long long)reasons->lives,
                    wg_forecast_noun_of(w->plan, reasons->lives),
                    reasons->why == WG_WHY_DIES ? "it lives" : "something is taken out",
                    (long long)reasons->trial[0].n_met);
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

static void put_deaths(const struct wording *w, const char *subject, const double deaths[WG_MONTHS]) {
    char span[WG_SHOWN_SIZE];
    const struct wg_season_span found = wg_story_span(deaths);
    if (found.months == 0)
        return;
    show_span(found, span);
    wg_bytes_printf(w->out, " %s most %s.", subject, span);
}

static void put_last_alive(const struct wording *w) {
    const struct wg_story *const story = &w->reasons->story;
    char date[WG_SHOWN_SIZE];
    if (story->ended == 0)
        return;
    wg_show_date(w->plan->first_day, floor(wg_story_last_day(story)), "", date);
    wg_bytes_printf(w->out, " The last to die are mostly %s, about %s.", stage_in_plural(wg_story_last_stage(story)),
                    date);
}

static void put_cold(const struct wording *w) {
    const struct wg_story *const story = &w->reasons->story;
    double deaths[WG_MONTHS];
    for (int m = 0; m < WG_MONTHS; m++)
        deaths[m] = story->deaths[WG_CAUSE_COLD][m] + story->deaths[WG_CAUSE_FREEZING][m];
    put_deaths(w, "Cold kills", deaths);
}

static void put_heat(const struct wording *w) {
    const struct wg_story *const story = &w->reasons->story;
    char hottest[WG_SHOWN_SIZE];
    put_deaths(w, "Heat kills", story->deaths[WG_CAUSE_HEAT]);
    if (isnan(story->hottest_c))
        return;
    wg_show_temperature(story->hottest_c, hottest);
    wg_bytes_printf(w->out, " The hottest hour in a bin is %s.", hottest);
}

static void put_hunger(const struct wording *w) {
    const struct wg_story *const story = &w->reasons->story;
    char share[WG_SHOWN_SIZE], kg[WG_SHOWN_SIZE];
    put_deaths(w, "Hunger kills", story->deaths[WG_CAUSE_HUNGER]);
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
    show_span(barren.span, span);
    wg_bytes_printf(w->out, " About %s flies emerge %s and lay hardly an egg", flies, span);
    return true;
}

/* "it lives in 64 if heated to 27 °C (80.6 °F)" */
static void put_set_point(const struct wording *w, int trial) {
    char shown[WG_SHOWN_SIZE];
    wg_show_temperature(w->reasons->trial[trial].set_point_c, shown);
    wg_bytes_printf(w->out, " in %lld if heated to %s", (long long)w->reasons->trial[trial].n_met, shown);
}

/* A heated place may stand between warm enough to breed and cool enough to sleep. */
static void put_set_points(const struct wording *w) {
    const int warmer = w->reasons->warmer, cooler = w->reasons->cooler;
    if (warmer == 0 && cooler == 0)
        return;
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
        put_cold(w);
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
        put_deaths(w, "Raids take", w->reasons->story.deaths[WG_CAUSE_RAID]);
        break;
    case WG_LIMIT_POWER_CUTS:
        put_power_cuts(w);
        break;
    case WG_N_LIMITS:
        break;
    }
}

/* ---- all ---- */

static bool has_answer(const struct wg_reasons *reasons) {
    if (reasons == NULL || reasons->lives == 0 || reasons->story.lives == 0)
        return false;
    return reasons->why != WG_WHY_DIES || reasons->story.ended > 0; /* else nothing was ever alive */
}

void wg_reasons_line(const struct wg_reasons *reasons, const struct wg_plan *plan, const char *name,
                     struct wg_bytes *out) {
    const struct wording w = {.reasons = reasons, .plan = plan, .out = out, .name = name};
    if (!has_answer(reasons))
        return;
    if (reasons->reason == 0) {
        put_no_reason(&w);
        return;
    }
    put_verdict(&w);
    put_counts(&w);
}

void wg_reasons_words(const struct wg_reasons *reasons, const struct wg_plan *plan, struct wg_bytes *out) {
    struct wording w = {.reasons = reasons, .plan = plan, .out = out};
    if (!has_answer(reasons))
        return;
    wg_reasons_line(reasons, plan, NULL, out);
    put_set_points(&w);
    for (int k = 0; k < reasons->trial[reasons->reason].n_limits; k++)
        put_limit_story(&w, reasons->trial[reasons->reason].limit[k]);
    put_last_alive(&w);
}

int wg_reasons_print(const struct wg_reasons *reasons, const struct wg_plan *plan, const char *name, FILE *to,
                     struct wg_error *err) {
    struct wg_bytes text = {0};
    if (name != NULL)
        wg_reasons_line(reasons, plan, name, &text);
    else
        wg_reasons_words(reasons, plan, &text);
    if (text.size > 0)
        wg_show_lines(to, 2, text.data);
    const int code = wg_bytes_failed(&text, err);
    wg_bytes_free(&text);
    return code;
}

static void put_trial_json(struct wg_json *json, const struct wg_reasons *reasons, int i) {
    const struct wg_trial *const trial = &reasons->trial[i];
    wg_json_object(json, NULL);
    wg_json_list(json, "lifted");
    for (int k = 0; k < trial->n_limits; k++)
        wg_json_text(json, NULL, wg_limit_name(trial->limit[k]));
    wg_json_close(json);
    wg_json_real(json, "set_point_c", trial->set_point_c);
    wg_json_whole(json, "of", trial->lives);
    wg_json_whole(json, reasons->why == WG_WHY_DIES ? "alive" : "with_harvest", trial->n_met);
    wg_json_real(json, "mean_harvest_kg", trial->harvest_kg);
    wg_json_real(json, "saved_low", i == 0 ? (double)NAN : trial->saved.low);
    wg_json_real(json, "saved_high", i == 0 ? (double)NAN : trial->saved.high);
    wg_json_real(json, "confidence", WG_REASON_CONFIDENCE);
    wg_json_flag(json, "beyond_luck", trial->is_sure);
    wg_json_flag(json, "is_reason", i != 0 && i == reasons->reason);
    wg_json_close(json);
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
}
