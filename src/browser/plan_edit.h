/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Changes one value in the text of a plan and leaves everything else, comments included, as it is.
 *
 * Paths are those of wg_vary_find(): "places.hoop house.heater.set_point", "starter.1.count".
 */
#ifndef WG_BROWSER_PLAN_EDIT_H
#define WG_BROWSER_PLAN_EDIT_H

#include "text/bytes.h"

/**
 * Appends the text with `value` at the path. A key that is absent is added to its group, and so is its group; the item
 * behind the last of a list is appended. A value that YAML would misread gets quotes; one in { } or [ ] is a group or
 * list. NULL removes the key or item, and what it leaves empty. Returns 0; WG_ERR_INPUT if the text is not YAML or the
 * path has no place in it; WG_ERR_MEMORY.
 */
int wg_plan_edit(const char *text, size_t size, const char *path, const char *value, struct wg_bytes *out,
                 struct wg_error *err);

#endif
