/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Checks warnings against sentences written by hand. */
#include "base/calendar.h"
#include "text/warning_sentences.h"

#include <criterion/criterion.h>
#include <string.h>

static struct wg_warnings warnings;

static void expect(struct wg_warning warning, const char *wanted) {
    char out[WG_WARNING_TEXT];
    warnings.list[0] = warning;
    warnings.n = 1;
    wg_warning_text(&warnings, 0, out);
    cr_expect_str_eq(out, wanted, "\"%s\", not \"%s\"", out, wanted);
}

Test(warning_sentences, each_kind) {
    const int32_t day = wg_day_from_date((struct wg_date){2026, 12, 8});
    warnings.of = 500;
    warnings.n_days = 365;
    expect((struct wg_warning){.kind = WG_WARN_MAT, .about = "trough", .replicates = 500, .worst = 184, .holds_w = 268},
           "The mat under \"trough\" is too weak in every year; to hold the set point it needs 268 W (914 Btu/h).");
    expect(
        (struct wg_warning){.kind = WG_WARN_HEATER, .about = "shed", .replicates = 1, .worst = 1000, .holds_w = 6600},
        "The heater of \"shed\" is too weak in 1 of 500 years, by 1 kW (3,410 Btu/h) at worst; to hold the set point "
        "it "
        "needs 6.6 kW (22,500 Btu/h).");
    expect((struct wg_warning){.kind = WG_WARN_HOT, .about = "trough", .replicates = 3, .worst = 41},
           "The bin \"trough\" is hotter than 40 °C (104 °F) in 3 of 500 years. Cool it.");
    expect(
        (struct wg_warning){.kind = WG_WARN_UNDERFED, .about = "trough", .weeks = 45, .longest = 41, .from_day = day},
        "The bin \"trough\" is underfed for 45 weeks, 41 of them in a row from 8 Dec 2026.");
    expect(
        (struct wg_warning){.kind = WG_WARN_UNDERFED, .about = "trough", .weeks = 17, .longest = 17, .from_day = day},
        "The bin \"trough\" is underfed for 17 weeks in a row from 8 Dec 2026.");
    expect((struct wg_warning){.kind = WG_WARN_UNDERFED, .about = "trough", .weeks = 1, .longest = 1, .from_day = day},
           "The bin \"trough\" is underfed for one week from 8 Dec 2026.");
    expect((struct wg_warning){.kind = WG_WARN_OVERFED, .about = "tub", .weeks = 3, .longest = 1, .from_day = day},
           "The bin \"tub\" is overfed for 3 weeks, the first from 8 Dec 2026: it turns sour and hot and gives off "
           "ammonia. Feed "
           "less, and stir and air it.");
    expect(
        (struct wg_warning){
            .kind = WG_WARN_OVERFED, .about = "tub", .weeks = 3, .longest = 3, .unfed = 2, .from_day = day},
        "The bin \"tub\" is overfed for 3 weeks in a row from 8 Dec 2026: it turns sour and hot and gives off "
        "ammonia. Feed less, and stir and air it. In 2 of these weeks it was not fed for a month before: clear the old "
        "feed out.");
    expect(
        (struct wg_warning){
            .kind = WG_WARN_OVERFED, .about = "tub", .weeks = 3, .longest = 3, .unfed = 3, .from_day = day},
        "Old feed lies in the bin \"tub\" for 3 weeks in a row from 8 Dec 2026, unfed for a month before: it turns "
        "sour "
        "and hot and gives off ammonia. Clear it out.");
    expect(
        (struct wg_warning){.kind = WG_WARN_IDLE,
                            .about = "shed",
                            .replicates = 38,
                            .days = 89,
                            .kwh = 173,
                            .all_kwh = 705,
                            .months = {.first = 0, .months = 2}},
        "The place \"shed\" was heated or lit with no animal in it in 38 of 500 years: in those years, on average 89 "
        "days and 173 of 705 kWh, most of it in January and February. Heat and light it only while animals are there.");
    expect((struct wg_warning){.kind = WG_WARN_NO_ANIMALS,
                               .about = "tub",
                               .replicates = 500,
                               .action = WG_ACTION_SCOOP,
                               .once = true,
                               .from_day = day},
           "The action \"scoop larvae\" in \"tub\" on 8 Dec 2026 found no animals in every year: it takes what is "
           "present in the "
           "morning.");
    expect((struct wg_warning){.kind = WG_WARN_NO_ANIMALS,
                               .about = "garden",
                               .replicates = 500,
                               .action = WG_ACTION_PULL_TRAPS,
                               .from_day = day},
           "The action \"pull traps\" in \"garden\" from 8 Dec 2026 on found no eggs in every year: it takes what is "
           "present in "
           "the "
           "morning.");
    warnings.n_days = 90;
    warnings.of = 1;
    expect((struct wg_warning){.kind = WG_WARN_SCOOP, .replicates = 1},
           "There are fewer larvae than the plan scoops in 1 of 1 future. Scoop less, or a share of them.");
}

Test(warning_sentences, longest_name_fits) {
    char out[WG_WARNING_TEXT];
    warnings.of = 1000000;
    warnings.n_days = 400;
    warnings.n = WG_N_WARNINGS;
    for (int k = 0; k < WG_N_WARNINGS; k++) {
        struct wg_warning *const warning = &warnings.list[k];
        *warning = (struct wg_warning){.kind = (enum wg_warning_kind)k,
                                       .replicates = 999999,
                                       .worst = 1.234567e9,
                                       .holds_w = 1.234567e9,
                                       .weeks = 5200,
                                       .longest = 5100,
                                       .from_day = 800000};
        memset(warning->about, 'x', WG_NAME_SIZE - 1);
        wg_warning_text(&warnings, k, out);
        const char last = out[strlen(out) - 1];
        cr_expect_eq(last, '.', "%s", out);
        cr_expect_not_null(wg_warning_name(warning->kind));
    }
    for (int c = 0; c < WG_N_CAUTIONS; c++)
        cr_expect_not_null(wg_caution_text((enum wg_caution)c));
}
