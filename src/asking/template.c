/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The templates of wintergrub new --like.
 */
#include "asking/template.h"

#include <stdio.h>

static const struct wg_template_answer outdoors[] = {
    {WG_ASK_NAME, "Bin outdoors without heat"}, {WG_ASK_SHELTER, "outdoors"}, {WG_ASK_LATITUDE, "34 N"},
    {WG_ASK_CLIMATE, "hot and humid"},          {WG_ASK_WILD, "no"},          {0, NULL}};
static const struct wg_template_answer heated_shed[] = {{WG_ASK_NAME, "Insulated shed with a heater and lamps"},
                                                        {WG_ASK_SHELTER, "shed"},
                                                        {WG_ASK_HEAT, "room heater"},
                                                        {WG_ASK_LAMPS, "12 hours"},
                                                        {WG_ASK_INSULATION, "1 in"},
                                                        {WG_ASK_TRAPS, "yes"},
                                                        {0, NULL}};
static const struct wg_template_answer two_places[] = {{WG_ASK_NAME, "Outdoors in summer, in a heated shed in winter"},
                                                       {WG_ASK_SHELTER, "outdoors"},
                                                       {WG_ASK_WINTER, "in a shed"},
                                                       {WG_ASK_LAMPS, "12 hours"},
                                                       {WG_ASK_TRAPS, "yes"},
                                                       {0, NULL}};
static const struct wg_template_answer classroom[] = {{WG_ASK_NAME, "Tray in a warm classroom"},
                                                      {WG_ASK_UNITS, "kilograms"},
                                                      {WG_ASK_SHELTER, "room"},
                                                      {WG_ASK_CLIMATE, "four seasons"},
                                                      {WG_ASK_VOLUME, "20 L"},
                                                      {WG_ASK_LENGTH, "6 months"},
                                                      {WG_ASK_NUMBER, "500"},
                                                      {WG_ASK_AT_MOST, "150 g"},
                                                      {WG_ASK_BACK, "25 %"},
                                                      {WG_ASK_GOAL, "survive"},
                                                      {0, NULL}};

static const struct wg_template templates[] = {
    {"outdoors", "a bin outdoors, no heat", outdoors},
    {"heated-shed", "an insulated shed with a heater and lamps", heated_shed},
    {"two-places", "outdoors in summer, carried into a heated shed for the winter", two_places},
    {"classroom", "a tray in a warm room with lamps", classroom},
};

const struct wg_template *wg_template_at(int i) {
    const int n = (int)(sizeof templates / sizeof *templates);
    return i >= 0 && i < n ? &templates[i] : NULL;
}

void wg_template_answer(const struct wg_template *from, struct wg_answers *answers) {
    for (const struct wg_template_answer *answer = from->answers; answer->text != NULL; answer++)
        (void)snprintf(answers->text[answer->id], WG_ANSWER_SIZE, "%s", answer->text);
}
