/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A diary as bytes, on its way from the worker that lived it to the one that collects them.
 */
#ifndef WG_BROWSER_DIARY_PACKET_H
#define WG_BROWSER_DIARY_PACKET_H

#include "colony/diary.h"

/** Returns the size of the packet of a diary. */
size_t wg_diary_packet_size(const struct wg_diary *diary);
/** Writes the packet. */
void wg_diary_packet_write(const struct wg_diary *diary, unsigned char *packet);
/** Fills a diary of the same plan. Returns false if the packet is not of such a diary. */
bool wg_diary_packet_read(struct wg_diary *diary, const unsigned char *packet, size_t size);

#endif
