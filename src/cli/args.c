/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads the command line by the options in a command's row; suggests the nearest option for an unknown one.
 */
#include "cli/args.h"

#include "base/error.h"
#include "cli/message.h"
#include "schema/schema.h"
#include "text/nearest_word.h"

#include <ctype.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static int count_options(const struct wg_command *command) {
    int n = 0;
    while (command->options[n].name != NULL)
        n++;
    wg_assert(n <= WG_MAX_OPTIONS);
    return n;
}

static int find_option(const struct wg_args *args, const char *name) {
    int i = 0;
    while (args->command->options[i].name != NULL && strcmp(args->command->options[i].name, name) != 0)
        i++;
    wg_assert(args->command->options[i].name != NULL);
    return i;
}

bool wg_args_is_stream(const char *path) {
    return path != NULL && strcmp(path, "-") == 0;
}

static int unknown_option(const struct wg_command *command, const char *written, size_t length) {
    char name[48];
    const char *names[WG_MAX_OPTIONS + 1] = {NULL};
    for (int i = 0; i < count_options(command); i++)
        names[i] = command->options[i].name;
    if (length >= sizeof name)
        length = sizeof name - 1;
    memcpy(name, written, length);
    name[length] = '\0';
    const char *const nearest = wg_word_nearest(name, names);
    if (nearest != NULL)
        return wg_message_usage(command, "there is no option --%s; did you mean --%s?", name, nearest);
    return wg_message_usage(command, "there is no option --%s.", name);
}

/* State of the reader. */
struct argument_reader {
    struct wg_args *args;
    int at; /* the word being read */
    bool arguments_only;
};

static int missing_value(const struct wg_command *command, const struct wg_option *option) {
    return wg_message_usage(command, "--%s needs %s: --%s %s.", option->name,
                            option->values == 2 ? "two values" : "a value", option->name, option->value);
}

/* Returns the next word as a value; NULL if there is none or it is empty. */
static const char *next_value(struct argument_reader *reader) {
    const char *const word = reader->at + 1 < reader->args->argc ? reader->args->argv[++reader->at] : "";
    return *word != '\0' ? word : NULL;
}

static int take_again(struct argument_reader *reader, const struct wg_option *option, const char *attached) {
    struct wg_args *const args = reader->args;
    if (args->n_again == WG_MAX_REPEATS)
        return wg_message_usage(args->command, "--%s is given too often.", option->name);
    const char *const value = attached != NULL ? attached : next_value(reader);
    if (value == NULL || *value == '\0')
        return missing_value(args->command, option);
    args->again[args->n_again++] = value;
    return 0;
}

/* Takes option `i`; `attached` is the rest of its word, NULL if there is none. */
static int take_option(struct argument_reader *reader, int i, const char *attached) {
    struct wg_args *const args = reader->args;
    const struct wg_option *const option = &args->command->options[i];
    if (args->option[i] != NULL && option->values == WG_ONE_EACH_TIME)
        return take_again(reader, option, attached);
    if (args->option[i] != NULL)
        return wg_message_usage(args->command, "--%s is given twice.", option->name);
    if (option->value == NULL && attached != NULL)
        return wg_message_usage(args->command, "--%s takes no value.", option->name);
    args->option[i] = option->value == NULL ? "" : attached != NULL ? attached : next_value(reader);
    if (option->value != NULL && (args->option[i] == NULL || *args->option[i] == '\0'))
        return missing_value(args->command, option);
    if (option->values == 2 && (args->second[i] = next_value(reader)) == NULL)
        return missing_value(args->command, option);
    return 0;
}

static int long_option(struct argument_reader *reader, const char *word) {
    const struct wg_command *const command = reader->args->command;
    const char *const equals = strchr(word, '=');
    const size_t length = equals != NULL ? (size_t)(equals - word) : strlen(word);
    for (int i = 0; i < count_options(command); i++)
        if (strlen(command->options[i].name) == length && strncmp(command->options[i].name, word, length) == 0)
            return take_option(reader, i, equals == NULL ? NULL : equals + 1);
    return unknown_option(command, word, length);
}

/* Reads "-o FILE", "-oFILE", or switches together: "-fq". */
static int short_option(struct argument_reader *reader, const char *word) {
    const struct wg_command *const command = reader->args->command;
    for (int i = 0; i < count_options(command); i++) {
        const struct wg_option *const option = &command->options[i];
        if (option->letter == 0 || option->letter != *word)
            continue;
        const bool more = word[1] != '\0';
        const int status = take_option(reader, i, more && option->value != NULL ? word + 1 : NULL);
        return status == 0 && more && option->value == NULL ? short_option(reader, word + 1) : status;
    }
    return wg_message_usage(command, "there is no option -%c.", *word);
}

/* Checks that this command reads standard input, and only once. */
static int check_standard_input(const struct wg_args *args) {
    if (!args->command->reads_text)
        return wg_message_usage(args->command,
                                "it does not read standard input: name a file, ./- for one that is named \"-\".");
    for (int i = 0; i < args->n; i++)
        if (wg_args_is_stream(args->argument[i]))
            return wg_message_usage(args->command, "standard input can be read only once: only one file can be -.");
    return 0;
}

static int read_argument(struct argument_reader *reader) {
    struct wg_args *const args = reader->args;
    const char *const word = args->argv[reader->at];
    const bool number = word[0] == '-' && (isdigit((unsigned char)word[1]) || word[1] == '.');
    if (word[0] == '\0')
        return wg_message_usage(args->command, "one of the arguments is empty.");
    if (wg_args_is_stream(word)) {
        const int status = check_standard_input(args);
        if (status != 0)
            return status;
    }
    if (reader->arguments_only || word[0] != '-' || number || wg_args_is_stream(word)) {
        args->argument[args->n++] = word;
        return 0;
    }
    if (strcmp(word, "--") == 0) {
        reader->arguments_only = true;
        return 0;
    }
    return word[1] == '-' ? long_option(reader, word + 2) : short_option(reader, word + 1);
}

static int check_arguments(const struct wg_args *args) {
    const struct wg_command *const command = args->command;
    if (args->n < command->least)
        return wg_message_usage(command, "%s is missing.", command->arguments);
    if (command->most >= 0 && args->n > command->most)
        return wg_message_usage(command, "\"%s\" is one argument too many.", args->argument[command->most]);
    return 0;
}

/* Returns the value of --output, NULL without one. */
static const char *output_of(const struct wg_args *args) {
    for (int i = 0; i < count_options(args->command); i++)
        if (strcmp(args->command->options[i].name, "output") == 0)
            return args->option[i];
    return NULL;
}

static int stat_input(const char *path, struct stat *about) {
    return wg_args_is_stream(path) ? fstat(STDIN_FILENO, about) : stat(path, about);
}

/* Writes an option as in the help's examples: "-o", "--ics". */
static const char *written_option(const struct wg_args *args, const char *name, char out[24]) {
    const struct wg_option *const option = &args->command->options[find_option(args, name)];
    if (option->letter != 0)
        (void)snprintf(out, 24, "-%c", option->letter);
    else
        (void)snprintf(out, 24, "--%s", name);
    return out;
}

/* Compares files by device and inode, because links give one file several names. */
static bool is_one_file(const struct stat *a, const struct stat *b) {
    return a->st_dev == b->st_dev && a->st_ino == b->st_ino;
}

static int check_not_read(const struct wg_args *args, const char *option, const char *path, const char *input) {
    struct stat read, written;
    char name[24];
    if (path == NULL || input == NULL || stat(path, &written) != 0 || !S_ISREG(written.st_mode) ||
        stat_input(input, &read) != 0 || !is_one_file(&read, &written))
        return 0;
    return wg_message_usage(args->command, "%s is read here and cannot be written as well: choose another %s.", path,
                            written_option(args, option, name));
}

int wg_args_check_inputs(const struct wg_args *args, const char *option, const char *path,
                         const struct wg_scenario *scenario) {
    int status = check_not_read(args, option, path, scenario->record_file);
    for (int i = 0; i < WG_MAX_BASES && status == 0; i++)
        status = check_not_read(args, option, path, scenario->base_file[i]);
    return status;
}

/* Finds the folder of a path. Returns the name in it; NULL if there is no such folder. */
static const char *stat_folder(const char *path, struct stat *folder) {
    const char *const slash = strrchr(path, '/');
    if (slash == NULL)
        return stat(".", folder) == 0 ? path : NULL;
    char *const name = strndup(path, (size_t)(slash - path) + 1);
    const bool is_there = name != NULL && stat(name, folder) == 0;
    free(name);
    return is_there ? slash + 1 : NULL;
}

/* Also compares the names of files that do not exist yet. */
static bool is_one_path(const char *a, const char *b) {
    struct stat one, other;
    if (stat(a, &one) == 0 && stat(b, &other) == 0)
        return is_one_file(&one, &other);
    const char *const name = stat_folder(a, &one), *const other_name = stat_folder(b, &other);
    return name != NULL && other_name != NULL && is_one_file(&one, &other) && strcmp(name, other_name) == 0;
}

int wg_args_check_apart(const struct wg_args *args, const char *option, const char *path, const char *other,
                        const char *other_path) {
    char name[24], other_name[24];
    if (path == NULL || other_path == NULL || !is_one_path(path, other_path))
        return 0;
    return wg_message_usage(args->command, "%s and %s need two different files, not %s.",
                            written_option(args, option, name), written_option(args, other, other_name), path);
}

int wg_args_check_output(const struct wg_args *args, const char *option, const char *path) {
    const bool is_stream = wg_args_is_stream(path);
    if (is_stream && args->command->writes_text && path == output_of(args))
        return 0;
    if (is_stream)
        return wg_message_usage(args->command,
                                "pages and texts go to standard output, but not this: name a file, ./- for one that is "
                                "named \"-\".");
    int status = 0;
    for (int i = 0; i < args->n && status == 0; i++)
        status = check_not_read(args, option, path, args->argument[i]);
    return status;
}

int wg_args_read(struct wg_args *args, const struct wg_command *command, int argc, char **argv, int from) {
    *args = (struct wg_args){.command = command, .argc = argc, .argv = argv};
    args->argument = calloc((size_t)argc, sizeof *args->argument);
    if (args->argument == NULL)
        return wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    struct argument_reader reader = {.args = args, .at = from};
    for (; reader.at < argc; reader.at++) {
        const int status = read_argument(&reader);
        if (status != 0)
            return status;
    }
    const int status = check_arguments(args);
    return status == 0 ? wg_args_check_output(args, "output", output_of(args)) : status;
}

const char *wg_args_option(const struct wg_args *args, const char *name) {
    return args->option[find_option(args, name)];
}

const char *wg_args_second(const struct wg_args *args, const char *name) {
    return args->second[find_option(args, name)];
}

int wg_args_times(const struct wg_args *args, const char *name) {
    const int i = find_option(args, name);
    return (args->option[i] != NULL) + (args->command->options[i].values == WG_ONE_EACH_TIME ? args->n_again : 0);
}

const char *wg_args_each(const struct wg_args *args, const char *name, int k) {
    wg_assert(k >= 0 && k < wg_args_times(args, name));
    return k == 0 ? wg_args_option(args, name) : args->again[k - 1];
}

bool wg_args_has(const struct wg_args *args, const char *name) {
    return wg_args_option(args, name) != NULL;
}

int wg_args_whole(const struct wg_args *args, const char *name, uint64_t least, uint64_t most, uint64_t *out) {
    const char *const text = wg_args_option(args, name);
    if (text == NULL)
        return 0;
    char *end;
    errno = 0;
    const unsigned long long value = strtoull(text, &end, 10);
    /* strtoull() would accept spaces and a sign */
    if (!isdigit((unsigned char)*text) || *end != '\0' || errno != 0 || value < least || value > most)
        return wg_message_usage(args->command, "--%s must be a whole number from %llu to %llu, not \"%s\".", name,
                                (unsigned long long)least, (unsigned long long)most, text);
    *out = value;
    return 0;
}

int wg_args_forecast_key(const struct wg_args *args, const char *name, uint64_t *out) {
    const struct wg_key *const key = wg_schema_find(WG_GROUP_FORECAST, name);
    const bool is_seed = key->kind == WG_KEY_SEED;
    return wg_args_whole(args, name, (uint64_t)key->least, is_seed ? UINT64_MAX : (uint64_t)key->most, out);
}

int wg_args_share(const struct wg_args *args, const char *name, double least, double most, double *out) {
    const char *const text = wg_args_option(args, name);
    if (text == NULL)
        return 0;
    char *end;
    const double value = strtod(text, &end) / 100;
    while (*end == ' ')
        end++;
    if (end != text && strcmp(end, "%") == 0 && value >= least && value <= most) {
        *out = value;
        return 0;
    }
    return wg_message_usage(args->command,
                            "--%s must be a share from %g %% to %g %%, for example --%s %d%%, not \"%s\".", name,
                            100 * least, 100 * most, name, most > 0.95 ? 95 : 2, text);
}

/* ---- the command line as text ---- */

static bool is_plain(const char *word) {
    for (const char *c = word; *c != '\0'; c++)
        if (!isalnum((unsigned char)*c) && strchr("-_./=:,+@%", *c) == NULL)
            return false;
    return *word != '\0';
}

static char *append(char *end, const char *text) {
    while (*text != '\0')
        *end++ = *text++;
    return end;
}

/* Appends a word, in single quotes where a shell needs them. Returns the new end. */
static char *append_word(char *end, const char *word) {
    if (is_plain(word))
        return append(end, word);
    *end++ = '\'';
    for (const char *c = word; *c != '\0'; c++) {
        if (*c == '\'')
            end = append(end, "'\\'");
        *end++ = *c;
    }
    *end++ = '\'';
    return end;
}

char *wg_args_default_output(const char *input, const char *ending) {
    const char *const slash = strrchr(input, '/');
    const char *const name = wg_args_is_stream(input) ? "standard-input" : slash != NULL ? slash + 1 : input;
    const char *const dot = strrchr(name, '.');
    const size_t stem = dot != NULL && dot != name ? (size_t)(dot - name) : strlen(name);
    const size_t size = stem + strlen(ending) + 1;
    char *const path = malloc(size);
    if (path != NULL)
        (void)snprintf(path, size, "%.*s%s", (int)stem, name, ending);
    return path;
}

char *wg_args_line(const struct wg_args *args) {
    size_t size = sizeof "wintergrub";
    for (int i = 1; i < args->argc; i++)
        size += 4 * strlen(args->argv[i]) + 3;
    char *const line = malloc(size);
    if (line == NULL)
        return NULL;
    char *end = append_word(line, "wintergrub");
    for (int i = 1; i < args->argc; i++) {
        *end++ = ' ';
        end = append_word(end, args->argv[i]);
    }
    *end = '\0';
    return line;
}
