/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks positions and labels against closed forms and pairs written by hand.
 *
 * References: 1 lb is 0.45359237 kg (international yard and pound agreement, 1959); RFC 4180 quotes a cell that
 * has a comma or a quote; the p % quantile of 0..100 is p (type 7 of Hyndman & Fan 1996).
 */
#include "drawing/axes.h"
#include "drawing/label.h"
#include "drawing/picture.h"
#include "figures/bands.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

TestSuite(drawing);

#define EPSILON 1e-9 /* sums of a few roundings at a size of a thousand */

static struct wg_axes frame(bool is_log, double high) {
    return (struct wg_axes){
        .left = 100, .right = 1100, .top = 100, .bottom = 600, .high = high, .is_log = is_log, .n_days = 11};
}

Test(drawing, linear_axes) {
    const struct wg_axes axes = frame(false, 50);
    cr_expect_float_eq(wg_axes_x(&axes, 0), 100, EPSILON);
    cr_expect_float_eq(wg_axes_x(&axes, 5), 600, EPSILON);
    struct wg_axes wide = axes; /* a bar begins at its day's tick, and the last ends at the frame */
    wide.has_width = true;
    cr_expect_float_eq(wg_axes_x(&wide, 0), axes.left, EPSILON);
    cr_expect_float_eq(wg_axes_x(&wide, 1), axes.left + (axes.right - axes.left) / axes.n_days, EPSILON);
    cr_expect_float_eq(wg_axes_x(&wide, axes.n_days), axes.right, EPSILON);
    cr_expect_float_eq(wg_axes_y(&axes, 0), 600, EPSILON);
    cr_expect_float_eq(wg_axes_y(&axes, 25), 350, EPSILON);
    cr_expect_float_eq(wg_axes_y(&axes, 50), 100, EPSILON);
}

Test(drawing, logarithmic_axis) {
    const struct wg_axes axes = frame(true, 10000);
    const double one = wg_axes_y(&axes, 1), ten = wg_axes_y(&axes, 10), hundred = wg_axes_y(&axes, 100);
    cr_expect_float_eq(wg_axes_y(&axes, 0), 600, EPSILON);
    cr_expect_float_eq(wg_axes_y(&axes, 10000), 100, EPSILON);
    cr_expect_float_eq(one - ten, ten - hundred, EPSILON);
    cr_expect_lt(one, 600); /* 1 is above 0 */
    cr_expect(isnan(wg_axes_y(&axes, (double)NAN)));
    double last = 601;
    for (double v = 0; v < 10000; v = v < 0.1 ? 0.1 : v * 1.5) {
        cr_expect_lt(wg_axes_y(&axes, v), last);
        last = wg_axes_y(&axes, v);
    }
}

Test(drawing, labels_keep_their_order_and_a_distance) {
    double y[] = {100, 101, 102, 400, 99};
    wg_axes_spread(5, y, 20, 0, 600);
    cr_expect_float_eq(y[3], 400, EPSILON);
    cr_expect_float_eq((y[0] + y[1] + y[2] + y[4]) / 4, 100.5, EPSILON); /* least movement: the mean stays */
    cr_expect_geq(y[0] - y[4], 20 - EPSILON);
    cr_expect_geq(y[1] - y[0], 20 - EPSILON);
    cr_expect_geq(y[2] - y[1], 20 - EPSILON);
    double low[] = {590, 595, 600};
    wg_axes_spread(3, low, 30, 0, 600);
    cr_expect_float_eq(low[2], 600, EPSILON);
    cr_expect_float_eq(low[0], 540, EPSILON);
}

Test(drawing, steps_are_one_two_or_five) {
    cr_expect_float_eq(wg_axes_step(100, 500, 100), 20, EPSILON);
    cr_expect_float_eq(wg_axes_step(100, 500, 101), 50, EPSILON);
    cr_expect_float_eq(wg_axes_step(1, 1000, 1), 0.001, 1e-15);
    cr_expect_float_eq(wg_axes_round_up(0), 1, EPSILON);
    cr_expect_geq(wg_axes_round_up(145123), 145123);
}

static void expect(const char *is, const char *wanted) {
    cr_expect_str_eq(is, wanted, "\"%s\", not \"%s\"", is, wanted);
}

Test(drawing, numbers_as_text) {
    static const struct {
        double value;
        const char *number, *tick;
    } pairs[] = {{0, "0", "0"},
                 {0.05, "0.05", "0.05"},
                 {12.34, "12.3", "12.34"},
                 {999.6, "1,000", "999.6"},
                 {95449, "95,400", "95,449"},
                 {1e6, "1 million", "1 million"},
                 {2.5e9, "2.5 billion", "2.5 billion"},
                 {-20, "-20", "-20"},
                 {1e15, "1.0 x 10^15", "10\xC2\xB9\xE2\x81\xB5"},
                 {5e17, "5.0 x 10^17",
                  "5\xC3\x97"
                  "10\xC2\xB9\xE2\x81\xB7"},
                 {1.5e18, "1.5 x 10^18",
                  "1.5\xC3\x97"
                  "10\xC2\xB9\xE2\x81\xB8"}};
    char text[WG_LABEL_SIZE];
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        wg_show_number(pairs[i].value, text);
        expect(text, pairs[i].number);
        wg_label_tick(pairs[i].value, text);
        expect(text, pairs[i].tick);
    }
    wg_show_number((double)NAN, text);
    expect(text, "-");
    wg_show_mass(2.26796185, text);
    expect(text, "2.27 kg (5 lb)");
    wg_show_mass(0.028349523125, text);
    expect(text, "28.3 g (1 oz)");
    wg_show_mass_range(0.45359237, 0.90718474, text);
    expect(text, "0.45 to 0.91 kg (1 to 2 lb)");
    wg_label_temperature(-40, text);
    expect(text, "-40 \xC2\xB0"
                 "C (-40 \xC2\xB0"
                 "F)");
    wg_label_date(20711, 1, text);
    expect(text, "16 September 2026");
    wg_label_dates(20711, 0, 16, text);
    expect(text, "15 September to 1 October 2026");
    wg_label_dates(20711, 107, 109, text);
    expect(text, "31 December 2026 to 2 January 2027");
    wg_label_dates(20711, 1, 1.2, text);
    expect(text, "16 September 2026");
    wg_label_futures(1, 365, text);
    expect(text, "1 possible year");
    wg_label_futures(10000, 100, text);
    expect(text, "10,000 possible futures");
    wg_label_median(1, 365, text);
    expect(text, "the one possible year");
    wg_label_median(20, 365, text);
    expect(text, "median of 20 possible years");
}

/* ---- on the sheet ---- */

static const struct wg_sheet sheet = {600, 400, false};

/* Returns the PNG that `draw` makes. */
static struct wg_bytes picture(void (*draw)(struct wg_canvas *, const void *), const void *what) {
    const struct wg_picture_facts facts = {"a test", ""};
    struct wg_bytes bytes = {0};
    struct wg_error err = {0};
    cr_assert_eq(wg_canvas_render(WG_PNG, &sheet, &facts, draw, what, &bytes, &err), 0);
    return bytes;
}

static bool are_alike(void (*draw)(struct wg_canvas *, const void *), const void *a, const void *b) {
    struct wg_bytes one = picture(draw, a), other = picture(draw, b);
    const bool alike = one.size == other.size && memcmp(one.data, other.data, one.size) == 0;
    wg_bytes_free(&one);
    wg_bytes_free(&other);
    return alike;
}

static const bool yes = true, no = false;

#define RIGHT_EDGE 300.0

/* Draws a word wider than its 200 units; may paint over the area at its right. */
static void draw_long_word(struct wg_canvas *canvas, const void *is_covered) {
    const struct wg_text_style lettering = {21, true, WG_BLACK};
    (void)wg_canvas_paragraph(canvas, 100, 100, RIGHT_EDGE - 100, 1, &lettering,
                              "k\xC3\xBCrbiskernmehlwurmkistendeckelhalter");
    (void)wg_canvas_paragraph(canvas, 100, 200, RIGHT_EDGE - 100, 2, &lettering,
                              "under k\xC3\xBCrbiskernmehlwurmkistendeckelhalter und mehr davon");
    if (*(const bool *)is_covered)
        wg_canvas_box(canvas, RIGHT_EDGE + 1, 0, sheet.width, sheet.height, WG_WHITE);
}

Test(drawing, long_words_are_clipped) {
    cr_expect(are_alike(draw_long_word, &yes, &no));
}

/* Tick labels too wide for the space beside the frame; the sheet's last unit is painted over or not. */
static void draw_narrow_name(struct wg_canvas *canvas, const void *name) {
    const struct wg_text_style lettering = {20, true, WG_TEXT_COLOUR};
    wg_canvas_name(canvas, 100, 100, 120, &lettering, name);
}

static void draw_covered_name(struct wg_canvas *canvas, const void *is_covered) {
    draw_narrow_name(canvas, "K\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC");
    if (*(const bool *)is_covered)
        wg_canvas_box(canvas, 221, 0, sheet.width, sheet.height, WG_WHITE);
}

/* Shortened at the end, the two names would be equal. */
Test(drawing, shortened_names_keep_their_ends) {
    cr_expect_not(are_alike(draw_narrow_name, "barrel number one", "barrel number two"));
    cr_expect(are_alike(draw_covered_name, &yes, &no), "the name stays in its column");
}

static void draw_wide_ticks(struct wg_canvas *canvas, const void *is_covered) {
    const struct wg_axes axes = {.left = 90, .right = sheet.width - 90, .top = 40, .bottom = 360, .high = 2.5e14};
    wg_axes_values(canvas, &axes, &(struct wg_axis_scale){"kg", 1, 0}, &(struct wg_axis_scale){"lb", 2.5, 0});
    if (*(const bool *)is_covered) {
        wg_canvas_box(canvas, 0, 0, 1, sheet.height, WG_WHITE);
        wg_canvas_box(canvas, sheet.width - 1, 0, sheet.width, sheet.height, WG_WHITE);
    }
}

Test(drawing, tick_labels_stay_on_the_sheet) {
    cr_expect(are_alike(draw_wide_ticks, &yes, &no));
}

static void draw_points(struct wg_canvas *canvas, const void *what) {
    const double *const y = what;
    const double x[] = {200, 300, 400}, foot[] = {350, 350, 350};
    wg_canvas_area(canvas, 3, x, foot, y, WG_ORANGE);
    wg_canvas_line(canvas, 3, x, y, WG_BLACK, 3, WG_SOLID);
}

Test(drawing, single_day_between_gaps_is_drawn) {
    const double none[] = {(double)NAN, (double)NAN, (double)NAN};
    const double high[] = {(double)NAN, 100, (double)NAN}, low[] = {(double)NAN, 340, (double)NAN};
    cr_expect_not(are_alike(draw_points, none, high));
    cr_expect_not(are_alike(draw_points, high, low));
}

Test(drawing, period_of_one_day_is_centred) {
    struct wg_axes axes = frame(false, 50);
    axes.n_days = 1;
    cr_expect_float_eq(wg_axes_x(&axes, 0), 600, EPSILON);
}

static void draw_masses(struct wg_canvas *canvas, const void *is_by_hand) {
    const struct wg_axes axes = {.left = 90, .right = sheet.width - 90, .top = 40, .bottom = 360, .high = 0.05};
    if (*(const bool *)is_by_hand) /* an ounce is the sixteenth of a pound */
        wg_axes_values(canvas, &axes, &(struct wg_axis_scale){"g", 1000, 0},
                       &(struct wg_axis_scale){"oz", 16 / 0.45359237, 0});
    else
        wg_axes_masses(canvas, &axes);
}

Test(drawing, light_weights_are_in_grams_and_ounces) {
    cr_expect(are_alike(draw_masses, &yes, &no));
}

static void measure(struct wg_canvas *canvas, const void *unused) {
    (void)unused;
    const struct wg_text_style large = {30, true, WG_BLACK};
    static const char words[] = "Most crawls off in the five weeks from 24 November";
    const double width = wg_canvas_text_width(canvas, &large, words);
    cr_expect_float_eq(wg_canvas_fit_text(canvas, large, 20, width + 1, 1, words).size, 30, EPSILON);
    const struct wg_text_style smaller = wg_canvas_fit_text(canvas, large, 20, 0.9 * width, 1, words);
    cr_expect_leq(wg_canvas_text_width(canvas, &smaller, words), 0.9 * width);
    cr_expect_geq(smaller.size, 0.9 * 30 - 1);
    cr_expect_float_eq(wg_canvas_fit_text(canvas, large, 20, 0.1 * width, 1, words).size, 20, EPSILON);
    cr_expect_float_eq(wg_canvas_fit_text(canvas, large, 20, 0.7 * width, 2, words).size, 30, EPSILON);
}

Test(drawing, font_shrinks_until_the_text_fits) {
    struct wg_bytes bytes = picture(measure, NULL);
    wg_bytes_free(&bytes);
}

Test(drawing, bands_are_quantiles) {
    struct wg_table table;
    struct wg_error err = {0};
    double values[101 * 2];
    for (int i = 0; i <= 100; i++) {
        values[2 * i] = (i * 37) % 101; /* 0..100 in some order */
        values[2 * i + 1] = i < 11 ? i * 10 : (double)NAN;
    }
    cr_assert_eq(wg_table_begin_dates(&table, 20711, 1, 2, &err), 0);
    const int first = wg_bands_add(&table, "x", "1", values, 101, &err);
    static const double wanted[] = {5, 25, 50, 75, 95};
    for (int band = 0; band < WG_N_BANDS; band++)
        for (int row = 0; row < 2; row++)
            cr_expect_float_eq(wg_bands_of(&table, first, (enum wg_band)band)[row], wanted[band], EPSILON);
    wg_table_free(&table);
}

Test(drawing, table_as_csv) {
    struct wg_table table;
    struct wg_error err = {0};
    struct wg_bytes csv = {0};
    cr_assert_eq(wg_table_begin(&table, "setup", 2, &err), 0);
    strcpy(table.row[0], "a, or \"b\"");
    strcpy(table.row[1], "c");
    const int column = wg_table_add(&table, "mass", "kg", &err);
    table.column[column].value[0] = 0.1;
    table.column[column].value[1] = (double)NAN;
    wg_table_csv(&table, &csv);
    expect(csv.data, "setup,mass [kg]\n\"a, or \"\"b\"\"\",0.1\nc,\n");
    wg_bytes_free(&csv);
    wg_table_free(&table);
}

Test(drawing, input_text_is_escaped) {
    struct wg_bytes bytes = {0};
    wg_bytes_escape(&bytes, "<a href='x'>&\"\x01\xFF\xC3\xA4\xED\xA0\x80");
    expect(bytes.data, "&#60;a href=&#39;x&#39;&#62;&#38;&#34;??\xC3\xA4???");
    wg_bytes_free(&bytes);
    wg_bytes_escape(
        &bytes, "a,\tb\n\xE2\x80\xAE\xC2\x9B\x7F."); /* a right-to-left override, a control character of two bytes */
    expect(bytes.data, "a,\tb\n???.");
    wg_bytes_free(&bytes);
}
