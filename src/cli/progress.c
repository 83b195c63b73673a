/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws the line of progress: a bar, the share, the rate and the time left, as much of it as the terminal has room for.
 *
 * Each line is one write, padded over the one before it. It leaves three columns free: the last one, because some
 * terminals wrap when it is filled, and two for the "^C" that the terminal itself prints.
 */
#include "cli/progress.h"

#include "base/error.h"
#include "cli/message.h"
#include "report/terminal_chart.h"

#include <math.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>

#define SHORTEST_WAIT_S 0.1 /* between two lines; nobody reads faster */
#define COLUMNS 80          /* of a terminal that does not tell */
#define FREE_COLUMNS 3
#define WIDEST 512
#define BAR 20
#define ROOM_FOR_BAR 60
/* The time is told after a second and four replicates: before, the start counts for too much (judgement). */
#define JUDGED_S 1.0
#define JUDGED_REPLICATES 4

double wg_monotonic_s(void) {
    struct timespec now = {0};
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* ---- the line ---- */

static atomic_int drawn_columns; /* of the line on the terminal; 0: none */

/* Calls only async-signal-safe functions. */
void wg_progress_clear(void) {
    char blank[WIDEST + FREE_COLUMNS + 2];
    const int n = atomic_exchange(&drawn_columns, 0);
    if (n == 0)
        return;
    const size_t width = (size_t)n + 2; /* and "^C" */
    blank[0] = '\r';
    memset(blank + 1, ' ', width);
    blank[width + 1] = '\r';
    const ssize_t written = write(STDERR_FILENO, blank, width + 2);
    (void)written;
}

static int terminal_columns(void) {
    struct winsize size = {0};
    if (ioctl(STDERR_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0)
        return COLUMNS;
    return size.ws_col < WIDEST ? size.ws_col : WIDEST;
}

/* A job in the background must not write over what its user types. */
static bool is_in_background(void) {
    const pid_t group = tcgetpgrp(STDERR_FILENO);
    return group > 0 && group != getpgrp();
}

/* Writes a line over the one before. `columns`: its width, less than its bytes if it has letters of several bytes. */
static void draw_line(const char *text, int columns) {
    char line[4 * WIDEST];
    const int before = atomic_exchange(&drawn_columns, columns);
    int n = snprintf(line, sizeof line, "\r%s", text);
    for (int i = columns; i < before; i++)
        line[n++] = ' ';
    for (int i = columns; i < before; i++)
        line[n++] = '\b';
    const ssize_t written = write(STDERR_FILENO, line, (size_t)n);
    (void)written;
}

/* ---- what it says ---- */

static void show_left(double s, char out[48]) {
    if (s < 59.5)
        (void)snprintf(out, 48, "%.0f s left", ceil(s));
    else if (s < 90 * 60)
        (void)snprintf(out, 48, "%.0f min left", ceil(s / 60));
    else
        (void)snprintf(out, 48, "%.1f h left", s / 3600);
}

/* "63 a second", "14 a minute" */
static void show_rate(double per_s, char out[48]) {
    if (per_s >= 9.5)
        (void)snprintf(out, 48, "%.0f a second", per_s);
    else if (per_s >= 1)
        (void)snprintf(out, 48, "%.1f a second", per_s);
    else
        (void)snprintf(out, 48, "%.0f a minute", 60 * per_s);
}

static void show_bar(double share, char out[4 * BAR + 4]) {
    const bool blocks = wg_chart_is_utf8();
    const int full = (int)(share * BAR);
    out[0] = '\0';
    for (int i = 0; i < BAR; i++)
        (void)strcat(out, i < full ? (blocks ? "\xE2\x96\x88" : "#") : (blocks ? "\xE2\x96\x91" : "."));
}

/* Returns the share of the work that is done, by the costs of its parts. */
static double share_done(const struct wg_progress *progress, int64_t done, int64_t whole) {
    const double share = (double)done / (double)whole;
    double sum = 0, part = 0;
    for (int i = 0; i < progress->n_costs; i++) {
        sum += progress->cost[i];
        part += progress->cost[i] * fmin(fmax(share * progress->n_costs - i, 0), 1);
    }
    return sum > 0 ? part / sum : share;
}

struct state_of_run {
    int64_t done, whole;         /* whole 0: unknown */
    double share, per_s, left_s; /* left: infinite while unknown */
};

static struct state_of_run find_state(const struct wg_progress *progress, double now_s) {
    const int64_t done = progress->before + progress->last_done;
    int64_t whole = progress->before + progress->last_count;
    if (progress->expected > 0)
        whole = progress->expected > done ? progress->expected : done;
    const double elapsed_s = fmax(now_s - progress->began_s, 1e-9);
    const double share = share_done(progress, done, whole);
    const double own = share - share_done(progress, progress->skipped, whole); /* the work that took time */
    const bool is_early = elapsed_s < JUDGED_S || done - progress->skipped < JUDGED_REPLICATES;
    return (struct state_of_run){.done = done,
                                 .whole = progress->is_open && progress->expected == 0 ? 0 : whole,
                                 .share = share,
                                 .per_s = (double)(done - progress->skipped) / elapsed_s,
                                 .left_s = own > 0 && !is_early ? elapsed_s * (1 - share) / own : (double)INFINITY};
}

/* Adds a piece if there is room for it. Returns the columns used. */
static int add_piece(char *text, int used, int room, const char *piece, int columns) {
    if (used + columns > room)
        return used;
    (void)strcat(text, piece);
    return used + columns;
}

/* Adds the bar, the share and the time left. Returns the columns used. */
static int add_shares(char *text, int used, int room, const struct state_of_run *at) {
    char piece[256], bar[4 * BAR + 4], left[48];
    show_bar(at->share, bar);
    (void)snprintf(piece, sizeof piece, " %s", bar);
    if (room >= ROOM_FOR_BAR)
        used = add_piece(text, used, room, piece, 1 + BAR);
    (void)snprintf(piece, sizeof piece, "%s%.0f %%", used > 0 ? " " : "", floor(100 * at->share));
    used = add_piece(text, used, room, piece, (int)strlen(piece));
    show_left(at->left_s, left);
    (void)snprintf(piece, sizeof piece, ", %s", left);
    return isfinite(at->left_s) ? add_piece(text, used, room, piece, (int)strlen(piece)) : used;
}

static void draw(const struct wg_progress *progress, const struct state_of_run *at) {
    char text[4 * WIDEST] = "", piece[256], rate[48];
    const int room = terminal_columns() - FREE_COLUMNS;
    if (at->whole == 0)
        (void)snprintf(piece, sizeof piece, "%s: %lld so far", progress->what, (long long)at->done);
    else
        (void)snprintf(piece, sizeof piece, "%s: %lld of %lld", progress->what, (long long)at->done,
                       (long long)at->whole);
    int used = add_piece(text, 0, room, piece, (int)strlen(piece));
    if (at->whole > 0)
        used = add_shares(text, used, room, at);
    show_rate(at->per_s, rate);
    (void)snprintf(piece, sizeof piece, ", %s", rate);
    used = add_piece(text, used, room, piece, (int)strlen(piece));
    draw_line(text, used);
}

/* ---- the run ---- */

void wg_progress_begin(struct wg_progress *progress, const char *what, bool quiet) {
    char first[64];
    const bool at_terminal = !quiet && isatty(STDERR_FILENO);
    *progress = (struct wg_progress){
        .what = what, .is_shown = at_terminal, .announces = at_terminal, .began_s = wg_monotonic_s()};
    progress->drawn_s = progress->began_s;
    (void)snprintf(first, sizeof first, "%.40s ...", what);
    if (at_terminal && !is_in_background() && (int)strlen(first) <= terminal_columns() - FREE_COLUMNS)
        draw_line(first, (int)strlen(first));
}

bool wg_progress_announce(const char *how, double seconds, const char *more) {
    if (!(seconds > WG_LONG_RUN_S) || !isfinite(seconds) || !isatty(STDERR_FILENO))
        return false;
    if (seconds < 100)
        wg_message("this will take %s %.0f seconds%s.", how, 5 * ceil(seconds / 5), more);
    else if (seconds < 5400)
        wg_message("this will take %s %.0f minutes%s.", how, ceil(seconds / 60), more);
    else
        wg_message("this will take %s %.1f hours%s.", how, seconds / 3600, more);
    return true;
}

/* Says how long the run will take, once. */
static void judge_time(struct wg_progress *progress, const struct state_of_run *at, double now_s) {
    if (!progress->announces || at->whole == 0 || !isfinite(at->left_s))
        return;
    progress->announces = false;
    (void)wg_progress_announce("about", now_s - progress->began_s + at->left_s, "");
}

void wg_progress_count(void *self, int64_t done, int64_t count) {
    struct wg_progress *const progress = self;
    if (done <= progress->last_done)
        progress->before += progress->last_count;
    progress->last_done = done;
    progress->last_count = count;
    const double now_s = wg_monotonic_s();
    if (now_s - progress->drawn_s < SHORTEST_WAIT_S || (!progress->is_shown && !progress->announces))
        return;
    progress->drawn_s = now_s;
    const struct state_of_run at = find_state(progress, now_s);
    judge_time(progress, &at, now_s);
    if (progress->is_shown && !is_in_background())
        draw(progress, &at);
}

void wg_progress_skip(struct wg_progress *progress, int64_t count) {
    progress->before += progress->last_count + count;
    progress->skipped += count;
    progress->last_done = progress->last_count = 0;
}

void wg_progress_end(struct wg_progress *progress) {
    wg_progress_clear();
    progress->is_shown = progress->announces = false;
}
