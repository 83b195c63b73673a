/**
 * A scenario file (YAML) read into a plan, with every mistake located.
 */
#ifndef WG_SCENARIO_SCENARIO_H
#define WG_SCENARIO_SCENARIO_H

#include "colony/plan.h"
#include "text/mistakes.h"

struct wg_scenario {
    struct wg_plan plan;
    struct wg_weather_record record; /* owned; plan.climate.record points here */
    char *path;
    char *text; /* the file as read */
    size_t text_size;
    char *record_path; /* as written in the scenario, NULL if none */
    char *record_file; /* the file that was opened for it, NULL if none was */
    char *record_text; /* the weather file as read, for provenance */
    size_t record_size;
    char *record_note;                     /* one line: what was understood of the weather file, NULL if none */
    struct wg_quantity_position *measured; /* every quantity that was read, in no order */
    size_t n_measured, measured_capacity;
    int feeding_line, feeding_column; /* where the key "feeding" stands, from 1; 0: nowhere */
};
/** A quantity in the text, as its reader took it: a dimension of quantity.h. */
struct wg_quantity_position {
    int line, column, dimension;
};
/** The dimension of the quantity at a place of the text; -1: none was read there. */
int wg_scenario_dimension(const struct wg_scenario *scenario, int line, int column);

/**
 * What may stand in the file (YAML, at most 256 KiB). * must be there; quantities carry a unit; dates are 2026-11-15,
 * days of the year 11-15, shares 80 %, names any single line below 64 bytes.
 *
 *   title
 *   period*        {from*, to*}, at most a hundred years
 *   climate*       one of: constant (laboratory) | normals | record; with latitude* (a record may bring its own),
 *                  elevation, coast: yes | no (yes: kRs 0.19, no: 0.16)
 *     normals      {unit: degF | degC, daily_high*: 12 values, daily_low*: 12 values, January first,
 *                  spread: humid subtropical | continental | marine | tropical (by latitude if not said: below 23.5
 *                  tropical, below 38 humid subtropical, else continental: judgement),
 *                  daily_high_sd, daily_low_sd: one value or 12}
 *     record       a weather file beside or below the scenario (see weather_file.h); use: years (default) | fitted (of an EPW file,
 *                  one typical year, always);
 *                  unit: degF | degC where the file does not say
 *   places*        up to 16 of {name*, housing*, heater, ground, bins}
 *     housing      a kind alone, or {kind*: outdoors | hoop house | greenhouse | shed | laboratory, floor,
 *                  cover: single film | double film | twin wall | glass, cover_area, volume, u_value | r_value,
 *                  air_changes, vent_air_changes, vents_open_above, window (shed), lamps, light (share that reaches the
 *                  flies), sun_area, sun_to_air, water (litres in barrels), mass_heat, air_heat, air_to_mass,
 *                  mass_to_ground, sky_loss}
 *       lamps      none (as where nothing is said), hours a day, or {hours*, power, price, from, to}; without power
 *                  neither their energy nor their heat is counted
 *     heater       {set_point*, power*, price, efficiency, from and to as days of the year}
 *     ground       {kind: soil | box, depth, mulch, dark: yes | no}
 *     bins         up to 64 in all of {name*, volume, insulation: none | thickness of foam, lid: closed | screen |
 *                  open, mat: {power*, set_point, price, efficiency, from, to}, summer: {from*, to*, insulation, lid},
 *                  substrate, moisture, u_value | r_value}
 *   starter        list of {on*, in* (a bin), stage*: egg | larva | prepupa, age* (larvae), count | weight*}
 *   feeding*       unlimited, or a list of {in*, what*, amount*: 3 lb each time or 12 lb/week, every (1 day), from, to
 *                  | on}
 *   keeping        list of {do*, ...}; from and to are the period unless said, `on` stands for once
 *     collect crawl-off  in* (bin), share*, give_back, from, to
 *     set traps          in* (place), share_laid_in_traps*, from, to
 *     pull traps         in* (place), every* | on*, put_in (bin) | carry_off: yes, share_laid_in_traps, from, to
 *     move               on*, from*, to*, what*: larvae | eggs (bins) | prepupae (places; pupae go along), share
 *     scoop larvae       in* (bin), every* | on*, amount | share*, from, to
 *     clear residue      in* (bin), every* | on*, share, from, to
 *     change             on*, in*; of a place: heater: on | off, set_point; of a bin: mat: on | off, set_point,
 *                        insulation, lid
 *   mishaps        {power_cut: {per_year*, lasts*}, raid: {per_year*, larvae_lost*}}
 *   wild_visitors  {peak*: 3 per day}
 *   species        {numbers: keepers | laboratory, clutch: [400, 900], any name of wg_species_parameters()}
 *   forecast       {replicates (200), seed (1), steps_per_day: 1 | 2 | 4 | 24}
 *   goal           one or a list (up to 8) of {one of survive: yes | harvest: 5 lb/week | adults: 200 | eggs_trapped: 50000
 *                  | total_harvest: 40 kg | cost: at most 120; by (the last day that allows it), lasting: 4 weeks (weekly
 *                  harvest), of: taken | crawl-off (harvests; taken if the plan takes any out), chance (90 %)}; see goal.h
 *
 * Reads and checks a file. 0; WG_ERR_INPUT with all mistakes in *problems (err
 * then holds the count); WG_ERR_FILE if it cannot be read. *scenario and
 * *problems must be freed in every case.
 */
int wg_scenario_read(struct wg_scenario *scenario, const char *path, struct wg_mistakes *problems,
                     struct wg_error *err);
/**
 * The same from text (a result's own record; fuzzing). `path` names it in messages and is the base of relative record
 * paths; record_text, if not NULL, is used in place of the record file.
 */
int wg_scenario_read_text(struct wg_scenario *scenario, const char *path, const char *text, size_t size,
                          const char *record_text, size_t record_size, struct wg_mistakes *problems,
                          struct wg_error *err);
/** What it is called everywhere: its title, or the name of its file where it has none. */
const char *wg_scenario_name(const struct wg_scenario *scenario);
void wg_scenario_free(struct wg_scenario *scenario);

/**
 * The resolved plan as readable text, a screenful, with its main numbers in
 * both unit systems. malloc'ed; NULL if there is not enough memory.
 */
char *wg_scenario_describe(const struct wg_scenario *scenario);

#endif
