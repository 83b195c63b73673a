/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Packs and unpacks diaries: a header, then array after array.
 */
#include "browser/diary_packet.h"

#include <string.h>

struct packet_header {
    uint64_t size, n_alive;
    int64_t stopped_day;
};

/* Copies to or from the packet; without a packet it counts only. */
struct packing {
    unsigned char *to;
    const unsigned char *from;
    size_t at;
};

static void pass(struct packing *packing, void *data, size_t size) {
    if (packing->to != NULL)
        memcpy(packing->to + packing->at, data, size);
    else if (packing->from != NULL)
        memcpy(data, packing->from + packing->at, size);
    packing->at += size;
}

static void pass_diary(struct packing *packing, struct wg_diary *diary) {
    const size_t days = (size_t)diary->n_days;
    for (const struct wg_series *s = wg_diary_series(); s->name != NULL; s++)
        pass(packing, (void *)(uintptr_t)wg_diary_values(diary, s),
             days * (size_t)wg_diary_width(diary, s->dims) * (s->is_count ? sizeof(int64_t) : sizeof(double)));
    pass(packing, diary->batch_crawl_off, days * WG_N_BATCHES * sizeof *diary->batch_crawl_off);
    pass(packing, diary->dead, sizeof diary->dead);
    pass(packing, diary->living, days * sizeof *diary->living);
    pass(packing, diary->alive, diary->n_alive * sizeof *diary->alive);
    for (const struct wg_outcome *o = wg_diary_outcomes(); o->name != NULL; o++)
        pass(packing, (char *)diary + o->offset, sizeof(double));
}

size_t wg_diary_packet_size(const struct wg_diary *diary) {
    struct packing packing = {.at = sizeof(struct packet_header)};
    pass_diary(&packing, (struct wg_diary *)(uintptr_t)diary); /* only counts */
    return packing.at;
}

void wg_diary_packet_write(const struct wg_diary *diary, unsigned char *packet) {
    const struct packet_header header = {wg_diary_packet_size(diary), diary->n_alive, diary->stopped_day};
    struct packing packing = {.to = packet, .at = sizeof header};
    memcpy(packet, &header, sizeof header);
    pass_diary(&packing, (struct wg_diary *)(uintptr_t)diary); /* only reads it */
}

bool wg_diary_packet_read(struct wg_diary *diary, const unsigned char *packet, size_t size) {
    struct packet_header header;
    struct packing packing = {.from = packet, .at = sizeof header};
    if (size < sizeof header)
        return false;
    memcpy(&header, packet, sizeof header);
    diary->n_alive = (size_t)header.n_alive;
    diary->stopped_day = (int32_t)header.stopped_day;
    if (header.size != size || wg_diary_packet_size(diary) != size)
        return false;
    pass_diary(&packing, diary);
    return true;
}
