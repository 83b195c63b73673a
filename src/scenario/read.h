/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads the tree of a scenario into a plan.
 *
 * A reader accepts a NULL node, for a key that the file leaves out, and returns false without a message, so an optional
 * number takes one line. For a wrong node it adds a mistake and returns false; reading continues and collects all
 * mistakes.
 */
#ifndef WG_SCENARIO_READ_H
#define WG_SCENARIO_READ_H

#include "records/yaml.h"
#include "scenario/scenario.h"
#include "schema/schema.h"

#include <stdbool.h>

/** A day of the year, as read: 02-29 is kept. */
struct wg_year_day {
    int month, day;
};

/** The season in which the actions of a line are repeated each year; one day has from == to. */
struct wg_yearly {
    bool is_given;
    struct wg_year_day from, to;
};

struct wg_scenario_reader {
    struct wg_scenario *scenario;
    struct wg_plan *plan; /* the scenario's */
    struct wg_mistakes *problems;
    const char *record_text; /* in place of the record file, or NULL */
    size_t record_size;
    const struct wg_text_given *given; /* in place of all files, or NULL */
    const struct wg_yaml_node *root;
    const struct wg_yaml_node *place_at[WG_MAX_PLACES], *bin_at[WG_MAX_BINS], *heater_at[WG_MAX_PLACES];
    bool has_heater[WG_MAX_PLACES];
    bool housing_wrong[WG_MAX_PLACES]; /* its kind is not known, which has been reported */
    bool feeds_wrong;                  /* an own feed has no name that feedings could use, which has been reported */
    const struct wg_yaml_node **action_at; /* the node of each action of the plan */
    size_t action_capacity;
    bool too_many_places, too_many_bins, too_many_actions; /* reported already */
    struct wg_yearly yearly;                               /* of the action that is being read */
    const struct wg_yaml_node *conflict_at[2];             /* the last contradiction between two actions */
    bool started, wild;                                    /* the file has a starter, wild visitors, correct or not */
    bool has_currency;                                     /* the key is given, correct or not */
    bool period_known;                                     /* first_day and last_day are valid */
    int code; /* WG_ERR_MEMORY: reading continues harmlessly and returns this at the end */
};

/* ---- mistakes ---- */

/** Adds a mistake at a node. */
void wg_read_mistake(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/** Adds a mistake at the key of a node, for a mistake in the key and not in its value. */
void wg_read_mistake_key(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* ---- by the rows of the schema ---- */

/** Returns whether `node` is a map; reports a node that is not, and unknown and repeated keys. */
bool wg_read_group(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, enum wg_group_id group);
/** Returns whether a key of `map` is a list of at least one item; reports a missing key if it is required. */
bool wg_read_list(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                  const char *name);
/** Returns the value of a key, or NULL; reports a missing key at `map` if it is required. */
const struct wg_yaml_node *wg_read_required(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                                            enum wg_group_id group, const char *name);
/** Reports that `subject` needs a key, unless the map holds it misspelt. */
void wg_read_missing(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *subject,
                     const struct wg_key *key);
/** Returns whether a map holds a misspelt form of a missing key, which has been reported already. */
bool wg_read_is_misspelt(const struct wg_yaml_node *map, const char *key);
/**
 * Reads a value by its row: a quantity or month into a double (a word in its place is 0), a whole number into an
 * int64_t, a seed into a uint64_t, the index of a word or feed into an int, a flag or switch into a bool, a date within
 * the period into an int32_t (unchanged for a word), a day of the year into an int, the index of a bin or place into an int (-1 for an unknown name).
 */
bool wg_read_value(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const struct wg_key *key,
                   void *out);
enum wg_read_outcome { WG_READ_ABSENT, WG_READ_GOOD, WG_READ_WRONG };
/** Reads the value of a key of a map. A missing required key is WG_READ_WRONG. */
enum wg_read_outcome wg_read_key(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                                 enum wg_group_id group, const char *name, void *out);
/** Reads all keys of a group that fill a member, except those read by hand; returns false if one is wrong. */
bool wg_read_members(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                     void *members);

/** Returns the row of a key that its group has (wg_assert). */
const struct wg_key *wg_read_key_row(enum wg_group_id group, const char *name);

/* ---- values without a row of their own ---- */

/** Returns the text, or NULL if the node is empty or not a text. `what`: "a name", `example`: "trough". */
const char *wg_read_text(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                         const char *example);
/** Returns true if the node is this word. */
bool wg_read_is_word(const struct wg_yaml_node *node, const char *word);
/** Reads `from` and `to` of a map as 11-01: both or neither. *season is unchanged if it returns false. */
bool wg_read_season(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                    struct wg_season *season);
/** Reports a text ("name", "title") that is longer than `most` bytes. */
void wg_read_too_long(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *what,
                      size_t most);
/** Reads a name for a place or bin: not empty, one line, less than WG_NAME_SIZE bytes. */
bool wg_read_name(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, char out[WG_NAME_SIZE]);

/* ---- the plans on which it is based ---- */

struct wg_base_reader {
    const char *path;                  /* of the plan */
    const struct wg_text_given *given; /* in place of all files, or NULL */
    struct wg_mistakes *problems;
};
/**
 * Merges the plan that `based_on` names into the tree, and its own base before that; problems->base[] holds the files.
 * Returns 0, WG_ERR_MEMORY, or WG_ERR_INPUT with a mistake added.
 */
int wg_read_bases(struct wg_base_reader *reader, struct wg_yaml *yaml);
/** True for a relative path without "..": a plan from someone else must not read other files. */
bool wg_read_is_inside_folder(const char *path);
/** Returns the path of a file named in another, malloc'ed; NULL if out of memory. */
char *wg_read_path_beside(const char *path, const char *name);

/* ---- the parts of a scenario ---- */

void wg_read_period(struct wg_scenario_reader *reader);
void wg_read_climate(struct wg_scenario_reader *reader);
void wg_read_places(struct wg_scenario_reader *reader);
/** Notes the currency that an amount of money names; reports one that contradicts the plan's. */
bool wg_read_currency_of(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, const char *text);
/** Reads the bins of place number `place`, whose node is `map`. */
void wg_read_bins(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, int place);
/** Reads a heater or mat, by its group. */
void wg_read_heater(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                    struct wg_heater_spec *heater);
/** Reports a heater or lamps that wait until the colony is dead. */
void wg_read_refuse_reserve(struct wg_scenario_reader *reader, const struct wg_yaml_node *node,
                            const struct wg_when *when);
/** Reads u_value, or r_value as its reciprocal, of a wall with its surfaces. */
void wg_read_u(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
               double *u_w_m2k);
/** Reads the lid of a bin and its wet-surface factor; `closed` is the factor of the closed lid. */
bool wg_read_lid(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                 double closed, enum wg_lid *lid, double *factor);
void wg_read_starter(struct wg_scenario_reader *reader);
/** Reads the feeds of the keeper's own; call it before wg_read_feeding(). */
void wg_read_feeds(struct wg_scenario_reader *reader);
void wg_read_feeding(struct wg_scenario_reader *reader);
void wg_read_keeping(struct wg_scenario_reader *reader);
void wg_read_prices(struct wg_scenario_reader *reader);
/** Reads insulation_price and insulation_lasts of a house or bin. */
void wg_read_insulation_price(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                              struct wg_insulation_price *price);
/** Reads an optional price into its members. */
bool wg_read_price(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                   const char *name, struct wg_price *price);
void wg_read_mishaps(struct wg_scenario_reader *reader);
void wg_read_species(struct wg_scenario_reader *reader);
void wg_read_forecast(struct wg_scenario_reader *reader);
/** Reads the goals. Call it after the period, places and keeping, against which goals are checked. */
void wg_read_goal(struct wg_scenario_reader *reader);
/** Reports values to try that their keys do not accept. Call it after everything that they may name. */
void wg_read_openings(struct wg_scenario_reader *reader);
/** Reports contradictions, after everything else has been read. */
void wg_read_check(struct wg_scenario_reader *reader);

/* ---- read_names.c, read_timing.c: actions ---- */

/** Returns the number of a known or own feed, or -1; reports nothing. */
int wg_read_find_feed(const struct wg_scenario_reader *reader, const char *name);
/** Lists the names of all feeds, known and own, terminated by NULL. */
void wg_read_feed_names(const struct wg_scenario_reader *reader, const char *names[WG_SCHEMA_MAX_WORDS]);
/** Bins or places by their numbers. */
struct wg_targets {
    int n, index[WG_MAX_BINS];
};
/** Reads the name of a bin or place; reports an unknown one and sets -1. */
bool wg_read_place_name(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, bool is_bin, int *out);
/** Reads a name, a list of names or the word all after `in`; returns false, with no targets, if something is wrong. */
bool wg_read_targets(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                     struct wg_targets *targets);
/** Reads the keys on, from, to and every that the group has into the action. */
bool wg_read_timing(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, enum wg_group_id group,
                    struct wg_action *action);
/** Reads a weight each time, or a rate ("12 lb/week") shared among the times. */
bool wg_read_amount(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const struct wg_key *key,
                    int32_t every, double *kg);
/** Adds an action to the plan, in every year of the period if its timing is a season (reader->yearly). */
void wg_read_add_action(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, struct wg_action action);
/** Adds an action once. */
void wg_read_append_action(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, struct wg_action action);

/* ---- read_seasons.c ---- */

/** True for a text of the form 05-01, whether or not there is such a day. */
bool wg_read_is_year_day(const struct wg_yaml_node *node);
/** Reads a text of that form; reports one that is no day. */
bool wg_read_year_day(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, struct wg_year_day *day);
/** Reads a text of that form as its first occurrence in the period; reports that there is none. */
bool wg_read_first_year_day(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, int32_t *day);
/** Reads a season, at least one of whose ends has that form, into reader->yearly, and its first days in the period. */
bool wg_read_yearly(struct wg_scenario_reader *reader, const struct wg_yaml_node *from, const struct wg_yaml_node *to,
                    struct wg_action *action);
/** Adds an action for each time that reader->yearly comes in the period. */
void wg_read_repeat_action(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, struct wg_action action);

/** Returns the index of a name, or -1; reports nothing. */
int wg_read_find_bin(const struct wg_scenario_reader *reader, const char *name);
int wg_read_find_place(const struct wg_scenario_reader *reader, const char *name);
/** Reports an unknown name of a bin (if `bins`) or place (if `places`), with the nearest known one. */
void wg_read_unknown_name(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, bool bins, bool places);

#endif
