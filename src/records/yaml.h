/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads a YAML text into a tree of texts, lists and maps, with the position of each.
 *
 * All values stay text: `no` is "no". It refuses, with a message, what scenarios do not use: anchors, aliases, tags,
 * merge keys, a second document, control characters, texts over WG_YAML_MAX_BYTES, nesting over WG_YAML_MAX_DEPTH.
 * Repeated keys are left to the reader of a map. Only yaml.c uses libfyaml.
 */
#ifndef WG_RECORDS_YAML_H
#define WG_RECORDS_YAML_H

#include "text/mistakes.h"

#include <stdbool.h>
#include <stddef.h>

#define WG_YAML_MAX_BYTES (256 * 1024)
#define WG_YAML_MAX_DEPTH 16

enum wg_yaml_kind { WG_YAML_TEXT, WG_YAML_LIST, WG_YAML_MAP };

struct wg_yaml_node {
    enum wg_yaml_kind kind;
    int line, column; /* from 1; columns count characters */
    int file;         /* 0; the number of the file on which a plan is based (text/mistakes.h) */
    size_t at, end;   /* its bytes in the text; with quotes; without brackets a group ends with its last value */
    char *text;       /* of a TEXT: NUL-terminated, no control characters except line feed and tab; else NULL */
    struct wg_yaml_node *key;       /* of a value in a map: its key, a TEXT; else NULL */
    struct wg_yaml_node *first;     /* first value of a list or map */
    struct wg_yaml_node *next;      /* next value of the same list or map */
    bool has_brackets;              /* a list or map in [ ] or { } */
    int n;                          /* number of values in this list or map */
    struct wg_yaml_node *allocated; /* links all nodes, for freeing */
};

struct wg_yaml {
    struct wg_yaml_node *root; /* NULL after a failure */
    struct wg_yaml_node *allocated;
};

/**
 * Reads a text. Returns 0; WG_ERR_INPUT with at least one mistake added to `problems`; WG_ERR_MEMORY. Free it in every
 * case.
 */
int wg_yaml_read(struct wg_yaml *yaml, const char *text, size_t size, struct wg_mistakes *problems);
/** Adds the mistake that a file is larger than WG_YAML_MAX_BYTES. Returns WG_ERR_INPUT or WG_ERR_MEMORY. */
int wg_yaml_refuse_size(struct wg_mistakes *problems);
void wg_yaml_free(struct wg_yaml *yaml);

/**
 * Returns the value of a key in a map (the first, if repeated); NULL if there is none or `map` is NULL or not a map.
 */
const struct wg_yaml_node *wg_yaml_get(const struct wg_yaml_node *map, const char *key);

/*
 * Merges two trees of plans, of which one says only what differs from the other, and writes a tree as YAML.
 */

/**
 * Gives `yaml` what it leaves out of `base`, and takes over all nodes of `base`, which is then empty. Maps merge by key,
 * lists whose items all have a "name" by name; any other value of `yaml` replaces that of `base`. The word none in place
 * of a map or list removes it. A key removes its alternatives: r_value a u_value, record the normals. A map with another
 * "kind" replaces the whole map, and a goal replaces all goals. Merged maps keep their position in `yaml`. Both roots
 * are maps.
 */
void wg_yaml_merge(struct wg_yaml *yaml, struct wg_yaml *base);

/** Removes a key of a map; its nodes stay allocated. */
void wg_yaml_remove(struct wg_yaml_node *map, const char *key);

/** Returns the tree as YAML, malloc'ed; NULL if out of memory. Reading it gives the same tree. */
char *wg_yaml_write(const struct wg_yaml_node *root, size_t *size);

#endif
