/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Runs a fuzz target once on each file, and on each file of each folder, for the ordinary tests.
 *
 *   fuzz_NAME FILE|FOLDER ...
 */
#include "fuzz/fuzz.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

static int n_inputs;

static void run_file(const char *path, size_t size) {
    FILE *const file = fopen(path, "rb");
    uint8_t *const data = malloc(size + 1);
    MUST(file != NULL && data != NULL && fread(data, 1, size, file) == size);
    (void)fclose(file);
    (void)fprintf(stderr, "%s\n", path); /* the last name printed is the failing one */
    (void)LLVMFuzzerTestOneInput(data, size);
    free(data);
    n_inputs++;
}

static void run_path(const char *path) {
    struct stat about;
    MUST(stat(path, &about) == 0);
    if (!S_ISDIR(about.st_mode)) {
        run_file(path, (size_t)about.st_size);
        return;
    }
    DIR *const folder = opendir(path);
    MUST(folder != NULL);
    for (const struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        char name[4096];
        (void)snprintf(name, sizeof name, "%s/%s", path, entry->d_name);
        if (entry->d_name[0] != '.')
            run_path(name);
    }
    (void)closedir(folder);
}

int main(int argc, char **argv) {
    for (int i = 1; i < argc; i++)
        run_path(argv[i]);
    (void)printf("%d inputs\n", n_inputs);
    return n_inputs > 0 ? 0 : 1;
}
