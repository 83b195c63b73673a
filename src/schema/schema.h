/**
 * Every key of a scenario, one row each: what it holds, its limits, what it is where the file is silent, an example and
 * one sentence of help. Reading, `check`, `size --vary`, `help scenario`, the JSON Schema, shell completion and
 * scenarios/README.md all come from these rows.
 */
#ifndef WG_SCHEMA_SCHEMA_H
#define WG_SCHEMA_SCHEMA_H

#include "text/quantity.h"

#include <stdbool.h>
#include <stddef.h>

enum wg_key_kind {
    WG_KEY_QUANTITY, /* a number with its unit; one of `words` may stand instead */
    WG_KEY_WHOLE,
    WG_KEY_SEED, /* a whole number of 64 bits */
    WG_KEY_WORD,
    WG_KEY_FEED, /* one of wg_feed_types() */
    WG_KEY_FLAG,
    WG_KEY_SWITCH, /* on or off */
    WG_KEY_DATE,
    WG_KEY_YEAR_DAY, /* 11-15, each year */
    WG_KEY_TEXT,
    WG_KEY_NAME, /* given here */
    WG_KEY_BIN,  /* names of bins and places that the scenario has */
    WG_KEY_PLACE,
    WG_KEY_BIN_OR_PLACE,
    WG_KEY_LATITUDE,
    WG_KEY_MONEY,
    WG_KEY_MONTHS,  /* twelve quantities, or one where WG_KEY_OR_ONE */
    WG_KEY_RANGE,   /* a list of two quantities */
    WG_KEY_GROUP,   /* of the keys of `group`; one of `words` may stand instead */
    WG_KEY_LIST,    /* of such groups */
    WG_KEY_ACTIONS, /* of groups chosen by their key `do` */
    WG_KEY_N_KINDS
};

enum wg_key_flags {
    WG_KEY_REQUIRED = 1,
    WG_KEY_DERIVED = 2,  /* where the file is silent, the member holds what follows from other keys */
    WG_KEY_IMPLIED = 4,  /* a group whose defaults hold where it is not written */
    WG_KEY_OR_ONE = 8,   /* one item will do in place of the list; one value in place of twelve */
    WG_KEY_STEPS = 16,   /* a quantity in whole days or weeks */
    WG_KEY_BY_HAND = 64, /* other keys change what it means, so its group reads it */
    WG_KEY_OR_RATE = 32, /* a weight, or a weight per time */
};

enum wg_group_id {
    WG_GROUP_SCENARIO,
    WG_GROUP_PERIOD,
    WG_GROUP_CLIMATE,
    WG_GROUP_NORMALS,
    WG_GROUP_PLACE,
    WG_GROUP_HOUSING,
    WG_GROUP_LAMPS,
    WG_GROUP_HEATER,
    WG_GROUP_GROUND,
    WG_GROUP_BIN,
    WG_GROUP_MAT,
    WG_GROUP_SUMMER,
    WG_GROUP_STARTER,
    WG_GROUP_FEEDING,
    WG_GROUP_COLLECT, /* the actions, in the order of the words of `do` */
    WG_GROUP_PULL_TRAPS,
    WG_GROUP_SET_TRAPS,
    WG_GROUP_MOVE,
    WG_GROUP_SCOOP,
    WG_GROUP_CLEAR,
    WG_GROUP_CHANGE,
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
    const char *const *words;    /* ended by NULL; NULL: none */
    enum wg_group_id group;
    bool has_member;
    size_t offset;         /* of the member it fills, in the struct of its group */
    const char *otherwise; /* what holds where the file is silent; NULL: nothing does */
    const char *instead;   /* the key that may stand for it */
    const char *with;      /* the key without which it means nothing */
    const char *only;      /* when it may be written; NULL: always */
    const char *noun;      /* "a kind of cover", "the number of replicates": for words and whole numbers */
    const char *example;   /* as written behind the colon */
    const char *or_write;  /* what follows the example where a required key is missing */
    const char *help;      /* one sentence */
};

struct wg_group {
    const char *name;          /* "heater", "move" */
    const char *what;          /* "a heater", in a mistake */
    const char *subject;       /* the same before "needs"; NULL: as `what` */
    const struct wg_key *keys; /* ended by a name of NULL */
    const char *help;
};

const struct wg_group *wg_schema_group(enum wg_group_id id);
/** Key number i of a group, from 0; the model's numbers are the last keys of the species. False: there are no more. */
bool wg_schema_key(enum wg_group_id id, int i, struct wg_key *key);
/** The row of that name; NULL: there is none (the model's numbers have no rows of their own). */
const struct wg_key *wg_schema_find(enum wg_group_id id, const char *name);

#define WG_SCHEMA_MAX_WORDS 256
/** The names of a group's keys, ended by NULL. */
void wg_schema_names(enum wg_group_id id, const char *names[WG_SCHEMA_MAX_WORDS]);
/** The words a key may be, ended by NULL. */
void wg_schema_words(const struct wg_key *key, const char *words[WG_SCHEMA_MAX_WORDS]);
/** The group of an action by the word after `do`; -1: there is none. */
int wg_schema_action(const char *word);

/** "a temperature from -10 degC (14 degF) to 60 degC (140 degF)", "soil or box": what may stand behind the colon. */
#define WG_SCHEMA_TEXT 400
void wg_schema_value_text(const struct wg_key *key, char out[WG_SCHEMA_TEXT]);

#endif
