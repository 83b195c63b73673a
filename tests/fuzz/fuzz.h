/*
 * What the targets share. Each is a file fuzz_NAME.c with one function, fuzz_one(), that hands bytes to a reader and
 * must come back within FUZZ_MOST_SECONDS: with success or a mistake, never a crash, a leak, a wait or a false
 * sentence. scripts/fuzz feeds it invented bytes; replay.c, in the ordinary tests, the files of corpus/.
 */
#ifndef TESTS_FUZZ_FUZZ_H
#define TESTS_FUZZ_FUZZ_H

#include "scenario/scenario.h"

#include <stddef.h>
#include <stdint.h>

/**
 * The most an input may take, in seconds of the processor (the process's clock, so that other work on the machine does
 * not count): the wish is for the program as it is built for people, and the sanitizers make it several times slower.
 */
#define FUZZ_MOST_SECONDS 1.0

/** One input, by the target. */
void fuzz_one(const uint8_t *data, size_t size);

/** The same with the stopwatch running (libFuzzer's interface); the slowest is told at the end, to the standard error. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/** Ends the process with a word when something that must hold does not. */
#define MUST(condition) ((condition) ? (void)0 : fuzz_failed(#condition, __FILE__, __LINE__))
_Noreturn void fuzz_failed(const char *condition, const char *file, int line);

/** A name under which the bytes can be opened as a file: memory, no disk. The file is replaced by the next call. */
const char *fuzz_file(const uint8_t *data, size_t size);

/** Shows every mistake as people would see it and looks at the text: printable, located, ended by a new line. */
void fuzz_look_at(const struct wg_mistakes *problems);

/** A sentence about a mistake: not empty, one line, no control characters but those that say() cleans. */
void fuzz_look_at_error(int code, const struct wg_error *err);

#endif
