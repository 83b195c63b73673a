/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Locks for a page: each worker is alone in its memory, so there is nothing to lock.
 */
#ifndef WG_BROWSER_WEB_PTHREAD_H
#define WG_BROWSER_WEB_PTHREAD_H

typedef int pthread_mutex_t;
typedef int pthread_cond_t;

#define pthread_mutex_init(mutex, how) ((void)(mutex), 0)
#define pthread_mutex_lock(mutex) ((void)(mutex), 0)
#define pthread_mutex_unlock(mutex) ((void)(mutex), 0)
#define pthread_mutex_destroy(mutex) ((void)(mutex), 0)
#define pthread_cond_init(cond, how) ((void)(cond), 0)
#define pthread_cond_wait(cond, mutex) ((void)(cond), (void)(mutex), 0)
#define pthread_cond_broadcast(cond) ((void)(cond), 0)
#define pthread_cond_destroy(cond) ((void)(cond), 0)

#endif
