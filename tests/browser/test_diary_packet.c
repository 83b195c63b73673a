/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * A diary that went through a packet is the same to the last bit.
 */
#include "browser/diary_packet.h"

#include "support/plans.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

static void expect_same_series(const struct wg_diary *a, const struct wg_diary *b) {
    for (const struct wg_series *s = wg_diary_series(); s->name != NULL; s++)
        cr_expect_arr_eq(wg_diary_values(a, s), wg_diary_values(b, s),
                         (size_t)a->n_days * (size_t)wg_diary_width(a, s->dims) * sizeof(double), "%s", s->name);
    for (const struct wg_outcome *o = wg_diary_outcomes(); o->name != NULL; o++)
        cr_expect_eq(memcmp((const char *)a + o->offset, (const char *)b + o->offset, sizeof(double)), 0, "%s",
                     o->name);
}

Test(diary_packet, gives_the_diary_back) {
    struct wg_plan plan;
    struct wg_diary lived, received;
    struct wg_error err = {0};
    plan_outdoors(&plan, 120);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 1000);
    plan_simulate(&plan, 3, &lived);
    cr_assert_eq(wg_diary_init(&received, &plan, &err), 0);
    const size_t size = wg_diary_packet_size(&lived);
    unsigned char *const packet = malloc(size);
    wg_diary_packet_write(&lived, packet);
    cr_assert(wg_diary_packet_read(&received, packet, size));
    expect_same_series(&lived, &received);
    cr_expect_eq(received.n_alive, lived.n_alive);
    cr_expect_arr_eq(received.alive, lived.alive, lived.n_alive * sizeof *lived.alive);
    cr_expect_arr_eq(received.dead, lived.dead, sizeof lived.dead);
    cr_expect_eq(received.stopped_day, lived.stopped_day);
    cr_expect_not(wg_diary_packet_read(&received, packet, size - 1));
    free(packet);
    wg_diary_free(&received);
    wg_diary_free(&lived);
    wg_plan_free(&plan);
}
