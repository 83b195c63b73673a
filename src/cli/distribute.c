/*
 * How does a scenario reach the processes that live it? As the texts that process 0
 * read, so that the others need no files, and a file that changes meanwhile does
 * not make two plans of one.
 */
#include "cli/distribute.h"

#include "cli/stop.h"

#include <stdlib.h>
#include <string.h>

/* Its path, its text, the weather file as it was read. */
enum { N_PARTS = 3 };

struct parts {
    const char *text[N_PARTS]; /* NULL: there is none */
    size_t size[N_PARTS];
};

/* ---- there ---- */

static struct parts parts_of(const struct wg_scenario *scenario) {
    return (struct parts){{scenario->path, scenario->text, scenario->record_text},
                          {strlen(scenario->path), scenario->text_size, scenario->record_size}};
}

/* Each part: its size (SIZE_MAX: there is none), its bytes, a zero. */
static void *pack(const struct parts *parts, size_t *size) {
    *size = 0;
    for (int i = 0; i < N_PARTS; i++)
        *size += sizeof *size + (parts->text[i] != NULL ? parts->size[i] + 1 : 0);
    char *const bytes = malloc(*size), *to = bytes;
    for (int i = 0; i < N_PARTS && bytes != NULL; i++) {
        const size_t n = parts->text[i] != NULL ? parts->size[i] : SIZE_MAX;
        memcpy(to, &n, sizeof n);
        to += sizeof n;
        if (parts->text[i] == NULL)
            continue;
        memcpy(to, parts->text[i], n);
        to += n;
        *to++ = '\0';
    }
    return bytes;
}

int wg_distributor_init(struct wg_distributor *hands, const struct wg_scenario *scenario,
                        const struct wg_backend **elsewhere, struct wg_error *err) {
    *hands = (struct wg_distributor){0};
    *elsewhere = NULL;
    if (wg_ranks_count() == 1)
        return 0;
    const struct parts parts = parts_of(scenario);
    hands->order.bytes = pack(&parts, &hands->order.size);
    if (hands->order.bytes == NULL)
        return wg_no_memory(err, NULL);
    hands->elsewhere = wg_ranks_backend(&hands->order);
    *elsewhere = &hands->elsewhere;
    return 0;
}

void wg_distributor_free(struct wg_distributor *hands) {
    free((void *)(uintptr_t)hands->order.bytes);
    *hands = (struct wg_distributor){0};
}

/* ---- and back ---- */

static struct parts unpack(const char *bytes, size_t size) {
    struct parts parts = {0};
    const char *at = bytes;
    for (int i = 0; i < N_PARTS; i++) {
        size_t n;
        memcpy(&n, at, sizeof n);
        at += sizeof n;
        if (n == SIZE_MAX)
            continue;
        parts.text[i] = at;
        parts.size[i] = n;
        at += n + 1;
    }
    wg_assert((size_t)(at - bytes) == size);
    return parts;
}

static int unpack_plan(void *self, const void *bytes, size_t size, struct wg_plan **plan, struct wg_error *err) {
    struct wg_scenario *const scenario = self;
    struct wg_mistakes problems = {0};
    const struct parts parts = unpack(bytes, size);
    const int code = wg_scenario_read_text(scenario, parts.text[0], parts.text[1], parts.size[1], parts.text[2],
                                           parts.size[2], &problems, err);
    wg_mistakes_free(&problems); /* process 0 has told them */
    *plan = &scenario->plan;
    return code;
}

static void release(void *self) {
    wg_scenario_free(self);
}

void wg_distributor_serve(void) {
    struct wg_scenario scenario = {0};
    const struct wg_ranks_reader reader = {unpack_plan, release, &scenario};
    wg_ranks_serve(&reader, wg_stop_flag());
}
