/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub new: asks for a plan, or writes a template, or makes normals from a record.
 */
#include "asking/answer.h"
#include "asking/plan_text.h"
#include "asking/template.h"
#include "base/utf8.h"
#include "cli/args.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/progress.h"
#include "cli/save.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "records/weather_file.h"
#include "report/forecast_text.h"
#include "storage/atomic_file.h"
#include "storage/provenance.h"
#include "text/nearest_word.h"
#include "text/show.h"
#include "text/terminal.h"
#include "text/text_file.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

#define FIRST_LOOK 64 /* possible years of the first forecast: a second or two, odds within about 12 of 100 */

struct new_session {
    struct wg_answers answers;
    const char *path;        /* of the plan */
    bool is_echoed;          /* answers do not come from a terminal, so they are printed behind the prompt */
    bool has_ended;          /* no more answers will come */
    const char *cautions[4]; /* shown so far */
    int n_cautions;
};

static int32_t today(void) {
    char now[32];
    int32_t day = 0;
    wg_provenance_now(now);
    now[10] = '\0';
    (void)wg_day_parse(now, &day);
    return day;
}

/* ---- asking ---- */

static void say(const char *text) {
    wg_show_lines(stdout, 0, text);
}

/* Reads a line of any length, keeping its beginning; an unfinished last line counts. Returns false at the end. */
static bool read_answer_line(char line[2 * WG_ANSWER_SIZE]) {
    size_t n = 0;
    int c = getchar();
    if (c == EOF)
        return false;
    for (; c != EOF && c != '\n'; c = getchar())
        if (n + 1 < 2 * WG_ANSWER_SIZE)
            line[n++] = c == '\0' ? '\1' : (char)c;
    while (n > 0 && isspace((unsigned char)line[n - 1])) /* and a carriage return */
        n--;
    line[n] = '\0';
    return true;
}

static int number_of_question(const struct wg_answers *answers, int id) {
    int number = 1;
    for (int before = wg_question_before(answers, id); before >= 0; before = wg_question_before(answers, before))
        number++;
    return number;
}

static int show_question(const struct new_session *session, int id) {
    struct wg_bytes text = {0};
    struct wg_error err = {0};
    (void)putchar('\n');
    wg_question_show(&session->answers, (enum wg_question_id)id, number_of_question(&session->answers, id), &text);
    const int code = wg_bytes_failed(&text, &err);
    if (code == 0)
        wg_show_lines(stdout, 5, text.data);
    wg_bytes_free(&text);
    return code < 0 ? wg_message_error(&err) : 0;
}

static void show_caution(struct new_session *session, int id) {
    const struct wg_question *const question = wg_question((enum wg_question_id)id);
    const char *const caution = question->caution != NULL ? question->caution(&session->answers) : NULL;
    for (int i = 0; i < session->n_cautions; i++)
        if (session->cautions[i] == caution)
            return;
    if (caution == NULL || session->n_cautions == sizeof session->cautions / sizeof *session->cautions)
        return;
    session->cautions[session->n_cautions++] = caution;
    say(caution);
}

/* Says what an answer was taken for, if that is not what was typed. */
static void show_taken(const struct new_session *session, int id, const char *line) {
    if (line[0] != '\0' && strcmp(line, session->answers.text[id]) != 0)
        (void)printf("  = %s\n", session->answers.text[id]);
}

/* Takes what is offered, without asking, and prints it. Returns the exit status. */
static int take_offer(struct new_session *session, int id) {
    char message[WG_ANSWER_MESSAGE];
    const int code = wg_answer_read(&session->answers, (enum wg_question_id)id, "", session->path, message);
    if (code < 0)
        return wg_message_error(&(struct wg_error){.code = code});
    if (code > 0) { /* an answer that stood, before an earlier one was changed */
        session->answers.text[id][0] = '\0';
        if (wg_answer_read(&session->answers, (enum wg_question_id)id, "", session->path, message) != 0) {
            struct wg_error err = {0};
            (void)wg_fail(&err, WG_ERR_INPUT, wg_question((enum wg_question_id)id)->name, "%s", message);
            return wg_message_error(&err);
        }
    }
    (void)printf("  %s %s\n", wg_question((enum wg_question_id)id)->ask, session->answers.text[id]);
    show_caution(session, id);
    return 0;
}

/* Handles ?, back and done. Returns false for any other line. */
static bool is_request(struct new_session *session, const char *line, int *id) {
    if (strcmp(line, "?") == 0 || strcasecmp(line, "help") == 0) {
        say(wg_question((enum wg_question_id) * id)->help);
        return true;
    }
    if (strcasecmp(line, "back") == 0) {
        const int before = wg_question_before(&session->answers, *id);
        if (before < 0)
            say("This is the first question.");
        else
            *id = before;
        return true;
    }
    if (strcasecmp(line, "done") == 0) {
        session->has_ended = true;
        say("For the rest, what is offered is taken:");
        return true;
    }
    return false;
}

/* Asks one question once; *id is then the next one, the same or the one before. Returns the exit status. */
static int ask_once(struct new_session *session, int *id) {
    char offered[WG_ANSWER_SIZE], line[2 * WG_ANSWER_SIZE], message[WG_ANSWER_MESSAGE];
    const int asked = *id;
    wg_answer(&session->answers, (enum wg_question_id)asked, offered);
    (void)printf("[%s] > ", offered);
    (void)fflush(stdout);
    if (!read_answer_line(line)) {
        session->has_ended = true;
        say("\nNo more answers: for the rest, what is offered is taken:");
        return 0;
    }
    if (session->is_echoed) {
        (void)snprintf(message, sizeof message, "%s", line);
        wg_utf8_clean(message);
        (void)printf("%s\n", message);
    }
    if (is_request(session, line, id))
        return *id != asked && !session->has_ended ? show_question(session, *id) : 0;
    const int code = wg_answer_read(&session->answers, (enum wg_question_id)asked, line, session->path, message);
    if (code < 0)
        return wg_message_error(&(struct wg_error){.code = code});
    if (code > 0) {
        say(message);
        return 0;
    }
    show_taken(session, asked, line);
    show_caution(session, asked);
    *id = wg_question_from(&session->answers, asked + 1);
    return *id < WG_N_QUESTIONS ? show_question(session, *id) : 0;
}

static int ask_all(struct new_session *session) {
    static const struct wg_exit_cleanup at_once = {.line = "\nwintergrub: stopped; nothing was written.\n"};
    int id = wg_question_from(&session->answers, 0);
    say("Enter takes what stands in [ ]. Type a letter, a word or a value; ? explains,\n"
        "back returns, done takes what is offered for the rest. Ctrl-C stops.");
    wg_stop_immediately(&at_once);
    int status = show_question(session, id);
    while (status == 0 && id < WG_N_QUESTIONS)
        if (!session->has_ended) {
            status = ask_once(session, &id);
        } else {
            status = take_offer(session, id);
            id = wg_question_from(&session->answers, id + 1);
        }
    wg_stop_immediately(NULL);
    return status;
}

/* ---- the first forecast ---- */

static int look(const struct wg_scenario *scenario, struct wg_forecast *forecast, struct wg_summary *summary,
                struct wg_work *work, struct wg_warnings *warnings, struct wg_error *err) {
    struct wg_warning_tally watch = {.plan = &scenario->plan};
    struct wg_goal_tally odds;
    struct wg_progress progress;
    const struct wg_ensemble_options options = {
        .count = FIRST_LOOK, .stop = wg_stop_flag(), .progress = wg_progress_count, .progress_self = &progress};
    wg_goal_tally_init(&odds, &scenario->plan);
    int code = wg_summary_init(summary, &scenario->plan, FIRST_LOOK, err);
    if (code == 0)
        code = wg_work_init(work, &scenario->plan, FIRST_LOOK, err);
    const struct wg_observer observers[] = {wg_summary_observer(summary), wg_warning_observer(&watch),
                                            wg_work_observer(work), wg_goal_tally_observer(&odds)};
    wg_progress_begin(&progress, "a first look", false);
    if (code == 0)
        code = wg_ensemble_run(&scenario->plan, &options, observers, 4, err);
    wg_progress_end(&progress);
    if (code == 0) {
        wg_warnings_find(warnings, &watch, work);
        forecast->odds = &odds;
        code = wg_forecast_print(forecast, stdout, err);
        if (code == 0 && wg_can_draw(stdout))
            code = wg_forecast_print_short(forecast, stdout, err);
        forecast->odds = NULL;
    }
    wg_goal_tally_free(&odds);
    return code;
}

/* Simulates a few years of the plan and prints them. Returns the exit status. */
static int show_first_look(const struct wg_scenario *scenario) {
    struct wg_summary summary = {0};
    struct wg_work work = {0};
    struct wg_warnings warnings;
    struct wg_error err = {0};
    struct wg_forecast forecast = {.scenario = scenario, .summary = &summary, .warnings = &warnings, .work = &work};
    const int code = look(scenario, &forecast, &summary, &work, &warnings, &err);
    wg_work_free(&work);
    wg_summary_free(&summary);
    if (code == WG_STOPPED)
        return wg_stop_status();
    return code < 0 ? wg_load_message_error(scenario, &err) : 0;
}

/* Finds the path of the first set point; false if nothing is heated. */
static bool find_set_point(const struct wg_plan *plan, char out[3 * WG_NAME_SIZE]) {
    for (int i = 0; i < plan->n_places; i++)
        if (plan->places[i].heater.power_w > 0) {
            (void)snprintf(out, 3 * WG_NAME_SIZE, "places.%s.heater.set_point", plan->places[i].name);
            return true;
        }
    for (int i = 0; i < plan->n_bins; i++)
        if (plan->bins[i].spec.mat.power_w > 0) {
            (void)snprintf(out, 3 * WG_NAME_SIZE, "places.%s.bins.%s.mat.set_point",
                           plan->places[plan->bins[i].place].name, plan->bins[i].name);
            return true;
        }
    return false;
}

static void say_next(const struct new_session *session, const struct wg_scenario *scenario) {
    const char *const quote = strpbrk(session->path, " '\"$()&;") != NULL ? "\"" : "";
    char path[3 * WG_NAME_SIZE], file[600];
    (void)snprintf(file, sizeof file, "%s%.500s%s", quote, session->path, quote);
    (void)printf("\nThe plan is in %s. Type next:\n", session->path);
    (void)printf(
        "  wintergrub run %s --calendar\n    all of the forecast, why it fails if it does, the work of each week\n",
        file);
    if (scenario->plan.n_goals > 0 && wg_question_applies(&session->answers, WG_ASK_NUMBER))
        (void)printf("  wintergrub size %s\n    how many to start with\n", file);
    if (find_set_point(&scenario->plan, path))
        (void)printf("  wintergrub compare %s \\\n    --vary '%s=%s'\n    which warmth pays\n", file, path,
                     wg_answers_are_metric(&session->answers) ? "10,16,21,26 degC" : "50,60,70,78 degF");
    if (scenario->plan.n_goals > 0 && find_set_point(&scenario->plan, path))
        (void)printf("  wintergrub cheapest %s\n    the cheapest winter that meets your goals, in a minute or two\n",
                     file);
    (void)printf("  wintergrub check %s\n    the plan as understood, after you have changed it\n", file);
}

/* ---- the plan ---- */

/* Reads the finished plan and writes it. Returns the exit status. */
static int save_plan(const struct wg_args *args, const struct new_session *session, struct wg_scenario *scenario) {
    struct wg_bytes text = {0};
    struct wg_error err = {0};
    wg_plan_text(&session->answers, &text);
    int status = wg_bytes_failed(&text, &err) < 0 ? wg_message_error(&err) : 0;
    if (status == 0)
        status = wg_load_scenario_text(scenario, session->path, text.data, text.size, NULL, 0);
    if (status == 0)
        status = wg_args_check_inputs(args, "output", session->path, scenario);
    if (status == 0 && wg_save_bytes(&text, session->path, wg_args_has(args, "force"), &err) < 0)
        status = wg_message_error(&err);
    wg_bytes_free(&text);
    return status;
}

static int check_free(const struct wg_args *args, const char *path) {
    struct wg_error err = {0};
    struct wg_atomic_file place = {0};
    const int code = wg_atomic_file_open(&place, path, wg_args_has(args, "force"), &err);
    wg_atomic_file_free(&place);
    return code < 0 ? wg_message_error(&err) : 0;
}

static int ask_for_plan(const struct wg_args *args) {
    const char *const output = wg_args_option(args, "output");
    struct wg_scenario scenario = {0};
    struct new_session session = {.path = output != NULL ? output : "plan.yaml", .is_echoed = !isatty(STDIN_FILENO)};
    wg_answers_init(&session.answers, today());
    int status = check_free(args, session.path);
    if (status == 0)
        status = ask_all(&session);
    if (status == 0)
        status = save_plan(args, &session, &scenario);
    if (status == 0) {
        (void)putchar('\n');
        (void)fflush(stdout);
        status = wg_args_has(args, "no-forecast") ? 0 : show_first_look(&scenario);
    }
    if (status == wg_stop_status())
        wg_message("stopped; the plan is in %s.", session.path);
    if (status == 0)
        say_next(&session, &scenario);
    wg_scenario_free(&scenario);
    return status;
}

/* ---- templates ---- */

static int list_templates(void) {
    const struct wg_template *template;
    for (int i = 0; (template = wg_template_at(i)) != NULL; i++)
        (void)printf("%-12s %s\n", template->name, template->meaning);
    return WG_STATUS_DONE;
}

static const struct wg_template *find_template(const struct wg_args *args, const char *name) {
    const char *names[8];
    char list[200];
    const struct wg_template *template;
    int n = 0;
    for (; (template = wg_template_at(n)) != NULL; n++) {
        if (strcmp(template->name, name) == 0)
            return template;
        names[n] = template->name;
    }
    names[n] = NULL;
    wg_word_list(names, list, sizeof list);
    const char *const nearest = wg_word_nearest(name, names);
    if (nearest != NULL)
        (void)wg_message_usage(args->command, "there is no template \"%s\"; did you mean %s?", name, nearest);
    else
        (void)wg_message_usage(args->command, "there is no template \"%s\"; it can be %s.", name, list);
    return NULL;
}

static int write_template(const struct wg_args *args) {
    const char *const output = wg_args_option(args, "output");
    const struct wg_template *const template = find_template(args, wg_args_option(args, "like"));
    struct wg_answers answers;
    struct wg_bytes text = {0};
    struct wg_error err = {0};
    if (template == NULL)
        return WG_STATUS_USAGE;
    wg_answers_init(&answers, today());
    wg_template_answer(template, &answers);
    wg_plan_text(&answers, &text);
    int code = wg_bytes_failed(&text, &err);
    if (code == 0 && (output == NULL || wg_args_is_stream(output)))
        (void)fwrite(text.data, 1, text.size, stdout);
    else if (code == 0)
        code = wg_save_bytes(&text, output, wg_args_has(args, "force"), &err);
    wg_bytes_free(&text);
    if (code < 0)
        return wg_message_error(&err);
    if (output != NULL && !wg_args_is_stream(output))
        wg_message("the plan is in %s; next: wintergrub run %s", output, output);
    return WG_STATUS_DONE;
}

/* ---- normals ---- */

static void print_months(const char *name, const double month_c[12], bool is_step, bool in_f) {
    (void)printf("    %s: [", name);
    for (int m = 0; m < 12; m++) {
        const double value = in_f ? wg_units_convert(month_c[m], "degC", "degF", !is_step) : month_c[m];
        (void)printf("%s%.1f", m == 0 ? "" : ", ", value > -0.05 && value < 0 ? 0 : value);
    }
    (void)puts("]");
}

/* Prints a YAML comment, wrapped at column 79. */
static void print_comment(const char *text) {
    size_t column = 80;
    while (*text != '\0') {
        const size_t n = strcspn(text, " ");
        const bool breaks = column + 1 + n > 79;
        (void)printf("%s%.*s", !breaks ? " " : column == 80 ? "# " : "\n# ", (int)n, text);
        column = (breaks ? 2 : column + 1) + n;
        text += n;
        text += *text == ' ';
    }
    (void)putchar('\n');
}

static void print_normals(const struct wg_record_normals *normals, const struct wg_weather_record_note *note,
                          bool in_f) {
    char text[800];
    (void)snprintf(text, sizeof text, "Normals made from %s.", note->text);
    print_comment(text);
    (void)snprintf(
        text, sizeof text,
        "Days resemble the day before with a correlation of %.2f (highs) and %.2f (lows), and the high goes with "
        "the low of its day with %.2f; weather generated around normals has %.2f, %.2f and %.2f. To keep the "
        "record's own, write \"record: FILE, use: fitted\" instead of normals.",
        normals->high_lag1, normals->low_lag1, normals->cross, normals->usual_high_lag1, normals->usual_low_lag1,
        normals->usual_cross);
    print_comment(text);
    (void)puts("climate:");
    if (note->has_latitude)
        (void)printf("  latitude: %.2f %c\n", note->latitude_deg < 0 ? -note->latitude_deg : note->latitude_deg,
                     note->latitude_deg < 0 ? 'S' : 'N');
    else
        (void)puts("  latitude:                # yours, such as 38 N: the file has none");
    if (note->has_elevation)
        (void)printf("  elevation: %.0f m\n", note->elevation_m);
    (void)printf("  normals:\n    unit: %s\n", in_f ? "degF" : "degC");
    print_months("daily_high", normals->high_c, false, in_f);
    print_months("daily_low", normals->low_c, false, in_f);
    print_months("daily_high_sd", normals->high_sd_c, true, in_f);
    print_months("daily_low_sd", normals->low_sd_c, true, in_f);
}

static int make_normals(const struct wg_args *args) {
    const char *const path = wg_args_option(args, "normals"), *const unit = wg_args_option(args, "unit");
    struct wg_weather_record record = {0};
    struct wg_weather_record_note note;
    struct wg_record_normals normals;
    struct wg_error err = {0};
    char *text = NULL;
    size_t size;
    if (unit != NULL && strcmp(unit, "degF") != 0 && strcmp(unit, "degC") != 0)
        return wg_message_usage(args->command, "--unit must be degF or degC, not \"%s\".", unit);
    wg_load_begin_stream(path, "weather");
    int code =
        wg_text_file_read(wg_args_is_stream(path) ? NULL : path, WG_WEATHER_RECORD_MAX_BYTES, &text, &size, &err);
    wg_load_end_stream(path);
    if (code == 0)
        code = wg_weather_record_parse(&record, wg_args_is_stream(path) ? WG_STANDARD_INPUT : path, text, size,
                                       WG_WEATHER_RECORD_UNIT_GUESSED, &note, &err);
    if (code == 0)
        code = wg_weather_record_normals(&normals, &record, &err);
    if (code == 0)
        print_normals(&normals, &note, unit != NULL && strcmp(unit, "degF") == 0);
    wg_weather_record_free(&record);
    free(text);
    return code < 0 ? wg_message_error(&err) : WG_STATUS_DONE;
}

/* ---- the command ---- */

static int run_new(const struct wg_args *args) {
    static const char *const ways[] = {"list", "like", "normals"};
    int n = 0;
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++)
        n += wg_args_has(args, ways[i]);
    if (n > 1)
        return wg_message_usage(args->command, "--list, --like and --normals are three requests: give one.");
    if (wg_args_has(args, "unit") && !wg_args_has(args, "normals"))
        return wg_message_usage(args->command, "--unit belongs to --normals.");
    if (wg_args_has(args, "list"))
        return list_templates();
    if (wg_args_has(args, "normals"))
        return make_normals(args);
    if (wg_args_has(args, "like"))
        return write_template(args);
    return wg_args_is_stream(wg_args_option(args, "output"))
               ? wg_message_usage(args->command, "the questions go to standard output: name a file for the plan.")
               : ask_for_plan(args);
}

static const struct wg_option options[] = {
    {"output", 'o', "FILE", "the plan's file (default: plan.yaml)", 1},
    {"force", 'f', NULL, "replace an existing file", 0},
    {"like", 0, "NAME", "no questions: a template, see --list", 1},
    {"list", 0, NULL, "list the templates", 0},
    {"normals", 0, "FILE", "no plan: monthly normals of a weather file, to paste", 1},
    {"unit", 0, "UNIT", "degF or degC, for --normals (default: degC)", 1},
    {"no-forecast", 0, NULL, "write the plan without a first look", 0},
    {.name = NULL},
};

const struct wg_command wg_command_new = {
    .name = "new",
    .arguments = "[-o PLAN.yaml]",
    .summary = "ask a few questions, write a plan",
    .help = "Asks where you are, what shelters the bins, what you feed and what you want,\n"
            "checks each answer, writes a commented plan and shows a first forecast of it.\n"
            "Answers may be in degF or degC, lb or kg, gallons or litres. Enter takes what is\n"
            "offered. Answers may also come from a file, one a line:\n\n"
            "  wintergrub new -o plan.yaml <answers.txt\n\n"
            "Without a file of daily weather, a plan may have an invented climate of a kind\n"
            "(wintergrub help scenario sketch). Without questions:\n\n"
            "  wintergrub new --like heated-shed -o plan.yaml\n"
            "  wintergrub new --normals station.csv",
    .least = 0,
    .most = 0,
    .writes_text = true,
    .options = options,
    .run = run_new,
};
