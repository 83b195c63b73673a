/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Conditions on which a keeper can act: what is seen in the morning, and the forecast of the coming night.
 *
 * Each is judged once, at the start of a day, from the state of the evening before, at any number of steps a day. The
 * forecast is the model's own weather from noon to the noon after, so it is never wrong (judgement: forecasts of the
 * next night err by one or two kelvins).
 */
#ifndef WG_HOUSING_WHEN_H
#define WG_HOUSING_WHEN_H

enum wg_when_kind {
    WG_WHEN_ALWAYS,
    WG_WHEN_FLIES,      /* flies are alive in the place */
    WG_WHEN_CRAWL_OFF,  /* larvae left a bin of the place on the day before */
    WG_WHEN_ASLEEP,     /* no flies and no larvae are alive in the place; it may hold eggs, prepupae and pupae */
    WG_WHEN_AWAKE,      /* the opposite */
    WG_WHEN_COLD_NIGHT, /* the outdoor air of the coming night falls below `below_c` */
    WG_WHEN_OURS_DEAD,  /* nothing is alive in the keeper's own places (struct wg_place_plan, is_neighbour) */
    WG_N_WHENS
};

struct wg_when {
    enum wg_when_kind kind;
    double below_c; /* COLD_NIGHT */
};

#endif
