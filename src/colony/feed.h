/**
 * Feed types and the pile in a bin.
 */
#ifndef WG_COLONY_FEED_H
#define WG_COLONY_FEED_H

#include "species/species.h"

struct wg_feed_type {
    const char *name;   /* "kitchen scraps" */
    double moisture;    /* share of the wet weight, 0..1 */
    double usable;      /* share of the dry matter larvae and microbes can use */
    double quality;     /* 0..1, scales the final mass of larvae */
    double conversion;  /* factor on the species' conversion */
    const char *source; /* tag */
};
/** The table, ended by name == NULL. */
const struct wg_feed_type *wg_feed_types(void);
/** Index in the table, or -1. */
int wg_feed_find(const char *name);

/** Contents of a bin, kg of dry matter. Balance: given = eaten + microbes + usable left. */
struct wg_bin_contents {
    double usable_kg;     /* can still be eaten */
    double residue_kg;    /* not usable: stays until the keeper clears it */
    double frass_kg;      /* decomposes */
    double quality_kg;    /* usable_kg weighted by quality: mean quality = quality_kg / usable_kg */
    double conversion_kg; /* usable_kg weighted by conversion */
};

#endif
