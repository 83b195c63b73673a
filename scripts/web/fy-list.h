/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Circular lists with two links, under the names that libfyaml's own fy-list.h has. That header is GPL-2.0-only up to version
 * 0.7.12, which may not be part of a page under the GPL, version 3; this one stands in for it (same include guard).
 * Written from the calls in libfyaml's sources alone.
 */
#ifndef _FY_LIST_H
#define _FY_LIST_H

#include <stddef.h>

#define container_of(pointer, type, member) ((type *)(void *)((char *)(pointer)-offsetof(type, member)))
#define list_entry(node, type, member) container_of(node, type, member)
#define list_first_entry(head, type, member) list_entry((head)->next, type, member)
#define list_last_entry(head, type, member) list_entry((head)->prev, type, member)

struct list_head {
    struct list_head *next, *prev;
};

static inline void INIT_LIST_HEAD(struct list_head *head) {
    head->next = head->prev = head;
}

static inline int list_empty(const struct list_head *head) {
    return head->next == head;
}

static inline int list_is_singular(const struct list_head *head) {
    return head->next != head && head->next == head->prev;
}

/* Puts the nodes from first to last between two neighbours. */
static inline void wg_list_join(struct list_head *before, struct list_head *first, struct list_head *last,
                                struct list_head *after) {
    before->next = first;
    first->prev = before;
    last->next = after;
    after->prev = last;
}

static inline void list_add(struct list_head *node, struct list_head *head) {
    wg_list_join(head, node, node, head->next);
}

static inline void list_add_tail(struct list_head *node, struct list_head *head) {
    wg_list_join(head->prev, node, node, head);
}

static inline void list_del(struct list_head *node) {
    node->prev->next = node->next;
    node->next->prev = node->prev;
    node->next = node->prev = NULL;
}

/* Moves all nodes of `from` behind `head`; `from` itself must be initialised before it is used again. */
static inline void list_splice(const struct list_head *from, struct list_head *head) {
    if (!list_empty(from))
        wg_list_join(head, from->next, from->prev, head->next);
}

#endif
