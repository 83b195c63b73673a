/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks errors: the first is kept, no text overflows, each code has a sentence. The manual lists the exit statuses:
 * 2 usage, 3 input, 4 files, 5 the rest.
 */
#include "base/error.h"

#include <criterion/criterion.h>
#include <signal.h>
#include <string.h>

#define CODE_OF(name, code, status, text) code,
#define STATUS_OF(name, code, status, text) status,
static const int codes[] = {WG_ERROR_TABLE(CODE_OF)};
static const int statuses[] = {WG_ERROR_TABLE(STATUS_OF)};
enum { CODES = sizeof codes / sizeof *codes };

Test(error, is_recorded_and_returned) {
    struct wg_error err = {0};
    cr_expect_eq(wg_fail(&err, WG_ERR_INPUT, "colony.yaml:3:7", "%d larvae in %s", 12, "bin 1"), WG_ERR_INPUT);
    cr_expect_eq(err.code, WG_ERR_INPUT);
    cr_expect_str_eq(err.where, "colony.yaml:3:7");
    cr_expect_str_eq(err.text, "12 larvae in bin 1");
}

Test(error, keeps_the_first_cause) {
    struct wg_error err = {0};
    wg_fail(&err, WG_ERR_FILE, "a.h5", "the disk is full");
    cr_expect_eq(wg_fail(&err, WG_ERR_MEMORY, NULL, "later"), WG_ERR_MEMORY);
    cr_expect_eq(err.code, WG_ERR_FILE);
    cr_expect_str_eq(err.where, "a.h5");
    cr_expect_str_eq(err.text, "the disk is full");
}

Test(error, may_go_unrecorded_and_without_a_place) {
    struct wg_error err = {0};
    cr_expect_eq(wg_fail(NULL, WG_ERR_THREAD, "here", "unheard"), WG_ERR_THREAD);
    cr_expect_eq(wg_fail(&err, WG_ERR_THREAD, NULL, "heard"), WG_ERR_THREAD);
    cr_expect_str_eq(err.where, "");
}

/* Truncated text ends at a whole character: 2, 3 and 4 bytes of UTF-8, at each offset to the end of the buffer */
Test(error, is_cut_at_a_whole_character) {
    const char *const characters[] = {"x", "\xc3\xa9", "\xe2\x82\xac", "\xf0\x9f\xaa\xb0"};
    for (int c = 0; c < 4; c++)
        for (int offset = 0; offset < 4; offset++) {
            char lengthy[900] = "";
            struct wg_error err = {0};
            memset(lengthy, '-', (size_t)offset);
            while (strlen(lengthy) + 5 < sizeof lengthy)
                strcat(lengthy, characters[c]);
            wg_fail(&err, WG_ERR_INPUT, lengthy, "%s", lengthy);
            const size_t size = strlen(characters[c]);
            cr_expect_eq((strlen(err.text) - (size_t)offset) % size, 0);
            cr_expect_eq((strlen(err.where) - (size_t)offset) % size, 0);
            cr_expect_gt(strlen(err.text) + size, sizeof err.text - 1, "no more is cut than must be");
            cr_expect_gt(strlen(err.where) + size, sizeof err.where - 1);
        }
}

/* Invalid UTF-8, as in a file name, does no harm. */
Test(error, bears_stray_bytes) {
    struct wg_error err = {0};
    wg_fail(&err, WG_ERR_FILE, "\x80\x80", "%s", "\xbf");
    cr_expect_eq(err.code, WG_ERR_FILE);
    cr_expect_str_eq(err.where, "\x80\x80");
}

Test(error, has_one_sentence_and_status_for_each_code) {
    for (int i = 0; i < CODES; i++) {
        cr_expect_lt(codes[i], 0);
        cr_expect(statuses[i] >= 2 && statuses[i] <= 5);
        cr_expect_eq(wg_error_exit_status(codes[i]), statuses[i]);
        cr_expect_gt(strlen(wg_error_sentence(codes[i])), 10);
        for (int j = 0; j < i; j++) {
            cr_expect_neq(codes[i], codes[j]);
            cr_expect_str_neq(wg_error_sentence(codes[i]), wg_error_sentence(codes[j]));
        }
    }
    cr_expect_str_eq(wg_error_sentence(WG_ERR_EXISTS), "the file is already there");
}

Test(error, is_none_for_success_and_other_outcomes) {
    cr_expect_str_eq(wg_error_sentence(0), "no error");
    cr_expect_str_eq(wg_error_sentence(WG_STOPPED), "no error");
    cr_expect_eq(wg_error_exit_status(0), 0);
    cr_expect_eq(wg_error_exit_status(WG_STOPPED), 0);
}

Test(error, of_an_unknown_code_is_our_own_mistake) {
    cr_expect_str_eq(wg_error_sentence(-12345), wg_error_sentence(WG_ERR_INTERNAL));
    cr_expect_eq(wg_error_exit_status(-12345), 5);
}

Test(error, of_a_code_that_is_no_error_is_impossible, .signal = SIGABRT) {
    struct wg_error err = {0};
    wg_fail(&err, 0, NULL, "fine");
}

Test(assertion, passes_what_is_true) {
    wg_assert(1 + 1 == 2);
}

Test(assertion, ends_the_process_on_what_is_false, .signal = SIGABRT) {
    wg_assert(1 + 1 == 3);
}
