/*
 * Are these two results the same, bit for bit?
 *
 * Each file is walked once. Of the first a digest is kept for every attribute
 * and every row (a replicate, a day) of every variable; the second must show
 * the same names and digests in the same order.
 */
#include "io/provenance.h"
#include "io/sha256.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct seen {
    char *name; /* "count at 3": replicate 3 of the counts */
    char digest[WG_SHA256_TEXT];
};

struct comparison {
    struct seen *seen; /* of the first file */
    size_t n, room, next;
    char *what;
    size_t size;
    struct wg_error *err;
};

/* What tells when, how and by which programs it was made, not what came out. */
static int is_left_out(const struct wg_h5_piece *piece) {
    static const char *const notes[] = {WG_NOTE_STARTED, WG_NOTE_COMMAND, WG_NOTES_OF_SOFTWARE};
    for (size_t i = 0; piece->note != NULL && i < sizeof notes / sizeof *notes; i++)
        if (strcmp(piece->note, notes[i]) == 0)
            return 1;
    return 0;
}

static void name_of(const struct wg_h5_piece *piece, char *out, size_t size) {
    const char *const object = piece->object[0] == '\0' ? "the file" : piece->object;
    char row[32] = "";
    if (piece->row >= 0)
        (void)snprintf(row, sizeof row, " at %lld", (long long)piece->row);
    (void)snprintf(out, size, "%s%s%s%s%s", piece->is_shape ? "type or size of " : "",
                   piece->note == NULL ? "" : piece->note, piece->note == NULL ? "" : " of ", object, row);
}

static int no_memory(struct wg_error *err) {
    return wg_fail(err, WG_ERR_MEMORY, NULL, "There is not enough memory to compare the results.");
}

static int remember(void *self, const struct wg_h5_piece *piece) {
    struct comparison *const c = self;
    char name[256];
    if (is_left_out(piece))
        return 0;
    if (c->n == c->room) {
        const size_t room = c->room == 0 ? 1024 : 2 * c->room;
        struct seen *const grown = realloc(c->seen, room * sizeof *grown);
        if (grown == NULL)
            return no_memory(c->err);
        c->seen = grown;
        c->room = room;
    }
    name_of(piece, name, sizeof name);
    struct seen *const seen = &c->seen[c->n];
    seen->name = strdup(name);
    if (seen->name == NULL)
        return no_memory(c->err);
    wg_sha256(piece->bytes, piece->size, seen->digest);
    c->n++;
    return 0;
}

static int check(void *self, const struct wg_h5_piece *piece) {
    struct comparison *const c = self;
    char name[256], digest[WG_SHA256_TEXT];
    if (is_left_out(piece))
        return 0;
    name_of(piece, name, sizeof name);
    wg_sha256(piece->bytes, piece->size, digest);
    if (c->next == c->n || strcmp(c->seen[c->next].name, name) != 0) {
        (void)snprintf(c->what, c->size, "%s", c->next == c->n ? name : c->seen[c->next].name);
        return 1;
    }
    if (strcmp(c->seen[c->next].digest, digest) != 0) {
        (void)snprintf(c->what, c->size, "%s", name);
        return 1;
    }
    c->next++;
    return 0;
}

static int compare(struct comparison *c, struct wg_h5 *a, struct wg_h5 *b) {
    int code = wg_h5_walk(a, (struct wg_h5_visitor){remember, c}, c->err);
    if (code == 0)
        code = wg_h5_walk(b, (struct wg_h5_visitor){check, c}, c->err);
    if (code == 0 && c->next < c->n) {
        (void)snprintf(c->what, c->size, "%s", c->seen[c->next].name);
        code = 1;
    }
    return code;
}

int wg_result_compare(const char *path_a, const char *path_b, char *what, size_t size, struct wg_error *err) {
    struct comparison c = {.what = what, .size = size, .err = err};
    struct wg_h5 *a = NULL, *b = NULL;
    if (size > 0)
        what[0] = '\0';
    int code = wg_result_open(&a, path_a, err);
    if (code == 0)
        code = wg_result_open(&b, path_b, err);
    if (code == 0)
        code = compare(&c, a, b);
    for (size_t i = 0; i < c.n; i++)
        free(c.seen[i].name);
    free(c.seen);
    wg_h5_free(b);
    wg_h5_free(a);
    return code;
}
