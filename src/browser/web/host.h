/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What the page's JavaScript does for the engine (src/app/engine_worker.js), and what it may call.
 *
 * One worker, the collector, runs a call. For work that can be shared (shared_work.h) the others get a copy of its memory, so
 * that they have the plan at the same addresses; each does pieces by number and sends their results. The collector suspends while it
 * waits: wg_host_wait() is the one import that returns later, and scripts/web/suspending.py finds the functions that may
 * be on the stack then.
 */
#ifndef WG_BROWSER_WEB_HOST_H
#define WG_BROWSER_WEB_HOST_H

#include <stddef.h>
#include <stdint.h>

#define WG_HOST_IMPORT(name) __attribute__((import_module("page"), import_name(name)))
#define WG_HOST_EXPORT(name) __attribute__((export_name(name)))

/** Reports an event; nonzero: stop. */
WG_HOST_IMPORT("event") int wg_host_event(const char *json, size_t size);
/**
 * Begins work of so many pieces: `work` goes back to wg_web_work(). The host keeps the first results of the last work that
 * has a key, and need not have them done again for another with the same key. NULL: none.
 */
WG_HOST_IMPORT("begin") void wg_host_begin(void *work, int32_t count, const char *key);
/** Gives the result of a piece: a packet, or an error (struct wg_error) with its code. */
WG_HOST_IMPORT("give") void wg_host_give(int32_t index, int32_t code, const void *packet, size_t size);
WG_HOST_IMPORT("end") void wg_host_end(void);
/** The size and code of the result that is ready, and its bytes. */
WG_HOST_IMPORT("size") size_t wg_host_size(void);
WG_HOST_IMPORT("code") int32_t wg_host_code(void);
WG_HOST_IMPORT("take") void wg_host_take(void *packet);

/** Outcomes of waiting other than the number of a piece that this worker is to do itself. */
enum { WG_HOST_READY = -1, WG_HOST_STOPPED = -2 };
/** Waits for the result of piece `index`; -1: only lets the host handle its messages. */
WG_HOST_IMPORT("wait") int32_t wg_host_wait(int32_t index);

#endif
