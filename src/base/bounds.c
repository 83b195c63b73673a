/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Does a state hold what the code takes for granted?
 */
#include "base/bounds.h"

#include <stdio.h>

static int fail_bound(const struct wg_bound_owner *owner, const struct wg_bound *bound, struct wg_error *err) {
    char number[16] = "", part[64] = "", where[128];
    if (owner->number >= 0)
        (void)snprintf(number, sizeof number, " %d", owner->number);
    if (owner->part != NULL)
        (void)snprintf(part, sizeof part, ", %s %d", owner->part, owner->item);
    (void)snprintf(where, sizeof where, "%.40s%s%s", owner->what, number, part);
    return wg_fail(err, WG_ERR_INTERNAL, where, "%s is %.17g and must lie between %.17g and %.17g.", bound->name,
                   bound->value, bound->least, bound->most);
}

int wg_bounds_check(const struct wg_bound_owner *owner, const struct wg_bound *bound, size_t n, struct wg_error *err) {
    for (size_t i = 0; i < n; i++)
        if (!(bound[i].value >= bound[i].least && bound[i].value <= bound[i].most)) /* NaN is in no limits */
            return fail_bound(owner, &bound[i], err);
    return 0;
}
