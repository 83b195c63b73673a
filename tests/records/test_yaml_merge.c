/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks that a written tree reads as the same tree, with libfyaml as the judge of what is YAML.
 */
#include "records/yaml.h"

#include <criterion/criterion.h>
#include <glob.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void read_yaml(struct wg_yaml *yaml, const char *text, size_t size) {
    struct wg_mistakes problems = {0};
    *yaml = (struct wg_yaml){0};
    cr_assert_eq(wg_yaml_read(yaml, text, size, &problems), 0, "%s\n%.*s",
                 problems.n > 0 ? problems.items[0].message : "", (int)size, text);
    wg_mistakes_free(&problems);
}

static bool is_same_tree(const struct wg_yaml_node *a, const struct wg_yaml_node *b) {
    if (a->kind != b->kind || a->n != b->n || (a->key == NULL) != (b->key == NULL) ||
        (a->key != NULL && strcmp(a->key->text, b->key->text) != 0))
        return false;
    if (a->kind == WG_YAML_TEXT)
        return strcmp(a->text, b->text) == 0;
    const struct wg_yaml_node *x = a->first, *y = b->first;
    for (; x != NULL && y != NULL; x = x->next, y = y->next)
        if (!is_same_tree(x, y))
            return false;
    return x == y;
}

static void expect_round_trip(const char *text, size_t size) {
    struct wg_yaml yaml, again;
    read_yaml(&yaml, text, size);
    size_t written_size;
    char *const written = wg_yaml_write(yaml.root, &written_size);
    cr_assert_not_null(written);
    read_yaml(&again, written, written_size);
    cr_expect(is_same_tree(yaml.root, again.root), "%.*s\n%s", (int)size, text, written);
    free(written);
    wg_yaml_free(&again);
    wg_yaml_free(&yaml);
}

Test(yaml_write, reads_as_the_same_tree) {
    static const char *const texts[] = {
        "a: {}\nb: []\nc: ''\nd:\n",
        "title: 'one \"two\" \\three: four # five'\n",
        "title: \"tab\\tline\\nend\"\n",
        "- - a\n  - {b: c, d: [e, f]}\n- '- not a list'\n- '--- not the end'\n- '%no directive'\n- '...'\n",
        "'key with: colon': ' blanks '\n'': empty key\n'-': dash\n",
        "a: no\nb: '007'\nc: ~\nd: 1e3\ne: '[x]'\nf: '{x}'\ng: '*x'\nh: '&x'\ni: '!x'\nj: '|'\nk: '@x'\n",
        "caf\xC3\xA9: \xE2\x82\xAC 5\n",
        "one: {two: {three: {four: [aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa, bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb, "
        "{five: cccccccccccccccccccccccccccccccccccccccccccccccc, six: [[dddddddddddddddddddd, "
        "eeeeeeeeeeeeeee]]}]}}}\n",
    };
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        expect_round_trip(texts[i], strlen(texts[i]));
}

Test(yaml_write, all_scenarios) {
    glob_t found;
    cr_assert_eq(glob(WG_SOURCE_DIR "/scenarios/*.yaml", 0, NULL, &found), 0);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        static char text[WG_YAML_MAX_BYTES];
        FILE *const file = fopen(found.gl_pathv[i], "rb");
        cr_assert_not_null(file);
        const size_t size = fread(text, 1, sizeof text, file);
        fclose(file);
        expect_round_trip(text, size);
    }
    globfree(&found);
}

/* Each plan with its base and the tree that results, by the rules in yaml.h. */
Test(yaml_merge, by_key_and_by_name) {
    static const struct {
        const char *base, *plan, *merged;
    } cases[] = {
        {"{a: 1, b: {c: 2, d: 3}}", "{b: {c: 9}, e: 4}", "{a: 1, b: {c: 9, d: 3}, e: 4}"},
        {"l: [{name: x, v: 1}, {name: y, v: 2}]", "l: [{name: z, v: 3}, {name: x, w: 4}]",
         "l: [{name: x, v: 1, w: 4}, {name: y, v: 2}, {name: z, v: 3}]"},
        {"l: [{v: 1}, {v: 2}]", "l: [{v: 3}]", "l: [{v: 3}]"},
        {"{m: {a: 1}, l: [1], t: 5}", "{m: none, l: none, t: none}", "{t: none}"},
        {"{u_value: 1, climate: {normals: {a: 1}}}", "{r_value: 2, climate: {record: x}}",
         "{climate: {record: x}, r_value: 2}"},
        {"h: {kind: shed, floor: 9}", "h: {kind: room, temperature: 5}", "h: {kind: room, temperature: 5}"},
        {"h: {kind: shed, floor: 9}", "h: {kind: shed, window: 1}", "h: {kind: shed, floor: 9, window: 1}"},
        {"housing: shed", "housing: {floor: 9}", "housing: {kind: shed, floor: 9}"},
        {"h: {lamps: 12 hours}", "h: {lamps: {power: 5 W}}", "h: {lamps: {hours: 12 hours, power: 5 W}}"},
        {"h: {lamps: none}", "h: {lamps: {power: 5 W}}", "h: {lamps: {power: 5 W}}"},
        {"goal: {survive: yes}", "goal: {adults: 9}", "goal: {adults: 9}"},
        {"f: [1, 2]", "f: unlimited", "f: unlimited"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct wg_yaml base, plan, merged;
        read_yaml(&base, cases[i].base, strlen(cases[i].base));
        read_yaml(&plan, cases[i].plan, strlen(cases[i].plan));
        read_yaml(&merged, cases[i].merged, strlen(cases[i].merged));
        wg_yaml_merge(&plan, &base);
        cr_expect(is_same_tree(plan.root, merged.root), "%s", cases[i].merged);
        wg_yaml_free(&base);
        wg_yaml_free(&plan);
        wg_yaml_free(&merged);
    }
}
