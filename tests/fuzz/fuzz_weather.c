/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Reads any text as a weather file in each unit: gives days with highs not below their lows, or a message. */
#include "fuzz/fuzz.h"
#include "records/weather_file.h"

#include <math.h>
#include <string.h>

static void check_record(const struct wg_weather_record *record, const struct wg_weather_record_note *note) {
    MUST(record->n_days > 0 && note->text[0] != '\0' && strlen(note->text) < sizeof note->text);
    for (int32_t i = 0; i < record->n_days; i++) {
        MUST(isfinite(record->low_c[i]) && isfinite(record->high_c[i]));
        MUST(record->low_c[i] <= record->high_c[i] && record->low_c[i] >= -70 && record->high_c[i] <= 60);
    }
    MUST(!note->has_latitude || fabs(note->latitude_deg) <= 90);
}

void fuzz_one(const uint8_t *data, size_t size) {
    for (int unit = WG_WEATHER_RECORD_UNIT_GUESSED; unit <= WG_WEATHER_RECORD_DEGF; unit++) {
        struct wg_weather_record record;
        struct wg_weather_record_note note;
        struct wg_error err = {0};
        const int code = wg_weather_record_parse(&record, "fuzz.csv", (const char *)data, size,
                                                 (enum wg_weather_record_unit)unit, &note, &err);
        fuzz_check_error(code, &err);
        if (code == 0)
            check_record(&record, &note);
        wg_weather_record_free(&record);
    }
}
