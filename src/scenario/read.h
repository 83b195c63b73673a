/**
 * Walking a scenario's tree into a plan.
 *
 * The readers take a node that may be NULL (the key is not there): they return
 * false and say nothing, so an optional number is one line. A node that is wrong
 * adds a mistake and returns false too: the walk goes on and collects them all.
 */
#ifndef WG_SCENARIO_READ_H
#define WG_SCENARIO_READ_H

#include "scenario/yaml.h"
#include "text/quantity.h"

#include <stdbool.h>

struct wg_scenario_reader {
    struct wg_scenario *scenario;
    struct wg_plan *plan; /* the scenario's */
    struct wg_mistakes *problems;
    const char *record_text; /* in place of the record file, or NULL */
    size_t record_size;
    const struct wg_yaml_node *root;
    const struct wg_yaml_node *place_at[WG_MAX_PLACES], *bin_at[WG_MAX_BINS], *heater_at[WG_MAX_PLACES];
    bool has_heater[WG_MAX_PLACES];
    const struct wg_yaml_node **action_at; /* where each action of the plan stands */
    size_t action_capacity;
    bool too_many_places, too_many_bins; /* has been said */
    bool started, wild;                  /* a starter, wild visitors were written, right or wrong */
    bool period_known;                   /* first_day and last_day can be compared with */
    int code;                            /* out of memory: the walk ends harmlessly and gives this back */
};

/* ---- mistakes ---- */

/** Adds a mistake at a node. */
void wg_read_mistake(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/** ... at the key of a node, where the key and not the value is the matter. */
void wg_read_mistake_key(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* ---- groups of keys ---- */

/** True if `node` is a map; complains of a node that is not, of unknown and of repeated keys. `what`: "a heater". */
bool wg_read_map(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                 const char *const *keys);
/** True if `node` is a list of at least one item. */
bool wg_read_list(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                  const char *example);
/** The value of a key that must be there; complains at `map` if it is not. `example`: "period: {...}". */
const struct wg_yaml_node *wg_read_required(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                                            const char *key, const char *what, const char *example);

/* ---- values ---- */

/** NULL if it is not a text or empty. `what`: "a name", `example`: "trough". */
const char *wg_read_text(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                         const char *example);
/** Notes what a quantity at that place is (see wg_scenario_dimension()). */
void wg_read_measured(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, enum wg_dimension dimension);
/** The value in core units, least..most. */
bool wg_read_quantity(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, enum wg_dimension dimension,
                      double least, double most, double *out);
/** A whole number, least..most. `what`: "the number of replicates". */
bool wg_read_whole(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what, int64_t least,
                   int64_t most, int64_t *out);
/** 2026-11-15 */
bool wg_read_date(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, int32_t *day);
/** `from` and `to` of a map as 11-01: both or neither. False leaves *season alone. */
bool wg_read_season(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *what,
                    struct wg_season *season);
/** yes or no (true, false, on, off as well) */
bool wg_read_flag(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, bool *out);
/** Index of a word among `words` (ended by NULL), -1 if it is not there. `what`: "a kind of housing". */
int wg_read_word(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                 const char *const *words);
/** Complains of a text ("name", "title") of more than `most` bytes, in letters. */
void wg_read_too_long(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                      size_t most);
/** A name for a place or bin, not empty, one line, less than WG_NAME_SIZE bytes. */
bool wg_read_name(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, char out[WG_NAME_SIZE]);

/* ---- the parts of a scenario ---- */

void wg_read_period(struct wg_scenario_reader *reader);
void wg_read_climate(struct wg_scenario_reader *reader);
void wg_read_places(struct wg_scenario_reader *reader);
/** The bins of place `place`. */
void wg_read_bins(struct wg_scenario_reader *reader, const struct wg_yaml_node *bins, int place);
/** A heater or mat; one without power needs it. `what`: "a heater". */
void wg_read_heater(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *what,
                    struct wg_heater_spec *heater);
/** u_value, or r_value as its reciprocal, of a wall with its surfaces. */
void wg_read_u(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, double *u_w_m2k);
/** Foam of an insulation: "none" or a thickness. */
bool wg_read_insulation(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, double *foam_m);
/** Wet-surface factor of "closed", "screen" or "open"; `closed`: that of the closed lid. */
bool wg_read_lid(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, double closed, double *lid);
void wg_read_starter(struct wg_scenario_reader *reader);
void wg_read_feeding(struct wg_scenario_reader *reader);
void wg_read_keeping(struct wg_scenario_reader *reader);
void wg_read_mishaps(struct wg_scenario_reader *reader);
void wg_read_species(struct wg_scenario_reader *reader);
void wg_read_forecast(struct wg_scenario_reader *reader);
/** After the period, places and keeping: a goal is checked against them. */
void wg_read_goal(struct wg_scenario_reader *reader);
/** What contradicts what, once all is read. */
void wg_read_check(struct wg_scenario_reader *reader);

/* ---- actions ---- */

/** When an action happens. */
struct wg_timing {
    int32_t from, to, every;
};
/** Which keys of timing an action may use. */
enum wg_timing_keys { WG_TIMING_ONCE = 1, WG_TIMING_REPEATED = 2 };
/** Reads on, or from, to, every (a default of 0 makes it required). `what`: the action's name. */
bool wg_read_timing(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *what, int keys,
                    int32_t every, struct wg_timing *timing);
/** A date within the period. */
bool wg_read_day(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, int32_t *day);
/** Adds an action to the plan. */
void wg_read_add_action(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, struct wg_action action);
/** The bin or place a key names, -1 with a complaint. `what`: the action's name. */
int wg_read_bin(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *key, const char *what);
int wg_read_place(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *key, const char *what);
/** Index of a name, -1 if there is none; without a complaint. */
int wg_read_find_bin(const struct wg_scenario_reader *reader, const char *name);
int wg_read_find_place(const struct wg_scenario_reader *reader, const char *name);
/** Complains that a name is neither of those of `bins` and `places`, with the nearest that is. */
void wg_read_unknown_name(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, bool bins, bool places);

#endif
