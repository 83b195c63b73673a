/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Describes every key of a scenario in one row: its kind, limits, default, an example and one sentence of help.
 * Reading, `check`, `size --vary`, `help scenario`, the JSON Schema, shell completion and scenarios/README.md all come
 * from these rows.
 */
#ifndef WG_SCHEMA_SCHEMA_H
#define WG_SCHEMA_SCHEMA_H

#include "text/quantity.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

enum wg_key_kind {
    WG_KEY_QUANTITY, /* a number with its unit, or one of `words` */
    WG_KEY_WHOLE,
    WG_KEY_SEED, /* a whole number of 64 bits */
    WG_KEY_WORD,
    WG_KEY_FEED, /* one of wg_feed_types(), or of the plan's own feeds */
    WG_KEY_FLAG,
    WG_KEY_SWITCH, /* on or off */
    WG_KEY_DATE,
    WG_KEY_YEAR_DAY, /* 11-15, each year */
    WG_KEY_TEXT,
    WG_KEY_NAME, /* a new name, for a bin or place */
    WG_KEY_BIN,  /* this and the next two: the name of an existing bin or place */
    WG_KEY_PLACE,
    WG_KEY_BIN_OR_PLACE,
    WG_KEY_LATITUDE,
    WG_KEY_WHEN, /* a condition: one of wg_when_words() or a night below a temperature */
    WG_KEY_MONEY,
    WG_KEY_MONTHS,  /* twelve quantities, or one where WG_KEY_OR_ONE */
    WG_KEY_RANGE,   /* a list of two quantities */
    WG_KEY_GROUP,   /* a map with the keys of `group`, or one of `words` */
    WG_KEY_LIST,    /* a list of such groups */
    WG_KEY_ACTIONS, /* a list of groups, each chosen by its key `do` */
    WG_KEY_MIX,     /* a map of feeds with their shares */
    WG_KEY_CHOICES, /* names of values to try, variants/openings.h */
    WG_KEY_N_KINDS
};

enum wg_key_flags {
    WG_KEY_REQUIRED = 1,
    WG_KEY_DERIVED = 2,       /* by default the member holds a value derived from other keys */
    WG_KEY_IMPLIED = 4,       /* a group whose defaults apply even if the file omits it */
    WG_KEY_OR_ONE = 8,        /* accepts one item instead of a list, one value instead of twelve */
    WG_KEY_STEPS = 16,        /* a quantity in whole days or weeks */
    WG_KEY_BY_HAND = 64,      /* read by code of its group, because other keys change its meaning */
    WG_KEY_OR_RATE = 32,      /* a weight, or a weight per time */
    WG_KEY_OR_YEAR_DAY = 128, /* a date, or a day of each year */
    WG_KEY_FIRST_ONLY = 256,  /* of which only the first in the period counts */
    WG_KEY_OR_ALL = 512,      /* a name, a list of names, or the word all */
    WG_KEY_OR_MASS = 1024     /* a price of animals, or of their weight */
};

enum wg_group_id {
    WG_GROUP_SCENARIO,
    WG_GROUP_PERIOD,
    WG_GROUP_CLIMATE,
    WG_GROUP_NORMALS,
    WG_GROUP_PLACE,
    WG_GROUP_HOUSING,
    WG_GROUP_ROOM_SUMMER,
    WG_GROUP_LAMPS,
    WG_GROUP_HEATER,
    WG_GROUP_GROUND,
    WG_GROUP_BIN,
    WG_GROUP_MAT,
    WG_GROUP_SUMMER,
    WG_GROUP_STARTER,
    WG_GROUP_FEED,
    WG_GROUP_FEEDING,
    WG_GROUP_COLLECT, /* the actions, in the order of the words of `do` */
    WG_GROUP_PULL_TRAPS,
    WG_GROUP_SET_TRAPS,
    WG_GROUP_MOVE,
    WG_GROUP_SCOOP,
    WG_GROUP_CLEAR,
    WG_GROUP_CHANGE,
    WG_GROUP_PRICES,
    WG_GROUP_MISHAPS,
    WG_GROUP_POWER_CUT,
    WG_GROUP_RAID,
    WG_GROUP_WILD,
    WG_GROUP_SPECIES,
    WG_GROUP_FORECAST,
    WG_GROUP_GOAL,
    WG_N_GROUPS
};

struct wg_key {
    const char *name;
    enum wg_key_kind kind;
    enum wg_dimension dimension; /* of quantities, months and ranges */
    double least, most;          /* of numbers, in core units */
    int flags;                   /* enum wg_key_flags */
    const char *const *words;    /* terminated by NULL; NULL if there are none */
    enum wg_group_id group;
    bool has_member;
    size_t offset;         /* of its member in the struct of its group */
    const char *otherwise; /* the default, as text; NULL if there is none */
    const char *instead;   /* the key that may replace it */
    const char *with;      /* the key without which it has no meaning */
    const char *only;      /* when it may be given; NULL: always */
    const char *noun;      /* "a kind of cover", "the number of replicates", for messages */
    const char *example;   /* the text after the colon */
    const char *or_write;  /* added to the example if a required key is missing */
    const char *help;      /* one sentence */
};

struct wg_group {
    const char *name;          /* "heater", "move" */
    const char *what;          /* "a heater", for messages */
    const char *subject;       /* the same as the subject of "needs"; NULL: `what` */
    const struct wg_key *keys; /* terminated by a NULL name */
    const char *help;
    bool is_plural; /* `what` is */
};

/** Returns the dimension of a quantity, which may be the other one that its key allows. */
enum wg_dimension wg_schema_dimension(const struct wg_key *key, const char *text);

const struct wg_group *wg_schema_group(enum wg_group_id id);
/**
 * Copies key number i of a group, from 0; the model's numbers are the last keys of the species. False after the last.
 */
bool wg_schema_key(enum wg_group_id id, int i, struct wg_key *key);
/** Returns the row with that name, or NULL; the model's numbers have no rows. */
const struct wg_key *wg_schema_find(enum wg_group_id id, const char *name);

#define WG_SCHEMA_MAX_WORDS 256
/** Lists the names of a group's keys, terminated by NULL. */
void wg_schema_names(enum wg_group_id id, const char *names[WG_SCHEMA_MAX_WORDS]);
/** Lists the words that a key accepts, terminated by NULL. */
void wg_schema_words(const struct wg_key *key, const char *words[WG_SCHEMA_MAX_WORDS]);
/** Returns true if values to try may stand for a key: what a keeper chooses about places, starters, feeding and work. */
bool wg_schema_may_try(enum wg_group_id group, const struct wg_key *key);
/** Returns true if the name of a choice may stand for a value: numbers and dates. */
bool wg_schema_may_name_choice(const struct wg_key *key);
/** Returns the group of an action by its word after `do`, or -1. */
int wg_schema_action(const char *word);

#define WG_SCHEMA_TEXT 400
/** Describes the values of a key: "a temperature from -10 degC (14 degF) to 60 degC (140 degF)", "soil or box". */
void wg_schema_value_text(const struct wg_key *key, char out[WG_SCHEMA_TEXT]);

/* ---- declares the table of all keys ---- */

extern const struct wg_group wg_schema_groups[WG_N_GROUPS];

/*
 * Prints the schema and the model's numbers as help and for manual pages. Lines of help are not wrapped; wg_show_lines() does that.
 */

/** Prints all groups with the names of their keys. */
void wg_schema_print_groups(FILE *to);
/** Prints everything about the keys or the group of that name ("power", "heater.power"); returns how many it found. */
int wg_schema_print_key(FILE *to, const char *name);
/** Prints all groups, keys and model numbers as Markdown. */
void wg_schema_print_markdown(FILE *to);
/** Prints all groups and keys, or all model numbers, in the macros of man(7). */
void wg_schema_print_manual(FILE *to);
void wg_numbers_print_manual(FILE *to);
/** Prints the model's numbers whose name or meaning contains a word (NULL: all, one line each); returns how many. */
int wg_numbers_print(FILE *to, const char *word);
/** Returns the key, group or model number that was probably meant; NULL if none is similar. */
const char *wg_schema_nearest(const char *name);
const char *wg_numbers_nearest(const char *word);

#endif
