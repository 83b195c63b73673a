/*
 * Makes the setups of a comparison from one scenario, whose text it changes as `size` does.
 */
#include "cli/vary_setups.h"

#include "cli/args.h"
#include "cli/load_scenario.h"
#include "cli/message.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#define VALUES_SIZE 512

/* ---- the option ---- */

static int refuse_vary(const struct wg_args *args, const char *written) {
    return wg_message_usage(args->command,
                            "--vary is KEY=VALUE,VALUE,... such as --vary \"starter.1.count=1000,5000\", not \"%s\".",
                            written);
}

/* Replicates, seed and goals do not change the colony. */
static bool is_of_colony(const char *path) {
    return strncmp(path, "forecast.", 9) != 0 && strncmp(path, "goal", 4) != 0;
}

/* Returns the unit that is written behind the last value: it holds for those without one. */
static const char *unit_behind(const char *last) {
    last += strspn(last, " +-");
    const size_t digits = strspn(last, "0123456789.");
    return digits > 0 ? last + digits : "";
}

static int read_listed_value(const struct wg_args *args, struct wg_varied_number *number, const char *text,
                             const char *unit, double *value) {
    char whole[VALUES_SIZE + 64], shown[WG_VARY_SHOWN_SIZE];
    const bool is_bare = *unit_behind(text) == '\0' && !number->vary.is_date;
    (void)snprintf(whole, sizeof whole, "%s%s", text, is_bare ? unit : "");
    if (wg_vary_read_any(&number->vary, whole, value) == 0)
        return 0;
    wg_vary_show(&number->vary, number->vary.value, shown);
    return wg_message_usage(args->command, "\"%s\" is not a value for %s, which is written like %s.", whole,
                            number->vary.path, shown);
}

/* Refuses a value that stands there earlier in the list: two setups would be the same. */
static int refuse_repeated(const struct wg_args *args, const struct wg_varied_number *number) {
    char shown[WG_VARY_SHOWN_SIZE];
    for (int i = 0; i + 1 < number->n; i++)
        if (number->value[i] == number->value[number->n - 1]) {
            wg_vary_show(&number->vary, number->value[i], shown);
            return wg_message_usage(args->command, "--vary %s names %s twice.", number->vary.path, shown);
        }
    return 0;
}

static void trim(char *text) {
    for (size_t n = strlen(text); n > 0 && isspace((unsigned char)text[n - 1]); n--)
        text[n - 1] = '\0';
}

/* Reads "65,70,75 degF". */
static int read_listed_values(const struct wg_args *args, const char *written, struct wg_varied_number *number) {
    char list[VALUES_SIZE];
    if (strlen(written) >= sizeof list)
        return wg_message_usage(args->command, "the values of --vary %s are too long.", number->vary.path);
    (void)snprintf(list, sizeof list, "%s", written);
    const char *const comma = strrchr(written, ','), *const unit = unit_behind(comma != NULL ? comma + 1 : written);
    int status = 0;
    for (char *at = list; at != NULL && status == 0;) {
        char *const end = strchr(at, ',');
        if (end != NULL)
            *end = '\0';
        if (number->n == WG_COMPARE_MAX)
            return wg_message_usage(args->command, "--vary %s has more than %d values.", number->vary.path,
                                    WG_COMPARE_MAX);
        at += strspn(at, " ");
        trim(at);
        status = read_listed_value(args, number, at, unit, &number->value[number->n++]);
        if (status == 0)
            status = refuse_repeated(args, number);
        at = end != NULL ? end + 1 : NULL;
    }
    return status;
}

int wg_vary_read_list(const struct wg_args *args, const char *written, const struct wg_scenario *base,
                      struct wg_varied_number *number) {
    struct wg_error err = {0};
    char path[sizeof number->vary.path];
    const char *const equals = strrchr(written, '=');
    if (equals == NULL || equals == written || equals[1] == '\0' || (size_t)(equals - written) >= sizeof path)
        return refuse_vary(args, written);
    (void)snprintf(path, sizeof path, "%.*s", (int)(equals - written), written);
    trim(path);
    if (!is_of_colony(path)) {
        (void)wg_fail(&err, WG_ERR_INPUT, path,
                      "This changes nothing about the colony, so there is nothing to compare.");
        return wg_message_error(&err);
    }
    if (wg_vary_find_any(&number->vary, base->text, base->text_size, path, &err) != 0)
        return wg_message_error(&err);
    return read_listed_values(args, equals + 1, number);
}

/* ---- one setup ---- */

/* Returns the text with a value of each number, malloc'ed; the second number is found anew, because the first moved it. */
static char *text_with(const struct wg_scenario *base, const struct wg_varied_number *number, int n, const int at[2],
                       size_t *size) {
    char *text = wg_vary_text(&number[0].vary, base->text, base->text_size, number[0].value[at[0]], size);
    struct wg_vary moved, second = number[1].vary;
    struct wg_error err = {0};
    if (text == NULL || n < 2)
        return text;
    const size_t first_size = *size;
    char *both = NULL;
    if (wg_vary_find_any(&moved, text, first_size, second.path, &err) == 0) {
        second.at = moved.at;
        second.length = moved.length;
        both = wg_vary_text(&second, text, first_size, number[1].value[at[1]], size);
    }
    free(text);
    return both;
}

/* "heater set point: 65 degF", of a grid "65 degF, 2 lb" */
static void name_setup_values(const struct wg_varied *varied, const struct wg_vary *vary, const int at[2], char *out,
                              size_t size) {
    const char *const colon = strstr(vary->label, ": ");
    const bool is_start = strncmp(vary->path, "starter.", 8) == 0;
    if (varied->n > 1)
        (void)snprintf(out, size, "%s, %s", varied->value[0][at[0]], varied->value[1][at[1]]);
    else
        (void)snprintf(out, size, "%.60s: %.60s", colon != NULL && !is_start ? colon + 2 : vary->subject,
                       varied->value[0][at[0]]);
}

static int make_setup(const struct wg_scenario *base, const struct wg_varied *varied,
                      const struct wg_varied_number *number, int setup, struct wg_scenario *scenario) {
    const int at[2] = {setup / varied->n_values[1], setup % varied->n_values[1]};
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    size_t size;
    char *const text = text_with(base, number, varied->n, at, &size);
    if (text == NULL)
        return wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    const int code =
        wg_scenario_read_text(scenario, base->path, text, size, base->record_text, base->record_size, &mistakes, &err);
    free(text);
    const int status = wg_load_report(code, &mistakes, &err);
    for (int k = 0; k < varied->n && status != 0; k++)
        wg_message("this was with %s at %s.", number[k].vary.path, varied->value[k][at[k]]);
    name_setup_values(varied, &number[0].vary, at, scenario->plan.title, sizeof scenario->plan.title);
    return status;
}

/* ---- all ---- */

static void describe_numbers(const struct wg_scenario *base, const struct wg_varied_number *number, int n,
                             struct wg_varied *varied) {
    *varied = (struct wg_varied){.n = n, .n_values = {1, 1}, .odds.own = -1};
    (void)snprintf(varied->title, sizeof varied->title, "%s", wg_scenario_name(base));
    for (int k = 0; k < n; k++) {
        (void)snprintf(varied->subject[k], sizeof varied->subject[k], "%s", number[k].vary.subject);
        varied->n_values[k] = number[k].n;
        for (int i = 0; i < number[k].n; i++)
            wg_vary_show_plain(&number[k].vary, number[k].value[i], varied->value[k][i]);
    }
}

static int count_setups(const struct wg_args *args, const struct wg_varied *varied, int *n) {
    *n = varied->n_values[0] * varied->n_values[1];
    if (*n < WG_COMPARE_MIN)
        return wg_message_usage(args->command, "--vary needs at least two values.");
    if (*n > WG_COMPARE_MAX)
        return wg_message_usage(args->command, "--vary makes %d setups; at most %d can be compared.", *n,
                                WG_COMPARE_MAX);
    return 0;
}

int wg_vary_make_setups(const struct wg_args *args, const struct wg_scenario *base,
                        const struct wg_varied_number *number, int n_numbers, struct wg_varied *varied,
                        struct wg_scenario *const *scenario, int *n) {
    describe_numbers(base, number, n_numbers, varied);
    int status = count_setups(args, varied, n);
    for (int i = 0; i < *n && status == 0; i++)
        status = make_setup(base, varied, number, i, scenario[i]);
    return status;
}

static int vary_base(const struct wg_args *args, const struct wg_scenario *base, struct wg_varied *varied,
                     struct wg_scenario *const *scenario, int *n) {
    static struct wg_varied_number number[WG_VARIED_MAX];
    const int n_numbers = wg_args_times(args, "vary");
    int status = 0;
    for (int k = 0; k < n_numbers && status == 0; k++)
        status = wg_vary_read_list(args, wg_args_each(args, "vary", k), base, &number[k]);
    return status == 0 ? wg_vary_make_setups(args, base, number, n_numbers, varied, scenario, n) : status;
}

int wg_vary_setups(const struct wg_args *args, struct wg_varied *varied, struct wg_scenario *const *scenario, int *n) {
    struct wg_scenario base = {0};
    if (args->n != 1)
        return wg_message_usage(args->command, "--vary makes the setups from one scenario, but %d are given.", args->n);
    if (wg_args_times(args, "vary") > WG_VARIED_MAX)
        return wg_message_usage(args->command, "at most %d numbers can be varied.", WG_VARIED_MAX);
    int status = wg_load_scenario(&base, args->argument[0]);
    if (status == 0)
        status = wg_args_check_inputs(args, wg_args_option(args, "output"), &base);
    if (status == 0)
        status = vary_base(args, &base, varied, scenario, n);
    wg_scenario_free(&base);
    return status;
}
