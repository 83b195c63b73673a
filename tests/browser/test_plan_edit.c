/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Changes of one value in the text of a plan. Expected texts are written by hand, as a keeper would edit the file.
 */
#include "browser/plan_edit.h"
#include "browser/yaml_path.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

static const char plan[] = "title: Hill # ours\n"
                           "places:\n"
                           "  - name: yard # by the wall\n"
                           "    housing: outdoors\n"
                           "    bins:\n"
                           "      - {name: tub, volume: 40 gal}\n"
                           "      - {name: box, volume: 20 gal}\n"
                           "feeding: unlimited\n";

struct change {
    const char *path, *value;
    const char *before, *after; /* the part of the text that changes; NULL: refused */
};

static const struct change changes[] = {
    {"title", "Dale", "title: Hill # ours", "title: Dale # ours"},
    {"title", "A: b # c", "title: Hill # ours", "title: \"A: b # c\" # ours"},
    {"title", "say \"no\"", "title: Hill # ours", "title: say \"no\" # ours"},
    {"places.yard.bins.tub.volume", "30 gal", "{name: tub, volume: 40 gal}", "{name: tub, volume: 30 gal}"},
    {"places.1.bins.2.volume", "150 L", "{name: box, volume: 20 gal}", "{name: box, volume: 150 L}"},
    {"places.yard.bins.tub.lid", "closed", "{name: tub, volume: 40 gal}", "{name: tub, volume: 40 gal, lid: closed}"},
    {"places.yard.bins.3", "{name: pan, volume: 5 gal}", "20 gal}\n", "20 gal}\n      - {name: pan, volume: 5 gal}\n"},
    {"places.yard.housing.kind", "shed", "housing: outdoors", "housing: shed"},
    {"places.yard.housing.floor", "9 m2", "housing: outdoors", "housing: {kind: outdoors, floor: 9 m2}"},
    {"places.yard.ground.depth", "10 cm", "20 gal}\n", "20 gal}\n    ground: {depth: 10 cm}\n"},
    {"forecast.seed", "7", "unlimited\n", "unlimited\nforecast: {seed: 7}\n"},
    {"goal.1", "{survive: yes}", "unlimited\n", "unlimited\ngoal: [{survive: yes}]\n"},
    {"title", NULL, "title: Hill # ours\n", ""},
    {"places.yard.bins.tub", NULL, "      - {name: tub, volume: 40 gal}\n", ""},
    {"places.yard.bins.tub.volume", NULL, "{name: tub, volume: 40 gal}", "{name: tub}"},
    {"places.yard.housing", NULL, "    housing: outdoors\n", ""},
    {"places.yard.name", NULL, "name: yard # by the wall\n    housing", "housing"},
    {"places.9", "x", NULL, NULL},
    {"places..x", "x", NULL, NULL},
    {"title\n.x", "x", NULL, NULL},
    {"feeding.x.y", "1", NULL, NULL},
};

/* Returns the plan with the part replaced, in a static buffer. */
static const char *replaced(const struct change *change) {
    static char text[2 * sizeof plan];
    const char *const at = strstr(plan, change->before);
    cr_assert_not_null(at);
    (void)snprintf(text, sizeof text, "%.*s%s%s", (int)(at - plan), plan, change->after, at + strlen(change->before));
    return text;
}

Test(plan_edit, changes_what_the_path_names_and_nothing_else) {
    for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
        struct wg_bytes out = {0};
        struct wg_error err = {0};
        const int code = wg_plan_edit(plan, strlen(plan), changes[i].path, changes[i].value, &out, &err);
        if (changes[i].before == NULL) {
            cr_expect_eq(code, WG_ERR_INPUT, "%s", changes[i].path);
            cr_expect(err.text[0] != '\0' && strchr(err.text, '\n') == NULL);
        } else {
            cr_expect_eq(code, 0, "%s: %s", changes[i].path, err.text);
            cr_expect_str_eq(out.data, replaced(&changes[i]), "%s", changes[i].path);
        }
        wg_bytes_free(&out);
    }
}

Test(plan_edit, keeps_the_line_ends_of_the_file) {
    struct wg_bytes out = {0};
    struct wg_error err = {0};
    const char text[] = "title: a\r\nfeeding: unlimited # b\r\n";
    cr_assert_eq(wg_plan_edit(text, strlen(text), "currency", "EUR", &out, &err), 0);
    cr_expect_str_eq(out.data, "title: a\r\nfeeding: unlimited # b\r\ncurrency: EUR\r\n");
    wg_bytes_free(&out);
}

/* As some write a list: the dash on a line of its own, or with a comment. */
Test(plan_edit, removes_an_item_with_its_dash) {
    static const char text[] = "bins:\n  -\n    name: a\n  - # the second\n    name: b\n  - name: c\n";
    static const char *const without[] = {"bins:\n  - # the second\n    name: b\n  - name: c\n",
                                          "bins:\n  -\n    name: a\n  - name: c\n",
                                          "bins:\n  -\n    name: a\n  - # the second\n    name: b\n"};
    for (int i = 0; i < 3; i++) {
        struct wg_bytes out = {0};
        struct wg_error err = {0};
        char path[16];
        (void)snprintf(path, sizeof path, "bins.%d", i + 1);
        cr_expect_eq(wg_plan_edit(text, strlen(text), path, NULL, &out, &err), 0, "%s", err.text);
        cr_expect_str_eq(out.data, without[i]);
        wg_bytes_free(&out);
    }
}

/* The first line belongs to both lists. */
Test(plan_edit, refuses_to_leave_what_is_not_yaml) {
    static const char text[] = "- - a\n  - b\n- c\n";
    struct wg_bytes out = {0};
    struct wg_error err = {0};
    cr_expect_eq(wg_plan_edit(text, strlen(text), "1.1", NULL, &out, &err), WG_ERR_INPUT);
    cr_expect_eq(out.size, 0);
    cr_expect_str_eq(err.text, "This cannot be removed.");
    wg_bytes_free(&out);
}

Test(plan_edit, refuses_what_is_not_yaml) {
    struct wg_bytes out = {0};
    struct wg_error err = {0};
    cr_expect_eq(wg_plan_edit("a: [", 4, "a", "b", &out, &err), WG_ERR_INPUT);
    cr_expect_eq(out.size, 0);
    wg_bytes_free(&out);
}

Test(yaml_path, names_the_value_at_a_position) {
    char path[WG_YAML_PATH];
    wg_yaml_path_at(plan, strlen(plan), 6, 21, path);
    cr_expect_str_eq(path, "places.1.bins.1.volume", "%s", path);
    wg_yaml_path_at(plan, strlen(plan), 4, 14, path);
    cr_expect_str_eq(path, "places.1.housing", "%s", path);
    wg_yaml_path_at(plan, strlen(plan), 99, 1, path);
    cr_expect_str_eq(path, "");
}
