/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * "life": one replicate day by day.
 */
#include "base/calendar.h"
#include "browser/life.h"
#include "browser/page.h"
#include "forecast/lattice.h"
#include "forecast/thread_pool.h"
#include "text/show.h"

#include <stdlib.h>

/* ---- how it ended ---- */

#define LAST_DAYS 91 /* judgement: a season */

static int64_t left_alive(const struct wg_diary *diary, int day) {
    int64_t alive = 0;
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        alive += diary->count[(size_t)day * WG_N_STAGES + (size_t)stage];
    return alive;
}

static int last_living_day(const struct wg_diary *diary) {
    int day = diary->n_days - 1;
    while (day > 0 && left_alive(diary, day) == 0)
        day--;
    return day;
}

/* Returns what killed most in the last season, beside age and what kills a few everywhere; NULL if nothing did. */
static const char *cause_of_end(const struct wg_diary *diary, int last) {
    int64_t deaths[WG_N_CAUSES] = {0};
    int most = WG_CAUSE_AGE;
    const int end = last + 1 < diary->n_days ? last + 1 : last;
    for (int day = end > LAST_DAYS ? end - LAST_DAYS : 0; day <= end; day++)
        for (int cause = 0; cause < WG_N_CAUSES; cause++)
            deaths[cause] += diary->deaths[(size_t)day * WG_N_CAUSES + (size_t)cause];
    deaths[WG_CAUSE_AGE] = deaths[WG_CAUSE_BACKGROUND] = 0;
    for (int cause = 0; cause < WG_N_CAUSES; cause++)
        most = deaths[cause] > deaths[most] ? cause : most;
    return deaths[most] > 0 ? wg_cause_name((enum wg_cause)most) : NULL;
}

void wg_life_put_end(struct wg_json *json, const struct wg_diary *diary) {
    char day[16];
    const int last = last_living_day(diary);
    if (diary->survived > 0)
        return;
    wg_day_format(diary->first_day + last, day);
    wg_json_text(json, "until", day);
    wg_json_text(json, "cause", cause_of_end(diary, last));
}

/* ---- its days ---- */

struct life_sheet {
    struct wg_json *json;
    const struct wg_plan *plan;
};

/* Writes column `column` of `width` of a series of so many days. */
static void put_reals(struct wg_json *json, const char *key, const double *values, int n_days, int width, int column) {
    wg_json_list(json, key);
    for (int day = 0; day < n_days; day++)
        wg_json_real(json, NULL, values[(size_t)day * (size_t)width + (size_t)column]);
    wg_json_close(json);
}

static void put_life_counts(struct wg_json *json, const char *key, const int64_t *values, int n_days, int width,
                            int column) {
    wg_json_list(json, key);
    for (int day = 0; day < n_days; day++)
        wg_json_whole(json, NULL, values[(size_t)day * (size_t)width + (size_t)column]);
    wg_json_close(json);
}

static void put_life_stages(struct wg_json *json, const struct wg_diary *diary) {
    wg_json_object(json, "stages");
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        put_life_counts(json, wg_stage_name((enum wg_stage)stage), diary->count, diary->n_days, WG_N_STAGES, stage);
    wg_json_close(json);
}

static void put_warmth(struct wg_json *json, const struct wg_plan *plan, const struct wg_diary *diary) {
    put_reals(json, "outdoors", diary->outdoor_temperature, diary->n_days, 1, 0);
    wg_json_list(json, "places");
    for (int p = 0; p < plan->n_places; p++) {
        wg_json_object(json, NULL);
        wg_json_text(json, "name", plan->places[p].name);
        put_reals(json, "temperature", diary->air_temperature, diary->n_days, plan->n_places, p);
        put_reals(json, "ground", diary->ground_temperature, diary->n_days, plan->n_places, p);
        wg_json_close(json);
    }
    wg_json_close(json);
    wg_json_list(json, "bins");
    for (int b = 0; b < plan->n_bins; b++) {
        wg_json_object(json, NULL);
        wg_json_text(json, "name", plan->bins[b].name);
        put_reals(json, "temperature", diary->bin_temperature, diary->n_days, plan->n_bins, b);
        wg_json_close(json);
    }
    wg_json_close(json);
}

/* "It lives to the end, and 12.3 kg (27 lb) is taken out." */
static void put_life_text(struct wg_json *json, const struct wg_diary *diary) {
    char text[320], mass[WG_SHOWN_SIZE], day[24];
    wg_show_mass(diary->total_harvest_mass, mass);
    wg_day_format_long(diary->first_day + last_living_day(diary), day);
    if (diary->survived > 0)
        (void)snprintf(text, sizeof text, "It lives to the end, and %s is taken out.", mass);
    else
        (void)snprintf(text, sizeof text, "It dies out: the last animal is alive on %s. %s is taken out.", day, mass);
    wg_json_text(json, "text", text);
}

static int put_life(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    const struct life_sheet *const sheet = self;
    struct wg_json *const json = sheet->json;
    const struct wg_cell cell = wg_lattice_cell(sheet->plan, replicate);
    char day[16];
    (void)err;
    wg_day_format(diary->first_day, day);
    wg_json_whole(json, "days", diary->n_days);
    wg_json_text(json, "first_day", day);
    wg_json_whole(json, "year", replicate);
    wg_json_whole(json, "animal", cell.animal);
    wg_json_whole(json, "winter", cell.winter);
    wg_json_flag(json, "alive", diary->survived > 0);
    wg_life_put_end(json, diary);
    put_life_text(json, diary);
    wg_json_real(json, "harvest_kg", diary->total_harvest_mass);
    put_life_stages(json, diary);
    put_warmth(json, sheet->plan, diary);
    put_reals(json, "crawl_off", diary->crawl_off_mass, diary->n_days, 1, 0);
    put_reals(json, "harvest", diary->harvest_mass, diary->n_days, 1, 0);
    return 0;
}

int wg_call_life(struct wg_call *call) {
    struct wg_scenario scenario = {0};
    uint64_t year = 0;
    int code = wg_call_plan(call, wg_request_part(call->request, "plan"), &scenario);
    (void)wg_request_whole(call->request, "seed", &scenario.plan.seed);
    if (code == 0 && (!wg_request_whole(call->request, "year", &year) || year >= WG_MAX_REPLICATES))
        code = wg_fail(&call->err, WG_ERR_USAGE, "request", "A life needs the number of its year.");
    if (code == 0) {
        struct life_sheet sheet = {call->answer, &scenario.plan};
        const struct wg_observer observer = {put_life, &sheet};
        code = wg_replicates_run(&scenario.plan, NULL, (int64_t)year, 1, &observer, &call->err);
    }
    wg_scenario_free(&scenario);
    return code;
}
