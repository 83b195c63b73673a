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
#include "schema/schema.h"

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

/* ---- by the rows of the schema ---- */

/** True if `node` is a map of the group's keys; complains of a node that is not, of unknown and of repeated keys. */
bool wg_read_group(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, enum wg_group_id group);
/** True if a key of `map` is there and a list of at least one item; complains where it is required and is not there. */
bool wg_read_list(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                  const char *name);
/** The value of a key; complains at `map` where it is required and is not there. */
const struct wg_yaml_node *wg_read_required(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                                            enum wg_group_id group, const char *name);
/** Complains that `subject` needs a key, unless it is there misspelt. */
void wg_read_missing(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *subject,
                     const struct wg_key *key);
/**
 * A value by its row: a quantity or months into a double (a word in its place is 0), a whole number into an int64_t, a
 * seed into a uint64_t, the index of a word or feed into an int, a flag or switch into a bool, a date within the period
 * into an int32_t, the index of a bin or place into an int (-1 if there is none of that name).
 */
bool wg_read_value(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const struct wg_key *key,
                   void *out);
enum wg_read_outcome { WG_READ_ABSENT, WG_READ_GOOD, WG_READ_WRONG };
/** The same of a key of a map. A required key that is not there is WG_READ_WRONG. */
enum wg_read_outcome wg_read_key(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                                 enum wg_group_id group, const char *name, void *out);
/** All keys of a group that fill a member, but those read by hand; false if one of them is wrong. */
bool wg_read_members(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                     void *members);

/* ---- what has no row of its own ---- */

/** NULL if it is not a text or empty. `what`: "a name", `example`: "trough". */
const char *wg_read_text(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                         const char *example);
/** `from` and `to` of a map as 11-01: both or neither. False leaves *season alone. */
bool wg_read_season(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                    struct wg_season *season);
/** Complains of a text ("name", "title") of more than `most` bytes, in letters. */
void wg_read_too_long(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                      size_t most);
/** A name for a place or bin, not empty, one line, less than WG_NAME_SIZE bytes. */
bool wg_read_name(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, char out[WG_NAME_SIZE]);

/* ---- the parts of a scenario ---- */

void wg_read_period(struct wg_scenario_reader *reader);
void wg_read_climate(struct wg_scenario_reader *reader);
void wg_read_places(struct wg_scenario_reader *reader);
/** The bins of place number `place`, which is `map`. */
void wg_read_bins(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, int place);
/** A heater or mat, by its group; one without power needs it. */
void wg_read_heater(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                    struct wg_heater_spec *heater);
/** u_value, or r_value as its reciprocal, of a wall with its surfaces. */
void wg_read_u(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
               double *u_w_m2k);
/** The lid of a bin and its wet-surface factor; `closed`: that of the closed lid. */
bool wg_read_lid(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                 double closed, enum wg_lid *lid, double *factor);
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

/** Reads on, or from, to, every, as far as the group knows them, into the action. */
bool wg_read_timing(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                    struct wg_action *action);
/** Adds an action to the plan. */
void wg_read_add_action(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, struct wg_action action);
/** Index of a name, -1 if there is none; without a complaint. */
int wg_read_find_bin(const struct wg_scenario_reader *reader, const char *name);
int wg_read_find_place(const struct wg_scenario_reader *reader, const char *name);
/** Complains that a name is neither of those of `bins` and `places`, with the nearest that is. */
void wg_read_unknown_name(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, bool bins, bool places);

#endif
