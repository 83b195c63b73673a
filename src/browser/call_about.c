/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * "about", "schema" and "log_kinds": what the engine is and knows, without a plan.
 */
#include "browser/notices.h"
#include "browser/page.h"
#include "inference/log_entry.h"
#include "json/schema_json.h"

#include <wintergrub/source_digest.h>
#include <wintergrub/version.h>

int wg_call_about(struct wg_call *call) {
    wg_json_text(call->answer, "version", WG_VERSION);
    wg_json_text(call->answer, "digest", WG_SOURCE_DIGEST);
    wg_json_list(call->answer, "notices");
    for (const struct wg_notice *notice = wg_notices(); notice->name != NULL; notice++) {
        wg_json_object(call->answer, NULL);
        wg_json_text(call->answer, "name", notice->name);
        wg_json_text(call->answer, "licence", notice->licence);
        wg_json_lines(call->answer, "text", notice->text);
        wg_json_close(call->answer);
    }
    wg_json_close(call->answer);
    return 0;
}

static int print_schema(const void *self, FILE *to, struct wg_error *err) {
    (void)self;
    return wg_schema_print_json(to, err);
}

int wg_call_schema(struct wg_call *call) {
    return wg_call_put_printed(call, "schema", print_schema, NULL);
}

/* What a form needs to know of an entry. */
struct log_field {
    const char *what, *example, *unit;
    const char *where; /* what stands in the column where */
    bool has_days;
};
static const struct log_field log_field[WG_N_LOG_KINDS] = {
    [WG_LOG_CRAWL_OFF] = {"weight of all larvae that left the bins", "1.2 lb", "lb or kg", NULL, true},
    [WG_LOG_TAKEN] = {"weight of what was taken out", "2 lb", "lb or kg", NULL, true},
    [WG_LOG_EGGS_TRAPPED] = {"eggs laid in the traps", "12000", "eggs", NULL, true},
    [WG_LOG_BIN_TEMPERATURE] = {"temperature in the middle of a bin", "81 degF", "degF or degC", "the bin", false},
    [WG_LOG_ADULTS] = {"flies were seen", "yes", "yes or no", NULL, false},
    [WG_LOG_JAR] = {"how many of the prepupae put into damp bran in a refrigerator are alive", "37 of 100",
                    "so many of all", "its temperature, 2 degC", true},
};

int wg_call_log_kinds(struct wg_call *call) {
    wg_json_list(call->answer, "kinds");
    for (int k = 0; k < WG_N_LOG_KINDS; k++) {
        wg_json_object(call->answer, NULL);
        wg_json_text(call->answer, "name", wg_log_kind_name((enum wg_log_kind)k));
        wg_json_text(call->answer, "what", log_field[k].what);
        wg_json_text(call->answer, "unit", log_field[k].unit);
        wg_json_text(call->answer, "example", log_field[k].example);
        wg_json_text(call->answer, "where", log_field[k].where);
        wg_json_flag(call->answer, "has_days", log_field[k].has_days);
        wg_json_close(call->answer);
    }
    wg_json_close(call->answer);
    return 0;
}
