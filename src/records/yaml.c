/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Parses a YAML text into a small tree, from the events of libfyaml.
 *
 * It does not use libfyaml's documents, because they search for repeated keys in quadratic time (20,000 keys took 7 s)
 * and may expand aliases without limit. It checks beforehand what libfyaml accepts silently: size (43 MB took 12 s and
 * 2 GB), NUL, control characters, UTF-16. It replaces libfyaml's messages, which are for programmers, with plain ones.
 */
#include "records/yaml.h"

#include "base/utf8.h"
#include "text/mistakes.h"

#include <libfyaml.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- before parsing ---- */

static bool is_utf16(const unsigned char *text, size_t size) {
    if (size < 2)
        return false;
    return (text[0] == 0xFF && text[1] == 0xFE) || (text[0] == 0xFE && text[1] == 0xFF) ||
           (text[0] == 0 && text[1] != 0) || (text[0] != 0 && text[1] == 0);
}

/* Printable or white space. */
static bool is_fit(uint32_t code) {
    return code == '\n' || code == '\r' || code == '\t' || wg_utf8_is_printable(code);
}

struct place {
    int line, column;
    size_t at;
};

static int check_characters(const char *text, size_t size, struct wg_mistakes *problems) {
    struct place at = {1, 1, 0};
    size_t i = wg_utf8_mark(text, size);
    while (i < size) {
        uint32_t code;
        const size_t n = wg_utf8_decode(text + i, text + size, &code);
        if (n == 0)
            return wg_mistakes_add(
                       problems, at.line, at.column,
                       "There is a character here that is not UTF-8. Save the file as plain text in UTF-8.") < 0
                       ? WG_ERR_MEMORY
                       : WG_ERR_INPUT;
        if (!is_fit(code) || (code == '\r' && (i + 1 >= size || text[i + 1] != '\n')))
            return wg_mistakes_add(problems, at.line, at.column,
                                   "There is an invisible control character here (number %u). Delete it, or save the "
                                   "file as plain text.",
                                   code) < 0
                       ? WG_ERR_MEMORY
                       : WG_ERR_INPUT;
        at = code == '\n' ? (struct place){at.line + 1, 1, 0} : (struct place){at.line, at.column + 1, 0};
        i += n;
    }
    return 0;
}

static int refuse_file(struct wg_mistakes *problems, const char *message) {
    return wg_mistakes_add(problems, 0, 0, "%s", message) < 0 ? WG_ERR_MEMORY : WG_ERR_INPUT;
}

int wg_yaml_refuse_size(struct wg_mistakes *problems) {
    return refuse_file(problems,
                       "The file is larger than 256 KiB: is it a scenario? Weather belongs in a separate file, named "
                       "with climate: {record: weather.csv}.");
}

static int check_text(const char *text, size_t size, struct wg_mistakes *problems) {
    if (size > WG_YAML_MAX_BYTES)
        return wg_yaml_refuse_size(problems);
    if (is_utf16((const unsigned char *)text, size))
        return refuse_file(problems, "The file is in UTF-16. Save it as plain text in UTF-8.");
    return check_characters(text, size, problems);
}

/* ---- plain messages ---- */

static const char *plain_words(const char *said) {
    static const struct {
        const char *part, *means;
    } table[] = {
        {"tab ", "A tab indents this line. Use spaces instead."},
        {"missing comma in flow", "A comma or a closing bracket is missing before this."},
        {"without a closing brace", "The file ends here, but a { further up is not closed with }."},
        {"without a closing bracket", "The file ends here, but a [ further up is not closed with ]."},
        {"extra closing", "This closes a bracket that was never opened."},
        {"mismatched flow", "The wrong kind of bracket closes here: { needs } and [ needs ]."},
        {"nested block mapping on the same line",
         "There is a colon too many here, or an earlier one is missing. A key is "
         "followed by a colon and a space, each key has its own line, "
         "and a text with a colon in it needs quotes."},
        {"multiline plain key",
         "A colon followed by a space is missing here, or the next line is indented further than this one. "
         "Write key: value, one below the other."},
        {"extra comma", "There is a comma too many here."},
        {"block sequence on the same line", "A list with - must begin on the line below its key."},
        {"trailing content after", "Something follows the closing quote here. Put the quotes around the whole text."},
        {"expected ':'", "A colon followed by a space is missing here. Write key: value."},
        {"expected key", "A key is missing here. Write key: value."},
        {"missing ':'", "A colon followed by a space is missing here. Write key: value."},
        {"expected '-'", "This line does not line up. The items of a list each start with - in the same column, "
                         "and so do the keys of one item."},
        {"invalid indentation",
         "This line does not line up with the lines above. Keys that belong together start in the "
         "same column."},
        {"wrongly indented double-quoted", "A text that begins with \" here does not end with \" on the same line."},
        {"wrongly indented single-quoted", "A text that begins with ' here does not end with ' on the same line."},
        {"in flow mode", "This line is too far to the left for the open bracket above. Is that bracket closed?"},
        {"wrongly indented", "This line does not line up with the lines above. Keys that belong together start in the "
                             "same column."},
        {"wrong inden", "This line does not line up with the lines above. Keys that belong together start in the "
                        "same column."},
        {"without closing quote", "A text begins with a quote here but has no closing quote."},
        {"plain scalar cannot start", "A text cannot begin with this character. Put quotes around the text."},
        {"invalid escape",
         "A backslash between \" \" has a special meaning. Put ' ' around the text instead, or remove the backslash."},
        {"invalid value after mapping",
         "This line does not belong to the lines above it. Is it indented too little, or is a "
         "colon followed by a space missing?"},
        {"at the end of block sequence",
         "A list ends here and something else begins. Do all items of the list start with - ?"},
        {"depth", "Brackets are nested too deeply here."},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        if (strstr(said, table[i].part) != NULL)
            return table[i].means;
    return NULL;
}

/* ---- building the tree ---- */

struct open_container {
    struct wg_yaml_node *node, *last; /* `last`: the latest value, which the next one follows */
    struct wg_yaml_node *key;         /* of a map, until its value comes */
};

struct yaml_builder {
    const char *text; /* what is parsed */
    size_t size;
    struct wg_yaml *yaml;
    struct wg_mistakes *problems;
    struct open_container level[WG_YAML_MAX_DEPTH];
    int depth;
    int documents;
    struct place last; /* of the last text, for values without a position */
};

static int refuse_yaml(const struct yaml_builder *b, struct place at, const char *message) {
    return wg_mistakes_add(b->problems, at.line, at.column, "%s", message) < 0 ? WG_ERR_MEMORY : WG_ERR_INPUT;
}

/* Returns the line of the first directive, or 0: the parser refuses some without a message. */
static int directive_line(const char *text, size_t size) {
    int line = 1;
    for (size_t i = 0; i < size; line++) {
        if (text[i] == '%')
            return line;
        const char *const end = memchr(text + i, '\n', size - i);
        i = end != NULL ? (size_t)(end - text) + 1 : size;
    }
    return 0;
}

/* Reports the parser's first error; the others follow from it. */
static int report_syntax(struct fy_diag *diag, const struct yaml_builder *b) {
    struct wg_mistakes *const problems = b->problems;
    void *iterator = NULL;
    const struct fy_diag_error *const error = fy_diag_errors_iterate(diag, &iterator);
    if (error == NULL || error->msg == NULL) {
        const int directive = directive_line(b->text, b->size);
        return directive > 0 ? refuse_yaml(b, (struct place){directive, 1, 0},
                                           "A line that begins with % is a YAML directive, and this one is not known. "
                                           "Remove it.")
                             : refuse_file(problems, "The file cannot be read as YAML.");
    }
    const int line = error->line > 0 ? error->line : 0,
              column = error->line > 0 && error->column > 0 ? error->column : line > 0;
    const char *const plain = plain_words(error->msg);
    const int code = plain != NULL
                         ? wg_mistakes_add(problems, line, column, "%s", plain)
                         : wg_mistakes_add(problems, line, column, "This cannot be read as YAML: %s.", error->msg);
    return code < 0 ? WG_ERR_MEMORY : WG_ERR_INPUT;
}

/* libfyaml marks a block text on the line after its | or >; this finds the sign itself. */
static struct place place_of_block(const struct yaml_builder *b, const struct fy_mark *mark) {
    size_t begin = mark->input_pos < b->size ? mark->input_pos : b->size;
    while (begin > 0 && b->text[begin - 1] != '\n')
        begin--;
    const size_t end = begin > 0 ? begin - 1 : 0;
    for (begin = end; begin > 0 && b->text[begin - 1] != '\n';)
        begin--;
    struct place place = {mark->line > 0 ? mark->line : 1, 1, begin};
    int column = 1;
    for (size_t i = begin; i < end && b->text[i] != '#'; i++) {
        if (b->text[i] == '|' || b->text[i] == '>')
            place.column = column, place.at = i;
        column += wg_utf8_starts(b->text[i]);
    }
    return place;
}

static struct place place_of(const struct yaml_builder *b, struct fy_event *event) {
    struct fy_token *const token = fy_event_get_token(event);
    const struct fy_mark *const mark = token == NULL ? NULL : fy_token_start_mark(token);
    if (mark != NULL && event->type == FYET_SCALAR &&
        (fy_token_scalar_style(token) == FYSS_LITERAL || fy_token_scalar_style(token) == FYSS_FOLDED))
        return place_of_block(b, mark);
    return mark == NULL ? b->last : (struct place){mark->line + 1, mark->column + 1, mark->input_pos};
}

static struct wg_yaml_node *new_node(struct yaml_builder *b, enum wg_yaml_kind kind, struct place at) {
    struct wg_yaml_node *const node = calloc(1, sizeof *node);
    if (node == NULL)
        return NULL;
    *node = (struct wg_yaml_node){
        .kind = kind, .line = at.line, .column = at.column, .at = at.at, .end = at.at, .allocated = b->yaml->allocated};
    b->yaml->allocated = node;
    return node;
}

/* Adds a node to the tree as the root, an item of a list, or a key or value of a map. */
static int attach_node(struct yaml_builder *b, struct wg_yaml_node *node, struct place at) {
    if (b->depth == 0) {
        b->yaml->root = node;
        return 0;
    }
    struct open_container *const level = &b->level[b->depth - 1];
    if (level->node->kind == WG_YAML_MAP && level->key == NULL) {
        if (node->kind != WG_YAML_TEXT)
            return refuse_yaml(b, at, "A key must be a plain word, not a list or a group of keys.");
        if (strcmp(node->text, "<<") == 0)
            return refuse_yaml(b, at, "Scenarios do not use merge keys (<<). Write the keys out.");
        level->key = node;
        return 0;
    }
    node->key = level->key;
    level->key = NULL;
    if (level->last == NULL)
        level->node->first = node;
    else
        level->last->next = node;
    level->last = node;
    level->node->n++;
    return 0;
}

/* Returns the byte behind an event's text. */
static size_t end_of(const struct yaml_builder *b, struct fy_event *event, size_t otherwise) {
    struct fy_token *const token = fy_event_get_token(event);
    const struct fy_mark *const mark = token == NULL ? NULL : fy_token_end_mark(token);
    return mark == NULL || mark->input_pos > b->size ? otherwise : mark->input_pos;
}

/* Without brackets, the parser puts the end of a list or map where the next key begins. */
static void close_group(struct yaml_builder *b, struct fy_event *event) {
    const struct open_container *const level = &b->level[--b->depth];
    struct wg_yaml_node *const node = level->node;
    const size_t last = level->last != NULL ? level->last->end : node->at;
    node->end = node->has_brackets ? end_of(b, event, last) : last;
}

static int open_group(struct yaml_builder *b, enum wg_yaml_kind kind, struct place at) {
    struct wg_yaml_node *const node = new_node(b, kind, at);
    if (node == NULL)
        return WG_ERR_MEMORY;
    node->has_brackets = at.at < b->size && (b->text[at.at] == '{' || b->text[at.at] == '[');
    const int code = attach_node(b, node, at);
    if (code < 0)
        return code;
    if (b->depth == WG_YAML_MAX_DEPTH)
        return refuse_yaml(b, at, "Lists and keys are nested too deeply here. Is there a bracket too many?");
    b->level[b->depth++] = (struct open_container){.node = node};
    return 0;
}

/* libfyaml 0.7.12 misreads, and leaks, a text in ' ' with two adjacent pairs of ''. */
static bool has_four_quotes(const struct yaml_builder *b, struct fy_token *token) {
    const struct fy_mark *const start = fy_token_start_mark(token), *const end = fy_token_end_mark(token);
    if (fy_token_scalar_style(token) != FYSS_SINGLE_QUOTED || start == NULL || end == NULL || end->input_pos > b->size)
        return false;
    int quotes = 0;
    for (size_t i = start->input_pos; i < end->input_pos && quotes < 4; i++)
        quotes = b->text[i] == '\'' ? quotes + 1 : 0;
    return quotes >= 4;
}

/* The parser's marks are inside the quotes. */
static void include_quotes(const struct yaml_builder *b, struct fy_event *event, struct wg_yaml_node *node) {
    struct fy_token *const token = event->scalar.value;
    const enum fy_scalar_style style = token == NULL ? FYSS_ANY : fy_token_scalar_style(token);
    const char quote = style == FYSS_SINGLE_QUOTED ? '\'' : style == FYSS_DOUBLE_QUOTED ? '"' : '\0';
    if (quote == '\0' || node->at == 0 || node->end >= b->size || b->text[node->at - 1] != quote ||
        b->text[node->end] != quote)
        return;
    node->at--;
    node->end++;
}

static int add_scalar(struct yaml_builder *b, struct fy_event *event, struct place at) {
    size_t size = 0;
    if (event->scalar.value != NULL && has_four_quotes(b, event->scalar.value))
        return refuse_yaml(b, at, "There are too many quotes in a row here. Put \" \" around a text that has ' in it.");
    const char *const text = event->scalar.value == NULL ? "" : fy_token_get_text(event->scalar.value, &size);
    /* For a missing value libfyaml 0.7 has no token, 0.8 an empty one behind the colon. */
    const bool is_missing =
        size == 0 && event->scalar.value != NULL && fy_token_scalar_style(event->scalar.value) == FYSS_PLAIN;
    if (is_missing)
        at = b->last;
    struct wg_yaml_node *const node = new_node(b, WG_YAML_TEXT, at);
    if (node == NULL || text == NULL)
        return WG_ERR_MEMORY;
    node->text = malloc(size + 1);
    if (node->text == NULL)
        return WG_ERR_MEMORY;
    memcpy(node->text, text, size);
    node->text[size] = '\0';
    node->end = is_missing ? at.at : end_of(b, event, at.at);
    include_quotes(b, event, node);
    /* Escapes such as "\x1b" in quotes may create control characters that the file itself does not have. */
    for (size_t i = 0; i < size;) {
        uint32_t code;
        const size_t n = wg_utf8_decode(text + i, text + size, &code);
        if (n == 0 || !is_fit(code) || code == '\r')
            return refuse_yaml(
                b, at, "This text has an escape (with a backslash) for an invisible control character. Remove it.");
        i += n;
    }
    b->last = at;
    return attach_node(b, node, at);
}

static int check_decoration(const struct yaml_builder *b, struct fy_event *event, struct place at) {
    if (event->type == FYET_ALIAS)
        return refuse_yaml(
            b, at, "A * makes this an alias, which scenarios do not use. Write the value out, or put it in quotes.");
    if (fy_event_get_anchor_token(event) != NULL)
        return refuse_yaml(
            b, at, "A & makes this an anchor, which scenarios do not use. Remove it, or put the text in quotes.");
    if (fy_event_get_tag_token(event) != NULL)
        return refuse_yaml(b, at,
                           "A ! makes this a tag, which scenarios do not use. Remove it, or put the text in quotes.");
    return 0;
}

static int handle_event(struct yaml_builder *b, struct fy_event *event) {
    const struct place at = place_of(b, event);
    const int code = check_decoration(b, event, at);
    if (code < 0)
        return code;
    switch (event->type) {
    case FYET_DOCUMENT_START:
        if (++b->documents > 1)
            return refuse_yaml(b, at, "A second document begins here (after --- or ...). A file holds one scenario.");
        return 0;
    case FYET_MAPPING_START:
        return open_group(b, WG_YAML_MAP, at);
    case FYET_SEQUENCE_START:
        return open_group(b, WG_YAML_LIST, at);
    case FYET_MAPPING_END:
    case FYET_SEQUENCE_END:
        close_group(b, event);
        return 0;
    case FYET_SCALAR:
        return add_scalar(b, event, at);
    default:
        return 0;
    }
}

static int build_tree(struct yaml_builder *b, struct fy_parser *parser) {
    int code = 0;
    while (code == 0) {
        struct fy_event *const event = fy_parser_parse(parser);
        if (event == NULL)
            break;
        code = handle_event(b, event);
        fy_parser_event_free(parser, event);
    }
    return code;
}

static int parse(struct yaml_builder *b, const char *text, size_t size) {
    struct fy_diag_cfg diag_cfg;
    fy_diag_cfg_default(&diag_cfg);
    diag_cfg.fp = NULL;
    struct fy_diag *const diag = fy_diag_create(&diag_cfg);
    if (diag == NULL)
        return WG_ERR_MEMORY;
    fy_diag_set_collect_errors(diag, true);
    const struct fy_parse_cfg cfg = {.flags = FYPCF_QUIET | FYPCF_COLLECT_DIAG | FYPCF_ALLOW_DUPLICATE_KEYS,
                                     .diag = diag};
    struct fy_parser *const parser = fy_parser_create(&cfg);
    const bool is_ready = parser != NULL && fy_parser_set_string(parser, text, size) == 0;
    int code = is_ready ? build_tree(b, parser) : WG_ERR_MEMORY;
    if (code == 0 && fy_parser_get_stream_error(parser))
        code = report_syntax(diag, b);
    if (parser != NULL)
        fy_parser_destroy(parser);
    fy_diag_destroy(diag);
    return code;
}

int wg_yaml_read(struct wg_yaml *yaml, const char *text, size_t size, struct wg_mistakes *problems) {
    *yaml = (struct wg_yaml){0};
    int code = check_text(text, size, problems);
    if (code < 0)
        return code;
    struct yaml_builder b = {.text = text, .size = size, .yaml = yaml, .problems = problems, .last = {1, 1, 0}};
    code = size == 0 ? 0 : parse(&b, text, size);
    if (code == 0 && yaml->root == NULL)
        code = refuse_file(problems, "The file is empty: it contains no scenario.");
    if (code < 0)
        yaml->root = NULL;
    return code;
}

void wg_yaml_free(struct wg_yaml *yaml) {
    for (struct wg_yaml_node *node = yaml->allocated; node != NULL;) {
        struct wg_yaml_node *const next = node->allocated;
        free(node->text);
        free(node);
        node = next;
    }
    *yaml = (struct wg_yaml){0};
}

const struct wg_yaml_node *wg_yaml_get(const struct wg_yaml_node *map, const char *key) {
    if (map == NULL || map->kind != WG_YAML_MAP)
        return NULL;
    for (const struct wg_yaml_node *value = map->first; value != NULL; value = value->next)
        if (strcmp(value->key->text, key) == 0)
            return value;
    return NULL;
}
