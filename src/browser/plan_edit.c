/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Edits the text of a plan at the bytes that the reader reports for each value.
 */
#include "browser/plan_edit.h"

#include "records/yaml.h"
#include "variants/schema_tree.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MAX_WORDS 12
#define WORD_SIZE 128

/* A path with the nodes on it that exist. */
struct edit_path {
    int n_words, n_found;
    char word[MAX_WORDS][WORD_SIZE];
    struct wg_schema_spot spot[MAX_WORDS + 1]; /* [0] is the root */
};

struct plan_edit {
    const char *text;
    size_t size;
    struct edit_path path;
};

/* ---- the path ---- */

static int split_edit_path(struct edit_path *path, const char *text, struct wg_error *err) {
    *path = (struct edit_path){.n_words = 0};
    if (text[strcspn(text, "\n\r\t")] != '\0')
        return wg_fail(err, WG_ERR_INPUT, NULL, "A path of a key has no line ends or tabs.");
    for (const char *at = text; at != NULL;) {
        const char *const dot = strchr(at, '.');
        const size_t length = dot != NULL ? (size_t)(dot - at) : strlen(at);
        if (length == 0 || length >= WORD_SIZE || path->n_words == MAX_WORDS)
            return wg_fail(err, WG_ERR_INPUT, NULL, "\"%.80s\" is no path of a key.", text);
        memcpy(path->word[path->n_words], at, length);
        path->word[path->n_words++][length] = '\0';
        at = dot != NULL ? dot + 1 : NULL;
    }
    return 0;
}

static const struct wg_yaml_node *named_or_numbered(const struct wg_yaml_node *list, const char *word) {
    char *end;
    for (const struct wg_yaml_node *item = list->first; item != NULL; item = item->next) {
        const struct wg_yaml_node *const name = wg_yaml_get(item, "name");
        if (name != NULL && name->kind == WG_YAML_TEXT && strcmp(name->text, word) == 0)
            return item;
    }
    const long number = strtol(word, &end, 10);
    const struct wg_yaml_node *item = *end == '\0' && number > 0 ? list->first : NULL;
    for (long i = 1; item != NULL && i < number; i++)
        item = item->next;
    return item;
}

/* A group may be written as the value of its first key: housing: shed is housing: {kind: shed}. */
static bool stands_for_group(const struct wg_schema_spot *spot) {
    return spot->node->kind == WG_YAML_TEXT && spot->node->text[0] != '\0' && spot->node->key != NULL &&
           spot->key.name != NULL && strcmp(spot->key.name, spot->node->key->text) != 0;
}

/* Follows the path as far as the plan goes. Among values to try, the one of now is meant. */
static void follow_edit_path(struct edit_path *path, const struct wg_yaml_node *root) {
    path->spot[0] = wg_schema_root(root);
    while (path->n_found < path->n_words) {
        const struct wg_schema_spot *const at = &path->spot[path->n_found];
        const char *const word = path->word[path->n_found];
        if (stands_for_group(at) && strcmp(at->key.name, word) == 0) {
            path->spot[++path->n_found] = *at;
            continue;
        }
        const struct wg_yaml_node *const child = at->node->kind == WG_YAML_MAP    ? wg_yaml_get(at->node, word)
                                                 : at->node->kind == WG_YAML_LIST ? named_or_numbered(at->node, word)
                                                                                  : NULL;
        if (child == NULL)
            return;
        struct wg_schema_spot *const next = &path->spot[path->n_found + 1];
        *next = wg_schema_enter(at, child);
        if (wg_yaml_get(child, "now") != NULL)
            next->node = wg_yaml_get(child, "now");
        path->n_found++;
    }
}

/* ---- pieces of text ---- */

static void splice(const struct plan_edit *edit, size_t from, size_t to, const char *text, struct wg_bytes *out) {
    wg_bytes_add(out, edit->text, from);
    wg_bytes_put(out, text);
    wg_bytes_add(out, edit->text + to, edit->size - to);
}

static size_t end_of_line(const struct plan_edit *edit, size_t at) {
    while (at < edit->size && edit->text[at] != '\n')
        at++;
    return at > 0 && at < edit->size && edit->text[at - 1] == '\r' ? at - 1 : at;
}

static size_t start_of_line(const struct plan_edit *edit, size_t at) {
    while (at > 0 && edit->text[at - 1] != '\n')
        at--;
    return at;
}

/* Returns the byte behind the colon of a value's key. */
static size_t behind_colon(const struct plan_edit *edit, const struct wg_yaml_node *value) {
    size_t at = value->key->end;
    while (at < edit->size && edit->text[at] != ':')
        at++;
    return at < edit->size ? at + 1 : edit->size;
}

/* True for a key without a value, whose position is that of the text before it. */
static bool is_empty_value(const struct wg_yaml_node *node) {
    return node->kind == WG_YAML_TEXT && node->key != NULL && node->at < node->key->end;
}

static bool is_block(const struct wg_yaml_node *node) {
    return node->kind != WG_YAML_TEXT && !node->has_brackets;
}

/* Returns the byte behind a value; behind its colon if it is empty. */
static size_t end_of_value(const struct plan_edit *edit, const struct wg_yaml_node *node) {
    if (is_empty_value(node))
        return behind_colon(edit, node);
    const struct wg_yaml_node *last = is_block(node) ? node->first : NULL;
    while (last != NULL && last->next != NULL)
        last = last->next;
    return last != NULL ? end_of_value(edit, last) : node->end;
}

/* ---- values ---- */

static void put_quoted(const char *value, struct wg_bytes *out) {
    wg_bytes_put(out, "\"");
    for (const char *c = value; *c != '\0'; c++)
        if (*c == '\n')
            wg_bytes_put(out, "\\n");
        else
            wg_bytes_printf(out, *c == '"' || *c == '\\' ? "\\%c" : "%c", *c);
    wg_bytes_put(out, "\"");
}

/* Writes "key: {group: {key: value}}" for the words of the path that the plan does not have yet; "key: [value]" for key.1. */
static void put_chain(const struct edit_path *path, int from, const char *value, struct wg_bytes *out) {
    for (int i = from; i < path->n_words; i++)
        if (i > from && strcmp(path->word[i], "1") == 0)
            wg_bytes_put(out, "[");
        else
            wg_bytes_printf(out, "%s%s: ", i > from ? "{" : "", path->word[i]);
    wg_bytes_put(out, value);
    for (int i = path->n_words - 1; i > from; i--)
        wg_bytes_put(out, strcmp(path->word[i], "1") == 0 ? "]" : "}");
}

/* ---- changes ---- */

static void replace_value(const struct plan_edit *edit, const char *value, struct wg_bytes *out) {
    const struct wg_yaml_node *const node = edit->path.spot[edit->path.n_words].node;
    if (node->key != NULL && (is_empty_value(node) || is_block(node))) {
        struct wg_bytes text = {0};
        wg_bytes_printf(&text, " ");
        wg_bytes_put(&text, value);
        splice(edit, behind_colon(edit, node), end_of_value(edit, node), text.data != NULL ? text.data : "", out);
        out->failed |= text.failed;
        wg_bytes_free(&text);
    } else {
        splice(edit, node->at, end_of_value(edit, node), value, out);
    }
}

/* Adds a line at the end of a group or list without brackets. */
static void insert_line(const struct plan_edit *edit, const struct wg_yaml_node *parent, const char *text,
                        struct wg_bytes *out) {
    const size_t at = end_of_line(edit, end_of_value(edit, parent));
    const int indent = parent->column - 1;
    struct wg_bytes line = {0};
    const bool has_returns = at < edit->size && edit->text[at] == '\r';
    wg_bytes_printf(&line, "%s%*s%s", has_returns ? "\r\n" : "\n", indent, "",
                    parent->kind == WG_YAML_LIST ? "- " : "");
    wg_bytes_put(&line, text);
    splice(edit, at, at, line.data != NULL ? line.data : "", out);
    out->failed |= line.failed;
    wg_bytes_free(&line);
}

/* Adds a value at the end of a group or list in brackets. */
static void add_in_brackets(const struct plan_edit *edit, const struct wg_yaml_node *parent, const char *text,
                            struct wg_bytes *out) {
    const struct wg_yaml_node *last = parent->first;
    while (last != NULL && last->next != NULL)
        last = last->next;
    const size_t at = last != NULL ? end_of_value(edit, last) : parent->at + 1;
    struct wg_bytes piece = {0};
    wg_bytes_put(&piece, last != NULL ? ", " : "");
    wg_bytes_put(&piece, text);
    splice(edit, at, at, piece.data != NULL ? piece.data : "", out);
    out->failed |= piece.failed;
    wg_bytes_free(&piece);
}

/* Makes a group of the text that stands for its first key, and adds the others. */
static void widen_text(const struct plan_edit *edit, const struct wg_schema_spot *spot, const char *text,
                       struct wg_bytes *out) {
    const struct wg_yaml_node *const node = spot->node;
    struct wg_bytes group = {0};
    wg_bytes_printf(&group, "{%s: ", spot->key.name);
    wg_bytes_add(&group, edit->text + node->at, node->end - node->at);
    wg_bytes_put(&group, ", ");
    wg_bytes_put(&group, text);
    wg_bytes_put(&group, "}");
    splice(edit, node->at, node->end, group.data != NULL ? group.data : "", out);
    out->failed |= group.failed;
    wg_bytes_free(&group);
}

static bool is_next_item(const struct wg_yaml_node *list, const char *word) {
    char number[16];
    (void)snprintf(number, sizeof number, "%d", list->n + 1);
    return strcmp(word, number) == 0;
}

static int fail_no_place(const struct edit_path *path, struct wg_error *err) {
    return wg_fail(err, WG_ERR_INPUT, path->word[path->n_found], "The plan has no place for \"%.60s\".",
                   path->word[path->n_found]);
}

static int insert_value(const struct plan_edit *edit, const char *value, struct wg_bytes *out, struct wg_error *err) {
    const struct edit_path *const path = &edit->path;
    const struct wg_schema_spot *const parent = &path->spot[path->n_found];
    const bool is_list = parent->node->kind == WG_YAML_LIST;
    struct wg_bytes text = {0};
    if (is_list && !is_next_item(parent->node, path->word[path->n_found]))
        return fail_no_place(path, err);
    if (is_list && path->n_found + 1 == path->n_words)
        wg_bytes_put(&text, value);
    else if (is_list) {
        wg_bytes_put(&text, "{");
        put_chain(path, path->n_found + 1, value, &text);
        wg_bytes_put(&text, "}");
    } else
        put_chain(path, path->n_found, value, &text);
    const char *const piece = text.data != NULL ? text.data : "";
    int code = wg_bytes_failed(&text, err);
    if (code == 0 && parent->node->kind == WG_YAML_TEXT && !stands_for_group(parent))
        code = fail_no_place(path, err);
    else if (code == 0 && parent->node->kind == WG_YAML_TEXT)
        widen_text(edit, parent, piece, out);
    else if (code == 0 && parent->node->has_brackets)
        add_in_brackets(edit, parent->node, piece, out);
    else if (code == 0)
        insert_line(edit, parent->node, piece, out);
    wg_bytes_free(&text);
    return code;
}

/* ---- removing ---- */

static const struct wg_yaml_node *before_in(const struct wg_yaml_node *parent, const struct wg_yaml_node *node) {
    const struct wg_yaml_node *before = NULL;
    for (const struct wg_yaml_node *item = parent->first; item != node; item = item->next)
        before = item;
    return before;
}

static size_t start_of_item(const struct wg_yaml_node *node) {
    return node->key != NULL ? node->key->at : node->at;
}

/* Returns the line on which a key stands, or the dash of an item, which may be above its value. */
static size_t first_line(const struct plan_edit *edit, const struct wg_yaml_node *parent,
                         const struct wg_yaml_node *node) {
    size_t line = start_of_line(edit, start_of_item(node));
    const size_t dash = (size_t)(parent->column - 1);
    if (node->key == NULL)
        while (line > parent->at && edit->text[line + dash] != '-')
            line = start_of_line(edit, line - 1);
    return line;
}

/* Removes whole lines, except that the dash of a list's item stays for the next key. */
static void remove_lines(const struct plan_edit *edit, const struct wg_yaml_node *parent,
                         const struct wg_yaml_node *node, struct wg_bytes *out) {
    const size_t line = first_line(edit, parent, node);
    size_t from = line, to = end_of_line(edit, end_of_value(edit, node)), first = line;
    while (first < edit->size && edit->text[first] == ' ')
        first++;
    while (to < edit->size && (edit->text[to] == '\r' || edit->text[to] == '\n'))
        if (edit->text[to++] == '\n')
            break;
    if (node->key != NULL && first < node->key->at && node->next != NULL) {
        from = node->key->at;
        to = start_of_item(node->next);
    }
    splice(edit, from, to, "", out);
}

static int n_values(const struct wg_yaml_node *node) {
    int n = 1;
    for (const struct wg_yaml_node *child = node->first; child != NULL; child = child->next)
        n += n_values(child);
    return n;
}

/* True if the text is YAML with so many values. */
static bool has_n_values(const struct wg_bytes *text, int n) {
    struct wg_yaml yaml = {0};
    struct wg_mistakes problems = {0};
    const bool is_right = wg_yaml_read(&yaml, text->data, text->size, &problems) == 0 && n_values(yaml.root) == n;
    wg_mistakes_free(&problems);
    wg_yaml_free(&yaml);
    return is_right;
}

static int remove_value(const struct plan_edit *edit, struct wg_bytes *out, struct wg_error *err) {
    const struct edit_path *const path = &edit->path;
    struct wg_bytes text = {0};
    int i = path->n_words;
    if (path->n_found < path->n_words) { /* it is not there */
        wg_bytes_add(out, edit->text, edit->size);
        return 0;
    }
    while (i > 1 && (path->spot[i - 1].node->n == 1 || path->spot[i - 1].node == path->spot[i].node))
        i--; /* the last of its group takes the group along */
    const struct wg_yaml_node *const parent = path->spot[i - 1].node;
    const struct wg_yaml_node *node = parent->first;
    while (node != NULL && node != path->spot[i].node && wg_yaml_get(node, "now") != path->spot[i].node)
        node = node->next;
    if (node == NULL || parent->n == 1)
        return wg_fail(err, WG_ERR_INPUT, path->word[i - 1], "This cannot be removed.");
    const struct wg_yaml_node *const before = before_in(parent, node);
    if (!parent->has_brackets)
        remove_lines(edit, parent, node, &text);
    else if (node->next != NULL)
        splice(edit, start_of_item(node), start_of_item(node->next), "", &text);
    else
        splice(edit, end_of_value(edit, before), end_of_value(edit, node), "", &text);
    int code = wg_bytes_failed(&text, err);
    if (code == 0 && (text.size == 0 || !has_n_values(&text, n_values(path->spot[0].node) - n_values(node))))
        code = wg_fail(err, WG_ERR_INPUT, path->word[i - 1], "This cannot be removed.");
    else if (code == 0)
        wg_bytes_add(out, text.data, text.size);
    wg_bytes_free(&text);
    return code;
}

/* ---- the whole ---- */

/* True if the text has the value at the path. */
static bool has_value_at(const struct wg_bytes *text, const struct edit_path *asked, const char *value) {
    struct wg_yaml yaml = {0};
    struct wg_mistakes problems = {0};
    struct edit_path path = *asked;
    bool is_right = false;
    path.n_found = 0;
    if (wg_yaml_read(&yaml, text->data, text->size, &problems) == 0) {
        follow_edit_path(&path, yaml.root);
        const struct wg_yaml_node *const node = path.spot[path.n_found].node;
        is_right = path.n_found == path.n_words &&
                   (node->kind == WG_YAML_TEXT ? strcmp(node->text, value) == 0 : value[0] == '{' || value[0] == '[');
    }
    wg_mistakes_free(&problems);
    wg_yaml_free(&yaml);
    return is_right;
}

static int apply_value(const struct plan_edit *edit, const char *value, struct wg_bytes *out, struct wg_error *err) {
    if (edit->path.n_found < edit->path.n_words)
        return insert_value(edit, value, out, err);
    replace_value(edit, value, out);
    return 0;
}

/* Writes the value plain, and in quotes if YAML would not read it as it is. */
static int change_value(const struct plan_edit *edit, const char *value, struct wg_bytes *out, struct wg_error *err) {
    struct wg_bytes plain = {0}, quoted = {0}, with_quotes = {0};
    int code = apply_value(edit, value, &plain, err);
    const bool is_plain = code == 0 && !plain.failed && plain.size > 0 && has_value_at(&plain, &edit->path, value);
    if (code == 0 && is_plain) {
        wg_bytes_add(out, plain.data, plain.size);
    } else if (code == 0) {
        put_quoted(value, &quoted);
        code = apply_value(edit, quoted.data != NULL ? quoted.data : "", &with_quotes, err);
        if (code == 0 && !with_quotes.failed && has_value_at(&with_quotes, &edit->path, value))
            wg_bytes_add(out, with_quotes.data, with_quotes.size);
        else if (code == 0)
            code = wg_fail(err, WG_ERR_INPUT, NULL, "This text cannot stand here in a plan.");
    }
    out->failed |= plain.failed || quoted.failed || with_quotes.failed;
    wg_bytes_free(&plain);
    wg_bytes_free(&quoted);
    wg_bytes_free(&with_quotes);
    return code;
}

int wg_plan_edit(const char *text, size_t size, const char *path, const char *value, struct wg_bytes *out,
                 struct wg_error *err) {
    struct plan_edit edit = {.text = text, .size = size};
    struct wg_yaml yaml = {0};
    struct wg_mistakes problems = {0};
    int code = split_edit_path(&edit.path, path, err);
    if (code == 0)
        code = wg_yaml_read(&yaml, text, size, &problems);
    if (code == WG_ERR_INPUT && problems.n > 0)
        (void)wg_fail(err, code, NULL, "%s", problems.items[0].message);
    if (code == 0) {
        follow_edit_path(&edit.path, yaml.root);
        code = value != NULL ? change_value(&edit, value, out, err) : remove_value(&edit, out, err);
    }
    if (code == 0)
        code = wg_bytes_failed(out, err);
    wg_mistakes_free(&problems);
    wg_yaml_free(&yaml);
    return code;
}
