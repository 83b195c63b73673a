/**
 * A YAML text as a tree of texts, lists and maps, with the place of each.
 *
 * Everything is text until somebody reads it: `no` stays "no", dates stay
 * dates. What a scenario has no use for is refused with a message: anchors,
 * aliases, tags, merge keys, a second document, control characters, texts over
 * WG_YAML_MAX_BYTES, nesting over WG_YAML_MAX_DEPTH. Keys may repeat: the
 * reader of a map complains. Everything the project knows of libfyaml is in
 * yaml.c.
 */
#ifndef WG_SCENARIO_YAML_H
#define WG_SCENARIO_YAML_H

#include "scenario/scenario.h"

#include <stddef.h>

#define WG_YAML_MAX_BYTES (256 * 1024)
#define WG_YAML_MAX_DEPTH 16

enum wg_yaml_kind { WG_YAML_TEXT, WG_YAML_LIST, WG_YAML_MAP };

struct wg_yaml_node {
    enum wg_yaml_kind kind;
    int line, column;               /* from 1; columns count characters */
    char *text;                     /* TEXT: NUL-terminated, no control characters but line feed and tab; else NULL */
    struct wg_yaml_node *key;       /* in a map: the key of this value, a TEXT; else NULL */
    struct wg_yaml_node *first;     /* of the values of a list or map */
    struct wg_yaml_node *next;      /* value of the same list or map */
    int n;                          /* values in this list or map */
    struct wg_yaml_node *allocated; /* chain of all nodes, for freeing */
};

struct wg_yaml {
    struct wg_yaml_node *root; /* NULL after a failure */
    struct wg_yaml_node *allocated;
};

/**
 * Reads a text. 0; WG_ERR_INPUT with at least one mistake added to `problems`;
 * WG_ERR_MEMORY. Free in every case.
 */
int wg_yaml_read(struct wg_yaml *yaml, const char *text, size_t size, struct wg_mistakes *problems);
/** Adds the mistake that a file is over WG_YAML_MAX_BYTES, for one that was not read whole. WG_ERR_INPUT or WG_ERR_MEMORY. */
int wg_yaml_refuse_size(struct wg_mistakes *problems);
void wg_yaml_free(struct wg_yaml *yaml);

/** The value of a key in a map (the first, if it is repeated); NULL if there is none or `map` is NULL or no map. */
const struct wg_yaml_node *wg_yaml_get(const struct wg_yaml_node *map, const char *key);

#endif
