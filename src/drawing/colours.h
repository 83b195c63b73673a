/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The colours of all figures: the eight of Okabe and Ito (2008, "Color universal
 * design", jfly.uni-koeln.de/color), which readers with any colour vision can distinguish.
 *
 * Each stage has a fixed colour. Lines that share a frame also differ in pattern and have names, and dark lines separate
 * stacked layers, so that a greyscale print is legible.
 */
#ifndef WG_DRAWING_COLOURS_H
#define WG_DRAWING_COLOURS_H

struct wg_colour {
    double red, green, blue, alpha; /* 0..1 */
};

#define WG_RGB(r, g, b) ((struct wg_colour){(r) / 255.0, (g) / 255.0, (b) / 255.0, 1.0})

#define WG_BLACK WG_RGB(0, 0, 0)
#define WG_ORANGE WG_RGB(230, 159, 0)
#define WG_SKY WG_RGB(86, 180, 233)
#define WG_GREEN WG_RGB(0, 158, 115)
#define WG_YELLOW WG_RGB(240, 228, 66)
#define WG_BLUE WG_RGB(0, 114, 178)
#define WG_VERMILION WG_RGB(213, 94, 0)
#define WG_PURPLE WG_RGB(204, 121, 167)

/* For text and grid. Text on white: contrast 16, 7.5 and 5.3 to 1 (WCAG 2.1). */
#define WG_WHITE WG_RGB(255, 255, 255)
#define WG_TEXT_COLOUR WG_RGB(26, 26, 26)
#define WG_SMALL_TEXT_COLOUR WG_RGB(85, 85, 85)
#define WG_WARNING_TEXT_COLOUR WG_RGB(178, 78, 0)
#define WG_GRID WG_RGB(217, 217, 217)
#define WG_STRONG_GRID WG_RGB(150, 150, 150)

/** Mixes a colour with white; share 0..1 of the colour. */
static inline struct wg_colour wg_tint(struct wg_colour colour, double share) {
    return (struct wg_colour){1 - share * (1 - colour.red), 1 - share * (1 - colour.green),
                              1 - share * (1 - colour.blue), 1};
}
/** Makes a colour transparent. */
static inline struct wg_colour wg_with_alpha(struct wg_colour colour, double alpha) {
    colour.alpha = alpha;
    return colour;
}

/** In the order of enum wg_stage: egg, larva, prepupa, dormant prepupa, pupa, adult female, adult male. */
static inline struct wg_colour wg_stage_colour(int stage) {
    const struct wg_colour colour[] = {WG_YELLOW, WG_ORANGE, WG_VERMILION, WG_PURPLE, WG_BLUE, WG_GREEN, WG_SKY};
    return colour[stage];
}

/** The colours of generations 0, 1, 2, ..., as in the lesson (workshop/page_words.js). */
static inline struct wg_colour wg_generation_colour(int generation) {
    const struct wg_colour colour[] = {WG_ORANGE, WG_SKY,    WG_GREEN,     WG_PURPLE,
                                       WG_BLUE,   WG_YELLOW, WG_VERMILION, WG_RGB(153, 153, 153)};
    return colour[generation % 8];
}

#endif
