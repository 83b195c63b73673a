/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Lists words that keepers write in a plan for others that it knows.
 */
#include "text/keepers_words.h"

#include "text/nearest_word.h"

#include <stdbool.h>
#include <stddef.h>
#include <string.h>
#include <strings.h>

/* ---- keys ---- */

/* Groups: their names in the schema; NULL: any. */
static const struct {
    const char *group, *word, *write;
} other_keys[] = {
    {"housing", "dark", "Whether it is dark is said of the ground, beside housing: ground: {dark: yes}."},
    {"housing", "heater", "A heater stands beside housing, not in it: heater: {set_point: 65 degF, power: 1500 W}."},
    {"housing", "insulation", "Write the R value of the walls, for example r_value: R-13."},
    {"feed", "price", "What a feed costs is said where it is given: feeding: [{..., price: 0.20 per kg}]."},
    {"prices", "electricity",
     "The price of energy stands with each heater, mat and set of lamps: price: 0.15 per kWh."},
    {"prices", "energy", "The price of energy stands with each heater, mat and set of lamps: price: 0.15 per kWh."},
    {"prices", "heat", "The price of energy stands with each heater, mat and set of lamps: price: 0.15 per kWh."},
    {"prices", "lamps", "The price of energy stands with each heater, mat and set of lamps: price: 0.15 per kWh."},
    {"prices", "feed", "What a feed costs is said where it is given: feeding: [{..., price: 0.20 per kg}]."},
    {"prices", "starter", "What animals cost is said of each starter: price: 2 per 1000."},
    {"prices", "starters", "What animals cost is said of each starter: price: 2 per 1000."},
    {"prices", "insulation",
     "What insulation costs is said of each housing or bin: insulation_price: 0.90 per m2 and R."},
    {"change", "until", "A change holds until the next one: add another line with do: change for that day."},
    {"pull traps", "when", "Write every: before they hatch, or every: 3 days."},
    {"clear residue", "when", "Write every: when full, or every: 30 days."},
    {"scoop larvae", "when", "Write the days: every: 7 days, from: 05-01, to: 09-30."},
};

const char *wg_keepers_key(const char *group, const char *word) {
    for (size_t i = 0; i < sizeof other_keys / sizeof *other_keys; i++)
        if (strcasecmp(word, other_keys[i].word) == 0 && strcmp(group, other_keys[i].group) == 0)
            return other_keys[i].write;
    return NULL;
}

static const struct {
    const char *word, *key;
} other_names[] = {
    {"date", "on"},         {"day", "on"},        {"start", "from"},    {"since", "from"},    {"until", "to"},
    {"end", "to"},          {"size", "floor"},    {"size", "volume"},   {"area", "floor"},    {"number", "count"},
    {"frequency", "every"}, {"when", "every"},    {"limit", "at most"}, {"food", "what"},     {"feed", "what"},
    {"water", "moisture"},  {"dry", "moisture"},  {"grubs", "larvae"},  {"frass", "residue"}, {"compost", "residue"},
    {"profit", "balance"},  {"alive", "survive"}, {"watts", "power"},   {"cost", "price"},    {"temp", "temperature"},
    {"test", "try"},        {"values", "try"},    {"options", "try"},   {"current", "now"},
};

const char *wg_keepers_key_meant(const char *word, const char *const *keys) {
    for (size_t i = 0; i < sizeof other_names / sizeof *other_names; i++)
        if (strcasecmp(word, other_names[i].word) == 0 && wg_word_index(other_names[i].key, keys) >= 0)
            return other_names[i].key;
    return NULL;
}

/* ---- values ---- */

static const char a_room[] =
    "Write housing: {kind: room, temperature: 68 degF}, with the temperature of the room they are in.";

static const struct {
    const char *noun, *word, *write;
} other_values[] = {
    {"a kind of housing", "basement",
     "A basement under a heated house is a room: write housing: {kind: room, temperature: 60 degF}. One as cool as the "
     "soil around it is a cellar: write housing: cellar."},
    {"a kind of housing", "root cellar", "Write housing: cellar; it is as warm as the soil around it."},
    {"a kind of housing", "cold room",
     "Write housing: {kind: cellar, temperature: 45 degF}, or housing: cellar for one as "
     "cool as the soil around it."},
    {"a kind of housing", "house", a_room},
    {"a kind of housing", "home", a_room},
    {"a kind of housing", "indoors", a_room},
    {"a kind of housing", "inside", a_room},
    {"a kind of housing", "kitchen", a_room},
    {"a kind of housing", "closet", a_room},
    {"a kind of housing", "classroom",
     "Write housing: {kind: room, temperature: 70 degF}, with the temperature of the room they are in."},
    {"a kind of housing", "garage",
     "A garage without heat, or with a heater of its own, is a shed: write housing: shed. One as warm as the house is "
     "a "
     "room: write housing: {kind: room, temperature: 60 degF}."},
    {"a kind of housing", "barn",
     "A barn is a shed: write housing: shed, with its floor and r_value if you know them."},
    {"a kind of housing", "tunnel", "Write housing: hoop house."},
    {"a kind of housing", "fridge", "Write housing: {kind: refrigerator, temperature: 40 degF}."},
    {"a kind of housing", "freezer",
     "They die in a freezer. To hold prepupae write housing: {kind: refrigerator, temperature: 40 degF}."},
    {"a sketch of a climate", "mediterranean", "Write sketch: dry summers."},
    {"a sketch of a climate", "desert", "Write sketch: dry and hot."},
    {"a sketch of a climate", "continental", "Write sketch: cold inland, or sketch: four seasons."},
    {"a sketch of a climate", "temperate", "Write sketch: four seasons, or near the sea sketch: mild coast."},
    {"a sketch of a climate", "maritime", "Write sketch: mild coast."},
    {"a sketch of a climate", "tropical", "Write sketch: warm coast, or sketch: hot and humid."},
    {"a sketch of a climate", "subtropical", "Write sketch: hot and humid, or sketch: warm coast."},
    {"a known action", "harvest",
     "Larvae are taken out with do: scoop larvae, or caught below a ramp with do: collect crawl-off."},
    {"a known action", "feed",
     "Feed has a list of its own: feeding: [{in: trough, what: kitchen scraps, amount: 3 lb}]."},
    {"a known action", "give", "To give animals to a neighbour, write do: move, to: the place with keeper: neighbour."},
    {"a known action", "heat", "Write do: change, in: shed, set_point: 65 degF."},
    {"a known action", "empty", "Write do: clear residue."},
    {"a stage that can be moved", "flies", "Flies stay at their place. Write what: prepupae, or what: everything."},
    {"a stage that can be moved", "adults", "Flies stay at their place. Write what: prepupae, or what: everything."},
    {"a stage that can be moved", "pupae", "Pupae move with prepupae: write what: prepupae."},
    {"a stage that can be moved", "bin", "To move all that a bin holds, write what: everything."},
    {"a known feed", "manure", "Write what: chicken manure, or what: cattle manure."},
    {"a known feed", "spent grain", "Write what: spent brewery grain."},
    {"a known feed", "vegetables", "Write what: kitchen scraps."},
    {"a date", "when full", "Write every: when full, without on."},
    {"a date", "full", "Write every: when full, without on."},
    {"a date", "before they hatch", "Write every: before they hatch, without on."},
    {"a date", "none", "To leave a move or a change out, write on: never."},
    {"a keeper", "me", "Write keeper: own, or leave keeper out."},
    {"a keeper", "mine", "Write keeper: own, or leave keeper out."},
    {"a keeper", "other", "Write keeper: neighbour."},
};

const char *wg_keepers_value(const char *noun, const char *word) {
    for (size_t i = 0; noun != NULL && i < sizeof other_values / sizeof *other_values; i++)
        if (strcasecmp(word, other_values[i].word) == 0 && strcmp(noun, other_values[i].noun) == 0)
            return other_values[i].write;
    return NULL;
}
